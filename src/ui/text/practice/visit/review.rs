//! What the page of a review says.

use chrono::{DateTime, FixedOffset};

use crate::ui::text::dates;

pub const NO_ROUTINE: &str =
    "This log has no routine in it, so there is nothing to hold it against.";

pub const PERIOD: &str = "Period";
pub const SINCE_LAST_VISIT: &str = "Since the last visit";
pub const WHOLE_LOG: &str = "The whole log";

/// Whose sessions are saved in other formats.
pub const THE_CLIENTS_SESSIONS: &str = "the client's sessions";

pub const TO_DECIDE: &str = "What next";
pub const NOTHING_TO_DECIDE: &str = "Nothing asks for a decision.";
pub const DAY_BY_DAY: &str = "Day by day";
pub const THE_RULE: &str = "The rule behind the lights";

pub const NOTES_AND_QUESTIONS: &str = "Notes and questions";
pub const NO_NOTES: &str = "None in this period.";

/// "Thu 26 Nov, 18:04", when a note was written.
pub fn written(at: DateTime<FixedOffset>) -> String {
    format!("{}, {}", dates::short_day(at.date_naive()), dates::time(at))
}

pub const YOUR_ANSWER: &str = "Your answer";
pub const TRAVELS_WITH_NEXT: &str = "Travels with the next version that you hand over.";

pub fn reached_with(version: u16) -> String {
    format!("Reached the client with version {version}.")
}

pub fn not_taken_on_yet(version: u16) -> String {
    format!("In version {version}, which this log has not taken on yet.")
}
