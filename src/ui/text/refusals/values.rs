//! Short texts, ids, days and numbers.

use super::InWords;
use crate::domain::day::NotADate;
use crate::domain::event_id::NotAnEventId;
use crate::domain::log::event::NotAMoment;
use crate::domain::pain::PainOutOfRange;
use crate::domain::words::{Counted, NotAnId, NotWords, OutOfRange};

impl InWords for NotWords {
    fn in_words(&self) -> String {
        match self {
            Self::Blank => "a text is empty".to_owned(),
            Self::TooLong { letters, most } => {
                format!("a text has {letters} letters; at most {most} fit")
            }
            Self::Control => "a text holds a control character".to_owned(),
        }
    }
}

impl InWords for NotAnId {
    fn in_words(&self) -> String {
        "an id has 1 to 64 small letters, digits and hyphens".to_owned()
    }
}

impl InWords for NotAnEventId {
    fn in_words(&self) -> String {
        format!("\"{}\" is not an event id of the years 1970 to 2199", self.text)
    }
}

impl InWords for NotADate {
    fn in_words(&self) -> String {
        "a day is not written like 2026-11-25".to_owned()
    }
}

impl InWords for NotAMoment {
    fn in_words(&self) -> String {
        format!("{} is not in the years 1970 to 2199", self.at)
    }
}

impl InWords for PainOutOfRange {
    fn in_words(&self) -> String {
        format!("{} is not a pain rating; ratings go from 0 to 10", self.points)
    }
}

impl InWords for OutOfRange {
    fn in_words(&self) -> String {
        let Self { number, counted, least, most } = self;
        format!(
            "{number} is not a number of {} this app takes; it goes from {least} to {most}",
            many(*counted)
        )
    }
}

const fn many(counted: Counted) -> &'static str {
    match counted {
        Counted::Version => "versions",
        Counted::Revision => "revisions",
        Counted::RungNumber => "rungs",
        Counted::Sets => "sets",
        Counted::Reps => "reps",
        Counted::PhaseSecs => "seconds in a phase",
        Counted::RestSecs => "seconds of rest",
        Counted::TimesADay => "times a day",
        Counted::RestDays => "rest days",
        Counted::DaysInARow => "days in a row",
        Counted::BreakDays => "days of a break",
        Counted::Pace => "per cent of the prescribed time",
    }
}
