//! The visit review: what was done of what was prescribed, what it cost, and what the client was told.
//!
//! A rest day that the rule ordered is not a miss, and a day that is not over yet owes nothing. Both are
//! common practice, no source; that definitions differ is (Bailey 2020, Br J Sports Med 54:326–331).

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::course::{Availability, Stop};
use super::event::{Ending, WorkedToday};
use super::history::{DoneSet, History, Session, Told};
use super::ladder::Foothold;
use super::pain::{HalfPoints, PainRating, median};
use super::routine::{Exercise, Routine};
use super::rule::Swelling;
use super::words::{Id, Words};

/// Sessions of something: done of prescribed, with those beyond the prescription apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Done {
    pub prescribed: u32,
    /// At most as many as prescribed.
    pub done: u32,
    pub extra: u32,
    /// Days on which the rule left it out.
    pub left_out: u32,
}

impl Done {
    /// Adds one day: so many times prescribed, so many done.
    fn add(&mut self, prescribed: u32, done: u32) {
        self.prescribed += prescribed;
        self.done += done.min(prescribed);
        self.extra += done.saturating_sub(prescribed);
    }
}

/// One training day of one exercise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayDone {
    pub day: NaiveDate,
    pub sets: u16,
    pub planned_sets: u16,
    pub at: Foothold,
    pub worst: Option<PainRating>,
    /// The worst at each site that was named, and where none was.
    pub sites: BTreeMap<Option<Words>, PainRating>,
    pub at_rest: Option<PainRating>,
    pub worked_today: Option<WorkedToday>,
    /// Sets stopped because of pain.
    pub stops: u16,
    /// The next morning's rating, where it was answered in time.
    pub morning: Option<PainRating>,
    pub swelling: Option<Swelling>,
    /// What the app told the client about this day, oldest first.
    pub told: Vec<Told>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct ExerciseReview {
    pub exercise: Exercise,
    pub done: Done,
    pub started_at: Foothold,
    pub now_at: Foothold,
    pub availability: Availability,
    pub ready_for_next_step: bool,
    pub days: Vec<DayDone>,
    /// Days on which it was prescribed and not done.
    pub missed: Vec<NaiveDate>,
    /// Days on which the rule left it out.
    pub left_out: Vec<NaiveDate>,
    pub worst: Option<PainRating>,
    /// The median of the mornings answered in the period.
    pub typical_morning: Option<HalfPoints>,
    /// The medians of the last seven mornings and of the seven before.
    pub weekly_mornings: (Option<HalfPoints>, Option<HalfPoints>),
    pub stops: u16,
}

/// Everything that a practitioner reads at a visit, for one period of a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Review {
    pub from: NaiveDate,
    pub to: NaiveDate,
    pub sessions: Done,
    /// Morning checks answered in time, of those owed for a training day.
    pub mornings: Done,
    pub exercises: Vec<ExerciseReview>,
}

impl Review {
    /// Reads a period that begins on `from`, to the last day noted; `None` for a log without a routine.
    pub fn of(history: &History, from: NaiveDate) -> Option<Self> {
        let routine = history.routine()?;
        let to = history.last_day()?.max(from);
        let exercises = routine.exercises().iter();
        let exercises = exercises
            .filter_map(|exercise| ExerciseReview::of(history, exercise, from, to))
            .collect();
        let mut sessions = Done::default();
        for day in days(from, to) {
            let done = history.sessions_on(day..=day).filter(|session| session.has_work());
            let done = u32::try_from(done.count()).unwrap_or(u32::MAX);
            let times = |routine: &Routine| {
                let of_day = routine.exercises().iter();
                of_day.map(|exercise| prescribed(history, exercise, day, done)).max().unwrap_or(0)
            };
            sessions.add(history.in_force(day).map_or(0, times), done);
        }
        Some(Self { from, to, sessions, mornings: mornings(history, from, to), exercises })
    }

    /// The day on which the current routine version was taken on: the last visit, as far as the log knows.
    pub fn since_last_visit(history: &History) -> Option<NaiveDate> {
        history.accepted.last().map(|accepted| accepted.at.date_naive())
    }

    /// The day from which a visit reads the log: the last visit or taking on of a version before the last
    /// day noted, else the day on which the first version was taken on. A visit closed today does not
    /// hide what it was about.
    pub fn begins(history: &History, visits: &[NaiveDate]) -> Option<NaiveDate> {
        let accepted = || history.accepted.iter().map(|accepted| accepted.at.date_naive());
        let last_day = history.last_day()?;
        let known = accepted().chain(visits.iter().copied()).filter(|day| *day < last_day);
        known.max().or_else(|| accepted().next()).max(accepted().next())
    }
}

fn days(from: NaiveDate, to: NaiveDate) -> impl Iterator<Item = NaiveDate> {
    let count = (to - from).num_days().clamp(0, 36_600) + 1;
    from.iter_days().take(usize::try_from(count).unwrap_or(0))
}

/// How often an exercise was prescribed on a day on which it was done `done` times. A day that is not
/// over, the day a version was taken on, and a day on which the rule left the exercise out ask for no
/// more than was done.
fn prescribed(history: &History, exercise: &Exercise, day: NaiveDate, done: u32) -> u32 {
    if !exercise.dose.days.contain(day.weekday()) {
        return 0;
    }
    let times = u32::from(exercise.dose.times_a_day.get());
    let is_open_ended = history.last_day() == Some(day) || history.accepted_any_on(day);
    if is_open_ended || left_out_by_rule(history, &exercise.id, day) {
        times.min(done)
    } else {
        times
    }
}

/// Whether any exercise was asked for on a day and not left out by the rule; never on a day that is
/// open-ended.
pub(super) fn is_prescribed(history: &History, day: NaiveDate) -> bool {
    let routine = history.in_force(day);
    routine.is_some_and(|routine| {
        routine.exercises().iter().any(|exercise| 0 < prescribed(history, exercise, day, 0))
    })
}

fn left_out_by_rule(history: &History, exercise: &Id, day: NaiveDate) -> bool {
    history.course(exercise).is_some_and(|course| course.was_left_out_on(day))
}

fn mornings(history: &History, from: NaiveDate, to: NaiveDate) -> Done {
    let mut mornings = Done::default();
    for day in days(from, to).filter(|day| Some(*day) != history.last_day()) {
        if history.sessions_on(day..=day).any(Session::has_work) {
            mornings.add(1, u32::from(history.morning_after(day).is_some()));
        }
    }
    mornings
}

impl ExerciseReview {
    fn of(history: &History, exercise: &Exercise, from: NaiveDate, to: NaiveDate) -> Option<Self> {
        let course = history.course(&exercise.id)?;
        let mut done = Done::default();
        let mut days_done = Vec::new();
        let (mut missed, mut left_out) = (Vec::new(), Vec::new());
        for day in days(from, to) {
            let was_done = |session: &&Session| session.sets_of(&exercise.id).next().is_some();
            let sessions: Vec<&Session> = history.sessions_on(day..=day).filter(was_done).collect();
            let times = u32::try_from(sessions.len()).unwrap_or(u32::MAX);
            let known = history.in_force(day).and_then(|routine| routine.exercise(&exercise.id));
            let asked = known.map_or(0, |exercise| prescribed(history, exercise, day, times));
            done.add(asked, times);
            if !sessions.is_empty() {
                days_done.push(DayDone::of(history, exercise, day, &sessions));
            } else if known.is_some() && left_out_by_rule(history, &exercise.id, day) {
                done.left_out += 1;
                left_out.push(day);
            } else if 0 < asked {
                missed.push(day);
            }
        }
        let judged_from =
            course.judged().iter().find(|judged| from <= judged.day).map(|judged| judged.from);
        let in_period = course.mornings().iter().filter(|morning| from <= morning.date);
        let ratings: Vec<PainRating> = in_period.map(|morning| morning.rating).collect();
        Some(Self {
            exercise: exercise.clone(),
            done,
            started_at: days_done
                .first()
                .map(|day| day.at)
                .or(judged_from)
                .unwrap_or(course.foothold()),
            now_at: course.foothold(),
            availability: course.availability(to),
            ready_for_next_step: course.ready_for_next_step(),
            worst: days_done.iter().filter_map(|day| day.worst).max(),
            typical_morning: median(&ratings),
            weekly_mornings: course.weekly_medians(to),
            stops: days_done.iter().map(|day| day.stops).sum(),
            days: days_done,
            missed,
            left_out,
        })
    }

    /// Why this exercise waits for an answer, if it does.
    pub const fn stop(&self) -> Option<Stop> {
        match self.availability {
            Availability::Stopped(stop) => Some(stop),
            Availability::Open | Availability::Held { .. } => None,
        }
    }
}

fn worst_by_site(sets: &[&DoneSet]) -> BTreeMap<Option<Words>, PainRating> {
    let mut sites: BTreeMap<Option<Words>, PainRating> = BTreeMap::new();
    for rated in sets.iter().filter_map(|set| set.rated.as_ref()) {
        let worst = sites.entry(rated.site.clone()).or_insert(rated.rating);
        *worst = rated.rating.max(*worst);
    }
    sites
}

impl DayDone {
    fn of(history: &History, exercise: &Exercise, day: NaiveDate, sessions: &[&Session]) -> Self {
        let sets: Vec<_> =
            sessions.iter().flat_map(|session| session.sets_of(&exercise.id)).collect();
        let planned: Vec<Foothold> = sessions
            .iter()
            .flat_map(|session| &session.plan)
            .filter(|planned| planned.exercise == exercise.id)
            .map(|planned| planned.from)
            .collect();
        let rounds =
            planned.iter().map(|from| from.dose(&exercise.dose, &exercise.ladder).rounds()).sum();
        let count = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
        let answer = history.morning_after(day);
        Self {
            day,
            sets: count(sets.len()),
            planned_sets: rounds,
            at: planned.first().copied().unwrap_or(Foothold::on(exercise.ladder.start())),
            worst: sets.iter().filter_map(|set| set.rated.as_ref()).map(|rated| rated.rating).max(),
            sites: worst_by_site(&sets),
            at_rest: sessions.first().and_then(|session| session.at_rest),
            worked_today: sessions.iter().filter_map(|session| session.worked_today).max(),
            stops: count(sets.iter().filter(|set| set.ending == Ending::Pain).count()),
            morning: answer.and_then(|answer| answer.ratings.get(&exercise.id)).copied(),
            swelling: answer.map(|answer| answer.swelling),
            told: history.told_about(&exercise.id, day).cloned().collect(),
        }
    }
}
