//! What is said aloud in a session: golden files of whole sessions of the routines that ship, and what
//! holds for every exercise of the library on every rung.
//!
//! `REWRITE_SPOKEN=1 cargo test --test spoken` writes the files anew, to be read aloud before they are kept.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;
use std::{env, fs};

use carryover::domain::event_id::EventId;
use carryover::domain::plan::dose::Sides;
use carryover::domain::plan::ladder::{Foothold, RungNumber};
use carryover::domain::plan::library::Library;
use carryover::domain::plan::limits::Limits;
use carryover::domain::plan::routine::{Exercise, Routine};
use carryover::domain::session::coach::{self, LinePlace, Says, SoFar};
use carryover::domain::session::runner::{Input, Manner, Moment, Rest, Run, Stage, Task};
use carryover::domain::session::timeline::Beat;
use carryover::exchange::file::{self, File};
use carryover::ui::text::{dates, spoken};
use support::{limits, rating};

/// How the client of a golden file rates each set in turn; one that is missing is given only some time
/// after the rest is over.
const SESSIONS: [(&str, &str, &[Option<i64>]); 3] = [
    (
        "demo",
        "The heel hurts in the first set on the stairs, and the second one is rated late.",
        &[Some(1), Some(1), Some(0), Some(1), Some(2), Some(0), Some(1), Some(4), None, Some(2)],
    ),
    ("heel-drop", "The second exercise hurts too much.", &[Some(1), Some(2), Some(2), Some(7)]),
    ("knee-days-5-12", "Nothing hurts.", &[Some(0); 15]),
];
/// How often the app looks at the clock.
const TICK: Duration = Duration::from_millis(100);
/// How long this client takes to tap once something was said.
const TAPS_AFTER: Duration = Duration::from_secs(1);
/// How long after the rest is over this client gives a rating that is missing.
const LATE: Duration = Duration::from_secs(12);

#[test]
fn every_session_is_spoken_as_in_its_golden_file() {
    for (name, about, ratings) in SESSIONS {
        let heard = session(&routine(name), ratings);
        let mut text = format!(
            "What is said in a whole session of {name}, with the time at which each line begins.\n{about}\n\n"
        );
        text.push_str(&print(&heard));
        let path = golden(name);
        if env::var_os("REWRITE_SPOKEN").is_some() {
            fs::write(&path, &text).unwrap();
        }
        let kept = fs::read_to_string(&path).unwrap_or_default();
        let first = kept.lines().zip(text.lines()).find(|(kept, said)| kept != said);
        assert!(kept == text, "{} differs, first in {first:?}", path.display());
    }
}

#[test]
fn nothing_is_said_longer_than_there_is_time_in_any_shipped_session() {
    for (name, _, ratings) in SESSIONS {
        in_time(&session(&routine(name), ratings), name);
    }
}

/// Each exercise of the library, on each of its rungs, without pain.
#[test]
fn nothing_is_said_longer_than_there_is_time_on_any_rung_of_the_library() {
    for exercise in entries() {
        for rung in 1..=exercise.ladder.top().get() {
            let mut exercise = exercise.clone();
            exercise.dose.sets = 2.try_into().unwrap();
            let from = Foothold::on(i64::from(rung).try_into().unwrap());
            let task = task(&exercise, limits(), from);
            let heard = follow(vec![task], &[Some(1), Some(1)]);
            in_time(&heard, &format!("{}, rung {rung}", exercise.id.as_str()));
        }
    }
}

#[test]
fn every_phase_is_named_as_it_begins() {
    for exercise in entries() {
        let from = Foothold::on(exercise.ladder.start());
        let task = task(&exercise, limits(), from);
        let heard = follow(vec![task], &[Some(1); 5]);
        let phases = heard.iter().filter(|one| one.begins_a_phase);
        for one in phases {
            assert!(one.words.is_some(), "{}: {one:?}", exercise.id.as_str());
        }
    }
}

#[test]
fn what_is_counted_is_what_the_screen_counts() {
    for (name, _, ratings) in SESSIONS {
        for one in session(&routine(name), ratings) {
            if let Some(counted) = one.counted {
                assert_eq!(Some(counted), one.on_the_screen, "{name}: {one:?}");
            }
        }
    }
}

#[test]
fn a_phase_that_goes_sideways_is_not_lifted() {
    let demo = routine("demo");
    let heard = session(&demo, SESSIONS[0].2);
    let said = |words: &str| heard.iter().any(|one| one.words.as_deref() == Some(words));
    assert!(said("Out to the side."));
    assert!(said("Back slowly."));
    assert!(said("Lower, left foot only."));
    assert!(said("Shift."), "one second leaves time for one word");
}

/// What follows when a set is taken up after a pause: the phase, and what is left of it.
#[test]
fn after_a_pause_the_phase_is_named_again() {
    let demo = routine("demo");
    let mut run = begin(tasks(&demo));
    let at = |secs: u64| Moment(Duration::from_secs(secs));
    run.step(Input::Start, at(0));
    run.step(Input::Tick, at(8));
    run.step(Input::Pause, at(18));
    let paused = coach::line(&run, SoFar::Well, at(20), None).unwrap();
    assert_eq!(spoken::words(&paused).unwrap(), "Paused. Tap Go on when you are ready.");
    let said = Some(paused.place);
    run.step(Input::Resume, at(30));
    let line = coach::line(&run, SoFar::Well, at(30), said).unwrap();
    assert_eq!(spoken::words(&line).unwrap(), "Stay, heels up. 20 seconds.");
    assert!(
        coach::line(&run, SoFar::Well, at(30), Some(line.place))
            .is_none_or(|next| next.place == line.place)
    );
}

/// Whoever does not look must know which side works: before each set, and where one is taken up again.
#[test]
fn the_side_is_told_before_every_set_and_after_a_pause() {
    let demo = routine("demo");
    let band = demo.exercises().iter().find(|one| one.dose.sides == Sides::InTurn).unwrap();
    let from = Foothold::on(band.ladder.start());
    let heard = follow(vec![task(band, limits(), from)], &[Some(0), Some(0)]);
    let begins_a_set = |words: &&str| words.contains(" 2 of 2,") || words.contains("1 of 2,");
    let told: Vec<&str> = heard.iter().filter_map(|one| one.words.as_deref()).collect();
    let told: Vec<&str> = told.into_iter().filter(begins_a_set).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.iter().all(|words| words.contains("left side")), "{told:?}");

    let mut run = begin(vec![task(band, limits(), from)]);
    let at = |secs: u64| Moment(Duration::from_secs(secs));
    run.step(Input::Start, at(0));
    run.step(Input::Tick, at(9));
    run.step(Input::Pause, at(9));
    let said = coach::line(&run, SoFar::Well, at(9), None).map(|line| line.place);
    run.step(Input::Resume, at(20));
    let line = coach::line(&run, SoFar::Well, at(20), said).unwrap();
    assert_eq!(spoken::words(&line).unwrap(), "Set 1 of 2, left side. Get ready.");
}

/// What the screen warns of before an exercise is heard, too.
#[test]
fn an_exercise_after_one_that_hurt_says_so() {
    let run = begin(tasks(&routine("demo")));
    let said = |so_far| {
        let line = coach::line(&run, so_far, Moment(Duration::ZERO), None).unwrap();
        spoken::words(&line).unwrap()
    };
    assert!(said(SoFar::OneHurt).contains("An exercise before this one hurt too much."));
    assert!(!said(SoFar::Well).contains("hurt too much"));
}

/// One line, or the place where there was no time for one.
#[derive(Debug)]
struct Heard {
    at: Duration,
    words: Option<String>,
    room: Option<Duration>,
    begins_a_phase: bool,
    begins_a_line: bool,
    counted: Option<u64>,
    on_the_screen: Option<u64>,
}

fn session(routine: &Routine, ratings: &[Option<i64>]) -> Vec<Heard> {
    follow(tasks(routine), ratings)
}

fn tasks(routine: &Routine) -> Vec<Task> {
    let planned = |exercise: &Exercise| {
        let from = Foothold::on(exercise.ladder.start());
        task(exercise, routine.limits_for(exercise).clone(), from)
    };
    routine.exercises().iter().map(planned).collect()
}

/// An exercise that may be eased by one rung within the day.
fn task(exercise: &Exercise, limits: Limits, from: Foothold) -> Task {
    let least = RungNumber::nearest(from.rung.get() - 1);
    Task { exercise: exercise.clone(), limits, from, least }
}

fn begin(tasks: Vec<Task>) -> Run {
    let session = EventId::after(None, 0, [0; 10]);
    Run::begin(session, tasks, Manner::default())
}

/// Follows a session to its end as its client hears it: taps come once what was said is over.
fn follow(tasks: Vec<Task>, ratings: &[Option<i64>]) -> Vec<Heard> {
    let mut run = begin(tasks);
    let mut ratings = ratings.iter();
    let mut heard = Vec::new();
    let mut said: Option<LinePlace> = None;
    let mut now = Duration::ZERO;
    let mut silent_from = Duration::ZERO;
    let mut rep = None;
    let mut over_since = None;
    let mut asked = false;
    let mut late = false;
    loop {
        run.step(Input::Tick, Moment(now));
        if let Some(line) = coach::line(&run, SoFar::Well, Moment(now), said)
            .filter(|line| said != Some(line.place))
        {
            let words = spoken::words(&line);
            let counts = matches!(line.says, Says::Count { .. } | Says::HalfWay { .. });
            let this_rep = rep_of(&run);
            let on_the_screen = match run.stage() {
                Stage::Set { clock, .. } | Stage::AfterSet { rest: Rest::On(clock), .. } => {
                    Some(dates::whole_secs_left(clock.left(Moment(now))))
                }
                Stage::AfterSet { .. } | Stage::Briefing | Stage::Finished => None,
            };
            heard.push(Heard {
                at: now,
                room: line.room,
                begins_a_phase: matches!(line.says, Says::Phase(_)),
                begins_a_line: !counts && (this_rep.is_none() || this_rep != rep),
                counted: if let Says::Count { left, .. } = line.says { Some(left) } else { None },
                on_the_screen,
                words: words.clone(),
            });
            rep = this_rep;
            said = Some(line.place);
            if let Some(words) = words {
                silent_from = now + spoken::length(&words);
            }
            continue;
        }
        let is_free = silent_from + TAPS_AFTER <= now;
        match run.stage() {
            Stage::Finished => return heard,
            Stage::Briefing if is_free => {
                run.step(Input::Start, Moment(now));
            }
            Stage::AfterSet { rating: None, rest, .. } => {
                if !asked {
                    asked = true;
                    late = false;
                    over_since = None;
                }
                if *rest == Rest::Over && over_since.is_none() {
                    over_since = Some(now);
                }
                let is_late = over_since.is_some_and(|since| since + LATE <= now);
                if is_free && (!late || is_late) {
                    let given = if late { Some(2) } else { *ratings.next().unwrap_or(&Some(0)) };
                    match given {
                        Some(points) => {
                            let given = Input::Rate { rating: rating(points), site: None };
                            run.step(given, Moment(now));
                            asked = false;
                        }
                        None => late = true,
                    }
                }
            }
            Stage::AfterSet { rating: Some(_), rest, .. }
                if is_free && (*rest == Rest::Over || !run.another_set_follows()) =>
            {
                run.step(Input::GoOn, Moment(now));
            }
            Stage::Briefing | Stage::AfterSet { .. } | Stage::Set { .. } => {}
        }
        now += TICK;
    }
}

/// The set, side and rep under way.
fn rep_of(run: &Run) -> Option<(u16, Option<bool>, u16, bool)> {
    let Stage::Set { number, timeline, segment, .. } = run.stage() else { return None };
    let segment = &timeline.segments()[*segment];
    let is_work = matches!(segment.beat, Beat::Work { .. });
    let is_left = segment.side.map(|side| side == carryover::domain::plan::dose::Side::Left);
    Some((*number, is_left, segment.rep, is_work))
}

/// No line is longer than its time, and none begins while another is still being said.
#[track_caller]
fn in_time(heard: &[Heard], of: &str) {
    let mut silent_from = Duration::ZERO;
    for one in heard {
        let Some(words) = &one.words else { continue };
        let length = spoken::length(words);
        assert!(one.room.is_none_or(|room| length <= room), "{of}: {one:?} takes {length:?}");
        assert!(silent_from <= one.at, "{of}: {one:?} begins before {silent_from:?}");
        silent_from = one.at + length;
    }
}

fn print(heard: &[Heard]) -> String {
    let mut text = String::new();
    for one in heard {
        let Some(words) = &one.words else { continue };
        if one.begins_a_line {
            let secs = one.at.as_secs();
            if !text.is_empty() {
                text.push('\n');
            }
            write!(text, "{:>2}:{:02}  {words}", secs / 60, secs % 60).unwrap();
        } else {
            write!(text, " {words}").unwrap();
        }
    }
    text.push('\n');
    text
}

fn entries() -> Vec<Exercise> {
    let library = Library::parse(&text("public/library.json")).unwrap();
    library.entries().map(|entry| entry.exercise.clone()).collect()
}

fn routine(name: &str) -> Routine {
    match file::parse(&text(&format!("public/routines/{name}.json"))) {
        Ok(File::Routine(file)) => file.routine,
        other => panic!("{name}: {other:?}"),
    }
}

fn golden(name: &str) -> PathBuf {
    in_repository(&format!("tests/fixtures/spoken/{name}.txt"))
}

fn text(path: &str) -> String {
    fs::read_to_string(in_repository(path)).unwrap()
}

fn in_repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
