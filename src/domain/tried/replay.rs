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
use crate::domain::plan::limits::{Limits, Place, Settling, Zone};
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
    Cell(Place),
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
fn place_of(reasons: &[Reason]) -> Option<Place> {
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
    let mut begins = BTreeMap::new();
    let would = History::follow(events, |history, event| {
        begins.extend(starts(history, event));
        if let Fact::RoutineAccepted { routine } = &event.what {
            let routine = Box::new(routine.as_ref().clone().with_limits(&other));
            return Some(Cow::Owned(Event {
                what: Fact::RoutineAccepted { routine },
                ..event.clone()
            }));
        }
        moved(event, |done| began.get(done).copied().zip(begins.get(done).copied()))
    });
    let of = |(id, course): (&Id, &Course)| {
        let readings = read.remove(id).unwrap_or_default();
        let replay = Replay::of((&was, course), (&would, would.course(id)?), readings);
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
    rung: RungNumber,
    may: Availability,
}

/// The starts of a session that begins, by session and exercise.
fn starts(history: &History, event: &Event) -> Vec<((EventId, Id), Start)> {
    let Fact::SessionStarted { plan, .. } = &event.what else { return Vec::new() };
    let day = training_day(event.at);
    let start = |planned: &Planned| {
        let course = history.course(&planned.exercise)?;
        let start = Start { rung: course.start_on(day).rung, may: course.availability(day) };
        Some(((event.id, planned.exercise.clone()), start))
    };
    plan.iter().filter_map(start).collect()
}

/// A set as it would have been: as many rungs away as the session would have begun, and none of an exercise
/// that would have been left out.
fn moved<'a>(
    event: &'a Event,
    start: impl Fn(&(EventId, Id)) -> Option<(Start, Start)>,
) -> Option<Cow<'a, Event>> {
    let Fact::SetEnded { set, rung, .. } = &event.what else { return Some(Cow::Borrowed(event)) };
    let Some((was, would)) = start(&(set.session, set.exercise.clone())) else {
        return Some(Cow::Borrowed(event));
    };
    if was.may == Availability::Open && would.may != Availability::Open {
        return None;
    }
    let there = rung.get() + would.rung.get();
    let there = RungNumber::nearest(there.saturating_sub(was.rung.get()));
    let mut event = Cow::Borrowed(event);
    if there != *rung
        && let Fact::SetEnded { rung, .. } = &mut event.to_mut().what
    {
        *rung = there;
    }
    Some(event)
}

/// How other limits read the days of one exercise.
#[derive(Default)]
struct Readings {
    /// What they say of each day that they read otherwise, by the place of its verdict.
    otherwise: BTreeMap<usize, Verdict>,
    /// The first day that they ever read otherwise, be it for an evening.
    apart: Option<NaiveDate>,
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
                self.apart = self.apart.or(Some(judged.day));
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
    ) -> Self {
        let (before, after) = (Follows::of(was_history, was), Follows::of(would_history, would));
        let pairs = || was.judged().iter().zip(would.judged());
        let is_other = |(was, would): &(&Judged, &Judged)| {
            let said =
                |judged: &Judged| (judged.day, judged.verdict.order, judged.from, judged.next);
            said(was) != said(would)
        };
        let said = pairs().find(is_other).map(|(was, would)| was.day.min(would.day));
        let left_out = before.left_out.symmetric_difference(&after.left_out).next().copied();
        let told = [readings.apart, said].into_iter().flatten().min();
        let day = |(place, judged): (usize, &Judged)| {
            let reading = readings.otherwise.remove(&place);
            let reading = reading.unwrap_or_else(|| judged.verdict.clone());
            // A day that would have been left out might not have been one.
            let is_certain = told.is_none_or(|first| judged.day <= first)
                && left_out.is_none_or(|first| judged.day < first || Some(first) == told);
            let twin = would.judged().get(place);
            let twin = twin.filter(|twin| is_certain && twin.day == judged.day);
            let would = twin.map_or(Would::OwnReading(reading), |twin| Would::Told(twin.clone()));
            Day { was: judged.clone(), would }
        };
        let days = was.judged().iter().enumerate().map(day).collect();
        let first = told.into_iter().chain(left_out).min();
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
