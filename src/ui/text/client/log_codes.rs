//! What is said of the log as codes.

use crate::ui::text::dose;

pub const SHOW_AS_CODES: &str = "Show it as codes";
pub const FOR_WHOM: &str = "For a practitioner beside you, with no file and no network.";
pub const DRAWING: &str = "Drawing the codes…";
pub const TOO_MUCH: &str = "This log is too much for codes. Save it as a file.";

pub const TITLE: &str = "Your log as codes";

/// "12 codes".
pub fn codes(number: u16) -> String {
    dose::count(number, "code")
}

/// What the drawing is where it is one code alone.
pub const ONE_CODE: &str = "Your log as a code to scan";
pub const SHOW_MORE: &str = "Show more of the log";
pub const IT_WAS_READ: &str = "It was read";
pub const CLOSE_THE_CODES: &str = "Close the codes";
