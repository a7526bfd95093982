//! What any text at all must satisfy at each of the app's borders. `make fuzz` makes texts up;
//! `tests/hostile.rs` reads those that were kept.

#![allow(dead_code, reason = "each binary uses one of these")]

use std::iter;
use std::sync::LazyLock;

use carryover::domain::log::history::History;
use carryover::domain::plan::photo::Photo;
use carryover::domain::plan::picture::{self, NoSides};
use carryover::domain::visit::review::Review;
use carryover::domain::visit::talking::talking_points;
use carryover::exchange::file::{self, File};
use carryover::exchange::frames::{self, Collector, Taken};
use carryover::exchange::link::{self, LibraryEntries, Origin, Packed, Packing};
use carryover::exchange::record::Record;
use carryover::exchange::{copy, csv, fhir};
use carryover::ui::text::fhir::in_words;
use carryover::ui::text::refusals::InWords;
use data_encoding::BASE64;
use serde_json::{Value, json};

/// A routine or log file: refused in words, or read, and then printed and read again it is the same. A
/// log that was read can be shown.
pub fn file(text: &str) {
    match file::parse(text) {
        Ok(File::Routine(read)) => {
            let printed = file::print_routine(&read.routine);
            let Ok(File::Routine(again)) = file::parse(&printed) else {
                panic!("a printed routine cannot be read: {printed}");
            };
            assert_eq!(again.routine, read.routine);
        }
        Ok(File::Log(records) | File::DamagedLog { records, .. }) => {
            let printed = file::print_log(&records);
            let Ok(File::Log(again)) = file::parse(&printed) else {
                panic!("a printed log cannot be read: {printed}");
            };
            assert_eq!(again, records);
            show(&records);
        }
        Err(refusal) => assert!(!refusal.in_words().is_empty()),
    }
}

/// Everything that is worked out from a log before it is shown, or before it goes out in other formats.
fn show(records: &[Record]) {
    let history = History::fold(records.iter().map(|record| &record.event));
    let (Some(first), Some(last)) = (records.first(), records.last()) else { return };
    for at in [first.event.at, last.event.at] {
        history.today(at.date_naive());
        history.owed_morning(at);
        history.open_session(at);
    }
    history.untold_verdicts();
    if let Some(review) = Review::of(&history, first.event.at.date_naive()) {
        talking_points(&history, &review);
    }
    assert!(csv::print(&history).ends_with("\r\n"));
    let resource = serde_json::from_str::<Value>(&fhir::print(records, in_words));
    assert!(resource.is_ok_and(|resource| resource["resourceType"] == "Bundle"));
}

/// A moment and a day, a line each, in the places of a log and a routine that hold one.
pub fn day(text: &str) {
    static ROUTINE: LazyLock<Value> = LazyLock::new(|| {
        let demo = include_str!("../fixtures/small-routine.json");
        serde_json::from_str::<Value>(demo).unwrap_or_default()["routine"].take()
    });
    let (moment, day) = text.split_once('\n').unwrap_or((text, text));
    let mut routine = ROUTINE.clone();
    routine["issued"] = json!(day);
    let exercise = routine["exercises"][0]["id"].clone();
    let noted = |number: u32, at: &str, what: Value| json!({ "id": format!("01KT0ND9G00W3GE1R70W3GE1{number:02}"), "at": at, "what": what });
    let usual = "2026-06-01T18:00:00+02:00";
    let session = "01KT0ND9G00W3GE1R70W3GE102";
    let set = json!({ "session": session, "exercise": exercise, "number": 1 });
    let ratings = json!({ exercise.as_str().unwrap_or_default(): 5 });
    for at in [moment, usual] {
        let events = [
            noted(1, usual, json!({ "routine_accepted": { "routine": ROUTINE.clone() } })),
            noted(
                2,
                usual,
                json!({ "session_started": {
                "routine": routine["id"], "version": 1, "plan": [{ "exercise": exercise, "from": { "rung": 1 } }],
            } }),
            ),
            noted(
                3,
                at,
                json!({ "set_ended": { "set": set, "rung": 1, "reps": 8, "work_secs": 40, "ending": "complete" } }),
            ),
            noted(4, at, json!({ "set_rated": { "set": set, "rating": 3 } })),
            noted(5, at, json!({ "session_ended": { "session": session } })),
            noted(
                6,
                at,
                json!({ "morning_answered": { "after": day, "ratings": ratings, "swelling": "clearly_more" } }),
            ),
            noted(7, at, json!({ "routine_accepted": { "routine": routine } })),
        ];
        file(&json!({ "format": "carryover-log", "version": 1, "events": events }).to_string());
    }
}

/// What stands behind the `#` of a link: refused in words, or a routine that goes into a link and comes
/// out of it as it was.
pub fn link(fragment: &str) {
    static LIBRARY: LazyLock<LibraryEntries> =
        LazyLock::new(|| LibraryEntries::parse(include_str!("../../public/library.json")));
    let library = |id: &str, revision| LIBRARY.exercise(id, revision);
    let unpacked = match link::parse(fragment) {
        Ok(Packed { packing: Packing::Plain, bytes }) => String::from_utf8(bytes).ok(),
        Ok(Packed { packing: Packing::Deflated, .. }) => None,
        Err(refusal) => {
            assert!(!refusal.in_words().is_empty());
            None
        }
    };
    // What a packed fragment would unpack to is tried as it is: packing would only hide it.
    for text in [unpacked.as_deref(), Some(fragment)].into_iter().flatten() {
        match link::restore(text, library) {
            Ok(read) => {
                let printed = link::condense(&read.routine, |_| None, library)
                    .map(|text| link::restore(&text, library).map(|again| again.routine));
                assert_eq!(printed, Ok(Ok(read.routine)));
            }
            Err(refusal) => assert!(!refusal.in_words().is_empty()),
        }
    }
}

/// One entry of the library, as a link fetches it: passed over, or a link that names it comes out as it went in.
pub fn entry(text: &str) {
    let entries = LibraryEntries::each(iter::once(text.to_owned()));
    let read: Value = serde_json::from_str(text).unwrap_or_default();
    let id = read["exercise"]["id"].as_str().and_then(|id| id.to_owned().try_into().ok());
    let revision = read["revision"].as_u64().and_then(|revision| u32::try_from(revision).ok());
    let (Some(id), Some(revision)) = (id, revision) else { return };
    let origin = Origin { id, revision };
    assert!(entries.has(&origin));
    let mut file: Value =
        serde_json::from_str(include_str!("../fixtures/small-routine.json")).unwrap_or_default();
    file["routine"]["exercises"] = json!([read["exercise"]]);
    let library = |id: &str, revision| entries.exercise(id, revision);
    if let Ok(File::Routine(read)) = file::parse(&file.to_string()) {
        match link::condense(&read.routine, |_| Some(origin.clone()), library) {
            Ok(text) => {
                let again = link::restore(&text, library).map(|again| again.routine);
                assert_eq!(again, Ok(read.routine));
            }
            Err(refusal) => assert!(!refusal.in_words().is_empty()),
        }
    }
}

/// The beginning of a picture: it tells sides, or how far to read on, or that it is none; more of the file
/// changes only the second.
pub fn picture(bytes: &[u8]) {
    let whole = picture::sides(bytes);
    match whole {
        Ok(sides) => assert!(0 < sides.pixels()),
        Err(NoSides::Further { bytes: needed }) => assert!(bytes.len() < needed),
        Err(NoSides::None) => {}
    }
    for end in (0..bytes.len()).step_by(7) {
        match picture::sides(&bytes[..end]) {
            Err(NoSides::Further { .. }) => {}
            told => assert_eq!(told, whole),
        }
    }
    for kind in ["jpeg", "webp"] {
        let address = format!("data:image/{kind};base64,{}", BASE64.encode(bytes));
        match Photo::new(&address).map(|photo| photo.shown().map(str::to_owned)) {
            Ok(Ok(shown)) => {
                assert!(
                    shown == address
                        && whole.is_ok_and(|sides| sides.pixels() <= Photo::MOST_PIXELS)
                );
            }
            Ok(Err(refusal)) | Err(refusal) => assert!(!refusal.in_words().is_empty()),
        }
    }
}

/// Codes in any order, one a line: a text that comes out whole is one that was cut up.
pub fn frames(codes: &str) {
    let mut collector = Collector::default();
    for code in codes.lines() {
        if let Taken::Whole(text) = collector.take(code) {
            let mut again = Collector::default();
            let taken =
                frames::split(&text).map(|codes| codes.iter().map(|code| again.take(code)).last());
            assert_eq!(taken, Ok(Some(Taken::Whole(text))));
        }
    }
}

/// A copy of a caseload: refused in words, or printed again with the same documents.
pub fn copy(text: &str) {
    match copy::parse(text) {
        Ok(documents) => {
            let printed =
                copy::print(documents.iter().map(|(key, text)| (key.clone(), text.as_str())));
            assert_eq!(copy::parse(&printed), Ok(documents));
        }
        Err(refusal) => assert!(!refusal.in_words().is_empty()),
    }
}
