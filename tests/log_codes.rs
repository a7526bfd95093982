//! A log that goes from screen to camera: the latest part of it, cut into codes and put together again.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::event::Fact;
use carryover::domain::history::History;
use carryover::exchange::file::{self, File};
use carryover::exchange::frames::{Collector, Taken};
use carryover::exchange::link::{self, Packing};
use carryover::exchange::log_codes::{MOST, latest, print, split};
use carryover::exchange::record::{Record, join};
use chrono::Days;
use chrono::Weekday::{Mon, Tue};
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

/// The log as a camera reads it: the codes from the last to the first, the first of them twice.
fn through_codes(part: &[Record]) -> Vec<Record> {
    let bytes = miniz_oxide::deflate::compress_to_vec(print(part).as_bytes(), 6);
    let codes = split(Packing::Deflated, bytes).unwrap();
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
    let Ok(File::Log(records)) = file::parse(std::str::from_utf8(&bytes).unwrap()) else {
        panic!("a log")
    };
    records
}

#[test]
fn a_week_in_codes_joins_what_the_practitioner_has_to_the_whole_log() {
    let story = daily(21);
    let all = records(&story);
    let part = latest(&all, 7);
    assert!(part.len() < all.len());
    let read = through_codes(&part);
    let texts =
        |records: &[Record]| records.iter().map(|one| one.text().to_owned()).collect::<Vec<_>>();
    assert_eq!(texts(&read), texts(&part));
    let last_of_part = part.iter().map(Record::id).min().unwrap();
    let from = part.iter().map(Record::id).find(|id| *id != last_of_part).unwrap();
    let before: Vec<Record> = all.iter().filter(|record| record.id() < from).cloned().collect();
    assert_eq!(texts(&join(&before, &read).unwrap()), texts(&all));
}

#[test]
fn the_part_stands_alone_with_the_routine_that_was_followed() {
    let mut story = daily(21);
    story.accept(at(first(Mon) + Days::new(9), "12:00"), &routine(2, &limits(), &[heel_drop()]));
    let part = latest(&records(&story), 7);
    let history = History::fold(part.iter().map(|record| &record.event));
    assert_eq!(history.routine().unwrap().version.get(), 2);
    assert_eq!(history.sessions.len(), 6, "the last of 7 days holds a morning alone");
    assert!(history.sessions.iter().all(|session| session.sets.len() == 3));
}

#[test]
fn a_session_that_was_under_way_at_midnight_keeps_its_start() {
    let mut story = Story::with(&limits());
    story.session(at(first(Tue), "23:58")).sets(&[1, 1, 1]);
    story.note(at(first(Tue) + Days::new(7), "20:00"), Fact::HandedBack);
    let part = latest(&records(&story), 7);
    let history = History::fold(part.iter().map(|record| &record.event));
    // Seven days up to the next Tuesday begin on Wednesday; the sets after midnight are of Tuesday's session.
    assert_eq!(history.sessions[0].day(), first(Tue));
}

#[test]
fn a_log_that_is_too_much_for_codes_is_refused_and_an_empty_one_has_no_part() {
    assert!(split(Packing::Plain, vec![0; 497 * MOST]).is_err());
    assert!(latest(&[], 28).is_empty());
}
