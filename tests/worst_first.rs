//! Which client of a caseload comes first: thirty caseloads written out by hand, and a hundred logs of known
//! troubles.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::{BTreeMap, BTreeSet};

use carryover::domain::log::event::Lifts;
use carryover::domain::pain::HalfPoints;
use carryover::domain::plan::ladder::Foothold;
use carryover::domain::plan::ladder::RungNumber;
use carryover::domain::plan::routine::{Routine, Version};
use carryover::domain::visit::glance::{Ask, Glance, TakenOn, asks_of_handing_over};
use carryover::domain::visit::talking::{Ratings, What};
use carryover::domain::visit::trend::Amount;
use carryover::domain::visit::worst_first::{Case, worst_first};
use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use support::*;

/// As `fixtures/worst-first.tsv` says.
fn today() -> NaiveDate {
    second(Sat)
}

#[derive(Clone, Copy)]
enum Meaning {
    Ask(fn(NaiveDate, usize) -> Ask),
    NextVisit,
    Nothing,
}

/// What one word of the table stands for.
fn known(word: &str) -> Meaning {
    use Meaning::{Ask as Asks, NextVisit, Nothing};
    match word {
        "sign" => Asks(|since, _| Ask::SignStands { since, signs: 1 }),
        "looked" => Asks(|on, _| Ask::WarningSign { on }),
        "unticked" => Asks(|on, _| Ask::Unticked { on, signs: 1 }),
        "waits" => Asks(|_, exercises| Ask::Waits { exercises }),
        "holds" => Asks(|on, _| Ask::Point(What::HoldsInAWeek { days: vec![on, on] })),
        "no-easier" => Asks(|on, _| Ask::Point(What::NothingEasier { days: vec![on] })),
        "on-hold" => Asks(|_, exercises| Ask::OnHold { exercises }),
        "swelling" => Asks(|on, _| Ask::Point(What::SwellingAddedUp { on })),
        "high" => Asks(|on, _| Ask::Point(What::HighMornings { days: vec![on, on] })),
        "rising" => Asks(|_, _| {
            let (this_week, last_week) = (HalfPoints(6), HalfPoints(3));
            Ask::Point(What::MorningsRising { this_week, last_week })
        }),
        "above" => Asks(|_, _| {
            let (this_week, anchor) = (HalfPoints(6), HalfPoints(3));
            Ask::Point(What::AboveTheStart { this_week, anchor })
        }),
        "middle" => Asks(|on, _| Ask::Point(What::MiddleUnanswered { days: [on, on] })),
        "worse" => Asks(|_, _| changed(3, 9)),
        "better" => Asks(|_, _| changed(9, 3)),
        "notes" => Asks(|_, notes| Ask::Notes { notes }),
        "quiet" => Asks(|since, _| Ask::Silent { since }),
        "no-log" => Asks(|since, _| Ask::NoLogSince { since }),
        "not-taken" => Asks(|since, _| Ask::NotTakenOn { version: version(2), since }),
        "no-log-yet" => Asks(|since, _| Ask::NoLogYet { since }),
        "no-routine" => Asks(|_, _| Ask::NothingHandedOver),
        "mornings" => Asks(|_, _| Ask::Point(What::MorningsUnanswered { answered: 1, owed: 6 })),
        "below" => Asks(|on, _| Ask::Point(What::BelowDose { days: vec![on; 3] })),
        "never" => Asks(|_, _| Ask::Point(What::NeverOn { weekdays: vec![(Sun, 3)] })),
        "nought" => Asks(|_, _| Ask::Point(What::AlwaysNought { ratings: 9, days: 3 })),
        "ready" => Asks(|_, _| {
            let at = Foothold::on(RungNumber::LEAST);
            Ask::Point(What::ReadyForNextRung { at, days_in_a_row: 3 })
        }),
        "visit" => NextVisit,
        "fine" => Nothing,
        other => panic!("the table knows no {other:?}"),
    }
}

fn changed(before: i16, after: i16) -> Ask {
    let (last_week, this_week) = (HalfPoints(before), HalfPoints(after));
    let amount = Amount::WorthNoticing;
    Ask::Point(What::Changed { ratings: Ratings::During, this_week, last_week, amount })
}

fn version(number: i64) -> Version {
    Version::new(number).unwrap()
}

fn case_of(client: &str) -> Case {
    let (label, states) = client.split_once(": ").unwrap();
    let (mut asks, mut next_visit) = (Vec::new(), None);
    for state in states.split(", ") {
        let (word, number) = state.split_once(' ').unwrap_or((state, "1"));
        let number: u64 = number.parse().unwrap();
        match known(word) {
            Meaning::Ask(ask) => {
                asks.push(ask(today() - Days::new(number), usize::try_from(number).unwrap()));
            }
            Meaning::NextVisit => next_visit = Some(today() + Days::new(number)),
            Meaning::Nothing => {}
        }
    }
    Case::new(label.to_owned(), asks, next_visit)
}

fn table() -> Vec<(Vec<Case>, &'static str, &'static str)> {
    let rows = include_str!("fixtures/worst-first.tsv").lines();
    rows.filter(|row| !row.starts_with('#'))
        .map(|row| {
            let columns: Vec<&str> = row.split('\t').collect();
            let [_, clients, order, why] = columns[..] else { panic!("not four columns: {row}") };
            (clients.split(" | ").map(case_of).collect(), order, why)
        })
        .collect()
}

fn labels(cases: &[Case]) -> String {
    cases.iter().map(|case| &*case.label).collect::<Vec<_>>().join(" ")
}

#[test]
fn thirty_caseloads_stand_in_the_order_written_for_them() {
    let table = table();
    assert_eq!(table.len(), 30);
    for (cases, order, why) in table {
        let mut forwards = cases.clone();
        forwards.sort_by(worst_first);
        assert_eq!(labels(&forwards), order, "{why}");
        let mut backwards = cases;
        backwards.reverse();
        backwards.sort_by(worst_first);
        assert_eq!(labels(&backwards), order, "{why}");
    }
}

/// What cannot wait for the next visit, of every word of the table.
#[test]
fn something_must_be_done_about_what_may_harm_about_questions_and_about_silence() {
    let is_to_act_on = |words: &[&str], expected: bool| {
        for word in words {
            let case = case_of(&format!("Banister: {word} 9"));
            assert_eq!(case.is_to_act_on(), expected, "{word}");
        }
    };
    is_to_act_on(&["sign", "looked", "unticked", "waits", "holds", "no-easier", "on-hold"], true);
    is_to_act_on(&["swelling", "high", "rising", "above", "middle", "worse", "notes"], true);
    is_to_act_on(&["quiet", "no-log", "not-taken"], true);
    is_to_act_on(&["mornings", "below", "never", "nought", "ready", "no-log-yet"], false);
    is_to_act_on(&["no-routine", "better", "visit", "fine"], false);
}

/// Each trouble as a log gives it, from the worst on: what is known of a client without a log comes with none.
fn log_with(trouble: usize) -> Option<Story> {
    let began = if trouble == 5 { first(Mon) } else { second(Mon) };
    let mut story = Story::begun(at(began, "06:00"), &routine(1, &limits(), &[heel_drop()]));
    match trouble {
        // A warning sign.
        0 => {
            story.train(second(Tue), &[1, 1, 1]);
            story.warning(at(second(Wed), "09:00"));
            story.morning(second(Fri), 0);
        }
        // Two Holds within a week: it waits for an answer.
        1 => {
            story.train(second(Mon), &[6]);
            story.morning(second(Tue), 1);
            story.morning(second(Wed), 0);
            story.train(second(Fri), &[6]);
        }
        // A sign that someone has looked at.
        2 => {
            story.train(second(Tue), &[1, 1, 1]);
            story.warning(at(second(Wed), "09:00"));
            story.go_ahead(at(second(Thu), "09:00"), Lifts::WarningSign);
            story.morning(second(Fri), 0);
        }
        // One Hold.
        3 => story.train(second(Fri), &[6]),
        // Middle pain on two days, and neither morning answered.
        4 => {
            story.train(second(Tue), &[4, 4, 4]);
            story.train(second(Wed), &[4, 4, 4]);
            story.told_to_go_on(at(second(Fri), "18:00"));
        }
        // Quiet for more than a week.
        5 => {
            story.train(first(Mon), &[1, 2, 1]);
            story.morning(first(Tue), 1);
        }
        // Handed over more than a week ago, and no log.
        6 | 8 => return None,
        // Ready for the next step.
        7 => {
            for (during, morning) in [(Tue, Wed), (Wed, Thu), (Thu, Fri)] {
                story.train(second(during), &[1, 1, 1]);
                story.morning(second(morning), 0);
            }
        }
        _ => {
            story.train(second(Thu), &[1, 2, 1]);
            story.morning(second(Fri), 0);
        }
    }
    Some(story)
}

fn handed_over(trouble: usize) -> Routine {
    let issued = if trouble == 8 { second(Thu) } else { first(Mon) };
    version_of(1, issued)
}

fn version_of(number: i64, issued: NaiveDate) -> Routine {
    let mut routine = routine(number, &limits(), &[heel_drop()]);
    routine.issued = issued;
    routine
}

/// Ten of each of ten troubles, in no order that would help.
#[test]
fn a_caseload_of_a_hundred_stands_with_the_worst_first() {
    let mut cases: Vec<Case> = Vec::new();
    let mut troubles: BTreeMap<String, usize> = BTreeMap::new();
    for number in 0..100 {
        let trouble = number * 7 % 10;
        let label = format!("Round {number:02}");
        let glance = log_with(trouble).and_then(|story| Glance::of(&story.history(), &[]));
        let mut asks = Vec::from_iter(asks_of_handing_over(
            Some(&handed_over(trouble)),
            glance.as_ref(),
            today(),
        ));
        let none = (BTreeSet::new(), BTreeSet::new());
        asks.extend(glance.iter().flat_map(|glance| glance.asks(&none.0, &none.1, today())));
        troubles.insert(label.clone(), trouble);
        cases.push(Case::new(label, asks, None));
    }
    cases.sort_by(worst_first);
    // What a log cannot tell apart from the one before: quieter than the next step, a first log to come.
    let found: Vec<usize> = cases.iter().map(|case| troubles[&case.label]).collect();
    let expected: Vec<usize> = (0..100).map(|place| place / 10).collect();
    assert_eq!(found, expected, "{:#?}", cases.iter().step_by(10).collect::<Vec<_>>());
    let to_act_on = cases.iter().filter(|case| case.is_to_act_on()).count();
    assert_eq!(to_act_on, 70, "up to those of whom no log came");
}

#[test]
fn a_version_is_known_to_be_taken_on_or_not_once_the_log_goes_on() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1, 2, 1]);
    let glance = |story: &Story| Glance::of(&story.history(), &[]).unwrap();
    let asks = |story: &Story, last: &Routine| {
        asks_of_handing_over(Some(last), Some(&glance(story)), first(Wed))
    };
    assert_eq!(glance(&story).taken_on(&version_of(1, first(Mon))), TakenOn::Yes);
    let second_version = version_of(2, first(Mon));
    assert_eq!(glance(&story).taken_on(&second_version), TakenOn::Unknown);
    assert_eq!(asks(&story, &second_version), None);
    story.train(first(Tue), &[1, 2, 1]);
    assert_eq!(glance(&story).taken_on(&second_version), TakenOn::NotYet);
    let missing = Ask::NotTakenOn { version: version(2), since: first(Mon) };
    assert_eq!(asks(&story, &second_version), Some(missing));
    story.accept(at(first(Wed), "08:00"), &second_version);
    assert_eq!(glance(&story).taken_on(&second_version), TakenOn::Yes);
    let mut of_another = version_of(1, first(Mon));
    of_another.id = id("chair-rise");
    assert_eq!(glance(&story).taken_on(&of_another), TakenOn::NotYet);
}

proptest! {
    /// An order that is none would let a list be sorted in two ways.
    #[test]
    fn any_clients_have_one_order(picked in prop::collection::vec((0..30_usize, 0..6_usize), 0..12)) {
        let table = table();
        let cases = picked.iter().filter_map(|(row, client)| table[*row].0.get(*client).cloned());
        let mut cases: Vec<Case> = cases.collect();
        let mut reversed: Vec<Case> = cases.iter().rev().cloned().collect();
        cases.sort_by(worst_first);
        reversed.sort_by(worst_first);
        let keys = |cases: &[Case]| -> Vec<(Vec<u8>, String)> {
            let key = |case: &Case| {
                (case.asks.iter().map(Ask::place).collect(), case.label.to_lowercase())
            };
            cases.iter().map(key).collect()
        };
        prop_assert_eq!(keys(&cases), keys(&reversed));
        let to_act_on: Vec<bool> = cases.iter().map(Case::is_to_act_on).collect();
        prop_assert!(to_act_on.is_sorted_by(|earlier, later| earlier >= later), "{to_act_on:?}");
    }
}
