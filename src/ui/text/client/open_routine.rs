//! What is said while a routine is opened, and why one could not be.

pub const OPENING: &str = "Opening your routine…";
pub const NONE_WAS_OPENED: &str = "No routine was opened";
pub const OPEN_YOUR_ROUTINE: &str = "Open your routine";

/// What the demo is called where a file has its name.
pub const THE_DEMO: &str = "The demo";
pub const NO_DEMO: &str = "The demo could not be loaded. Check the connection and try again.";

/// A log in place of a routine, by the name of its file.
pub fn is_a_log(name: &str) -> String {
    format!(
        "\"{name}\" is a log, not a routine. A log of yours is brought back under \"Keep a copy\"."
    )
}

/// The name of a file that is not taken, and why.
pub fn refused(name: &str, why: &str) -> String {
    format!("\"{name}\" could not be opened: {why}.")
}
