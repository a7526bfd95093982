//! The session runner: stories, and properties over random taps and random clocks.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
#![expect(clippy::wildcard_enum_match_arm, reason = "a test looks at the facts it is about")]

use std::time::Duration;

use carryover::domain::event_id::EventId;
use carryover::domain::log::course::training_day;
use carryover::domain::log::event::{Ending, Event, Fact, Planned};
use carryover::domain::log::history::{History, Session};
use carryover::domain::pain::PainRating;
use carryover::domain::plan::ladder::{Foothold, RungNumber};
use carryover::domain::plan::limits::AfterMiddleSet;
use carryover::domain::plan::routine::Routine;
use carryover::domain::session::coach;
use carryover::domain::session::runner::{
    AfterRest, Clock, Input, Manner, Means, Moment, Rest, Run, SLEPT, Stage, Task,
};
use carryover::domain::session::timeline::{Beat, COUNT_IN, Pace, SHORT_COUNT_IN, Timeline, Tone};
use carryover::exchange::file::{File, parse};
use carryover::ui::text::spoken;
use chrono::NaiveDate;
use proptest::prelude::*;

const SESSION_AT: &str = "2026-11-25T18:00:00+01:00";

#[test]
fn a_session_goes_from_the_set_up_through_sets_ratings_and_rests_to_its_end() {
    let routine = small();
    let mut run = begin(&routine);
    let mut clock = 0;
    assert_eq!(run.stage(), &Stage::Briefing);
    tap(&mut run, Input::Start, clock);
    for set in 1..=3 {
        // 5 reps of 3 + 2 s; the first set has its count-in, the later ones had the rest for it.
        clock += if set == 1 { COUNT_IN.as_secs() } else { 0 };
        let facts = pass(&mut run, &mut clock, 25);
        let [Fact::SetEnded { set: ended, reps: 5, work_secs: 25, ending: Ending::Complete, .. }] =
            &facts[..]
        else {
            panic!("set {set}: {facts:?}")
        };
        assert_eq!(ended.number, set);
        let facts = tap(&mut run, Input::Rate { rating: pain(2), site: None }, clock);
        assert!(matches!(&facts[..], [Fact::SetRated { .. }]));
        if set < 3 {
            assert!(matches!(run.stage(), Stage::AfterSet { rest: Rest::On(_), .. }));
            pass(&mut run, &mut clock, 30);
            assert!(matches!(run.stage(), Stage::Set { .. }), "set {set}: {:?}", run.stage());
        }
    }
    assert!(matches!(run.stage(), Stage::AfterSet { rest: Rest::NoneNeeded, .. }));
    let facts = tap(&mut run, Input::GoOn, clock);
    assert!(matches!(&facts[..], [Fact::SessionEnded { .. }]));
    assert_eq!(run.stage(), &Stage::Finished);
}

#[test]
fn a_rest_that_ends_before_the_rating_waits_for_it() {
    let routine = small();
    let mut run = begin(&routine);
    let mut clock = 0;
    tap(&mut run, Input::Start, clock);
    clock += COUNT_IN.as_secs();
    pass(&mut run, &mut clock, 25 + 60);
    assert!(matches!(run.stage(), Stage::AfterSet { rest: Rest::Over, rating: None, .. }));
    tap(&mut run, Input::GoOn, clock);
    assert!(matches!(run.stage(), Stage::Set { number: 2, .. }));
}

#[test]
fn a_high_rating_ends_the_exercise_and_a_lower_one_instead_takes_it_back() {
    let routine = small();
    let mut run = begin(&routine);
    let mut clock = 0;
    tap(&mut run, Input::Start, clock);
    clock += COUNT_IN.as_secs();
    pass(&mut run, &mut clock, 25);
    tap(&mut run, Input::Rate { rating: pain(6), site: None }, clock);
    assert_eq!(run.means(), Means::EndExercise);
    assert!(!run.another_set_follows());
    pass(&mut run, &mut clock, 90);
    assert!(matches!(run.stage(), Stage::AfterSet { .. }), "no set begins after a high rating");
    tap(&mut run, Input::Rate { rating: pain(5), site: None }, clock);
    assert!(run.another_set_follows());
}

/// docs/clinical-rule.md, section 5: at most one rung below the day's start in one day, however many sets
/// and sessions follow; nor does a reload forget where the day started.
#[test]
fn no_set_is_eased_more_than_one_rung_below_the_start_of_the_day() {
    let text = include_str!("fixtures/small-routine.json").replace("\"start\": 2", "\"start\": 3");
    let mut routine = routine(&text);
    routine.limits.after_middle_set = AfterMiddleSet::OneRungDown;
    let day = training_day(at(0));
    let tasks = |log: &[Event], plan: &[Planned], day: NaiveDate| {
        Task::on_day(plan, &routine, &History::fold(log), day)
    };
    let middle = || Input::Rate { rating: pain(4), site: None };
    let on_rung = |number| Foothold::on(RungNumber::new(number).unwrap());
    let mut log = vec![accepted(&routine), started(&routine)];
    let mut run = Run::begin(log[1].id, tasks(&log, &plan(&routine), day), Manner::default());
    tap_ms(&mut run, Input::Start, 0);
    let facts = run_to(&mut run, 0, 33_000);
    log.extend(events(&log, facts, 33_000));
    let facts = tap_ms(&mut run, middle(), 33_000);
    log.extend(events(&log, facts, 33_000));
    assert_eq!(run.means(), Means::EaseNextSet { to: on_rung(2) });
    let facts = run_to(&mut run, 33_000, 88_000);
    log.extend(events(&log, facts, 88_000));
    let facts = tap_ms(&mut run, middle(), 88_000);
    log.extend(events(&log, facts, 88_000));
    assert_eq!((run.means(), run.next_foothold()), (Means::NothingEasier, on_rung(2)));

    let history = History::fold(&log);
    let session = history.sessions().last().unwrap();
    let since = (Duration::ZERO, moment(88_000));
    let again = tasks(&log, &session.plan, session.day());
    let again = Run::take_up(session, again, None, Manner::default(), since);
    assert_eq!((again.means(), again.next_foothold()), (Means::NothingEasier, on_rung(2)));

    // The second session of the day begins on the rung that the first one ended on.
    let today = history.today(day)[0].clone();
    assert_eq!((today.foothold, today.least), (on_rung(2), on_rung(2).rung));
    let plan = [Planned { exercise: today.exercise.id, from: today.foothold }];
    let means = |day: NaiveDate| {
        let mut run = Run::begin(log[1].id, tasks(&log, &plan, day), Manner::default());
        tap_ms(&mut run, Input::Start, 0);
        run_to(&mut run, 0, 33_000);
        tap_ms(&mut run, middle(), 33_000);
        run.means()
    };
    assert_eq!(means(day), Means::NothingEasier);
    assert_eq!(means(day.succ_opt().unwrap()), Means::EaseNextSet { to: on_rung(1) });
}

/// Five reps of five seconds, after a count of eight: the rep in hand is done again, after a count of four.
#[test]
fn a_pause_gives_no_second_away_and_the_rep_in_hand_is_done_again() {
    let routine = small();
    let (count, rep, whole) = (8_000, 5_000, 33_000);
    for paused_at in 0..whole / 250 {
        let mut run = begin(&routine);
        tap_ms(&mut run, Input::Start, 0);
        let pause = paused_at * 250;
        run_to(&mut run, 0, pause);
        tap_ms(&mut run, Input::Pause, pause);
        let asleep = pause + 3_600_000;
        tap_ms(&mut run, Input::Resume, asleep);
        let left = match u64::checked_sub(pause, count) {
            None => whole - pause,
            Some(worked) => 4_000 + whole - count - worked / rep * rep,
        };
        let facts = run_to(&mut run, asleep, asleep + left);
        let ended = facts.iter().find_map(|fact| match fact {
            Fact::SetEnded { reps, work_secs, .. } => Some((*reps, *work_secs)),
            _ => None,
        });
        assert_eq!(ended, Some((5, 25)), "paused after {pause} ms");
    }
}

#[test]
fn sleep_is_never_credited_as_work() {
    let routine = small();
    let mut run = begin(&routine);
    tap_ms(&mut run, Input::Start, 0);
    run_to(&mut run, 0, 15_000);
    let facts = tap_ms(&mut run, Input::Tick, 600_000);
    assert!(facts.is_empty());
    assert!(run.slept().is_some_and(|slept| Duration::from_secs(500) < slept));
    let facts = tap_ms(&mut run, Input::CutSetShort, 600_000);
    let [Fact::SetEnded { work_secs, reps, .. }] = &facts[..] else { panic!("{facts:?}") };
    assert!(*work_secs <= 7, "{work_secs} s");
    assert_eq!(*reps, 1);
}

#[test]
fn sleep_inside_a_long_phase_is_not_credited_either() {
    let routine = demo();
    let mut run = begin(&routine);
    tap_ms(&mut run, Input::Start, 0);
    run_to(&mut run, 0, 18_000);
    // Ten seconds into a hold of thirty the device sleeps for ten, and wakes before the hold would end.
    tap_ms(&mut run, Input::Woke { after: Duration::from_secs(10) }, 28_000);
    assert!(tap_ms(&mut run, Input::Tick, 28_000).is_empty());
    assert_eq!(run.slept(), Some(Duration::from_secs(10)));
    assert!(run.cues(moment(28_000)).is_empty(), "no sound while it stands still");
    let mut going_on = run.clone();
    tap_ms(&mut going_on, Input::Resume, 40_000);
    let rest_of_hold = going_on.next_wakeup().map(|due| due.since(moment(40_000)));
    assert_eq!(
        rest_of_hold,
        Some(Duration::from_secs(20)),
        "what was held awake need not be held again"
    );
    let facts = tap_ms(&mut run, Input::CutSetShort, 28_000);
    assert!(
        facts
            .iter()
            .all(|fact| !matches!(fact, Fact::SetEnded { work_secs, .. } if 10 < *work_secs)),
        "{facts:?}"
    );
    let mut resting = begin(&small());
    tap_ms(&mut resting, Input::Start, 0);
    run_to(&mut resting, 0, 33_000);
    let before = resting.clone();
    tap_ms(&mut resting, Input::Woke { after: Duration::from_secs(5) }, 38_000);
    assert_eq!(resting, before, "a rest runs on");
}

#[test]
fn a_set_ended_before_any_work_is_no_set() {
    let routine = small();
    let mut run = begin(&routine);
    tap_ms(&mut run, Input::Start, 0);
    assert_eq!(tap_ms(&mut run, Input::CutSetShort, 3_000), []);
    assert_eq!(run.stage(), &Stage::Briefing);
}

#[test]
fn every_moment_of_a_session_can_be_taken_up_again_after_a_reload() {
    can_be_taken_up_again(&small());
    // Here a middle rating eases the next set, once.
    can_be_taken_up_again(&demo());
}

fn can_be_taken_up_again(routine: &Routine) {
    let mut log = vec![accepted(routine), started(routine)];
    let mut run = begin(routine);
    tap_ms(&mut run, Input::Start, 0);
    for step in 1..600_u64 {
        let now = step * 250;
        log.extend(events(&log, tap_ms(&mut run, Input::Tick, now), now));
        if let Stage::AfterSet { rating: None, .. } = run.stage() {
            assert_same_place(routine, &log, &run, now);
            let facts = tap_ms(&mut run, Input::Rate { rating: pain(3), site: None }, now);
            log.extend(events(&log, facts, now));
        }
        assert_same_place(routine, &log, &run, now);
        if matches!(run.stage(), Stage::AfterSet { rest: Rest::NoneNeeded, .. }) {
            return;
        }
    }
    panic!("the session did not come to its last rating");
}

/// What is said aloud; `tests/spoken.rs` has whole sessions.
#[test]
fn a_set_is_said_as_a_coach_would_say_it() {
    let mut run = begin(&small());
    tap_ms(&mut run, Input::Start, 0);
    let mut said: Vec<String> = Vec::new();
    let mut last = None;
    for now in (0..36_000).step_by(100) {
        tap_ms(&mut run, Input::Tick, now);
        if let Some(line) = coach::line(&run, coach::SoFar::Well, moment(now), last) {
            if last != Some(line.place) {
                said.extend(spoken::words(&line));
            }
            last = Some(line.place);
        }
    }
    let mut expected = vec!["Set 1 of 3. Get ready.", "Three.", "Two.", "One."];
    expected.extend(["Lower.", "Two.", "One.", "Lift, both feet."]);
    for _ in 0..3 {
        expected.extend(["Lower.", "Two.", "One.", "Lift.", "One."]);
    }
    expected.extend(["Last one. Lower.", "One.", "Lift.", "One."]);
    expected.push(
        "Set 1 of 3 is done. How much did it hurt? Tap a number from 0 to 10. Rest, 30 seconds.",
    );
    assert_eq!(said, expected);
}

#[test]
fn one_rep_back_counts_a_rep_once() {
    let mut run = begin(&small());
    tap_ms(&mut run, Input::Start, 0);
    run_to(&mut run, 0, 20_000);
    tap_ms(&mut run, Input::OneRepBack, 20_000);
    assert_eq!(run.bookmark().map(|mark| mark.reps), Some(1));
    let facts = run_to(&mut run, 20_000, 20_000 + 4_000 + 20_000);
    assert!(matches!(&facts[..], [Fact::SetEnded { reps: 5, work_secs: 25, .. }]), "{facts:?}");
}

#[test]
fn a_set_started_again_begins_anew_and_counts_once() {
    let mut run = begin(&small());
    tap_ms(&mut run, Input::Start, 0);
    run_to(&mut run, 0, 20_000);
    tap_ms(&mut run, Input::RepeatSet, 20_000);
    let facts = run_to(&mut run, 20_000, 20_000 + 4_000 + 25_000);
    assert!(matches!(&facts[..], [Fact::SetEnded { reps: 5, work_secs: 25, .. }]), "{facts:?}");
}

#[test]
fn a_set_left_out_is_noted_and_the_next_one_begins() {
    let mut run = begin(&small());
    tap_ms(&mut run, Input::Start, 0);
    run_to(&mut run, 0, 33_000);
    tap_ms(&mut run, Input::Rate { rating: pain(1), site: None }, 33_000);
    let facts = tap_ms(&mut run, Input::LeaveOutSet, 34_000);
    let [Fact::SetEnded { set, reps: 0, work_secs: 0, ending: Ending::LeftOut, .. }] = &facts[..]
    else {
        panic!("{facts:?}")
    };
    assert_eq!(set.number, 2);
    assert!(matches!(run.stage(), Stage::Set { number: 3, .. }));
}

#[test]
fn a_slower_count_slows_the_work_and_nothing_else() {
    let manner = Manner { pace: Pace::new(150).unwrap(), ..Manner::default() };
    let routine = small();
    let mut run =
        Run::begin(started(&routine).id, Task::of_plan(&plan(&routine), &routine), manner);
    tap_ms(&mut run, Input::Start, 0);
    let facts = run_to(&mut run, 0, 8_000 + 37_500);
    assert!(matches!(&facts[..], [Fact::SetEnded { reps: 5, work_secs: 37, .. }]), "{facts:?}");
    assert!(matches!(run.stage(), Stage::AfterSet { rest: Rest::On(clock), .. }
        if clock.left(moment(45_500)) == Duration::from_secs(30)));
}

#[test]
fn a_rest_waits_until_ready_where_the_client_likes_that() {
    let manner = Manner { after_rest: AfterRest::WaitUntilReady, ..Manner::default() };
    let routine = small();
    let mut run =
        Run::begin(started(&routine).id, Task::of_plan(&plan(&routine), &routine), manner);
    tap_ms(&mut run, Input::Start, 0);
    run_to(&mut run, 0, 33_000);
    tap_ms(&mut run, Input::Rate { rating: pain(1), site: None }, 33_000);
    assert_eq!(run.cues(moment(33_000)).len(), 3, "the end of the rest, and no set after it");
    run_to(&mut run, 33_000, 120_000);
    assert!(matches!(run.stage(), Stage::AfterSet { rest: Rest::Over, .. }));
    tap_ms(&mut run, Input::GoOn, 120_000);
    assert!(matches!(run.stage(), Stage::Set { number: 2, .. }));
}

#[test]
fn a_stop_by_a_slip_is_taken_back_within_ten_seconds_and_the_set_goes_on_where_it_was() {
    let routine = small();
    let mut log = vec![accepted(&routine), started(&routine)];
    let mut run = begin(&routine);
    tap_ms(&mut run, Input::Start, 0);
    run_to(&mut run, 0, 20_000);
    let before = run.clone();
    log.extend(events(&log, tap_ms(&mut run, Input::StopItHurts, 20_000), 20_000));
    assert!(run.can_take_back_stop(moment(29_999)));
    assert!(!run.can_take_back_stop(moment(30_000)));
    assert!(tap_ms(&mut run.clone(), Input::TakeBackStop, 30_000).is_empty(), "too late");
    let mut rated = run.clone();
    tap_ms(&mut rated, Input::Rate { rating: pain(7), site: None }, 21_000);
    assert!(!rated.can_take_back_stop(moment(22_000)), "who rates it meant it");

    log.extend(events(&log, tap_ms(&mut run, Input::TakeBackStop, 24_000), 24_000));
    assert!(matches!(log.last().unwrap().what, Fact::StopTakenBack { .. }));
    assert!(!run.can_take_back_stop(moment(24_000)));
    assert!(History::fold(&log).sessions().last().unwrap().sets.is_empty());
    let (Stage::Set { clock: stood, segment: at, .. }, Stage::Set { clock: ran, segment: was, .. }) =
        (run.stage(), before.stage())
    else {
        panic!("a set")
    };
    assert_eq!((at, stood.left(moment(24_000))), (was, ran.left(moment(20_000))));
    assert!(stood.is_paused());
    tap_ms(&mut run, Input::Resume, 60_000);
    let undisturbed = run_to(&mut before.clone(), 20_000, 40_000);
    assert_eq!(run_to(&mut run, 60_000, 80_000), undisturbed, "counted as if it had been paused");
    assert!(matches!(&undisturbed[..], [Fact::SetEnded { ending: Ending::Complete, .. }]));
}

#[test]
fn between_two_exercises_a_reload_finds_the_set_up_or_the_rating_whichever_was_there() {
    let routine = demo();
    let mut log = vec![accepted(&routine), started(&routine)];
    let mut run = begin(&routine);
    tap_ms(&mut run, Input::Start, 0);
    run_to(&mut run, 0, 20_000);
    log.extend(events(&log, tap_ms(&mut run, Input::StopItHurts, 20_000), 20_000));
    log.extend(events(
        &log,
        tap_ms(&mut run, Input::Rate { rating: pain(7), site: None }, 20_000),
        20_000,
    ));
    let taken_up = |run: &Run| {
        let history = History::fold(&log);
        let session = history.sessions().last().unwrap();
        let mark = run.bookmark();
        Run::take_up(
            session,
            Task::of_plan(&session.plan, &routine),
            mark.as_ref(),
            Manner::default(),
            (Duration::ZERO, moment(0)),
        )
    };
    assert!(matches!(taken_up(&run).stage(), Stage::AfterSet { rating: Some(_), .. }));
    assert!(tap_ms(&mut run, Input::GoOn, 21_000).is_empty());
    let again = taken_up(&run);
    assert_eq!((again.stage(), again.task_index()), (&Stage::Briefing, 1));
}

#[test]
fn the_sounds_of_a_set_stand_where_its_phases_begin() {
    let routine = small();
    let dose = &routine.exercises()[0].dose;
    let timeline = Timeline::of_set(dose, 1, COUNT_IN, 0, Pace::AS_PRESCRIBED);
    let onsets: Vec<(u64, Tone)> =
        timeline.cues().iter().map(|cue| (cue.at.as_secs(), cue.tone)).collect();
    let mut expected = vec![(5, Tone::Count), (6, Tone::Count), (7, Tone::Count)];
    for rep in 0..5 {
        expected.push((8 + rep * 5, Tone::Lower));
        expected.push((11 + rep * 5, Tone::Lift));
    }
    expected.push((33, Tone::SetDone));
    assert_eq!(onsets, expected);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Over random taps and random clock steps, sleep included: nothing panics, no work is credited
    /// beyond the time awake, no sound is due in the past, and there is always a way out.
    #[test]
    fn a_session_survives_anything(steps in prop::collection::vec((any_input(), 0_u64..6_000), 1..200)) {
        let routine = demo();
        let mut run = begin(&routine);
        let (mut now, mut awake, mut worked) = (0_u64, 0_u64, 0_u64);
        for (input, pause) in steps {
            now += pause;
            awake += pause.min(u64::try_from(SLEPT.as_millis()).unwrap() + 3_600);
            for fact in tap_ms(&mut run, input, now) {
                if let Fact::SetEnded { work_secs, .. } = fact {
                    worked += u64::from(work_secs) * 1000;
                }
            }
            prop_assert!(worked <= awake + 1, "{worked} ms of work in {awake} ms awake");
            if run.next_wakeup().is_none_or(|due| moment(now) < due) {
                let mut ticked = run.clone();
                prop_assert!(tap_ms(&mut ticked, Input::Tick, now).is_empty());
                prop_assert_eq!(&ticked, &run, "a tick before the next wakeup changes nothing");
            }
            let due = run.cues(Moment(Duration::from_millis(now)));
            prop_assert!(due.windows(2).all(|pair| pair[0].at <= pair[1].at));
            if let Stage::Set { clock: Clock::Paused { .. }, .. } | Stage::Briefing | Stage::Finished = run.stage() {
                prop_assert!(due.is_empty(), "no sound while nothing runs");
            }
        }
        let facts = tap_ms(&mut run, Input::EndSession, now);
        prop_assert_eq!(run.stage(), &Stage::Finished);
        let told = matches!(facts.last(), Some(Fact::SessionEnded { .. }) | None);
        prop_assert!(told, "the end of a session is the last thing noted");
    }

    /// Set numbers go up by one within an exercise, each set ends once, and a rating follows its set.
    #[test]
    fn the_log_of_a_session_is_in_order(steps in prop::collection::vec((any_input(), 0_u64..20_000), 1..200)) {
        let routine = demo();
        let mut run = begin(&routine);
        let mut now = 0;
        let mut ended: Vec<(String, u16)> = Vec::new();
        for (input, pause) in steps {
            // Short steps of the clock, as on a device that is awake.
            for _ in 0..pause / 500 {
                now += 500;
                note(&mut ended, tap_ms(&mut run, Input::Tick, now));
            }
            note(&mut ended, tap_ms(&mut run, input, now));
        }
        for pair in ended.windows(2) {
            if pair[0].0 == pair[1].0 {
                prop_assert_eq!(pair[0].1 + 1, pair[1].1);
            } else {
                prop_assert_eq!(pair[1].1, 1);
            }
        }
    }
}

fn note(ended: &mut Vec<(String, u16)>, facts: Vec<Fact>) {
    for fact in facts {
        match fact {
            Fact::SetEnded { set, .. } => {
                ended.push((set.exercise.as_str().to_owned(), set.number));
            }
            Fact::StopTakenBack { set } => {
                assert_eq!(ended.pop(), Some((set.exercise.as_str().to_owned(), set.number)));
            }
            Fact::SetRated { set, .. } => {
                let last = ended.last().expect("a rating follows its set");
                assert_eq!((last.0.as_str(), last.1), (set.exercise.as_str(), set.number));
            }
            _ => {}
        }
    }
}

fn any_input() -> impl Strategy<Value = Input> {
    prop_oneof![
        6 => Just(Input::Tick),
        2 => Just(Input::Start),
        1 => Just(Input::Pause),
        2 => Just(Input::Resume),
        1 => Just(Input::CutSetShort),
        1 => Just(Input::StopItHurts),
        1 => Just(Input::TakeBackStop),
        3 => (0..=10_i64).prop_map(|points| Input::Rate { rating: pain(points), site: None }),
        1 => Just(Input::OneRepBack),
        1 => Just(Input::RepeatSet),
        1 => Just(Input::LeaveOutSet),
        1 => Just(Input::AddRest),
        2 => Just(Input::GoOn),
        1 => Just(Input::LeaveOut),
    ]
}

/// What a reload finds is what was there: the same exercise, set and rep, and the same rest within the
/// second that the log keeps.
fn assert_same_place(routine: &Routine, log: &[Event], run: &Run, now: u64) {
    let history = History::fold(log);
    let session: &Session = history.sessions().last().unwrap();
    let since = session.sets.last().map_or(Duration::ZERO, |set| {
        Duration::from_millis(now).saturating_sub((set.ended_at - at(0)).to_std().unwrap())
    });
    let again = Run::take_up(
        session,
        Task::of_plan(&session.plan, routine),
        run.bookmark().as_ref(),
        Manner::default(),
        (since, moment(now)),
    );
    assert_eq!(again.task_index(), run.task_index());
    assert_eq!(again.foothold(), run.foothold());
    match (again.stage(), run.stage()) {
        (
            Stage::Set { number, timeline, segment: 0, clock: Clock::Paused { .. } },
            Stage::Set { number: was, timeline: before, segment, .. },
        ) => {
            assert_eq!(number, was);
            assert_eq!(timeline.segments()[0].beat, Beat::GetReady);
            assert_eq!(timeline.segments()[0].length, SHORT_COUNT_IN);
            let rep = before.segments()[*segment].rep;
            assert_eq!(timeline.segments()[1].rep, rep, "at {now} ms");
        }
        (
            Stage::AfterSet { number, rating, rest, .. },
            Stage::AfterSet { number: was, rating: rated, rest: rested, .. },
        ) => {
            assert_eq!((number, rating), (was, rated));
            match (rest, rested) {
                (Rest::On(left), Rest::On(before)) => {
                    let (left, before) = (left.left(moment(now)), before.left(moment(now)));
                    assert!(
                        left.abs_diff(before) <= Duration::from_millis(250),
                        "{left:?} {before:?}"
                    );
                }
                (left, before) => assert_eq!(left, before),
            }
        }
        (found, before) => panic!("at {now} ms: {found:?} instead of {before:?}"),
    }
}

fn small() -> Routine {
    routine(include_str!("fixtures/small-routine.json"))
}

fn demo() -> Routine {
    routine(include_str!("../public/routines/demo.json"))
}

fn routine(text: &str) -> Routine {
    let Ok(File::Routine(file)) = parse(text) else { panic!("a routine file") };
    file.routine
}

fn plan(routine: &Routine) -> Vec<Planned> {
    let planned = |exercise: &carryover::domain::plan::routine::Exercise| Planned {
        exercise: exercise.id.clone(),
        from: Foothold::on(exercise.ladder.start()),
    };
    routine.exercises().iter().map(planned).collect()
}

fn begin(routine: &Routine) -> Run {
    Run::begin(started(routine).id, Task::of_plan(&plan(routine), routine), Manner::default())
}

fn pain(points: i64) -> PainRating {
    PainRating::new(points).unwrap()
}

fn moment(millis: u64) -> Moment {
    Moment(Duration::from_millis(millis))
}

fn tap(run: &mut Run, input: Input, secs: u64) -> Vec<Fact> {
    tap_ms(run, input, secs * 1000)
}

fn tap_ms(run: &mut Run, input: Input, millis: u64) -> Vec<Fact> {
    run.step(input, moment(millis))
}

/// Lets seconds pass, a tick each.
fn pass(run: &mut Run, clock: &mut u64, secs: u64) -> Vec<Fact> {
    let facts = run_to(run, *clock * 1000, (*clock + secs) * 1000);
    *clock += secs;
    facts
}

fn run_to(run: &mut Run, from: u64, to: u64) -> Vec<Fact> {
    let mut facts = Vec::new();
    let mut now = from;
    while now < to {
        now = (now + 100).min(to);
        facts.extend(tap_ms(run, Input::Tick, now));
    }
    facts
}

fn at(millis: u64) -> chrono::DateTime<chrono::FixedOffset> {
    let start: chrono::DateTime<chrono::FixedOffset> = SESSION_AT.parse().unwrap();
    start + Duration::from_millis(millis)
}

fn accepted(routine: &Routine) -> Event {
    let what = Fact::RoutineAccepted { routine: Box::new(routine.clone()) };
    Event { id: EventId::after(None, 0, [0; 10]), at: at(0), zone: None, what }
}

fn started(routine: &Routine) -> Event {
    let what = Fact::SessionStarted {
        routine: routine.id.clone(),
        version: routine.version,
        at_rest: Some(pain(1)),
        worked_today: None,
        plan: plan(routine),
    };
    Event { id: EventId::after(None, 1, [0; 10]), at: at(0), zone: None, what }
}

fn events(log: &[Event], facts: Vec<Fact>, millis: u64) -> Vec<Event> {
    let mut last = log.last().map(|event| event.id);
    let event = |what| {
        let id = EventId::after(last, 2 + millis, [0; 10]);
        last = Some(id);
        Event { id, at: at(millis), zone: None, what }
    };
    facts.into_iter().map(event).collect()
}
