//! What the strip of shapes says, a shape for each day.

use chrono::NaiveDate;

use crate::ui::text::dates;

pub const DONE: &str = "done";
pub const MISSED: &str = "missed";
pub const LEFT_OUT: &str = "left out by the rule";

/// "Thu 26 Nov: missed", a shape as it is read out.
pub fn on_day(day: NaiveDate, mark: &str) -> String {
    format!("{}: {mark}", dates::short_day(day))
}

/// "Thu 26 Nov: missed. Fri 27 Nov: Keep.", all shapes as they are read out.
pub fn on_all_days(days: &[String]) -> String {
    format!("{}.", days.join(". "))
}

/// "from Thu 26 Nov on", where the strip begins later than the period.
pub fn from_on(first: NaiveDate) -> String {
    format!("from {} on", dates::short_day(first))
}
