//! The log in words: what it holds, and how old its last copy is.

use chrono::NaiveDate;

use super::{dates, dose};
use crate::domain::history::History;

/// "12 sessions and 10 morning answers".
pub fn what_it_holds(history: &History) -> String {
    let count = |length: usize, what| dose::count(u16::try_from(length).unwrap_or(u16::MAX), what);
    let sessions = count(history.sessions.len(), "session");
    let mornings = count(history.mornings.len(), "morning answer");
    format!("{sessions} and {mornings}")
}

/// What a sequence of codes carries: so many of the latest days, or the whole log.
pub fn part_in_codes(days: Option<u64>, codes: &str) -> String {
    let (part, more) = match days {
        None => ("Your whole log".to_owned(), ""),
        Some(days) => {
            (format!("The last {days} days, with your routine"), " What is older goes as a file.")
        }
    };
    format!(
        "{part}: {codes}. Hold it still before the camera until the other screen says that it was read.{more}"
    )
}

/// "Last copy: Wednesday 25 November.", with its age.
pub fn last_copy(last: Option<NaiveDate>, today: NaiveDate) -> String {
    let Some(last) = last else { return "No copy of your log yet.".to_owned() };
    let age = match (today - last).num_days() {
        ..=-1 => String::new(),
        0 => ", today".to_owned(),
        1 => ", yesterday".to_owned(),
        days => format!(", {days} days ago"),
    };
    format!("Last copy: {}{age}.", dates::day(last))
}
