//! What any text at all must satisfy at each of the app's borders. `make fuzz` makes texts up;
//! `tests/hostile.rs` reads those that were kept.

#![allow(dead_code, reason = "each binary uses one of these")]

use std::sync::LazyLock;

use carryover::domain::history::History;
use carryover::domain::review::Review;
use carryover::domain::talking::talking_points;
use carryover::exchange::copy;
use carryover::exchange::file::{self, File};
use carryover::exchange::frames::{self, Collector, Taken};
use carryover::exchange::link::{self, Entries, Packed, Packing};
use carryover::exchange::record::Record;

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
        Err(refusal) => assert!(!refusal.to_string().is_empty()),
    }
}

/// Everything that is worked out from a log before it is shown.
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
}

/// What stands behind the `#` of a link: refused in words, or a routine that goes into a link and comes
/// out of it as it was.
pub fn link(fragment: &str) {
    static LIBRARY: LazyLock<Entries> =
        LazyLock::new(|| Entries::parse(include_str!("../../public/library.json")));
    let library = |id: &str, revision| LIBRARY.exercise(id, revision);
    let unpacked = match link::parse(fragment) {
        Ok(Packed { packing: Packing::Plain, bytes }) => String::from_utf8(bytes).ok(),
        Ok(Packed { packing: Packing::Deflated, .. }) => None,
        Err(refusal) => {
            assert!(!refusal.to_string().is_empty());
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
            Err(refusal) => assert!(!refusal.to_string().is_empty()),
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
        Err(refusal) => assert!(!refusal.to_string().is_empty()),
    }
}
