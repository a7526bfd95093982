//! What is said of a routine that was opened by a client who follows one already.

use chrono::NaiveDate;

use crate::domain::log::course::{Availability, GoesOn};
use crate::domain::log::history::History;
use crate::domain::plan::routine::Exercise;
use crate::ui::text::changes;

pub const IS_IT_FOR_YOU: &str = "Is it meant for you?";
pub const NOT_FOR_ME: &str = "No, it is not for me";
pub const SHOW_IT: &str = "Yes, show it to me";

/// For whom a routine is made, and for whom the one that is followed.
pub fn made_for(theirs: &str, own: &str) -> String {
    format!(
        "This routine is made for \"{theirs}\", you follow one for \"{own}\". Is it meant for you?"
    )
}

pub const IF_NOT_SURE: &str =
    "If you are not sure, ask your practitioner. Nothing changes until you say so.";

pub const THE_SAME: &str = "You already follow this version. Opening it again changes nothing.";
pub const AN_OLDER_ONE: &str =
    "This is an older version than the one you follow, so it cannot take its place.";

pub const WHERE_YOU_GO_ON: &str = "Where you go on";

/// Where a client goes on with an exercise once a version is taken on, and what becomes of a Hold or a stop: "You
/// stay on rung 2: one hand on the banister. It was left out until now, and is open again".
pub fn goes_on(
    exercise: &Exercise,
    goes_on: GoesOn,
    (before, after): (&History, &History),
    today: NaiveDate,
) -> String {
    let is_open = |history: &History| {
        let course = history.course(&exercise.id);
        course.is_none_or(|course| course.availability(today) == Availability::Open)
    };
    let goes_on = changes::goes_on(exercise, goes_on);
    match (is_open(before), is_open(after)) {
        (false, true) => format!("{goes_on}. It was left out until now, and is open again"),
        (_, false) => format!("{goes_on}. It stays left out for now"),
        (true, true) => goes_on,
    }
}

pub const LOG_STAYS: &str = "What you did so far, and how it felt, stays in your log.";
