//! Whether what was entered is safe, in words.

pub const SAVED: &str = "Saved";
pub const SAVING: &str = "Saving…";
/// While something is typed.
pub const NOT_YET: &str = "Not saved yet";

/// "Not saved yet: the device's storage is full. …", with what to do, if anything helps, at the end.
pub fn not_saved(why: &str, advice: &str) -> String {
    format!(
        "Not saved yet: {why}. What you entered is kept as long as this page stays open. {advice}"
    )
}

/// What to do where there is no room; more follows it.
pub const FREE_SOME_SPACE: &str = "Free some space on the device, then try again. ";
pub const SAVE_ALL_AS_FILE: &str = "Save it all as a file";

pub const PUT_BACK: &str = "Something was missing from this browser's storage, and was put back from the second place on this device. Nothing you entered is lost.";
