//! What is said of a reminder in the client's own calendar.

/// What the offer is called.
pub const REMINDER: &str = "Reminder";
pub const WHETHER_TO_REMIND: &str = "Calendar reminder?";
pub const NO: &str = "No";

pub const TITLE: &str = "A reminder in your calendar";
pub const HOW_TO: &str = "Choose the times, save the file, and open it with your calendar. A calendar may copy itself to other devices.";
