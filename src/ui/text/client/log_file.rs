//! What is said of the log as a file on its way out.

pub const SHARE_THE_LOG: &str = "Share the log";
pub const SAVE_THE_LOG: &str = "Save the log as a file";
pub const SHARE_A_COPY: &str = "Share a copy";
pub const SAVE_A_COPY: &str = "Save a copy";

pub const COPY_IS_WRITTEN: &str = "A copy of your log is in the file you chose.";

pub const SEALING: &str = "Sealing…";

/// Why it could not be sealed.
pub fn not_sealed(why: &str) -> String {
    format!("Nothing was saved, because {why}.")
}

pub const SAVED: &str = "Saved with your downloads.";
pub const NOT_SAVED: &str =
    "This browser would not save the file. Try the share button, or another browser.";
pub const HANDED_ON: &str = "Handed on.";
pub const TAP_ONCE_MORE: &str =
    "It is sealed. Tap the share button once more, or save it, and send it from your downloads.";
pub const NOT_SHARED: &str =
    "This browser would not share the file. Save it, and send it from your downloads.";
