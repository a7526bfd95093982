//! The log in open formats: spreadsheet, calendar and clinical record, each read back by a parser that is
//! not ours, and each held to a file that was looked over once.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use carryover::domain::log::event::{Ending, Fact, Planned, SetRef, WorkedToday};
use carryover::domain::log::history::{History, Today};
use carryover::domain::log::rule::Swelling;
use carryover::domain::plan::routine::Routine;
use carryover::exchange::calendar::{self, Times};
use carryover::exchange::csv::{self, COLUMNS};
use carryover::exchange::fhir;
use carryover::exchange::file::{self, File};
use carryover::exchange::record::Record;
use carryover::ui::text::components::other_formats::{LOINC_NOTICE, REMINDERS};
use carryover::ui::text::fhir::in_words;
use chrono::Weekday::{Fri, Mon, Thu, Tue, Wed};
use chrono::{DateTime, Days, FixedOffset, NaiveDate, NaiveTime, TimeDelta};
use icalendar::Component;
use icalendar::parser::{read_calendar, unfold};
use proptest::prelude::*;
use serde_json::{Value, json};
use support::scripts::{Wild, a_quarter, scripts, write};
use support::*;

/// A heel and a chair, with texts that a careless writer would trip over.
fn stairs() -> Routine {
    let phase = |action: &str, secs: i64| json!({ "action": action, "secs": secs });
    serde_json::from_value(json!({
        "id": "stairs",
        "version": 1,
        "title": "Stairs, chair; and a \"good\" heel",
        "issued": "2026-06-01",
        "limits": {
            "table": {
                "low_max": 2, "middle_max": 5,
                "low": ["counts", "stay", "ease", "stay"],
                "middle": ["stay", "ease", "hold", "stay"],
                "high": ["ease", "hold", "hold", "hold"],
            },
            "sites": [{ "name": "=heel" }, { "name": "calf, outer side" }],
            "usual_morning": 1,
        },
        "exercises": [
            {
                "id": "heel-drop",
                "name": "Fersenabsenken über die Treppenkante – langsam, mit Rucksack 🎒 und Geländer",
                "steps": ["Stand on the lowest stair"],
                "dose": {
                    "sets": 3, "reps": 10, "rest_secs": 60, "sides": "left",
                    "tempo": [phase("lift", 1), phase("lower", 3)],
                    "load": { "weight": { "amount": 2.5, "unit": "kg" } },
                    "times_a_day": 2,
                },
                "ladder": {
                    "rungs": [
                        { "help": "both hands on the banister" },
                        { "help": "-1 hand: \"lightly\", please" },
                    ],
                    "start": 2, "ceiling": 2,
                },
            },
            {
                "id": "chair-rise",
                "name": "@Chair rise",
                "steps": ["Stand up"],
                "dose": {
                    "sets": 2, "reps": 8, "rest_secs": 45,
                    "tempo": [phase("lift", 2), phase("lower", 2)],
                    "load": { "described": "+ a thin loop band" },
                    "days": ["mon", "thu"],
                },
                "ladder": { "rungs": [{ "help": "hands on the seat" }], "start": 1, "ceiling": 1 },
            },
        ],
    }))
    .unwrap()
}

/// A week with everything in it: two sessions a day, a stop, a set left out, a site, a warning, a note.
fn week() -> Story {
    let mut story = Story::of(&stairs());
    story.session_of(&id("heel-drop"), at(first(Mon), "08:00"), Some(rating(1))).sets(&[2, 3, 2]);
    story.session_of(&id("chair-rise"), at(first(Mon), "18:00"), None).sets(&[0, 1]);
    story.morning(first(Tue), 1);
    let started = Fact::SessionStarted {
        routine: id("stairs"),
        version: 1.try_into().unwrap(),
        at_rest: Some(rating(2)),
        worked_today: Some(WorkedToday::Heavy),
        plan: Vec::new(),
    };
    let session = story.note(at(first(Tue), "18:00"), started);
    let set = |number| SetRef { session, exercise: id("heel-drop"), number };
    let ended = |number, reps, work_secs, ending| Fact::SetEnded {
        set: set(number),
        rung: rung(2),
        reps,
        work_secs,
        ending,
    };
    story.note(at(first(Tue), "18:02"), ended(1, 4, 17, Ending::Pain));
    let rated = Fact::SetRated { set: set(1), rating: rating(7), site: Some(words("=heel")) };
    let slip = story.note(at(first(Tue), "18:03"), rated);
    story.note(at(first(Tue), "18:04"), ended(2, 0, 0, Ending::LeftOut));
    story.note(at(first(Tue), "18:05"), Fact::SessionEnded { session });
    let corrected =
        Fact::Corrected { of: slip, exercise: None, rating: rating(6), site: Some(words("=heel")) };
    story.note(at(first(Tue), "18:06"), corrected);
    let text = words("=HYPERLINK(\"x\")\nIt pulled, at \"the\" third step; näher am Fuß.");
    story.note(at(first(Tue), "18:07"), Fact::Note { text, session: Some(session) });
    story.morning_at(at(first(Wed), "06:30"), 3, Swelling::ALittleMore);
    story.warning(at(first(Thu), "07:00"));
    story.told_to_go_on(at(first(Fri), "09:00"));
    for fact in story.history().untold_verdicts() {
        story.note(at(first(Fri), "09:01"), fact);
    }
    story
}

/// Three weeks with much to talk about: mornings that rise, two Holds within a week, and Thursdays on
/// which nothing is ever done.
fn three_weeks() -> Story {
    let mut heel = heel_drop();
    heel.name = words("Heel lowering on the stairs");
    let mut chair = chair_rise();
    chair.name = words("Chair rise");
    let own =
        carryover::domain::plan::limits::Limits { usual_morning: Some(rating(1)), ..limits() };
    let mut story = Story::of(&routine(1, &own, &[heel, chair]));
    let during = [2, 2, 3, 2, 2, 1, 2, 2, 3, 2, 3, 4, 3, 6, 3, 3, 4, 3, 7, 4, 3];
    let mornings = [1, 1, 2, 1, 1, 1, 1, 1, 1, 1, 0, 1, 1, 3, 2, 1, 1, 2, 4, 2, 3];
    for (number, (during, morning)) in (0_u64..).zip(during.into_iter().zip(mornings)) {
        let day = first(Mon) + Days::new(number);
        let is_thursday = number % 7 == 3;
        if !is_thursday && story.is_open(day) {
            let at = at(day, "18:00");
            let rest = Some(rating(i64::from(number > 10)));
            let mut session = story.session_of(&id("heel-drop"), at, rest);
            session.set(during - 1);
            session.set(during);
            if during < 6 {
                session.set(during - 1);
            }
        }
        let chair = story.today_of(&id("chair-rise"), day);
        if !is_thursday && chair.can_be_done() {
            let sets = usize::from(chair.dose.sets.get());
            story.train_other("chair-rise", day, &vec![i64::from(number % 3 == 0); sets]);
        }
        for fact in story.history().untold_verdicts() {
            story.note(at(day, "19:30"), fact);
        }
        if number % 5 != 4 {
            story.morning(day + Days::new(1), morning);
            for fact in story.history().untold_verdicts() {
                story.note(at(day + Days::new(1), "07:01"), fact);
            }
        }
    }
    let text = words("The stairs were harder after a long round. Is the rucksack too heavy?");
    story.note(at(first(Mon) + Days::new(21), "12:00"), Fact::Note { text, session: None });
    story
}

/// A month of the demo routine, with a new version after two weeks: evenings that were too much, rounds
/// that were heavy, two sites, a few days missed, three notes.
fn month() -> Story {
    let demo = include_str!("../public/routines/demo.json");
    let demo = demo.replace("2026-11-23", "2026-06-01");
    let Ok(File::Routine(file)) = file::parse(&demo) else { panic!("a routine") };
    let mut story = Story::of(&file.routine);
    let mut second = serde_json::to_value(&file.routine).unwrap();
    second["version"] = json!(2);
    second["issued"] = json!("2026-06-15");
    second["exercises"][3]["ladder"]["start"] = json!(2);
    let second: Routine = serde_json::from_value(second).unwrap();
    let heels =
        [3, 2, 4, 2, 3, 2, 2, 3, 2, 6, 2, 2, 3, 2, 4, 2, 3, 3, 2, 7, 2, 2, 3, 2, 4, 2, 2, 3];
    for number in 0_u64..28 {
        let day = first(Mon) + Days::new(number);
        if number == 14 {
            story.accept(at(day, "09:00"), &second);
        }
        let is_missed = number % 9 == 6;
        let is_heavy = number % 7 == 2 || number % 7 == 5;
        let points = heels[usize::try_from(number).unwrap()];
        if !is_missed {
            a_session(&mut story, day, is_heavy, points);
        }
        if number % 11 == 3 {
            let text = match number {
                3 => "The last stair pulls a bit. Is that all right?",
                14 => "Long round with the full rucksack.",
                _ => "Could I do the stairs before work instead?",
            };
            let text = words(text);
            story.note(at(day, "20:10"), Fact::Note { text, session: None });
        }
        let morning = first(Mon) + Days::new(number + 1);
        if !is_missed && number % 8 != 5 {
            story.morning(morning, if is_heavy { 4 } else { 1 + i64::from(number % 3 == 0) });
        }
        tell(&mut story, at(morning, "07:02"));
    }
    story
}

/// One session of everything that can be done: the stairs hurt most, and a heavy day shows.
fn a_session(story: &mut Story, day: NaiveDate, is_heavy: bool, points: i64) {
    let history = story.history();
    let lines: Vec<_> = history.today(day).into_iter().filter(Today::can_be_done).collect();
    let routine = history.routine().unwrap();
    let plan = lines
        .iter()
        .map(|line| Planned { exercise: line.exercise.id.clone(), from: line.foothold });
    let worked = if is_heavy { WorkedToday::Heavy } else { WorkedToday::AsUsual };
    let started = Fact::SessionStarted {
        routine: routine.id.clone(),
        version: routine.version,
        at_rest: Some(rating(1 + i64::from(is_heavy))),
        worked_today: Some(worked),
        plan: plan.collect(),
    };
    let begun = at(day, "18:00");
    let session = story.note(begun, started);
    let mut minutes = 0;
    for line in &lines {
        let is_stairs = line.exercise.id.as_str() == "stair-heel-lower";
        for number in 1..=line.dose.sets.get() {
            minutes += 2;
            let when = begun + TimeDelta::minutes(minutes);
            let set = SetRef { session, exercise: line.exercise.id.clone(), number };
            let worst = if is_stairs { points } else { points.min(2) - i64::from(number % 2 == 0) };
            let is_stopped = is_stairs && 6 <= worst && number == 2;
            let ending = if is_stopped { Ending::Pain } else { Ending::Complete };
            let (rung, reps) = (line.foothold.rung, if is_stopped { 3 } else { 8 });
            let ended = Fact::SetEnded { set: set.clone(), rung, reps, work_secs: 40, ending };
            story.note(when, ended);
            let site = if is_stairs && number == 1 { "calf muscle" } else { "heel tendon" };
            let rating = rating(if is_stairs && number == 1 { 1 } else { worst });
            story.note(when, Fact::SetRated { set, rating, site: Some(words(site)) });
            if is_stopped {
                break;
            }
        }
    }
    let over = begun + TimeDelta::minutes(minutes + 1);
    story.note(over, Fact::SessionEnded { session });
    tell(story, over);
}

fn tell(story: &mut Story, at: DateTime<FixedOffset>) {
    for fact in story.history().untold_verdicts() {
        story.note(at, fact);
    }
}

fn records(story: &Story) -> Vec<Record> {
    story.events().iter().cloned().map(Record::new).collect()
}

/// The example of the page that explains the format: it has every kind of fact.
fn example() -> Vec<Record> {
    let page = include_str!("../docs/file-format.md");
    let (_, rest) = page.split_once("```json\n").unwrap();
    let Ok(File::Log(records)) = file::parse(rest.split_once("```").unwrap().0) else {
        panic!("the example is a log")
    };
    records
}

fn history(records: &[Record]) -> History {
    History::fold(records.iter().map(|record| &record.event))
}

/// Holds a text to the file of that name. Where it differs, what was written stands below `target`.
#[track_caller]
fn assert_as_filed(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/formats").join(name);
    let filed = fs::read_to_string(&path).unwrap_or_default();
    let filed = filed.replace("Carryover 0.1.0", concat!("Carryover ", env!("CARGO_PKG_VERSION")));
    if filed != text {
        let written = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        fs::write(&written, text).unwrap();
        panic!("{name} is not as filed; see {}", written.display());
    }
}

#[test]
fn every_format_is_as_filed() {
    for (name, records) in [("week", records(&week())), ("example", example())] {
        assert_as_filed(&format!("{name}.csv"), &csv::print(&history(&records)));
        assert_as_filed(&format!("{name}.fhir.json"), &fhir::print(&records, in_words));
        let routine = history(&records).routine().unwrap().clone();
        assert_as_filed(&format!("{name}.ics"), &calendar_of(&routine));
    }
    assert_as_filed("three-weeks.log.txt", &file::print_log_bare(&records(&three_weeks())));
    assert_as_filed("month.log.txt", &file::print_log_bare(&records(&month())));
}

fn calendar_of(routine: &Routine) -> String {
    let now = at(first(Mon), "20:00");
    calendar::print(routine, &Times::usual(routine), REMINDERS, first(Tue), 6, now)
}

// The spreadsheet.

fn rows(text: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = ::csv::Reader::from_reader(text.as_bytes());
    let names = reader.headers().unwrap().clone();
    let row = |row: Result<::csv::StringRecord, ::csv::Error>| {
        let row = row.unwrap();
        let cells = names.iter().zip(row.iter());
        cells.map(|(name, cell)| (name.to_owned(), cell.to_owned())).collect()
    };
    reader.records().map(row).collect()
}

/// RFC 4180, read by the crate `csv`.
#[test]
fn a_spreadsheet_has_a_row_for_each_set() {
    let text = csv::print(&week().history());
    assert!(text.starts_with('\u{feff}'), "UTF-8, as spreadsheets need to be told");
    assert!(text.ends_with("\r\n"));
    let rows = rows(&text);
    assert_eq!(rows.iter().filter(|row| row["row"] == "set").count(), 7);
    assert_eq!(rows[0].len(), COLUMNS.len());
    let expect = |row: usize, cells: &[(&str, &str)]| {
        for (name, cell) in cells {
            assert_eq!(rows[row][*name], *cell, "row {row}, {name}");
        }
    };
    expect(
        0,
        &[
            ("day", "2026-06-01"),
            ("ended_at", "2026-06-01T08:01:40+02:00"),
            ("exercise_id", "heel-drop"),
            ("set", "1"),
            ("rung", "2"),
            ("help", "'-1 hand: \"lightly\", please"),
            ("reps", "10"),
            ("prescribed_reps", "10"),
            ("load", "2.5 kg"),
            ("ending", "complete"),
            ("pain_during", "2"),
            ("pain_at_rest", "1"),
            ("pain_next_morning", "1"),
            ("swelling_next_morning", "no_more"),
            ("prescribed_sets", "3"),
            ("sets_taken_off", "0"),
            ("sessions_due", "2"),
        ],
    );
    expect(
        3,
        &[("exercise", "'@Chair rise"), ("load", "'+ a thin loop band"), ("pain_at_rest", "")],
    );
    expect(
        5,
        &[
            ("ending", "pain"),
            ("pain_during", "6"),
            ("site", "'=heel"),
            ("worked_today", "heavy"),
            ("pain_next_morning", "3"),
            ("swelling_next_morning", "a_little_more"),
            ("light", "hold"),
        ],
    );
    expect(6, &[("ending", "left_out"), ("reps", "0"), ("pain_during", "")]);
}

/// Every line break outside quotation marks is CR LF, and no cell begins like a formula.
fn assert_harmless(text: &str) {
    let mut is_quoted = false;
    let mut last = ' ';
    for letter in text.chars() {
        match letter {
            '"' => is_quoted = !is_quoted,
            '\n' if !is_quoted => assert_eq!(last, '\r'),
            _other => {}
        }
        last = letter;
    }
    assert!(!is_quoted);
    for row in rows(text) {
        for (name, cell) in row {
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{name}: {cell}");
        }
    }
}

#[test]
fn no_cell_begins_like_a_formula() {
    assert_harmless(&csv::print(&week().history()));
}

/// Missed days, days that the rule left out, and mornings of rest days have rows of their own.
#[test]
fn a_spreadsheet_has_what_was_not_done_and_the_mornings_of_rest_days() {
    let mut drop = heel_drop();
    drop.dose.days = carryover::domain::plan::dose::Days::on(&[Mon, Tue, Wed, Fri]);
    let mut story = Story::of(&routine(1, &limits(), &[drop]));
    story.train(first(Tue), &[7]);
    tell(&mut story, at(first(Tue), "20:00"));
    story.morning(first(Wed), 3);
    story.morning(first(Thu), 2);
    story.morning(first(Fri), 0);
    story.note(at(second(Mon), "12:00"), Fact::HandedBack);
    let rows = rows(&csv::print(&story.history()));
    let cells = ["day", "row", "pain_next_morning", "sessions_due", "prescribed_sets"];
    let found: Vec<[&str; 5]> =
        rows.iter().map(|row| cells.map(|name| row[name].as_str())).collect();
    assert_eq!(
        found,
        [
            ["2026-06-01", "missed", "", "1", ""],
            ["2026-06-02", "set", "3", "1", "3"],
            ["2026-06-03", "left_out", "2", "0", ""],
            ["2026-06-04", "not_due", "0", "0", ""],
            ["2026-06-05", "missed", "", "1", ""],
        ]
    );
}

#[test]
fn sets_that_were_taken_off_stand_beside_those_that_were_prescribed() {
    let mut drop = heel_drop();
    drop.ladder = ladder(1, 1, 1);
    let mut story = Story::of(&routine(1, &limits(), &[drop]));
    story.train(first(Mon), &[4, 4, 4]);
    story.morning(first(Tue), 1);
    story.train(first(Tue), &[1, 1]);
    let rows = rows(&csv::print(&story.history()));
    let sets: Vec<(&str, &str)> = rows
        .iter()
        .filter(|row| row["row"] == "set")
        .map(|row| (row["prescribed_sets"].as_str(), row["sets_taken_off"].as_str()))
        .collect();
    assert_eq!(sets, [("3", "0"), ("3", "0"), ("3", "0"), ("3", "1"), ("3", "1")]);
}

// The calendar.

/// RFC 5545, read by the crate `icalendar`.
#[test]
fn a_calendar_has_a_reminder_for_each_session_and_morning_check() {
    let text = calendar_of(&stairs());
    let unfolded = unfold(&text);
    let calendar: icalendar::Calendar = read_calendar(&unfolded).unwrap().into();
    let events: Vec<&icalendar::Event> =
        calendar.components.iter().filter_map(|component| component.as_event()).collect();
    let found: Vec<[&str; 4]> = events
        .iter()
        .map(|event| {
            ["SUMMARY", "DTSTART", "RRULE", "DURATION"]
                .map(|name| event.property_value(name).unwrap_or_default())
        })
        .collect();
    let until = "UNTIL=20260713T235959";
    let monday = format!("FREQ=WEEKLY;BYDAY=MO,TH;{until}");
    let tuesday = format!("FREQ=WEEKLY;BYDAY=TU,WE,FR,SA,SU;{until}");
    let daily = format!("FREQ=DAILY;{until}");
    assert_eq!(
        found,
        [
            // Both exercises: 120 s of work, 120 s of rest; 64 s and 45 s; twice 45 s to set up.
            ["Exercises", "20260604T080000", &monday, "PT10M"],
            ["Exercises", "20260602T080000", &tuesday, "PT5M"],
            ["Exercises", "20260602T180000", &daily, "PT5M"],
            ["Morning check", "20260602T070000", &daily, "PT5M"],
        ]
    );
    let names = events[0].property_value("DESCRIPTION").unwrap();
    assert!(names.contains("Rucksack 🎒") && names.contains("@Chair rise"), "{names}");
    for event in &events {
        assert_eq!(event.property_value("CLASS"), Some("PRIVATE"));
        assert_eq!(event.property_value("DTSTAMP"), Some("20260601T180000Z"));
    }
    let uids: BTreeSet<&str> = events.iter().map(|event| event.get_uid().unwrap()).collect();
    assert_eq!(uids.len(), events.len());
    let later = calendar::print(
        &stairs(),
        &Times::usual(&stairs()),
        REMINDERS,
        second(Fri),
        2,
        at(second(Fri), "09:00"),
    );
    assert!(uids.iter().all(|uid| later.contains(uid)), "the same reminders keep their ids");
}

/// RFC 5545, 3.1: CR LF, at most 75 octets a line. 3.3.5: floating times have neither Z nor TZID.
#[test]
fn a_calendar_is_folded_and_its_times_float() {
    let text = calendar_of(&stairs());
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    assert_eq!(text.matches('\r').count(), text.matches("\r\n").count());
    assert!(text.split("\r\n").all(|line| line.len() <= 75));
    assert!(text.split("\r\n").any(|line| line.starts_with(' ')), "something was folded");
    let starts = text.split("\r\n").filter(|line| line.starts_with("DTSTART"));
    for start in starts {
        let (name, value) = start.split_once(':').unwrap();
        assert_eq!((name, value.len()), ("DTSTART", "20260601T080000".len()), "{start}");
    }
}

#[test]
fn a_session_without_a_time_has_no_reminder() {
    let time = NaiveTime::from_hms_opt(17, 45, 0).unwrap();
    let times = Times { sessions: vec![time], morning: time };
    let text =
        calendar::print(&stairs(), &times, REMINDERS, first(Mon), 1, at(first(Mon), "20:00"));
    assert_eq!(text.matches("SUMMARY:Exercises").count(), 2);
    assert!(text.contains("DTSTART:20260601T174500"));
    let never =
        calendar::print(&stairs(), &times, REMINDERS, first(Mon), 0, at(first(Mon), "20:00"));
    assert!(!never.contains("VEVENT"));
}

// The clinical record.

/// What no published validator sees: references that lead nowhere, ids that stand twice, pain off the scale.
fn assert_sound(bundle: &Value) {
    let entries = bundle["entry"].as_array().unwrap();
    let urls: Vec<&str> = entries.iter().map(|entry| entry["fullUrl"].as_str().unwrap()).collect();
    let known: BTreeSet<&str> = urls.iter().copied().collect();
    assert_eq!(known.len(), urls.len(), "an id stands twice");
    let mut references = Vec::new();
    gather(bundle, &mut references);
    for reference in references {
        assert!(known.contains(reference), "{reference} leads nowhere");
    }
    for entry in entries {
        let resource = &entry["resource"];
        let id = resource["id"].as_str().unwrap();
        assert_eq!(entry["fullUrl"], format!("urn:uuid:{id}"));
        for coding in resource["code"]["coding"].as_array().into_iter().flatten() {
            assert_eq!(coding["code"], "72514-3");
            let points = resource["valueQuantity"]["value"].as_i64().unwrap();
            assert!((0..=10).contains(&points));
            assert_eq!(resource["valueQuantity"]["code"], "{score}");
        }
    }
}

fn gather<'a>(value: &'a Value, references: &mut Vec<&'a str>) {
    if let Some(reference) = value.get("reference").and_then(Value::as_str) {
        references.push(reference);
    }
    let parts: Vec<&Value> = match value {
        Value::Array(list) => list.iter().collect(),
        Value::Object(map) => map.values().collect(),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => Vec::new(),
    };
    for part in parts {
        gather(part, references);
    }
}

fn of_kind<'a>(bundle: &'a Value, kind: &str) -> Vec<&'a Value> {
    let entries = bundle["entry"].as_array().unwrap();
    let resources = entries.iter().map(|entry| &entry["resource"]);
    resources.filter(|resource| resource["resourceType"] == kind).collect()
}

#[test]
fn a_record_holds_the_routine_every_set_and_every_rating() {
    let bundle = fhir::bundle(&records(&week()), in_words);
    assert_sound(&bundle);
    let count = |kind| of_kind(&bundle, kind).len();
    assert_eq!(
        ["Patient", "CarePlan", "ServiceRequest", "Procedure", "Provenance"].map(count),
        [1, 1, 2, 7, 1]
    );
    let procedures = of_kind(&bundle, "Procedure");
    let statuses: Vec<&str> =
        procedures.iter().map(|procedure| procedure["status"].as_str().unwrap()).collect();
    assert_eq!(statuses[4..], ["completed", "stopped", "not-done"]);
    let pains: Vec<(&str, i64)> = of_kind(&bundle, "Observation")
        .into_iter()
        .filter(|observation| observation["code"]["coding"].is_array())
        .map(|observation| {
            let text = observation["code"]["text"].as_str().unwrap();
            (text, observation["valueQuantity"]["value"].as_i64().unwrap())
        })
        .collect();
    let during: Vec<i64> = pains
        .iter()
        .filter(|(what, _)| what.starts_with("Worst pain during a set"))
        .map(|(_, points)| *points)
        .collect();
    assert_eq!(during, [2, 3, 2, 0, 1, 6], "the corrected rating, not the slip");
    let mornings = pains.iter().filter(|(what, _)| what.starts_with("Pain this morning"));
    assert_eq!(mornings.map(|(_, points)| *points).collect::<Vec<_>>(), [1, 1, 3, 3]);
    let words: Vec<&str> = of_kind(&bundle, "Observation")
        .into_iter()
        .filter_map(|observation| observation["valueString"].as_str())
        .collect();
    assert!(words.contains(&"a little more") && words.contains(&"unwell"), "{words:?}");
    assert!(words.iter().any(|said| said.starts_with("=HYPERLINK")), "{words:?}");
    let text = bundle.to_string();
    assert!(!text.contains("snomed"), "a licence is needed for its codes");
}

/// One observation for each exercise of a morning: of two answers the worse, and the night by its name.
#[test]
fn no_morning_rating_appears_twice() {
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop(), chair_rise()]));
    story.train(first(Mon), &[1, 1, 1]);
    story.morning_at(at(first(Tue), "02:00"), 5, Swelling::NoMore);
    story.morning_at(at(first(Tue), "07:00"), 1, Swelling::ALittleMore);
    story.morning_at(at(first(Tue), "07:30"), 3, Swelling::NoMore);
    let bundle = fhir::bundle(&records(&story), in_words);
    assert_sound(&bundle);
    let said = of_kind(&bundle, "Observation").into_iter().filter_map(|observation| {
        let what = observation["code"]["text"].as_str()?;
        let points = observation["valueQuantity"]["value"].as_i64();
        what.starts_with("Pain").then_some((what.to_owned(), points))
    });
    let found: Vec<(String, Option<i64>)> = said.collect();
    let expected = [("this morning", 3), ("in the night", 5)].map(|(when, points)| {
        ["chair-rise", "heel-drop"].map(|name| (format!("Pain {when}: {name}"), Some(points)))
    });
    assert_eq!(found, expected.concat());
    let swelling = of_kind(&bundle, "Observation").into_iter();
    let swelling: Vec<&str> =
        swelling.filter_map(|observation| observation["valueString"].as_str()).collect();
    assert_eq!(swelling, ["a little more", "no more"]);
}

/// The load of a rung as the exercise library has it: in the dose of the starting rung, and on the ladder
/// wherever the words of the rung do not name it.
#[test]
fn a_rungs_own_load_is_in_the_record() {
    let text = include_str!("../public/library.json");
    let library: Value = serde_json::from_str(text).unwrap();
    let entries = library["entries"].as_array().unwrap();
    let entry = entries.iter().find(|entry| entry["exercise"]["id"] == "clam").unwrap();
    let mut clam = entry["exercise"].clone();
    let rungs = clam["ladder"]["rungs"].as_array_mut().unwrap();
    let place = rungs.iter().position(|rung| rung["dose"]["load"].is_object()).unwrap();
    assert_eq!(rungs[place]["dose"]["load"]["described"], "a light loop band");
    rungs[place]["help"] = json!("a band above the knees");
    let number = place + 1;
    clam["ladder"]["start"] = json!(number);
    clam["ladder"]["ceiling"] = json!(rungs_of(&clam));
    let clam = serde_json::from_value(clam).unwrap();
    let bundle = fhir::bundle(&records(&Story::of(&routine(1, &limits(), &[clam]))), in_words);
    let request = of_kind(&bundle, "ServiceRequest")[0];
    let instruction = request["patientInstruction"].as_str().unwrap();
    assert!(instruction.ends_with("; a light loop band"), "{instruction}");
    let ladder = request["note"][0]["text"].as_str().unwrap();
    let rung = format!("{number}. a band above the knees, a light loop band; ");
    assert!(ladder.contains(&rung), "{ladder}");
    assert_eq!(ladder.matches("a light loop band").count(), 2, "named once on each of two rungs");
}

fn rungs_of(exercise: &Value) -> usize {
    exercise["ladder"]["rungs"].as_array().unwrap().len()
}

#[test]
fn the_same_log_gives_the_same_record_in_whatever_order_it_was_gathered() {
    let mut shuffled = records(&week());
    let text = fhir::print(&shuffled, in_words);
    shuffled.reverse();
    shuffled.rotate_left(5);
    assert_eq!(text, fhir::print(&shuffled, in_words));
}

#[test]
fn an_empty_log_is_a_bundle_with_a_pseudonym_alone() {
    let bundle = fhir::bundle(&[], in_words);
    assert_sound(&bundle);
    assert_eq!(bundle["entry"].as_array().unwrap().len(), 1);
}

#[test]
fn the_notice_that_loinc_asks_for_ships() {
    assert!(include_str!("../docs/notices.md").contains(LOINC_NOTICE));
}

proptest! {
    #![proptest_config(a_quarter())]

    #[test]
    fn any_log_comes_out_sound_in_every_format(
        script in scripts(Wild { corrections: true, journeys: true }),
    ) {
        let story = write(&script);
        let records = records(&story);
        assert_sound(&fhir::bundle(&records, in_words));
        assert_harmless(&csv::print(&story.history()));
        let sets: usize = story.history().sessions().iter().map(|session| session.sets.len()).sum();
        let rows = rows(&csv::print(&story.history()));
        prop_assert_eq!(rows.iter().filter(|row| row["row"] == "set").count(), sets);
    }

    #[test]
    fn any_calendar_can_be_read(
        times in 1_i64..=6,
        on in prop::collection::vec(0_u8..7, 0..7),
        from in 0_u64..400,
        weeks in 0_u16..60,
    ) {
        let mut drop = heel_drop();
        drop.dose.times_a_day = times.try_into().unwrap();
        let days: Vec<chrono::Weekday> =
            on.into_iter().map(|day| day.try_into().unwrap()).collect();
        drop.dose.days = carryover::domain::plan::dose::Days::on(&days);
        let routine = routine(1, &limits(), &[drop, chair_rise()]);
        let from: NaiveDate = first(Mon) + Days::new(from);
        let text = calendar::print(&routine, &Times::usual(&routine), REMINDERS, from, weeks, at(from, "20:00"));
        let unfolded = unfold(&text);
        prop_assert!(read_calendar(&unfolded).is_ok());
        for event in text.split("BEGIN:VEVENT").skip(1) {
            let value = |name: &str| {
                let (_, rest) = event.split_once(name).unwrap();
                rest.split("\r\n").next().unwrap().to_owned()
            };
            let start = value("DTSTART:");
            let day = NaiveDate::parse_from_str(&start[..8], "%Y%m%d").unwrap();
            prop_assert!(from <= day);
            // RFC 5545, 3.8.5.3: the start is the first of what the rule gives.
            let rule = value("RRULE:");
            let two = day.format("%a").to_string()[..2].to_uppercase();
            prop_assert!(rule.starts_with("FREQ=DAILY") || rule.contains(&two), "{start} {rule}");
        }
    }
}
