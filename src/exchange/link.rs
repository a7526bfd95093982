//! A routine as a link: short enough for one code on a screen.
//!
//! What the app's library has is named, not carried: an exercise travels as the entry it came from and
//! what was changed in it. The reader puts the routine together again and compares a checksum of the
//! whole, so that it gets the very same routine, or none.
//!
//! A link is written in three steps: [`condense`], then deflate (RFC 1951) where the browser can, then
//! [`print`]. It is read in the same three, backwards: [`parse`], inflate, [`restore`].

use std::collections::BTreeMap;
use std::fmt;

use crc::{CRC_32_ISO_HDLC, Crc, NoTable};
use data_encoding::BASE32_NOPAD;
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use serde_json::{Map, Value};
use thiserror::Error;

use super::file::{self, RoutineFile};
use super::{patch, plain};
use crate::domain::routine::{Exercise, Routine};
use crate::domain::words::Id;

/// A link holds a routine as a file does, and is refused for the same newer meanings.
pub const VERSION: i64 = file::VERSION;
/// The longest fragment that is read, in characters.
pub const LONGEST: usize = 50_000;
/// The largest text that a fragment may unpack to, in bytes.
pub const LARGEST: usize = 256 * 1024;
/// Where the app reads a link.
pub const PAGE: &str = "/take";

/// What most routines begin with. A link carries only what differs from it, so this text never changes.
const COMMON: &str = r#"{"version":1,"cautions":[],"limits":{"table":{"low_max":2,"middle_max":5,"low":["counts","stay","ease","stay"],"middle":["stay","ease","hold","stay"],"high":["ease","hold","hold","hold"]},"sites":[],"rest_days":2,"may_step_up":"win_back","step_up_after":3,"on_lowest_rung":"one_set_fewer","after_middle_set":"same"}}"#;

/// The library's entry that an exercise was made from.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin {
    pub id: Id,
    pub revision: u32,
}

impl Origin {
    fn parse(text: &str) -> Option<Self> {
        let (id, revision) = text.split_once('@')?;
        Some(Self { id: Id::new(id).ok()?, revision: revision.parse().ok()? })
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "{}@{}", self.id.as_str(), self.revision)
    }
}

/// Why a routine could not be taken from a link or code, or put into one; each finishes the sentence
/// "This link could not be opened:".
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum LinkError {
    #[error("it holds no Carryover routine")]
    Foreign,
    #[error("a part of it is missing or was changed on the way")]
    Damaged,
    #[error("it is longer than any link this app makes")]
    TooLong,
    #[error("it unpacks to more than {} kB", LARGEST / 1024)]
    TooLarge,
    #[error(
        "it was made by a newer version of this app (format {found}; this one reads up to {VERSION})"
    )]
    TooNew { found: i64 },
    #[error("it names an exercise that this app does not have ({origin})")]
    UnknownEntry { origin: String },
    #[error("what it unpacks to is not the routine that was put in")]
    NotTheSame,
    #[error("{what}")]
    Routine { what: String },
}

/// How the bytes behind a fragment's first letter are packed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Packing {
    /// Raw deflate (RFC 1951).
    Deflated,
    /// As they are, where a browser cannot compress.
    Plain,
}

impl Packing {
    const fn letter(self) -> char {
        match self {
            Self::Deflated => 'R',
            Self::Plain => 'P',
        }
    }
}

/// What a fragment carries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Packed {
    pub packing: Packing,
    pub bytes: Vec<u8>,
}

/// The fragment of a link: a letter for the packing, then base 32 (RFC 4648, no padding), which a code
/// holds in its denser, alphanumeric mode.
pub fn print(packed: &Packed) -> String {
    let mut fragment = String::from(packed.packing.letter());
    BASE32_NOPAD.encode_append(&packed.bytes, &mut fragment);
    fragment
}

pub fn parse(fragment: &str) -> Result<Packed, LinkError> {
    if LONGEST < fragment.len() {
        return Err(LinkError::TooLong);
    }
    let is_ours = |packing: &Packing| fragment.starts_with(packing.letter());
    let packing = [Packing::Deflated, Packing::Plain].into_iter().find(is_ours);
    let packing = packing.ok_or(LinkError::Foreign)?;
    let bytes =
        BASE32_NOPAD.decode(&fragment.as_bytes()[1..]).map_err(|_wrong| LinkError::Damaged)?;
    Ok(Packed { packing, bytes })
}

/// The whole link, for a site such as `https://example.org`.
pub fn address(site: &str, fragment: &str) -> String {
    format!("{site}{PAGE}#{fragment}")
}

/// The fragment in what a camera or a person gave: a link, or the fragment alone.
pub fn fragment_of(text: &str) -> &str {
    text.split_once('#').map_or(text, |(_, fragment)| fragment).trim()
}

#[derive(Deserialize, Serialize)]
struct Condensed {
    v: i64,
    check: String,
    routine: Map<String, Value>,
    exercises: Vec<Value>,
}

/// Reads no more of a text than who wrote it, and when.
#[derive(Deserialize)]
struct Head {
    v: Option<i64>,
}

#[derive(Deserialize, Serialize)]
struct Changed {
    from: String,
    #[serde(default = "no_change", skip_serializing_if = "is_no_change")]
    change: Value,
}

fn no_change() -> Value {
    Value::Object(Map::new())
}

fn is_no_change(change: &Value) -> bool {
    change.as_object().is_some_and(Map::is_empty)
}

/// The routine as the short JSON text that a link carries.
///
/// `origin` tells which entry an exercise was made from, and `library` has the entries, as JSON. An
/// exercise without an origin, or with one that the library does not have, travels whole.
///
/// # Errors
/// The routine is too large, or would not come out of the link exactly as it went in.
pub fn condense(
    routine: &Routine,
    origin: impl Fn(&Exercise) -> Option<Origin>,
    library: impl Fn(&str, u32) -> Option<Value>,
) -> Result<String, LinkError> {
    let whole = serde_json::to_value(routine).map_err(|error| unfit(&error))?;
    let check = check(&whole);
    let Value::Object(mut envelope) = whole else { return Err(LinkError::NotTheSame) };
    envelope.remove("exercises");
    let Value::Object(envelope) = patch::between(&common()?, &Value::Object(envelope)) else {
        return Err(LinkError::NotTheSame);
    };
    let exercises = routine.exercises().iter().map(|exercise| {
        let whole = serde_json::to_value(exercise).map_err(|error| unfit(&error))?;
        let short = origin(exercise).and_then(|origin| {
            let entry = library(origin.id.as_str(), origin.revision)?;
            let change = patch::between(&entry, &whole);
            serde_json::to_value(Changed { from: origin.to_string(), change }).ok()
        });
        Ok(short.filter(|short| short.to_string().len() < whole.to_string().len()).unwrap_or(whole))
    });
    let exercises = exercises.collect::<Result<_, _>>()?;
    let condensed = Condensed { v: VERSION, check, routine: envelope, exercises };
    let text = serde_json::to_string(&condensed).map_err(|error| unfit(&error))?;
    if restore(&text, library)?.routine == *routine { Ok(text) } else { Err(LinkError::NotTheSame) }
}

/// Puts a routine together again.
pub fn restore(
    text: &str,
    library: impl Fn(&str, u32) -> Option<Value>,
) -> Result<RoutineFile, LinkError> {
    if LARGEST < text.len() {
        return Err(LinkError::TooLarge);
    }
    let head: Head = serde_json::from_str(text).map_err(|error| match error.classify() {
        serde_json::error::Category::Data => LinkError::Foreign,
        serde_json::error::Category::Eof
        | serde_json::error::Category::Syntax
        | serde_json::error::Category::Io => LinkError::Damaged,
    })?;
    match head.v {
        Some(found) if VERSION < found => return Err(LinkError::TooNew { found }),
        Some(1..) => {}
        Some(_) | None => return Err(LinkError::Foreign),
    }
    let condensed: Condensed = serde_json::from_str(text).map_err(|_wrong| LinkError::Damaged)?;
    // Each entry that is named may be long, so that a short text could unpack to a huge one.
    if Routine::MOST_EXERCISES < condensed.exercises.len() {
        return Err(LinkError::TooLarge);
    }
    let mut whole = common()?;
    patch::apply(&Value::Object(condensed.routine), &mut whole);
    let exercises = condensed.exercises.into_iter().map(|exercise| unfold(exercise, &library));
    whole["exercises"] = exercises.collect::<Result<_, _>>()?;
    if check(&whole) != condensed.check {
        return Err(LinkError::NotTheSame);
    }
    let as_filed = RawValue::from_string(whole.to_string()).map_err(|error| unfit(&error))?;
    let routine = serde_json::from_str(as_filed.get()).map_err(|error| unfit(&error))?;
    Ok(RoutineFile { routine, as_filed })
}

fn unfold(
    exercise: Value,
    library: impl Fn(&str, u32) -> Option<Value>,
) -> Result<Value, LinkError> {
    if exercise.get("from").is_none() {
        return Ok(exercise);
    }
    let changed: Changed = serde_json::from_value(exercise).map_err(|_wrong| LinkError::Damaged)?;
    let origin = Origin::parse(&changed.from).ok_or(LinkError::Damaged)?;
    let mut exercise = library(origin.id.as_str(), origin.revision)
        .ok_or_else(|| LinkError::UnknownEntry { origin: origin.to_string() })?;
    patch::apply(&changed.change, &mut exercise);
    Ok(exercise)
}

fn common() -> Result<Value, LinkError> {
    serde_json::from_str(COMMON).map_err(|error| unfit(&error))
}

fn unfit(error: &serde_json::Error) -> LinkError {
    LinkError::Routine { what: plain::words(error) }
}

/// The CRC-32 of a value's JSON text, its keys in alphabetical order.
fn check(value: &Value) -> String {
    let crc = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);
    format!("{:08x}", crc.checksum(value.to_string().as_bytes()))
}

/// The library that ships with the app, as far as a link needs it.
#[derive(Clone, Debug, Default)]
pub struct Entries(BTreeMap<Origin, Value>);

impl Entries {
    /// Reads the library's text; what is not an entry is passed over.
    pub fn parse(text: &str) -> Self {
        #[derive(Deserialize)]
        struct Library {
            entries: Vec<Entry>,
        }
        #[derive(Deserialize)]
        struct Entry {
            revision: u32,
            exercise: Value,
        }
        let entries = serde_json::from_str(text)
            .map_or_else(|_| Vec::new(), |library: Library| library.entries);
        Self(
            entries
                .into_iter()
                .filter_map(|Entry { revision, exercise }| {
                    let id = Id::new(exercise.get("id")?.as_str()?).ok()?;
                    Some((Origin { id, revision }, exercise))
                })
                .collect(),
        )
    }

    pub fn exercise(&self, id: &str, revision: u32) -> Option<Value> {
        self.0.get(&Origin { id: Id::new(id).ok()?, revision }).cloned()
    }
}
