//! What handing back the log says.

use chrono::NaiveDate;

use crate::ui::text::dates;

pub const HAND_BACK_THE_LOG: &str = "Hand back the log";

/// "For Anna Berg".
pub fn for_whom(who: &str) -> String {
    format!("For {who}")
}

/// "12 sessions and 10 morning answers, since Thursday 26 November."
pub fn holds_since(holds: &str, since: Option<NaiveDate>) -> String {
    match since {
        Some(since) => format!("{holds}, since {}.", dates::day(since)),
        None => format!("{holds}."),
    }
}

pub const ONLY_TO_THEM: &str = "Your ratings, your notes and your routine are in the file. It goes only where you send it, so send it only to your practitioner.";
