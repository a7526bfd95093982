//! A routine as reminders for any calendar: iCalendar, RFC 5545.
//!
//! Times are floating (RFC 5545, 3.3.5): seven in the morning is seven wherever the client is, on both
//! nights on which the clocks change. The events end by themselves, so that no alarm outlives a routine.

use std::time::Duration;

use chrono::{DateTime, Datelike, Days, FixedOffset, NaiveDate, NaiveTime, Timelike, Utc, Weekday};

use super::stable_id;
use crate::domain::plan::dose::session_time;
use crate::domain::plan::routine::{Exercise, Routine};

/// RFC 5545, 3.1: the most octets of a line, its end not counted.
const LONGEST_LINE: usize = 75;
const LINE_END: &str = "\r\n";
const WEEK: [Weekday; 7] = [
    Weekday::Mon,
    Weekday::Tue,
    Weekday::Wed,
    Weekday::Thu,
    Weekday::Fri,
    Weekday::Sat,
    Weekday::Sun,
];
const MORNING_CHECK: Duration = Duration::from_mins(5);

/// The times of day for the reminders.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Times {
    /// When the first, second and further sessions of a day begin. A session without a time gets no
    /// reminder.
    pub sessions: Vec<NaiveTime>,
    pub morning: NaiveTime,
}

impl Times {
    /// Times to begin with: once a day at 18:00, several spread evenly from 08:00 to 18:00, and the
    /// morning check at 07:00 (common practice, no source).
    pub fn usual(routine: &Routine) -> Self {
        let most = routine.exercises().iter().map(times_a_day).max().unwrap_or(1);
        let at = |number: u32| {
            let minutes = if most == 1 { 600 } else { 600 * number / (most - 1) };
            NaiveTime::from_hms_opt(8 + minutes / 60, minutes % 60, 0).unwrap_or_default()
        };
        Self {
            sessions: (0..most).map(at).collect(),
            morning: NaiveTime::from_hms_opt(7, 0, 0).unwrap_or_default(),
        }
    }
}

fn times_a_day(exercise: &Exercise) -> u32 {
    exercise.dose.times_a_day.get().into()
}

/// What the reminders are called, and what they ask.
#[derive(Clone, Copy, Debug)]
pub struct Captions {
    pub session: &'static str,
    pub morning: &'static str,
    pub morning_question: &'static str,
}

/// Reminders from a day on, for so many weeks: each session of each day on which something is
/// prescribed, and the morning check of each day after. `now` is when the file was written.
pub fn print(
    routine: &Routine,
    times: &Times,
    captions: Captions,
    from: NaiveDate,
    weeks: u16,
    now: DateTime<FixedOffset>,
) -> String {
    let mut lines = Lines::default();
    lines.add("BEGIN:VCALENDAR");
    lines.add("VERSION:2.0");
    lines.add(&format!("PRODID:-//Carryover//Carryover {}//EN", env!("CARGO_PKG_VERSION")));
    let until = from.checked_add_days(Days::new(u64::from(weeks) * 7)).unwrap_or(NaiveDate::MAX);
    let span = Span { from, until, now };
    for (number, time) in (0..).zip(&times.sessions) {
        for (days, exercises) in sessions(routine, number) {
            let names: Vec<String> =
                exercises.iter().map(|exercise| exercise.name.to_string()).collect();
            let length = session_time(exercises.iter().map(|exercise| &exercise.dose));
            lines.add_event(
                &span,
                &Reminder {
                    name: format!("{}/session-{}-{}", routine.id.as_str(), number + 1, days[0]),
                    summary: captions.session,
                    description: names.join("\n"),
                    time: *time,
                    length,
                    days,
                },
            );
        }
    }
    let is_after_training = |day: &Weekday| {
        routine.exercises().iter().any(|exercise| exercise.dose.days.contain(day.pred()))
    };
    lines.add_event(
        &span,
        &Reminder {
            name: format!("{}/morning-check", routine.id.as_str()),
            summary: captions.morning,
            description: captions.morning_question.to_owned(),
            time: times.morning,
            length: MORNING_CHECK,
            days: WEEK.into_iter().filter(is_after_training).collect(),
        },
    );
    lines.add("END:VCALENDAR");
    lines.text
}

/// The days on which a session of that number has the same exercises, with those exercises.
fn sessions(routine: &Routine, number: u32) -> Vec<(Vec<Weekday>, Vec<&Exercise>)> {
    let mut groups: Vec<(Vec<Weekday>, Vec<&Exercise>)> = Vec::new();
    for day in WEEK {
        let is_due = |exercise: &&Exercise| {
            number < times_a_day(exercise) && exercise.dose.days.contain(day)
        };
        let exercises: Vec<&Exercise> = routine.exercises().iter().filter(is_due).collect();
        match groups.iter_mut().find(|(_, of_group)| *of_group == exercises) {
            Some((days, _)) => days.push(day),
            None if exercises.is_empty() => {}
            None => groups.push((vec![day], exercises)),
        }
    }
    groups
}

struct Span {
    from: NaiveDate,
    /// The first day without reminders.
    until: NaiveDate,
    now: DateTime<FixedOffset>,
}

struct Reminder {
    /// Tells it from every other reminder, and is the same in each file.
    name: String,
    summary: &'static str,
    description: String,
    time: NaiveTime,
    length: Duration,
    days: Vec<Weekday>,
}

#[derive(Default)]
struct Lines {
    text: String,
}

impl Lines {
    fn add_event(&mut self, span: &Span, reminder: &Reminder) {
        let is_due = |day: &NaiveDate| reminder.days.contains(&day.weekday());
        let Some(first) = span.from.iter_days().take(7).find(is_due) else { return };
        if span.until <= first {
            return;
        }
        let last_moment = span.until.pred_opt().unwrap_or(span.from);
        let every = match reminder.days.as_slice() {
            days if days.len() == WEEK.len() => "FREQ=DAILY".to_owned(),
            days => {
                let days: Vec<&str> = days.iter().map(|&day| two_letters(day)).collect();
                format!("FREQ=WEEKLY;BYDAY={}", days.join(","))
            }
        };
        let summary = escaped(reminder.summary);
        self.add("BEGIN:VEVENT");
        self.add(&format!("UID:{}", stable_id::of("reminder", &reminder.name)));
        self.add(&format!("DTSTAMP:{}", span.now.with_timezone(&Utc).format("%Y%m%dT%H%M%SZ")));
        self.add(&format!("DTSTART:{}", floating(first, reminder.time)));
        self.add(&format!("DURATION:PT{}M", five_minutes(reminder.length)));
        self.add(&format!("RRULE:{every};UNTIL={}T235959", last_moment.format("%Y%m%d")));
        self.add(&format!("SUMMARY:{summary}"));
        self.add(&format!("DESCRIPTION:{}", escaped(&reminder.description)));
        self.add("CLASS:PRIVATE");
        self.add("TRANSP:TRANSPARENT");
        self.add("BEGIN:VALARM");
        self.add("ACTION:DISPLAY");
        self.add("TRIGGER:PT0S");
        self.add(&format!("DESCRIPTION:{summary}"));
        self.add("END:VALARM");
        self.add("END:VEVENT");
    }

    /// Adds one line, folded where it is too long: never within a letter.
    fn add(&mut self, line: &str) {
        let mut octets = 0;
        for letter in line.chars() {
            if LONGEST_LINE < octets + letter.len_utf8() {
                self.text.push_str(LINE_END);
                self.text.push(' ');
                octets = 1;
            }
            self.text.push(letter);
            octets += letter.len_utf8();
        }
        self.text.push_str(LINE_END);
    }
}

const fn two_letters(day: Weekday) -> &'static str {
    match day {
        Weekday::Mon => "MO",
        Weekday::Tue => "TU",
        Weekday::Wed => "WE",
        Weekday::Thu => "TH",
        Weekday::Fri => "FR",
        Weekday::Sat => "SA",
        Weekday::Sun => "SU",
    }
}

fn floating(day: NaiveDate, time: NaiveTime) -> String {
    format!("{}T{:02}{:02}{:02}", day.format("%Y%m%d"), time.hour(), time.minute(), time.second())
}

/// Minutes, rounded up to the next five.
const fn five_minutes(length: Duration) -> u64 {
    length.as_secs().div_ceil(300) * 5
}

/// RFC 5545, 3.3.11: what has a meaning of its own in a text.
fn escaped(text: &str) -> String {
    let text = text.replace('\\', "\\\\").replace(';', "\\;").replace(',', "\\,");
    text.replace("\r\n", "\n").replace('\n', "\\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 5545, 3.3.11: ESCAPED-CHAR, and what TSAFE-CHAR leaves as it is.
    #[test]
    fn what_has_a_meaning_in_a_text_is_escaped() {
        assert_eq!(escaped("a;b,c\\d\ne"), "a\\;b\\,c\\\\d\\ne");
        assert_eq!(escaped("left: both hands"), "left: both hands");
    }

    #[test]
    fn no_line_is_longer_than_75_octets_and_no_letter_is_cut() {
        for letter in ["a", "ä", "€", "🙂"] {
            let line = letter.repeat(200);
            let mut lines = Lines::default();
            lines.add(&line);
            let folded = lines.text.strip_suffix(LINE_END).unwrap();
            assert!(folded.split(LINE_END).all(|part| part.len() <= LONGEST_LINE));
            assert!(folded.split(LINE_END).count() <= line.len().div_ceil(LONGEST_LINE - 4));
            assert_eq!(folded.replace("\r\n ", ""), line);
        }
    }
}
