//! Two weeks of training and of visits at which the practitioner changes the routine, both at random:
//! no history is lost, no rung lies above its ceiling, and what was told stays told.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::event_id::EventId;
use carryover::domain::log::course::{Availability, Course, GoesOn};
use carryover::domain::log::event::{Ending, Event, Fact, Planned, SetRef};
use carryover::domain::log::history::{History, Newness};
use carryover::domain::log::rule::Swelling;
use carryover::domain::plan::ladder::Foothold;
use carryover::domain::plan::limits::Zone;
use carryover::domain::plan::routine::Routine;
use carryover::domain::words::Id;
use chrono::{DateTime, Days, FixedOffset, Weekday};
use proptest::prelude::*;
use proptest::sample::select;
use support::revisions::{Plan, Revision, plans, revise, revisions};
use support::scripts::{a_quarter, points};
use support::*;

#[derive(Clone, Debug)]
struct TwoWeeks {
    plan: Plan,
    days: Vec<OneDay>,
}

#[derive(Clone, Debug)]
struct OneDay {
    morning: Option<(i64, Swelling)>,
    /// Before the evening, as at a visit.
    revision: Option<Revision>,
    /// The ratings that the sets get, one after the other over all exercises; none for no session.
    evening: Option<Vec<(i64, bool)>>,
    /// Whether a visit falls into the middle of the session.
    revision_within: Option<Revision>,
}

fn two_weeks() -> impl Strategy<Value = TwoWeeks> {
    let swelling = prop_oneof![
        8 => Just(Swelling::NoMore),
        1 => select(vec![Swelling::ALittleMore, Swelling::ClearlyMore]),
    ];
    let sets = prop::collection::vec((points(), prop::bool::weighted(0.03)), 6..=12);
    let day = (
        prop::option::weighted(0.85, (points(), swelling)),
        prop::option::weighted(0.25, revisions()),
        prop::option::weighted(0.85, sets),
        prop::option::weighted(0.05, revisions()),
    );
    let day = day.prop_map(|(morning, revision, evening, revision_within)| OneDay {
        morning,
        revision,
        evening,
        revision_within,
    });
    (plans(), prop::collection::vec(day, 14)).prop_map(|(plan, days)| TwoWeeks { plan, days })
}

/// Writes a log as the app would, and tells the verdicts where the app would.
struct LogWriter {
    story: Story,
    plan: Plan,
    version: i64,
}

impl LogWriter {
    fn revise(&mut self, at: DateTime<FixedOffset>, revision: &Revision) {
        self.plan = revise(&self.plan, revision);
        self.version += 1;
        takes_over(&mut self.story, at, &self.plan.version(self.version));
    }

    fn tell(&mut self, at: DateTime<FixedOffset>) {
        for fact in self.story.history().untold_verdicts() {
            self.story.note(at, fact);
        }
    }

    fn morning(&mut self, at: DateTime<FixedOffset>, points: i64, swelling: Swelling) {
        self.story.morning_at(at, points, swelling);
        self.tell(at);
    }

    fn evening(
        &mut self,
        at: DateTime<FixedOffset>,
        sets: &[(i64, bool)],
        within: Option<&Revision>,
    ) {
        let history = self.story.history();
        let routine = history.routine().unwrap().clone();
        let today = history.today(at.date_naive());
        let open: Vec<_> =
            today.into_iter().filter(|line| line.availability == Availability::Open).collect();
        let plan = open
            .iter()
            .map(|line| Planned { exercise: line.exercise.id.clone(), from: line.foothold });
        let started = Fact::SessionStarted {
            routine: routine.id.clone(),
            version: routine.version,
            at_rest: None,
            worked_today: None,
            plan: plan.collect(),
        };
        let session = self.story.note(at, started);
        let mut sets = sets.iter();
        let mut now = at;
        for (index, line) in open.iter().enumerate() {
            if let Some(revision) = within.filter(|_| index == 1) {
                self.revise(now, revision);
            }
            for number in 1..=line.dose.sets.get() {
                let Some((points, stopped)) = sets.next() else { break };
                now += chrono::TimeDelta::minutes(2);
                let set = SetRef { session, exercise: line.exercise.id.clone(), number };
                let ending = if *stopped { Ending::Pain } else { Ending::Complete };
                let (rung, reps, work_secs) = (line.foothold.rung, 10, 40);
                let ended = Fact::SetEnded { set: set.clone(), rung, reps, work_secs, ending };
                self.story.note(now, ended);
                self.story.note(now, Fact::SetRated { set, rating: rating(*points), site: None });
                let limits = routine.limits_for(&line.exercise);
                if *stopped || limits.zone_of_set(rating(*points), None) == Zone::High {
                    break;
                }
            }
        }
        self.story.note(now, Fact::SessionEnded { session });
        self.tell(now);
    }
}

/// A new version takes over as it was shown beforehand, and nothing that was there is gone.
#[track_caller]
fn takes_over(story: &mut Story, at: DateTime<FixedOffset>, routine: &Routine) {
    let before = story.history();
    assert_eq!(before.newness(routine), Newness::Newer);
    let shown: Vec<(Id, GoesOn)> =
        before.goes_on(routine).map(|(exercise, goes_on)| (exercise.id.clone(), goes_on)).collect();
    story.accept(at, routine);
    let after = story.history();
    assert_eq!(after.routine(), Some(routine));
    for (id, goes_on) in shown {
        let course = after.course(&id).unwrap();
        assert_eq!(course.foothold(), goes_on.foothold(), "{id:?}");
        assert!(goes_on.foothold() <= Foothold::on(course.exercise().ladder.ceiling()));
        let known = before.course(&id);
        assert_eq!(known.is_none(), matches!(goes_on, GoesOn::New { .. }));
        if let (Some(known), GoesOn::Kept { was, is }) = (known, goes_on) {
            let help =
                |course: &Course, at: Foothold| course.exercise().ladder.rung(at.rung).help.clone();
            assert_eq!(was, known.foothold());
            if was.fewer_sets == 0 {
                assert_eq!(help(course, is), help(known, was));
            } else {
                assert!(
                    is <= Foothold::on(
                        course.exercise().ladder.find(&known.exercise().ladder, was.rung).unwrap()
                    )
                );
            }
        }
    }
    assert_eq!(after.sessions(), before.sessions());
    assert_eq!(after.mornings(), before.mornings());
    assert_eq!(after.told(), before.told());
    for accepted in before.accepted() {
        for exercise in accepted.routine.exercises() {
            let judged =
                |history: &History| history.course(&exercise.id).unwrap().judged().to_vec();
            assert_eq!(judged(&after), judged(&before));
        }
    }
}

fn write(two_weeks: &TwoWeeks) -> LogWriter {
    let routine = two_weeks.plan.version(1);
    let mut writer =
        LogWriter { story: Story::of(&routine), plan: two_weeks.plan.clone(), version: 1 };
    for (number, day) in (0..).zip(&two_weeks.days) {
        let date = first(Weekday::Mon) + Days::new(number);
        if let Some((points, swelling)) = day.morning {
            writer.morning(at(date, "07:00"), points, swelling);
        }
        if let Some(revision) = &day.revision {
            writer.revise(at(date, "12:00"), revision);
        }
        if let Some(sets) = &day.evening {
            writer.evening(at(date, "18:00"), sets, day.revision_within.as_ref());
        }
    }
    writer
}

proptest! {
    #![proptest_config(a_quarter())]

    /// What each visit does is checked as the log is written.
    #[test]
    fn no_history_is_lost_and_no_rung_lies_above_its_ceiling(two_weeks in two_weeks()) {
        let story = write(&two_weeks).story;
        let history = story.history();
        let count = |is: fn(&Fact) -> bool| story.events().iter().filter(|event| is(&event.what)).count();
        prop_assert_eq!(history.accepted().len(), count(|fact| matches!(fact, Fact::RoutineAccepted { .. })));
        prop_assert_eq!(history.sessions().len(), count(|fact| matches!(fact, Fact::SessionStarted { .. })));
        prop_assert_eq!(history.mornings().len(), count(|fact| matches!(fact, Fact::MorningAnswered { .. })));
        prop_assert_eq!(history.told().len(), count(|fact| matches!(fact, Fact::VerdictGiven { .. })));
        let sets: usize = history.sessions().iter().map(|session| session.sets.len()).sum();
        prop_assert_eq!(sets, count(|fact| matches!(fact, Fact::SetEnded { .. })));
        let rated = history.sessions().iter().flat_map(|session| &session.sets).filter(|set| set.rated.is_some());
        prop_assert_eq!(rated.count(), sets);
    }

    /// At every moment, of the version that holds then.
    #[test]
    fn at_no_moment_does_an_exercise_stand_above_its_ceiling(two_weeks in two_weeks()) {
        let story = write(&two_weeks).story;
        for until in 1..=story.events().len() {
            let history = History::fold(&story.events()[..until]);
            for exercise in history.routine().unwrap().exercises() {
                let course = history.course(&exercise.id).unwrap();
                prop_assert!(course.foothold() <= Foothold::on(exercise.ladder.ceiling()));
                let dose = course.foothold().dose(&exercise.dose, &exercise.ladder);
                prop_assert!(1 <= dose.sets.get());
            }
        }
    }

    /// A session names the version it was planned from, which is the one that the order of events says
    /// held when it began; and so does each verdict.
    #[test]
    fn the_log_knows_which_version_each_session_followed(two_weeks in two_weeks()) {
        let story = write(&two_weeks).story;
        let history = story.history();
        let held_at = |id: EventId| {
            let earlier = story.events().iter().take_while(|event| event.id < id);
            earlier.filter_map(accepted).last().unwrap().version
        };
        for session in history.sessions() {
            prop_assert_eq!(session.version, held_at(session.id));
            let version = history.accepted().iter().find(|accepted| accepted.routine.version == session.version);
            let routine = &version.unwrap().routine;
            for planned in &session.plan {
                let exercise = routine.exercise(&planned.exercise).unwrap();
                prop_assert!(planned.from <= Foothold::on(exercise.ladder.ceiling()));
            }
        }
    }

    /// Facts of verdicts are only ever added to, and a verdict of a day before a visit is not changed
    /// by what the visit brought.
    #[test]
    fn what_was_told_stays_told(two_weeks in two_weeks()) {
        let story = write(&two_weeks).story;
        let told = story.history().told().to_vec();
        for until in 1..=story.events().len() {
            let then = History::fold(&story.events()[..until]).told().to_vec();
            prop_assert_eq!(&told[..then.len()], &then[..]);
        }
    }
}

fn accepted(event: &Event) -> Option<&Routine> {
    if let Fact::RoutineAccepted { routine } = &event.what { Some(routine) } else { None }
}

/// A rung that was reached is kept by the very revision that leaves its exercise alone.
#[test]
fn a_visit_about_another_exercise_leaves_this_one_where_it_is() {
    let two = [heel_drop(), chair_rise()];
    let mut story = Story::of(&routine(1, &climbing_after(1), &two));
    story.train(first(Weekday::Mon), &[0]);
    story.morning(first(Weekday::Tue), 0);
    assert_eq!(story.stands(), on_rung(4));
    let mut chair = chair_rise();
    chair.dose.sets = 2.try_into().unwrap();
    story.accept(
        at(first(Weekday::Tue), "12:00"),
        &routine(2, &climbing_after(1), &[heel_drop(), chair]),
    );
    assert_eq!(story.stands(), on_rung(4));
}
