//! A client at a glance: what the newest log asks for, by the same rules as the visit review, and how far the
//! routine that was handed over has come.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::review::Review;
use super::talking::{TalkingPoint, Urgency, What, talking_points};
use crate::domain::event_id::EventId;
use crate::domain::log::course::{Availability, training_day};
use crate::domain::log::history::History;
use crate::domain::plan::routine::{Routine, Version};
use crate::domain::words::Id;

/// A log that ends longer ago than this is worth a question, in days (common practice, no source).
const SILENT_AFTER: i64 = 7;

/// One thing that a client's row says.
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
    /// Nothing was noted after that day, for more than a week.
    Silent {
        since: NaiveDate,
    },
    /// A routine was handed over on that day, more than a week ago, and no log came.
    NoLogSince {
        since: NaiveDate,
    },
    /// The log goes on after that day, on which a version was handed over, and has not taken it on.
    NotTakenOn {
        version: Version,
        since: NaiveDate,
    },
    /// A routine was handed over on that day, and no log can be expected yet.
    NoLogYet {
        since: NaiveDate,
    },
    NothingHandedOver,
}

impl Ask {
    pub const fn urgency(&self) -> Urgency {
        match self {
            Self::SignStands { .. }
            | Self::WarningSign { .. }
            | Self::Waits { .. }
            | Self::Unticked { .. }
            | Self::OnHold { .. } => Urgency::MayHarm,
            Self::Point(what) => what.urgency(),
            Self::Notes { .. }
            | Self::Silent { .. }
            | Self::NoLogSince { .. }
            | Self::NotTakenOn { .. } => Urgency::Hinders,
            Self::NothingHandedOver | Self::NoLogYet { .. } => Urgency::None,
        }
    }

    /// Whether something must be done about it before the next visit; the rest can wait until then.
    ///
    /// The order is common practice, no source: what may harm, then somebody who asked something, then
    /// whoever has gone out of sight.
    pub const fn must_be_done(&self) -> bool {
        self.place() < WAITS_FOR_THE_VISIT
    }

    /// Its place among all that a row can say, the worst first. What is of one kind has one place.
    pub const fn place(&self) -> u8 {
        match self {
            Self::SignStands { .. } => 0,
            Self::Waits { .. } => 1,
            Self::WarningSign { .. } => 2,
            Self::Unticked { .. } => 3,
            Self::Point(What::NothingEasier { .. } | What::HoldsInAWeek { .. }) => 4,
            Self::OnHold { .. } => 5,
            Self::Point(what) if matches!(what.urgency(), Urgency::MayHarm) => 6,
            // What was written may be anything, so it is read before a silence is asked about.
            Self::Notes { .. } => 7,
            Self::Silent { .. } => 8,
            Self::NoLogSince { .. } => 9,
            Self::NotTakenOn { .. } => 10,
            Self::Point(What::MorningsUnanswered { .. }) => WAITS_FOR_THE_VISIT,
            Self::Point(what) if matches!(what.urgency(), Urgency::Hinders) => 12,
            Self::Point(What::ReadyForNextRung { .. }) => 13,
            Self::NothingHandedOver => 14,
            Self::NoLogYet { .. } => 15,
            Self::Point(_) => 16,
        }
    }

    /// The day since which it is so, where one is known.
    pub const fn since(&self) -> Option<NaiveDate> {
        match self {
            Self::SignStands { since, .. }
            | Self::Silent { since }
            | Self::NoLogSince { since }
            | Self::NoLogYet { since }
            | Self::NotTakenOn { since, .. }
            | Self::WarningSign { on: since }
            | Self::Unticked { on: since, .. } => Some(*since),
            Self::Waits { .. }
            | Self::Point(_)
            | Self::Notes { .. }
            | Self::OnHold { .. }
            | Self::NothingHandedOver => None,
        }
    }
}

/// From this [place](Ask::place) on, a thing can wait until the next visit.
const WAITS_FOR_THE_VISIT: u8 = 11;

/// Whether a client has taken on what was handed over last, as far as the log tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TakenOn {
    Yes,
    /// The log goes on after it was handed over, with something else.
    NotYet,
    /// No log came since.
    Unknown,
}

/// What the newest log of a client asks for, as far as the log alone tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Glance {
    /// The latest day on which anything was noted.
    pub last_day: NaiveDate,
    /// The routine that is followed, and its version.
    followed: (Id, Version),
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
        let routine = history.routine()?;
        let mut glance = Self {
            last_day: history.last_day()?,
            followed: (routine.id.clone(), routine.version),
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

    /// What the log asks for `today`, the worst first: without the points that were put aside and the notes
    /// that are answered.
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
        let since = self.last_day;
        asks.extend(is_long_ago(since, today).then_some(Ask::Silent { since }));
        asks.sort_by_key(Ask::place);
        asks
    }

    /// Whether the version that was handed over last was taken on.
    pub fn taken_on(&self, last: &Routine) -> TakenOn {
        let (id, version) = &self.followed;
        if *id == last.id && last.version <= *version {
            TakenOn::Yes
        } else if last.issued < self.last_day {
            TakenOn::NotYet
        } else {
            TakenOn::Unknown
        }
    }
}

fn is_long_ago(day: NaiveDate, today: NaiveDate) -> bool {
    SILENT_AFTER < (today - day).num_days()
}

/// What the routine that was handed over last asks for `today`: that a log comes, and that it was taken on.
pub fn asks_of_handing_over(
    last: Option<&Routine>,
    glance: Option<&Glance>,
    today: NaiveDate,
) -> Option<Ask> {
    let Some(last) = last else { return glance.is_none().then_some(Ask::NothingHandedOver) };
    let since = last.issued;
    match glance.map(|glance| glance.taken_on(last)) {
        Some(TakenOn::NotYet) => Some(Ask::NotTakenOn { version: last.version, since }),
        Some(TakenOn::Yes | TakenOn::Unknown) => None,
        None if is_long_ago(since, today) => Some(Ask::NoLogSince { since }),
        None => Some(Ask::NoLogYet { since }),
    }
}
