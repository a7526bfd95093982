//! A client's log at a glance: whether there is something to act on, by the same rules as the visit review.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::review::Review;
use super::talking::{TalkingPoint, Urgency, What, talking_points};
use crate::domain::event_id::EventId;
use crate::domain::log::course::{Availability, training_day};
use crate::domain::log::history::History;

/// A log that ends longer ago than this is worth a question, in days (common practice, no source).
const SILENT_AFTER: i64 = 7;

/// One thing to act on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// So many warning signs stand since that day: nobody has looked at them yet.
    SignStands {
        since: NaiveDate,
        signs: usize,
    },
    /// A warning sign was ticked, the last time on that day, and someone qualified has looked at it.
    WarningSign {
        on: NaiveDate,
    },
    /// So many exercises are left out until someone qualified has answered.
    Waits {
        exercises: usize,
    },
    /// So many warning signs were ticked and taken off again, the last time on that day.
    Unticked {
        on: NaiveDate,
        signs: usize,
    },
    Point(What),
    /// Notes that have no answer yet.
    Notes {
        notes: usize,
    },
    /// So many exercises are on Hold.
    OnHold {
        exercises: usize,
    },
    /// Nothing was noted for so many days.
    Silent {
        days: i64,
    },
}

impl Ask {
    pub const fn urgency(&self) -> Urgency {
        match self {
            Self::SignStands { .. }
            | Self::WarningSign { .. }
            | Self::Waits { .. }
            | Self::Unticked { .. } => Urgency::MayHarm,
            Self::Point(what) => what.urgency(),
            Self::Notes { .. } | Self::OnHold { .. } | Self::Silent { .. } => Urgency::Hinders,
        }
    }
}

/// What the newest log of a client asks for, as far as the log alone tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Glance {
    /// The latest day on which anything was noted.
    pub last_day: NaiveDate,
    stands: Option<(NaiveDate, usize)>,
    warned_on: Option<NaiveDate>,
    unticked: Option<(NaiveDate, usize)>,
    waits: usize,
    held: usize,
    points: Vec<TalkingPoint>,
    notes: Vec<EventId>,
}

impl Glance {
    /// Looks at what came since the last visit; `None` for a log without a routine. What was there when
    /// a later visit was closed asks for nothing any more.
    pub fn of(history: &History, visits: &[(EventId, NaiveDate)]) -> Option<Self> {
        let days: Vec<NaiveDate> = visits.iter().map(|(_, day)| *day).collect();
        let review = Review::of(history, Review::begins(history, &days)?)?;
        let mut glance = Self {
            last_day: history.last_day()?,
            stands: None,
            warned_on: None,
            unticked: None,
            waits: 0,
            held: 0,
            points: Vec::new(),
            notes: Vec::new(),
        };
        if visits.iter().any(|(closed, _)| history.last_event() < Some(*closed)) {
            return Some(glance);
        }
        glance.stands = history.sign_since().map(|day| (day, history.standing_signs().len()));
        let warned = history.warnings().iter().map(|(at, _)| training_day(*at));
        glance.warned_on =
            warned.filter(|day| review.from <= *day && glance.stands.is_none()).max();
        let unticked = history.unticked().iter().map(|(at, _)| training_day(*at));
        let unticked: Vec<NaiveDate> = unticked.filter(|day| review.from <= *day).collect();
        glance.unticked = unticked.iter().max().map(|last| (*last, unticked.len()));
        for exercise in &review.exercises {
            match exercise.availability {
                Availability::Open => {}
                Availability::Held { .. } => glance.held += 1,
                Availability::Stopped(_) => glance.waits += 1,
            }
        }
        glance.points = talking_points(history, &review);
        glance.points.retain(|point| point.what.urgency() != Urgency::None);
        let notes = history.notes().iter().filter(|note| review.from <= note.at.date_naive());
        glance.notes = notes.map(|note| note.id).collect();
        Some(glance)
    }

    pub fn has_notes(&self) -> bool {
        !self.notes.is_empty()
    }

    /// What there is to act on `today`, the weightiest first: without the points that were put aside and
    /// the notes that are answered.
    pub fn asks(
        &self,
        put_aside: &BTreeSet<String>,
        answered: &BTreeSet<EventId>,
        today: NaiveDate,
    ) -> Vec<Ask> {
        let mut asks: Vec<Ask> = Vec::new();
        asks.extend(self.stands.map(|(since, signs)| Ask::SignStands { since, signs }));
        asks.extend(self.warned_on.map(|on| Ask::WarningSign { on }));
        let counted = |number: usize, ask: fn(usize) -> Ask| (0 < number).then(|| ask(number));
        asks.extend(counted(self.waits, |exercises| Ask::Waits { exercises }));
        asks.extend(self.unticked.map(|(on, signs)| Ask::Unticked { on, signs }));
        let points = self.points.iter().filter(|point| !put_aside.contains(&point.id));
        asks.extend(points.map(|point| Ask::Point(point.what.clone())));
        asks.extend(counted(self.held, |exercises| Ask::OnHold { exercises }));
        let notes = self.notes.iter().filter(|note| !answered.contains(note)).count();
        asks.extend(counted(notes, |notes| Ask::Notes { notes }));
        let days = (today - self.last_day).num_days();
        asks.extend((SILENT_AFTER < days).then_some(Ask::Silent { days }));
        asks.sort_by_key(Ask::urgency);
        asks
    }
}
