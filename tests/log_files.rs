//! Logs as files: what goes out comes in again byte for byte, parts join to the same review in any order,
//! and a damaged file yields every entry that is whole and says what is missing.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use carryover::domain::event_id::EventId;
use carryover::domain::log::history::History;
use carryover::domain::visit::differences::differences;
use carryover::domain::visit::following::followed;
use carryover::domain::visit::review::Review;
use carryover::domain::visit::talking::talking_points;
use carryover::exchange::file::{
    File, FileError, Gap, VERSION, parse, print_log, print_log_bare, print_routine,
};
use carryover::exchange::record::{Record, join};
use carryover::ui::text::refusals::InWords;
use carryover::ui::text::visit_note::{AtVisit, visit_note};
use proptest::prelude::*;
use support::scripts::{Wild, a_quarter, scripts, write};

const WILD: Wild = Wild { corrections: true, journeys: true };

/// The example of the page that explains the format: it has every kind of fact, one event on a line.
fn example() -> String {
    let (_, rest) = include_str!("../docs/file-format.md").split_once("```json\n").unwrap();
    rest.split_once("```").unwrap().0.to_owned()
}

fn whole(text: &str) -> Vec<Record> {
    let Ok(File::Log(records)) = parse(text) else { panic!("a whole log") };
    records
}

fn damaged(text: &str) -> (Vec<Record>, Vec<Gap>) {
    match parse(text) {
        Ok(File::DamagedLog { records, gaps }) => (records, gaps),
        other => panic!("{other:?}"),
    }
}

fn ids(records: &[Record]) -> Vec<EventId> {
    records.iter().map(Record::id).collect()
}

#[test]
fn every_cut_of_a_log_yields_the_entries_before_it_and_says_that_the_end_is_missing() {
    let text = example();
    let all = whole(&text);
    let ends: Vec<usize> = all
        .iter()
        .map(|record| text.find(&record.checked()).unwrap() + record.checked().len())
        .collect();
    let last = text.trim_end().len();
    for cut in (0..last).step_by(7).chain(ends.iter().flat_map(|end| [end - 1, *end, end + 1])) {
        let before = ends.iter().filter(|end| **end <= cut).count();
        match parse(&text[..cut]) {
            Ok(File::DamagedLog { records, gaps }) => {
                assert_eq!(ids(&records), ids(&all[..before]), "cut at {cut}");
                assert!(!gaps.is_empty() && gaps.len() <= 2, "cut at {cut}: {gaps:?}");
            }
            Ok(other) => panic!("cut at {cut}: {other:?}"),
            Err(FileError::Empty | FileError::CutShort { .. }) => {
                assert_eq!(before, 0, "cut at {cut}");
            }
            Err(error) => panic!("cut at {cut}: {error:?}"),
        }
    }
    assert_eq!(damaged(&text[..ends[2] + 2]).1, [Gap::End { line: 5 }]);
}

#[test]
fn a_broken_entry_takes_no_other_along_and_is_named_by_its_line() {
    let text = example();
    let all = whole(&text);
    for (number, record) in all.iter().enumerate() {
        let rest: Vec<EventId> = ids(&all).into_iter().filter(|id| *id != record.id()).collect();
        let line = number + 2;
        let entry = record.checked();
        let breaks = [
            entry.replacen('"', "", 1),
            entry.replacen(':', "", 1),
            entry[..entry.len() / 2].to_owned(),
            entry[entry.len() / 2..].to_owned(),
            entry.replace("\"at\":\"2026", "\"at\":\"x"),
            entry.replace("\"at\":\"2026", "\"at\":\"2027"),
            entry.replacen('{', "", 1),
            "\u{0}\u{1}\u{fffd}".to_owned(),
        ];
        for broken in breaks {
            let (records, gaps) = damaged(&text.replacen(&entry, &broken, 1));
            assert_eq!(ids(&records), rest, "{broken}");
            let is_near = |gap: &Gap| match gap {
                Gap::Entry { line: at, .. } | Gap::Part { line: at } | Gap::End { line: at } => {
                    *at == line
                }
            };
            assert!(!gaps.is_empty() && gaps.iter().all(is_near), "{broken}: {gaps:?}");
        }
    }
}

#[test]
fn a_wrong_value_among_good_entries_is_told_in_plain_words() {
    let bare = print_log_bare(&whole(&example()));
    let (records, gaps) = damaged(&bare.replacen("\"rating\":3", "\"rating\":11", 1));
    assert_eq!(records.len(), whole(&example()).len() - 1);
    assert_eq!(
        gaps.iter().map(InWords::in_words).collect::<Vec<_>>(),
        ["at line 7: 11 is not a pain rating; ratings go from 0 to 10"]
    );
}

#[test]
fn another_value_in_the_place_of_a_good_one_is_told_where_the_entry_has_a_check_value() {
    let (records, gaps) = damaged(&example().replacen("\"rating\":3", "\"rating\":2", 1));
    assert_eq!(records.len(), whole(&example()).len() - 1);
    assert_eq!(
        gaps.iter().map(InWords::in_words).collect::<Vec<_>>(),
        ["at line 7: it was damaged, or changed by hand, after it was written"]
    );
}

#[test]
fn what_was_changed_by_hand_or_is_no_log_is_still_refused() {
    let text = example();
    let all = whole(&text);
    let entry = all[3].checked();
    let twice = text.replacen(&entry, &format!("{entry},\n{entry}"), 1);
    assert!(matches!(parse(&twice), Err(FileError::RepeatedId { .. })));
    assert!(matches!(
        parse(twice.trim_end_matches(['}', ']', '\n'])),
        Err(FileError::RepeatedId { .. })
    ));
    let newer = text.replacen("\"version\":2", "\"version\":9", 1);
    let cut = &newer[..newer.len() - 5];
    assert_eq!(parse(cut).unwrap_err(), FileError::TooNew { found: 9 });
    let only_wrong = format!(
        "{}{}]}}",
        "{\"format\":\"carryover-log\",\"version\":1,\"events\":[", "{\"id\":1}"
    );
    assert!(matches!(parse(&only_wrong), Err(FileError::Entry { number: 1, .. })));
    let routine = include_str!("fixtures/small-routine.json");
    assert!(matches!(parse(&routine[..routine.len() - 4]), Err(FileError::CutShort { .. })));
    for text in ["[[[[", "{\"a\":[{\"b\":[", "{{{{{{", "[{\"id\":"] {
        assert!(parse(text).is_err(), "{text}");
    }
}

/// Every version that was released has a routine and a log here, written once and read for ever: the first
/// without check values, the same with them, and as it is since the rule's second edition. A log goes out
/// in the newest version, each entry as it came in.
#[test]
fn every_released_version_is_read_and_a_log_goes_out_as_it_came_in() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/released");
    let bare: fn(&[Record]) -> String = print_log_bare;
    for (name, version, print) in
        [("1", 1, bare), ("1-checked", 1, print_log), ("2-checked", VERSION, print_log)]
    {
        let text = fs::read_to_string(folder.join(format!("routine-{name}.json"))).unwrap();
        let Ok(File::Routine(file)) = parse(&text) else { panic!("routine {name}") };
        let Ok(File::Routine(again)) = parse(&print_routine(&file.routine)) else {
            panic!("routine {name}, written again")
        };
        assert_eq!(again.routine, file.routine, "routine {name}");

        let text = fs::read_to_string(folder.join(format!("log-{name}.txt"))).unwrap();
        assert!(text.contains(&format!("\"version\":{version}")), "log {name}");
        let records = whole(&text);
        assert_eq!(records.len(), text.matches("\"id\":\"0").count(), "log {name}");
        let history = History::fold(records.iter().map(|record| &record.event));
        assert!(!history.accepted().is_empty() && !history.sessions().is_empty(), "log {name}");
        let newest = format!("\"version\":{VERSION}");
        let as_newest = text.replacen(&format!("\"version\":{version}"), &newest, 1);
        assert_eq!(print(&records), as_newest, "log {name}");
    }
}

fn records_of(story: &support::Story) -> Vec<Record> {
    story.events().iter().cloned().map(Record::new).collect()
}

/// All that a visit shows of a log.
fn review(records: &[Record]) -> String {
    let history = History::fold(records.iter().map(|record| &record.event));
    let Some(first) = history.accepted().first() else { return String::new() };
    let read = |from| {
        let review = Review::of(&history, from).unwrap();
        let points = talking_points(&history, &review);
        let put_aside = points.first().map(|point| point.id.clone()).into_iter().collect();
        let of_exercises = review.exercises.iter().map(|exercise| {
            let id = &exercise.exercise.id;
            let came = exercise.days.iter().map(|day| followed(&history, id, day.day));
            let differences = differences(&history, id, review.from, review.to);
            format!("{differences:?} {:?}", came.collect::<Vec<_>>())
        });
        let of_exercises: Vec<String> = of_exercises.collect();
        let note = visit_note(&AtVisit {
            label: "round 7",
            day: review.to,
            history: &history,
            review: Some(&review),
            points: &points,
            put_aside: &put_aside,
            next: history.accepted().first().map(|accepted| &accepted.routine),
            agreed: None,
        });
        format!("{review:?} {points:?} {of_exercises:?} {note}")
    };
    let whole = read(first.at.date_naive());
    let latest = Review::begins(&history, &[]).map(read);
    format!("{whole} {latest:?} {:?} {:?}", history.notes(), history.warnings())
}

proptest! {
    #![proptest_config(a_quarter())]

    #[test]
    fn export_import_export_gives_the_same_bytes(script in scripts(WILD)) {
        let text = print_log(&records_of(&write(&script)));
        let records = whole(&text);
        prop_assert_eq!(print_log(&records), text);
    }

    #[test]
    fn overlapping_parts_joined_in_any_order_give_the_same_review(
        script in scripts(WILD),
        cuts in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>()), 1..5),
        order in any::<prop::sample::Index>(),
        also in any::<prop::sample::Index>(),
    ) {
        let all = records_of(&write(&script));
        // Any stretches, and what none of them holds, so that together they are the whole log.
        let mut parts: Vec<Vec<Record>> = cuts
            .iter()
            .map(|(one, other)| {
                let (one, other) = (one.index(all.len()), other.index(all.len()));
                all[one.min(other)..=one.max(other)].to_vec()
            })
            .collect();
        let held: BTreeSet<EventId> = parts.iter().flatten().map(Record::id).collect();
        parts.push(all.iter().filter(|record| !held.contains(&record.id())).cloned().collect());
        parts.push(parts[also.index(parts.len())].clone());
        let turn = order.index(parts.len());
        parts.rotate_left(turn);
        let through_files = parts.iter().map(|part| whole(&print_log(part)));
        let joined = through_files
            .fold(Vec::new(), |known, part| join(&known, &part).unwrap());
        prop_assert_eq!(print_log(&joined), print_log(&all));
        prop_assert_eq!(review(&joined), review(&all));
    }

    #[test]
    fn a_history_that_catches_up_is_the_whole_fold(
        script in scripts(WILD),
        cuts in prop::collection::vec(any::<prop::sample::Index>(), 1..4),
        withheld in any::<prop::sample::Index>(),
    ) {
        let all = records_of(&write(&script));
        let whole = |records: &[Record]| format!("{:?}", History::fold(records.iter().map(|record| &record.event)));
        let mut ends: Vec<usize> = cuts.iter().map(|cut| cut.index(all.len())).collect();
        ends.sort_unstable();
        // One entry comes in late, as from a second phone.
        let withheld = all[withheld.index(all.len())].id();
        let mut history = History::default();
        for end in ends {
            let known: Vec<Record> =
                all[..end].iter().filter(|record| record.id() != withheld).cloned().collect();
            history.catch_up(known.iter().map(|record| &record.event));
            prop_assert_eq!(format!("{history:?}"), whole(&known));
        }
        history.catch_up(all.iter().map(|record| &record.event));
        prop_assert_eq!(format!("{history:?}"), whole(&all));
    }

    #[test]
    fn any_text_is_read_or_refused(text in "[\\[\\]{}\",:a-z0-9 \\n]{0,60}", cut in any::<prop::sample::Index>()) {
        let example = example();
        let mut at = cut.index(example.len());
        while !example.is_char_boundary(at) {
            at -= 1;
        }
        let spoiled = format!("{}{text}{}", &example[..at], &example[at..]);
        match parse(&spoiled) {
            Ok(File::Log(records) | File::DamagedLog { records, .. }) => {
                // At most the entry in which the text landed is lost.
                prop_assert!(whole(&example).len() - 1 <= records.len());
            }
            Ok(File::Routine(_)) => prop_assert!(false),
            Err(_) => prop_assert!(at < 50, "{spoiled}"),
        }
    }
}
