//! When a copy of the log has grown old enough to offer a new one.

use chrono::NaiveDate;

/// A copy is old from so many days on: two visits that were missed (common practice, no source).
pub const OLD_FROM: i64 = 14;

/// How many days old the last copy is, or without one the log, once that is too old and the log has more.
///
/// A copy that seems to come from the future was made by a wrong clock, and says nothing.
pub fn days_to_offer_at(
    last_copy: Option<NaiveDate>,
    first_noted: NaiveDate,
    last_noted: NaiveDate,
    today: NaiveDate,
) -> Option<i64> {
    let last_copy = last_copy.filter(|copy| *copy <= today);
    let days = (today - last_copy.unwrap_or(first_noted)).num_days();
    let has_more = last_copy.is_none_or(|copy| copy < last_noted);
    (has_more && OLD_FROM <= days).then_some(days)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_is_offered_once_the_last_one_is_two_weeks_old_and_the_log_has_more() {
        let day = |day| NaiveDate::from_ymd_opt(2026, 11, day).unwrap();
        #[rustfmt::skip]
        let rows = [
            // last copy,    first,  last,    today,   offered
            (None,           day(1), day(14), day(14), None),
            (None,           day(1), day(15), day(15), Some(14)),
            (Some(day(2)),   day(1), day(15), day(15), None),
            (Some(day(1)),   day(1), day(15), day(15), Some(14)),
            (Some(day(1)),   day(1), day(1),  day(30), None),
            (Some(day(30)),  day(1), day(15), day(15), Some(14)),
            (None,           day(20), day(20), day(15), None),
        ];
        for (number, (copy, first, last, today, offered)) in rows.into_iter().enumerate() {
            assert_eq!(days_to_offer_at(copy, first, last, today), offered, "row {number}");
        }
    }
}
