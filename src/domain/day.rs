//! A calendar day as routines and logs write it: a full-date of RFC 3339, such as 2026-03-01, and nothing else.

use chrono::NaiveDate;
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::refused::{Refusal, Refused};

pub fn serialize<S: Serializer>(day: &NaiveDate, to: S) -> Result<S::Ok, S::Error> {
    day.serialize(to)
}

pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<NaiveDate, D::Error> {
    let text = String::deserialize(from)?;
    parse(&text).ok_or_else(|| D::Error::custom(Refused(NotADate)))
}

/// A text that is no calendar day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct NotADate;

impl Refusal for NotADate {
    const NAME: &'static str = "date";
}

fn parse(text: &str) -> Option<NaiveDate> {
    let [year, month, day] = [text.get(..4)?, text.get(5..7)?, text.get(8..)?];
    let hyphens = [text.get(4..5)?, text.get(7..8)?];
    let is_number = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if text.len() != 10 || hyphens != ["-", "-"] || ![year, month, day].into_iter().all(is_number) {
        return None;
    }
    NaiveDate::from_ymd_opt(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_day_of_eight_years_is_read_as_the_date_library_writes_it() {
        let first = NaiveDate::from_ymd_opt(2019, 12, 31).unwrap();
        for day in first.iter_days().take(8 * 366) {
            assert_eq!(parse(&day.to_string()), Some(day));
        }
    }

    /// RFC 3339, section 5.6: four, two and two digits with hyphens between; 5.7: days that a month has.
    #[test]
    fn nothing_else_is_a_day() {
        for text in [
            "",
            "2026",
            "2026-3-1",
            "2026-03-1",
            " 2026-03-01",
            "2026-03-01 ",
            "+2026-03-01",
            "2026/03/01",
            "2026-03-01T00:00:00Z",
            "20260301",
            "2026-00-01",
            "2026-13-01",
            "2026-02-29",
            "2026-04-31",
            "2026-+3-01",
            "2026-03- 1",
            "٢٠٢٦-٠٣-٠١",
            "2026-03-0ä",
            "é026-03-01",
        ] {
            assert_eq!(parse(text), None, "{text}");
        }
    }
}
