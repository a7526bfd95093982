//! What is said when the device's storage cannot be opened.

/// "Your log could not be opened".
pub fn title(what: &str) -> String {
    format!("Your {what} could not be opened")
}

pub const ALLOW_STORING: &str = "Leave private browsing, or allow this site to store data in the browser's settings. Then open the app again.";
pub const FREE_SOME_SPACE: &str = "Free some space on the device. Then open the app again.";
pub const LET_THE_NEWER_START: &str =
    "Close every window of this app and open it again, so that the newer version starts.";
pub const CLOSE_OTHER_WINDOWS: &str = "Close the other windows of this app. Then open it again.";
pub const OPEN_AGAIN: &str =
    "Close the app and open it again. If that does not help, restart the device.";

pub const NOTHING_CHANGED: &str = "Nothing was changed or thrown away.";
