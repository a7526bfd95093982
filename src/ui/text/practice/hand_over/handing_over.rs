//! What the page says on which a routine is handed over.

use crate::domain::plan::routine::Routine;
use crate::ui::text::dates;

pub const TITLE: &str = "Hand over";
pub const EMPTY: &str = "There is no exercise in it yet.";
pub const WHY_VERSIONS: &str =
    "Versions are kept as they were handed over, so that every log knows which one it followed.";

/// "This becomes version 2, dated today."
pub fn becomes(version: u16) -> String {
    format!("This becomes version {version}, dated today.")
}

/// "Make version 2".
pub fn make(version: u16) -> String {
    format!("Make version {version}")
}

/// "Version 2, Monday 1 June".
pub fn version(routine: &Routine) -> String {
    format!("Version {}, {}", routine.version.get(), dates::day(routine.issued))
}

pub const PHOTOS_IN_FILE_ONLY: &str =
    "Your photos travel in the file only. The code and the link leave them out.";
pub const ON_PAPER: &str = "On paper";
pub const WHAT_IS_IN_IT: &str = "What is in it";

pub const AS_FILE: &str = "As a file";
pub const SAVE_FILE: &str = "Save the file";
pub const SAVED: &str = "The file is among your downloads.";
pub const NOT_SAVED: &str = "This browser did not save the file.";
pub const SHARE_FILE: &str = "Share the file";
pub const SHARED: &str = "Shared.";
pub const NOT_SHARED: &str = "This device could not share the file. Save it instead.";
