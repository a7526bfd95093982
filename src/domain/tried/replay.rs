//! A log replayed under other limits: the days as they were, and as they would have been.
//!
//! What the client would have felt is not known. Another light leads to another next day, so from the first
//! difference on only one thing is certain: how the other limits read what was rated on a day. [`Would`]
//! keeps the two apart.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::domain::event_id::EventId;
use crate::domain::log::course::{Availability, Course, Judged, training_day};
use crate::domain::log::event::{Event, Fact, Planned};
use crate::domain::log::history::History;
use crate::domain::log::rule::{Reason, Verdict};
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::plan::limits::{CellPlace, Limits, Settling, Zone};
use crate::domain::plan::routine::Exercise;
use crate::domain::words::Id;

/// One exercise of a log under its own limits and under others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Replay {
    /// Every verdict that there was, oldest first.
    pub days: Vec<Day>,
    /// The first day on which anything differs: what was said, where it led, or whether it was left out.
    pub first: Option<NaiveDate>,
    pub was: Follows,
    /// What would have followed if the client had felt the same on whatever rung it would have been, and had
    /// left out what would have been left out: nobody knows.
    pub would: Follows,
}

/// One verdict as it was, and as it would have been.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Day {
    pub was: Judged,
    pub would: Would,
}

/// How much is known of what would have been said of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Would {
    /// Nothing had differed before: the client would have been told this, and gone on from there.
    Told(Judged),
    /// Something had: this is how the limits read the day's own answers, all before them as it was. Whether
    /// there would have been such a day is not known.
    OwnReading(Verdict),
}

impl Would {
    pub const fn verdict(&self) -> &Verdict {
        match self {
            Self::Told(judged) => &judged.verdict,
            Self::OwnReading(verdict) => verdict,
        }
    }
}

/// Where the verdicts led.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Follows {
    /// The days at whose end the rule left the exercise out.
    pub left_out: BTreeSet<NaiveDate>,
    /// The training days that brought a step up, and where each led.
    pub step_ups: Vec<(NaiveDate, Foothold)>,
    /// Where the exercise stands at the end of the log.
    pub stands: Foothold,
}

/// Why other limits say something else of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The day's pain counts in another zone.
    Zone { was: Zone, is: Zone },
    /// The morning is measured from another usual one.
    Morning { was: Settling, is: Settling },
    /// The table orders something else in the same place.
    Cell(CellPlace),
    /// It says the same and leads elsewhere, or what it says is for the choices around the table.
    Around,
}

impl Day {
    /// Why the day differs, where it does.
    pub fn why(&self) -> Option<Why> {
        let (was, would) = (&self.was.verdict, self.would.verdict());
        let leads_elsewhere = match &self.would {
            Would::Told(judged) => (judged.from, judged.next) != (self.was.from, self.was.next),
            Would::OwnReading(_) => false,
        };
        if was.order == would.order {
            return leads_elsewhere.then_some(Why::Around);
        }
        let (Some(before), Some(now)) = (place_of(&was.reasons), place_of(&would.reasons)) else {
            return Some(Why::Around);
        };
        let is_eased_away = |verdict: &Verdict| verdict.reasons.contains(&Reason::NothingEasier);
        Some(if before.0 != now.0 {
            Why::Zone { was: before.0, is: now.0 }
        } else if before.1 != now.1 {
            Why::Morning { was: before.1, is: now.1 }
        } else if is_eased_away(was) != is_eased_away(would)
            && was.order.light() != would.order.light()
        {
            Why::Around
        } else {
            Why::Cell(before)
        })
    }
}

/// The place of the table that a day was read in.
fn place_of(reasons: &[Reason]) -> Option<CellPlace> {
    let (mut zone, mut settling) = (None, None);
    for reason in reasons {
        match reason {
            Reason::WarningSign => return None,
            Reason::Stopped => zone = Some(Zone::High),
            Reason::NotRated => zone = Some(Zone::Low),
            Reason::During { zone: of_day, .. } => zone = zone.max(Some(*of_day)),
            Reason::Morning { settling: of_morning, .. } => settling = Some(*of_morning),
            Reason::MorningNotAnswered => settling = Some(Settling::NotAnswered),
            Reason::WeeksRising => settling = settling.map(Settling::one_worse),
            Reason::SiteCountsMore { .. }
            | Reason::SiteNotedOnly { .. }
            | Reason::MorningHigh { .. }
            | Reason::AtRestHigh { .. }
            | Reason::AnsweredAfterTraining
            | Reason::OnlyAtRestToCompare
            | Reason::SwellingALittleMore
            | Reason::SwellingAddedUp
            | Reason::SwellingClearlyMore
            | Reason::NothingEasier
            | Reason::SecondHoldWithinSevenDays => {}
        }
    }
    zone.zip(settling)
}

/// Replays a whole log under other limits, made for each exercise from those that it had; every exercise that
/// was ever taken on. Verdicts of an earlier edition of the rule stay as they were told.
pub fn replay<'a>(
    events: impl IntoIterator<Item = &'a Event>,
    other: impl Fn(&Exercise, &Limits) -> Limits,
) -> BTreeMap<Id, Replay> {
    let events: Vec<&Event> = events.into_iter().collect();
    let mut read: BTreeMap<Id, Readings> = BTreeMap::new();
    let mut note = |history: &History| {
        for (id, course) in history.courses() {
            read.entry(id.clone()).or_default().note(course, &other);
        }
    };
    let mut began = BTreeMap::new();
    let was = History::follow(events.iter().copied(), |history, event| {
        if comes_after_telling(&event.what) {
            note(history);
        }
        began.extend(starts(history, event));
        Some(Cow::Borrowed(event))
    });
    note(&was);
    let (mut begins, mut skipped) = (BTreeMap::new(), BTreeMap::new());
    let would = History::follow(events, |history, event| {
        begins.extend(starts(history, event));
        if let Fact::RoutineAccepted { routine } = &event.what {
            let routine = Box::new(routine.as_ref().clone().with_limits(&other));
            return Some(Cow::Owned(Event {
                what: Fact::RoutineAccepted { routine },
                ..event.clone()
            }));
        }
        let Fact::SetEnded { set, .. } = &event.what else { return Some(Cow::Borrowed(event)) };
        let done = (set.session, set.exercise.clone());
        let starts = began.get(&done).zip(begins.get(&done));
        let Some((was, would)) = starts else { return Some(Cow::Borrowed(event)) };
        let moved = moved(event, *was, *would);
        if moved.is_none() {
            skipped.entry(done.1).or_insert(was.day);
        }
        moved
    });
    let of = |(id, course): (&Id, &Course)| {
        let readings = read.remove(id).unwrap_or_default();
        let skipped = skipped.get(id).copied();
        let replay = Replay::of((&was, course), (&would, would.course(id)?), readings, skipped);
        Some((id.clone(), replay))
    };
    was.courses().filter_map(of).collect()
}

/// Whether a fact comes when what was said before it has been heard: in the middle of a session and while it
/// is being told, nothing has.
const fn comes_after_telling(fact: &Fact) -> bool {
    !matches!(
        fact,
        Fact::SetEnded { .. }
            | Fact::SetRated { .. }
            | Fact::StopTakenBack { .. }
            | Fact::ExerciseLeftOut { .. }
            | Fact::VerdictGiven { .. }
            | Fact::RuleExplained { .. }
            | Fact::Note { .. }
            | Fact::HandedBack
    )
}

/// Where an exercise stands as a session begins, and whether it may be done.
#[derive(Clone, Copy)]
struct Start {
    day: NaiveDate,
    rung: RungNumber,
    may: Availability,
}

/// The starts of a session that begins, by session and exercise.
fn starts(history: &History, event: &Event) -> Vec<((EventId, Id), Start)> {
    let Fact::SessionStarted { plan, .. } = &event.what else { return Vec::new() };
    let day = training_day(event.at);
    let start = |planned: &Planned| {
        let course = history.course(&planned.exercise)?;
        let (rung, may) = (course.start_on(day).rung, course.availability(day));
        let start = Start { day, rung, may };
        Some(((event.id, planned.exercise.clone()), start))
    };
    plan.iter().filter_map(start).collect()
}

/// A set as it would have been, as many rungs away as the session would have begun; `None` where the exercise
/// would have been left out.
fn moved(event: &Event, was: Start, would: Start) -> Option<Cow<'_, Event>> {
    if was.may == Availability::Open && would.may != Availability::Open {
        return None;
    }
    let mut moved = Cow::Borrowed(event);
    if was.rung != would.rung
        && let Fact::SetEnded { rung, .. } = &mut moved.to_mut().what
    {
        let there = rung.get() + would.rung.get();
        *rung = RungNumber::nearest(there.saturating_sub(was.rung.get()));
    }
    Some(moved)
}

/// How other limits read the days of one exercise.
#[derive(Default)]
struct Readings {
    /// What they say of each day that they read otherwise, by the place of its verdict.
    otherwise: BTreeMap<usize, Verdict>,
    /// The place of the first verdict that they ever read otherwise, be it for an evening.
    apart: Option<usize>,
}

impl Readings {
    fn note(&mut self, course: &Course, other: impl Fn(&Exercise, &Limits) -> Limits) {
        for (place, own, verdict) in course.read_under(other) {
            let Some(judged) = course.judged().get(place) else { continue };
            let told = judged.verdict.order;
            // Where someone has answered since, what was told stands, unless it is worse now.
            let stands = own.order != told && verdict.order.light() <= told.light();
            if own.order == verdict.order || stands {
                self.otherwise.remove(&place);
            } else {
                self.apart = self.apart.or(Some(place));
                self.otherwise.insert(place, verdict);
            }
        }
    }
}

impl Replay {
    fn of(
        (was_history, was): (&History, &Course),
        (would_history, would): (&History, &Course),
        mut readings: Readings,
        skipped: Option<NaiveDate>,
    ) -> Self {
        let (before, after) = (Follows::of(was_history, was), Follows::of(would_history, would));
        let said = |judged: &Judged| (judged.day, judged.verdict.order, judged.from, judged.next);
        let mut pairs = was.judged().iter().zip(would.judged());
        let led_apart = pairs.position(|(was, would)| said(was) != said(would));
        let told = [readings.apart, led_apart].into_iter().flatten().min();
        let left_out = before.left_out.symmetric_difference(&after.left_out).next().copied();
        let until = |date: Option<NaiveDate>| {
            let is_reached = |judged: &Judged| date.is_some_and(|date| date <= judged.day);
            was.judged().iter().position(is_reached).unwrap_or(was.judged().len())
        };
        // The day that differs first is certain; one that would have been left out might not have been one.
        let reached = until(left_out);
        let certain = told.filter(|told| *told <= reached).map_or(reached, |told| told + 1);
        let certain = certain.min(until(skipped));
        let day = |(place, judged): (usize, &Judged)| {
            let reading = readings.otherwise.remove(&place);
            let reading = reading.unwrap_or_else(|| judged.verdict.clone());
            // Of a day with several sessions, the first can already have led to another second.
            let is_told = |twin: &&Judged| place < certain && twin.verdict.order == reading.order;
            let twin = would.judged().get(place).filter(is_told).cloned();
            let would = twin.map_or(Would::OwnReading(reading), Would::Told);
            Day { was: judged.clone(), would }
        };
        let days = was.judged().iter().enumerate().map(day).collect();
        let told_on = told.and_then(|place| was.judged().get(place)).map(|judged| judged.day);
        let first = told_on.into_iter().chain(left_out).chain(skipped).min();
        Self { days, first, was: before, would: after }
    }
}

impl Follows {
    fn of(history: &History, course: &Course) -> Self {
        let begun = history.first_accepted().map(|at| at.date_naive());
        let days = begun.zip(history.last_day());
        let days = days
            .into_iter()
            .flat_map(|(from, to)| from.iter_days().take_while(move |day| *day <= to));
        let stepped = |judged: &&Judged| judged.from < judged.next;
        Self {
            left_out: days.filter(|day| course.was_left_out_on(*day)).collect(),
            step_ups: course
                .judged()
                .iter()
                .filter(stepped)
                .map(|judged| (judged.day, judged.next))
                .collect(),
            stands: course.foothold(),
        }
    }
}
