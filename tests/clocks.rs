//! Clocks that are wrong, set back, put forward or put back, or asleep: the log stays in order, the next
//! morning is the next local calendar day, and a verdict that was told is never changed.
//!
//! Daylight saving in the European Union ends and begins at 01:00 UTC on the last Sunday of October and of
//! March (Directive 2000/84/EC, articles 2 and 3); leap years are those of the Gregorian calendar (ISO 8601).

mod support;

use carryover::domain::log::course::{Availability, Judged, Stop};
use carryover::domain::log::event::Fact;
use carryover::domain::log::rule::{Order, Swelling};
use carryover::domain::plan::limits::{Limits, Preset};
use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};
use proptest::prelude::*;
use support::{Story, moment, words};

/// What is usual in the stories here, and clearly more than that.
const SETTLED: i64 = 0;
const UP_CLEARLY: i64 = 4;

fn story() -> Story {
    Story::with(&Limits::of(Preset::PainMonitoring))
}

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap_or_else(|wrong| panic!("{text}: {wrong}"))
}

fn expect_in_order(story: &Story) {
    assert!(story.events().is_sorted_by(|one, next| one.id < next.id));
}

fn owed(story: &Story, at: &str) -> Option<NaiveDate> {
    story.history().owed_morning(moment(at)).map(|owed| owed.after)
}

#[test]
fn a_clock_set_back_in_mid_session_leaves_the_sets_in_order_and_on_their_day() {
    let mut story = story();
    let mut session = story.session(moment("2026-06-01T18:00:00+02:00"));
    session.sets(&[1]);
    session.now = moment("2026-05-30T09:00:00+02:00");
    session.sets(&[2, 1]);
    expect_in_order(&story);
    let history = story.history();
    let [session] = history.sessions() else { panic!("one session") };
    let numbers: Vec<u16> = session.sets.iter().map(|set| set.number).collect();
    assert_eq!((session.day(), numbers), (date("2026-06-01"), vec![1, 2, 3]));
    assert!(history.open_session(moment("2026-05-30T09:10:00+02:00")).is_some());
    assert_eq!(owed(&story, "2026-06-02T07:00:00+02:00"), Some(date("2026-06-01")));
    story.morning_at(moment("2026-06-02T07:00:00+02:00"), SETTLED, Swelling::NoMore);
    assert_eq!(story.order(date("2026-06-01")), Order::KeepAndCount);
}

#[test]
fn a_clock_that_ran_a_year_ahead_for_a_while_changes_no_verdict_and_no_morning() {
    let mut story = story();
    story.session(moment("2026-06-01T18:00:00+02:00")).sets(&[1, 1, 1]);
    let told = story.judged(date("2026-06-01"));
    let text = words("written while the clock was wrong");
    story.note(moment("2027-06-01T18:30:00+02:00"), Fact::Note { text, session: None });
    assert_eq!(story.judged(date("2026-06-01")), told);
    assert_eq!(owed(&story, "2026-06-02T07:00:00+02:00"), Some(date("2026-06-01")));
    story.morning_at(moment("2026-06-02T07:00:00+02:00"), SETTLED, Swelling::NoMore);
    assert_eq!(story.order(date("2026-06-01")), Order::KeepAndCount);
    story.session(moment("2026-06-02T18:00:00+02:00")).sets(&[1, 1, 1]);
    expect_in_order(&story);
    assert_eq!(story.order(date("2026-06-02")), Order::KeepNotCounted);
}

#[test]
fn a_hold_noted_by_a_clock_that_ran_ahead_is_no_dead_end_once_the_clock_is_right() {
    let mut story = story();
    story.session(moment("2027-06-01T18:00:00+02:00")).sets(&[7]);
    let told = story.judged(date("2027-06-01"));
    let today = date("2026-06-02");
    assert_eq!(story.availability(today), Availability::Stopped(Stop::ClockRanAhead));
    story.told_to_go_on(moment("2026-06-03T09:00:00+02:00"));
    assert_eq!(story.availability(date("2026-06-03")), Availability::Open);
    assert_eq!(story.judged(date("2027-06-01")), told);
}

#[test]
fn a_flight_to_the_west_sets_the_calendar_back_by_a_day_and_no_clock_is_blamed() {
    let mut story = story();
    story.session(moment("2026-06-02T08:00:00+09:00")).sets(&[7]);
    let held = story.availability(moment("2026-06-01T20:00:00-07:00").date_naive());
    assert_eq!(held, Availability::Held { back_on: date("2026-06-05") });
}

#[test]
fn the_night_in_which_the_clocks_go_forward_and_the_one_in_which_they_go_back_have_one_morning_each()
 {
    #[rustfmt::skip]
    let nights = [
        // evening,                   still night,                 morning
        ("2027-03-27T18:00:00+01:00", "2027-03-28T03:59:00+02:00", "2027-03-28T04:00:00+02:00"),
        ("2026-10-24T18:00:00+02:00", "2026-10-25T03:59:00+01:00", "2026-10-25T04:00:00+01:00"),
        // The hour that comes twice, both times.
        ("2026-10-24T23:50:00+02:00", "2026-10-25T02:30:00+02:00", "2026-10-25T23:59:00+01:00"),
        ("2026-10-24T23:50:00+02:00", "2026-10-25T02:30:00+01:00", "2026-10-25T23:59:00+01:00"),
    ];
    for (evening, night, morning) in nights {
        let mut story = story();
        story.session(moment(evening)).sets(&[1, 1, 1]);
        let day = moment(evening).date_naive();
        assert_eq!(owed(&story, night), None, "{night}");
        assert_eq!(owed(&story, morning), Some(day), "{morning}");
        story.morning_at(moment(morning), UP_CLEARLY, Swelling::NoMore);
        assert_eq!(story.order(day), Order::Ease, "{morning}");
        assert_eq!(owed(&story, morning), None, "asked once: {morning}");
    }
}

#[test]
fn a_session_in_the_hour_that_comes_twice_stays_in_order() {
    let mut story = story();
    let mut session = story.session(moment("2026-10-25T02:55:00+02:00"));
    session.sets(&[1]);
    // Ten minutes later by any clock that is not on a wall.
    session.now = moment("2026-10-25T02:05:00+01:00");
    session.sets(&[2]);
    expect_in_order(&story);
    assert_eq!(story.history().sessions()[0].sets.len(), 2);
    // Before 04:00 it is still the day before, whose morning it is an hour and more later.
    assert_eq!(owed(&story, "2026-10-25T04:00:00+01:00"), Some(date("2026-10-24")));
    assert_eq!(owed(&story, "2026-10-26T04:00:00+01:00"), None);
}

#[test]
fn the_29th_of_february_is_a_morning_and_a_training_day_where_there_is_one() {
    let mut story = story();
    #[rustfmt::skip]
    let days = [
        ("2028-02-28", "2028-02-29"), ("2028-02-29", "2028-03-01"),
        ("2029-02-28", "2029-03-01"), ("2100-02-28", "2100-03-01"),
    ];
    for (day, next) in days {
        story.session(moment(&format!("{day}T18:00:00+01:00"))).sets(&[1, 1, 1]);
        let morning = format!("{next}T07:00:00+01:00");
        assert_eq!(owed(&story, &morning), Some(date(day)), "{next}");
        story.morning_at(moment(&morning), SETTLED, Swelling::NoMore);
        assert_eq!(story.order(date(day)), Order::KeepAndCount, "{day}");
    }
}

#[test]
fn a_phone_that_slept_for_a_week_takes_no_old_session_up_and_asks_for_no_old_morning() {
    let mut story = story();
    let mut session = story.session(moment("2026-06-01T18:00:00+02:00"));
    session.sets(&[1, 1]);
    let told = story.judged(date("2026-06-01"));
    let woke = "2026-06-08T18:00:00+02:00";
    let history = story.history();
    assert!(history.open_session(moment(woke)).is_none());
    assert_eq!(owed(&story, woke), None);
    story.session(moment(woke)).sets(&[1, 1, 1]);
    assert_eq!(story.judged(date("2026-06-01")), told);
    assert_eq!(story.order(date("2026-06-01")), Order::KeepNotCounted);
    assert_eq!(story.history().sessions()[0].sets.len(), 2);
}

/// What the client does next, and by how much the clock is set before.
#[derive(Clone, Copy, Debug)]
enum Doing {
    Train(i64),
    Answer(i64),
}

proptest! {
    /// Only the two latest training days are still open to an answer; what was told of any other stands,
    /// however the clock is set.
    #[test]
    fn however_the_clock_is_set_the_log_stays_in_order_and_no_closed_verdict_changes(
        steps in proptest::collection::vec(
            (
                prop_oneof![3 => 60_i64..3_000, 1 => -600_000_i64..600_000],
                prop_oneof![(0..=10_i64).prop_map(Doing::Train), (0..=10_i64).prop_map(Doing::Answer)],
            ),
            1..25,
        ),
    ) {
        let mut story = story();
        let mut now: DateTime<FixedOffset> = moment("2026-06-01T18:00:00+02:00");
        let mut closed: Vec<Judged> = Vec::new();
        for (minutes, doing) in steps {
            now += TimeDelta::minutes(minutes);
            match doing {
                Doing::Train(points) => drop(story.session(now).sets(&[points])),
                Doing::Answer(points) => drop(story.morning_at(now, points, Swelling::NoMore)),
            }
            prop_assert!(story.events().is_sorted_by(|one, next| one.id < next.id));
            let judged = story.course().judged().to_vec();
            prop_assert_eq!(&judged[..closed.len()], &closed[..]);
            closed = judged[..judged.len().saturating_sub(2)].to_vec();
        }
    }
}
