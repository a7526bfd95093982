//! What the page that keeps the log safe says.

pub const TITLE: &str = "Keep your log safe";
pub const WHY_COPY: &str = "Your whole log and your routine are in a copy. If this phone breaks or is wiped, only a copy brings them back. Keep it private, and not on this phone alone.";

pub const WRITES_ITSELF: &str = "A copy that writes itself";
pub const HOW_IT_WRITES: &str = "Choose a file, best in a folder that is kept elsewhere, too. The copy is written into it after each session, as long as the browser lets it. It is not sealed.";
pub const CHOOSE_A_FILE: &str = "Choose a file for it";
pub const NO_FILE_CHOSEN: &str = "No file was chosen.";
pub const NOT_WRITTEN: &str =
    "The browser did not let the app write into that file. Choose another, or save a copy.";

pub const NEW_PHONE: &str = "New phone, or a copy to bring back";
pub const HOW_TO_MOVE: &str = "Send a copy to the new phone, open Carryover there, and restore it on this same page. What is there already stays.";
pub const RESTORE_A_COPY: &str = "Restore a copy";

/// What a copy brought, to stand after its name: "12 entries brought back".
pub fn brought_back(entries: usize) -> String {
    match entries {
        0 => "nothing new in it; everything was here already".to_owned(),
        1 => "1 entry brought back".to_owned(),
        number => format!("{number} entries brought back"),
    }
}

/// The same of a damaged file, with what is missing in it.
pub fn but_damaged(brought_back: &str, gaps: &str) -> String {
    format!("{brought_back}, but the file is damaged ({gaps}); another copy brings the rest")
}

/// The name of a file, and what it brought.
pub fn restored(name: &str, what: &str) -> String {
    format!("\"{name}\": {what}.")
}

/// Why a file is not taken, to stand in [`refused`].
pub const IS_A_ROUTINE: &str = "it is a routine, not a copy of a log";

/// The name of a file that is not taken, and why.
pub fn refused(name: &str, why: &str) -> String {
    format!("\"{name}\" could not be used: {why}. Nothing was changed.")
}

pub const PROMISED: &str = "This browser promised to keep the log until you erase it.";
pub const MAY_BE_CLEARED: &str = "If space runs low, this browser may clear the log by itself. An app added to the home screen is safer.";
pub const ASK_TO_KEEP: &str = "Ask the browser to keep it";
pub const NOT_PROMISED: &str = "It did not promise. Save a copy now and then.";

/// Only asks.
pub const ERASE: &str = "Erase everything…";
pub const WHETHER_TO_ERASE: &str = "Erase everything?";
pub const YES_ERASE: &str = "Erase everything";
pub const NO_KEEP: &str = "Keep it";

/// What erasing takes away, where the log holds "12 sessions and 10 morning answers".
pub fn what_goes(holds: &str) -> String {
    format!(
        "This takes away from this phone: {holds}, your notes, your routine and your settings. It cannot be undone. Copies that you saved elsewhere stay."
    )
}

pub fn not_erased(why: &str) -> String {
    format!("It was not erased: {why}. Nothing was changed.")
}
