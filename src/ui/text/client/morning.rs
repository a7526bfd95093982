//! What the morning check says.

use chrono::NaiveDate;

use crate::ui::text::dates;

pub const NOTHING_TO_ANSWER: &str = "Nothing to answer now";
pub const MORNING_CHECK: &str = "Morning check";
pub const WHEN_IT_COMES: &str =
    "The morning check comes the day after training, from 4 in the morning on.";

/// Which day's training is asked about: "After Thursday 26 November: Heel lowering, Wall sit".
pub fn after(day: NaiveDate, exercises: &[String]) -> String {
    format!("After {}: {}", dates::day(day), exercises.join(", "))
}

pub const PAIN_OF_ALL: &str = "Pain this morning, the same for all";

/// "Pain this morning, Heel lowering".
pub fn pain_of(exercise: &str) -> String {
    format!("Pain this morning, {exercise}")
}

/// Before [`EACH_BY_ITSELF`].
pub const ONE_TAP_FOR_ALL: &str = "One tap counts for all. ";
pub const EACH_BY_ITSELF: &str = "Rate each by itself";
pub const SOMETHING_WORSE: &str = "Something worse? Warning signs";

pub const SAVE_CHANGE: &str = "Save the change";
pub const LEAVE_AS_IT_IS: &str = "Leave it as it is";

pub const YOUR_LIGHTS: &str = "Your lights";
pub const CHANGE_ANSWER: &str = "Change an answer";
