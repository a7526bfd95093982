//! What was done of what was prescribed, case by case, each with its sum beside it.
//!
//! The cases are the traps of the denominator in the references on adherence: a plan that changed in
//! mid-week, rest that the rule ordered, days before the plan began, nothing prescribed (common practice,
//! no source). Sessions beyond the plan stand apart, and never make good for a miss.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::log::event::Fact;
use carryover::domain::plan::dose::{Days as OnDays, TimesADay};
use carryover::domain::plan::routine::Exercise;
use carryover::domain::visit::review::{Done, ExerciseReview, Review};
use carryover::domain::visit::statistics::{Confidence, wilson};
use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
use chrono::{NaiveDate, Weekday};
use support::*;

fn on(days: &[Weekday]) -> Exercise {
    let mut drop = heel_drop();
    drop.dose.days = OnDays::on(days);
    drop
}

fn twice_a_day() -> Exercise {
    let mut drop = heel_drop();
    drop.dose.times_a_day = TimesADay::new(2).unwrap();
    drop
}

fn story_of(exercise: Exercise) -> Story {
    Story::of(&routine(1, &limits(), &[exercise]))
}

/// A story that begins on another day than the first Monday.
fn story_from(date: NaiveDate, hours_east: i32, exercise: Exercise) -> Story {
    Story::begun(at_offset(date, "06:00", hours_east), &routine(1, &limits(), &[exercise]))
}

/// The log leaves the phone on that day, which is not over.
fn hand_back(story: &mut Story, date: NaiveDate) {
    story.note(at(date, "20:00"), Fact::HandedBack);
}

fn review(story: &Story, from: NaiveDate) -> Review {
    Review::of(&story.history(), from).unwrap()
}

fn only(review: &Review) -> &ExerciseReview {
    &review.exercises[0]
}

/// So many done of so many prescribed, and so many extra; nothing left out.
fn done(done: u32, prescribed: u32, extra: u32) -> Done {
    Done { prescribed, done, extra, left_out: 0 }
}

#[test]
fn a_plan_that_changed_in_mid_week_asks_for_each_day_what_stood_on_that_day() {
    let mut story = story_of(on(&[Mon, Tue, Wed, Thu, Fri, Sat, Sun]));
    story.train(first(Tue), &[1, 1, 1]);
    story.accept(at(first(Wed), "12:00"), &routine(2, &limits(), &[on(&[Mon, Wed, Fri])]));
    story.train(first(Thu), &[1, 1, 1]);
    story.train(first(Fri), &[1, 1, 1]);
    hand_back(&mut story, second(Tue));
    let review = review(&story, first(Mon));
    // Daily until Tuesday: Monday, on which it was taken on, 0 of 1, Tuesday 1 of 1.
    // Then Mondays, Wednesdays, Fridays: Wednesday, the day of the change, 0 of 1, Thursday 1 extra,
    // Friday 1 of 1, Monday 0 of 1. Together 0 + 1 + 0 + 1 + 0 = 2 of 5, and 1 extra.
    assert_eq!(only(&review).done, done(2, 5, 1));
    assert_eq!(review.sessions, done(2, 5, 1));
    assert_eq!(only(&review).missed, [first(Mon), first(Wed), second(Mon)]);
}

#[test]
fn an_exercise_that_a_new_version_brings_is_not_asked_for_before() {
    let mut story = story_of(heel_drop());
    for day in [first(Tue), first(Wed)] {
        story.train(day, &[1, 1, 1]);
    }
    story.accept(at(first(Thu), "12:00"), &routine(2, &limits(), &[heel_drop(), chair_rise()]));
    story.train(first(Fri), &[1, 1, 1]);
    hand_back(&mut story, first(Sat));
    let review = review(&story, first(Mon));
    let [heel, chair] = &review.exercises[..] else { panic!("two exercises") };
    // The heel drop: Tuesday, Wednesday, Friday; neither on Monday nor on Thursday, the day of the change.
    assert_eq!(heel.done, done(3, 5, 0));
    // The chair: Thursday, from noon on, and Friday.
    assert_eq!(chair.done, done(0, 2, 0));
    assert_eq!(chair.missed, [first(Thu), first(Fri)]);
}

#[test]
fn an_exercise_that_was_taken_out_for_a_while_was_neither_missed_nor_left_out_by_the_rule() {
    let both = [heel_drop(), chair_rise()];
    let mut story = Story::of(&routine(1, &limits(), &both));
    story.train_other("chair-rise", first(Tue), &[7]);
    story.accept(at(first(Wed), "12:00"), &routine(2, &limits(), &[heel_drop()]));
    let mut third = routine(3, &limits(), &both);
    third.issued = second(Wed);
    story.accept(at(second(Wed), "12:00"), &third);
    hand_back(&mut story, second(Fri));
    let review = review(&story, first(Mon));
    let chair = &review.exercises[1];
    // Monday 0 of 1, Tuesday 1 of 1; from Wednesday to the next Wednesday it is no part of the routine; then
    // Wednesday and Thursday 0 of 1, since a version that was made since lets it begin again. The first Wednesday falls under
    // version 2.
    let left_out: Vec<_> =
        chair.left_out.iter().filter(|day| (first(Wed)..second(Wed)).contains(day)).collect();
    assert!(left_out.is_empty(), "{left_out:?}");
    assert_eq!(chair.done.done, 1);
    assert_eq!(chair.missed, [first(Mon), second(Wed), second(Thu)]);
}

#[test]
fn rest_that_the_rule_ordered_is_no_miss() {
    let mut story = story_of(heel_drop());
    story.train(first(Tue), &[7]);
    for (day, points) in [(first(Wed), 2), (first(Thu), 0), (first(Fri), 0)] {
        story.morning(day, points);
    }
    story.train(first(Fri), &[1, 1, 1]);
    hand_back(&mut story, second(Mon));
    let review = review(&story, first(Mon));
    // Monday 0 of 1. Tuesday 1 of 1 and a Hold: two days off. Friday 1 of 1. Saturday and Sunday 0 of 1 each: 2 of 5.
    assert_eq!(only(&review).left_out, [first(Wed), first(Thu)]);
    assert_eq!(only(&review).done, Done { left_out: 2, ..done(2, 5, 0) });
    assert_eq!(only(&review).missed, [first(Mon), first(Sat), first(Sun)]);
    assert_eq!(review.sessions, done(2, 5, 0), "what the rule left out is asked of no session");
}

#[test]
fn a_second_time_that_a_hold_forbade_is_no_miss() {
    let mut story = story_of(twice_a_day());
    story.session(at(first(Tue), "08:00")).sets(&[7]);
    story.morning(first(Wed), 2);
    hand_back(&mut story, first(Thu));
    let review = review(&story, first(Mon));
    // Monday 0 of 2. Tuesday 1 of 1: the Hold leaves out the evening. Wednesday is left out whole: 0 of 0.
    assert_eq!(only(&review).done, Done { left_out: 1, ..done(1, 3, 0) });
    assert_eq!(only(&review).missed, [first(Mon)]);
}

#[test]
fn a_start_in_mid_week_owes_nothing_for_the_days_before() {
    let mut story = story_from(first(Thu), 2, heel_drop());
    story.train(first(Fri), &[1, 1, 1]);
    hand_back(&mut story, first(Sun));
    let review = review(&story, first(Mon));
    // Monday to Wednesday: no routine. Thursday, when it was taken on, 0 of 1. Friday 1 of 1, Saturday 0 of 1.
    assert_eq!(only(&review).done, done(1, 3, 0));
    assert_eq!(review.sessions, done(1, 3, 0));
    assert_eq!(only(&review).missed, [first(Thu), first(Sat)]);
}

#[test]
fn twice_a_day_is_two_and_a_third_is_extra() {
    let mut story = story_of(twice_a_day());
    for (day, hours) in [
        (first(Tue), &["08:00", "18:00"][..]),
        (first(Wed), &["08:00"]),
        (first(Thu), &["08:00", "13:00", "18:00"]),
    ] {
        for hour in hours {
            story.session(at(day, hour)).sets(&[1, 1, 1]);
        }
    }
    hand_back(&mut story, first(Sat));
    let review = review(&story, first(Mon));
    // Monday 0 of 2, Tuesday 2 of 2, Wednesday 1 of 2, Thursday 2 of 2 and 1 extra, Friday 0 of 2: 5 of 10, and
    // Thursday's third does not make good for Wednesday's second.
    assert_eq!(only(&review).done, done(5, 10, 1));
    assert_eq!(review.sessions, done(5, 10, 1));
    assert_eq!(only(&review).missed, [first(Mon), first(Fri)]);
}

#[test]
fn the_day_of_the_visit_counts_what_was_done_and_owes_nothing() {
    let mut story = story_of(twice_a_day());
    for hour in ["08:00", "18:00"] {
        story.session(at(first(Tue), hour)).sets(&[1, 1, 1]);
    }
    story.session(at(first(Wed), "08:00")).sets(&[1, 1, 1]);
    // Monday 0 of 2, Tuesday 2 of 2; Wednesday has an evening left: 1 of 1.
    assert_eq!(only(&review(&story, first(Mon))).done, done(3, 5, 0));
}

#[test]
fn nothing_prescribed_is_none_and_never_a_share() {
    let mut story = story_of(on(&[Sat]));
    hand_back(&mut story, first(Fri));
    let empty = review(&story, first(Mon));
    assert_eq!(only(&empty).done, done(0, 0, 0));
    assert_eq!(empty.sessions, done(0, 0, 0));
    assert_eq!(wilson(0, 0, Confidence::NinetyFive), None);
    let mut story = story_of(on(&[Sat]));
    story.train(first(Wed), &[1, 1, 1]);
    hand_back(&mut story, first(Fri));
    // Wednesday was not asked for: 0 of 0, and 1 extra.
    assert_eq!(only(&review(&story, first(Mon))).done, done(0, 0, 1));
}

#[test]
fn travel_to_the_west_keeps_the_evening_on_its_own_day() {
    let mut story = story_of(heel_drop());
    story.train(first(Tue), &[1, 1, 1]);
    // 23:30 on Wednesday, four hours behind UTC, is already Thursday at home and at Greenwich.
    story.session(at_offset(first(Wed), "23:30", -4)).sets(&[1, 1, 1]);
    story.session(at_offset(first(Thu), "18:00", -4)).sets(&[1, 1, 1]);
    story.note(at_offset(first(Fri), "09:00", -4), Fact::HandedBack);
    // Monday 0 of 1, then one session on each of three days: 3 of 4, none extra.
    let review = review(&story, first(Mon));
    assert_eq!(only(&review).done, done(3, 4, 0));
    assert_eq!(
        only(&review).days.iter().map(|day| day.day).collect::<Vec<_>>(),
        [first(Tue), first(Wed), first(Thu)]
    );
}

#[test]
fn a_date_that_came_twice_at_the_date_line_is_one_day_and_a_skipped_one_is_a_day() {
    let mut story = story_of(heel_drop());
    story.session(at_offset(first(Tue), "18:00", 13)).sets(&[1, 1, 1]);
    // Eastward over the line the same Tuesday comes again: 22 hours after the first session, on one date.
    story.session(at_offset(first(Tue), "17:00", -10)).sets(&[1, 1, 1]);
    story.note(at_offset(first(Wed), "09:00", -10), Fact::HandedBack);
    // Monday 0 of 1, Tuesday 1 of 1 and 1 extra.
    assert_eq!(only(&review(&story, first(Mon))).done, done(1, 2, 1));

    let mut story = story_of(heel_drop());
    story.session(at_offset(first(Tue), "18:00", -10)).sets(&[1, 1, 1]);
    // Westward over it a date goes by in the air. The calendar had it, so it shows: the reader knows of the trip.
    story.session(at_offset(first(Thu), "18:00", 13)).sets(&[1, 1, 1]);
    story.note(at_offset(first(Fri), "09:00", 13), Fact::HandedBack);
    let review = review(&story, first(Mon));
    // Monday 0 of 1, Tuesday 1 of 1, Wednesday 0 of 1, Thursday 1 of 1.
    assert_eq!(only(&review).done, done(2, 4, 0));
    assert_eq!(only(&review).missed, [first(Mon), first(Wed)]);
}

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Directive 2000/84/EC: summer time begins on the last Sunday of March and ends on the last of October, at
/// 01:00 UTC.
#[test]
fn the_night_that_lost_an_hour_and_the_night_that_won_one_are_one_day_each() {
    let spring = date("2026-03-29");
    let mut story = story_from(spring - chrono::Days::new(2), 1, heel_drop());
    story.session(at_offset(spring - chrono::Days::new(1), "23:30", 1)).sets(&[1, 1, 1]);
    // 01:50 before the hands go on; its later sets end after 03:00.
    story.session(at_offset(spring, "01:50", 1)).sets(&[1]);
    story.session(at_offset(spring + chrono::Days::new(1), "00:30", 2)).sets(&[1, 1, 1]);
    story.note(at_offset(spring + chrono::Days::new(2), "09:00", 2), Fact::HandedBack);
    let review_spring = review(&story, spring - chrono::Days::new(2));
    // The 27th, when it was taken on, 0 of 1. A training day ends at 04:00: the 28th once and once more, the
    // 29th once, though its session began after midnight, and the 30th not at all.
    assert_eq!(only(&review_spring).done, done(2, 4, 1));

    let autumn = date("2026-10-25");
    let mut story = story_from(autumn - chrono::Days::new(2), 2, twice_a_day());
    // Half past two comes twice, and is the night of the 24th both times.
    story.session(at_offset(autumn, "02:30", 2)).sets(&[1, 1, 1]);
    story.session(at_offset(autumn, "02:30", 1)).sets(&[1, 1, 1]);
    story.session(at_offset(autumn, "08:00", 1)).sets(&[1, 1, 1]);
    story.session(at_offset(autumn + chrono::Days::new(1), "08:00", 1)).sets(&[1, 1, 1]);
    story.note(at_offset(autumn + chrono::Days::new(2), "09:00", 1), Fact::HandedBack);
    let review = review(&story, autumn - chrono::Days::new(2));
    // The 23rd, when it was taken on, 0 of 2. The 24th 2 of 2, the 25th and the 26th 1 of 2.
    assert_eq!(only(&review).done, done(4, 8, 0));
    assert_eq!(only(&review).missed, [autumn - chrono::Days::new(2)]);
}

/// The Gregorian calendar: 2028 is a leap year, 2027 and 2100 are not.
#[test]
fn the_29th_of_february_is_a_day_where_there_is_one() {
    for (year, days) in [(2027, 1), (2028, 2), (2100, 1)] {
        let mut story = story_from(date(&format!("{year}-02-27")), 1, heel_drop());
        story.session(at_offset(date(&format!("{year}-02-28")), "18:00", 1)).sets(&[1, 1, 1]);
        story.note(at_offset(date(&format!("{year}-03-01")), "09:00", 1), Fact::HandedBack);
        let review = review(&story, date(&format!("{year}-02-27")));
        // The 27th 0 of 1, the 28th 1 of 1; in a leap year the 29th 0 of 1. The 1st of March is not over.
        assert_eq!(only(&review).done, done(1, days + 1, 0), "{year}");
    }
}

#[test]
fn a_session_across_midnight_belongs_to_the_day_on_which_it_began() {
    let mut story = story_of(heel_drop());
    story.session(at(first(Tue), "23:58")).sets(&[1, 1, 1]);
    hand_back(&mut story, first(Thu));
    let review = review(&story, first(Mon));
    // Its last sets ended on Wednesday. Monday 0 of 1, Tuesday 1 of 1, Wednesday 0 of 1.
    assert_eq!(only(&review).done, done(1, 3, 0));
    assert_eq!(only(&review).missed, [first(Mon), first(Wed)]);
    assert_eq!(only(&review).days[0].day, first(Tue));
    assert_eq!(only(&review).days[0].sets, 3);
}

#[test]
fn a_session_in_which_every_set_was_left_out_is_not_done() {
    let mut story = story_of(heel_drop());
    story.session(at(first(Tue), "18:00"));
    hand_back(&mut story, first(Wed));
    // Monday 0 of 1. Tuesday started, and no set worked: 0 of 1.
    let review = review(&story, first(Mon));
    assert_eq!(review.sessions, done(0, 2, 0));
    assert_eq!(only(&review).missed, [first(Mon), first(Tue)]);
}

/// What a day asks for is the same whether it was done or not: it is due from the hour on which the routine
/// was taken on.
#[test]
fn the_day_on_which_a_routine_is_taken_on_is_due_done_or_not() {
    for (trains, expected) in [(true, done(1, 1, 0)), (false, done(0, 1, 0))] {
        let mut story = story_from(first(Mon), 2, heel_drop());
        if trains {
            story.train(first(Mon), &[1, 1, 1]);
        }
        hand_back(&mut story, first(Tue));
        assert_eq!(only(&review(&story, first(Mon))).done, expected);
    }
}

/// The session before the visit was done under the version that held then; the new one asks from noon on.
#[test]
fn a_session_before_a_visit_is_no_extra_and_is_not_asked_for_again() {
    let revised = |before: Exercise, after: Exercise, evening: bool| {
        let mut story = story_of(before);
        story.session(at(first(Tue), "08:00")).sets(&[1, 1, 1]);
        story.accept(at(first(Tue), "12:00"), &routine(2, &limits(), &[after]));
        if evening {
            story.train(first(Tue), &[1, 1, 1]);
        }
        hand_back(&mut story, first(Wed));
        only(&review(&story, first(Tue))).done
    };
    assert_eq!(revised(heel_drop(), heel_drop(), false), done(1, 1, 0));
    assert_eq!(revised(heel_drop(), on(&[Sat]), false), done(1, 1, 0), "not asked for any more");
    assert_eq!(revised(on(&[Sat]), heel_drop(), false), done(1, 1, 0), "not asked for before");
    assert_eq!(revised(on(&[Sat]), on(&[Sat]), false), done(0, 0, 1), "never asked for");
    assert_eq!(revised(heel_drop(), twice_a_day(), false), done(1, 2, 0));
    assert_eq!(revised(heel_drop(), twice_a_day(), true), done(2, 2, 0));
}

/// Left out is what the rule left out of what was due: a rest day has nothing to leave out.
#[test]
fn a_rest_day_is_not_left_out() {
    let mut story = story_of(on(&[Mon, Tue, Thu]));
    story.train(first(Tue), &[7]);
    story.morning(first(Wed), 2);
    story.morning(first(Thu), 2);
    hand_back(&mut story, first(Sat));
    let review = review(&story, first(Tue));
    // A Hold on Tuesday leaves out Thursday; Wednesday and Friday are no days for it.
    assert_eq!(only(&review).left_out, [first(Thu)]);
    assert_eq!(only(&review).done, Done { left_out: 1, ..done(1, 1, 0) });
}
