//! The id of an event: unique, and in the order of time.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::refused::{Refusal, Refused};

/// A unique id that sorts by the moment it was made: 26 characters, 48 bits of milliseconds since
/// 1970 and 80 random bits in Crockford's base 32.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Serialize)]
#[serde(try_from = "String", into = "String")]
pub struct EventId(u128);

const DIGITS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

impl EventId {
    /// No id is earlier.
    pub const LEAST: Self = Self(0);
    /// No id is later.
    pub const MOST: Self = Self(u128::MAX);

    /// The last millisecond of the year 2199. What is later is no moment of anybody's log.
    pub const LAST_MILLIS: u64 = 7_258_118_399_999;
    /// How far behind the log a clock may have been set and the log still goes on from where it was: a
    /// hundred years, for a device that began anew in 1970. A log that reaches further ahead is none to follow:
    /// whoever made it could leave no ids for what comes after.
    const SET_BACK: u64 = 100 * 365 * 86_400_000;

    /// An id for the moment `millis` after 1970, later than `last` even when the clock was set back.
    pub fn after(last: Option<Self>, millis: u64, random: [u8; 10]) -> Self {
        let random = random.iter().fold(0_u128, |bits, &byte| (bits << 8) | u128::from(byte));
        let millis = millis.min(Self::LAST_MILLIS);
        let fresh = Self((u128::from(millis) << 80) | random);
        let next = last.filter(|last| fresh <= *last && !last.is_out_of_reach(millis));
        next.and_then(|last| last.0.checked_add(1).map(Self))
            .filter(|next| next.millis() <= Self::LAST_MILLIS)
            .unwrap_or(fresh)
    }

    /// Whether it is too far ahead of a clock to be followed.
    pub fn is_out_of_reach(self, millis: u64) -> bool {
        millis.saturating_add(Self::SET_BACK) < self.millis()
    }

    /// The moment it was made, in milliseconds after 1970.
    pub fn millis(self) -> u64 {
        u64::try_from(self.0 >> 80).unwrap_or(u64::MAX)
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
    type Error = Refused<NotAnEventId>;

    fn try_from(text: String) -> Result<Self, Refused<NotAnEventId>> {
        if text.len() != 26 || !text.starts_with(|first| ('0'..='7').contains(&first)) {
            return Err(Refused(NotAnEventId { text }));
        }
        let mut bits = 0_u128;
        for byte in text.bytes() {
            let Some(digit) = DIGITS.iter().position(|&digit| digit == byte) else {
                return Err(Refused(NotAnEventId { text }));
            };
            bits = (bits << 5) | digit as u128;
        }
        let id = Self(bits);
        if Self::LAST_MILLIS < id.millis() { Err(Refused(NotAnEventId { text })) } else { Ok(id) }
    }
}

impl From<EventId> for String {
    fn from(id: EventId) -> Self {
        id.to_string()
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct NotAnEventId {
    pub text: String,
}

impl Refusal for NotAnEventId {
    const NAME: &'static str = "event_id";
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

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

    /// The date library says when a year begins.
    #[test]
    fn an_id_beyond_the_year_2199_is_refused() {
        let year = |year| {
            let first = NaiveDate::from_ymd_opt(year, 1, 1).unwrap().and_hms_opt(0, 0, 0).unwrap();
            u64::try_from(first.and_utc().timestamp_millis()).unwrap()
        };
        assert_eq!(EventId::LAST_MILLIS + 1, year(2200));
        let last = EventId::after(None, year(2200) - 1, [255; 10]);
        assert_eq!(EventId::try_from(last.to_string()), Ok(last));
        let beyond = EventId(last.0 + 1).to_string();
        for late in [beyond.as_str(), "7ZZZZZZZZZZZZZZZZZZZZZZZZZ"] {
            let refused = Refused(NotAnEventId { text: late.to_owned() });
            assert_eq!(EventId::try_from(late.to_owned()), Err(refused));
        }
        // A clock can say more: what is noted stays readable.
        let noted = EventId::after(None, u64::MAX, [255; 10]);
        assert_eq!(EventId::try_from(noted.to_string()), Ok(noted));
    }

    /// Whatever comes last in a log, what is noted after it has an id of its own that can be read again.
    #[test]
    fn every_id_is_followed_by_another() {
        let now = 1_780_000_000_000;
        let of = |millis: u64, random: u128| EventId((u128::from(millis) << 80) | random);
        let ends = [0, 1, (1 << 80) - 2, (1 << 80) - 1];
        let moments =
            [0, now, now + EventId::SET_BACK, now + EventId::SET_BACK + 1, EventId::LAST_MILLIS];
        let lasts = moments.into_iter().flat_map(|millis| ends.map(|random| of(millis, random)));
        for last in lasts.chain([EventId::MOST]) {
            for clock in [0, now, EventId::LAST_MILLIS, u64::MAX] {
                let mut last = Some(last);
                for random in [[7; 10], [0; 10]] {
                    let next = EventId::after(last, clock, random);
                    assert_ne!(Some(next), last, "{clock}");
                    assert_eq!(EventId::try_from(next.to_string()), Ok(next), "{clock}");
                    last = Some(next);
                }
            }
        }
    }

    /// A log made to end all others: what comes after it goes by the clock, and stays in order.
    #[test]
    fn a_log_from_the_far_future_is_not_followed() {
        let made_up = EventId::after(None, EventId::LAST_MILLIS, [255; 10]);
        let noted = EventId::after(Some(made_up), 1_780_000_000_000, [7; 10]);
        assert!(noted < made_up);
        let later = EventId::after(Some(noted), 1_780_000_000_000, [0; 10]);
        assert!(noted < later && later < made_up);
    }
}
