//! The small print of `docs/clinical-rule.md`, one story for each sentence.
//!
//! The first day of every story is a Monday, and a usual morning is nought unless a story says so.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::log::course::{Availability, Stop};
use carryover::domain::log::event::{Event, Fact, SetRef};
use carryover::domain::log::history::History;
use carryover::domain::log::rule::{Order, Reason, Swelling, UsualFrom};
use carryover::domain::pain::HalfPoints;
use carryover::domain::plan::ladder::{Ladder, OnLowestRung, Rung};
use carryover::domain::plan::limits::{
    AfterMiddleSet, Cell, Light, Limits, MayStepUp, Preset, RestDays, Settling, Site, SiteCounts,
    Table,
};
use carryover::domain::plan::routine::Exercise;
use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
use chrono::{Days, NaiveDate};
use support::*;

const SETTLED: i64 = 0;
const UP_A_LITTLE: i64 = 1;
const UP_CLEARLY: i64 = 2;

/// A day that ends in a Hold: high pain, and a morning that has not settled.
fn hold(story: &mut Story, day: NaiveDate) {
    story.train(day, &[7]);
    story.morning(day + Days::new(1), UP_CLEARLY);
    assert_eq!(story.light(day), Light::Hold);
}

/// A day that counts toward a step up.
fn good_day(story: &mut Story, day: NaiveDate) {
    story.train(day, &[1, 2, 1]);
    story.morning(day + Days::new(1), SETTLED);
    assert_eq!(story.order(day), Order::KeepAndCount);
}

// The training day.

#[test]
fn a_training_day_takes_the_worst_of_all_its_sessions_and_sets() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "07:00")).sets(&[1, 4, 1]);
    story.session(at(first(Mon), "19:00")).sets(&[0, 0, 0]);
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.course().judged().len(), 1);
    assert_eq!(story.order(first(Mon)), Order::KeepAndStay);
}

#[test]
fn the_light_in_the_evening_reads_the_column_for_no_answer_and_the_morning_replaces_it() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[2, 3, 4]);
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
    story.morning(first(Tue), UP_A_LITTLE);
    assert_eq!(story.order(first(Mon)), Order::Ease);
    assert_eq!(story.stands(), on_rung(2));
}

#[test]
fn an_evening_hold_is_taken_back_by_a_morning_for_which_the_table_says_ease() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    assert_eq!(story.order(first(Mon)), Order::HoldUntilRested);
    assert!(!story.is_open(first(Tue)));
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.order(first(Mon)), Order::Ease);
    assert!(story.is_open(first(Tue)));
}

#[test]
fn a_session_across_midnight_belongs_to_the_day_it_started() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "23:57")).sets(&[1, 1, 4]);
    story.morning(first(Tue), UP_CLEARLY);
    let judged = story.course().judged().to_vec();
    assert_eq!(judged.len(), 1);
    assert_eq!((judged[0].day, judged[0].verdict.order), (first(Mon), Order::HoldUntilRested));
}

/// The first edition called it a day of its own, and asked about it on the same evening.
#[test]
fn a_session_after_midnight_belongs_to_the_day_before_with_the_same_morning() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "23:40")).sets(&[1]);
    story.session(at(first(Tue), "03:59")).sets(&[4]);
    story.morning(first(Tue), UP_A_LITTLE);
    assert_eq!(story.order(first(Mon)), Order::Ease);
    story.session(at(first(Wed), "04:00")).sets(&[1]);
    let days: Vec<_> = story.course().judged().iter().map(|one| one.day).collect();
    assert_eq!(days, [first(Mon), first(Wed)]);
}

#[test]
fn without_a_rating_or_a_stop_the_last_verdict_stands() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.morning(first(Tue), UP_A_LITTLE);
    story.session(at(first(Tue), "18:00")).unrated().unrated();
    story.morning(first(Wed), UP_CLEARLY);
    assert_eq!(story.course().judged().len(), 1);
    assert_eq!(story.today(first(Wed)).last.unwrap().verdict.order, Order::Ease);
    assert_eq!(story.stands(), on_rung(2));
}

#[test]
fn a_set_stopped_by_pain_is_high_without_a_rating() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "18:00")).stopped();
    assert_eq!(story.order(first(Mon)), Order::HoldUntilRested);
}

#[test]
fn a_stop_is_not_undone_by_a_later_set() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "18:00")).stopped().sets(&[1]);
    assert_eq!(story.order(first(Mon)), Order::HoldUntilRested);
}

#[test]
fn a_set_rated_after_two_more_training_days_began_changes_no_verdict() {
    let mut story = Story::with(&limits());
    story.session(at(first(Mon), "18:00")).set(1);
    let Fact::SetRated { set, .. } = story.events().last().unwrap().what.clone() else {
        panic!("the last event is a rating")
    };
    story.train(first(Tue), &[1]);
    story.train(first(Wed), &[1]);
    story.note(at(first(Wed), "20:00"), Fact::SetRated { set, rating: rating(9), site: None });
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
    assert!(story.is_open(first(Wed)));
}

#[test]
fn rating_a_set_again_replaces_its_rating() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    let Fact::SetRated { set, .. } = story.events().last().unwrap().what.clone() else {
        panic!("the last event is a rating")
    };
    let again = Fact::SetRated { set, rating: rating(2), site: None };
    story.note(at(first(Mon), "18:05"), again);
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
}

#[test]
fn a_set_in_the_high_zone_ends_the_exercise_for_the_day_whatever_the_table_orders() {
    let lenient = Limits {
        table: Table::new(rating(2), rating(5), [[Cell::Stay; 4]; 3]).unwrap(),
        ..limits()
    };
    let mut story = Story::with(&lenient);
    story.train(first(Mon), &[5]);
    assert!(story.is_open(first(Mon)));
    story.session(at(first(Mon), "20:00")).sets(&[6]);
    assert_eq!(story.light(first(Mon)), Light::Keep);
    assert!(!story.is_open(first(Mon)));
    assert!(story.is_open(first(Tue)));
    assert_eq!(story.history().owed_morning(at(first(Tue), "07:00")).unwrap().after, first(Mon));
    let mut story = Story::with(&lenient);
    story.session(at(first(Mon), "18:00")).stopped();
    assert!(!story.is_open(first(Mon)));
}

// The morning check.

#[test]
fn a_morning_begins_at_four() {
    let answered = |time| {
        let mut story = Story::with(&limits());
        story.train(first(Mon), &[1]);
        story.morning_at(at(first(Tue), time), SETTLED, Swelling::NoMore);
        (story.order(first(Mon)), story.history().owed_morning(at(first(Tue), "09:00")).is_some())
    };
    assert_eq!(answered("03:59"), (Order::KeepNotCounted, true));
    assert_eq!(answered("04:00"), (Order::KeepAndCount, false));
}

#[test]
fn a_morning_is_in_time_until_its_day_ends() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.morning_at(at(first(Tue), "23:59"), UP_A_LITTLE, Swelling::NoMore);
    assert_eq!(story.order(first(Mon)), Order::Ease);
}

/// Its rating is not read. Its swelling is, which the first edition left out: a joint that is clearly
/// more swollen is no less so for being told a day late.
#[test]
fn an_answer_after_the_next_day_is_kept_as_late_and_only_its_swelling_is_read() {
    for (swelling, order) in [
        (Swelling::NoMore, Order::KeepNotCounted),
        (Swelling::ALittleMore, Order::KeepNotCounted),
        (Swelling::ClearlyMore, Order::HoldUntilRested),
    ] {
        let mut story = Story::with(&limits());
        story.train(first(Mon), &[1]);
        let ratings = [(id("heel-drop"), rating(5))].into();
        let late = Fact::MorningAnswered { after: first(Mon), ratings, swelling };
        story.note(at(first(Wed), "07:00"), late);
        let verdict = story.judged(first(Mon)).verdict;
        assert_eq!(verdict.order, order);
        assert!(verdict.reasons.contains(&Reason::MorningNotAnswered));
        let history = story.history();
        assert_eq!(history.mornings().len(), 1);
        assert!(!history.mornings()[0].in_time());
    }
}

#[test]
fn a_morning_answered_after_the_next_session_began_still_belongs_to_the_day_before() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.session(at(first(Tue), "06:30")).sets(&[1, 1, 1]);
    story.morning_at(at(first(Tue), "08:00"), UP_CLEARLY, Swelling::NoMore);
    assert_eq!(story.order(first(Mon)), Order::HoldUntilRested);
    assert_eq!(story.stands(), on_rung(2));
    assert_eq!(story.availability(first(Tue)), Availability::Held { back_on: first(Thu) });
    assert_eq!(story.order(first(Tue)), Order::KeepNotCounted);
    assert_eq!(
        story.course().judged().iter().map(|one| one.day).collect::<Vec<_>>(),
        [first(Mon), first(Tue)]
    );
}

#[test]
fn an_ease_from_an_answer_after_the_next_session_began_stands() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.session(at(first(Tue), "06:30")).sets(&[1, 1, 1]);
    story.morning_at(at(first(Tue), "08:00"), UP_A_LITTLE, Swelling::NoMore);
    assert_eq!((story.light(first(Mon)), story.light(first(Tue))), (Light::Ease, Light::Keep));
    assert_eq!(story.stands(), on_rung(2));
    story.morning(first(Wed), SETTLED);
    assert_eq!(story.stands(), on_rung(2));
}

/// The first edition counted it. An answer after the session may be about the session.
#[test]
fn a_morning_answered_after_the_next_session_began_leaves_the_count() {
    let mut story = Story::with(&climbing_after(2));
    good_day(&mut story, first(Mon));
    story.train(first(Tue), &[1]);
    story.session(at(first(Wed), "06:30")).sets(&[1]);
    story.morning_at(at(first(Wed), "08:00"), SETTLED, Swelling::NoMore);
    assert_eq!(story.order(first(Tue)), Order::KeepNotCounted);
    assert!(story.judged(first(Tue)).verdict.reasons.contains(&Reason::AnsweredAfterTraining));
    assert_eq!((story.stands(), story.count()), (on_rung(3), 1));
    story.morning(first(Thu), SETTLED);
    assert_eq!((story.stands(), story.count()), (on_rung(4), 0));
}

#[test]
fn a_step_up_taken_before_the_next_session_stays_when_the_morning_is_answered_again() {
    let mut story = Story::with(&climbing_after(2));
    good_day(&mut story, first(Mon));
    good_day(&mut story, first(Tue));
    assert_eq!(story.stands(), on_rung(4));
    story.train(first(Wed), &[1]);
    story.morning_at(at(first(Wed), "21:00"), SETTLED, Swelling::NoMore);
    assert_eq!((story.stands(), story.count()), (on_rung(4), 0));
}

#[test]
fn a_morning_changes_the_day_before_and_no_earlier_day() {
    let mut story = Story::with(&limits());
    for day in [Mon, Tue, Wed] {
        story.train(first(day), &[4]);
    }
    story.morning(first(Thu), UP_A_LITTLE);
    let lights: Vec<_> = story.course().judged().iter().map(|one| one.verdict.order).collect();
    assert_eq!(lights, [Order::KeepNotCounted, Order::KeepNotCounted, Order::Ease]);
}

#[test]
fn of_two_answers_on_one_morning_the_worse_counts() {
    for (first_answer, second_answer) in [(SETTLED, UP_A_LITTLE), (UP_A_LITTLE, SETTLED)] {
        let mut story = Story::with(&limits());
        story.train(first(Mon), &[4]);
        story.morning(first(Tue), first_answer);
        story.morning_at(at(first(Tue), "07:10"), second_answer, Swelling::NoMore);
        assert_eq!(story.order(first(Mon)), Order::Ease);
        let mornings = story.course().mornings().to_vec();
        assert_eq!((mornings.len(), mornings[0].rating), (1, rating(UP_A_LITTLE)));
    }
}

#[test]
fn of_two_answers_about_swelling_the_worse_counts() {
    for (first_answer, second_answer) in
        [(Swelling::ClearlyMore, Swelling::NoMore), (Swelling::NoMore, Swelling::ClearlyMore)]
    {
        let mut story = Story::with(&limits());
        story.train(first(Mon), &[1]);
        story.swollen_morning(first(Tue), SETTLED, first_answer);
        story.morning_at(at(first(Tue), "07:10"), SETTLED, second_answer);
        assert_eq!(story.order(first(Mon)), Order::HoldUntilRested);
        story.swollen_morning(first(Thu), SETTLED, first_answer);
        story.morning_at(at(first(Thu), "07:10"), SETTLED, second_answer);
        assert!(!story.is_open(first(Thu)));
    }
}

#[test]
fn swelling_without_a_rating_counts_and_leaves_the_morning_unanswered() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    let swollen = Fact::MorningAnswered {
        after: first(Mon),
        ratings: [].into(),
        swelling: Swelling::ClearlyMore,
    };
    story.note(at(first(Tue), "07:00"), swollen);
    let verdict = story.judged(first(Mon)).verdict;
    assert_eq!(verdict.order, Order::HoldUntilRested);
    assert!(verdict.reasons.contains(&Reason::MorningNotAnswered));
    assert!(verdict.reasons.contains(&Reason::SwellingClearlyMore));
}

#[test]
fn a_morning_check_is_owed_after_training_and_on_every_morning_of_a_hold() {
    let mut story = Story::with(&limits());
    let owed = |story: &Story, day, time| {
        story.history().owed_morning(at(day, time)).map(|owed| owed.after)
    };
    assert_eq!(owed(&story, first(Mon), "09:00"), None);
    hold(&mut story, first(Mon));
    assert_eq!(owed(&story, first(Tue), "09:00"), None);
    assert_eq!(owed(&story, first(Wed), "03:59"), None);
    assert_eq!(owed(&story, first(Wed), "04:00"), Some(first(Mon)));
    story.morning(first(Wed), SETTLED);
    assert_eq!(owed(&story, first(Wed), "09:00"), None);
    assert_eq!(owed(&story, first(Thu), "09:00"), None);
}

// What a morning is compared with.

#[test]
fn a_usual_morning_recorded_at_the_visit_comes_first() {
    let limits = Limits { usual_morning: Some(rating(3)), ..limits() };
    let mut story = Story::with(&limits);
    for day in [Mon, Tue, Wed, Thu] {
        story.morning(first(day), 0);
    }
    story.session_of(&id("heel-drop"), at(first(Thu), "18:00"), Some(rating(1))).sets(&[1]);
    story.morning(first(Fri), 4);
    assert_eq!(usual(&story, first(Thu)), (6, UsualFrom::Visit));
    assert_eq!(story.order(first(Thu)), Order::KeepAndStay);
}

/// What Monday's or Thursday's morning was compared with, in half points.
fn usual(story: &Story, day: NaiveDate) -> (i16, UsualFrom) {
    let reasons = story.judged(day).verdict.reasons;
    let of_morning = |reason: &Reason| {
        let Reason::Morning { usual, .. } = reason else { return None };
        Some((usual.half_points.0, usual.from))
    };
    reasons.iter().find_map(of_morning).unwrap()
}

fn unrecorded() -> Limits {
    Limits { usual_morning: None, ..limits() }
}

#[test]
fn otherwise_the_median_of_the_last_seven_counted_mornings_before_the_session_counts() {
    let mut story = Story::with(&unrecorded());
    // The anchor lies above them all: the lower of the two is what they come to.
    story.usual_morning(at(first(Mon), "06:30"), 9);
    for (day, points) in [(Mon, 9), (Tue, 9), (Wed, 1), (Thu, 1), (Fri, 2), (Sat, 2)] {
        story.morning(first(day), points);
    }
    story.morning(first(Sun), 3);
    story.morning(second(Mon), 3);
    story.morning(second(Tue), 3);
    story.train(second(Tue), &[1]);
    story.morning(second(Wed), 4);
    assert_eq!(usual(&story, second(Tue)), (4, UsualFrom::Mornings));
    assert_eq!(story.light(second(Tue)), Light::Ease);
}

#[test]
fn a_usual_morning_can_be_a_half_and_a_rise_of_a_point_and_a_half_is_up_a_little() {
    let mut story = Story::with(&unrecorded());
    story.usual_morning(at(first(Mon), "06:30"), 2);
    for (day, points) in [(Mon, 1), (Tue, 1), (Wed, 2), (Thu, 2)] {
        story.morning(first(day), points);
    }
    story.train(first(Thu), &[1]);
    story.morning(first(Fri), 3);
    assert_eq!(usual(&story, first(Thu)), (3, UsualFrom::Mornings));
    assert_eq!(story.order(first(Thu)), Order::KeepAndStay);
}

/// A day that only has pain at rest to compare with never counts; the first edition let it.
#[test]
fn with_fewer_than_three_mornings_pain_at_rest_before_the_session_is_compared_with() {
    let mut story = Story::with(&unrecorded());
    story.morning(first(Sun), 1);
    story.morning(second(Mon), 1);
    story.session_of(&id("heel-drop"), at(second(Mon), "18:00"), Some(rating(2))).sets(&[1]);
    story.morning(second(Tue), 2);
    assert_eq!(usual(&story, second(Mon)), (4, UsualFrom::AtRest));
    assert_eq!(story.order(second(Mon)), Order::KeepNotCounted);
    assert!(story.judged(second(Mon)).verdict.reasons.contains(&Reason::OnlyAtRestToCompare));
    story.session_of(&id("heel-drop"), at(second(Tue), "18:00"), Some(rating(0))).sets(&[1]);
    story.morning(second(Wed), 1);
    assert_eq!(usual(&story, second(Tue)), (2, UsualFrom::Mornings));
    assert_eq!(story.order(second(Tue)), Order::KeepAndCount);
}

#[test]
fn where_nothing_is_known_a_morning_is_compared_with_no_pain() {
    let mut story = Story::with(&unrecorded());
    story.train(first(Mon), &[1]);
    story.morning(first(Tue), 1);
    assert_eq!(usual(&story, first(Mon)), (0, UsualFrom::Nothing));
    assert_eq!(story.order(first(Mon)), Order::KeepAndStay);
}

#[test]
fn a_morning_before_the_session_is_one_of_those_before_it() {
    let told = |morning_first: bool| {
        let mut story = Story::with(&unrecorded());
        story.morning(first(Mon), 1);
        story.morning(first(Tue), 1);
        if morning_first {
            story.morning(first(Wed), 1);
        }
        story.train(first(Wed), &[1]);
        if !morning_first {
            story.morning_at(at(first(Wed), "20:00"), 1, Swelling::NoMore);
        }
        story.morning(first(Thu), 1);
        usual(&story, first(Wed))
    };
    assert_eq!(told(true), (2, UsualFrom::Mornings));
    assert_eq!(told(false), (0, UsualFrom::Nothing));
}

// Hold, and the way back.

#[test]
fn after_a_hold_on_monday_the_exercise_is_back_on_thursday_one_rung_down() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    assert_eq!(story.stands(), on_rung(2));
    story.morning(first(Wed), SETTLED);
    for (day, open) in [(Mon, false), (Tue, false), (Wed, false), (Thu, true), (Fri, true)] {
        assert_eq!(story.is_open(first(day)), open, "{day}");
    }
    assert_eq!(story.availability(first(Wed)), Availability::Held { back_on: first(Thu) });
}

#[test]
fn a_settled_morning_on_the_day_of_return_is_in_time() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    assert!(!story.is_open(first(Thu)));
    story.morning(first(Thu), SETTLED);
    assert!(story.is_open(first(Thu)));
}

#[test]
fn the_latest_answer_decides_about_the_return() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Wed), SETTLED);
    assert!(story.is_open(first(Thu)));
    story.morning(first(Thu), UP_A_LITTLE);
    assert!(!story.is_open(first(Thu)));
    assert!(!story.is_open(first(Fri)));
    story.morning(first(Sat), SETTLED);
    assert!(story.is_open(first(Sat)));
}

#[test]
fn a_settled_morning_from_before_the_hold_does_not_bring_it_back() {
    let mut story = Story::with(&limits());
    story.morning(first(Mon), SETTLED);
    story.train(first(Mon), &[7]);
    assert!(!story.is_open(first(Thu)));
    assert_eq!(story.history().owed_morning(at(first(Thu), "07:00")).unwrap().after, first(Mon));
}

#[test]
fn a_morning_with_clearly_more_swelling_does_not_bring_it_back() {
    for (swelling, open) in
        [(Swelling::NoMore, true), (Swelling::ALittleMore, true), (Swelling::ClearlyMore, false)]
    {
        let mut story = Story::with(&limits());
        hold(&mut story, first(Mon));
        story.swollen_morning(first(Wed), SETTLED, swelling);
        assert_eq!(story.is_open(first(Thu)), open, "{swelling:?}");
    }
}

#[test]
fn half_a_point_above_a_usual_morning_does_not_bring_it_back() {
    for (points, open) in [(1, true), (2, false)] {
        let mut story = Story::with(&unrecorded());
        story.usual_morning(at(first(Mon), "06:30"), 2);
        for (day, points) in [(Mon, 1), (Tue, 1), (Wed, 2), (Thu, 2)] {
            story.morning(first(day), points);
        }
        story.train(first(Thu), &[7]);
        story.morning(first(Fri), 9);
        story.morning(first(Sun), points);
        assert_eq!(story.is_open(first(Sun)), open, "{points}");
    }
}

#[test]
fn once_an_exercise_has_come_back_a_later_morning_does_not_take_it_away() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Wed), SETTLED);
    story.morning(first(Fri), UP_A_LITTLE);
    assert!(story.is_open(first(Fri)));
}

#[test]
fn an_exercise_done_on_the_day_of_its_return_is_not_taken_away_by_an_answer_later_that_day() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Wed), SETTLED);
    story.session(at(first(Thu), "06:30")).sets(&[1]);
    story.morning_at(at(first(Thu), "08:00"), UP_A_LITTLE, Swelling::NoMore);
    assert!(story.is_open(first(Fri)));
}

#[test]
fn after_seven_days_without_a_settled_morning_the_practitioner_is_asked_for() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    for day in [Wed, Thu, Fri, Sat, Sun] {
        story.morning(first(day), UP_A_LITTLE);
    }
    story.morning(second(Mon), UP_A_LITTLE);
    assert_eq!(story.availability(second(Mon)), Availability::Held { back_on: first(Thu) });
    assert_eq!(story.availability(second(Tue)), Availability::Stopped(Stop::NotSettled));
    story.morning(second(Tue), SETTLED);
    assert_eq!(story.availability(second(Wed)), Availability::Stopped(Stop::NotSettled));
    story.told_to_go_on(at(second(Wed), "10:00"));
    assert!(story.is_open(second(Wed)));
    assert_eq!(story.stands(), on_rung(2));
}

#[test]
fn training_on_after_seven_unsettled_days_does_not_lift_the_stop() {
    for ratings in [&[0][..], &[7]] {
        let mut story = Story::with(&limits());
        hold(&mut story, first(Mon));
        story.train(second(Wed), ratings);
        story.morning(second(Thu), UP_CLEARLY);
        story.morning(second(Sat), SETTLED);
        assert_eq!(story.availability(second(Sun)), Availability::Stopped(Stop::NotSettled));
    }
}

#[test]
fn a_morning_settled_on_the_seventh_day_is_in_time() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(second(Mon), SETTLED);
    assert!(story.is_open(second(Mon)));
    assert!(story.is_open(second(Tue)));
}

#[test]
fn the_practitioner_sets_the_rest_days() {
    for (days, back_on) in [(0, first(Tue)), (1, first(Wed)), (3, first(Fri)), (10, second(Fri))] {
        let limits = Limits { rest_days: RestDays::new(days).unwrap(), ..limits() };
        let mut story = Story::with(&limits);
        hold(&mut story, first(Mon));
        // The morning that brings it back is of that day or the day before.
        let after = back_on.max(first(Wed));
        story.morning(after.pred_opt().unwrap().max(first(Wed)), SETTLED);
        assert!(story.is_open(after), "{days}");
        let before = after.pred_opt().unwrap();
        assert_eq!(story.availability(before), Availability::Held { back_on }, "{days}");
    }
}

/// The first edition brought it back on a morning of any age.
#[test]
fn a_settled_morning_two_days_before_the_return_is_too_old() {
    let limits = Limits { rest_days: RestDays::new(3).unwrap(), ..limits() };
    let mut story = Story::with(&limits);
    hold(&mut story, first(Mon));
    story.morning(first(Wed), SETTLED);
    assert_eq!(story.availability(first(Fri)), Availability::Held { back_on: first(Fri) });
    story.morning(first(Fri), SETTLED);
    assert!(story.is_open(first(Fri)));
}

#[test]
fn a_second_hold_less_than_seven_days_later_stops_the_exercise_until_someone_answers() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Thu), SETTLED);
    hold(&mut story, first(Sun));
    assert_eq!(story.order(first(Sun)), Order::HoldUntilAnswered);
    let reasons = story.judged(first(Sun)).verdict.reasons;
    assert!(reasons.contains(&Reason::SecondHoldWithinSevenDays));
    story.morning(second(Wed), SETTLED);
    assert_eq!(story.availability(second(Thu)), Availability::Stopped(Stop::TwoHolds));
    story.told_to_go_on(at(second(Thu), "10:00"));
    assert!(story.is_open(second(Thu)));
    assert_eq!(story.stands(), on_rung(1));
}

#[test]
fn a_second_hold_seven_days_later_does_not() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Thu), SETTLED);
    hold(&mut story, second(Mon));
    assert_eq!(story.order(second(Mon)), Order::HoldUntilRested);
    assert_eq!(story.availability(second(Mon)), Availability::Held { back_on: second(Thu) });
}

#[test]
fn an_evening_hold_that_the_morning_took_back_is_no_first_hold() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    story.morning(first(Tue), SETTLED);
    story.train(first(Tue), &[6]);
    assert_eq!(story.order(first(Tue)), Order::HoldUntilRested);
}

#[test]
fn holds_that_someone_answered_no_longer_count_as_a_first() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Thu), SETTLED);
    hold(&mut story, first(Thu));
    assert_eq!(story.order(first(Thu)), Order::HoldUntilAnswered);
    story.told_to_go_on(at(first(Fri), "10:00"));
    hold(&mut story, first(Sat));
    assert_eq!(story.order(first(Sat)), Order::HoldUntilRested);
}

#[test]
fn a_go_ahead_lifts_what_waits_for_one_and_nothing_else() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.told_to_go_on(at(first(Tue), "10:00"));
    assert_eq!(story.availability(first(Tue)), Availability::Held { back_on: first(Thu) });
}

#[test]
fn a_verdict_given_before_a_go_ahead_is_not_rewritten_by_a_session_of_the_same_day() {
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    story.morning(first(Thu), SETTLED);
    story.train(first(Thu), &[7]);
    story.told_to_go_on(at(first(Thu), "19:00"));
    story.session(at(first(Thu), "20:00")).sets(&[1]);
    let orders: Vec<_> = story.course().judged().iter().map(|one| one.verdict.order).collect();
    assert_eq!(orders, [Order::HoldUntilRested, Order::HoldUntilAnswered, Order::KeepNotCounted]);
    for fact in story.history().untold_verdicts() {
        story.note(at(first(Thu), "20:30"), fact);
    }
    assert!(story.history().untold_verdicts().is_empty());
}

// Warning signs.

#[test]
fn a_warning_sign_holds_every_exercise_and_nothing_else_matters() {
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop(), chair_rise()]));
    story.train(first(Mon), &[1]);
    story.warning(at(first(Mon), "19:00"));
    for exercise in ["heel-drop", "chair-rise"] {
        let history = story.history();
        let course = history.course(&id(exercise)).unwrap();
        assert_eq!(course.availability(first(Tue)), Availability::Stopped(Stop::WarningSign));
        let verdict = &course.judged().last().unwrap().verdict;
        assert_eq!(verdict.order, Order::HoldUntilAnswered);
        assert_eq!(verdict.reasons, [Reason::WarningSign]);
    }
}

#[test]
fn a_warning_sign_is_lifted_by_a_go_ahead_and_not_by_time() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    story.warning(at(first(Mon), "19:00"));
    for day in [Tue, Wed, Thu] {
        story.morning(first(day), SETTLED);
    }
    assert_eq!(story.availability(third(Mon)), Availability::Stopped(Stop::WarningSign));
    assert_eq!(story.order(first(Mon)), Order::HoldUntilAnswered);
    story.told_to_go_on(at(third(Mon), "10:00"));
    assert!(story.is_open(third(Mon)));
    assert_eq!(story.stands(), on_rung(2));
}

/// The first edition attached it to the day before.
#[test]
fn a_warning_sign_before_training_is_a_hold_of_its_own_day() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    story.warning(at(first(Tue), "17:00"));
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
    assert_eq!(story.order(first(Tue)), Order::HoldUntilAnswered);
    assert_eq!(story.course().judged().len(), 2);
    assert_eq!(story.stands(), on_rung(2));
}

#[test]
fn a_warning_sign_outside_a_training_day_steps_down_once() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    story.warning(at(first(Wed), "09:00"));
    story.warning(at(first(Wed), "17:00"));
    story.warning(at(first(Thu), "17:00"));
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
    assert_eq!(story.order(first(Wed)), Order::HoldUntilAnswered);
    assert_eq!(story.course().judged().len(), 2);
    assert_eq!(story.stands(), on_rung(2));
}

#[test]
fn training_on_after_a_warning_sign_does_not_lift_it() {
    let mut story = Story::with(&limits());
    story.warning(at(first(Mon), "09:00"));
    story.train(first(Tue), &[0]);
    story.morning(first(Wed), SETTLED);
    assert_eq!(story.availability(first(Wed)), Availability::Stopped(Stop::WarningSign));
}

// Rungs, sets and counts.

#[test]
fn ease_goes_one_rung_down_at_once_from_where_the_day_started() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    story.session(at(first(Mon), "20:00")).sets(&[6]);
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.light(first(Mon)), Light::Ease);
    assert_eq!(story.stands(), on_rung(2));
}

#[test]
fn a_day_that_began_below_what_a_later_answer_gives_back_is_eased_from_where_it_began() {
    use Cell::{Counts, Ease, Hold, Stay};
    let rows = [[Counts, Stay, Ease, Stay], [Stay, Ease, Hold, Ease], [Ease, Hold, Hold, Hold]];
    let strict = Limits { table: Table::new(rating(2), rating(5), rows).unwrap(), ..limits() };
    let mut story = Story::with(&strict);
    story.train(first(Mon), &[4]);
    assert_eq!(story.stands(), on_rung(2));
    story.session(at(first(Tue), "06:30")).sets(&[4]);
    story.morning_at(at(first(Tue), "08:00"), SETTLED, Swelling::NoMore);
    // The first edition then said that Tuesday begins on rung 3, and it had begun on rung 2.
    assert_eq!(story.judged(first(Mon)).next, on_rung(2));
    assert_eq!(story.judged(first(Tue)).from, on_rung(2));
    assert_eq!(story.stands(), on_rung(1));
}

#[test]
fn an_easing_within_the_day_stands_when_the_verdict_is_keep() {
    let limits = Limits { after_middle_set: AfterMiddleSet::OneRungDown, ..limits() };
    let mut story = Story::with(&limits);
    story.train(first(Mon), &[3, 1, 1]);
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.order(first(Mon)), Order::KeepAndStay);
    assert_eq!(story.stands(), on_rung(2));
}

#[test]
fn an_easing_after_the_last_set_of_the_day_moves_nothing() {
    let limits = Limits { after_middle_set: AfterMiddleSet::OneRungDown, ..limits() };
    let mut story = Story::with(&limits);
    story.train(first(Mon), &[1, 1, 3]);
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.stands(), on_rung(3));
}

#[test]
fn ease_takes_the_lower_of_an_easing_within_the_day_and_one_below_its_start() {
    let limits = Limits { after_middle_set: AfterMiddleSet::OneRungDown, ..limits() };
    // Two middle sets ease no further than one: at most one rung below the day's start in one day.
    for (ratings, stands) in [(&[3, 1, 1][..], 2), (&[3, 3, 1], 2), (&[1, 1, 3], 2)] {
        let mut story = Story::with(&limits);
        story.train(first(Mon), ratings);
        story.morning(first(Tue), UP_A_LITTLE);
        assert_eq!(story.light(first(Mon)), Light::Ease);
        assert_eq!(story.stands(), on_rung(stands), "{ratings:?}");
    }
}

fn on_the_lowest_rung(on_lowest_rung: OnLowestRung) -> Story {
    let mut heel_drop = heel_drop();
    heel_drop.ladder = ladder(5, 1, 4);
    Story::of(&routine(1, &Limits { on_lowest_rung, ..limits() }, &[heel_drop]))
}

/// On the last set the first edition said Ease, and nothing changed, for ever.
#[test]
fn ease_on_the_lowest_rung_takes_one_set_off_and_on_the_last_one_is_a_hold() {
    let mut story = on_the_lowest_rung(OnLowestRung::OneSetFewer);
    for (day, sets, light) in [(Mon, 2, Light::Ease), (Tue, 1, Light::Ease), (Wed, 1, Light::Hold)]
    {
        story.train(first(day), &[4]);
        let next = first(day).succ_opt().unwrap();
        story.morning(next, UP_A_LITTLE);
        assert_eq!(story.light(first(day)), light);
        assert_eq!(story.today(next).dose.sets.get(), sets, "{day}");
        assert_eq!(story.stands().rung, rung(1));
    }
    assert!(story.judged(first(Wed)).verdict.reasons.contains(&Reason::NothingEasier));
    assert_eq!(story.availability(first(Thu)), Availability::Held { back_on: first(Sat) });
}

#[test]
fn ease_on_the_lowest_rung_is_a_hold_where_the_practitioner_chose_so() {
    let mut story = on_the_lowest_rung(OnLowestRung::Hold);
    story.train(first(Mon), &[4]);
    story.morning(first(Tue), UP_A_LITTLE);
    let verdict = story.judged(first(Mon)).verdict;
    assert_eq!(verdict.order, Order::HoldUntilRested);
    assert!(verdict.reasons.contains(&Reason::NothingEasier));
    // It is a Hold in every respect: it comes back with one set fewer, as any on the lowest rung does.
    assert_eq!(story.stands(), fewer_sets(1));
    assert_eq!(story.availability(first(Tue)), Availability::Held { back_on: first(Thu) });
}

#[test]
fn a_hold_on_the_lowest_rung_comes_back_with_one_set_fewer() {
    let mut story = on_the_lowest_rung(OnLowestRung::OneSetFewer);
    hold(&mut story, first(Mon));
    assert_eq!(story.stands(), fewer_sets(1));
}

#[test]
fn a_step_up_takes_so_many_step_up_days_in_a_row() {
    let mut story = Story::with(&climbing_after(3));
    good_day(&mut story, first(Mon));
    good_day(&mut story, first(Tue));
    assert_eq!((story.stands(), story.count()), (on_rung(3), 2));
    good_day(&mut story, first(Wed));
    assert_eq!((story.stands(), story.count()), (on_rung(4), 0));
}

#[test]
fn an_unanswered_morning_leaves_the_count() {
    let mut story = Story::with(&climbing_after(3));
    good_day(&mut story, first(Mon));
    story.train(first(Tue), &[1]);
    assert_eq!(story.count(), 1);
    story.train(first(Wed), &[4]);
    assert_eq!(story.count(), 1);
    good_day(&mut story, first(Thu));
    assert_eq!((story.stands(), story.count()), (on_rung(3), 2));
    good_day(&mut story, first(Fri));
    assert_eq!(story.stands(), on_rung(4));
}

#[test]
fn stay_here_ease_and_hold_set_the_count_to_nought() {
    for (during, morning, light) in [
        (4, SETTLED, Light::Keep),
        (1, UP_A_LITTLE, Light::Keep),
        (4, UP_A_LITTLE, Light::Ease),
        (7, UP_CLEARLY, Light::Hold),
    ] {
        let mut story = Story::with(&climbing_after(3));
        good_day(&mut story, first(Mon));
        good_day(&mut story, first(Tue));
        story.train(first(Wed), &[during]);
        story.morning(first(Thu), morning);
        assert_eq!((story.light(first(Wed)), story.count()), (light, 0));
    }
}

#[test]
fn a_little_more_swelling_means_no_step_up_and_clearly_more_means_hold() {
    for (swelling, order) in [
        (Swelling::NoMore, Order::KeepAndCount),
        (Swelling::ALittleMore, Order::KeepAndStay),
        (Swelling::ClearlyMore, Order::HoldUntilRested),
    ] {
        let mut story = Story::with(&climbing_after(1));
        story.train(first(Mon), &[1]);
        story.swollen_morning(first(Tue), SETTLED, swelling);
        assert_eq!(story.order(first(Mon)), order);
        assert_eq!(story.stands() > on_rung(3), swelling == Swelling::NoMore);
    }
}

#[test]
fn seven_days_lie_between_two_step_ups() {
    let mut heel_drop = heel_drop();
    heel_drop.ladder = ladder(5, 1, 5);
    let mut story = Story::of(&routine(1, &climbing_after(1), &[heel_drop]));
    good_day(&mut story, first(Mon));
    assert_eq!(story.stands(), on_rung(2));
    for day in [Tue, Wed, Thu, Fri, Sat, Sun] {
        good_day(&mut story, first(day));
        assert_eq!(story.stands(), on_rung(2), "{day}");
        assert!(!story.course().ready_for_next_step(), "{day}: the app gives the next rung itself");
    }
    good_day(&mut story, second(Mon));
    assert_eq!(story.stands(), on_rung(3));
}

#[test]
fn the_app_never_climbs_above_the_ceiling_and_then_says_it_is_time_to_talk() {
    let mut story = Story::with(&climbing_after(1));
    good_day(&mut story, first(Mon));
    assert_eq!(story.stands(), on_rung(4));
    assert!(!story.course().ready_for_next_step());
    for day in [Mon, Tue, Wed] {
        good_day(&mut story, second(day));
    }
    assert_eq!(story.stands(), on_rung(4));
    assert!(story.today(second(Thu)).ready_for_next_step);
}

#[test]
fn on_the_highest_rung_there_is_no_next_step_to_talk_about() {
    let mut heel_drop = heel_drop();
    heel_drop.ladder = ladder(2, 2, 2);
    let mut story = Story::of(&routine(1, &climbing_after(1), &[heel_drop]));
    good_day(&mut story, first(Mon));
    assert_eq!((story.count(), story.course().ready_for_next_step()), (1, false));
}

#[test]
fn where_nothing_may_be_stepped_up_the_app_only_says_when_to_talk_about_it() {
    let limits = Limits { may_step_up: MayStepUp::Nothing, ..limits() };
    let mut story = Story::with(&limits);
    story.train(first(Mon), &[4]);
    story.morning(first(Tue), UP_A_LITTLE);
    for day in [Tue, Wed, Thu] {
        assert!(!story.course().ready_for_next_step());
        good_day(&mut story, first(day));
    }
    assert_eq!(story.stands(), on_rung(2));
    assert!(story.course().ready_for_next_step());
}

#[test]
fn by_default_the_app_wins_back_what_was_lost_up_to_the_starting_rung() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.morning(first(Tue), UP_A_LITTLE);
    assert_eq!(story.stands(), on_rung(2));
    for day in [Tue, Wed, Thu] {
        good_day(&mut story, first(day));
    }
    assert_eq!(story.stands(), on_rung(3));
    for day in [Thu, Fri, Sat, Sun] {
        good_day(&mut story, second(day));
    }
    assert_eq!(story.stands(), on_rung(3));
    assert!(story.course().ready_for_next_step());
}

#[test]
fn sets_are_won_back_before_rungs() {
    let mut heel_drop = heel_drop();
    heel_drop.ladder = ladder(5, 2, 4);
    let once = Limits { step_up_after: 1.try_into().unwrap(), ..limits() };
    let mut story = Story::of(&routine(1, &once, &[heel_drop]));
    for (day, stands) in [(Mon, on_rung(1)), (Tue, fewer_sets(1)), (Wed, fewer_sets(2))] {
        story.train(first(day), &[4]);
        story.morning(first(day).succ_opt().unwrap(), UP_A_LITTLE);
        assert_eq!(story.stands(), stands);
    }
    good_day(&mut story, first(Thu));
    assert_eq!(story.stands(), fewer_sets(1));
    good_day(&mut story, second(Wed));
    assert_eq!(story.stands(), fewer_sets(1));
    good_day(&mut story, second(Thu));
    assert_eq!(story.stands(), on_rung(1));
    good_day(&mut story, third(Thu));
    assert_eq!(story.stands(), on_rung(2));
}

#[test]
fn two_exercises_go_their_own_ways() {
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop(), chair_rise()]));
    story.train(first(Mon), &[7]);
    story.train_other("chair-rise", first(Mon), &[1]);
    let ratings = [(id("heel-drop"), rating(3)), (id("chair-rise"), rating(0))].into();
    let answer = Fact::MorningAnswered { after: first(Mon), ratings, swelling: Swelling::NoMore };
    story.note(at(first(Tue), "07:00"), answer);
    let today = story.history().today(first(Tue));
    assert_eq!(today[0].availability, Availability::Held { back_on: first(Thu) });
    assert_eq!(today[1].availability, Availability::Open);
    assert_eq!(today[1].last.clone().unwrap().verdict.order, Order::KeepAndCount);
}

// Week against week.

/// Mornings of two weeks, Monday to Sunday, then a session on the second Sunday.
fn two_weeks(last: &[i64], this: &[i64], sunday: &[i64], next_morning: i64) -> Story {
    let limits = Limits { usual_morning: Some(rating(9)), ..limits() };
    let mut story = Story::with(&limits);
    let days = [Tue, Wed, Thu, Fri, Sat, Sun];
    for (day, &points) in days.into_iter().zip(last) {
        story.morning(first(day), points);
    }
    for (day, &points) in days.into_iter().zip(this) {
        story.morning(second(day), points);
    }
    story.train(second(Sun), sunday);
    story.morning(third(Mon), next_morning);
    story
}

#[test]
fn a_week_a_point_above_the_last_counts_the_morning_one_column_worse() {
    let story = two_weeks(&[1, 1, 1, 1, 1, 1], &[2, 2, 2, 2, 2, 2], &[4], 2);
    let verdict = story.judged(second(Sun)).verdict;
    assert_eq!(verdict.order, Order::Ease);
    assert!(verdict.reasons.contains(&Reason::WeeksRising));
    let is_settled =
        |reason: &Reason| matches!(reason, Reason::Morning { settling: Settling::Settled, .. });
    assert!(verdict.reasons.iter().any(is_settled));
    let (this, last) = story.course().weekly_medians(third(Mon));
    assert_eq!((this, last), (Some(HalfPoints(4)), Some(HalfPoints(2))));
}

#[test]
fn a_week_half_a_point_above_the_last_does_not() {
    let story = two_weeks(&[1, 1, 1, 1, 1, 1], &[1, 1, 2, 2, 1], &[4], 2);
    assert_eq!(story.course().weekly_medians(third(Mon)).0, Some(HalfPoints(3)));
    assert_eq!(story.order(second(Sun)), Order::KeepAndStay);
}

#[test]
fn each_week_needs_two_answers() {
    assert_eq!(two_weeks(&[1], &[5, 5, 5], &[4], 5).order(second(Sun)), Order::KeepAndStay);
    assert_eq!(two_weeks(&[1, 1], &[5, 5, 5], &[4], 5).order(second(Sun)), Order::Ease);
    assert_eq!(two_weeks(&[1, 1], &[], &[4], 5).order(second(Sun)), Order::KeepAndStay);
    assert_eq!(two_weeks(&[1, 1], &[5], &[4], 5).order(second(Sun)), Order::Ease);
}

#[test]
fn the_weeks_are_the_seven_mornings_ending_today_and_the_seven_before() {
    // All of them count as usual.
    let mut story = Story::with(&Limits { usual_morning: Some(rating(9)), ..limits() });
    for (day, points) in [(first(Mon), 9), (first(Tue), 1), (second(Mon), 2), (second(Tue), 4)] {
        story.morning(day, points);
    }
    let medians = |day| story.course().weekly_medians(day);
    assert_eq!(medians(second(Mon)), (Some(HalfPoints(3)), None));
    assert_eq!(medians(second(Tue)), (Some(HalfPoints(6)), Some(HalfPoints(10))));
    assert_eq!(medians(second(Sun)), (Some(HalfPoints(6)), Some(HalfPoints(10))));
    assert_eq!(medians(third(Mon)), (None, Some(HalfPoints(3))));
    assert_eq!(medians(third(Tue)), (None, Some(HalfPoints(6))));
}

// Sites.

fn with_sites() -> Limits {
    let site = |name, counts| Site { name: words(name), counts };
    Limits {
        sites: vec![site(HEEL, SiteCounts::OneZoneWorse), site("knee", SiteCounts::NotedOnly)],
        ..limits()
    }
}

#[test]
fn pain_at_a_site_that_counts_more_is_one_zone_worse() {
    let mut story = Story::with(&with_sites());
    story.session(at(first(Mon), "18:00")).set_at_site(2, Some(HEEL));
    story.morning(first(Tue), UP_A_LITTLE);
    let verdict = story.judged(first(Mon)).verdict;
    assert_eq!(verdict.order, Order::Ease);
    assert!(verdict.reasons.contains(&Reason::SiteCountsMore { site: words(HEEL) }));
}

#[test]
fn a_rating_of_nought_has_no_site() {
    let mut story = Story::with(&with_sites());
    story.session(at(first(Mon), "18:00")).set_at_site(0, Some(HEEL));
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.order(first(Mon)), Order::KeepAndCount);
}

#[test]
fn pain_at_a_site_noted_only_does_not_count_until_it_is_high() {
    for (points, order) in [(5, Order::KeepAndCount), (6, Order::Ease)] {
        let mut story = Story::with(&with_sites());
        story.session(at(first(Mon), "18:00")).set_at_site(points, Some("knee"));
        story.morning(first(Tue), SETTLED);
        assert_eq!(story.order(first(Mon)), order);
    }
}

#[test]
fn the_worst_zone_of_the_day_counts_and_not_the_highest_number() {
    let mut story = Story::with(&with_sites());
    let mut session = story.session(at(first(Mon), "18:00"));
    session.set_at_site(5, Some("knee"));
    session.set_at_site(3, Some(HEEL));
    story.morning(first(Tue), SETTLED);
    assert_eq!(story.order(first(Mon)), Order::Ease);
}

// Corrections.

#[test]
fn a_corrected_rating_holds_instead_of_the_slip() {
    let mut story = Story::with(&limits());
    let slip = story.session(at(first(Mon), "18:00")).set(8);
    assert_eq!(story.light(first(Mon)), Light::Hold);
    story.correct(at(first(Mon), "18:10"), slip, 1);
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
    story.correct(at(first(Mon), "18:12"), slip, 3);
    story.morning(first(Tue), UP_A_LITTLE);
    assert_eq!(story.order(first(Mon)), Order::Ease);
}

#[test]
fn of_several_corrections_the_last_one_holds_however_it_names_the_exercise() {
    for named_last in [true, false] {
        let mut story = Story::with(&limits());
        let slip = story.session(at(first(Mon), "18:00")).set(0);
        for (named, points) in [(!named_last, 8), (named_last, 1)] {
            let exercise = named.then(|| id("heel-drop"));
            let correction =
                Fact::Corrected { of: slip, exercise, rating: rating(points), site: None };
            story.note(at(first(Mon), "18:10"), correction);
        }
        assert_eq!(story.order(first(Mon)), Order::KeepNotCounted, "{named_last}");
    }
}

#[test]
fn a_corrected_morning_holds_instead_of_the_slip_and_adds_a_verdict_to_the_log() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    let slip = story.morning(first(Tue), 9);
    let told = story.history().untold_verdicts();
    assert_eq!(told.len(), 1);
    story.note(at(first(Tue), "07:01"), told[0].clone());
    assert!(story.history().untold_verdicts().is_empty());
    story.correct(at(first(Tue), "07:02"), slip, 0);
    assert_eq!(story.order(first(Mon)), Order::KeepAndCount);
    let untold = story.history().untold_verdicts();
    let [Fact::VerdictGiven { order, .. }] = &untold[..] else { panic!("one new verdict") };
    assert_eq!(*order, Order::KeepAndCount);
    let history = story.history();
    assert_eq!(history.told().len(), 1);
    assert_eq!(history.told()[0].order, Order::Ease);
}

#[test]
fn a_corrected_swelling_holds_instead_of_the_slip() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    let of = story.swollen_morning(first(Tue), SETTLED, Swelling::ClearlyMore);
    assert_eq!(story.order(first(Mon)), Order::HoldUntilRested);
    let corrected = Fact::SwellingCorrected { of, swelling: Swelling::NoMore };
    story.note(at(first(Tue), "07:01"), corrected);
    assert_eq!(story.order(first(Mon)), Order::KeepAndCount);
}

#[test]
fn a_verdict_that_changes_after_the_next_session_began_is_told_again() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.session(at(first(Tue), "06:30")).sets(&[1]);
    for fact in story.history().untold_verdicts() {
        story.note(at(first(Tue), "06:45"), fact);
    }
    assert!(story.history().untold_verdicts().is_empty());
    story.morning_at(at(first(Tue), "08:00"), UP_A_LITTLE, Swelling::NoMore);
    let untold = story.history().untold_verdicts();
    let day_of = |fact: &Fact| {
        let Fact::VerdictGiven { day, .. } = fact else { return None };
        Some(*day)
    };
    let days: Vec<_> = untold.iter().filter_map(day_of).collect();
    assert_eq!(days, [first(Mon), first(Tue)]);
    for fact in untold {
        story.note(at(first(Tue), "08:01"), fact);
    }
    assert!(story.history().untold_verdicts().is_empty());
}

// A new routine version.

/// Two step-up days on a rung that was eased once, then a second version.
fn revised(change: impl FnOnce(&mut Exercise, &mut Limits)) -> Story {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.morning(first(Tue), UP_A_LITTLE);
    good_day(&mut story, first(Tue));
    good_day(&mut story, first(Wed));
    assert_eq!((story.stands(), story.count()), (on_rung(2), 2));
    let (mut exercise, mut limits) = (heel_drop(), limits());
    change(&mut exercise, &mut limits);
    story.accept(at(first(Thu), "12:00"), &routine(2, &limits, &[exercise]));
    assert_eq!(story.course().judged().len(), 3);
    story
}

#[test]
fn a_new_version_that_changes_nothing_for_an_exercise_keeps_its_rung_and_count() {
    let story = revised(|_, _| {});
    assert_eq!((story.stands(), story.count()), (on_rung(2), 2));
}

#[test]
fn a_new_version_with_other_limits_keeps_the_rung_and_starts_the_count_afresh() {
    let story = revised(|_, limits| limits.table = Preset::WiderGreen.table());
    assert_eq!((story.stands(), story.count()), (on_rung(2), 0));
    let story = revised(|_, limits| limits.rest_days = RestDays::new(1).unwrap());
    assert_eq!((story.stands(), story.count()), (on_rung(2), 0));
}

#[test]
fn a_new_version_with_other_sets_keeps_the_rung_and_starts_the_count_afresh() {
    let story = revised(|exercise, _| exercise.dose.sets = 2.try_into().unwrap());
    assert_eq!((story.stands(), story.count()), (on_rung(2), 0));
}

#[test]
fn a_new_version_with_another_start_begins_on_it() {
    let story = revised(|exercise, _| exercise.ladder = ladder(5, 4, 5));
    assert_eq!((story.stands(), story.count()), (on_rung(4), 0));
    let story = revised(|exercise, _| exercise.ladder = ladder(5, 1, 4));
    assert_eq!((story.stands(), story.count()), (on_rung(1), 0));
}

#[test]
fn a_new_version_keeps_the_rung_reached_while_its_help_is_on_the_ladder() {
    // One rung fewer at the top.
    let story = revised(|exercise, _| exercise.ladder = ladder(4, 3, 4));
    assert_eq!((story.stands(), story.count()), (on_rung(2), 0));
    // A new rung below everything: the same help has another number, and so has the start.
    let with =
        |rungs: Vec<Rung>, start, ceiling| Ladder::new(rungs, rung(start), rung(ceiling)).unwrap();
    let reworded = |at: usize, help: &str| {
        let mut rungs = ladder(5, 3, 4).rungs().to_vec();
        rungs[at].help = words(help);
        rungs
    };
    let one_below: Vec<_> =
        [reworded(0, "sitting down")[..1].to_vec(), ladder(5, 3, 4).rungs().to_vec()].concat();
    let story = revised(|exercise, _| exercise.ladder = with(one_below, 4, 5));
    assert_eq!((story.stands(), story.count()), (on_rung(3), 0));
    // Another rung says something else.
    let story =
        revised(|exercise, _| exercise.ladder = with(reworded(4, "a heel on the wall"), 3, 4));
    assert_eq!((story.stands(), story.count()), (on_rung(2), 0));
}

#[test]
fn a_new_version_without_the_rung_reached_begins_on_its_start() {
    let gone = |exercise: &mut Exercise| {
        let mut rungs = exercise.ladder.rungs().to_vec();
        rungs.remove(1);
        exercise.ladder = Ladder::new(rungs, rung(2), rung(3)).unwrap();
    };
    let story = revised(|exercise, _| gone(exercise));
    assert_eq!((story.stands(), story.count()), (on_rung(2), 0));
    assert_eq!(story.course().exercise().ladder.rung(rung(2)).help.as_str(), "both feet");
}

#[test]
fn a_new_version_with_another_ceiling_keeps_the_rung_up_to_it_and_starts_the_count_afresh() {
    let story = revised(|exercise, _| exercise.ladder = ladder(5, 3, 5));
    assert_eq!((story.stands(), story.count()), (on_rung(2), 0));
    let mut story = Story::with(&climbing_after(1));
    good_day(&mut story, first(Mon));
    assert_eq!(story.stands(), on_rung(4));
    let mut exercise = heel_drop();
    exercise.ladder = ladder(5, 3, 3);
    story.accept(at(first(Tue), "12:00"), &routine(2, &climbing_after(1), &[exercise]));
    assert_eq!(story.stands(), on_rung(3));
}

#[test]
fn a_new_version_gives_back_the_sets_taken_off_only_where_the_dose_changed() {
    for (new_sets, stands) in [(3, fewer_sets(1)), (2, on_rung(1))] {
        let mut story = on_the_lowest_rung(OnLowestRung::OneSetFewer);
        story.train(first(Mon), &[4]);
        story.morning(first(Tue), UP_A_LITTLE);
        let mut exercise = heel_drop();
        exercise.ladder = ladder(5, 1, 4);
        exercise.dose.sets = new_sets.try_into().unwrap();
        story.accept(at(first(Tue), "12:00"), &routine(2, &limits(), &[exercise]));
        assert_eq!(story.stands(), stands);
    }
}

/// In the first edition a new version was the answer that every Hold and stop waited for, days off and a
/// warning sign included. Now it lifts what waits for an answer, and never a sign.
#[test]
fn a_new_version_lifts_a_stop_and_leaves_days_off_and_a_warning_sign() {
    let accept = |story: &mut Story, day: NaiveDate| {
        let mut second = routine(2, &limits(), &[heel_drop()]);
        second.issued = day;
        story.accept(at(day, "12:00"), &second);
    };
    let mut story = Story::with(&limits());
    hold(&mut story, first(Mon));
    let mut stopped = story.clone();
    accept(&mut story, first(Tue));
    assert_eq!(story.availability(first(Tue)), Availability::Held { back_on: first(Thu) });
    stopped.morning(first(Thu), SETTLED);
    hold(&mut stopped, first(Thu));
    assert_eq!(stopped.availability(second(Mon)), Availability::Stopped(Stop::TwoHolds));
    stopped.morning(first(Sun), SETTLED);
    accept(&mut stopped, second(Mon));
    assert!(stopped.is_open(second(Mon)));
    let mut story = Story::with(&limits());
    story.warning(at(first(Mon), "09:00"));
    accept(&mut story, first(Mon));
    assert_eq!(story.availability(first(Mon)), Availability::Stopped(Stop::WarningSign));
}

#[test]
fn a_version_that_is_no_newer_answers_nothing() {
    for version in [1, 2] {
        let mut story = Story::of(&routine(2, &limits(), &[heel_drop()]));
        hold(&mut story, first(Mon));
        story.warning(at(first(Tue), "09:00"));
        let other = Limits { rest_days: RestDays::LEAST, ..limits() };
        story.accept(at(first(Tue), "12:00"), &routine(version, &other, &[heel_drop()]));
        assert_eq!(story.availability(first(Wed)), Availability::Stopped(Stop::WarningSign));
        assert_eq!(story.course().limits(), &limits());
    }
}

#[test]
fn the_seven_days_between_step_ups_run_on_through_a_new_version() {
    let mut story = Story::with(&climbing_after(1));
    good_day(&mut story, first(Mon));
    let mut exercise = heel_drop();
    exercise.ladder = ladder(5, 1, 5);
    story.accept(at(first(Tue), "12:00"), &routine(2, &climbing_after(1), &[exercise]));
    for (day, stands) in [(first(Tue), 1), (first(Sun), 1), (second(Mon), 2)] {
        good_day(&mut story, day);
        assert_eq!(story.stands(), on_rung(stands));
    }
}

#[test]
fn a_verdict_of_the_last_version_no_longer_stands_on_todays_page() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1]);
    assert!(story.today(first(Tue)).last.is_some());
    story.accept(at(first(Tue), "12:00"), &routine(2, &limits(), &[heel_drop()]));
    assert!(story.today(first(Tue)).last.is_none());
    assert_eq!(story.course().judged().len(), 1);
}

// Clocks, calendars and phones.

#[test]
fn the_night_the_clocks_go_forward_is_a_night_like_any_other() {
    let mut story = Story::with(&limits());
    story.session(moment("2026-03-28T18:00:00+01:00")).sets(&[4]);
    story.morning_at(moment("2026-03-29T03:59:00+02:00"), UP_A_LITTLE, Swelling::NoMore);
    let saturday = NaiveDate::from_ymd_opt(2026, 3, 28).unwrap();
    assert_eq!(story.order(saturday), Order::KeepNotCounted);
    story.morning_at(moment("2026-03-29T04:00:00+02:00"), UP_A_LITTLE, Swelling::NoMore);
    assert_eq!(story.order(saturday), Order::Ease);
}

#[test]
fn the_night_the_clocks_go_back_is_a_night_like_any_other() {
    let mut story = Story::with(&limits());
    story.session(moment("2026-10-24T23:50:00+02:00")).sets(&[4, 1, 1]);
    let saturday = NaiveDate::from_ymd_opt(2026, 10, 24).unwrap();
    story.morning_at(moment("2026-10-25T02:30:00+02:00"), UP_A_LITTLE, Swelling::NoMore);
    story.morning_at(moment("2026-10-25T02:30:00+01:00"), UP_A_LITTLE, Swelling::NoMore);
    story.morning_at(moment("2026-10-25T03:59:00+01:00"), UP_A_LITTLE, Swelling::NoMore);
    assert_eq!(story.order(saturday), Order::KeepNotCounted);
    story.morning_at(moment("2026-10-25T23:59:00+01:00"), UP_A_LITTLE, Swelling::NoMore);
    assert_eq!(story.order(saturday), Order::Ease);
}

#[test]
fn travelling_west_the_next_morning_is_the_one_of_the_place_where_it_dawns() {
    let mut story = Story::with(&limits());
    story.session(moment("2026-06-01T08:00:00+09:00")).sets(&[4]);
    story.morning_at(moment("2026-06-01T09:00:00-07:00"), UP_CLEARLY, Swelling::NoMore);
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
    story.morning_at(moment("2026-06-02T07:00:00-07:00"), UP_A_LITTLE, Swelling::NoMore);
    assert_eq!(story.order(first(Mon)), Order::Ease);
}

#[test]
fn travelling_east_the_next_morning_can_come_a_few_hours_later() {
    let mut story = Story::with(&limits());
    story.session(moment("2026-06-01T18:00:00-07:00")).sets(&[4]);
    story.morning_at(moment("2026-06-02T10:30:00+09:00"), UP_A_LITTLE, Swelling::NoMore);
    assert_eq!(story.order(first(Mon)), Order::Ease);
}

#[test]
fn a_day_that_a_journey_swallowed_leaves_the_morning_unanswered() {
    let mut story = Story::with(&limits());
    story.session(moment("2026-06-01T22:00:00-07:00")).sets(&[1]);
    story.morning_at(moment("2026-06-03T08:00:00+10:00"), UP_CLEARLY, Swelling::NoMore);
    assert_eq!(story.order(first(Mon)), Order::KeepNotCounted);
}

#[test]
fn two_holds_are_a_day_apart_even_when_the_calendar_went_back() {
    let mut story = Story::with(&Limits { rest_days: RestDays::LEAST, ..limits() });
    story.session(moment("2026-06-02T07:00:00+14:00")).sets(&[7]);
    story.session(moment("2026-06-01T20:00:00-10:00")).sets(&[7]);
    assert_eq!(story.order(first(Mon)), Order::HoldUntilAnswered);
}

#[test]
fn a_log_gathered_from_two_phones_is_the_union_of_both() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1, 2]);
    story.morning(first(Tue), SETTLED);
    story.train(first(Tue), &[4]);
    story.morning(first(Wed), UP_A_LITTLE);
    let events = story.events();
    let (phone, tablet): (Vec<&Event>, Vec<&Event>) =
        (events.iter().step_by(2).collect(), events.iter().skip(1).collect());
    let merged = History::fold(tablet.into_iter().chain(phone));
    let judged = |history: &History| history.course(&id("heel-drop")).unwrap().judged().to_vec();
    assert_eq!(judged(&merged), story.course().judged());
    assert_eq!(merged.sessions(), story.history().sessions());
    assert_eq!(merged.mornings(), story.history().mornings());
}

#[test]
fn a_session_on_each_of_two_phones_on_one_day_is_one_training_day() {
    let mut story = Story::with(&limits());
    let before = story.clone();
    story.session(at(first(Mon), "18:00")).sets(&[1]);
    let mut tablet = before;
    tablet.session(at(first(Mon), "18:01")).sets(&[4]);
    let merged = History::fold(story.events().iter().chain(tablet.events()));
    let course = merged.course(&id("heel-drop")).unwrap();
    assert_eq!(course.judged().len(), 1);
    let worst =
        Reason::During { rating: rating(4), zone: carryover::domain::plan::limits::Zone::Middle };
    assert!(course.judged()[0].verdict.reasons.contains(&worst));
}

#[test]
fn a_set_rated_after_another_phone_began_the_next_day_still_counts_for_its_own() {
    let mut story = Story::with(&limits());
    story.session(at(first(Tue), "03:55")).set(1);
    let Fact::SetRated { set, .. } = story.events().last().unwrap().what.clone() else {
        panic!("the last event is a rating")
    };
    story.session(at(first(Tue), "04:10")).set(1);
    let second_set = SetRef { number: 2, ..set };
    let ended = Fact::SetEnded {
        set: second_set.clone(),
        rung: rung(3),
        reps: 10,
        work_secs: 40,
        ending: carryover::domain::log::event::Ending::Complete,
    };
    story.note(at(first(Tue), "04:15"), ended);
    let rated = Fact::SetRated { set: second_set, rating: rating(7), site: None };
    story.note(at(first(Tue), "04:16"), rated);
    assert_eq!(story.light(first(Mon)), Light::Hold);
    assert_eq!(story.course().judged().len(), 2);
}

#[test]
fn a_log_whose_dates_are_at_the_end_of_the_calendar_is_still_read() {
    let mut story = Story::with(&limits());
    let end = moment("9999-12-31T18:00:00+00:00");
    story.session(end).sets(&[7]);
    assert!(!story.is_open(NaiveDate::MAX));
    let text = r#""+262142-12-31T18:00:00+00:00""#;
    let last: chrono::DateTime<chrono::FixedOffset> = serde_json::from_str(text).unwrap();
    let mut story = Story::with(&limits());
    story.session(last).sets(&[7]);
    assert!(!story.is_open(NaiveDate::MAX));
}
