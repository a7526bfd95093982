//! What the page of one exercise says while it is changed.

use crate::domain::plan::dose::Dose;
use crate::domain::plan::routine::SwellingReach;
use crate::ui::text::{capitalised, dates, dose};

pub const WHOSE_SWELLING: &str = "The joint that swelling is asked about";
pub const WORDS: &str = "Words";
pub const NAME: &str = "Name";
pub const WHAT_IT_IS_FOR: &str = "What it is for";
pub const WHAT_TO_FETCH: &str = "What to fetch";
pub const HOW_IT_IS_DONE: &str = "How it is done";
pub const WATCH_FOR: &str = "Watch for";
pub const TAKE_CARE: &str = "Take care";
pub const WHERE_FROM: &str = "Where the dose is from";

pub const KEEP_FOR_NEXT: &str = "Keep it for the next client";
pub const WHERE_IT_IS_KEPT: &str = "It then stands in your library on this device, as it is here. One of the same name that you kept before, or that came with the app, gives way to it.";
pub const KEEP: &str = "Keep it";
pub const KEPT: &str = "It is in your library now.";

/// Whether the question about swelling speaks of an exercise.
pub const fn reach(reach: SwellingReach) -> &'static str {
    match reach {
        SwellingReach::Reaches => "It loads that joint",
        SwellingReach::OutOfReach => "It does not: swelling says nothing of it",
    }
}

/// "3 sets of 15; lower 3 s, then lift 2 s. Every day. About 6 min a session."
pub fn in_short(dose: &Dose) -> String {
    format!(
        "{}. {}. About {} a session.",
        dose::whole(dose),
        capitalised(&dose::how_often(dose)),
        dates::minutes(dose.exercise_time()),
    )
}
