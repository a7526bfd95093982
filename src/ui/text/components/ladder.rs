//! What stands at the rungs of a ladder.

use crate::domain::plan::dose::Load;
use crate::ui::text::dose;

pub const HERE: &str = "here";
pub const START_HERE: &str = "start here";

/// After a rung's words: ", 5 kg".
pub fn loaded(load: &Load) -> String {
    format!(", {load}")
}

/// After a rung's words: ", 1 set fewer".
pub fn fewer(sets: u16) -> String {
    format!(", {} fewer", dose::count(sets, "set"))
}

/// At the rungs above the ceiling.
pub const AFTER_A_VISIT: &str = "(after a visit)";
