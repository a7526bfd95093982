//! What stands on the card of a light beside its verdict.

use chrono::NaiveDate;

use crate::ui::text::dates;

/// "Ready to talk with Sam about the next step."
pub fn ready(who: &str) -> String {
    format!("Ready to talk with {who} about the next step.")
}

/// Instead of a Hold that is over.
pub const BACK: &str = "Back";

/// Whom to turn to on a Hold.
pub fn unsure(who: &str) -> String {
    format!("If it gets worse, or you are unsure, ask {who}.")
}

pub const NUMBERS_AND_LIMITS: &str = "Each number and its limit";

/// "Why, for Thursday 26 November".
pub fn why(day: NaiveDate) -> String {
    format!("Why, for {}", dates::day(day))
}
