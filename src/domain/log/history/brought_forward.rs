//! What a long log brings forward: where everything stands at a seam of the log, from which what comes
//! later can be folded without what came before, and with the same result.
//!
//! A seam is a place between two days over which nothing in the log reaches back: what comes after it is
//! of later days and names no earlier event. Only what later days ask for is brought forward, so that it
//! stays as small after years as after weeks.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Accepted, Earlier, History, Told};
use crate::domain::event_id::EventId;
use crate::domain::log::course::{Course, training_day};
use crate::domain::log::event::{About, Event, Fact};
use crate::domain::words::Id;

/// The days after a seam of which everything stays at hand: an answer of theirs can be corrected, and a
/// session among them can be gone on with.
pub const AT_HAND: i64 = 7;

/// What folds a log, and how what it comes to is written: with any change of it a log is folded anew. The build
/// takes it from all of `domain`.
const FOLD: u64 = match u64::from_str_radix(env!("CARRYOVER_FOLD"), 10) {
    Ok(fold) => fold,
    Err(_) => panic!("the build gives a number"),
};

/// What folding the log up to a seam has come to.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct BroughtForward {
    fold: u64,
    upto: EventId,
    last_day: NaiveDate,
    earlier: Earlier,
    accepted: Option<Accepted>,
    told: Vec<Told>,
    courses: BTreeMap<Id, Course>,
}

impl BroughtForward {
    /// The last event that it holds.
    pub const fn upto(&self) -> EventId {
        self.upto
    }

    /// Whether this version of the app would have come to it, too.
    pub const fn is_current(&self) -> bool {
        self.fold == FOLD
    }

    /// Whether an event can be folded on top of it.
    pub fn carries(&self, event: &Event) -> bool {
        self.last_day < training_day(event.at) && self.upto < names(event)
    }

    /// Whether it is far enough in the past for all that is asked on a day, the session before it and the
    /// morning after that session included, in any time zone.
    pub fn serves(&self, today: NaiveDate) -> bool {
        3 < (today - self.last_day).num_days()
    }
}

/// The earliest event that one has to do with, itself included.
fn names(event: &Event) -> EventId {
    match event.what.about() {
        Some(About::Session(named) | About::Answer(named)) => named.min(event.id),
        None => event.id,
    }
}

/// How many of these events, the latest of a log in the order of their ids, come before the last seam that
/// leaves enough at hand.
pub fn last_seam(events: &[&Event]) -> Option<usize> {
    let day = |event: &&Event| training_day(event.at);
    let last = day(events.last()?);
    let latest_so_far = |latest: &mut NaiveDate, event: &&Event| {
        *latest = day(event).max(*latest);
        Some(*latest)
    };
    let latest: Vec<NaiveDate> = events.iter().scan(NaiveDate::MIN, latest_so_far).collect();
    let is_session = |event: &&Event| matches!(event.what, Fact::SessionStarted { .. });
    let last_session = events.iter().rposition(is_session)?;
    let (mut earliest, mut named) = (NaiveDate::MAX, EventId::MOST);
    for (place, event) in events.iter().enumerate().skip(1).rev() {
        earliest = earliest.min(day(event));
        named = named.min(names(event));
        let before = latest[place - 1];
        let reaches_back = earliest <= before || named < event.id || last_session < place;
        if !reaches_back && AT_HAND <= (last - before).num_days() {
            return Some(place);
        }
    }
    None
}

impl History {
    /// What is brought forward from all that was folded so far; nothing from an empty log.
    pub fn brought_forward(&self) -> Option<BroughtForward> {
        let last_day = self.last_day?;
        let upto = self.last_event()?;
        let courses: BTreeMap<Id, Course> = self
            .courses
            .iter()
            .map(|(id, course)| (id.clone(), course.brought_forward(last_day)))
            .collect();
        let told = |(id, course): (&Id, &Course)| -> Vec<Told> {
            let days = course.judged().iter().map(|judged| judged.day);
            let days: BTreeSet<NaiveDate> = days.collect();
            days.into_iter()
                .filter_map(|day| self.told_about(id, day).next_back().cloned())
                .collect()
        };
        Some(BroughtForward {
            fold: FOLD,
            upto,
            last_day,
            earlier: self.earlier(),
            accepted: self.accepted.last().cloned(),
            told: courses.iter().flat_map(told).collect(),
            courses,
        })
    }

    /// What the whole log says in few words, so far.
    fn earlier(&self) -> Earlier {
        Earlier {
            first_accepted: self.first_accepted(),
            first_trained: self.first_trained(),
            has_answers: self.has_answers(),
            highest: self.highest.clone(),
            usual_said: self.usual_said,
            edition: self.edition,
        }
    }
}

impl From<BroughtForward> for History {
    fn from(forward: BroughtForward) -> Self {
        let mut history = Self {
            highest: forward.earlier.highest.clone(),
            usual_said: forward.earlier.usual_said,
            edition: forward.earlier.edition,
            earlier: forward.earlier,
            last_day: Some(forward.last_day),
            courses: forward.courses,
            ..Self::default()
        };
        if let Some(accepted) = forward.accepted {
            history.places.add_accepted(&accepted, 0);
            history.accepted.push(accepted);
        }
        for told in forward.told {
            history.add_told(told);
        }
        history.base = Some(Arc::new(history.clone()));
        history
    }
}
