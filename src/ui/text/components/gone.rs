//! What is said of what was kept on this device and is not there any more.

use chrono::NaiveDate;

use crate::ui::text::dates;

/// "Your log is not here any more".
pub fn all_is_gone(what: &str) -> String {
    format!("Your {what} is not here any more")
}

/// "A part of your log is not here any more".
pub fn a_part_is_gone(what: &str) -> String {
    format!("A part of your {what} is not here any more")
}

/// "This browser kept it since Thursday 26 November, and has nothing of it now."
pub fn has_nothing(since: NaiveDate) -> String {
    format!("This browser kept it since {}, and has nothing of it now.", dates::day(since))
}

/// "This browser kept it since Thursday 26 November, and has less of it now than it had."
pub fn has_less(since: NaiveDate) -> String {
    format!("This browser kept it since {}, and has less of it now than it had.", dates::day(since))
}

pub const WHY: &str = "That happens when its data is cleared, and when it finds its own storage damaged. Only a copy brings it back.";

pub const BEGIN_ANEW: &str = "Begin anew";
pub const GO_ON_WITHOUT: &str = "Go on without it";
