//! What is said and asked while a routine is handed over.

use super::verdict::half_points;
use crate::domain::log::rule::{Usual, UsualFrom};
use crate::domain::plan::routine::OnHold;

pub const WHAT_WAITS: &str = "What waits for you";
pub const ON_HOLD: &str = "on Hold";
pub const SIGN_STANDS: &str = "a warning sign stands. No version lifts it: the client is asked whether someone qualified has looked at it";
pub const WITH_THIS_VERSION: &str = "With this version";
pub const WHAT_IT_LIFTS: &str = "A version lifts nothing that came after the day it was made.";

/// What a version can say of an exercise that is on Hold or stopped.
pub const ON_HOLD_CHOICES: [(Option<OnHold>, &str); 3] = [
    (None, "Lift a stop, let days off go on"),
    (Some(OnHold::Open), "Open it at once"),
    (Some(OnHold::Leave), "Leave it as it is"),
];

pub const KEEP_ANCHOR: &str = "Keep";
pub const CLEAR_ANCHOR: &str = "Find it anew from the next mornings";
pub const SET_ANCHOR: &str = "Or set it: a usual morning is";

/// What mornings are measured from: "Mornings are measured from 2, as the client said".
pub fn usual(anchor: Usual) -> String {
    let points = half_points(anchor.half_points);
    match anchor.from {
        UsualFrom::Said => format!("Mornings are measured from {points}, as was said at the start"),
        UsualFrom::FirstMornings
        | UsualFrom::Mornings
        | UsualFrom::Visit
        | UsualFrom::AtRest
        | UsualFrom::Nothing => format!("Mornings are measured from {points}, the first ones"),
    }
}
