//! A log that goes from screen to camera: the latest part of it, cut into codes and put together again.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

#[path = "support/links.rs"]
mod links;

use carryover::domain::event_id::EventId;
use carryover::domain::log::event::{Event, Fact};
use carryover::domain::log::history::History;
use carryover::exchange::file::{self, File};
use carryover::exchange::frames::{Collector, Taken};
use carryover::exchange::link::{self, LibraryEntries, LinkError, Packing};
use carryover::exchange::log_codes::{MOST, latest, print, since_handed_back, split, whole};
use carryover::exchange::record::{Record, join};
use chrono::Weekday::{Mon, Tue};
use chrono::{DateTime, Days};
use links::library;
use serde_json::{Value, json};
use support::*;

fn records(story: &Story) -> Vec<Record> {
    story.events().iter().cloned().map(Record::new).collect()
}

/// So many days of three rated sets and an answered morning.
fn daily(days: u64) -> Story {
    let mut story = Story::with(&limits());
    for day in 0..days {
        let day = first(Tue) + Days::new(day);
        story.train(day, &[1, 2, 1]);
        story.morning(day + Days::new(1), 1);
    }
    story
}

fn events(records: &[Record]) -> Vec<Event> {
    records.iter().map(|record| record.event.clone()).collect()
}

fn codes_of(text: &str) -> Vec<String> {
    let bytes = miniz_oxide::deflate::compress_to_vec(text.as_bytes(), 6);
    split(Packing::Deflated, bytes).unwrap()
}

fn log(text: &str) -> Vec<Record> {
    let Ok(File::Log(records)) = file::parse(text) else { panic!("a log") };
    records
}

/// The log as a camera reads it: the codes from the last to the first, the first of them twice.
fn through_codes(part: &[Record]) -> Vec<Record> {
    let codes = codes_of(&print(part, library()));
    let mut collector = Collector::default();
    let mut taken = collector.take(&codes[0]);
    for code in codes.iter().rev() {
        if !matches!(taken, Taken::Whole(_)) {
            taken = collector.take(code);
        }
    }
    let Taken::Whole(text) = taken else { panic!("{taken:?}") };
    let packed = link::parse(&text).unwrap();
    let bytes = miniz_oxide::inflate::decompress_to_vec(&packed.bytes).unwrap();
    log(&whole(&String::from_utf8(bytes).unwrap(), library()).unwrap())
}

/// Four weeks of the routine that ships as the demo.
fn month() -> Vec<Record> {
    log(include_str!("fixtures/formats/month.log.txt"))
}

#[test]
fn a_week_in_codes_joins_what_the_practitioner_has_to_the_whole_log() {
    let story = daily(21);
    let all = records(&story);
    let part = latest(&all, 7);
    assert!(part.len() < all.len());
    let read = through_codes(&part);
    assert_eq!(events(&read), events(&part));
    let last_of_part = part.iter().map(Record::id).min().unwrap();
    let from = part.iter().map(Record::id).find(|id| *id != last_of_part).unwrap();
    let before: Vec<Record> = all.iter().filter(|record| record.id() < from).cloned().collect();
    assert_eq!(events(&join(&before, &read).unwrap()), events(&all));
}

#[test]
fn the_part_stands_alone_with_the_routine_that_was_followed() {
    let mut story = daily(21);
    story.accept(at(first(Mon) + Days::new(9), "12:00"), &routine(2, &limits(), &[heel_drop()]));
    let part = latest(&records(&story), 7);
    let history = History::fold(part.iter().map(|record| &record.event));
    assert_eq!(history.routine().unwrap().version.get(), 2);
    assert_eq!(history.sessions().len(), 6, "the last of 7 days holds a morning alone");
    assert!(history.sessions().iter().all(|session| session.sets.len() == 3));
}

#[test]
fn a_session_that_was_under_way_at_midnight_keeps_its_start() {
    let mut story = Story::with(&limits());
    story.session(at(first(Tue), "23:58")).sets(&[1, 1, 1]);
    story.note(at(first(Tue) + Days::new(7), "20:00"), Fact::HandedBack);
    let part = latest(&records(&story), 7);
    let history = History::fold(part.iter().map(|record| &record.event));
    // Seven days up to the next Tuesday begin on Wednesday; the sets after midnight are of Tuesday's session.
    assert_eq!(history.sessions()[0].day(), first(Tue));
}

#[test]
fn a_log_that_is_too_much_for_codes_is_refused_and_an_empty_one_has_no_part() {
    assert!(split(Packing::Plain, vec![0; 645 * MOST]).is_err());
    assert!(latest(&[], 28).is_empty());
}

/// The first week of the month as a phone has it: no tap at a full second, and the random bits of an id drawn
/// once a session.
fn a_full_week() -> Vec<Record> {
    let month = month();
    let first = month[0].event.at.date_naive();
    let is_in_week = |record: &&Record| record.event.at.date_naive() < first + Days::new(7);
    // Knuth, "The art of computer programming", volume 2, 3.3.4: the multiplier of MMIX.
    let mut state = 1_u64;
    let mut random = || {
        let product = state.wrapping_mul(6_364_136_223_846_793_005);
        state = product.wrapping_add(1_442_695_040_888_963_407);
        state >> 33
    };
    let (mut last, mut millis) = (None, 0);
    let mut bits = [0; 10];
    let mut renamed = Vec::new();
    let mut lines = Vec::new();
    for record in month.iter().filter(is_in_week) {
        if matches!(record.event.what, Fact::SessionStarted { .. }) {
            bits = std::array::from_fn(|_| u8::try_from(random() % 256).unwrap());
        }
        let later = u64::try_from(record.event.at.timestamp_millis()).unwrap() + random() % 20_000;
        millis = later.max(millis + 1);
        let id = EventId::after(last, millis, bits);
        renamed.push((record.id().to_string(), id.to_string()));
        last = Some(id);
        let mut event: Value = serde_json::from_str(record.text()).unwrap();
        let at = DateTime::from_timestamp_millis(i64::try_from(millis).unwrap()).unwrap();
        event["at"] = json!(at.with_timezone(record.event.at.offset()));
        lines.push(event.to_string());
    }
    let mut text = lines.join(",\n");
    for (before, after) in renamed {
        text = text.replace(&before, &after);
    }
    log(&format!("{{\"format\":\"carryover-log\",\"version\":2,\"events\":[\n{text}\n]}}"))
}

#[test]
fn a_full_week_is_handed_back_in_at_most_eight_codes() {
    let week = a_full_week();
    let sets = week.iter().filter(|record| matches!(record.event.what, Fact::SetRated { .. }));
    assert!(40 < sets.count());
    let text = print(&latest(&week, 7), library());
    let codes = codes_of(&text);
    assert!(codes.len() <= 8, "{} codes, {} characters", codes.len(), codes.concat().len());
    assert_eq!(events(&through_codes(&week)), events(&week));
}

#[test]
fn a_routine_of_the_library_is_named_and_comes_out_as_it_went_in() {
    let month = month();
    let text = print(&month, library());
    let carried: Value = serde_json::from_str(&text).unwrap();
    let routines = carried["routines"].as_object().unwrap();
    assert_eq!(routines.len(), 2, "every version that was taken on");
    for (id, routine) in routines {
        let length = routine.to_string().len();
        assert!(length < 1_500, "{id}: {length}");
    }
    assert_eq!(events(&through_codes(&month)), events(&month));
    // An app from before says that it is too new for it.
    assert!(file::parse(&text).is_err());
    let Err(LinkError::UnknownEntry { .. }) = whole(&text, &LibraryEntries::default()) else {
        panic!("an entry that is not there")
    };
    // Without a library, it goes whole.
    let apart = print(&month, &LibraryEntries::default());
    assert!(text.len() < apart.len());
    assert_eq!(events(&log(&whole(&apart, &LibraryEntries::default()).unwrap())), events(&month));
    let plain = file::print_log_bare(&month);
    assert_eq!(whole(&plain, &LibraryEntries::default()).unwrap(), plain);
}

#[test]
fn a_routine_with_what_this_version_does_not_know_goes_whole() {
    let text = month()[0].text().to_owned();
    let mut event: Value = serde_json::from_str(&text).unwrap();
    event["what"]["routine_accepted"]["routine"]["x-kept"] = json!("kept");
    let record = Record::parse(&event.to_string()).unwrap();
    let text = print(std::slice::from_ref(&record), library());
    assert!(text.contains("\"x-kept\":\"kept\"") && !text.contains("\"routine\":null"));
    // Beside the routine it stays, too.
    let mut event: Value = serde_json::from_str(month()[0].text()).unwrap();
    event["what"]["routine_accepted"]["x-kept"] = json!("kept");
    let record = Record::parse(&event.to_string()).unwrap();
    let text = print(&[record], library());
    assert!(whole(&text, library()).unwrap().contains("\"x-kept\":\"kept\""));
}

#[test]
fn codes_reach_back_to_the_day_of_the_last_handing_back() {
    let mut story = daily(21);
    assert_eq!(since_handed_back(&records(&story)), None);
    story.note(at(first(Tue) + Days::new(14), "17:00"), Fact::HandedBack);
    let all = records(&story);
    // The last entry is of the morning after the 21st day.
    assert_eq!(since_handed_back(&all), Some(8));
    let part = latest(&all, 8);
    let days = part.iter().map(|record| record.event.at.date_naive());
    assert_eq!(
        days.filter(|day| *day != all[0].event.at.date_naive()).min(),
        Some(first(Tue) + Days::new(14))
    );
}
