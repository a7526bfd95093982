//! What a routine is made of: doses, ladders, the table of the rule, photos; and the library.

use super::InWords;
use super::complaint::as_it_stands;
use crate::domain::plan::dose::{NotADay, NotAPhaseWord, NotATempo, NotAnAmount, PhaseWord};
use crate::domain::plan::ladder::{NotALadder, RungNumber};
use crate::domain::plan::library::{Library, NotALibrary};
use crate::domain::plan::limits::{Cell, CellPlace, NotATable, Settling, Zone};
use crate::domain::plan::phone::NotAPhoneNumber;
use crate::domain::plan::photo::{NotAPhoto, Photo};
use crate::domain::plan::routine::{NotARoutine, Routine};

impl InWords for NotAPhaseWord {
    fn in_words(&self) -> String {
        format!("the word of a phase is one word of 1 to {} letters", PhaseWord::LONGEST)
    }
}

impl InWords for NotATempo {
    fn in_words(&self) -> String {
        format!("a rep has 1 to 8 phases, not {}", self.phases)
    }
}

impl InWords for NotAnAmount {
    fn in_words(&self) -> String {
        format!("{} is not a weight; it lies above 0 and goes up to 1000", self.number)
    }
}

/// The names of the days are those that a routine's file has.
impl InWords for NotADay {
    fn in_words(&self) -> String {
        format!("\"{}\" is not a day; days are mon, tue, wed, thu, fri, sat and sun", self.name)
    }
}

impl InWords for NotALadder {
    fn in_words(&self) -> String {
        match self {
            Self::Rungs { rungs } => {
                format!("a ladder has 1 to {} rungs, not {rungs}", RungNumber::MOST.get())
            }
            Self::Ceiling { ceiling, rungs } => {
                format!("the ceiling is rung {ceiling}, but the ladder has {rungs}")
            }
            Self::Start { start, ceiling } => {
                format!("the ladder starts on rung {start}, above its ceiling, rung {ceiling}")
            }
        }
    }
}

impl InWords for NotATable {
    fn in_words(&self) -> String {
        match *self {
            Self::Zones { low_max, middle_max } => format!(
                "low pain ends at {low_max}, which must be below the end of middle pain, {middle_max}"
            ),
            Self::NotMonotone { better, harsher, worse, milder } => format!(
                "{} orders {}, milder than {} for {}, which is no worse",
                place(worse),
                order(milder),
                order(harsher),
                place(better)
            ),
            Self::UnansweredCounts { zone } => format!(
                "{}: a morning that was not answered never counts toward a step up",
                place((zone, Settling::NotAnswered))
            ),
        }
    }
}

fn place((zone, settling): CellPlace) -> String {
    let zone = match zone {
        Zone::Low => "low pain",
        Zone::Middle => "middle pain",
        Zone::High => "high pain",
    };
    let settling = match settling {
        Settling::Settled => "a settled morning",
        Settling::UpALittle => "a morning up a little",
        Settling::UpClearly => "a morning up clearly",
        Settling::NotAnswered => "no morning answer",
    };
    format!("{zone} with {settling}")
}

const fn order(cell: Cell) -> &'static str {
    match cell {
        Cell::Counts => "Counts",
        Cell::Stay => "Stay",
        Cell::Ease => "Ease",
        Cell::Hold => "Hold",
    }
}

impl InWords for NotAPhoneNumber {
    fn in_words(&self) -> String {
        "a telephone number has 3 to 15 digits, with spaces, hyphens, points, slashes or brackets between them"
            .to_owned()
    }
}

impl InWords for NotAPhoto {
    fn in_words(&self) -> String {
        match self {
            Self::AnotherKind => {
                "this is no photo that the app takes; it takes JPEG and WebP".to_owned()
            }
            Self::Damaged => "a photo is damaged".to_owned(),
            Self::TooLarge { bytes } => format!(
                "a photo has {} kB; at most {} kB fit",
                bytes.div_ceil(1000),
                Photo::MOST_BYTES / 1000
            ),
            Self::TooManyPixels(sides) => format!(
                "a photo claims {} x {} pixels; at most {} million are shown",
                sides.width,
                sides.height,
                Photo::MOST_PIXELS / 1_000_000
            ),
        }
    }
}

impl InWords for NotARoutine {
    fn in_words(&self) -> String {
        match self {
            Self::Exercises { exercises } => {
                format!("a routine has 1 to {} exercises, not {exercises}", Routine::MOST_EXERCISES)
            }
            Self::RepeatedId { id } => format!("two exercises have the id \"{id}\""),
            Self::TooManyLines { id } => {
                format!("exercise \"{id}\" has a list of more than {} lines", Routine::MOST_LINES)
            }
            Self::TooManySites => "more than 6 sites are named".to_owned(),
            Self::TooManyAnswers { answers } => {
                format!("a routine carries up to {} answers, not {answers}", Routine::MOST_ANSWERS)
            }
        }
    }
}

/// Each finishes the sentence "The exercises could not be opened:".
impl InWords for NotALibrary {
    fn in_words(&self) -> String {
        match self {
            Self::Damaged(complaint) => {
                format!("the file is damaged ({})", as_it_stands(complaint))
            }
            Self::OtherFormat => "the file is not a Carryover library".to_owned(),
            Self::TooNew { found } => format!(
                "the file was written for a newer version of this app (format {found}; this one reads up to {})",
                Library::VERSION
            ),
            Self::Repeated { id, revision } => {
                format!("revision {revision} of \"{id}\" stands there twice")
            }
        }
    }
}
