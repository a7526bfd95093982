//! What is said beside the camera's picture.

pub const WHAT_IT_SEES: &str = "What the camera sees";

pub const KEEP_IN_FRAME: &str = "Keep the code in the frame";
pub const FOREIGN: &str = "This code has nothing for this app";
pub const DAMAGED: &str = "That did not fit together. Once more, please";

/// How many codes of a sequence were read: "3 of 12".
pub fn seen(frames: usize, of: usize) -> String {
    format!("{frames} of {of}")
}
