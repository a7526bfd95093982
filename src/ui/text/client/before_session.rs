//! What the check before a session says.

use crate::domain::log::event::WorkedToday;

pub const TITLE: &str = "Any of these today?";
pub const WARNING_SIGNS: &str = "Warning signs";
pub const NO_SIGN: &str = "No sign? Tap your pain at rest.";
pub const PAIN_AT_REST: &str = "Pain at rest right now";
pub const BACK: &str = "Back";

/// Above the question whether to go on though pain is high.
pub const BEFORE_YOU_START: &str = "Before you start";

pub const DO_NOT_TRAIN: &str = "Do not train today.";
pub const WHAT_TO_DO: &str = "What to do now";

pub const STOP_HERE: &str = "Stop here today";
pub const TICKED_A_SIGN: &str = "You ticked a warning sign";
pub const ALL_ON_HOLD: &str =
    "Every exercise is on Hold until someone qualified has looked at it. It is noted in your log.";

pub const WORK_TODAY: &str = "Work today";
/// The same for those who hear it.
pub const HOW_HARD_IT_WORKED: &str = "How hard has the joint worked today? You may leave this out.";

pub const fn worked(worked: WorkedToday) -> &'static str {
    match worked {
        WorkedToday::Light => "Light",
        WorkedToday::AsUsual => "As usual",
        WorkedToday::Heavy => "Heavy",
    }
}
