//! A verdict is noted in the same write as the fact that brought it about: not before the session under way is
//! over, never twice, and never left out where the app is killed between two writes.

#![expect(clippy::unwrap_used, reason = "a story that cannot be told must fail its test")]

mod support;

use carryover::domain::event_id::EventId;
use carryover::domain::log::event::{Ending, Event, Fact, Lifts, Planned, SetRef};
use carryover::domain::log::history::History;
use carryover::domain::log::rule::{Order, Swelling};
use carryover::domain::log::warning::WarningSign;
use carryover::domain::plan::limits::{Limits, Preset};
use carryover::store::journal::{Journal, Stamp};
use chrono::Weekday::{Fri, Mon, Tue, Wed};
use chrono::{DateTime, FixedOffset, NaiveDate};
use pollster::block_on;
use support::phone::Phone;
use support::{at, chair_rise, first, heel_drop, id, on_rung, rating, routine, words};

/// What is usual here, and what is clearly more than that.
const SETTLED: i64 = 0;
const UP_CLEARLY: i64 = 4;

fn stamp(at: DateTime<FixedOffset>) -> Stamp {
    Stamp { at, zone: None }
}

/// The app on one phone.
struct App {
    phone: Phone,
    journal: Journal<Phone>,
}

impl App {
    /// Two exercises are taken on.
    fn new() -> Self {
        let phone = Phone::default();
        let journal = block_on(Journal::open(phone.clone())).unwrap();
        let app = Self { phone, journal };
        let usual_morning = Some(rating(SETTLED));
        let limits = Limits { usual_morning, ..Limits::of(Preset::PainMonitoring) };
        let routine = Box::new(routine(1, &limits, &[heel_drop(), chair_rise()]));
        app.note(at(first(Mon), "12:00"), vec![Fact::RoutineAccepted { routine }]);
        app
    }

    fn note(&self, at: DateTime<FixedOffset>, facts: Vec<Fact>) -> EventId {
        let noted = self.journal.append(facts, &stamp(at), || [7; 10]);
        let last = noted.last.unwrap();
        block_on(noted).unwrap();
        last
    }

    /// The app is killed, and opened again.
    fn open_anew(&mut self, at: DateTime<FixedOffset>) {
        self.journal = block_on(Journal::open(self.phone.clone())).unwrap();
        self.tell(at);
    }

    fn tell(&self, at: DateTime<FixedOffset>) {
        if let Some(told) = self.journal.tell(&stamp(at), || [7; 10]) {
            block_on(told).unwrap();
        }
    }

    fn begin(&self, at: DateTime<FixedOffset>, exercises: &[&str]) -> EventId {
        let from = on_rung(2);
        let plan = exercises.iter().map(|name| Planned { exercise: id(name), from }).collect();
        let started = Fact::SessionStarted {
            routine: id("achilles"),
            version: self.journal.history().routine().unwrap().version,
            at_rest: None,
            worked_today: None,
            plan,
        };
        self.note(at, vec![started])
    }

    /// A set, noted when it ended and when it was rated, as the app does; the id of its rating.
    fn set(
        &self,
        at: DateTime<FixedOffset>,
        (session, exercise, number): (EventId, &str, u16),
        points: i64,
    ) -> EventId {
        let set = SetRef { session, exercise: id(exercise), number };
        let done = Fact::SetEnded {
            set: set.clone(),
            rung: on_rung(2).rung,
            reps: 10,
            work_secs: 40,
            ending: Ending::Complete,
        };
        self.note(at, vec![done]);
        self.note(at, vec![Fact::SetRated { set, rating: rating(points), site: None }])
    }

    fn morning(&self, date: NaiveDate, points: i64) -> EventId {
        let owed = self.journal.history().owed_morning(at(date, "07:00")).unwrap();
        let ratings = owed.exercises.into_iter().map(|id| (id, rating(points))).collect();
        let swelling = Swelling::NoMore;
        self.note(
            at(date, "07:00"),
            vec![Fact::MorningAnswered { after: owed.after, ratings, swelling }],
        )
    }

    /// What was told, in the order of telling.
    fn told(&self) -> Vec<(NaiveDate, Order)> {
        self.journal.history().told().iter().map(|told| (told.day, told.order)).collect()
    }

    fn last_write(&self) -> usize {
        *self.phone.writes.borrow().last().unwrap()
    }
}

#[test]
fn a_session_that_ends_has_its_verdicts_in_the_same_write() {
    let app = App::new();
    let session = app.begin(at(first(Mon), "18:00"), &["heel-drop", "chair-rise"]);
    app.set(at(first(Mon), "18:05"), (session, "heel-drop", 1), 1);
    app.set(at(first(Mon), "18:10"), (session, "chair-rise", 1), 7);
    let ended = app.note(at(first(Mon), "18:11"), vec![Fact::SessionEnded { session }]);
    assert_eq!(app.last_write(), 3);
    assert_eq!(
        app.told(),
        [(first(Mon), Order::HoldUntilRested), (first(Mon), Order::KeepNotCounted)],
        "by exercise"
    );
    let events = app.phone.events();
    assert_eq!(events[events.len() - 3].id, ended, "the fact, and then what it brought about");
}

#[test]
fn a_verdict_waits_for_the_end_of_its_session_however_often_the_app_is_opened_meanwhile() {
    let mut app = App::new();
    let session = app.begin(at(first(Mon), "18:00"), &["heel-drop"]);
    for (number, points) in [(1, 1), (2, 2), (3, 7)] {
        let now = at(first(Mon), &format!("18:{:02}", 5 * number));
        app.set(now, (session, "heel-drop", number), points);
        assert_eq!(app.last_write(), 1);
        app.open_anew(now);
        assert_eq!(app.told(), []);
    }
    app.note(at(first(Mon), "18:20"), vec![Fact::SessionEnded { session }]);
    assert_eq!(app.told(), [(first(Mon), Order::HoldUntilRested)]);
    app.open_anew(at(first(Mon), "18:21"));
    assert_eq!(app.told().len(), 1, "once");
}

/// Killed, put to sleep, and never come back to.
#[test]
fn a_session_that_never_ended_has_its_verdict_by_the_next_start_once_its_day_is_over() {
    for (opened, told) in [
        (at(first(Mon), "23:00"), vec![]),
        (at(first(Tue), "03:59"), vec![]),
        (at(first(Tue), "04:00"), vec![(first(Mon), Order::HoldUntilRested)]),
        (at(first(Fri), "18:00"), vec![(first(Mon), Order::HoldUntilRested)]),
    ] {
        let mut app = App::new();
        let session = app.begin(at(first(Mon), "18:00"), &["heel-drop"]);
        app.set(at(first(Mon), "18:05"), (session, "heel-drop", 1), 7);
        app.open_anew(opened);
        assert_eq!(app.told(), told, "{opened}");
    }
}

#[test]
fn a_session_that_never_ended_has_its_verdict_with_whatever_is_noted_next() {
    let begun = || {
        let app = App::new();
        let session = app.begin(at(first(Mon), "18:00"), &["heel-drop"]);
        app.set(at(first(Mon), "18:05"), (session, "heel-drop", 1), 1);
        (app, session)
    };
    let (app, _) = begun();
    app.morning(first(Tue), SETTLED);
    assert_eq!(app.last_write(), 2);
    assert_eq!(app.told(), [(first(Mon), Order::KeepAndCount)], "as the morning has it");

    let (app, _) = begun();
    app.begin(at(first(Wed), "18:00"), &["heel-drop"]);
    assert_eq!(app.told(), [(first(Mon), Order::KeepNotCounted)]);

    // Another session of that day, without the exercise: nothing more comes of the first.
    let (app, _) = begun();
    app.begin(at(first(Mon), "20:00"), &["chair-rise"]);
    assert_eq!(app.told(), [(first(Mon), Order::KeepNotCounted)]);

    // Another session of that day that may add to it.
    let (app, _) = begun();
    let second = app.begin(at(first(Mon), "20:00"), &["heel-drop"]);
    assert_eq!(app.told(), []);
    app.set(at(first(Mon), "20:05"), (second, "heel-drop", 1), 7);
    app.note(at(first(Mon), "20:06"), vec![Fact::SessionEnded { session: second }]);
    assert_eq!(app.told(), [(first(Mon), Order::HoldUntilRested)]);

    // Gone on with on the next day.
    let (app, session) = begun();
    app.set(at(first(Tue), "09:00"), (session, "heel-drop", 2), 2);
    app.set(at(first(Tue), "09:05"), (session, "heel-drop", 3), 7);
    assert_eq!(app.told(), []);
    app.note(at(first(Tue), "09:06"), vec![Fact::SessionEnded { session }]);
    assert_eq!(app.told(), [(first(Mon), Order::HoldUntilRested)]);
}

#[test]
fn a_verdict_waits_through_a_session_over_the_end_of_its_day_and_one_whose_clock_was_set_back() {
    for after in [at(first(Tue), "04:05"), at(first(Mon), "02:00")] {
        let app = App::new();
        let session = app.begin(at(first(Tue), "03:50"), &["heel-drop"]);
        app.set(after, (session, "heel-drop", 1), 1);
        app.set(after, (session, "heel-drop", 2), 7);
        assert_eq!(app.told(), [], "{after}");
        app.note(after, vec![Fact::SessionEnded { session }]);
        assert_eq!(app.told(), [(first(Mon), Order::HoldUntilRested)], "{after}");
    }
}

#[test]
fn a_morning_and_its_correction_each_add_what_they_changed_and_rewrite_nothing() {
    let app = App::new();
    let session = app.begin(at(first(Mon), "18:00"), &["heel-drop"]);
    let rated = app.set(at(first(Mon), "18:05"), (session, "heel-drop", 1), 1);
    app.note(at(first(Mon), "18:06"), vec![Fact::SessionEnded { session }]);
    let morning = app.morning(first(Tue), UP_CLEARLY);
    let before = [(first(Mon), Order::KeepNotCounted), (first(Mon), Order::Ease)];
    assert_eq!(app.told(), before);

    let correct = |of, exercise, points| {
        let fact = Fact::Corrected { of, exercise, rating: rating(points), site: None };
        app.note(at(first(Tue), "07:05"), vec![fact]);
    };
    correct(morning, Some(id("heel-drop")), SETTLED);
    assert_eq!(app.told()[..2], before, "as it was told");
    assert_eq!(app.told()[2..], [(first(Mon), Order::KeepAndCount)]);
    correct(morning, Some(id("heel-drop")), SETTLED);
    assert_eq!(app.last_write(), 1, "nothing has changed");
    correct(rated, None, 7);
    assert_eq!(app.told()[3..], [(first(Mon), Order::Ease)], "high, and settled");
}

#[test]
fn what_a_sign_brings_is_told_once_its_list_is_left_even_within_a_session() {
    let ticked = || Fact::WarningTicked { signs: vec![WarningSign::Unwell] };
    let unticked = |of| Fact::WarningUnticked { of, sign: WarningSign::Unwell };

    let app = App::new();
    let of = app.note(at(first(Mon), "18:00"), vec![ticked()]);
    app.note(at(first(Mon), "18:00"), vec![unticked(of)]);
    app.tell(at(first(Mon), "18:01"));
    assert_eq!(app.told(), [], "a slip is nothing to tell");

    let session = app.begin(at(first(Mon), "18:01"), &["heel-drop", "chair-rise"]);
    app.set(at(first(Mon), "18:05"), (session, "heel-drop", 1), 1);
    app.note(at(first(Mon), "18:06"), vec![ticked()]);
    assert_eq!(app.told(), []);
    app.tell(at(first(Mon), "18:07"));
    assert_eq!(app.told(), [(first(Mon), Order::HoldUntilAnswered); 2]);
    app.note(at(first(Mon), "18:08"), vec![Fact::SessionEnded { session }]);
    assert_eq!(app.last_write(), 1);

    // Killed with the list in sight.
    let mut app = App::new();
    app.note(at(first(Mon), "18:00"), vec![ticked()]);
    app.open_anew(at(first(Mon), "18:10"));
    assert_eq!(app.told(), [(first(Mon), Order::HoldUntilAnswered); 2]);
    app.note(at(first(Mon), "19:00"), vec![Fact::GoAhead { lifts: Lifts::WarningSign }]);
    assert_eq!(app.told().len(), 2);
}

/// Whatever was written last before the app was killed.
#[test]
fn no_write_leaves_a_verdict_untold_that_stands() {
    let app = App::new();
    let plan = ["heel-drop", "chair-rise"];
    for (day, points) in [(Mon, [1, 4]), (Wed, [7, 2]), (Fri, [1, 1])] {
        let session = app.begin(at(first(day), "18:00"), &plan);
        for (exercise, points) in plan.into_iter().zip(points) {
            app.set(at(first(day), "18:05"), (session, exercise, 1), points);
        }
        // The last of them is never ended.
        if day != Fri {
            app.note(at(first(day), "18:20"), vec![Fact::SessionEnded { session }]);
            app.morning(first(day).succ_opt().unwrap(), UP_CLEARLY);
        }
    }
    let text = words("The stairs went well.");
    app.note(
        at(first(Fri) + chrono::Days::new(2), "09:00"),
        vec![Fact::Note { text, session: None }],
    );
    let events = app.phone.events();
    let mut stored = 0;
    for written in app.phone.writes.borrow().iter() {
        stored += written;
        let kept: &[Event] = &events[..stored];
        let due = History::fold(kept).verdicts_due(kept.last().unwrap().at);
        assert_eq!(due, [], "after {:?}", kept.last());
    }
    assert_eq!(stored, events.len());
    let last = app.told().into_iter().rev().take(2).collect::<Vec<_>>();
    assert_eq!(last.iter().map(|(day, _)| *day).collect::<Vec<_>>(), [first(Fri); 2]);
}

/// A sign that is ticked in a session ends it: nothing is gone on with, before the list is even left.
#[test]
fn a_sign_ends_the_session_under_way_and_a_slip_does_not() {
    let app = App::new();
    let session = app.begin(at(first(Mon), "18:00"), &["heel-drop", "chair-rise"]);
    app.set(at(first(Mon), "18:05"), (session, "heel-drop", 1), 2);
    let is_open = || app.journal.history().open_session(at(first(Mon), "18:07")).is_some();
    assert!(is_open());
    let sign = WarningSign::InjuryOrNoWeight;
    let ticked = app.note(at(first(Mon), "18:06"), vec![Fact::WarningTicked { signs: vec![sign] }]);
    assert!(!is_open());
    app.note(at(first(Mon), "18:06"), vec![Fact::WarningUnticked { of: ticked, sign }]);
    assert!(is_open(), "it was a slip");
}
