//! The latest part of a log as a sequence of codes, for a client who hands it back from screen to camera.
//!
//! The part is a log file in its own right, so that the reader joins it by the ids of its entries. On the way it
//! is in short: what the library has is named, not carried, as in a link. It is packed as a link is, and cut as
//! one.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Days, FixedOffset, NaiveDate};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use serde_json::value::{RawValue, to_raw_value};

use super::file;
use super::frames;
use super::link::{self, LibraryEntries, LinkError, Packed, Packing};
use super::qr::TooMuch;
use super::record::Record;
use crate::domain::event_id::EventId;
use crate::domain::log::event::{About, Fact};

/// The periods that are tried, longest first, in days.
pub const PERIODS: [u64; 3] = [28, 14, 7];
/// More codes than this try the patience of two people; a file is quicker.
pub const MOST: usize = 60;
/// The largest log that codes may unpack to, in bytes.
pub const LARGEST: usize = 4 * 1024 * 1024;

/// The entries of the last so many calendar days, with the routine that was followed when they began and
/// the start of a session that was under way.
pub fn latest(records: &[Record], days: u64) -> Vec<Record> {
    let date = |record: &Record| record.event.at.date_naive();
    let Some(last) = records.iter().map(date).max() else { return Vec::new() };
    let from = last.checked_sub_days(Days::new(days.saturating_sub(1))).unwrap_or(NaiveDate::MIN);
    let is_accepted = |record: &&Record| matches!(record.event.what, Fact::RoutineAccepted { .. });
    let followed = records
        .iter()
        .filter(|record| date(record) < from)
        .filter(is_accepted)
        .map(Record::id)
        .max();
    let recent = || records.iter().filter(|record| from <= date(record));
    let session = |record: &Record| match record.event.what.about()? {
        About::Session(session) => Some(session),
        About::Answer(_) => None,
    };
    let under_way: BTreeSet<EventId> = recent().filter_map(session).collect();
    let is_part = |record: &&Record| {
        from <= date(record) || Some(record.id()) == followed || under_way.contains(&record.id())
    };
    records.iter().filter(is_part).cloned().collect()
}

/// How many days reach back to the day on which a log was last handed back; none where it never was.
pub fn since_handed_back(records: &[Record]) -> Option<u64> {
    let date = |record: &Record| record.event.at.date_naive();
    let last = records.iter().map(date).max()?;
    let is_handed = |record: &&Record| matches!(record.event.what, Fact::HandedBack);
    let handed = records.iter().filter(is_handed).map(date).max()?;
    u64::try_from((last - handed).num_days()).ok()?.checked_add(1)
}

/// The log in short is one format later than a file, so that an app that cannot read it says so.
const VERSION: i64 = file::VERSION + 1;

/// A log in short: each routine as a link has it, by the id of the entry that took it on, and no moment that
/// the id of its entry tells.
#[derive(Deserialize, Serialize)]
struct Short<'a> {
    format: &'a str,
    version: i64,
    #[serde(default)]
    routines: BTreeMap<String, Value>,
    events: Vec<Fields>,
}

/// An entry's fields, word for word.
type Fields = BTreeMap<String, Box<RawValue>>;

const AT: &str = "at";
const WHAT: &str = "what";
const ACCEPTED: &str = "routine_accepted";
const ROUTINE: &str = "routine";

/// The text that is packed; the codes check it as a whole.
pub fn print(records: &[Record], library: &LibraryEntries) -> String {
    let mut sorted: Vec<&Record> = records.iter().collect();
    sorted.sort_by_key(|record| record.id());
    let mut log = Short {
        format: file::LOG,
        version: VERSION,
        routines: BTreeMap::new(),
        events: Vec::new(),
    };
    let mut offset = None;
    for record in sorted {
        let Ok(mut fields) = serde_json::from_str::<Fields>(record.text()) else { continue };
        if let Some(routine) = shortened(record, &mut fields, library) {
            log.routines.insert(record.id().to_string(), routine);
        }
        let told = offset.and_then(|offset| moment(record.id(), offset));
        if told.is_some_and(|told| fields.get(AT).is_some_and(|at| at.get() == told.get())) {
            fields.remove(AT);
        }
        offset = Some(*record.event.at.offset());
        log.events.push(fields);
    }
    serde_json::to_string(&log).unwrap_or_default()
}

/// The moment at which an id was made, on a clock with the offset.
fn moment(id: EventId, offset: FixedOffset) -> Option<Box<RawValue>> {
    let millis = i64::try_from(id.millis()).ok()?;
    let at = DateTime::from_timestamp_millis(millis)?.with_timezone(&offset);
    to_raw_value(&at).ok()
}

/// The routine that was accepted, as a link has it, and taken out of the entry's fields; none where the link
/// would not give the very same.
fn shortened(record: &Record, fields: &mut Fields, library: &LibraryEntries) -> Option<Value> {
    let Fact::RoutineAccepted { routine } = &record.event.what else { return None };
    let entry = |id: &str, revision| library.exercise(id, revision);
    let text = link::condense(routine, |exercise| library.origin_of(exercise), entry).ok()?;
    let restored = link::restore(&text, entry).ok()?;
    let mut what: Value = serde_json::from_str(fields.get(WHAT)?.get()).ok()?;
    let mut accepted = what.get_mut(ACCEPTED)?.get_mut(ROUTINE)?.take();
    link::canonicalise(&mut accepted);
    let restored: Value = serde_json::from_str(restored.as_filed.get()).ok()?;
    (restored == accepted).then_some(())?;
    let short = serde_json::from_str(&text).ok()?;
    fields.insert(WHAT.to_owned(), to_raw_value(&what).ok()?);
    Some(short)
}

/// A log as a file has it, put together from what codes carried. Any other text stays as it is.
///
/// # Errors
/// The library has not what a routine names, or gives something else.
pub fn whole(text: &str, library: &LibraryEntries) -> Result<String, LinkError> {
    let log = match serde_json::from_str::<Short>(text) {
        Ok(log) if log.version == VERSION => log,
        Ok(_) | Err(_) => return Ok(text.to_owned()),
    };
    let mut lines = Vec::new();
    let mut offset = None;
    for mut fields in log.events {
        let id = fields.get("id").and_then(|id| serde_json::from_str::<EventId>(id.get()).ok());
        if let (None, Some(id), Some(offset)) = (fields.get(AT), id, offset) {
            fields.extend(moment(id, offset).map(|at| (AT.to_owned(), at)));
        }
        let at = fields.get(AT).and_then(|at| serde_json::from_str(at.get()).ok());
        offset = at.map(|at: DateTime<FixedOffset>| *at.offset());
        if let Some(short) = id.and_then(|id| log.routines.get(&id.to_string())) {
            let entry = |id: &str, revision| library.exercise(id, revision);
            let restored = link::restore(&short.to_string(), entry)?;
            put_back(&mut fields, &restored.as_filed).ok_or(LinkError::Damaged)?;
        }
        lines.push(serde_json::to_string(&fields).map_err(|_wrong| LinkError::Damaged)?);
    }
    Ok(file::print_lines(&lines))
}

fn put_back(fields: &mut Fields, routine: &RawValue) -> Option<()> {
    let mut what: Value = serde_json::from_str(fields.get(WHAT)?.get()).ok()?;
    let place = what.get_mut(ACCEPTED)?.get_mut(ROUTINE).filter(|place| place.is_null())?;
    *place = serde_json::from_str(routine.get()).ok()?;
    fields.insert(WHAT.to_owned(), to_raw_value(&what).ok()?);
    Some(())
}

/// The texts of the codes that carry a packed log; refused where they are more than [`MOST`].
pub fn split(packing: Packing, bytes: Vec<u8>) -> Result<Vec<String>, TooMuch> {
    let codes = frames::split(&link::print(&Packed { packing, bytes }))?;
    if MOST < codes.len() { Err(TooMuch) } else { Ok(codes) }
}
