//! What changed between two versions of a routine: every difference, and nothing else.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeSet;

use carryover::domain::plan::changes::{Change, ExerciseChange, between};
use carryover::domain::plan::dose::{Days, Reps};
use carryover::domain::plan::ladder::{Ladder, Rung};
use carryover::domain::plan::routine::{Exercise, Routine};
use carryover::exchange::file::{self, File};
use chrono::Weekday;
use proptest::prelude::*;
use serde_json::{Value, json};
use support::revisions::{plans, revise, revisions};
use support::scripts::a_quarter;
use support::{chair_rise, exercise, heel_drop, ladder, limits, routine, rung, words};

// Every field.

/// A routine in which every field says something.
fn full() -> Value {
    json!({
        "id": "stairs", "version": 3, "title": "Stairs and chair", "client": "round 7",
        "practitioner": "your physio", "issued": "2026-06-01", "source": "common practice",
        "limits": full_limits(), "cautions": ["Shoes on.", "Light on."], "joint": "left heel",
        "answers": [{
            "to": "01M8B6GS5G34BV1JDW9QJGBSM2", "asked": "2026-05-28",
            "question": "Wet shoes?", "answer": "Dry them first.",
        }],
        "exercises": [
            {
                "id": "heel-drop", "name": "Heel drop", "purpose": "A strong heel.",
                "equipment": ["a staircase", "a banister"], "steps": ["Stand tall.", "Lower slowly."],
                "watch_for": ["Knee straight.", "Hips level."], "cautions": ["A dry step.", "No socks."],
                "dose": {
                    "sets": 3, "reps": 10, "rest_secs": 60, "sides": "in_turn",
                    "tempo": [{"action": "lift", "secs": 2, "word": "up", "how": "both feet"}, {"action": "lower", "secs": 3}],
                    "load": {"weight": {"amount": 4.0, "unit": "kg"}}, "times_a_day": 2, "days": ["mon", "thu"],
                },
                "ladder": {
                    "rungs": [
                        {"help": "both hands", "words": {
                            "equipment": ["a rail"], "steps": ["Stand.", "Lower."], "watch_for": ["Both knees."],
                        }},
                        {"help": "one hand", "dose": {
                            "sets": 2, "reps": 12, "rest_secs": 30, "tempo": [{"action": "hold", "secs": 20}],
                            "load": {"described": "the rucksack"},
                        }},
                        {"help": "fingertips"}, {"help": "no hand"},
                    ],
                    "start": 2, "ceiling": 3,
                },
                "limits": full_limits(), "source": "Alfredson 1998", "swelling": "out_of_reach",
                "photo": "data:image/jpeg;base64,/9j/4AAQSkZJRgABAQ==",
            },
            chair_rise(),
        ],
    })
}

fn full_limits() -> Value {
    json!({
        "table": {
            "low_max": 2, "middle_max": 5, "low": ["counts", "stay", "ease", "stay"],
            "middle": ["stay", "ease", "ease", "ease"], "high": ["ease", "ease", "hold", "hold"],
        },
        "sites": [{"name": "heel", "counts": "one_zone_worse"}, {"name": "calf", "counts": "as_rated"}],
        "usual_morning": 2, "rest_days": 2, "may_step_up": "win_back", "step_up_after": 3,
        "on_lowest_rung": "one_set_fewer", "after_middle_set": "same", "break_days": 21,
        "after_break": "wait_for_me",
    })
}

/// What a change of each field is told as, by its place; `*` is a place in a list.
#[rustfmt::skip]
const TOLD_AS: [(&str, &[&str]); 60] = [
    ("/id",                         &["Routine Id"]),
    ("/version",                    &["Routine Version"]),
    ("/title",                      &["Routine Title"]),
    ("/client",                     &["Routine Client"]),
    ("/practitioner",               &["Routine Practitioner"]),
    ("/issued",                     &["Routine Issued"]),
    ("/source",                     &["Routine Source"]),
    ("/cautions/*",                 &["Routine Cautions"]),
    ("/joint",                      &["Routine Joint"]),
    ("/answers/*/to",               &["Routine Answers"]),
    ("/answers/*/asked",            &["Routine Answers"]),
    ("/answers/*/question",         &["Routine Answers"]),
    ("/answers/*/answer",           &["Routine Answers"]),
    ("/limits/table/low_max",       &["Limits LowMax"]),
    ("/limits/table/middle_max",    &["Limits MiddleMax"]),
    ("/limits/table/low/*",         &["Limits Cell"]),
    ("/limits/table/middle/*",      &["Limits Cell"]),
    ("/limits/table/high/*",        &["Limits Cell"]),
    ("/limits/sites/*/name",        &["Limits Sites"]),
    ("/limits/sites/*/counts",      &["Limits Sites"]),
    ("/limits/usual_morning",       &["Limits UsualMorning"]),
    ("/limits/rest_days",           &["Limits RestDays"]),
    ("/limits/may_step_up",         &["Limits MayStepUp"]),
    ("/limits/step_up_after",       &["Limits StepUpAfter"]),
    ("/limits/on_lowest_rung",      &["Limits OnLowestRung"]),
    ("/limits/after_middle_set",    &["Limits AfterMiddleSet"]),
    ("/limits/break_days",          &["Limits BreakDays"]),
    ("/limits/after_break",         &["Limits AfterBreak"]),
    ("/exercises/*/id",             &["Exercise Added", "Exercise LeftOut"]),
    ("/exercises/*/name",           &["Exercise Name"]),
    ("/exercises/*/purpose",        &["Exercise Purpose"]),
    ("/exercises/*/equipment/*",    &["Exercise Equipment"]),
    ("/exercises/*/steps/*",        &["Exercise Steps"]),
    ("/exercises/*/watch_for/*",    &["Exercise WatchFor"]),
    ("/exercises/*/cautions/*",     &["Exercise Cautions"]),
    ("/exercises/*/source",         &["Exercise Source"]),
    ("/exercises/*/swelling",       &["Exercise Swelling"]),
    ("/exercises/*/photo",          &["Exercise Photo"]),
    ("/exercises/*/dose/sets",      &["Exercise Sets"]),
    ("/exercises/*/dose/reps",      &["Exercise Reps"]),
    ("/exercises/*/dose/rest_secs", &["Exercise Rest"]),
    ("/exercises/*/dose/sides",     &["Exercise Sides"]),
    ("/exercises/*/dose/tempo/*/action", &["Exercise Tempo"]),
    ("/exercises/*/dose/tempo/*/secs",   &["Exercise Tempo"]),
    ("/exercises/*/dose/tempo/*/word",   &["Exercise Tempo"]),
    ("/exercises/*/dose/tempo/*/how",    &["Exercise Tempo"]),
    ("/exercises/*/dose/load/weight/amount", &["Exercise Load"]),
    ("/exercises/*/dose/load/weight/unit",   &["Exercise Load"]),
    ("/exercises/*/dose/times_a_day", &["Exercise TimesADay"]),
    ("/exercises/*/dose/days/*",    &["Exercise Days"]),
    ("/exercises/*/ladder/start",   &["Exercise Start"]),
    ("/exercises/*/ladder/ceiling", &["Exercise Ceiling"]),
    ("/exercises/*/ladder/rungs/*/help",       &["Exercise RungHelp"]),
    ("/exercises/*/ladder/rungs/*/words/equipment/*", &["Exercise RungWords"]),
    ("/exercises/*/ladder/rungs/*/words/steps/*",     &["Exercise RungWords"]),
    ("/exercises/*/ladder/rungs/*/words/watch_for/*", &["Exercise RungWords"]),
    ("/exercises/*/ladder/rungs/*/dose/sets",  &["Exercise RungDose"]),
    ("/exercises/*/ladder/rungs/*/dose/reps",  &["Exercise RungDose"]),
    ("/exercises/*/ladder/rungs/*/dose/rest_secs", &["Exercise RungDose"]),
    ("/exercises/*/ladder/rungs/*/dose/load/described", &["Exercise RungDose"]),
];

fn told_as(place: &str) -> Vec<String> {
    if place.contains("/rungs/*/dose/tempo/") {
        return vec!["Exercise RungDose".to_owned()];
    }
    // An exercise's own limits are told as the routine's are, of that exercise.
    let (at, of_exercise) = match place.strip_prefix("/exercises/*/limits") {
        Some(rest) => (format!("/limits{rest}"), true),
        None => (place.to_owned(), false),
    };
    let (_, kinds) =
        TOLD_AS.iter().find(|(known, _)| *known == at).unwrap_or_else(|| panic!("{place}"));
    let kind = |kind: &&str| match kind.strip_prefix("Limits ") {
        Some(_) if of_exercise => "Exercise Limits".to_owned(),
        Some(_) | None => (*kind).to_owned(),
    };
    kinds.iter().map(kind).collect()
}

/// Which part of the routine a change is about, and which kind of change it is.
fn kind(change: &Change) -> String {
    let (part, what) = match change {
        Change::Routine(what) => ("Routine", format!("{what:?}")),
        Change::Limits(what) => ("Limits", format!("{what:?}")),
        Change::Exercise { what, .. } => ("Exercise", format!("{what:?}")),
    };
    let variant: String = what.chars().take_while(char::is_ascii_alphabetic).collect();
    format!("{part} {variant}")
}

fn kinds(was: &Routine, is: &Routine) -> Vec<String> {
    between(was, is).iter().map(kind).collect()
}

#[test]
fn a_change_of_any_field_is_told_as_what_it_is_and_nothing_else() {
    let full = full();
    let was: Routine = serde_json::from_value(full.clone()).unwrap();
    let mut seen = BTreeSet::new();
    for place in leaves(&full) {
        let mut tried = 0;
        for other in others(full.pointer(&place).unwrap()) {
            let mut changed = full.clone();
            *changed.pointer_mut(&place).unwrap() = other;
            let Ok(is) = serde_json::from_value::<Routine>(changed) else { continue };
            if is == was {
                continue;
            }
            tried += 1;
            let mut kinds = kinds(&was, &is);
            kinds.sort();
            assert_eq!(kinds, told_as(&with_stars(&place)), "{place}");
        }
        assert!(0 < tried, "no other value fits at {place}");
        seen.insert(with_stars(&place));
    }
    for (place, _) in TOLD_AS {
        assert!(seen.contains(place), "{place} is not in the full routine");
    }
}

#[test]
fn a_field_that_is_taken_away_or_comes_is_told() {
    let full = full();
    let was: Routine = serde_json::from_value(full.clone()).unwrap();
    let mut told = 0;
    for place in branches(&full) {
        let (parent, key) = place.rsplit_once('/').unwrap();
        let mut changed = full.clone();
        match changed.pointer_mut(parent).unwrap() {
            Value::Object(fields) => drop(fields.remove(key)),
            Value::Array(items) => drop(items.remove(key.parse().unwrap())),
            Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => continue,
        }
        let Ok(is) = serde_json::from_value::<Routine>(changed) else { continue };
        if is == was {
            continue;
        }
        told += 1;
        assert!(!between(&was, &is).is_empty(), "{place} is gone");
        assert!(!between(&is, &was).is_empty(), "{place} comes");
    }
    assert!(30 < told, "{told}");
}

#[test]
fn the_full_routine_has_every_field_that_the_app_writes() {
    let routine: Routine = serde_json::from_value(full()).unwrap();
    let written = serde_json::to_value(&routine).unwrap();
    let places = |value: &Value| -> BTreeSet<String> {
        leaves(value).iter().map(|place| with_stars(place)).collect()
    };
    assert_eq!(places(&written), places(&full()));
}

/// The places of all values that hold no others.
fn leaves(value: &Value) -> Vec<String> {
    let holds_none = |place: &String| match value.pointer(place).unwrap() {
        Value::Object(_) | Value::Array(_) => false,
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => true,
    };
    branches(value).into_iter().filter(holds_none).collect()
}

fn branches(value: &Value) -> Vec<String> {
    let below: Vec<(String, &Value)> = match value {
        Value::Object(fields) => fields.iter().map(|(key, value)| (key.clone(), value)).collect(),
        Value::Array(items) => {
            (0..).zip(items).map(|(at, item): (usize, _)| (at.to_string(), item)).collect()
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => Vec::new(),
    };
    let with_own = |(key, value): (String, &Value)| {
        let inner = branches(value).into_iter().map(|place| format!("/{key}{place}"));
        [format!("/{key}")].into_iter().chain(inner).collect::<Vec<_>>()
    };
    below.into_iter().flat_map(with_own).collect()
}

fn with_stars(place: &str) -> String {
    let part =
        |part: &str| if part.parse::<usize>().is_ok() { "*".to_owned() } else { part.to_owned() };
    place.split('/').map(part).collect::<Vec<_>>().join("/")
}

/// Values that might stand in the place of this one.
fn others(value: &Value) -> Vec<Value> {
    const WORDS: [&str; 38] = [
        "01M8CCSQD88GYEVJF19M7GBEW2",
        "counts",
        "stay",
        "ease",
        "hold",
        "lift",
        "lower",
        "relax",
        "together",
        "left",
        "right",
        "in_turn",
        "one_after_the_other",
        "kg",
        "lb",
        "mon",
        "tue",
        "wed",
        "thu",
        "fri",
        "sat",
        "sun",
        "nothing",
        "win_back",
        "to_the_ceiling",
        "one_set_fewer",
        "same",
        "one_rung_down",
        "one_rung_lower",
        "reaches",
        "out_of_reach",
        "as_rated",
        "one_zone_worse",
        "noted_only",
        "2026-06-02",
        "other-words",
        "Other words.",
        "data:image/jpeg;base64,/9j/4AAQSkZJRgABAg==",
    ];
    match value {
        Value::String(_) => WORDS.iter().map(|word| json!(word)).collect(),
        Value::Number(number) => {
            let number = number.as_f64().unwrap();
            let whole = |by: i32| {
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "the fixture's numbers are small"
                )]
                let near = number as i64 + i64::from(by);
                json!(near)
            };
            vec![whole(1), whole(-1)]
        }
        Value::Null | Value::Bool(_) | Value::Array(_) | Value::Object(_) => Vec::new(),
    }
}

/// It is no difference between two versions: it is what the new one says, whatever the old one said.
#[test]
fn what_a_version_says_of_holds_and_of_usual_mornings_is_told_each_time() {
    let silent: Routine = serde_json::from_value(full()).unwrap();
    let said = |on_hold: Value, anchor: Value| -> Routine {
        let mut full = full();
        full["on_hold"] = on_hold;
        full["anchor"] = anchor;
        serde_json::from_value(full).unwrap()
    };
    let open = said(json!({"heel-drop": "open"}), json!({"set": {"rating": 2}}));
    let leave = said(json!({"heel-drop": "leave", "gone": "open"}), json!("clear"));
    let both = ["Routine Anchor", "Exercise OnHold"];
    for (was, is, told) in [
        (&silent, &open, &both[..]),
        (&open, &leave, &both),
        (&leave, &leave, &both),
        (&open, &silent, &[]),
    ] {
        assert_eq!(kinds(was, is), told);
    }
    let back: Routine = serde_json::from_value(json!(leave)).unwrap();
    assert_eq!(back, leave);
}

#[test]
fn without_photos_a_routine_is_the_same_but_for_them() {
    let full: Routine = serde_json::from_value(full()).unwrap();
    assert_eq!(kinds(&full, &full.clone().without_photos()), ["Exercise Photo"]);
}

#[test]
fn what_came_without_room_for_photos_keeps_those_that_are_there_and_nothing_else_changes() {
    let before: Routine = serde_json::from_value(full()).unwrap();
    let sent = |routine: &Routine| match file::parse(&file::print_routine(routine)) {
        Ok(File::Routine(file)) => *file,
        other => panic!("{other:?}"),
    };
    let kept = sent(&before.clone().without_photos()).with_photos_of(&before);
    assert_eq!(kept.routine, before);
    assert_eq!(serde_json::from_str::<Routine>(kept.as_filed.get()).unwrap(), before);

    let mut other = full();
    other["exercises"][0]["id"] = json!("another");
    let other: Routine = serde_json::from_value(other).unwrap();
    let bare = sent(&other.without_photos());
    assert_eq!(bare.clone().with_photos_of(&before).routine, bare.routine);
}

// Order.

fn of_names(names: &[&str]) -> Routine {
    let exercises: Vec<Exercise> =
        names.iter().map(|name| exercise(name, ladder(3, 1, 2))).collect();
    routine(1, &limits(), &exercises)
}

/// The names of those that moved, each with the one it comes after now.
fn moves(was: &[&str], is: &[&str]) -> Vec<(String, Option<String>)> {
    let told =
        between(&of_names(was), &of_names(is)).into_iter().filter_map(|change| match change {
            Change::Exercise { name, what: ExerciseChange::Moved { after }, .. } => {
                Some((name.to_string(), after.map(|after| after.to_string())))
            }
            Change::Exercise { .. } | Change::Routine(_) | Change::Limits(_) => None,
        });
    told.collect()
}

#[test]
fn only_what_moved_is_said_to_have_moved() {
    let after = |name: &str, after: &str| (name.to_owned(), Some(after.to_owned()));
    assert_eq!(moves(&["a", "b", "c"], &["c", "a", "b"]), [("c".to_owned(), None)]);
    assert_eq!(moves(&["a", "b", "c"], &["b", "c", "a"]), [after("a", "c")]);
    assert_eq!(moves(&["a", "b", "c", "d"], &["a", "c", "b", "d"]).len(), 1);
    assert_eq!(moves(&["a", "b", "c"], &["a", "c"]), []);
    assert_eq!(moves(&["a", "c"], &["a", "b", "c"]), []);
    assert_eq!(moves(&["a", "b"], &["x", "a", "b"]), []);
}

// Ladders.

fn of_rungs(help: &[&str]) -> Routine {
    let rung_of = |help: &&str| Rung::of(words(help));
    let ladder = Ladder::new(help.iter().map(rung_of).collect(), rung(1), rung(1)).unwrap();
    routine(1, &limits(), &[exercise("heel-drop", ladder)])
}

fn rung_kinds(was: &[&str], is: &[&str]) -> Vec<String> {
    let kinds = kinds(&of_rungs(was), &of_rungs(is));
    kinds.into_iter().map(|kind| kind.trim_start_matches("Exercise Rung").to_owned()).collect()
}

#[test]
fn a_rung_put_in_or_taken_out_does_not_change_the_others() {
    assert_eq!(rung_kinds(&["a", "b", "c"], &["a", "x", "b", "c"]), ["Added"]);
    assert_eq!(rung_kinds(&["a", "b", "c"], &["x", "a", "b", "c"]), ["Added"]);
    assert_eq!(rung_kinds(&["a", "b", "c"], &["a", "c"]), ["LeftOut"]);
    assert_eq!(rung_kinds(&["a", "b", "c"], &["a", "x", "c"]), ["Help"]);
    assert_eq!(rung_kinds(&["a", "b", "c"], &["a", "x", "y", "c"]), ["Help", "Added"]);
    assert_eq!(rung_kinds(&["a", "b", "c"], &["x"]), ["Help", "LeftOut", "LeftOut"]);
}

#[test]
fn a_rung_that_says_the_same_but_changes_the_dose_is_told_once() {
    let was = routine(1, &limits(), &[heel_drop()]);
    let mut exercise = heel_drop();
    let mut rungs = exercise.ladder.rungs().to_vec();
    rungs[3].dose.reps = Some(Reps::new(12).unwrap());
    exercise.ladder = Ladder::new(rungs, rung(3), rung(4)).unwrap();
    let changes = between(&was, &routine(1, &limits(), &[exercise]));
    let [Change::Exercise { what: ExerciseChange::RungDose { number, help, .. }, .. }] =
        &changes[..]
    else {
        panic!("{changes:?}")
    };
    assert_eq!((*number, help.as_str()), (rung(4), "one foot, one hand"));
}

// Nothing false.

#[test]
fn days_that_mean_the_same_are_no_change() {
    let of = |days: Days| {
        let mut exercise = heel_drop();
        exercise.dose.days = days;
        routine(1, &limits(), &[exercise])
    };
    let week = [
        Weekday::Mon,
        Weekday::Tue,
        Weekday::Wed,
        Weekday::Thu,
        Weekday::Fri,
        Weekday::Sat,
        Weekday::Sun,
    ];
    assert_eq!(between(&of(Days::EVERY), &of(Days::on(&week))), []);
    let (one, other) = (Days::on(&week[..2]), Days::on(&[Weekday::Tue, Weekday::Mon]));
    assert_eq!(between(&of(one), &of(other)), []);
}

proptest! {
    #![proptest_config(a_quarter())]

    #[test]
    fn equal_routines_have_no_changes_and_others_have_some(
        plan in plans(),
        revision in revisions(),
    ) {
        let (was, is) = (plan.version(1), revise(&plan, &revision).version(1));
        prop_assert_eq!(between(&was, &was), []);
        prop_assert_eq!(between(&was, &is).is_empty(), was == is);
        prop_assert_eq!(between(&is, &was).is_empty(), was == is);
    }

    #[test]
    fn what_is_told_of_an_exercise_is_so(was in plans(), is in plans()) {
        let (was, is) = (was.version(1), is.version(1));
        for change in between(&was, &is) {
            let Change::Exercise { id, name, what } = &change else { continue };
            let (before, after) = (was.exercise(id), is.exercise(id));
            prop_assert_eq!(name, &after.or(before).unwrap().name);
            let (Some(before), Some(after)) = (before, after) else {
                let expected = if before.is_none() { "Exercise Added" } else { "Exercise LeftOut" };
                prop_assert_eq!(kind(&change), expected);
                continue;
            };
            prop_assert!(!matches!(what, ExerciseChange::Added | ExerciseChange::LeftOut));
            if let ExerciseChange::Sets(swap) = what {
                prop_assert_eq!((swap.was, swap.is), (before.dose.sets, after.dose.sets));
                prop_assert!(swap.was != swap.is);
            }
            if let ExerciseChange::Start(swap) = what {
                prop_assert_eq!((swap.was, swap.is), (before.ladder.start(), after.ladder.start()));
                prop_assert!(swap.was != swap.is);
            }
            if let ExerciseChange::RungAdded { number, rung } = what {
                prop_assert_eq!(after.ladder.rung(*number), rung);
            }
            if let ExerciseChange::RungLeftOut { number, rung } = what {
                prop_assert_eq!(before.ladder.rung(*number), rung);
            }
            if let ExerciseChange::RungHelp { number, help } = what {
                prop_assert_eq!(&after.ladder.rung(*number).help, &help.is);
                prop_assert!(help.was != help.is);
            }
            if let ExerciseChange::RungDose { number, dose, .. } = what {
                prop_assert_eq!(&after.ladder.rung(*number).dose, &dose.is);
                prop_assert!(dose.was != dose.is);
            }
        }
    }

    /// Told the other way round, what came is what goes.
    #[test]
    fn as_many_come_as_go_the_other_way(was in plans(), is in plans()) {
        let (was, is) = (was.version(1), is.version(1));
        let count = |changes: &[String], kind: &str| changes.iter().filter(|known| *known == kind).count();
        let (there, back) = (kinds(&was, &is), kinds(&is, &was));
        for (one, other) in [("Added", "LeftOut"), ("Moved", "Moved")] {
            let (one, other) = (format!("Exercise {one}"), format!("Exercise {other}"));
            prop_assert_eq!(count(&there, &one), count(&back, &other));
        }
        let rungs = |routine: &Routine, of: &Routine| -> usize {
            let in_both = routine.exercises().iter().filter(|exercise| of.exercise(&exercise.id).is_some());
            in_both.map(|exercise| exercise.ladder.rungs().len()).sum()
        };
        prop_assert_eq!(
            rungs(&was, &is) + count(&there, "Exercise RungAdded"),
            rungs(&is, &was) + count(&there, "Exercise RungLeftOut")
        );
    }
}
