//! What the ways in say, and what is asked of a log that does not plainly belong to somebody.

use chrono::NaiveDate;

use crate::domain::log::history::History;
use crate::domain::words::Words;
use crate::ui::text::{dates, log};

/// What a text that was pasted is called, in place of a file's name.
pub const PASTED: &str = "What you pasted";
/// What a text from codes is called, in place of a file's name.
pub const SCANNED: &str = "The codes";
pub const NO_CAMERA: &str = "Or ask the client for the log as a file.";
pub const NO_CLIPBOARD: &str =
    "This browser does not give the clipboard to a page. Paste into the field instead.";

pub const OTHER_WAYS: &str = "Other ways";
pub const SCAN_CODES: &str = "Scan the client's codes";
pub const CLOSE_CAMERA: &str = "Close the camera";
pub const OR_DROP: &str = "Or drop files anywhere on this page.";
pub const LET_GO: &str = "Let go, and they are opened";
pub const PASTE_FROM_CLIPBOARD: &str = "Paste from the clipboard";
pub const PASTE_HERE: &str = "Or paste the text of a file here";
pub const READ_TEXT: &str = "Read the text";

/// What came of something that was opened: `"log.txt": not kept.`
pub fn opened(name: &str, said: &str) -> String {
    format!("\"{name}\": {said}.")
}

/// Why something was not opened or kept: `"log.txt" could not be opened: the log is empty.`
pub fn not_opened(name: &str, why: &str) -> String {
    format!("\"{name}\" {why}.")
}

pub const READ_WEEK: &str = "Read the week";

pub const WHOSE: &str = "Whose log is this?";
pub const NOT_KEPT_BEFORE: &str = "Nothing of it is kept before you answer. It lies open here, and is gone when this page is closed.";
/// After [`NOT_KEPT_BEFORE`].
pub const OPEN_AT_VISIT: &str =
    " If it is the log of a client of yours, open it at the visit of that client.";
pub const KEEP_AS_NEW: &str = "Keep it as a new client";
pub const LEAVE: &str = "Leave it";

/// "It holds 12 sessions and 10 morning answers, Mon 1 Jun to Sun 21 Jun.", with its first and last day.
pub fn holds(history: &History, days: Option<(NaiveDate, NaiveDate)>) -> String {
    let days = days.map(|(first, last)| {
        format!(", {} to {}", dates::short_day(first), dates::short_day(last))
    });
    format!("It holds {}{}.", log::what_it_holds(history), days.unwrap_or_default())
}

/// "Keep it with Postal round 7".
pub fn keep_with(label: &Words) -> String {
    format!("Keep it with {label}")
}
