//! What the end of a session says.

use chrono::NaiveDate;

use crate::domain::pain::PainRating;
use crate::domain::words::NotWords;
use crate::ui::text::refusals::InWords;
use crate::ui::text::{dates, dose};

pub const TITLE: &str = "Session done";
pub const DONE: &str = "Done";

pub const COPY_FAILED: &str =
    "The copy could not be written into the file you chose. Save one under \"Keep a copy\".";

/// "The note was not kept: a text is empty."
pub fn note_not_kept(error: &NotWords) -> String {
    format!("The note was not kept: {}.", error.in_words())
}

/// "Morning check: tomorrow, from 4 in the morning on. It takes two taps."
pub fn morning_check(due: NaiveDate, today: NaiveDate) -> String {
    format!(
        "Morning check: {}, from 4 in the morning on. It takes two taps.",
        dates::when(due, today)
    )
}

/// "A note or question for Sam?"
pub fn note_for(who: &str) -> String {
    format!("A note or question for {who}?")
}

/// After the question of the note.
pub const MAY_BE_LEFT_OUT: &str = " (you may leave this out)";

pub const LIGHTS_SO_FAR: &str = "Lights so far";
/// In the place of a light.
pub const NO_LIGHT: &str = "–";
pub const TOMORROW_COMPLETES: &str =
    "Tomorrow's answer completes them. Until then the morning counts as not answered.";

pub const NOT_DONE: &str = "not done";

/// What was done of an exercise: "2 of 3 sets and 1 in part, worst 4".
pub fn done(whole: usize, of: u16, begun: u16, worst: Option<PainRating>) -> String {
    let rated =
        worst.map_or_else(|| "not rated".to_owned(), |worst| format!("worst {}", worst.points()));
    format!("{whole} of {}{}, {rated}", dose::count(of, "set"), dose::in_part(begun))
}
