//! What the ladder editor says.

use crate::ui::text::dose;

pub const TITLE: &str = "Ladder of help";
pub const WHICH_WAY_UP: &str =
    "Least help at the top, most help at the bottom. One change from rung to rung is enough.";
pub const ADD_ABOVE: &str = "Add a rung above";
pub const STARTS_ON: &str = "Starts on rung";
pub const UP_TO: &str = "Up to rung, until the next visit";
pub const WHAT_HELPS: &str = "What helps";
pub const SEVERAL_AT_ONCE: &str =
    "Several things change at once here. One change at a time is easier to judge (PMC7783996).";

pub const WHAT_TO_CHANGE: &str = "Change what does not fit this rung, such as a band that is not used. What is left as it is follows the exercise.";
pub const AS_ON_THE_OTHERS: &str = "As on the other rungs";

pub const LOAD: &str = "Load";
pub const AS_PRESCRIBED: &str = "As prescribed for the exercise";

/// The lists that a rung can have of its own, as [`list_on`] and [`of_its_own`] name them.
pub const WHAT_TO_FETCH: &str = "what to fetch";
pub const HOW_IT_IS_DONE: &str = "how it is done";
pub const WATCH_FOR: &str = "watch for";

/// "Add a rung above rung 2".
pub fn add_above(rung: u16) -> String {
    format!("Add a rung above rung {rung}")
}

/// "Take out rung 2".
pub fn take_out(rung: u16) -> String {
    format!("Take out rung {rung}")
}

/// The highest rung moved up with the start.
pub fn highest_went_along(highest: u16) -> String {
    format!("Up to rung {highest} with it: the highest is never below the start.")
}

/// The start moved down with the highest rung.
pub fn start_went_along(start: u16) -> String {
    format!("Starts on rung {start} with it: the start is never above the highest.")
}

/// "Rung 2, start".
pub fn rung(number: u16, is_start: bool, is_ceiling: bool) -> String {
    let mark = match (is_start, is_ceiling) {
        (true, true) => ", start and ceiling",
        (true, false) => ", start",
        (false, true) => ", ceiling",
        (false, false) => "",
    };
    format!("Rung {number}{mark}")
}

/// "Here: 3 sets of 15."
pub fn here(dose: &str) -> String {
    format!("Here: {dose}.")
}

/// "Of its own here: what to fetch and watch for."
pub fn of_its_own(lists: &[&str]) -> String {
    format!("Of its own here: {}.", dose::list(lists))
}

/// "The words on rung 2".
pub fn words_on(rung: u16) -> String {
    format!("The words on rung {rung}")
}

/// "The dose on rung 2".
pub fn dose_on(rung: u16) -> String {
    format!("The dose on rung {rung}")
}

/// "Rung 2: what to fetch".
pub fn list_on(rung: u16, list: &str) -> String {
    format!("Rung {rung}: {list}")
}
