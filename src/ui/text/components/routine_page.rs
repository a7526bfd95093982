//! What stands on a routine's page beside the routine's own words.

use std::time::Duration;

use crate::domain::plan::routine::Routine;
use crate::domain::words::Words;
use crate::ui::text::{dates, dose};

/// An exercise by its place and name: "2. Heel lowering".
pub fn numbered(number: u16, exercise: &Words) -> String {
    format!("{number}. {exercise}")
}

/// Words as a sentence before others: "Every day. ".
pub fn first(words: &str) -> String {
    format!("{words}. ")
}

/// "Version 3, Thursday 26 November".
pub fn version(routine: &Routine) -> String {
    format!("Version {}, {}", routine.version.get(), dates::day(routine.issued))
}

/// How long a session takes: "About 18 min."
pub fn how_long(session: Duration) -> String {
    format!("About {}.", dates::minutes(session))
}

/// "Fetch: a chair and a towel".
pub fn fetch(things: &[String]) -> String {
    format!("Fetch: {}", dose::list(things))
}

/// Where a routine or an exercise is from: "Source: …".
pub fn source(source: &Words) -> String {
    format!("Source: {source}")
}

pub const TAKE_CARE: &str = "Take care";
pub const WATCH_FOR: &str = "Watch for";
pub const HELP: &str = "Help";
pub const MORNING_DECIDES: &str = "The next morning decides";
