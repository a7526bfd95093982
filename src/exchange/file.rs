//! The app's own files: a routine that is handed over, a log that is handed back.
//!
//! The format is described in `docs/file-format.md`. A routine is read whole or not at all. A damaged log
//! yields every entry that is whole, and what is missing is said.

use std::collections::BTreeSet;
use std::fmt;

use serde::de::{IgnoredAny, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::value::RawValue;
use serde_json::{Value, json};

use super::checksum;
use super::record::Record;
use crate::domain::event_id::EventId;
use crate::domain::plan::photo::{NotAPhoto, Photo};
use crate::domain::plan::routine::Routine;
use crate::domain::refused::Complaint;
use crate::domain::words::Words;

/// The version this app writes, and the newest it reads.
pub const VERSION: i64 = 2;
const ROUTINE: &str = "carryover-routine";
pub(super) const LOG: &str = "carryover-log";
/// The largest file that is read, in bytes.
pub const LARGEST: usize = 40_000_000;
/// The largest routine that is read, in bytes: one that has as many photos and letters as fit is smaller.
const LARGEST_ROUTINE: usize = 16_000_000;
/// The most events that one log file may hold.
pub const MOST_EVENTS: usize = 200_000;
/// How many bytes of a damaged log are read in vain before the rest is given up, so that a file made to
/// be slow is not.
const PATIENCE: usize = 50_000_000;
/// So many gaps that what follows is not looked at.
const MOST_GAPS: usize = 1000;

/// A routine, and its text as it stood in the file.
#[derive(Clone, Debug)]
pub struct RoutineFile {
    pub routine: Routine,
    pub as_filed: Box<RawValue>,
}

impl RoutineFile {
    /// The same with the photos of a routine of before, where an exercise has none of its own: a link has no
    /// room for photos, so that it takes none away.
    #[must_use]
    pub fn with_photos_of(self, before: &Routine) -> Self {
        let photo_of = |id: &str| {
            let same = before.exercises().iter().find(|exercise| exercise.id.as_str() == id);
            same.and_then(|exercise| exercise.photo.as_ref())
        };
        let Ok(mut filed) = serde_json::from_str::<Value>(self.as_filed.get()) else { return self };
        let exercises = filed.get_mut("exercises").and_then(Value::as_array_mut);
        for exercise in exercises.into_iter().flatten() {
            let photo = exercise.get("id").and_then(Value::as_str).and_then(photo_of);
            if let (Some(photo), Some(fields)) = (photo, exercise.as_object_mut()) {
                fields.entry("photo").or_insert_with(|| json!(photo));
            }
        }
        let as_filed = RawValue::from_string(filed.to_string());
        let together = as_filed.and_then(|as_filed| {
            Ok(Self { routine: serde_json::from_str(as_filed.get())?, as_filed })
        });
        together.unwrap_or(self)
    }
}

#[derive(Clone, Debug)]
pub enum File {
    Routine(Box<RoutineFile>),
    Log(Vec<Record>),
    /// The entries of a damaged log that are whole, at least one, and where others are missing.
    DamagedLog {
        records: Vec<Record>,
        gaps: Vec<Gap>,
    },
}

/// A place in a damaged log at which something is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Gap {
    Entry { line: usize, what: Complaint },
    Part { line: usize },
    End { line: usize },
}

/// Why a file could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileError {
    Empty,
    TooLarge,
    RoutineTooLarge,
    CutShort { line: usize },
    NotJson { line: usize },
    NotOurs,
    TooNew { found: i64 },
    Routine(Complaint),
    Photo { name: Words, why: NotAPhoto },
    Changed,
    NoEntries,
    Entry { number: usize, what: Complaint },
    RepeatedId { number: usize, id: EventId },
    TooManyEntries { found: usize },
}

#[derive(Deserialize)]
struct Head {
    format: Option<String>,
    version: Option<i64>,
}

#[derive(Deserialize)]
struct RoutineBody {
    check: Option<String>,
    routine: Box<RawValue>,
}

#[derive(Deserialize)]
struct WholeRoutine {
    routine: Routine,
}

#[derive(Deserialize)]
struct LogBody<'a> {
    #[serde(borrow)]
    events: Events<'a>,
}

/// The events of a log, at most [`MOST_EVENTS`]; what comes after those is counted, and not kept.
struct Events<'a> {
    first: Vec<&'a RawValue>,
    found: usize,
}

impl<'de: 'a, 'a> Deserialize<'de> for Events<'a> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Few;
        impl<'de> Visitor<'de> for Few {
            type Value = Events<'de>;

            fn expecting(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
                to.write_str("a list of events")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Events<'de>, A::Error> {
                let mut first = Vec::new();
                while first.len() < MOST_EVENTS {
                    let Some(event) = list.next_element()? else { break };
                    first.push(event);
                }
                let mut found = first.len();
                while list.next_element::<IgnoredAny>()?.is_some() {
                    found += 1;
                }
                Ok(Events { first, found })
            }
        }
        from.deserialize_seq(Few)
    }
}

/// Reads a file by its content.
pub fn parse(text: &str) -> Result<File, FileError> {
    if LARGEST < text.len() {
        return Err(FileError::TooLarge);
    }
    let text = text.trim_start_matches('\u{feff}');
    if text.trim().is_empty() {
        return Err(FileError::Empty);
    }
    let head = serde_json::from_str(text).map_err(|error| match error.classify() {
        serde_json::error::Category::Eof => FileError::CutShort { line: error.line() },
        serde_json::error::Category::Syntax => FileError::NotJson { line: error.line() },
        serde_json::error::Category::Data | serde_json::error::Category::Io => FileError::NotOurs,
    });
    match head.and_then(check) {
        Ok(Kind::Routine) => parse_routine(text),
        Ok(Kind::Log) => parse_log(text).or_else(|refusal| parse_damaged(text, refusal)),
        Err(refusal) => parse_damaged(text, refusal),
    }
}

enum Kind {
    Routine,
    Log,
}

/// What a file says that it is.
fn check(head: Head) -> Result<Kind, FileError> {
    let (Some(format), Some(version)) = (head.format, head.version) else {
        return Err(FileError::NotOurs);
    };
    if ![ROUTINE, LOG].contains(&format.as_str()) || version < 1 {
        return Err(FileError::NotOurs);
    }
    if VERSION < version {
        return Err(FileError::TooNew { found: version });
    }
    Ok(if format == ROUTINE { Kind::Routine } else { Kind::Log })
}

fn parse_routine(text: &str) -> Result<File, FileError> {
    if LARGEST_ROUTINE < text.len() {
        return Err(FileError::RoutineTooLarge);
    }
    let in_routine = |error: serde_json::Error| FileError::Routine(Complaint::of(&error));
    let whole: WholeRoutine = serde_json::from_str(text).map_err(in_routine)?;
    let body: RoutineBody = serde_json::from_str(text).map_err(in_routine)?;
    if body.check.is_some_and(|check| check != checksum::of(body.routine.get())) {
        return Err(FileError::Changed);
    }
    for exercise in whole.routine.exercises() {
        if let Some(Err(why)) = exercise.photo.as_ref().map(Photo::shown) {
            let name = exercise.name.clone();
            return Err(FileError::Photo { name, why });
        }
    }
    Ok(File::Routine(Box::new(RoutineFile { routine: whole.routine, as_filed: body.routine })))
}

fn parse_log(text: &str) -> Result<File, FileError> {
    let body: LogBody = serde_json::from_str(text).map_err(|_wrong| FileError::NoEntries)?;
    let Events { first, found } = body.events;
    if MOST_EVENTS < found {
        return Err(FileError::TooManyEntries { found });
    }
    let mut seen = BTreeSet::new();
    let mut records = Vec::with_capacity(found);
    for (index, raw) in first.into_iter().enumerate() {
        let number = index + 1;
        let record = Record::parse(raw.get())
            .map_err(|error| FileError::Entry { number, what: Complaint::of(&error) })?;
        if !seen.insert(record.id()) {
            return Err(FileError::RepeatedId { number, id: record.id() });
        }
        records.push(record);
    }
    records.sort_by_key(Record::id);
    Ok(File::Log(records))
}

/// Reads the whole entries of a damaged log, or refuses it for the reason that was found.
///
/// Entries follow each other in a list, so what is lost between two of them takes no other along. A log
/// in which one id stands twice was changed by hand, and is refused.
fn parse_damaged(text: &str, refusal: FileError) -> Result<File, FileError> {
    let is_damage = match refusal {
        FileError::CutShort { .. } | FileError::NotJson { .. } | FileError::Entry { .. } => true,
        FileError::Empty
        | FileError::TooLarge
        | FileError::RoutineTooLarge
        | FileError::NotOurs
        | FileError::TooNew { .. }
        | FileError::Routine(_)
        | FileError::Photo { .. }
        | FileError::Changed
        | FileError::NoEntries
        | FileError::RepeatedId { .. }
        | FileError::TooManyEntries { .. } => false,
    };
    let Some((head, entries)) = text.split_once('[').filter(|_| is_damage) else {
        return Err(refusal);
    };
    let Ok(head) = serde_json::from_str(&format!("{head}[]}}")) else { return Err(refusal) };
    let Kind::Log = check(head)? else { return Err(refusal) };
    let mut lines = Lines { text: entries, at: 0, line: head_lines(text, entries) };

    let mut records: Vec<Record> = Vec::new();
    let mut gaps = Vec::new();
    let mut seen = BTreeSet::new();
    let mut at = 0;
    let mut patience = PATIENCE;
    // Within a damaged part anything can look like an entry that is none.
    let mut is_lost = false;
    while let Some(start) = entries[at..].find('{').map(|found| at + found) {
        if let Some(stray) = stray(&entries[at..start]).filter(|_| !is_lost) {
            gaps.push(Gap::Part { line: lines.of(at + stray) });
            is_lost = true;
        }
        let mut values =
            serde_json::Deserializer::from_str(&entries[start..]).into_iter::<&RawValue>();
        let value = match values.next() {
            Some(Ok(value)) => Some(value),
            Some(Err(error)) => {
                patience = patience.saturating_sub(read_until(&entries[start..], &error));
                None
            }
            None => None,
        };
        at = start + value.map_or(1, |value| value.get().len());
        match value.map(|value| Record::parse(value.get())) {
            Some(Ok(record)) => {
                if !seen.insert(record.id()) {
                    return Err(FileError::RepeatedId { number: seen.len() + 1, id: record.id() });
                }
                records.push(record);
                is_lost = false;
            }
            Some(Err(_)) | None if is_lost => {}
            Some(Err(error)) => {
                gaps.push(Gap::Entry { line: lines.of(start), what: Complaint::of(&error) });
            }
            None => {
                gaps.push(Gap::Part { line: lines.of(start) });
                is_lost = true;
            }
        }
        if MOST_EVENTS < records.len() {
            return Err(FileError::TooManyEntries { found: records.len() });
        }
        if patience == 0 || MOST_GAPS < gaps.len() {
            is_lost = true;
            at = entries.len();
        }
    }
    let end = entries[at..].split_once(']').filter(|(_, after)| after.contains('}'));
    if let Some((before, _)) = end {
        let stray = stray(before).filter(|_| !is_lost);
        gaps.extend(stray.map(|stray| Gap::Part { line: lines.of(at + stray) }));
    } else {
        if is_lost {
            gaps.pop();
        }
        gaps.push(Gap::End { line: lines.of(entries.len()) });
    }
    if gaps.is_empty() {
        gaps.push(Gap::Part { line: lines.of(entries.len()) });
    }
    if records.is_empty() {
        return Err(refusal);
    }
    records.sort_by_key(Record::id);
    Ok(File::DamagedLog { records, gaps })
}

/// The number of the line on which the entries begin, from 1.
fn head_lines(text: &str, entries: &str) -> usize {
    text[..text.len() - entries.len()].matches('\n').count() + 1
}

/// Line numbers of places that are asked for from front to back.
struct Lines<'a> {
    text: &'a str,
    at: usize,
    line: usize,
}

impl Lines<'_> {
    fn of(&mut self, at: usize) -> usize {
        self.line += self.text[self.at..at].matches('\n').count();
        self.at = at;
        self.line
    }
}

/// How many bytes were read in vain until an error.
fn read_until(text: &str, error: &serde_json::Error) -> usize {
    let whole_lines = text.split_inclusive('\n').take(error.line().saturating_sub(1));
    whole_lines.map(str::len).sum::<usize>() + error.column()
}

/// Where something stands between two entries that is no comma.
fn stray(between: &str) -> Option<usize> {
    between.find(|letter: char| letter != ',' && !letter.is_ascii_whitespace())
}

/// Writes a routine file.
pub fn print_routine(routine: &Routine) -> String {
    #[derive(Serialize)]
    struct Whole<'a> {
        format: &'static str,
        version: i64,
        check: String,
        routine: &'a Routine,
    }
    let check = checksum::of(&serde_json::to_string(routine).unwrap_or_default());
    let whole = Whole { format: ROUTINE, version: VERSION, check, routine };
    serde_json::to_string_pretty(&whole).unwrap_or_default() + "\n"
}

/// Writes a log file: one event a line with its check value, in the order of the ids.
pub fn print_log(records: &[Record]) -> String {
    print_each(records, Record::checked)
}

/// Writes a log that goes where it is checked as a whole.
pub fn print_log_bare(records: &[Record]) -> String {
    print_each(records, |record| record.text().to_owned())
}

fn print_each(records: &[Record], line: impl Fn(&Record) -> String) -> String {
    let mut sorted: Vec<&Record> = records.iter().collect();
    sorted.sort_by_key(|record| record.id());
    print_lines(&sorted.into_iter().map(line).collect::<Vec<_>>())
}

/// A log of events that are written already.
pub(super) fn print_lines(lines: &[String]) -> String {
    format!(
        "{{\"format\":\"{LOG}\",\"version\":{VERSION},\"events\":[\n{}\n]}}\n",
        lines.join(",\n")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../tests/fixtures/small-routine.json");

    #[test]
    fn a_file_is_judged_by_its_content() {
        assert!(matches!(parse(DEMO), Ok(File::Routine(_))));
        assert!(matches!(
            parse(r#"{"format":"carryover-log","version":1,"events":[]}"#),
            Ok(File::Log(_))
        ));
        assert_eq!(parse(" \n ").unwrap_err(), FileError::Empty);
        assert_eq!(parse("{}").unwrap_err(), FileError::NotOurs);
        assert_eq!(parse("[1,2]").unwrap_err(), FileError::NotOurs);
        assert_eq!(parse("hello").unwrap_err(), FileError::NotJson { line: 1 });
        assert_eq!(
            parse(r#"{"format":"carryover-log","version":3,"events":"new"}"#).unwrap_err(),
            FileError::TooNew { found: 3 }
        );
    }

    #[test]
    fn every_cut_of_a_file_is_refused_with_a_reason() {
        for (end, _) in DEMO.trim_end().char_indices().skip(1) {
            let error = parse(&DEMO[..end]).unwrap_err();
            assert!(matches!(error, FileError::CutShort { .. }), "cut at {end}: {error:?}");
        }
    }

    #[test]
    fn what_this_version_does_not_know_survives() {
        let line = r#"{"id":"01ARYZ6S410000000000000000","at":"2026-11-25T18:04:05+01:00","mood":"calm","what":"told_to_go_on"}"#;
        let text = format!(
            "{{\"format\":\"carryover-log\",\"version\":{VERSION},\"events\":[\n{line}\n]}}\n"
        );
        let Ok(File::Log(records)) = parse(&text) else { panic!("a log") };
        assert_eq!(print_log_bare(&records), text);
    }

    #[test]
    fn a_routine_that_is_written_reads_back_as_it_was() {
        let Ok(File::Routine(file)) = parse(DEMO) else { panic!("a routine") };
        let Ok(File::Routine(again)) = parse(&print_routine(&file.routine)) else {
            panic!("a routine")
        };
        assert_eq!(again.routine, file.routine);
    }

    /// A log of centuries would have a page of centuries.
    #[test]
    fn a_moment_outside_the_years_of_any_log_is_refused() {
        for (at, is_read) in [
            ("1969-12-31T23:59:59Z", false),
            ("1970-01-01T00:00:00Z", true),
            ("2199-12-31T23:59:59Z", true),
            ("2200-01-01T01:00:00+02:00", true),
            ("2200-01-01T00:00:00Z", false),
            ("2826-06-02T07:00:00+02:00", false),
        ] {
            let line = format!(
                r#"{{"id":"01ARYZ6S410000000000000000","at":"{at}","what":"told_to_go_on"}}"#
            );
            let read = Record::parse(&line);
            assert_eq!(read.is_ok(), is_read, "{at}");
            assert!(read.err().is_none_or(|why| why.to_string().starts_with("{\"moment\":")));
        }
    }

    #[test]
    fn a_repeated_id_is_refused() {
        let line = r#"{"id":"01ARYZ6S410000000000000000","at":"2026-11-25T18:04:05+01:00","what":"told_to_go_on"}"#;
        let text =
            format!("{{\"format\":\"carryover-log\",\"version\":1,\"events\":[{line},{line}]}}");
        assert!(matches!(parse(&text), Err(FileError::RepeatedId { number: 2, .. })));
    }
}
