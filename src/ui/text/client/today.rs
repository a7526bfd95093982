//! What Today says beside the lights.

use chrono::NaiveDate;

use crate::ui::text::dates;

/// "Thursday 26 November, day 3".
pub fn day_of_routine(date: NaiveDate, number: i64) -> String {
    format!("{}, day {number}", dates::day(date))
}

pub const DONE_FOR_TODAY: &str = "Done for today. Well done.";
pub const NOTHING_TO_DO_REST: &str = "Nothing to do today. Rest is part of the plan.";
pub const NOTHING_TO_DO: &str = "Nothing to do today.";

pub const START: &str = "Start";
pub const TRAIN_AGAIN: &str = "Train again";
pub const GO_ON_WITH_SESSION: &str = "Go on with your session";

pub const TODAYS_ROUTINE: &str = "Today's routine";
pub const CHANGE_THE_MORNING: &str = "Change this morning's answer";

pub const MORE: &str = "More";
pub const HAND_BACK: &str = "Hand back";
pub const COPY: &str = "Copy";
/// What the link under "Copy" is called in full.
pub const KEEP_A_COPY: &str = "Keep a copy";
pub const ROUTINE: &str = "Routine";
pub const SOUND: &str = "Sound";
/// What the link under "Sound" is called in full.
pub const SOUND_AND_VOICE: &str = "Sound and voice";
pub const HELP: &str = "Help";

/// "The last copy of your log is 30 days old."
pub fn copy_is_old(days: i64) -> String {
    format!("The last copy of your log is {days} days old.")
}

pub const NO_COPY_YET: &str = "There is no copy of your log yet.";
/// After either of them.
pub const WHY_COPY: &str = " If this phone breaks, only a copy brings it back.";

/// Instead of a light, where none stands: back from a Hold, not trained yet, or not under this version.
pub const fn instead_of_light(is_back: bool, is_new: bool) -> &'static str {
    match (is_back, is_new) {
        (true, _) => "Back",
        (false, true) => "New",
        (false, false) => "No light yet",
    }
}

pub const LEFT_OUT_UNTIL_USUAL: &str = "left out until a morning is as usual";
pub const LEFT_OUT_UNTIL_ANSWERED: &str = "left out until someone qualified has answered";
pub const REST_DAY: &str = "rest day for this one";

/// "left out, back on Thursday at the earliest".
pub fn left_out_until(back_on: NaiveDate, today: NaiveDate) -> String {
    format!("left out, back {} at the earliest", dates::when(back_on, today))
}

/// What of an exercise is done today, to stand after the rest: " · 1 of 2 done".
pub fn so_far(times: u16, done: u16, is_in_part: bool) -> String {
    match (times, done) {
        (1, 0) => String::new(),
        (1, _) if is_in_part => " · done in part".to_owned(),
        (1, _) => " · done".to_owned(),
        (times, done) => format!(" · {done} of {times} done"),
    }
}

/// "3 × 10 · 1 of 2 done".
pub fn to_do(dose: &str, so_far: &str) -> String {
    format!("{dose}{so_far}")
}

/// "3 × 10, rung 2: one hand on the banister · 1 of 2 done".
pub fn to_do_on_rung(dose: &str, rung: &str, help: &str, so_far: &str) -> String {
    format!("{dose}, {rung}: {help}{so_far}")
}

/// Beside a light whose next morning is still to come.
pub const LIGHT_SO_FAR: &str = "so far; the next morning decides";

pub const READY_FOR_NEXT_STEP: &str = "Ready to talk about the next step";
