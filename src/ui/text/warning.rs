//! The warning signs and the care each one calls for, in words. Sources: `docs/cautions.md`.

use crate::domain::warning::{Care, WarningSign};

/// What the client is asked, after "Any of these today?".
pub const fn ask(sign: WarningSign) -> &'static str {
    match sign {
        WarningSign::ChestOrBreath => "Chest pain, very short of breath, faint, or sudden weakness",
        WarningSign::SaddleNumbness => "Numb between the legs, or trouble with bladder or bowel",
        WarningSign::SwollenCalf => "One calf or thigh newly swollen, warm or sore",
        WarningSign::HotJointOrFever => "A hot, red, very sore joint, or fever with joint pain",
        WarningSign::InjuryOrNoWeight => "A fall, pop or twist, or you cannot put weight on it",
        WarningSign::LockingOrNumb => "It locks or gives way, new numbness, or pain that wakes you",
        WarningSign::Unwell => "Dizzy or unwell",
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
pub const WHAT_IT_IS: [&str; 5] = [
    "It shows a plan that your practitioner chose, and keeps your notes on this phone.",
    "It does not examine you and it does not choose your treatment. It is not a medical device.",
    "The lights follow the limits your practitioner set. They are a habit of the trade, not a test.",
    "If something feels wrong, stop, and ask your practitioner or a doctor.",
    "Nothing is sent anywhere. Notes are lost if this phone or its browser data is wiped, so save a copy now and then.",
];
