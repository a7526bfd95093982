//! The JSON reader's complaints in plain words, for people who never saw a programming language.

use serde::Deserialize;

use super::InWords;
use crate::domain::day::NotADate;
use crate::domain::event_id::NotAnEventId;
use crate::domain::letters;
use crate::domain::log::event::NotAMoment;
use crate::domain::pain::PainOutOfRange;
use crate::domain::plan::dose::{NotADay, NotAPhaseWord, NotATempo, NotAnAmount};
use crate::domain::plan::ladder::NotALadder;
use crate::domain::plan::limits::NotATable;
use crate::domain::plan::phone::NotAPhoneNumber;
use crate::domain::plan::photo::NotAPhoto;
use crate::domain::plan::routine::NotARoutine;
use crate::domain::refused::Complaint;
use crate::domain::words::{NotAnId, NotWords, OutOfRange};
use crate::exchange::checksum::Changed;

/// The most letters of a complaint: it can quote what was found, which can be as long as a file.
const LONGEST: usize = 500;

/// Every refusal that a reader of JSON passes on, under its name.
#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum KnownRefusal {
    Words(NotWords),
    Id(NotAnId),
    Range(OutOfRange),
    EventId(NotAnEventId),
    Date(NotADate),
    Moment(NotAMoment),
    Pain(PainOutOfRange),
    PhaseWord(NotAPhaseWord),
    Tempo(NotATempo),
    Amount(NotAnAmount),
    Day(NotADay),
    Ladder(NotALadder),
    Table(NotATable),
    Phone(NotAPhoneNumber),
    Photo(NotAPhoto),
    Routine(NotARoutine),
    Changed(Changed),
}

impl InWords for KnownRefusal {
    fn in_words(&self) -> String {
        match self {
            Self::Words(why) => why.in_words(),
            Self::Id(why) => why.in_words(),
            Self::Range(why) => why.in_words(),
            Self::EventId(why) => why.in_words(),
            Self::Date(why) => why.in_words(),
            Self::Moment(why) => why.in_words(),
            Self::Pain(why) => why.in_words(),
            Self::PhaseWord(why) => why.in_words(),
            Self::Tempo(why) => why.in_words(),
            Self::Amount(why) => why.in_words(),
            Self::Day(why) => why.in_words(),
            Self::Ladder(why) => why.in_words(),
            Self::Table(why) => why.in_words(),
            Self::Phone(why) => why.in_words(),
            Self::Photo(why) => why.in_words(),
            Self::Routine(why) => why.in_words(),
            Self::Changed(why) => why.in_words(),
        }
    }
}

/// What is wrong, without the place, which is told apart.
impl InWords for Complaint {
    fn in_words(&self) -> String {
        let plain = known(&self.what).unwrap_or_else(|| translate(&self.what));
        let mut letters = plain.chars();
        let mut told: String = letters.by_ref().take(LONGEST).collect();
        if letters.next().is_some() {
            told.push('…');
        }
        letters::tame(&told).into_owned()
    }
}

/// A complaint as whoever maintains the program wants to have it told: of a file that ships with the app.
pub(super) fn as_it_stands(complaint: &Complaint) -> String {
    let Complaint { what, line, column } = complaint;
    let what = known(what).unwrap_or_else(|| what.clone());
    if *line == 0 { what } else { format!("{what} at line {line} column {column}") }
}

fn known(what: &str) -> Option<String> {
    serde_json::from_str::<KnownRefusal>(what).ok().map(|known| known.in_words())
}

/// What the reader itself says.
fn translate(message: &str) -> String {
    if let Some(name) = message.strip_prefix("missing field ") {
        return format!("\"{}\" is missing", bare(name));
    }
    if let Some(name) = message.strip_prefix("duplicate field ") {
        return format!("\"{}\" stands twice", bare(name));
    }
    if let Some(rest) = message.strip_prefix("unknown variant ") {
        return match rest.split_once(", expected ") {
            Some((found, known)) => {
                let known = known.strip_prefix("one of ").unwrap_or(known);
                format!("\"{}\" is none of {}", bare(found), bare(known))
            }
            None => format!("\"{}\" is not known here", bare(rest)),
        };
    }
    for beginning in ["invalid type: ", "invalid value: "] {
        if let Some((found, wanted)) =
            message.strip_prefix(beginning).and_then(|rest| rest.split_once(", expected "))
        {
            return format!(
                "{} stands where {} must be",
                found_in_words(found),
                wanted_in_words(wanted)
            );
        }
    }
    if let Some((found, wanted)) =
        message.strip_prefix("invalid length ").and_then(|rest| rest.split_once(", expected "))
    {
        let needed: String = wanted.chars().filter(char::is_ascii_digit).collect();
        return format!("a list has {found} values where {needed} are needed");
    }
    if ["input ", "premature end of input", "trailing input"]
        .iter()
        .any(|start| message.starts_with(start))
    {
        return "a date or time is not written like 2026-11-25 or 2026-11-25T18:04:05+01:00"
            .to_owned();
    }
    bare(message)
}

/// Without the reader's quotation marks.
fn bare(text: &str) -> String {
    text.replace('`', "")
}

fn found_in_words(found: &str) -> String {
    let value = |kind: &str| found.strip_prefix(kind).map(bare);
    if let Some(text) = value("string ") {
        format!("the text {text}")
    } else if let Some(number) = value("integer ").or_else(|| value("floating point ")) {
        format!("the number {number}")
    } else if let Some(truth) = value("boolean ") {
        truth
    } else {
        match found {
            "null" => "nothing",
            "sequence" => "a list",
            "map" => "a group of values",
            _ => "something else",
        }
        .to_owned()
    }
}

fn wanted_in_words(wanted: &str) -> &'static str {
    match wanted {
        "i64" | "u64" | "u32" | "u16" | "u8" | "i16" => "a whole number",
        "f64" => "a number",
        "a string" | "string" => "a text",
        "a sequence" => "a list",
        wanted if wanted.contains("date") || wanted.contains("time") => "a date or time",
        wanted
            if wanted.starts_with("struct")
                || wanted.contains("map")
                || wanted.contains("object") =>
        {
            "a group of values"
        }
        wanted if wanted.contains("enum") || wanted.contains("variant") => "one of the known words",
        _ => "another kind of value",
    }
}

#[cfg(test)]
mod tests {
    use serde::de::DeserializeOwned;
    use serde_json::{Value, json};

    use super::*;
    use crate::domain::event_id::EventId;
    use crate::domain::log::event::Event;
    use crate::domain::pain::PainRating;
    use crate::domain::plan::dose::{Amount, Days, PhaseWord, Sets, Tempo};
    use crate::domain::plan::ladder::Ladder;
    use crate::domain::plan::limits::Table;
    use crate::domain::plan::phone::PhoneNumber;
    use crate::domain::plan::photo::Photo;
    use crate::domain::plan::routine::Routine;
    use crate::domain::words::{Id, Words};
    use crate::exchange::file;
    use crate::exchange::record::Record;

    #[test]
    fn a_complaint_quotes_no_more_than_can_be_read() {
        let long = format!("\"\u{202E}{}\"", "h".repeat(1_000_000));
        let error = serde_json::from_str::<u8>(&long).unwrap_err();
        let told = Complaint::of(&error).in_words();
        assert!(told.starts_with("the text \"") && told.ends_with("h…"), "{told}");
        assert!(told.chars().count() <= 501 && !told.contains('\u{202E}'));
    }

    #[test]
    fn a_wrong_value_is_named_with_its_line() {
        let told =
            |from: &str, to: &str| file::parse(&SMALL.replace(from, to)).unwrap_err().in_words();
        assert_eq!(
            told("\"sets\": 3", "\"sets\": -3"),
            "at line 22: -3 is not a number of sets this app takes; it goes from 1 to 20"
        );
        assert!(
            told("\"usual_morning\": 2", "\"usual_morning\": 11")
                .ends_with("11 is not a pain rating; ratings go from 0 to 10")
        );
    }

    /// A name that only one side knows would show a person what is meant for the program.
    #[test]
    fn every_refusal_gets_through_a_reader_of_json() {
        fn told<T: DeserializeOwned>(json: &str) -> String {
            Complaint::of(&serde_json::from_str::<T>(json).err().unwrap()).in_words()
        }
        let event = r#"{"id":"01ARYZ6S410000000000000000","at":"2826-06-02T07:00:00+02:00","what":"told_to_go_on"}"#;
        let table = r#"{"low_max":5,"middle_max":2,"low":["stay","stay","stay","stay"],"middle":["stay","stay","stay","stay"],"high":["stay","stay","stay","stay"]}"#;
        let changed = event.replace("2826", "2026").replace('}', r#","check":"00000000"}"#);
        let rows = [
            (told::<Words>("\"\""), "a text is empty"),
            (told::<Id>("\"A\""), "an id has 1 to 64 small letters, digits and hyphens"),
            (told::<Sets>("21"), "21 is not a number of sets this app takes; it goes from 1 to 20"),
            (
                told::<EventId>(r#""say \"no\"""#),
                "\"say \"no\"\" is not an event id of the years 1970 to 2199",
            ),
            (told::<Event>(event), "2826-06-02 07:00:00 +02:00 is not in the years 1970 to 2199"),
            (told::<PainRating>("11"), "11 is not a pain rating; ratings go from 0 to 10"),
            (told::<PhaseWord>("\"\""), "the word of a phase is one word of 1 to 10 letters"),
            (told::<Tempo>("[]"), "a rep has 1 to 8 phases, not 0"),
            (
                told::<Amount>("1000.5"),
                "1000.5 is not a weight; it lies above 0 and goes up to 1000",
            ),
            (
                told::<Days>(r#"["someday"]"#),
                "\"someday\" is not a day; days are mon, tue, wed, thu, fri, sat and sun",
            ),
            (
                told::<Ladder>(r#"{"rungs":[],"start":1,"ceiling":1}"#),
                "a ladder has 1 to 12 rungs, not 0",
            ),
            (
                told::<Table>(table),
                "low pain ends at 5, which must be below the end of middle pain, 2",
            ),
            (
                told::<PhoneNumber>("\"12\""),
                "a telephone number has 3 to 15 digits, with spaces, hyphens, points, slashes or brackets between them",
            ),
            (
                told::<Photo>("\"https://example.org\""),
                "this is no photo that the app takes; it takes JPEG and WebP",
            ),
            (
                told::<Routine>(&with("exercises", json!([]))),
                "a routine has 1 to 20 exercises, not 0",
            ),
            (
                told::<Routine>(&with("issued", json!("today"))),
                "a day is not written like 2026-11-25",
            ),
            (
                Complaint::of(&Record::parse(&changed).err().unwrap()).in_words(),
                "it was damaged, or changed by hand, after it was written",
            ),
        ];
        for (told, words) in rows {
            assert_eq!(told, words);
        }
    }

    const SMALL: &str = include_str!("../../../../tests/fixtures/small-routine.json");

    fn with(field: &str, value: Value) -> String {
        let mut file: Value = serde_json::from_str(SMALL).unwrap();
        file["routine"][field] = value;
        file["routine"].to_string()
    }

    #[test]
    fn complaints_are_told_in_plain_words() {
        let rows = [
            ("missing field `steps`", "\"steps\" is missing"),
            ("duplicate field `dose`", "\"dose\" stands twice"),
            (
                "invalid type: string \"five\", expected i64",
                "the text \"five\" stands where a whole number must be",
            ),
            (
                "invalid type: floating point `2.5`, expected i64",
                "the number 2.5 stands where a whole number must be",
            ),
            (
                "invalid type: integer `7`, expected a sequence",
                "the number 7 stands where a list must be",
            ),
            (
                "invalid type: null, expected struct Dose",
                "nothing stands where a group of values must be",
            ),
            (
                "unknown variant `bounce`, expected one of `lift`, `lower`, `hold`, `relax`",
                "\"bounce\" is none of lift, lower, hold, relax",
            ),
            (
                "invalid length 3, expected an array of length 4",
                "a list has 3 values where 4 are needed",
            ),
            (
                "input contains invalid characters",
                "a date or time is not written like 2026-11-25 or 2026-11-25T18:04:05+01:00",
            ),
            ("-3 is not a number of sets", "-3 is not a number of sets"),
        ];
        for (complaint, plain) in rows {
            assert_eq!(translate(complaint), plain);
        }
    }
}
