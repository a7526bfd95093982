//! What the log says happened: events folded into sessions, mornings, notes, and a course for each exercise.
//!
//! The fold is a pure function of the set of events: any order in which they were gathered gives the
//! same history.

pub mod brought_forward;
mod telling;

use std::borrow::Cow;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::{Bound, RangeInclusive};
use std::sync::Arc;

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, Timelike};
use serde::{Deserialize, Serialize};

use super::course::{
    Answers, Availability, Course, GoesOn, Judged, MORNING_FROM, MorningGiven, VersionTaken,
    training_day,
};
use super::event::{Ending, Event, Fact, Lifts, Planned, SetRef, WorkedToday};
use super::rule::{Order, RatedSet, Reason, Stopped, Swelling, Verdict};
use super::warning::WarningSign;
use crate::domain::event_id::EventId;
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::Dose;
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::plan::limits::Zone;
use crate::domain::plan::routine::{AnchorChange, Answer, Exercise, Routine, Version};
use crate::domain::words::{Id, Words};

/// The edition of the rule that `docs/clinical-rule.md` describes.
pub const EDITION: u8 = 2;

/// A longer gap between two entries is a wrong clock, not days left out, in days.
const LONGEST_GAP: i64 = 3660;

/// A routine version and when the client took it on.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct Accepted {
    pub id: EventId,
    pub at: DateTime<FixedOffset>,
    pub routine: Routine,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rated {
    /// The event that gave the rating, for a correction to name.
    pub by: EventId,
    pub rating: PainRating,
    pub site: Option<Words>,
}

/// One set as it was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DoneSet {
    pub id: EventId,
    pub exercise: Id,
    pub number: u16,
    pub ended_at: DateTime<FixedOffset>,
    pub rung: RungNumber,
    pub reps: u16,
    pub work_secs: u32,
    pub ending: Ending,
    pub rated: Option<Rated>,
}

impl DoneSet {
    /// Whether it was done to its end.
    pub fn is_whole(&self) -> bool {
        self.ending == Ending::Complete
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    pub id: EventId,
    pub started_at: DateTime<FixedOffset>,
    pub routine: Id,
    pub version: Version,
    pub at_rest: Option<PainRating>,
    pub worked_today: Option<WorkedToday>,
    pub plan: Vec<Planned>,
    pub sets: Vec<DoneSet>,
    pub left_out: Vec<Id>,
    pub ended_at: Option<DateTime<FixedOffset>>,
}

impl Session {
    /// The training day on which the session started: the local day from 04:00 to 04:00.
    pub fn day(&self) -> NaiveDate {
        training_day(self.started_at)
    }

    /// The sets that were worked of an exercise.
    pub fn sets_of<'a>(&'a self, exercise: &'a Id) -> impl Iterator<Item = &'a DoneSet> {
        let worked = |set: &&DoneSet| set.ending != Ending::LeftOut;
        self.sets.iter().filter(move |set| set.exercise == *exercise).filter(worked)
    }

    /// Whether any set was worked.
    pub fn has_work(&self) -> bool {
        self.sets.iter().any(|set| set.ending != Ending::LeftOut)
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct MorningAnswer {
    pub id: EventId,
    pub at: DateTime<FixedOffset>,
    pub after: NaiveDate,
    pub ratings: BTreeMap<Id, PainRating>,
    pub swelling: Swelling,
}

impl MorningAnswer {
    /// Whether it was given on the first calendar day after the training day, from 04:00 on.
    pub fn in_time(&self) -> bool {
        self.after.succ_opt() == Some(self.at.date_naive()) && MORNING_FROM <= self.at.hour()
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    pub id: EventId,
    pub at: DateTime<FixedOffset>,
    pub text: Words,
}

/// What the app told the client about one training day.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Told {
    pub at: DateTime<FixedOffset>,
    pub exercise: Id,
    pub day: NaiveDate,
    pub order: Order,
    pub reasons: Vec<Reason>,
    pub next: Foothold,
}

/// What is still known of the part of a log that was brought forward.
#[derive(Clone, Debug, Default, Deserialize, Serialize)]
struct Earlier {
    first_accepted: Option<DateTime<FixedOffset>>,
    first_trained: Option<NaiveDate>,
    has_answers: bool,
    /// The highest version of each routine that was ever taken on.
    highest: BTreeMap<Id, Version>,
    usual_said: Option<PainRating>,
    edition: u8,
}

/// Everything folded from a log; from a part of it, on top of what the rest [brings forward].
///
/// [brings forward]: brought_forward
#[derive(Clone, Debug, Default)]
pub struct History {
    accepted: Vec<Accepted>,
    sessions: Vec<Session>,
    mornings: Vec<MorningAnswer>,
    warnings: Vec<(DateTime<FixedOffset>, Vec<WarningSign>)>,
    unticked: Vec<(DateTime<FixedOffset>, WarningSign)>,
    told_to_go_on: Vec<DateTime<FixedOffset>>,
    notes: Vec<Note>,
    told: Vec<Told>,

    /// The latest calendar day on which anything was noted.
    last_day: Option<NaiveDate>,
    courses: BTreeMap<Id, Course>,
    places: Places,
    /// How many events were folded, and the last of them.
    folded: (usize, Option<EventId>),
    slips: Slips,
    /// The highest version of each routine that this log ever took on.
    highest: BTreeMap<Id, Version>,
    /// What the client, or the practitioner since, said of usual mornings under the routine followed.
    usual_said: Option<PainRating>,
    /// The edition of the rule that the client was told of.
    edition: u8,
    earlier: Earlier,
    /// What was brought forward, before anything was folded on top of it.
    base: Option<Arc<History>>,
}

/// What a later event of the log takes back.
#[derive(Clone, Debug, Default)]
pub struct Slips {
    /// The ticks that were taken off again.
    pub signs: BTreeSet<(EventId, WarningSign)>,
    /// The ends of sets that were stopped because of pain, and went on.
    stops: BTreeSet<EventId>,
}

impl Slips {
    /// Reads events in the order of their ids.
    pub fn of<'a>(events: impl Iterator<Item = &'a Event>) -> Self {
        let mut slips = Self::default();
        let mut stops = BTreeMap::new();
        for event in events {
            if let Fact::WarningUnticked { of, sign } = &event.what {
                slips.signs.insert((*of, *sign));
            } else if let Fact::SetEnded { set, ending: Ending::Pain, .. } = &event.what {
                stops.insert(set, event.id);
            } else if let Fact::StopTakenBack { set } = &event.what {
                slips.stops.extend(stops.remove(set));
            }
        }
        slips
    }

    const fn are_told_by(event: &Event) -> bool {
        matches!(event.what, Fact::WarningUnticked { .. } | Fact::StopTakenBack { .. })
    }
}

/// Where in the lists of a history something stands, so that reading many days looks at each fact once.
#[derive(Clone, Debug, Default)]
struct Places {
    /// The sessions of each training day.
    sessions: BTreeMap<NaiveDate, Vec<usize>>,
    /// The first answer in time to each training day.
    mornings: BTreeMap<NaiveDate, usize>,
    /// What was told about each training day.
    told: BTreeMap<NaiveDate, Vec<usize>>,
    /// The version in force from the end of a day on, until the next of these days.
    in_force: BTreeMap<NaiveDate, usize>,
    /// The latest taking on of each version of each routine.
    versions: BTreeMap<Id, BTreeMap<Version, usize>>,
    accepted_at: BTreeSet<DateTime<FixedOffset>>,
    accepted_on: BTreeSet<NaiveDate>,
    /// The sessions in which each exercise was done, by day, without those that come after one of the
    /// same or a later day.
    done: BTreeMap<Id, BTreeMap<NaiveDate, usize>>,
}

impl Places {
    fn add_accepted(&mut self, accepted: &Accepted, place: usize) {
        let day = training_day(accepted.at);
        // A version that was taken on later holds, even on a day that a wrong clock calls earlier.
        self.in_force.split_off(&day);
        self.in_force.insert(day, place);
        let versions = self.versions.entry(accepted.routine.id.clone()).or_default();
        versions.insert(accepted.routine.version, place);
        self.accepted_at.insert(accepted.at);
        self.accepted_on.insert(day);
    }

    fn add_done(&mut self, exercise: &Id, day: NaiveDate, place: usize) {
        let done = self.done.entry(exercise.clone()).or_default();
        if done.range(day..).next().is_some_and(|(_, earlier)| *earlier <= place) {
            return;
        }
        let behind = done.range(..=day).rev().take_while(|(_, other)| place <= **other);
        let behind: Vec<NaiveDate> = behind.map(|(day, _)| *day).collect();
        for day in behind {
            done.remove(&day);
        }
        done.insert(day, place);
    }
}

/// What the last mornings tell that a light does not say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MorningsTell {
    /// Three in a row were each worse than the one before.
    WorseInARow,
    /// The last two training days were of middle pain, and their mornings never answered.
    Unanswered,
}

impl MorningsTell {
    fn of(course: &Course, today: NaiveDate) -> Option<Self> {
        if course.is_worse_in_a_row(today) {
            return Some(Self::WorseInARow);
        }
        course.middle_days_unanswered(today).map(|_days| Self::Unanswered)
    }
}

/// One exercise on Today's page.
#[derive(Clone, Debug, PartialEq)]
pub struct Today {
    pub exercise: Exercise,
    pub foothold: Foothold,
    pub dose: Dose,
    pub availability: Availability,
    pub due: Due,
    /// The last verdict, while it stands.
    pub last: Option<Judged>,
    /// Whether no verdict was ever given on it, under any version.
    pub is_new: bool,
    pub ready_for_next_step: bool,
    /// The rung below which no set is eased on this day.
    pub least: RungNumber,
    /// How long ago the last training day was, where it is long enough for a break.
    pub days_away: Option<i64>,
    /// Whether it starts lower for that.
    pub starts_lower: bool,
    pub mornings_tell: Option<MorningsTell>,
    /// The days of this week on which pain was in the high zone in the morning, or at rest before a session.
    pub high_days: Vec<NaiveDate>,
}

/// Whether the prescription asks for an exercise on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Due {
    /// So many times today, of which so many are done.
    Today { times: u16, done: u16 },
    /// No day for this exercise.
    RestDay,
}

impl Today {
    pub fn can_be_done(&self) -> bool {
        self.availability == Availability::Open && matches!(self.due, Due::Today { .. })
    }

    pub fn is_left_to_do(&self) -> bool {
        self.availability == Availability::Open
            && matches!(self.due, Due::Today { times, done } if done < times)
    }
}

/// How a routine compares with the one that the client follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Newness {
    /// A newer version, or another routine.
    Newer,
    Same,
    Older,
    /// Another routine than the one followed, that was followed before, in no newer version than then. It
    /// can be taken on again, and answers nothing.
    Again,
}

/// A morning check that is owed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwedMorning {
    /// The training day it answers.
    pub after: NaiveDate,
    pub exercises: Vec<Id>,
}

impl History {
    /// Folds a log. Events are taken in the order of their ids, each id once.
    pub fn fold<'a>(events: impl IntoIterator<Item = &'a Event>) -> Self {
        Self::default().afresh(events)
    }

    /// Folds a log event by event. Each is shown to `next` with what the log has come to before it, and taken
    /// as that gives it back, or not at all. What a later event takes back as a slip was never there.
    pub fn follow<'a>(
        events: impl IntoIterator<Item = &'a Event>,
        mut next: impl FnMut(&Self, &'a Event) -> Option<Cow<'a, Event>>,
    ) -> Self {
        let by_id: BTreeMap<EventId, &Event> =
            events.into_iter().map(|event| (event.id, event)).collect();
        let slips = Slips::of(by_id.values().copied());
        let mut history = Self { slips, ..Self::default() };
        for event in by_id.into_values() {
            if let Some(event) = next(&history, event) {
                history.take_all(std::iter::once(&*event));
            }
        }
        history
    }

    /// Each version that was taken on, in the order of taking on.
    pub fn accepted(&self) -> &[Accepted] {
        &self.accepted
    }

    pub fn sessions(&self) -> &[Session] {
        &self.sessions
    }

    pub fn mornings(&self) -> &[MorningAnswer] {
        &self.mornings
    }

    /// The signs that were ticked and not taken off again, each with when it was ticked.
    pub fn warnings(&self) -> &[(DateTime<FixedOffset>, Vec<WarningSign>)] {
        &self.warnings
    }

    /// Signs that were ticked by a slip, and taken off again.
    pub fn unticked(&self) -> &[(DateTime<FixedOffset>, WarningSign)] {
        &self.unticked
    }

    pub fn told_to_go_on(&self) -> &[DateTime<FixedOffset>] {
        &self.told_to_go_on
    }

    pub fn notes(&self) -> &[Note] {
        &self.notes
    }

    /// Each verdict as it was shown.
    pub fn told(&self) -> &[Told] {
        &self.told
    }

    /// Folds events on top of what was brought forward, if anything was.
    fn afresh<'a>(&self, events: impl IntoIterator<Item = &'a Event>) -> Self {
        let mut by_id = BTreeMap::new();
        for event in events {
            by_id.insert(event.id, event);
        }
        let mut history = self.base.as_deref().cloned().unwrap_or_default();
        history.base.clone_from(&self.base);
        history.slips = Slips::of(by_id.values().copied());
        history.take_all(by_id.into_values());
        history
    }

    /// Folds what a log has beyond the events folded so far. `events` is the whole log in the order of its
    /// ids, each id once, or all of it that comes after what was brought forward. The result is that of
    /// [`fold`](Self::fold): where an earlier event came in between, or something was taken back, all is
    /// folded afresh.
    pub fn catch_up<'a>(&mut self, events: impl Iterator<Item = &'a Event> + Clone) {
        let (folded, last) = self.folded;
        let seen = folded.checked_sub(1).and_then(|index| events.clone().nth(index));
        let later = events.clone().skip(folded);
        if seen.map(|event| event.id) == last && !later.clone().any(Slips::are_told_by) {
            self.take_all(later);
        } else {
            *self = self.afresh(events);
        }
    }

    fn take_all<'a>(&mut self, events: impl Iterator<Item = &'a Event>) {
        for event in events {
            self.take(event);
            self.folded = (self.folded.0 + 1, Some(event.id));
        }
    }

    fn take(&mut self, event: &Event) {
        let at = event.at;
        let today = training_day(at);
        self.pass_days_until(today);
        match &event.what {
            Fact::RoutineAccepted { routine } => self.accept(event.id, at, routine),
            Fact::SessionStarted { routine, version, at_rest, worked_today, plan } => {
                let session = Session {
                    id: event.id,
                    started_at: at,
                    routine: routine.clone(),
                    version: *version,
                    at_rest: *at_rest,
                    worked_today: *worked_today,
                    plan: plan.clone(),
                    sets: Vec::new(),
                    left_out: Vec::new(),
                    ended_at: None,
                };
                self.places.sessions.entry(session.day()).or_default().push(self.sessions.len());
                self.sessions.push(session);
            }
            Fact::SetEnded { .. } if self.slips.stops.contains(&event.id) => {}
            Fact::SetEnded { set, rung, reps, work_secs, ending } => {
                let done = DoneSet {
                    id: event.id,
                    exercise: set.exercise.clone(),
                    number: set.number,
                    ended_at: at,
                    rung: *rung,
                    reps: *reps,
                    work_secs: *work_secs,
                    ending: *ending,
                    rated: None,
                };
                self.set_ended(set, done);
            }
            Fact::SetRated { set, rating, site } => {
                let rated = Rated { by: event.id, rating: *rating, site: site.clone() };
                self.set_rated(set, rated);
            }
            Fact::ExerciseLeftOut { session, exercise } => {
                if let Some(session) = self.session_mut(*session) {
                    session.left_out.push(exercise.clone());
                }
            }
            Fact::SessionEnded { session } => {
                if let Some(session) = self.session_mut(*session) {
                    session.ended_at = Some(at);
                }
            }
            Fact::MorningAnswered { after, ratings, swelling } => {
                let (ratings, swelling) = (ratings.clone(), *swelling);
                self.answered(MorningAnswer { id: event.id, at, after: *after, ratings, swelling });
            }
            Fact::WarningTicked { signs } => self.ticked(event.id, at, signs),
            Fact::UsualMorning { rating } => {
                self.usual_said = Some(*rating);
                for course in self.courses.values_mut() {
                    course.change_anchor(AnchorChange::Set { rating: *rating });
                }
            }
            Fact::ToldToGoOn => {
                self.told_to_go_on.push(at);
                self.go_ahead(&Lifts::All, today);
                self.go_ahead(&Lifts::WarningSign, today);
            }
            Fact::GoAhead { lifts } => {
                self.told_to_go_on.push(at);
                self.go_ahead(lifts, today);
            }
            Fact::RuleExplained { edition } => self.edition = self.edition.max(*edition),
            Fact::Note { text, .. } => {
                self.notes.push(Note { id: event.id, at, text: text.clone() });
            }
            Fact::Corrected { of, exercise, rating, site } => {
                self.correct(*of, exercise.as_ref(), *rating, site.as_ref());
            }
            Fact::SwellingCorrected { of, swelling } => {
                if let Some(place) = self.mornings.iter().rposition(|answer| answer.id == *of) {
                    self.mornings[place].swelling = *swelling;
                    self.tell_morning(place, true);
                }
            }
            // A sign that was taken off again was left out where it was ticked.
            Fact::HandedBack | Fact::WarningUnticked { .. } | Fact::StopTakenBack { .. } => {}
            Fact::VerdictGiven { exercise, day, order, reasons, next } => {
                self.was_told(Told {
                    at,
                    exercise: exercise.clone(),
                    day: *day,
                    order: *order,
                    reasons: reasons.clone(),
                    next: *next,
                });
            }
        }
    }

    /// A verdict was told. One of an earlier edition stays as it was told, whatever this one would say.
    fn was_told(&mut self, told: Told) {
        if self.edition < EDITION
            && let Some(course) = self.courses.get_mut(&told.exercise)
        {
            let verdict = Verdict { order: told.order, reasons: told.reasons.clone() };
            course.was_told(told.day, verdict, told.next);
        }
        self.add_told(told);
    }

    fn answered(&mut self, answer: MorningAnswer) {
        if answer.in_time() {
            self.places.mornings.entry(answer.after).or_insert(self.mornings.len());
        }
        self.mornings.push(answer);
        self.tell_morning(self.mornings.len() - 1, false);
    }

    /// Signs were ticked; those that a later event takes off again were slips.
    fn ticked(&mut self, event: EventId, at: DateTime<FixedOffset>, signs: &[WarningSign]) {
        let (slips, standing): (Vec<WarningSign>, Vec<WarningSign>) =
            signs.iter().partition(|sign| self.slips.signs.contains(&(event, **sign)));
        self.unticked.extend(slips.into_iter().map(|sign| (at, sign)));
        if standing.is_empty() {
            return;
        }
        self.warnings.push((at, standing));
        // Nothing is gone on with after a sign.
        if let Some(open) = self.sessions.last_mut() {
            open.ended_at.get_or_insert(at);
        }
        for course in self.courses.values_mut() {
            course.warning_ticked(training_day(at));
        }
    }

    fn go_ahead(&mut self, lifts: &Lifts, today: NaiveDate) {
        for (id, course) in &mut self.courses {
            match lifts {
                Lifts::WarningSign => course.sign_was_looked_at(),
                Lifts::Exercise(named) if named == id => course.go_ahead(today),
                Lifts::Exercise(_) => {}
                Lifts::All => course.go_ahead_if_stopped(today),
            }
        }
    }

    /// Puts right what was answered in the event `of`. What was done since stays as it was done.
    fn correct(
        &mut self,
        of: EventId,
        exercise: Option<&Id>,
        rating: PainRating,
        site: Option<&Words>,
    ) {
        let morning = self.mornings.iter().rposition(|answer| answer.id == of);
        if let (Some(place), Some(exercise)) = (morning, exercise) {
            if let Some(known) = self.mornings[place].ratings.get_mut(exercise) {
                *known = rating;
                self.tell_morning(place, true);
            }
            return;
        }
        let is_it = |done: &&mut DoneSet| done.rated.as_ref().is_some_and(|rated| rated.by == of);
        for session in self.sessions.iter_mut().rev() {
            let (id, day) = (session.id, session.day());
            let Some(done) = session.sets.iter_mut().find(is_it) else { continue };
            done.rated = Some(Rated { by: of, rating, site: site.cloned() });
            if let Some(course) = self.courses.get_mut(&done.exercise) {
                let rated = RatedSet { rating, site: site.cloned() };
                course.set_rated(day, (id, done.number), rated, true);
            }
            return;
        }
    }

    /// Tells every course what all answers of one morning come to. Before 04:00 it is no morning yet.
    fn tell_morning(&mut self, place: usize, corrected: bool) {
        let MorningAnswer { at, after, .. } = self.mornings[place];
        if at.hour() < MORNING_FROM {
            return;
        }
        let date = at.date_naive();
        let of_morning: Vec<&MorningAnswer> = self
            .mornings
            .iter()
            .filter(|answer| answer.at.date_naive() == date && MORNING_FROM <= answer.at.hour())
            .collect();
        let swelling = of_morning.iter().map(|answer| answer.swelling).max();
        for (id, course) in &mut self.courses {
            let worst = |in_time: bool| {
                let of_kind = of_morning.iter().filter(|answer| answer.in_time() == in_time);
                of_kind.filter_map(|answer| answer.ratings.get(id)).max().copied()
            };
            let given = MorningGiven {
                in_time: worst(true),
                late: worst(false),
                swelling: swelling.unwrap_or(Swelling::NoMore),
            };
            course.morning_answered(date, given, after, corrected);
        }
    }

    fn add_told(&mut self, told: Told) {
        self.places.told.entry(told.day).or_default().push(self.told.len());
        self.told.push(told);
    }

    /// Lets the days before `date` end for every course.
    fn pass_days_until(&mut self, date: NaiveDate) {
        let Some(last) = self.last_day.replace(self.last_day.map_or(date, |last| last.max(date)))
        else {
            return;
        };
        let days = (date - last).num_days();
        if days <= LONGEST_GAP {
            for day in last.iter_days().take(usize::try_from(days).unwrap_or(0)) {
                self.courses.values_mut().for_each(|course| course.end_of_day(day));
            }
        }
    }

    /// Takes on a routine. One that is followed in a newer version already changes nothing.
    fn accept(&mut self, id: EventId, at: DateTime<FixedOffset>, routine: &Routine) {
        let answers = match self.newness(routine) {
            Newness::Newer => Answers::Yes,
            Newness::Again => Answers::Nothing,
            Newness::Same | Newness::Older => return,
        };
        let today = training_day(at);
        let is_another = self.routine().is_none_or(|followed| followed.id != routine.id);
        let sign = self.sign_since();
        let change = match routine.anchor.filter(|_| answers == Answers::Yes) {
            None if is_another => Some(AnchorChange::Clear),
            change => change,
        };
        match change {
            Some(AnchorChange::Set { rating }) => self.usual_said = Some(rating),
            Some(AnchorChange::Clear) => self.usual_said = None,
            None => {}
        }
        for exercise in routine.exercises() {
            let limits = routine.limits_for(exercise).clone();
            if let Some(course) = self.courses.get_mut(&exercise.id) {
                let on_hold = routine.on_hold.get(&exercise.id).copied();
                let taken =
                    VersionTaken { issued: routine.issued, taken_on: today, on_hold, answers };
                course.revise(exercise.clone(), limits, routine.version, taken);
                if let Some(change) = change {
                    course.change_anchor(change);
                }
            } else {
                let mut course = Course::new(exercise.clone(), limits, routine.version);
                if let Some(since) = sign {
                    course.begin_under_sign(since);
                }
                if let Some(rating) = self.usual_said {
                    course.change_anchor(AnchorChange::Set { rating });
                }
                self.courses.insert(exercise.id.clone(), course);
            }
        }
        let highest = self.highest.entry(routine.id.clone()).or_insert(routine.version);
        *highest = routine.version.max(*highest);
        let accepted = Accepted { id, at, routine: routine.clone() };
        self.places.add_accepted(&accepted, self.accepted.len());
        self.accepted.push(accepted);
    }

    /// The day of a warning sign that stands until someone qualified has looked at it.
    pub fn sign_since(&self) -> Option<NaiveDate> {
        self.courses.values().filter_map(Course::sign_since).min()
    }

    /// The signs that were ticked since the one that stands, each once.
    pub fn standing_signs(&self) -> Vec<WarningSign> {
        let Some(since) = self.sign_since() else { return Vec::new() };
        let ticked = self.warnings.iter().filter(|(at, _)| since <= training_day(*at));
        let signs: BTreeSet<WarningSign> =
            ticked.flat_map(|(_, signs)| signs.iter().copied()).collect();
        signs.into_iter().collect()
    }

    /// The edition of the rule that the client was told of; nought before there were two.
    pub const fn edition(&self) -> u8 {
        self.edition
    }

    /// What this log would come to if the routine were taken on now.
    #[must_use]
    pub fn with(&self, routine: &Routine, at: DateTime<FixedOffset>) -> Self {
        let mut after = self.clone();
        after.accept(EventId::MOST, at, routine);
        after
    }

    /// The last session of each exercise of the routine, with those of its sets whose rating can still be
    /// put right: until the next session of the exercise begins.
    pub fn changeable(&self) -> Vec<(&Exercise, Vec<&DoneSet>)> {
        let exercises = self.routine().map_or(&[][..], Routine::exercises);
        let of_last = |exercise: &'_ Exercise| {
            let is_planned = |session: &&Session| {
                session.plan.iter().any(|planned| planned.exercise == exercise.id)
            };
            let session = self.sessions.iter().rev().find(is_planned);
            let sets = session.into_iter().flat_map(|session| &session.sets);
            let rated = sets.filter(|set| set.exercise == exercise.id && set.rated.is_some());
            rated.collect::<Vec<_>>()
        };
        exercises
            .iter()
            .map(|exercise| (exercise, of_last(exercise)))
            .filter(|(_, sets)| !sets.is_empty())
            .collect()
    }

    /// Whether the log was begun under an earlier edition of the rule, and the client not told yet.
    pub fn is_of_an_earlier_edition(&self) -> bool {
        self.edition < EDITION && self.first_trained().is_some()
    }

    /// The place of a session; they stand in the order of their ids.
    fn place_of(&self, session: EventId) -> Option<usize> {
        self.sessions.binary_search_by_key(&session, |session| session.id).ok()
    }

    fn session_mut(&mut self, id: EventId) -> Option<&mut Session> {
        let place = self.place_of(id)?;
        self.sessions.get_mut(place)
    }

    fn set_ended(&mut self, set: &SetRef, done: DoneSet) {
        let Some(place) = self.place_of(set.session) else { return };
        let session = &mut self.sessions[place];
        let (day, at_rest) = (session.day(), session.at_rest);
        let stopped = match done.ending {
            Ending::Pain => Stopped::BecauseOfPain,
            Ending::Complete | Ending::Short | Ending::LeftOut => Stopped::No,
        };
        let (rung, left_out) = (done.rung, done.ending == Ending::LeftOut);
        session.sets.push(done);
        if left_out {
            return;
        }
        self.places.add_done(&set.exercise, day, place);
        if let Some(course) = self.courses.get_mut(&set.exercise) {
            course.set_ended(day, rung, at_rest, stopped);
        }
    }

    fn set_rated(&mut self, set: &SetRef, rated: Rated) {
        let Some(session) = self.session_mut(set.session) else { return };
        let day = session.day();
        let known =
            |done: &&mut DoneSet| done.exercise == set.exercise && done.number == set.number;
        let Some(done) = session.sets.iter_mut().rfind(known) else { return };
        done.rated = Some(rated.clone());
        if let Some(course) = self.courses.get_mut(&set.exercise) {
            let rated = RatedSet { rating: rated.rating, site: rated.site };
            course.set_rated(day, (set.session, set.number), rated, false);
        }
    }

    /// How a routine compares with what the client follows, and with the highest version of it that this
    /// log ever took on.
    pub fn newness(&self, routine: &Routine) -> Newness {
        let Some(highest) = self.highest.get(&routine.id) else { return Newness::Newer };
        let is_followed = self.routine().is_some_and(|followed| followed.id == routine.id);
        match (is_followed, routine.version.cmp(highest)) {
            (_, Ordering::Greater) => Newness::Newer,
            (true, Ordering::Equal) => Newness::Same,
            (true, Ordering::Less) => Newness::Older,
            (false, Ordering::Equal | Ordering::Less) => Newness::Again,
        }
    }

    /// The label that a routine was made for, and the one that the client goes by, where they differ.
    pub fn other_client<'a>(&'a self, routine: &'a Routine) -> Option<(&'a Words, &'a Words)> {
        let (theirs, own) = (routine.client.as_ref()?, self.routine()?.client.as_ref()?);
        (theirs != own).then_some((theirs, own))
    }

    /// Where each exercise of a routine would go on if the client took it on now, in its order.
    pub fn goes_on<'a>(
        &'a self,
        routine: &'a Routine,
    ) -> impl Iterator<Item = (&'a Exercise, GoesOn)> {
        routine.exercises().iter().map(|exercise| {
            let start = Foothold::on(exercise.ladder.start());
            let known = self.courses.get(&exercise.id);
            let new = GoesOn::New { is: start };
            (exercise, known.map_or(new, |course| course.goes_on(exercise)))
        })
    }

    /// Where the client stands on each exercise of a routine that the log knows, once that routine is taken on.
    pub fn stands_on(&self, routine: &Routine) -> BTreeMap<Id, Foothold> {
        let known =
            self.goes_on(routine).filter(|(_, goes_on)| !matches!(goes_on, GoesOn::New { .. }));
        known.map(|(exercise, goes_on)| (exercise.id.clone(), goes_on.foothold())).collect()
    }

    /// The routine that the client follows now.
    pub fn routine(&self) -> Option<&Routine> {
        self.accepted.last().map(|accepted| &accepted.routine)
    }

    /// When the client took on a routine for the first time.
    pub fn first_accepted(&self) -> Option<DateTime<FixedOffset>> {
        self.earlier.first_accepted.or(self.accepted.first().map(|first| first.at))
    }

    /// The first training day.
    pub fn first_trained(&self) -> Option<NaiveDate> {
        self.earlier.first_trained.or(self.sessions.first().map(Session::day))
    }

    /// Whether the client began a session once, and never before.
    pub fn began_once(&self) -> bool {
        self.earlier.first_trained.is_none() && self.sessions.len() == 1
    }

    /// Whether any answer has reached the client.
    pub fn has_answers(&self) -> bool {
        self.earlier.has_answers || self.answers().next().is_some()
    }

    /// Every answer that has reached the client, the newest version first.
    pub fn answers(&self) -> impl Iterator<Item = &Answer> {
        self.accepted.iter().rev().flat_map(|accepted| &accepted.routine.answers)
    }

    /// The answers that stand, one to a note, the latest note first.
    pub fn standing_answers(&self) -> Vec<&Answer> {
        let mut standing: BTreeMap<EventId, &Answer> = BTreeMap::new();
        for answer in self.answers() {
            standing.entry(answer.to).or_insert(answer);
        }
        standing.into_values().rev().collect()
    }

    /// The routine version that a session followed, where the log has it.
    pub fn accepted_for(&self, session: &Session) -> Option<&Accepted> {
        let place = self.places.versions.get(&session.routine)?.get(&session.version)?;
        self.accepted.get(*place)
    }

    /// The routine in force at the end of a day.
    pub fn in_force(&self, day: NaiveDate) -> Option<&Routine> {
        let (_, place) = self.places.in_force.range(..=day).next_back()?;
        self.accepted.get(*place).map(|accepted| &accepted.routine)
    }

    pub fn accepted_any_on(&self, day: NaiveDate) -> bool {
        self.places.accepted_on.contains(&day)
    }

    /// Whether a version was taken on after the one moment and up to the other.
    pub fn accepted_any_between(
        &self,
        after: DateTime<FixedOffset>,
        until: DateTime<FixedOffset>,
    ) -> bool {
        let range = (Bound::Excluded(after), Bound::Included(until));
        after < until && self.places.accepted_at.range(range).next().is_some()
    }

    /// The sessions of some training days: by day, then in the order in which they began.
    pub fn sessions_on(&self, days: RangeInclusive<NaiveDate>) -> impl Iterator<Item = &Session> {
        let of_days = if days.is_empty() { None } else { Some(self.places.sessions.range(days)) };
        let places = of_days.into_iter().flatten().flat_map(|(_, places)| places);
        places.filter_map(|place| self.sessions.get(*place))
    }

    /// Whether a set of a session was stopped because of pain, or rated in the high zone.
    pub fn has_hurt_too_much(&self, session: EventId) -> bool {
        let hurt = |set: &DoneSet| {
            let is_high = |course: &Course| {
                let rated = set.rated.as_ref();
                rated.is_some_and(|rated| {
                    let zone = course.limits().zone_of_set(rated.rating, rated.site.as_ref());
                    zone == Zone::High
                })
            };
            set.ending == Ending::Pain || self.courses.get(&set.exercise).is_some_and(is_high)
        };
        let session = self.sessions.iter().rfind(|one| one.id == session);
        session.is_some_and(|session| session.sets.iter().any(hurt))
    }

    /// The first session in which an exercise was done on a later day.
    pub fn next_done(&self, exercise: &Id, day: NaiveDate) -> Option<&Session> {
        let later = (Bound::Excluded(day), Bound::Unbounded);
        let (_, place) = self.places.done.get(exercise)?.range(later).next()?;
        self.sessions.get(*place)
    }

    /// The morning after a training day, where it was answered in time.
    pub fn morning_after(&self, day: NaiveDate) -> Option<&MorningAnswer> {
        self.mornings.get(*self.places.mornings.get(&day)?)
    }

    /// What the client was told about an exercise on a training day, oldest first.
    pub fn told_about(
        &self,
        exercise: &Id,
        day: NaiveDate,
    ) -> impl DoubleEndedIterator<Item = &Told> {
        let places = self.places.told.get(&day).into_iter().flatten();
        let told = places.filter_map(|place| self.told.get(*place));
        told.filter(move |told| told.exercise == *exercise)
    }

    /// The latest calendar day on which anything was noted.
    pub const fn last_day(&self) -> Option<NaiveDate> {
        self.last_day
    }

    /// The last event that was folded.
    pub const fn last_event(&self) -> Option<EventId> {
        self.folded.1
    }

    pub fn course(&self, exercise: &Id) -> Option<&Course> {
        self.courses.get(exercise)
    }

    /// Every exercise that was ever taken on, in the order of the ids.
    pub fn courses(&self) -> impl Iterator<Item = (&Id, &Course)> {
        self.courses.iter()
    }

    /// The current routine's exercises on a day, in their order.
    pub fn today(&self, today: NaiveDate) -> Vec<Today> {
        let Some(routine) = self.routine() else { return Vec::new() };
        let line = |exercise: &Exercise| {
            let course = self.courses.get(&exercise.id)?;
            let on_day = self.sessions_on(today..=today);
            let done = on_day.filter(|session| session.sets_of(&exercise.id).next().is_some());
            let due = if exercise.dose.days.contain(today.weekday()) {
                let done = u16::try_from(done.count()).unwrap_or(u16::MAX);
                Due::Today { times: exercise.dose.times_a_day.get(), done }
            } else {
                Due::RestDay
            };
            let foothold = course.start_on(today);
            let current = |judged: &&Judged| judged.version == routine.version;
            Some(Today {
                exercise: exercise.clone(),
                foothold,
                dose: foothold.dose(&exercise.dose, &exercise.ladder),
                availability: course.availability(today),
                due,
                last: course.judged().last().filter(current).cloned(),
                is_new: course.judged().is_empty(),
                ready_for_next_step: course.ready_for_next_step(),
                least: course.least_on(today),
                starts_lower: foothold < course.foothold(),
                days_away: course.days_away(today).filter(|_| course.is_break(today)),
                mornings_tell: MorningsTell::of(course, today),
                high_days: course.high_days(today),
            })
        };
        routine.exercises().iter().filter_map(line).collect()
    }

    /// The morning check owed at `now`: for yesterday's training, and for every exercise that a Hold
    /// leaves out, each morning from 04:00 until it is answered.
    pub fn owed_morning(&self, now: DateTime<FixedOffset>) -> Option<OwedMorning> {
        let today = now.date_naive();
        let is_morning = |at: &DateTime<FixedOffset>| MORNING_FROM <= at.hour();
        let answered = self
            .mornings
            .iter()
            .any(|answer| answer.at.date_naive() == today && is_morning(&answer.at));
        if !is_morning(&now) || answered {
            return None;
        }
        let yesterday = today.pred_opt()?;
        let exercises = self.routine()?.exercises();
        let trained = |exercise: &&Exercise| {
            let mut on_day = self.sessions_on(yesterday..=yesterday);
            on_day.any(|session| session.sets_of(&exercise.id).next().is_some())
        };
        let held_since = |exercise: &&Exercise| {
            self.courses.get(&exercise.id).and_then(|course| course.held_since(today))
        };
        let owed: Vec<_> =
            exercises.iter().filter(|one| trained(one) || held_since(one).is_some()).collect();
        let after = if owed.iter().any(trained) {
            Some(yesterday)
        } else {
            owed.iter().filter_map(held_since).max()
        };
        Some(OwedMorning {
            after: after?,
            exercises: owed.into_iter().map(|one| one.id.clone()).collect(),
        })
    }

    /// The session that was started and not ended, if it started within the last day.
    pub fn open_session(&self, now: DateTime<FixedOffset>) -> Option<&Session> {
        let fresh = |session: &&Session| (now - session.started_at).num_hours() < 24;
        self.sessions.last().filter(|session| session.ended_at.is_none()).filter(fresh)
    }
}
