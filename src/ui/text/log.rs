//! The log in words: what it holds, and how old its last copy is.

use chrono::NaiveDate;

use super::{dates, dose};
use crate::domain::log::history::History;
use crate::domain::log::mornings::Mornings;

/// "12 sessions and 10 morning answers": those that the visit review counts, too.
pub fn what_it_holds(history: &History) -> String {
    let count = |length: usize, what| dose::count(u16::try_from(length).unwrap_or(u16::MAX), what);
    let worked = history.sessions().iter().filter(|session| session.has_work()).count();
    let sessions = count(worked, "session");
    let mornings = count(Mornings::of(history).count(), "morning answer");
    format!("{sessions} and {mornings}")
}

/// What a sequence of codes carries of a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    All,
    SinceHandedBack,
    /// So many of the latest days.
    Days(u64),
}

pub fn part_in_codes(part: Part, codes: &str) -> String {
    let (part, more) = match part {
        Part::All => ("Your whole log".to_owned(), ""),
        Part::SinceHandedBack => ("All since you last handed back".to_owned(), ""),
        Part::Days(days) => {
            (format!("The last {days} days, with your routine"), " What is older goes as a file.")
        }
    };
    format!(
        "{part}: {codes}. Do not move it before the camera until the other screen says that it was read.{more}"
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
