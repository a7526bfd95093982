//! Damage on the way: every cut and every flipped bit of a file that the app wrote is refused in words, or
//! read as what was written. Of a damaged log every entry that is read is one that was written, and what is
//! missing is told.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use std::collections::BTreeMap;

use carryover::domain::log::event::Event;
use carryover::domain::plan::routine::Routine;
use carryover::exchange::copy;
use carryover::exchange::file::{self, File, parse, print_log, print_routine};
use carryover::exchange::record::Record;
use carryover::ui::text::refusals::InWords;
use proptest::prelude::*;
use serde_json::value::RawValue;

fn routine() -> Routine {
    let text = include_str!("fixtures/small-routine.json");
    let Ok(File::Routine(file)) = parse(text) else { panic!("a routine") };
    file.routine
}

/// A routine that was taken on, a few sets, a note with letters of two, three and four bytes, a light.
fn log() -> Vec<Record> {
    let example = include_str!("../docs/file-format.md").split_once("```json\n").unwrap().1;
    let Ok(File::Log(records)) = parse(example.split_once("```").unwrap().0) else {
        panic!("a log")
    };
    let mut records = records.into_iter();
    let first = records.next().unwrap();
    let filed = RawValue::from_string(serde_json::to_string(&routine()).unwrap()).unwrap();
    let accepted = Record::of_accepted(first.event, &filed);
    let mut chosen = vec![Record::parse(accepted.text()).unwrap()];
    let note = r#"{"id":"01M8B6GS5G34BV1JDW9QJGBSM3","at":"2026-11-26T06:51:10.250+01:00","what":{"note":{"text":"Ferse über \"5\",\n→ nass 👟"}},"x-y":[1,2.0,2.50,0.0,{"a":null}]}"#;
    chosen.extend(records.take(7));
    chosen.push(Record::parse(note).unwrap());
    chosen
}

fn documents() -> BTreeMap<String, String> {
    let mut documents: BTreeMap<String, String> = log()
        .iter()
        .map(|record| (format!("log/postal-round/{}", record.id()), record.text().to_owned()))
        .collect();
    let mut put = |key: &str, text: &str| documents.insert(key.to_owned(), text.to_owned());
    put("client/postal-round", r#"{"label":"Postal round 7","since":"2026-06-01"}"#);
    put("client/staircase", "{\"label\":\n");
    put("routine/postal-round/1", &serde_json::to_string(&routine()).unwrap());
    documents
}

fn copy_of(documents: &BTreeMap<String, String>) -> String {
    copy::print(documents.iter().map(|(key, text)| (key.clone(), text.as_str())))
}

/// Calls with every cut of a text and with every bit of it flipped, as a browser reads the bytes: with a
/// mark for what is no text.
fn each_damage(text: &str, mut call: impl FnMut(&str, &str)) {
    let bytes = text.as_bytes();
    for cut in 0..bytes.len() {
        call(&String::from_utf8_lossy(&bytes[..cut]), &format!("cut at {cut}"));
    }
    let mut flipped = bytes.to_vec();
    for at in 0..bytes.len() {
        for bit in 0..8 {
            flipped[at] = bytes[at] ^ (1 << bit);
            call(&String::from_utf8_lossy(&flipped), &format!("bit {bit} at {at}"));
        }
        flipped[at] = bytes[at];
    }
}

fn assert_refused_or_the_same_routine(text: &str, was: &Routine, how: &str) {
    match parse(text) {
        Ok(File::Routine(read)) => assert_eq!(read.routine, *was, "{how}"),
        Ok(other) => panic!("{how}: {other:?}"),
        Err(refusal) => assert!(!refusal.in_words().is_empty(), "{how}"),
    }
}

/// How many entries were read of a log, each as it was written.
fn entries_as_they_were(text: &str, was: &[Record], how: &str) -> Option<usize> {
    let known: BTreeMap<_, &Event> =
        was.iter().map(|record| (record.id(), &record.event)).collect();
    let is_known = |record: &Record| known.get(&record.id()) == Some(&&record.event);
    match parse(text) {
        Ok(File::Log(records)) => {
            assert!(records.iter().all(is_known), "{how}");
            assert_eq!(records.len(), was.len(), "{how}: not all, and not a word about it");
            Some(records.len())
        }
        Ok(File::DamagedLog { records, gaps }) => {
            assert!(records.iter().all(is_known), "{how}");
            assert!(!gaps.is_empty(), "{how}");
            Some(records.len())
        }
        Ok(File::Routine(_)) => panic!("{how}: a routine"),
        Err(refusal) => {
            assert!(!refusal.in_words().is_empty(), "{how}");
            None
        }
    }
}

fn assert_refused_or_the_same_copy(text: &str, was: &BTreeMap<String, String>, how: &str) {
    match copy::parse(text) {
        Ok(read) => assert_eq!(&read.into_iter().collect::<BTreeMap<_, _>>(), was, "{how}"),
        Err(refusal) => assert!(!refusal.in_words().is_empty(), "{how}"),
    }
}

#[test]
fn a_damaged_routine_is_refused_or_read_as_it_was() {
    let was = routine();
    each_damage(&print_routine(&was), |text, how| {
        assert_refused_or_the_same_routine(text, &was, how);
    });
}

#[test]
fn a_damaged_log_yields_only_entries_as_they_were_and_loses_at_most_the_one_that_was_hit() {
    let was = log();
    let text = print_log(&was);
    let begin = text.find('\n').unwrap();
    let end = text.rfind(']').unwrap();
    each_damage(&text, |text, how| {
        let read = entries_as_they_were(text, &was, how);
        let is_flip = how.starts_with("bit");
        let at: usize = how.rsplit(' ').next().unwrap().parse().unwrap();
        if is_flip && (begin..end).contains(&at) {
            assert!(read.is_some_and(|read| was.len() <= read + 1), "{how}: {read:?}");
        }
    });
}

#[test]
fn a_damaged_copy_is_refused_or_read_as_it_was() {
    let was = documents();
    each_damage(&copy_of(&was), |text, how| assert_refused_or_the_same_copy(text, &was, how));
}

#[test]
fn what_was_changed_by_hand_says_how_to_have_it_read() {
    let text = print_routine(&routine());
    let changed = text.replace("\"sets\": 3", "\"sets\": 4");
    assert_ne!(changed, text);
    let refusal = parse(&changed).unwrap_err();
    assert_eq!(refusal, file::FileError::Changed);
    assert!(refusal.in_words().contains("takes out the line with \"check\""), "{refusal:?}");
    let without: String =
        changed.lines().filter(|line| !line.contains("\"check\"")).collect::<Vec<_>>().join("\n");
    let Ok(File::Routine(read)) = parse(&without) else { panic!("a routine") };
    assert_eq!(read.routine.exercises()[0].dose.sets.get(), 4);

    let text = copy_of(&documents());
    let changed = text.replace("Postal round 7", "Postal round 8");
    assert_eq!(copy::parse(&changed), Err(copy::CopyError::Changed));
    let (head, rest) = changed.split_once("\"check\":").unwrap();
    let without = format!("{head}{}", rest.split_once(',').unwrap().1);
    let read: BTreeMap<String, String> = copy::parse(&without).unwrap().into_iter().collect();
    assert!(read["client/postal-round"].contains("Postal round 8"));
}

/// Editors lay a file out anew, and mail changes its line ends.
#[test]
fn white_space_between_values_is_no_damage() {
    let was = routine();
    let text = print_routine(&was);
    let tight = text.lines().map(str::trim_start).collect::<String>();
    for text in [text.replace('\n', "\r\n"), text.replace("  ", "\t"), tight] {
        let Ok(File::Routine(read)) = parse(&text) else { panic!("{:?}", parse(&text)) };
        assert_eq!(read.routine, was);
    }
    let was = log();
    let text = print_log(&was);
    for text in [text.replace('\n', "\r\n"), text.replace("\"check\":", " \"check\" : ")] {
        assert_eq!(entries_as_they_were(&text, &was, "white space"), Some(was.len()), "{text}");
        assert!(matches!(parse(&text), Ok(File::Log(_))));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(512) })]

    /// A block of a disk or a part of a download that went wrong.
    #[test]
    fn a_stretch_of_other_bytes_gives_nothing_that_was_not_written(
        at in any::<prop::sample::Index>(),
        length in 1..600_usize,
        bytes in prop::collection::vec(any::<u8>(), 600),
        letters in "[0-9,\\[\\]{}\": a-f]{600}",
        is_text in any::<bool>(),
        is_cut_out in any::<bool>(),
    ) {
        let with = if is_text { letters.into_bytes() } else { bytes };
        let spoil = |text: &str| {
            let mut spoiled = text.as_bytes().to_vec();
            let from = at.index(spoiled.len());
            let to = spoiled.len().min(from + length);
            let with = if is_cut_out { &[] } else { &with[..to - from] };
            spoiled.splice(from..to, with.iter().copied());
            String::from_utf8_lossy(&spoiled).into_owned()
        };
        let was = routine();
        assert_refused_or_the_same_routine(&spoil(&print_routine(&was)), &was, "a stretch");
        let was = documents();
        assert_refused_or_the_same_copy(&spoil(&copy_of(&was)), &was, "a stretch");
        let was = log();
        let known: Vec<&Event> = was.iter().map(|record| &record.event).collect();
        if let Ok(File::Log(records) | File::DamagedLog { records, .. }) = parse(&spoil(&print_log(&was))) {
            prop_assert!(records.iter().all(|record| known.contains(&&record.event)));
        }
    }
}
