//! What a row of the caseload says of a client's log, each by a log written out by hand; and that looking up
//! what belongs to a day gives what going through the whole log gives.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeSet;

use carryover::domain::event_id::EventId;
use carryover::domain::log::event::{Fact, Lifts};
use carryover::domain::log::history::Session;
use carryover::domain::log::warning::WarningSign;
use carryover::domain::visit::glance::{Ask, Glance};
use carryover::domain::visit::review::Review;
use carryover::domain::visit::talking::{Urgency, What, talking_points};
use carryover::ui::text::glance::{NOTHING, line};
use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use support::scripts::{Wild, a_quarter, calendar, scripts, write};
use support::*;

/// What a log asks for on the day after its last one, with no visit closed.
fn asks_of(story: &Story) -> Vec<Ask> {
    let history = story.history();
    let today = history.last_day().unwrap() + Days::new(1);
    Glance::of(&history, &[]).unwrap().asks(&BTreeSet::new(), &BTreeSet::new(), today)
}

fn said_of(story: &Story) -> String {
    line(&asks_of(story))
}

#[test]
fn a_quiet_week_asks_for_nothing() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1, 2, 1]);
    story.morning(first(Tue), 0);
    assert_eq!(said_of(&story), NOTHING);
}

/// docs/clinical-rule.md: two Holds within seven days wait for the practitioner's answer.
#[test]
fn two_holds_in_a_week_are_said_before_everything_that_is_lighter() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    assert_eq!(said_of(&story), "1 exercise on Hold");
    story.morning(first(Tue), 1);
    story.morning(first(Wed), 0);
    story.morning(first(Thu), 0);
    story.train(first(Sun), &[6]);
    story.morning(second(Mon), 1);
    let asks = asks_of(&story);
    assert_eq!(asks[0], Ask::Waits { exercises: 1 });
    let days = vec![first(Mon), first(Sun)];
    assert_eq!(asks[1], Ask::Point(What::HoldsInAWeek { days }));
    assert!(asks.is_sorted_by_key(Ask::urgency), "{asks:?}");
    let more = match asks.len() - 1 {
        1 => "1 more point".to_owned(),
        more => format!("{more} more points"),
    };
    assert_eq!(line(&asks), format!("1 exercise waits for your answer; {more}"));
}

/// docs/clinical-rule.md: a warning sign comes before everything else.
#[test]
fn a_warning_sign_is_said_first() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    story.warning(at(first(Tue), "09:00"));
    let asks = asks_of(&story);
    assert_eq!(asks[0], Ask::SignStands { since: first(Tue), signs: 1 });
    assert!(line(&asks).starts_with("1 warning sign since Tue 2 Jun"), "{}", line(&asks));
    // Once someone qualified has looked, it was ticked and stands no more.
    story.go_ahead(at(first(Wed), "09:00"), Lifts::WarningSign);
    let asks = asks_of(&story);
    assert_eq!(asks[0], Ask::WarningSign { on: first(Tue) });
    assert!(line(&asks).starts_with("Warning sign on Tue 2 Jun"), "{}", line(&asks));
}

/// A sign of the period before the last visit stands until someone has looked at it.
#[test]
fn a_warning_sign_stands_whatever_period_is_read() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1, 2, 1]);
    story.warning(at(first(Tue), "09:00"));
    let closed = EventId::after(None, millis(first(Wed), "10:00"), [0; 10]);
    story.morning(first(Fri), 0);
    let glance = Glance::of(&story.history(), &[(closed, first(Wed))]).unwrap();
    let asks = glance.asks(&BTreeSet::new(), &BTreeSet::new(), first(Fri));
    assert_eq!(asks[0], Ask::SignStands { since: first(Tue), signs: 1 });
    assert!(!asks.iter().any(|ask| matches!(ask, Ask::WarningSign { .. })), "{asks:?}");
}

#[test]
fn a_warning_sign_that_was_ticked_and_taken_off_again_is_said() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1, 2, 1]);
    let signs = vec![WarningSign::Unwell, WarningSign::StuckJoint];
    let of = story.note(at(first(Tue), "09:00"), Fact::WarningTicked { signs });
    for sign in [WarningSign::Unwell, WarningSign::StuckJoint] {
        story.note(at(first(Tue), "09:01"), Fact::WarningUnticked { of, sign });
    }
    let asks = asks_of(&story);
    assert_eq!(asks, [Ask::Unticked { on: first(Tue), signs: 2 }]);
    assert_eq!(line(&asks), "2 warning signs ticked and taken off again, Tue 2 Jun");
}

/// The default limits ask for three step-up days in a row, and leave the step to the practitioner.
#[test]
fn a_next_step_is_said_without_alarm() {
    let mut story = Story::with(&limits());
    for (during, morning) in [(Mon, Tue), (Tue, Wed), (Wed, Thu)] {
        story.train(first(during), &[1, 1, 1]);
        story.morning(first(morning), 0);
    }
    let asks = asks_of(&story);
    assert_eq!(asks.iter().map(Ask::urgency).collect::<Vec<_>>(), [Urgency::NextStep]);
    assert_eq!(line(&asks), "Ready for the next step");
}

/// More than a week without a log: common practice, no source.
#[test]
fn a_log_that_ended_more_than_a_week_ago_is_asked_about() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[1, 2, 1]);
    let glance = Glance::of(&story.history(), &[]).unwrap();
    let on = |today: NaiveDate| line(&glance.asks(&BTreeSet::new(), &BTreeSet::new(), today));
    assert_eq!(on(second(Mon)), NOTHING);
    assert_eq!(on(second(Tue)), "Gone quiet since Mon 1 Jun");
    assert_eq!(on(first(Mon) - Days::new(3)), NOTHING, "a clock that is behind");
}

#[test]
fn a_note_asks_until_it_is_answered_and_a_point_until_it_is_put_aside() {
    let mut story = Story::with(&limits());
    for day in [Mon, Tue, Wed] {
        story.train(first(day), &[0, 0, 0]);
    }
    let note =
        story.note(at(first(Wed), "20:00"), Fact::Note { text: words("and now?"), session: None });
    let history = story.history();
    let glance = Glance::of(&history, &[]).unwrap();
    let asks = |aside: &[String], answered: &[EventId]| {
        let aside = aside.iter().cloned().collect();
        glance.asks(&aside, &answered.iter().copied().collect(), first(Thu))
    };
    let all = asks(&[], &[]);
    assert!(all.contains(&Ask::Notes { notes: 1 }), "{all:?}");
    assert!(!asks(&[], &[note]).contains(&Ask::Notes { notes: 1 }));
    let review = Review::of(&history, first(Mon)).unwrap();
    let ids: Vec<String> =
        talking_points(&history, &review).into_iter().map(|point| point.id).collect();
    assert!(!ids.is_empty());
    assert_eq!(asks(&ids, &[note]), []);
}

#[test]
fn a_visit_that_was_closed_after_the_log_ended_leaves_nothing_to_act_on() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    story.warning(at(first(Tue), "09:00"));
    let closed = EventId::after(None, millis(first(Tue), "10:00"), [0; 10]);
    let asks = |story: &Story| {
        let glance = Glance::of(&story.history(), &[(closed, first(Tue))]).unwrap();
        glance.asks(&BTreeSet::new(), &BTreeSet::new(), first(Fri))
    };
    assert_eq!(asks(&story), []);
    story.warning(at(first(Wed), "09:00"));
    // The one ticked before stands, too: a visit that was closed is no word about a sign.
    assert_eq!(asks(&story)[0], Ask::SignStands { since: first(Tue), signs: 1 });
}

fn millis(day: NaiveDate, time: &str) -> u64 {
    at(day, time).timestamp_millis().try_into().unwrap()
}

#[test]
fn a_log_without_a_routine_says_nothing() {
    let history = carryover::domain::log::history::History::default();
    assert_eq!(Glance::of(&history, &[]), None);
}

proptest! {
    #![proptest_config(a_quarter())]

    /// With clocks that go back and forth, corrections and new versions.
    #[test]
    fn what_is_looked_up_by_day_is_what_the_whole_log_says(
        script in scripts(Wild { corrections: true, journeys: true })
    ) {
        let mut story = write(&script);
        let told = story.history().untold_verdicts();
        for fact in told {
            story.note(at(third(Sat), "12:00"), fact);
        }
        let history = story.history();
        let heel_drop = id("heel-drop");
        let was_done = |session: &&Session| session.sets_of(&heel_drop).next().is_some();
        for day in calendar(&script) {
            let sessions = history.sessions().iter().filter(|session| session.day() == day);
            prop_assert!(history.sessions_on(day..=day).eq(sessions));
            let later = |session: &&Session| day < session.day() && was_done(session);
            prop_assert_eq!(history.next_done(&heel_drop, day), history.sessions().iter().find(later));
            let morning = history.mornings().iter().find(|answer| answer.after == day && answer.in_time());
            prop_assert_eq!(history.morning_after(day), morning);
            let told = history.told().iter().filter(|told| told.exercise == heel_drop && told.day == day);
            prop_assert!(history.told_about(&heel_drop, day).eq(told));
            let accepted = history.accepted().iter().rfind(|accepted| accepted.at.date_naive() <= day);
            prop_assert_eq!(history.in_force(day), accepted.map(|accepted| &accepted.routine));
            let any = history.accepted().iter().any(|accepted| accepted.at.date_naive() == day);
            prop_assert_eq!(history.accepted_any_on(day), any);
        }
        for session in history.sessions() {
            let followed = history.accepted().iter().rfind(|accepted| {
                accepted.routine.id == session.routine && accepted.routine.version == session.version
            });
            prop_assert_eq!(history.accepted_for(session).map(|one| one.id), followed.map(|one| one.id));
            for told in history.told() {
                let (after, until) = (told.at, session.started_at);
                let any = history.accepted().iter().any(|one| after < one.at && one.at <= until);
                prop_assert_eq!(history.accepted_any_between(after, until), any);
            }
        }
    }
}
