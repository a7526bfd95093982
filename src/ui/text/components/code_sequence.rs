//! What stands with codes for another device's camera.

/// "Code 2 of 12".
pub fn which(number: usize, of: usize) -> String {
    format!("Code {number} of {of}")
}

pub const STOP_TURNING: &str = "Stop turning";
pub const START_TURNING: &str = "Start turning";
pub const NEXT_CODE: &str = "Next code";
