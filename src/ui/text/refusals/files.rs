//! Files: routines, logs, copies of a caseload, and whatever is sealed with a passphrase.

use super::InWords;
use crate::exchange::checksum::Changed;
use crate::exchange::copy::{self, CopyError};
use crate::exchange::file::{self, FileError, Gap};
use crate::exchange::record::Altered;
use crate::exchange::sealed::SealError;

/// Each finishes the sentence "This file could not be opened:".
impl InWords for FileError {
    fn in_words(&self) -> String {
        match self {
            Self::Empty => "it is empty".to_owned(),
            Self::TooLarge => "it is larger than 40 MB".to_owned(),
            Self::RoutineTooLarge => {
                "it is larger than 16 MB, which is more than any routine takes".to_owned()
            }
            Self::CutShort { line } => {
                format!("it ends too early, at line {line}; part of it is missing")
            }
            Self::NotJson { line } => {
                format!("it is not in this app's format (line {line} is not JSON)")
            }
            Self::NotOurs => "it is neither a Carryover routine nor a Carryover log".to_owned(),
            Self::TooNew { found } => format!(
                "it was written by a newer version of this app (format {found}; this one reads up to {})",
                file::VERSION
            ),
            Self::Routine(complaint) => {
                format!("at line {}: {}", complaint.line, complaint.in_words())
            }
            Self::Photo { name, why } => format!("{} (\"{name}\")", why.in_words()),
            Self::Changed => "it was damaged, or changed by hand, after it was saved; open it from where it came once more, or ask for it again. Whoever changed it on purpose takes out the line with \"check\"".to_owned(),
            Self::NoEntries => "it says that it is a log, but has no list of entries".to_owned(),
            Self::Entry { number, what } => {
                format!("entry {number} of the log: {}", what.in_words())
            }
            Self::RepeatedId { number, id } => {
                format!("entry {number} of the log has the same id as an earlier one, {id}")
            }
            Self::TooManyEntries { found } => {
                format!("it holds {found} entries; at most {} can be read", file::MOST_EVENTS)
            }
        }
    }
}

impl InWords for Gap {
    fn in_words(&self) -> String {
        match self {
            Self::Entry { line, what } => format!("at line {line}: {}", what.in_words()),
            Self::Part { line } => format!("from line {line} on a part cannot be read"),
            Self::End { line } => format!("it ends too early, at line {line}"),
        }
    }
}

impl InWords for Changed {
    fn in_words(&self) -> String {
        "it was damaged, or changed by hand, after it was written".to_owned()
    }
}

impl InWords for Altered {
    fn in_words(&self) -> String {
        format!(
            "entry {} says two different things; one of the files was changed after it was saved",
            self.id
        )
    }
}

impl InWords for CopyError {
    fn in_words(&self) -> String {
        match self {
            Self::TooLarge => "it is larger than 200 MB".to_owned(),
            Self::TooMany => format!("it holds more than {} documents", copy::MOST_DOCUMENTS),
            Self::Damaged { line } => format!(
                "it is not a whole copy of a caseload; part of it is missing or damaged (line {line})"
            ),
            Self::Changed => "it was damaged, or changed by hand, after it was saved. Open another copy; where there is none, take \"check\" out of this one, and it is read as it stands".to_owned(),
            Self::NotACopy => "it is not a copy of a caseload".to_owned(),
            Self::TooNew { found } => format!(
                "it was written by a newer version of this app (format {found}; this one reads up to {})",
                copy::VERSION
            ),
        }
    }
}

/// Each finishes the sentence "It could not be opened:".
impl InWords for SealError {
    fn in_words(&self) -> String {
        match self {
            Self::OtherPassphrase => "this passphrase does not fit it".to_owned(),
            Self::TooMuchWork => {
                "it is sealed in a way that asks too much of a phone; seal it again with this app"
                    .to_owned()
            }
            Self::SealedForAKey => "it is sealed for a key, and not with a passphrase".to_owned(),
            Self::NotArmoured => {
                "it is sealed, but not as a text; seal it again with ASCII armour".to_owned()
            }
            Self::Damaged => "part of it is missing or was changed".to_owned(),
            Self::NotText => "what is sealed in it is not a text".to_owned(),
            Self::CannotSeal { why } => format!("this device could not seal it ({why})"),
        }
    }
}
