//! The visit review: what was done of what was prescribed, what it cost, and what the client was told.
//!
//! A rest day that the rule ordered is not a miss, and a day that is not over yet owes nothing. Both are
//! common practice, no source; that definitions differ is (Bailey 2020, Br J Sports Med 54:326–331).

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate};

use crate::domain::event_id::EventId;
use crate::domain::log::course::{Availability, Stop, training_day};
use crate::domain::log::event::{Ending, WorkedToday};
use crate::domain::log::history::{DoneSet, History, Session, Told};
use crate::domain::log::mornings::Mornings;
use crate::domain::log::rule::{Reason, Swelling};
use crate::domain::pain::{HalfPoints, PainRating, median};
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::plan::limits::{Light, Limits};
use crate::domain::plan::routine::{Exercise, Routine, Version};
use crate::domain::words::{Id, Words};

/// Sessions of something: done of prescribed, with those beyond the prescription apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Done {
    pub prescribed: u32,
    /// At most as many as prescribed.
    pub done: u32,
    pub extra: u32,
    /// Days on which it was due and the rule left it out.
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

/// What came of one exercise on one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Came {
    Done,
    Missed,
    /// It was due, and the rule left it out.
    LeftOut,
    /// No day for it, or one that is not over yet.
    NothingDue,
}

/// What a day asked of one exercise, and what came of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DayAsked {
    /// Sessions that were due.
    pub due: u32,
    pub done: u32,
    pub came: Came,
}

/// One training day of one exercise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayDone {
    pub day: NaiveDate,
    /// Sets done to their end.
    pub sets: u16,
    /// Sets that were begun and ended before.
    pub in_part: u16,
    pub planned_sets: u16,
    pub at: Foothold,
    /// The rungs on which sets were worked.
    pub rungs: BTreeSet<RungNumber>,
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
    /// What the app told the client about this day, oldest first; not what a warning sign of a later day
    /// said.
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
    /// Days on which it was due and the rule left it out.
    pub left_out: Vec<NaiveDate>,
    /// The light of each day that has one.
    pub lights: BTreeMap<NaiveDate, Light>,
    pub worst: Option<PainRating>,
    /// The median of the next mornings of the period's training days.
    pub typical_morning: Option<HalfPoints>,
    /// The worst of them.
    pub worst_morning: Option<PainRating>,
    /// The medians of the last seven mornings and of the seven before, as the rule reads them.
    pub weekly_mornings: (Option<HalfPoints>, Option<HalfPoints>),
    pub stops: u16,
}

/// Everything that a practitioner reads at a visit, for one period of a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Review {
    pub from: NaiveDate,
    pub to: NaiveDate,
    pub sessions: Done,
    /// Morning checks answered in time, of those owed for a training day; the extra ones came after days
    /// without training.
    pub mornings: Done,
    /// Days of the period on which a warning sign was ticked.
    pub warned: BTreeSet<NaiveDate>,
    pub exercises: Vec<ExerciseReview>,
}

impl Review {
    /// Reads a period that begins on `from`, to the last day noted; `None` for a log without a routine.
    pub fn of(history: &History, from: NaiveDate) -> Option<Self> {
        let routine = history.routine()?;
        let to = history.last_day()?.max(from);
        let (mornings, warned) = (Mornings::of(history), days_warned(history));
        let period = Period { history, from, to, mornings: &mornings, warned: &warned };
        let exercises = routine.exercises().iter();
        let exercises =
            exercises.filter_map(|exercise| ExerciseReview::of(&period, exercise)).collect();
        let mut sessions = Done::default();
        for day in days(from, to) {
            let done: Vec<&Session> =
                history.sessions_on(day..=day).filter(|session| session.has_work()).collect();
            let times = |routine: &Routine, done| {
                let of_day = routine.exercises().iter();
                of_day.map(|exercise| prescribed(history, exercise, day, done)).max().unwrap_or(0)
            };
            sessions.add(due(history, day, &done, times), number(done.len()));
        }
        let mornings = morning_checks(&period);
        let warned = warned.range(from..=to).copied().collect();
        Some(Self { from, to, sessions, mornings, warned, exercises })
    }

    /// The day from which a visit reads the log: the last visit or taking on of a version before the last
    /// day noted, else the day on which the first version was taken on. A visit closed today does not
    /// hide what it was about.
    pub fn begins(history: &History, visits: &[NaiveDate]) -> Option<NaiveDate> {
        let accepted = || history.accepted().iter().map(|accepted| training_day(accepted.at));
        let last_day = history.last_day()?;
        let known = accepted().chain(visits.iter().copied()).filter(|day| *day < last_day);
        known.max().or_else(|| accepted().next()).max(accepted().next())
    }
}

/// What all exercises of a review are read from.
struct Period<'a> {
    history: &'a History,
    from: NaiveDate,
    to: NaiveDate,
    mornings: &'a Mornings,
    warned: &'a BTreeSet<NaiveDate>,
}

fn number(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// The days from one to another, of a hundred years at most: a date that is out of this world must not keep
/// a device busy.
pub fn days(from: NaiveDate, to: NaiveDate) -> impl Iterator<Item = NaiveDate> {
    let count = (to - from).num_days().clamp(0, 36_600) + 1;
    from.iter_days().take(usize::try_from(count).unwrap_or(0))
}

/// The training days on which a warning sign was ticked and not taken off again.
pub fn days_warned(history: &History) -> BTreeSet<NaiveDate> {
    history.warnings().iter().map(|(at, _)| training_day(*at)).collect()
}

/// Whether a verdict about a day is only that of a warning sign which was ticked on another.
pub(super) fn is_of_another_days_sign(
    reasons: &[Reason],
    day: NaiveDate,
    warned: &BTreeSet<NaiveDate>,
) -> bool {
    reasons.contains(&Reason::WarningSign) && !warned.contains(&day)
}

/// How often an exercise was prescribed on a day on which it was done `done` times. A day that is not
/// over, and a day on which the rule left the exercise out, ask for no more than was done.
fn prescribed(history: &History, exercise: &Exercise, day: NaiveDate, done: u32) -> u32 {
    if !exercise.dose.days.contain(day.weekday()) {
        return 0;
    }
    let times = u32::from(exercise.dose.times_a_day.get());
    if history.last_day() == Some(day) || left_out_by_rule(history, &exercise.id, day) {
        times.min(done)
    } else {
        times
    }
}

/// How often something was due on a day: what the version in force asks for from the hour on which it was
/// taken on. What an earlier version asked for that day and had got by then stays due.
fn due(
    history: &History,
    day: NaiveDate,
    sessions: &[&Session],
    times: impl Fn(&Routine, u32) -> u32,
) -> u32 {
    let done_before =
        |until: EventId| number(sessions.iter().filter(|session| session.id < until).count());
    let in_force = history.in_force(day).map_or(0, |last| times(last, number(sessions.len())));
    if !history.accepted_any_on(day) {
        return in_force;
    }
    let revised = history.accepted().iter().enumerate();
    let revised = revised.filter(|(_, accepted)| training_day(accepted.at) == day);
    let earlier = revised.filter_map(|(place, accepted)| {
        let before = history.accepted().get(place.checked_sub(1)?)?;
        let done = done_before(accepted.id);
        Some(times(&before.routine, done).min(done))
    });
    earlier.max().unwrap_or(0).max(in_force)
}

/// The sessions of a day in which an exercise was done.
fn sessions_of<'a>(history: &'a History, exercise: &Id, day: NaiveDate) -> Vec<&'a Session> {
    let was_done = |session: &&Session| session.sets_of(exercise).next().is_some();
    history.sessions_on(day..=day).filter(was_done).collect()
}

/// What a day asked of an exercise, and what came of it.
pub fn asked(history: &History, exercise: &Id, day: NaiveDate) -> DayAsked {
    let sessions = sessions_of(history, exercise, day);
    let times = |routine: &Routine, done| {
        routine.exercise(exercise).map_or(0, |known| prescribed(history, known, day, done))
    };
    let (due, done) = (due(history, day, &sessions, times), number(sessions.len()));
    let known = history.in_force(day).and_then(|routine| routine.exercise(exercise));
    let is_a_day_for_it = known.is_some_and(|known| known.dose.days.contain(day.weekday()));
    let came = if 0 < done {
        Came::Done
    } else if is_a_day_for_it && left_out_by_rule(history, exercise, day) {
        Came::LeftOut
    } else if 0 < due {
        Came::Missed
    } else {
        Came::NothingDue
    };
    DayAsked { due, done, came }
}

/// Whether any exercise was asked for on a day and not left out by the rule; never on the day that is not
/// over.
pub(super) fn is_prescribed(history: &History, day: NaiveDate) -> bool {
    let routine = history.in_force(day);
    routine.is_some_and(|routine| {
        routine.exercises().iter().any(|exercise| 0 < prescribed(history, exercise, day, 0))
    })
}

fn left_out_by_rule(history: &History, exercise: &Id, day: NaiveDate) -> bool {
    history.course(exercise).is_some_and(|course| course.was_left_out_on(day))
}

/// An exercise as the version had it that a session followed.
pub fn as_followed<'a>(
    history: &'a History,
    session: &Session,
    exercise: &Id,
) -> Option<&'a Exercise> {
    history.accepted_for(session)?.routine.exercise(exercise)
}

/// The sets that a session was to have of an exercise, each side's counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PrescribedSets {
    /// As the dose of the rung has them.
    pub sets: u16,
    /// So many of them were taken off on the lowest rung.
    pub taken_off: u16,
}

/// What a session was to have of an exercise; `None` where it was not planned for it.
pub fn prescribed_sets(
    history: &History,
    session: &Session,
    exercise: &Id,
) -> Option<PrescribedSets> {
    let from = session.plan.iter().find(|planned| planned.exercise == *exercise)?.from;
    let known = as_followed(history, session, exercise)?;
    let sets = Foothold::on(from.rung).dose(&known.dose, &known.ladder).rounds();
    let left = from.dose(&known.dose, &known.ladder).rounds();
    Some(PrescribedSets { sets, taken_off: sets - left })
}

/// The limits that held for an exercise at a moment: those a verdict of that moment was read by.
pub fn limits_at<'a>(
    history: &'a History,
    exercise: &Id,
    at: DateTime<FixedOffset>,
) -> Option<&'a Limits> {
    let known = history.accepted().iter().rev().filter(|accepted| accepted.at <= at);
    let mut known = known.map(|accepted| &accepted.routine);
    known.find_map(|routine| Some(routine.limits_for(routine.exercise(exercise)?)))
}

/// The limits that an exercise had in a version of its routine.
pub fn limits_of_version<'a>(
    history: &'a History,
    exercise: &Id,
    version: Version,
) -> Option<&'a Limits> {
    let of_version = history.accepted().iter().rev().map(|accepted| &accepted.routine);
    let mut of_version = of_version.filter(|routine| routine.version == version);
    of_version.find_map(|routine| Some(routine.limits_for(routine.exercise(exercise)?)))
}

/// The morning checks that were owed for training days of the period, and those that came after others.
fn morning_checks(period: &Period) -> Done {
    let Period { history, from, to, mornings, .. } = *period;
    let mut done = Done::default();
    for day in days(from, to).filter(|day| Some(*day) != history.last_day()) {
        let has_trained = history.sessions_on(day..=day).any(Session::has_work);
        let is_answered = mornings.after(day).is_some_and(|answer| answer.in_time || !has_trained);
        done.add(u32::from(has_trained), u32::from(is_answered));
    }
    done
}

impl ExerciseReview {
    /// The days on which sets of the plan were left out or ended early.
    pub fn days_in_part(&self) -> usize {
        self.days.iter().filter(|day| day.sets < day.planned_sets).count()
    }

    fn of(period: &Period, exercise: &Exercise) -> Option<Self> {
        let Period { history, from, to, warned, .. } = *period;
        let course = history.course(&exercise.id)?;
        let mut done = Done::default();
        let mut days_done = Vec::new();
        let (mut missed, mut left_out) = (Vec::new(), Vec::new());
        for day in days(from, to) {
            let asked = asked(history, &exercise.id, day);
            done.add(asked.due, asked.done);
            match asked.came {
                Came::Done => days_done.push(DayDone::of(period, exercise, day)),
                Came::Missed => missed.push(day),
                Came::LeftOut => left_out.push(day),
                Came::NothingDue => {}
            }
        }
        done.left_out = number(left_out.len());
        let judged_from =
            course.judged().iter().find(|judged| from <= judged.day).map(|judged| judged.from);
        let next_mornings: Vec<PainRating> =
            days_done.iter().filter_map(|day| day.morning).collect();
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
            lights: days(from, to)
                .filter_map(|day| Some((day, light_of(history, &exercise.id, day, warned)?)))
                .collect(),
            worst: days_done.iter().filter_map(|day| day.worst).max(),
            typical_morning: median(&next_mornings),
            worst_morning: next_mornings.iter().max().copied(),
            weekly_mornings: course.weekly_medians(to),
            stops: days_done.iter().map(|day| day.stops).sum(),
            days: days_done,
            missed,
            left_out,
        })
    }

    /// Whether sets were worked on more than one rung.
    pub fn rung_changed(&self) -> bool {
        let rungs: BTreeSet<&RungNumber> = self.days.iter().flat_map(|day| &day.rungs).collect();
        1 < rungs.len()
    }

    /// Why this exercise waits for an answer, if it does.
    pub const fn stop(&self) -> Option<Stop> {
        match self.availability {
            Availability::Stopped(stop) => Some(stop),
            Availability::Open | Availability::Held { .. } => None,
        }
    }
}

/// The light of a day: the last that was told about it. A warning sign is a Hold of the day on which it was
/// ticked, and of no other.
pub fn light_of(
    history: &History,
    exercise: &Id,
    day: NaiveDate,
    warned: &BTreeSet<NaiveDate>,
) -> Option<Light> {
    let is_followed =
        || history.in_force(day).is_some_and(|routine| routine.exercise(exercise).is_some());
    if warned.contains(&day) && is_followed() {
        return Some(Light::Hold);
    }
    told_about(history, exercise, day, warned).last().map(|told| told.order.light())
}

/// What was told about a day, less what a warning sign of a later day said of it.
fn told_about<'a>(
    history: &'a History,
    exercise: &'a Id,
    day: NaiveDate,
    warned: &'a BTreeSet<NaiveDate>,
) -> impl Iterator<Item = &'a Told> {
    let told = history.told_about(exercise, day);
    told.filter(move |told| !is_of_another_days_sign(&told.reasons, day, warned))
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
    fn of(period: &Period, exercise: &Exercise, day: NaiveDate) -> Self {
        let Period { history, mornings, warned, .. } = *period;
        let id = &exercise.id;
        let sessions = sessions_of(history, id, day);
        let sets: Vec<_> = sessions.iter().flat_map(|session| session.sets_of(id)).collect();
        let plans = sessions.iter().flat_map(|session| &session.plan);
        let planned = plans.filter(|planned| planned.exercise == *id).map(|planned| planned.from);
        let prescribed =
            sessions.iter().filter_map(|session| prescribed_sets(history, session, id));
        let whole = sets.iter().filter(|set| set.is_whole()).count();
        let began = sets.first().map_or(exercise.ladder.start(), |set| set.rung);
        let count = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
        let answer = mornings.after(day);
        Self {
            day,
            sets: count(whole),
            in_part: count(sets.len() - whole),
            planned_sets: prescribed.map(|sets| sets.sets - sets.taken_off).sum(),
            at: planned.into_iter().next().unwrap_or(Foothold::on(began)),
            rungs: sets.iter().map(|set| set.rung).collect(),
            worst: sets.iter().filter_map(|set| set.rated.as_ref()).map(|rated| rated.rating).max(),
            sites: worst_by_site(&sets),
            at_rest: sessions.first().and_then(|session| session.at_rest),
            worked_today: sessions.iter().filter_map(|session| session.worked_today).max(),
            stops: count(sets.iter().filter(|set| set.ending == Ending::Pain).count()),
            morning: answer.and_then(|answer| answer.ratings.get(id)).copied(),
            swelling: answer.map(|answer| answer.swelling),
            told: told_about(history, id, day, warned).cloned().collect(),
        }
    }
}
