//! Days and spans of time in words.

use std::time::Duration;

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, NaiveTime, Timelike, Weekday};

pub const fn weekday(day: Weekday) -> &'static str {
    match day {
        Weekday::Mon => "Monday",
        Weekday::Tue => "Tuesday",
        Weekday::Wed => "Wednesday",
        Weekday::Thu => "Thursday",
        Weekday::Fri => "Friday",
        Weekday::Sat => "Saturday",
        Weekday::Sun => "Sunday",
    }
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// "Thursday 26 November".
pub fn day(date: NaiveDate) -> String {
    format!("{} {} {}", weekday(date.weekday()), date.day(), MONTHS[date.month0() as usize])
}

/// "Thursday 26 November 2026".
pub fn full_day(date: NaiveDate) -> String {
    format!("{} {}", day(date), date.year())
}

/// "Thu 26 Nov".
pub fn short_day(date: NaiveDate) -> String {
    format!(
        "{} {} {}",
        &weekday(date.weekday())[..3],
        date.day(),
        &MONTHS[date.month0() as usize][..3]
    )
}

/// "26 Nov".
pub fn day_and_month(date: NaiveDate) -> String {
    format!("{} {}", date.day(), &MONTHS[date.month0() as usize][..3])
}

/// "today", "tomorrow", "on Thursday", or the date when it is more than six days away.
pub fn when(date: NaiveDate, today: NaiveDate) -> String {
    match (date - today).num_days() {
        ..=0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        2..=6 => format!("on {}", weekday(date.weekday())),
        _ => format!("on {}", day(date)),
    }
}

/// "18:04".
pub fn time(at: DateTime<FixedOffset>) -> String {
    format!("{:02}:{:02}", at.hour(), at.minute())
}

/// A time of day as a time field has it: "18:04".
pub fn clock_time(time: NaiveTime) -> String {
    format!("{:02}:{:02}", time.hour(), time.minute())
}

pub fn greeting(at: DateTime<FixedOffset>) -> &'static str {
    match at.hour() {
        4..=11 => "Good morning",
        12..=17 => "Good afternoon",
        0..=3 | 18.. => "Good evening",
    }
}

/// Whole minutes, rounded up: "18 min".
pub fn minutes(time: Duration) -> String {
    format!("{} min", time.as_secs().div_ceil(60))
}

/// A countdown: "0:52".
pub fn countdown(left: Duration) -> String {
    let secs = whole_secs_left(left);
    format!("{}:{:02}", secs / 60, secs % 60)
}

/// The seconds a countdown shows: it says 1 until the last moment.
pub fn whole_secs_left(left: Duration) -> u64 {
    left.as_secs() + u64::from(0 < left.subsec_nanos())
}

/// "40 seconds", "3 minutes".
pub fn about(time: Duration) -> String {
    match time.as_secs() {
        secs @ ..120 => format!("{secs} seconds"),
        secs => format!("{} minutes", secs / 60),
    }
}

/// Days of the week in a row: "Monday, Wednesday and Friday".
pub fn days(days: &[Weekday]) -> String {
    let names: Vec<&str> = days.iter().map(|&day| weekday(day)).collect();
    super::dose::list(&names)
}
