//! A log as a table for a spreadsheet: comma-separated values after RFC 4180, one row for each set.
//!
//! It is written for people and never read back: the log's own file is the one to keep.

use serde::Serialize;

use crate::domain::history::{DoneSet, History, Session};
use crate::domain::pain::PainRating;

/// Tells a spreadsheet that the text is UTF-8.
const BYTE_ORDER_MARK: char = '\u{feff}';
const LINE_END: &str = "\r\n";

/// The columns, in order. They are only ever added to, at the end.
pub const COLUMNS: [&str; 23] = [
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
];

/// The whole log, in the order in which the sets were done. Pain is in points from 0 to 10; what was
/// not asked or not answered is an empty cell. Days are the client's own, moments have their offset.
pub fn print(history: &History) -> String {
    let mut text = String::from(BYTE_ORDER_MARK);
    push_row(&mut text, COLUMNS.map(str::to_owned));
    for session in &history.sessions {
        for set in &session.sets {
            push_row(&mut text, cells(history, session, set));
        }
    }
    text
}

fn cells(history: &History, session: &Session, set: &DoneSet) -> [String; COLUMNS.len()] {
    let followed = history.accepted_for(session);
    let exercise = followed.and_then(|accepted| accepted.routine.exercise(&set.exercise));
    let rung = exercise.map(|exercise| exercise.ladder.rung(set.rung));
    let dose = exercise.zip(rung).map(|(exercise, rung)| exercise.dose.with(&rung.dose));
    let rated = set.rated.as_ref();
    let morning = history.morning_after(session.day());
    let told = history.told_about(&set.exercise, session.day()).next_back();
    [
        session.day().to_string(),
        set.ended_at.to_rfc3339(),
        set.exercise.as_str().to_owned(),
        text_of(exercise.map(|exercise| &exercise.name)),
        session.routine.as_str().to_owned(),
        session.version.get().to_string(),
        set.number.to_string(),
        set.rung.get().to_string(),
        text_of(rung.map(|rung| &rung.help)),
        set.reps.to_string(),
        text_of(dose.as_ref().map(|dose| dose.reps.get())),
        set.work_secs.to_string(),
        text_of(dose.and_then(|dose| dose.load)),
        word(set.ending),
        text_of(rated.map(|rated| rated.rating.points())),
        text_of(rated.and_then(|rated| rated.site.as_ref())),
        text_of(session.at_rest.map(PainRating::points)),
        text_of(session.worked_today.map(word)),
        text_of(
            morning
                .and_then(|answer| answer.ratings.get(&set.exercise))
                .copied()
                .map(PainRating::points),
        ),
        text_of(morning.map(|answer| word(answer.swelling))),
        text_of(told.map(|told| word(told.order.light()))),
        session.id.to_string(),
        session.started_at.to_rfc3339(),
    ]
}

fn text_of(value: Option<impl ToString>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

/// The word that the log's own file has for it.
fn word(value: impl Serialize) -> String {
    let word = serde_json::to_value(value).ok();
    word.as_ref().and_then(|word| word.as_str()).unwrap_or_default().to_owned()
}

fn push_row(text: &mut String, cells: [String; COLUMNS.len()]) {
    let cells = cells.map(|cell| quoted(harmless(cell)));
    text.push_str(&cells.join(","));
    text.push_str(LINE_END);
}

/// Some spreadsheets run a cell that begins like a formula. An apostrophe in front makes it a text.
fn harmless(cell: String) -> String {
    let is_formula =
        cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    if is_formula { format!("'{cell}") } else { cell }
}

/// RFC 4180, 2.5 to 2.7: quotation marks around what holds a comma, a line break or one of themselves.
fn quoted(cell: String) -> String {
    if cell.contains([',', '"', '\r', '\n']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_begins_like_a_formula_comes_out_as_text() {
        for cell in ["=1+1", "+1", "-1", "@sum", "\tx", "\rx", "\nx", "＝1"] {
            assert_eq!(harmless(cell.to_owned()), format!("'{cell}"));
        }
        for cell in ["", "3", "a=b", "'=1", "both hands"] {
            assert_eq!(harmless(cell.to_owned()), cell);
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
