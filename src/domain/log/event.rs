//! The facts of the log: immutable events with sortable ids, from which everything else is folded.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize};

use super::rule::{Order, Reason, Swelling};
use super::warning::WarningSign;
use crate::domain::event_id::EventId;
use crate::domain::pain::PainRating;
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::plan::routine::{Routine, Version};
use crate::domain::refused::{Refusal, Refused};
use crate::domain::words::{Id, Words};

/// One fact, when it was noted, and by which clock.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Event {
    pub id: EventId,
    /// RFC 3339 with the local offset, in the years 1970 to 2199: its date is the client's own calendar day.
    #[serde(deserialize_with = "moment")]
    pub at: DateTime<FixedOffset>,
    /// The IANA name of the time zone, where the device told it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zone: Option<Words>,
    pub what: Fact,
}

/// A moment that can be one of somebody's log: what goes through every day up to it comes to an end.
fn moment<'de, D: Deserializer<'de>>(read: D) -> Result<DateTime<FixedOffset>, D::Error> {
    let at = DateTime::deserialize(read)?;
    let millis = u64::try_from(at.timestamp_millis());
    if millis.is_ok_and(|millis| millis <= EventId::LAST_MILLIS) {
        Ok(at)
    } else {
        Err(D::Error::custom(Refused(NotAMoment { at })))
    }
}

/// A moment outside the years of any log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct NotAMoment {
    pub at: DateTime<FixedOffset>,
}

impl Refusal for NotAMoment {
    const NAME: &'static str = "moment";
}

/// How hard the joint had worked that day, before the session.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WorkedToday {
    Light,
    AsUsual,
    Heavy,
}

/// How a set ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ending {
    Complete,
    /// Cut short by choice.
    Short,
    /// Stopped because of pain.
    Pain,
    /// Not done at all, by choice, while other sets of the exercise were.
    LeftOut,
}

/// A set of a session: the exercise, and which of its sets, counted from 1.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
pub struct SetRef {
    pub session: EventId,
    pub exercise: Id,
    pub number: u16,
}

/// One exercise of a session, as it was planned when the session started.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Planned {
    pub exercise: Id,
    pub from: Foothold,
}

/// What a go-ahead is for.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lifts {
    /// The warning sign that stands.
    WarningSign,
    /// What waits of one exercise: its stop, or its days off.
    Exercise(Id),
    /// Every stop but a warning sign; days off without a stop go on.
    All,
}

/// What happened.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fact {
    RoutineAccepted {
        routine: Box<Routine>,
    },
    /// The id of this event is the id of the session.
    SessionStarted {
        routine: Id,
        version: Version,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at_rest: Option<PainRating>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        worked_today: Option<WorkedToday>,
        /// What was to be done, in order, and from which foothold.
        plan: Vec<Planned>,
    },
    SetEnded {
        set: SetRef,
        rung: RungNumber,
        reps: u16,
        work_secs: u32,
        ending: Ending,
    },
    /// The stop because of pain of this set was a slip, taken back before it was rated: the set goes on.
    StopTakenBack {
        set: SetRef,
    },
    SetRated {
        set: SetRef,
        rating: PainRating,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        site: Option<Words>,
    },
    ExerciseLeftOut {
        session: EventId,
        exercise: Id,
    },
    SessionEnded {
        session: EventId,
    },
    /// The morning of the day on which it was noted, after the training day `after`.
    MorningAnswered {
        #[serde(with = "crate::domain::day")]
        after: NaiveDate,
        ratings: BTreeMap<Id, PainRating>,
        swelling: Swelling,
    },
    WarningTicked {
        signs: Vec<WarningSign>,
    },
    /// A sign ticked in the event `of` was a slip: it was taken off at once.
    WarningUnticked {
        of: EventId,
        sign: WarningSign,
    },
    /// What the client says mornings are usually like lately, when a routine is taken on.
    UsualMorning {
        rating: PainRating,
    },
    /// The client confirmed that someone qualified said to go on with whatever waited, a warning sign
    /// included. Versions of the app before the rule's second edition wrote it.
    ToldToGoOn,
    /// The client confirmed that someone qualified said to go on, and with what.
    GoAhead {
        lifts: Lifts,
    },
    /// The client was told which edition of the rule reads this log from now on.
    RuleExplained {
        edition: u8,
    },
    Note {
        text: Words,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        session: Option<EventId>,
    },
    /// A copy of the log left the device.
    HandedBack,
    /// A rating given in the event `of` was a slip; this one holds instead.
    Corrected {
        of: EventId,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        exercise: Option<Id>,
        rating: PainRating,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        site: Option<Words>,
    },
    /// The swelling given in the morning answer `of` was a slip.
    SwellingCorrected {
        of: EventId,
        swelling: Swelling,
    },
    /// What the app told the client, as it was told; never rewritten.
    VerdictGiven {
        exercise: Id,
        #[serde(with = "crate::domain::day")]
        day: NaiveDate,
        order: Order,
        reasons: Vec<Reason>,
        next: Foothold,
    },
}

/// The earlier event that a fact has to do with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// It belongs to this session.
    Session(EventId),
    /// It stands in place of an answer given in this event.
    Answer(EventId),
}

impl Fact {
    /// Whether it was ticked, or taken off again, on a list of signs that is still looked at: what it brings about
    /// is told once that is left.
    pub const fn is_on_a_list(&self) -> bool {
        matches!(self, Self::WarningTicked { .. } | Self::WarningUnticked { .. })
    }

    pub const fn about(&self) -> Option<About> {
        match self {
            Self::SetEnded { set, .. }
            | Self::SetRated { set, .. }
            | Self::StopTakenBack { set } => Some(About::Session(set.session)),
            Self::ExerciseLeftOut { session, .. }
            | Self::SessionEnded { session }
            | Self::Note { session: Some(session), .. } => Some(About::Session(*session)),
            Self::Corrected { of, .. }
            | Self::SwellingCorrected { of, .. }
            | Self::WarningUnticked { of, .. } => Some(About::Answer(*of)),
            Self::Note { session: None, .. }
            | Self::RoutineAccepted { .. }
            | Self::SessionStarted { .. }
            | Self::MorningAnswered { .. }
            | Self::WarningTicked { .. }
            | Self::UsualMorning { .. }
            | Self::ToldToGoOn
            | Self::GoAhead { .. }
            | Self::RuleExplained { .. }
            | Self::HandedBack
            | Self::VerdictGiven { .. } => None,
        }
    }
}
