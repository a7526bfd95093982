//! What the end of a visit says.

use chrono::NaiveDate;

use crate::ui::text::dates;

pub const CLOSE: &str = "Close the visit";
pub const NEW_VERSION_LIFTS: &str = "A new version is your answer, even one that only carries words: once the client takes it on, stops are lifted. Days off go on unless you open it at once, and a warning sign stays until someone qualified has looked at it.";
pub const REVISE: &str = "Revise the routine";
pub const HAND_OVER: &str = "Hand over";
pub const SEEN_AND_AGREED: &str = "What was seen and agreed today";

/// "The visit of Thursday 26 November is closed and stands under Visits."
pub fn is_closed(day: NaiveDate) -> String {
    format!("The visit of {} is closed and stands under Visits.", dates::day(day))
}

pub const NOTE_FOR_ANY_RECORD: &str = "Visit note, for any record";
pub const NOTE: &str = "Visit note";
/// Before the button that makes the note anew.
pub const NOTE_WAS_CHANGED: &str =
    "You changed this note, so it no longer follows what you do on this page. ";
pub const WRITE_ANEW: &str = "Write it anew";
pub const COPY_NOTE: &str = "Copy the note";
pub const SAVE_AS_FILE: &str = "Save it as a file";

pub const COPIED: &str = "The note is on the clipboard.";
pub const CANNOT_COPY: &str = "This browser does not copy. Mark the text and copy it by hand.";
pub const CANNOT_SAVE: &str = "This browser would not save the file. Copy the note instead.";

pub fn saved_as(name: &str) -> String {
    format!("Saved as {name}, with your downloads.")
}

/// "Version 2 was handed over on Thursday 26 November."
pub fn was_handed_over(version: u16, issued: NaiveDate) -> String {
    format!("Version {version} was handed over on {}.", dates::day(issued))
}

pub const CHANGES_NOT_HANDED_OVER: &str =
    "There are changes or answers that were not handed over yet.";
pub const NOTHING_HANDED_OVER: &str = "No routine was handed over yet.";

pub const VISITS: &str = "Visits";
pub const WHOLE_NOTE: &str = "The whole note";
