//! What the page of sound, voice and pace says.

use crate::domain::session::timeline::Tone;

pub const TITLE: &str = "Sound, voice and pace";
pub const BACK_TO_SESSION: &str = "Back to the session";

pub const CUES: &str = "Cues";
pub const SOUND: &str = "Sound";
pub const WHAT_SOUNDS: &str = "A tone at each change, and the last three seconds counted.";
pub const VOICE: &str = "Voice";
pub const WHAT_IS_SAID: &str =
    "Says what a coach would say, from what to fetch to how long to rest.";
pub const NO_VOICE: &str = "Voice: this device has no voice of its own. Only such voices are used, so that nothing said leaves the device.";
pub const VIBRATION: &str = "Vibration";
pub const WHAT_SHAKES: &str =
    "A short shake with each change. Some phones stay still all the same.";

pub const TRY_THE_SOUNDS: &str = "Try the sounds";

pub const fn tone(of: Tone) -> &'static str {
    match of {
        Tone::Lift => "Lift",
        Tone::Lower => "Lower",
        // Hold is a light.
        Tone::Hold => "Stay",
        Tone::Relax => "Relax",
        Tone::Count => "Counting down",
        Tone::ChangeSides => "Change sides",
        Tone::SetDone => "Set done",
    }
}

pub const COUNT: &str = "Count";
pub const WHAT_COUNTS: &str = "1.0 is as prescribed. A slower count makes each phase longer; rests stay. It counts from the next session on.";
pub const SLOWER_COUNT: &str = "Slower count";

/// Slower counts to choose from, in per cent of the prescribed time.
pub const PACES: [(i64, &str); 6] =
    [(100, "1.0"), (110, "1.1"), (120, "1.2"), (130, "1.3"), (140, "1.4"), (150, "1.5")];

pub const RESTS: &str = "Rests";
pub const WAIT_UNTIL_READY: &str = "Wait until I am ready";
pub const HOW_IT_WAITS: &str =
    "After a rest the next set begins only when you tap. It counts from the next session on.";
