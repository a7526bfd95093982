//! What is said of the photo of a set-up, and of the ways to take one.

use crate::domain::words::Words;

/// In place of the picture: "Your set-up for Heel lowering".
pub fn set_up_for(exercise: &Words) -> String {
    format!("Your set-up for {exercise}")
}

pub const ADD: &str = "Add a photo of the set-up";
pub const TAKE_ANOTHER: &str = "Take another photo";
pub const REMOVE: &str = "Remove the photo";

/// "No photo was added: the picture cannot be read."
pub fn not_added(why: &str) -> String {
    format!("No photo was added: {why}.")
}

pub const WHERE_IT_GOES: &str = "Only the set-up, no faces. It is made small on this device and travels in the routine's file, not in a link or a code.";
