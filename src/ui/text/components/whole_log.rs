//! What is said while all of a log is read, where that fails, and where no copy can be joined into it.

pub const OPENING: &str = "Opening your log…";
pub const ALL_IS_READ: &str = "All of it is read for this page.";

pub const NOT_ALL_READ: &str = "Not all of your log could be read";

/// Why not all was read, and that nothing is lost: "the device's storage is full. Nothing was changed …".
pub fn not_read(why: &str) -> String {
    format!("{why}. Nothing was changed or thrown away.")
}

/// Why a copy is not joined; finishes the sentence "could not be used:".
pub const OTHER_LOG: &str = "it follows another routine than the log on this phone. If it is yours, erase this log first, then restore the copy";
