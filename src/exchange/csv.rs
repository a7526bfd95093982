//! A log as a table for a spreadsheet: comma-separated values after RFC 4180, a row for each
//! set, and one for each day on which an exercise was missed or left out.
//!
//! It is written for people and never read back: the log's own file is the one to keep.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::Serialize;

use crate::domain::log::course::training_day;
use crate::domain::log::history::{DoneSet, History, Session};
use crate::domain::log::mornings::Mornings;
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::Dose;
use crate::domain::plan::routine::Routine;
use crate::domain::visit::review::{
    Came, DayAsked, as_followed, asked, days, days_warned, light_of, prescribed_sets,
};
use crate::domain::words::Id;

/// Tells a spreadsheet that the text is UTF-8.
const BYTE_ORDER_MARK: char = '\u{feff}';
const LINE_END: &str = "\r\n";

/// The columns, in order. They are only ever added to, at the end.
pub const COLUMNS: [&str; 27] = [
    "day",
    "ended_at",
    "exercise_id",
    "exercise",
    "routine_id",
    "routine_version",
    "set",
    "rung",
    "help",
    "reps",
    "prescribed_reps",
    "work_seconds",
    "load",
    "ending",
    "pain_during",
    "site",
    "pain_at_rest",
    "worked_today",
    "pain_next_morning",
    "swelling_next_morning",
    "light",
    "session_id",
    "session_started_at",
    "row",
    "prescribed_sets",
    "sets_taken_off",
    "sessions_due",
];

type Row = [String; COLUMNS.len()];

/// The whole log by days: the sets in the order in which they were done, then what was missed, what the rule
/// left out, and the mornings after days on which nothing was due. Pain is in points from 0 to 10; what was
/// not asked or not answered is an empty cell. Days are the client's own, moments have their offset.
pub fn print(history: &History) -> String {
    let table = Table { history, mornings: Mornings::of(history), warned: days_warned(history) };
    let mut text = String::from(BYTE_ORDER_MARK);
    push_row(&mut text, COLUMNS.map(str::to_owned));
    for row in table.rows() {
        push_row(&mut text, row);
    }
    text
}

struct Table<'a> {
    history: &'a History,
    mornings: Mornings,
    warned: BTreeSet<NaiveDate>,
}

impl Table<'_> {
    fn rows(&self) -> impl Iterator<Item = Row> {
        let first = [self.history.first_accepted().map(training_day)];
        let trained = self.history.sessions().iter().map(Session::day).min();
        let first = first.into_iter().chain([trained]).flatten().min();
        let period = first.zip(self.history.last_day()).filter(|(first, last)| first <= last);
        let known = period.into_iter().flat_map(|(first, last)| days(first, last));
        let trained = self.history.sessions().iter().map(Session::day);
        let all: BTreeSet<NaiveDate> = known.chain(trained).collect();
        all.into_iter().flat_map(|day| self.rows_of(day))
    }

    fn rows_of(&self, day: NaiveDate) -> Vec<Row> {
        let sessions = self.history.sessions_on(day..=day);
        let sets = sessions.flat_map(|session| session.sets.iter().map(move |set| (session, set)));
        let mut rows: Vec<Row> = sets.map(|(session, set)| self.of_set(session, set)).collect();
        let routine = self.history.in_force(day);
        let prescribed = routine.into_iter().flat_map(Routine::exercises);
        let answered = self.mornings.after(day);
        let rated = answered.into_iter().flat_map(|answered| answered.ratings.keys());
        let mut told = BTreeSet::new();
        for exercise in prescribed.map(|exercise| &exercise.id).chain(rated) {
            let asked = asked(self.history, exercise, day);
            let is_rated = answered.is_some_and(|answered| answered.ratings.contains_key(exercise));
            let kind = match asked.came {
                Came::Missed => "missed",
                Came::LeftOut => "left_out",
                Came::NothingDue if is_rated => "not_due",
                Came::Done | Came::NothingDue => continue,
            };
            if told.insert(exercise) {
                rows.push(self.of_day(day, Some(exercise), kind, asked));
            }
        }
        if rows.is_empty() && answered.is_some() {
            let asked = DayAsked { due: 0, done: 0, came: Came::NothingDue };
            rows.push(self.of_day(day, None, "not_due", asked));
        }
        rows
    }

    fn of_set(&self, session: &Session, set: &DoneSet) -> Row {
        let (history, day) = (self.history, session.day());
        let exercise = as_followed(history, session, &set.exercise);
        let rung = exercise.map(|exercise| exercise.ladder.rung(set.rung));
        let dose = exercise.zip(rung).map(|(exercise, rung)| exercise.dose.with(&rung.dose));
        let rated = set.rated.as_ref();
        let prescribed = prescribed_sets(history, session, &set.exercise);
        [
            day.to_string(),
            set.ended_at.to_rfc3339(),
            set.exercise.as_str().to_owned(),
            text_of(exercise.map(|exercise| &exercise.name)),
            session.routine.as_str().to_owned(),
            session.version.get().to_string(),
            set.number.to_string(),
            set.rung.get().to_string(),
            text_of(rung.map(|rung| &rung.help)),
            set.reps.to_string(),
            text_of(dose.as_ref().map(Dose::reps_in_a_set)),
            set.work_secs.to_string(),
            text_of(dose.and_then(|dose| dose.load)),
            word(set.ending),
            text_of(rated.map(|rated| rated.rating.points())),
            text_of(rated.and_then(|rated| rated.site.as_ref())),
            text_of(session.at_rest.map(PainRating::points)),
            text_of(session.worked_today.map(word)),
            self.pain_after(day, &set.exercise),
            self.swelling_after(day),
            self.light(day, &set.exercise),
            session.id.to_string(),
            session.started_at.to_rfc3339(),
            "set".to_owned(),
            text_of(prescribed.map(|prescribed| prescribed.sets)),
            text_of(prescribed.map(|prescribed| prescribed.taken_off)),
            asked(history, &set.exercise, day).due.to_string(),
        ]
    }

    /// A day on which an exercise was not done.
    fn of_day(&self, day: NaiveDate, exercise: Option<&Id>, kind: &str, asked: DayAsked) -> Row {
        let routine = self.history.in_force(day);
        let known =
            routine.zip(exercise).and_then(|(routine, exercise)| routine.exercise(exercise));
        let of_exercise = |cell: fn(&Self, NaiveDate, &Id) -> String| {
            exercise.map_or_else(String::new, |exercise| cell(self, day, exercise))
        };
        COLUMNS.map(|column| match column {
            "day" => day.to_string(),
            "exercise_id" => text_of(exercise.map(Id::as_str)),
            "exercise" => text_of(known.map(|known| &known.name)),
            "routine_id" => text_of(routine.map(|routine| routine.id.as_str())),
            "routine_version" => text_of(routine.map(|routine| routine.version.get())),
            "pain_next_morning" => of_exercise(Self::pain_after),
            "swelling_next_morning" => self.swelling_after(day),
            "light" => of_exercise(Self::light),
            "row" => kind.to_owned(),
            "sessions_due" => asked.due.to_string(),
            _ => String::new(),
        })
    }

    fn pain_after(&self, day: NaiveDate, exercise: &Id) -> String {
        let answered = self.mornings.after(day);
        text_of(
            answered.and_then(|answered| answered.ratings.get(exercise)).map(|pain| pain.points()),
        )
    }

    fn swelling_after(&self, day: NaiveDate) -> String {
        text_of(self.mornings.after(day).map(|answered| word(answered.swelling)))
    }

    fn light(&self, day: NaiveDate, exercise: &Id) -> String {
        text_of(light_of(self.history, exercise, day, &self.warned).map(word))
    }
}

fn text_of(value: Option<impl ToString>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

/// The word that the log's own file has for it.
fn word(value: impl Serialize) -> String {
    let word = serde_json::to_value(value).ok();
    word.as_ref().and_then(|word| word.as_str()).unwrap_or_default().to_owned()
}

fn push_row(text: &mut String, cells: Row) {
    let cells = cells.map(|cell| quoted(harmless(&cell)));
    text.push_str(&cells.join(","));
    text.push_str(LINE_END);
}

/// What a spreadsheet may take for the beginning of a formula: OWASP, "CSV Injection"; a line break, and the
/// same letters in full width, are ours.
const fn begins_a_formula(letter: char) -> bool {
    matches!(letter, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠')
}

/// What ends a cell for one reader or another: some split at commas, some at semicolons or tabs, and some
/// take no notice of quotation marks.
const fn ends_a_cell(letter: char) -> bool {
    matches!(letter, ',' | ';' | '\t' | '\r' | '\n')
}

/// What a reader may skip at the beginning of a cell.
fn is_passed_over(letter: char) -> bool {
    letter.is_whitespace() || matches!(letter, '"' | '\u{200b}' | '\u{feff}')
}

/// Puts an apostrophe before whatever could begin a formula at the beginning of a cell, also of one that
/// only another reader would see: it makes a text of it.
fn harmless(cell: &str) -> String {
    let mut text = String::with_capacity(cell.len());
    let mut is_at_the_beginning = true;
    for letter in cell.chars() {
        if is_at_the_beginning && begins_a_formula(letter) {
            text.push('\'');
        }
        is_at_the_beginning =
            ends_a_cell(letter) || (is_at_the_beginning && is_passed_over(letter));
        text.push(letter);
    }
    text
}

/// RFC 4180, 2.5 to 2.7: quotation marks around what holds a comma, a line break or one of themselves; and
/// around what holds a semicolon, at which some readers split.
fn quoted(cell: String) -> String {
    if cell.contains([',', ';', '"', '\r', '\n']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn what_begins_like_a_formula_comes_out_as_text() {
        for cell in ["=1+1", "+1", "-1", "@sum", "\tx", "\rx", "\nx", "＝1"] {
            assert_eq!(harmless(cell), format!("'{cell}"));
        }
        for cell in ["", "3", "a=b", "'=1", "both hands", "2026-06-01T08:01:40+02:00"] {
            assert_eq!(harmless(cell), cell);
        }
    }

    /// OWASP, "CSV Injection": a cell that begins with `=`, `+`, `-`, `@`, a tab or a carriage return, and the
    /// separators and quotation marks with which a text could begin a cell of its own.
    #[test]
    fn what_begins_a_cell_for_another_reader_comes_out_as_text() {
        for (cell, text) in [
            (" =1", " '=1"),
            ("pain; =1", "pain; '=1"),
            ("pain;=1", "pain;'=1"),
            ("heel, -1 step", "heel, '-1 step"),
            ("\"=1\"", "\"'=1\""),
            ("x;\"=1", "x;\"'=1"),
            ("one\n@two", "one\n'@two"),
            ("\t=1", "'\t'=1"),
            ("\u{a0}\u{feff}+1", "\u{a0}\u{feff}'+1"),
        ] {
            assert_eq!(harmless(cell), text);
        }
    }

    /// The cells that a reader finds in a line: split at one letter or another, with or without a word for
    /// quotation marks, and with what it passes over taken off.
    fn cells_for_some_reader(line: &str, separator: u8) -> Vec<String> {
        let mut reader = ::csv::ReaderBuilder::new();
        let reader = reader.has_headers(false).flexible(true).delimiter(separator);
        let mut cells = Vec::new();
        for is_quoting in [true, false] {
            let mut rows = reader.quoting(is_quoting).from_reader(line.as_bytes());
            for row in rows.records().filter_map(Result::ok) {
                cells.extend(row.iter().map(str::to_owned));
            }
        }
        cells
    }

    fn assert_no_reader_runs(cell: &str) {
        let line = format!("2026-06-01,{},x", quoted(harmless(cell)));
        for separator in [b',', b';', b'\t'] {
            for found in cells_for_some_reader(&line, separator) {
                let bare = found.trim_start_matches(|letter| {
                    is_passed_over(letter) && !begins_a_formula(letter)
                });
                assert!(!bare.starts_with(begins_a_formula), "{cell:?} gives {found:?}");
            }
        }
    }

    proptest! {
        #[test]
        fn no_reader_finds_a_formula(cell in "[-=+@\t\r\n,;\"' a＝]{0,12}") {
            assert_no_reader_runs(&cell);
        }
    }

    /// The examples of RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn cells_are_quoted_as_the_standard_says() {
        assert_eq!(quoted("zzz".to_owned()), "zzz");
        assert_eq!(quoted("b \r\nbb".to_owned()), "\"b \r\nbb\"");
        assert_eq!(quoted("b\"bb".to_owned()), "\"b\"\"bb\"");
    }
}
