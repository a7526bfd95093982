//! An event together with the exact text it was written as, so that what this version does not know survives.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::value::RawValue;

use super::checksum;
use crate::domain::event_id::EventId;
use crate::domain::log::event::{Event, Fact};
use crate::domain::plan::routine::Routine;
use crate::domain::refused::Refused;

/// One event of a log and its JSON text.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    pub event: Event,
    text: String,
}

impl Record {
    /// Writes an event for the first time.
    pub fn new(event: Event) -> Self {
        let text = to_text(&event);
        Self { event, text }
    }

    /// Writes that a routine was accepted, with the routine exactly as its file has it.
    pub fn of_accepted(event: Event, routine_as_filed: &RawValue) -> Self {
        #[derive(Serialize)]
        struct Wire<'a> {
            id: EventId,
            at: chrono::DateTime<chrono::FixedOffset>,
            #[serde(skip_serializing_if = "Option::is_none")]
            zone: &'a Option<crate::domain::words::Words>,
            what: BTreeMap<&'a str, BTreeMap<&'a str, &'a RawValue>>,
        }
        let what = [("routine_accepted", [("routine", routine_as_filed)].into())].into();
        let text = to_text(&Wire { id: event.id, at: event.at, zone: &event.zone, what });
        Self { event, text: one_line(&text) }
    }

    /// Reads an event, and takes off the check value that it has in a file.
    pub fn parse(text: &str) -> Result<Self, serde_json::Error> {
        let text =
            checksum::take_off(text).map_err(|why| serde::de::Error::custom(Refused(why)))?;
        let event = serde_json::from_str(&text)?;
        Ok(Self { event, text: one_line(&text) })
    }

    pub const fn id(&self) -> EventId {
        self.event.id
    }

    /// The event as JSON, on one line.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The same with its check value.
    pub fn checked(&self) -> String {
        checksum::put_on(&self.text)
    }
}

/// Serializing the domain's own types cannot fail: no map has keys other than text.
fn to_text(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_default()
}

/// JSON keeps line breaks inside its texts escaped, so those between its parts can go.
fn one_line(text: &str) -> String {
    text.replace(['\n', '\r'], " ")
}

/// Joins logs: the union by event id, in the order of the ids. Joining twice changes nothing.
///
/// # Errors
/// The same id with another content: one of the two was altered, and neither is trusted over the other.
pub fn join(known: &[Record], more: &[Record]) -> Result<Vec<Record>, Altered> {
    let mut by_id: BTreeMap<EventId, &Record> =
        known.iter().map(|record| (record.id(), record)).collect();
    for record in more {
        if by_id.entry(record.id()).or_insert(record).event != record.event {
            return Err(Altered { id: record.id() });
        }
    }
    Ok(by_id.into_values().cloned().collect())
}

/// The routines that a log followed, in the order of its entries.
pub fn followed(log: &[Record]) -> Vec<&Routine> {
    fn accepted(record: &Record) -> Option<&Routine> {
        let Fact::RoutineAccepted { routine } = &record.event.what else { return None };
        Some(routine)
    }
    log.iter().filter_map(accepted).collect()
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Altered {
    pub id: EventId,
}
