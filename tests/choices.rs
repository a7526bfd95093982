//! What a practitioner can decide about an exercise at a visit: each choice leads the client where it says.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::log::course::{Course, GoesOn};
use carryover::domain::plan::dose::Sets;
use carryover::domain::plan::ladder::Foothold;
use carryover::domain::plan::routine::Exercise;
use carryover::domain::visit::choice::{Choice, chosen, help_back, next_rung, stands};
use chrono::Days;
use chrono::Weekday::{Fri, Mon, Tue, Wed};
use proptest::prelude::*;
use support::revisions::{plans, revise, revisions};
use support::scripts::{Wild, a_quarter, scripts, write};
use support::*;

/// A course on a ladder of so many rungs, after training days with those ratings and quiet mornings.
fn course_of(rungs: i64, start: i64, ceiling: i64, ratings: &[i64]) -> (Course, Exercise) {
    let before = Exercise { ladder: ladder(rungs, start, ceiling), ..heel_drop() };
    let plan = routine(1, &limits(), std::slice::from_ref(&before));
    let mut story = Story::of(&plan);
    for (number, rating) in (0..).zip(ratings) {
        let day = first(Mon) + Days::new(2 * number);
        story.train(day, &[*rating; 3]);
        story.morning(day + Days::new(1), 0);
    }
    (story.history().course(&before.id).unwrap().clone(), before)
}

#[test]
fn help_back_leads_one_rung_down_and_no_further_up() {
    for (start, ceiling) in [(3, 3), (3, 4), (1, 3)] {
        let (course, before) = course_of(4, start, ceiling, &[1]);
        let now = stands(&course, &before);
        let Some(changed) = help_back(&course, &before) else {
            assert_eq!(now.rung, rung(1), "only on the lowest rung is there none");
            continue;
        };
        let below = rung(i64::from(now.rung.get()) - 1);
        assert_eq!(course.goes_on(&changed).foothold(), Foothold::on(below));
        assert_eq!(changed.ladder.ceiling(), below);
        assert_eq!(chosen(&course, &before, Some(&changed)), Choice::HelpBack);
    }
}

#[test]
fn the_next_rung_is_begun_at_once_above_the_ceiling_too() {
    let (course, before) = course_of(3, 2, 2, &[1]);
    let changed = next_rung(&course, &before).unwrap();
    assert_eq!(course.goes_on(&changed), GoesOn::AtTheStart { is: on_rung(3) });
    assert_eq!(changed.ladder.ceiling(), rung(3));
    assert_eq!(chosen(&course, &before, Some(&changed)), Choice::NextRung);
}

#[test]
fn there_is_no_rung_below_the_lowest_or_above_the_highest() {
    let (course, before) = course_of(2, 1, 1, &[1]);
    assert_eq!(help_back(&course, &before), None);
    let (course, before) = course_of(2, 2, 2, &[1]);
    assert_eq!(next_rung(&course, &before), None);
}

/// A ladder says where to begin; who was eased below that wins it back by the rule.
#[test]
fn who_was_eased_is_not_put_back_up_by_a_ladder_that_begins_there() {
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop()]));
    let start = heel_drop().ladder.start();
    story.train(first(Mon), &[6, 6, 6]);
    story.morning(first(Tue), 1);
    story.morning(first(Wed), 0);
    story.train(first(Fri), &[1, 1, 1]);
    let course = story.course();
    assert_eq!(stands(&course, &heel_drop()), on_rung(2));
    assert_eq!(start, rung(3));
    assert_eq!(next_rung(&course, &heel_drop()), None);
}

#[test]
fn what_was_changed_is_told_from_what_is_kept_and_what_is_out() {
    let (course, before) = course_of(3, 2, 2, &[1]);
    assert_eq!(chosen(&course, &before, Some(&before)), Choice::Keep);
    assert_eq!(chosen(&course, &before, None), Choice::Out);
    let mut other = before.clone();
    other.dose.sets = Sets::new(2).unwrap();
    assert_eq!(chosen(&course, &before, Some(&other)), Choice::OtherDose);
    // Another ceiling alone leads nowhere else.
    let higher = Exercise { ladder: before.ladder.up_to(rung(3)).unwrap(), ..before.clone() };
    assert_eq!(chosen(&course, &before, Some(&higher)), Choice::OtherDose);
    let both = Exercise { dose: other.dose, ..help_back(&course, &before).unwrap() };
    assert_eq!(chosen(&course, &before, Some(&both)), Choice::OtherDose);
}

proptest! {
    #![proptest_config(a_quarter())]

    /// Whatever a log has led to, and whatever was handed over since.
    #[test]
    fn each_choice_leads_one_rung_and_is_known_again(
        script in scripts(Wild { corrections: true, journeys: true }),
        plan in plans(),
        revision in revisions(),
    ) {
        let history = write(&script).history();
        let later = revise(&plan, &revision).version(2);
        for exercise in later.exercises().iter().chain(history.routine().unwrap().exercises()) {
            let Some(course) = history.course(&exercise.id) else { continue };
            let now = stands(course, exercise);
            let led = |changed: &Exercise| i32::from(stands(course, changed).rung.get());
            if let Some(changed) = help_back(course, exercise) {
                prop_assert_eq!(led(&changed), i32::from(now.rung.get()) - 1);
                prop_assert_eq!(chosen(course, exercise, Some(&changed)), Choice::HelpBack);
            }
            if let Some(changed) = next_rung(course, exercise) {
                prop_assert_eq!(led(&changed), i32::from(now.rung.get()) + 1);
                prop_assert_eq!(chosen(course, exercise, Some(&changed)), Choice::NextRung);
            }
        }
    }
}
