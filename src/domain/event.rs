//! The facts of the log: immutable events with sortable ids, from which everything else is folded.

use std::collections::BTreeMap;
use std::fmt;

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::ladder::{Foothold, RungNumber};
use super::pain::PainRating;
use super::routine::{Routine, Version};
use super::rule::{Order, Reason, Swelling};
use super::warning::WarningSign;
use super::words::{Id, Words};

/// A unique id that sorts by the moment it was made: 26 characters, 48 bits of milliseconds since
/// 1970 and 80 random bits in Crockford's base 32.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Serialize)]
#[serde(try_from = "String", into = "String")]
pub struct EventId(u128);

const DIGITS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

impl EventId {
    pub const LEAST: Self = Self(0);
    pub const MOST: Self = Self(u128::MAX);

    const MILLIS_MAX: u128 = (1 << 48) - 1;

    /// An id for the moment `millis` after 1970, later than `last` even when the clock was set back.
    pub fn after(last: Option<Self>, millis: u64, random: [u8; 10]) -> Self {
        let random = random.iter().fold(0_u128, |bits, &byte| (bits << 8) | u128::from(byte));
        let fresh = Self((u128::from(millis).min(Self::MILLIS_MAX) << 80) | random);
        match last {
            Some(last) if fresh <= last => Self(last.0 + 1),
            Some(_) | None => fresh,
        }
    }
}

impl fmt::Display for EventId {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        for place in (0..26).rev() {
            let digit = usize::try_from((self.0 >> (place * 5)) & 31).unwrap_or_default();
            write!(to, "{}", char::from(DIGITS[digit]))?;
        }
        Ok(())
    }
}

impl fmt::Debug for EventId {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, to)
    }
}

impl TryFrom<String> for EventId {
    type Error = NotAnEventId;

    fn try_from(text: String) -> Result<Self, NotAnEventId> {
        if text.len() != 26 || !text.starts_with(|first| ('0'..='7').contains(&first)) {
            return Err(NotAnEventId { text });
        }
        let mut bits = 0_u128;
        for byte in text.bytes() {
            let Some(digit) = DIGITS.iter().position(|&digit| digit == byte) else {
                return Err(NotAnEventId { text });
            };
            bits = (bits << 5) | digit as u128;
        }
        Ok(Self(bits))
    }
}

impl From<EventId> for String {
    fn from(id: EventId) -> Self {
        id.to_string()
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("\"{text}\" is not an event id")]
pub struct NotAnEventId {
    pub text: String,
}

/// One fact, when it was noted, and by which clock.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Event {
    pub id: EventId,
    /// RFC 3339 with the local offset: its date is the client's own calendar day.
    pub at: DateTime<FixedOffset>,
    /// The IANA name of the time zone, where the device told it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zone: Option<Words>,
    pub what: Fact,
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
        #[serde(with = "super::day")]
        after: NaiveDate,
        ratings: BTreeMap<Id, PainRating>,
        swelling: Swelling,
    },
    WarningTicked {
        signs: Vec<WarningSign>,
    },
    /// The client confirmed that someone qualified said to go on.
    ToldToGoOn,
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
        #[serde(with = "super::day")]
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
    pub const fn about(&self) -> Option<About> {
        match self {
            Self::SetEnded { set, .. } | Self::SetRated { set, .. } => {
                Some(About::Session(set.session))
            }
            Self::ExerciseLeftOut { session, .. }
            | Self::SessionEnded { session }
            | Self::Note { session: Some(session), .. } => Some(About::Session(*session)),
            Self::Corrected { of, .. } | Self::SwellingCorrected { of, .. } => {
                Some(About::Answer(*of))
            }
            Self::Note { session: None, .. }
            | Self::RoutineAccepted { .. }
            | Self::SessionStarted { .. }
            | Self::MorningAnswered { .. }
            | Self::WarningTicked { .. }
            | Self::ToldToGoOn
            | Self::HandedBack
            | Self::VerdictGiven { .. } => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_sort_by_time_and_survive_text() {
        let early = EventId::after(None, 1_000, [255; 10]);
        let late = EventId::after(Some(early), 1_001, [0; 10]);
        assert!(early < late);
        assert!(early.to_string() < late.to_string());
        assert_eq!(EventId::try_from(late.to_string()), Ok(late));
    }

    /// The worked example of the ULID specification: the time part of 1469918176385 ms.
    #[test]
    fn the_time_part_agrees_with_the_specification() {
        let id = EventId::after(None, 1_469_918_176_385, [0; 10]);
        assert!(id.to_string().starts_with("01ARYZ6S41"), "{id}");
    }

    #[test]
    fn an_id_is_later_than_the_last_even_when_the_clock_was_set_back() {
        let last = EventId::after(None, 5_000, [7; 10]);
        let next = EventId::after(Some(last), 10, [7; 10]);
        assert!(last < next);
    }

    #[test]
    fn what_is_not_an_id_is_refused() {
        for wrong in ["", "01ARYZ6S41", "ZZZZZZZZZZZZZZZZZZZZZZZZZZ", "01ARYZ6S41TSV4RRFFQ69G5FA!"]
        {
            assert!(EventId::try_from(wrong.to_owned()).is_err(), "{wrong}");
        }
    }
}
