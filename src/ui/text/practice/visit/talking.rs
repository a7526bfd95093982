//! What stands around the talking points of a visit.

use crate::domain::visit::talking::{Source, What};
use crate::ui::text::{review, talking};

pub const TO_TALK_ABOUT: &str = "To talk about";
/// What a point is about that is about no exercise of its own.
pub const THE_ROUTINE: &str = "The routine";
pub const WHY_IT_IS_HERE: &str = "Why this is here";
pub const PUT_ASIDE: &str = "Put aside";
pub const BRING_BACK: &str = "Bring back";

/// "2 more", the points that are not read at a glance.
pub fn more(points: usize) -> String {
    format!("{points} more")
}

/// "2 points put aside for this visit".
pub fn are_put_aside(points: usize) -> String {
    format!("{} put aside for this visit", review::many(points, "point"))
}

/// "Put aside: Heel lowering", a button as it is read out: what it does, and with which point.
pub fn does_with(what: &str, about: &str) -> String {
    format!("{what}: {about}")
}

/// "Two Holds on days less than seven days apart. Source: this app's own rule."
pub fn why(what: &What, source: Source) -> String {
    format!("{}. Source: {}.", talking::rule(what), talking::source(source))
}
