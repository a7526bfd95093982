//! What the review on paper says.

use chrono::NaiveDate;

use crate::domain::visit::talking::What;
use crate::ui::text::{dates, review, talking};

pub const PRINT: &str = "Print this review on one page";
pub const WHAT_HAPPENED: &str = "What happened";
pub const ANSWERED_SO_FAR: &str = "Answered so far";

/// "Printed Thursday 26 November 2026".
pub fn printed(on: NaiveDate) -> String {
    format!("Printed {}", dates::full_day(on))
}

/// "Thu 26 Nov: It hurt on the stairs.", a note, with a word where only its beginning is printed.
pub fn note(day: NaiveDate, begins: &str, is_longer: bool) -> String {
    let more = if is_longer { "… (longer in the log)" } else { "" };
    format!("{}: {begins}{more}", dates::short_day(day))
}

/// "2 notes before these, in the log."
pub fn notes_before(earlier: usize) -> String {
    format!("{} before these, in the log.", review::many(earlier, "note"))
}

/// "Heel lowering: mornings are rising, from 1 last week to 2 this week."
pub fn point(about: &str, what: &What) -> String {
    format!("{about}: {}", talking::sentence(what))
}
