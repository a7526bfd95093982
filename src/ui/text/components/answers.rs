//! What stands above a question that was answered.

use chrono::NaiveDate;

use crate::ui::text::dates;

/// "Written on Thursday 26 November".
pub fn written_on(day: NaiveDate) -> String {
    format!("Written on {}", dates::day(day))
}
