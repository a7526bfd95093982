//! The latest part of a log as a sequence of codes, for a client who hands it back from screen to camera.
//!
//! The part is a log file in its own right, so that the reader joins it by the ids of its entries. It is
//! packed as a link is, and cut as one.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};

use super::file;
use super::frames;
use super::link::{self, Packed, Packing};
use super::qr::TooMuch;
use super::record::Record;
use crate::domain::event::{About, EventId, Fact};

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

/// The text that is packed; the codes check it as a whole.
pub fn print(records: &[Record]) -> String {
    file::print_log_bare(records)
}

/// The texts of the codes that carry a packed log; refused where they are more than [`MOST`].
pub fn split(packing: Packing, bytes: Vec<u8>) -> Result<Vec<String>, TooMuch> {
    let codes = frames::split(&link::print(&Packed { packing, bytes }))?;
    if MOST < codes.len() { Err(TooMuch) } else { Ok(codes) }
}
