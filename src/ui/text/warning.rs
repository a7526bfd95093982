//! The warning signs and the care each one calls for, in words. Sources: `docs/cautions.md`.

use crate::domain::log::warning::{Care, WarningSign};

/// What the client is asked, after "Any of these today?".
pub const fn ask(sign: WarningSign) -> &'static str {
    match sign {
        WarningSign::ChestOrBreath => {
            "Chest pain, short of breath, faint, uneven heartbeat, suddenly weak, trouble speaking or seeing"
        }
        WarningSign::SaddleNumbness => {
            "Numb between the legs, both legs weak, bladder or bowel trouble"
        }
        WarningSign::ColdOrNumb => "A foot or hand newly cold, pale or numb",
        WarningSign::SwollenCalf => "One calf or thigh newly swollen, warm, sore or off-colour",
        WarningSign::HotJointOrFever => "A hot, red, very sore joint, fever, a leaking wound",
        WarningSign::InjuryOrNoWeight => "A fall, pop or twist, a changed shape, no weight on it",
        WarningSign::StuckJoint => "A joint stuck, or often giving way",
        WarningSign::Unwell => "Dizzy, unwell, or woken by pain",
    }
}

/// What to do about one sign.
pub const fn care(sign: WarningSign) -> &'static str {
    match sign.care() {
        Care::Emergency => "Call your local emergency number now (112, 911, 999, 000).",
        Care::Today => {
            "See a doctor or urgent care today. If you are also short of breath or your chest hurts, call your local emergency number now."
        }
        Care::BeforeTraining => {
            "Do not train today. Talk to your practitioner or a doctor before you train again."
        }
    }
}

pub const NOT_A_DIAGNOSIS: &str = "This app cannot tell what it is. Your practitioner, your doctor and the emergency services can.";

/// What the app is and is not, for the first run and the help page.
pub const WHAT_IT_IS: [&str; 6] = [
    "It shows a plan that your practitioner chose, and keeps your notes on this phone.",
    "It does not examine you and it does not choose your treatment. It is not a medical device.",
    "The lights follow the limits your practitioner set. They are a habit of the trade, not a test.",
    "If something feels wrong, stop, and ask your practitioner or a doctor. This app cannot call for you.",
    "Anyone who can open your phone can read your notes.",
    "Nothing is sent anywhere. Notes are lost if this phone or its browser data is wiped, so save a copy now and then.",
];
