//! A routine as a link: short enough for one code on a screen.
//!
//! What the app's library has is named, not carried: an exercise travels as the entry it came from and
//! what was changed in it. The reader puts the routine together again and compares a checksum of the
//! whole, so that it gets the very same routine, or none.
//!
//! A link is written in three steps: [`condense`], then deflate (RFC 1951) where the browser can, then
//! [`print`]. It is read in the same three, backwards: [`parse`], inflate, [`restore`].

use std::cmp::Reverse;
use std::fmt;

use data_encoding::BASE32_NOPAD;
use serde_json::value::RawValue;
use serde_json::{Value, json};

use super::file::{self, RoutineFile};
use super::{checksum, patch};
use crate::domain::plan::routine::{Exercise, Routine};
use crate::domain::refused::Complaint;
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

/// The names of a link's parts.
const V: &str = "v";
const CHECK: &str = "check";
const ROUTINE: &str = "routine";
const EXERCISES: &str = "exercises";
const FROM: &str = "from";
const CHANGE: &str = "change";

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

/// Why a routine could not be taken from a link or code, or put into one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LinkError {
    Foreign,
    Damaged,
    TooLong,
    TooLarge,
    TooNew { found: i64 },
    UnknownEntry { origin: String },
    NotTheSame,
    Routine(Complaint),
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

/// Whether a text that was scanned is a link of this app, or its fragment alone, be it damaged or too new.
pub fn is_ours(text: &str) -> bool {
    parse(fragment_of(text)) != Err(LinkError::Foreign)
}

/// The fragment in what a camera or a person gave: a link, or the fragment alone.
pub fn fragment_of(text: &str) -> &str {
    text.split_once('#').map_or(text, |(_, fragment)| fragment).trim()
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
    let mut whole = serde_json::to_value(routine).map_err(|error| unfit(&error))?;
    canonicalise(&mut whole);
    let check = checksum::of(&whole.to_string());
    let Value::Object(mut envelope) = whole else { return Err(LinkError::NotTheSame) };
    envelope.remove(EXERCISES);
    let Value::Object(envelope) = patch::between(&common()?, &Value::Object(envelope)) else {
        return Err(LinkError::NotTheSame);
    };
    let exercises = routine.exercises().iter().map(|exercise| {
        let mut whole = serde_json::to_value(exercise).map_err(|error| unfit(&error))?;
        canonicalise(&mut whole);
        let short = origin(exercise).and_then(|origin| {
            let mut entry = library(origin.id.as_str(), origin.revision)?;
            canonicalise(&mut entry);
            let mut short = json!({ FROM: origin.to_string() });
            let change = patch::between(&entry, &whole);
            if change != json!({}) {
                short[CHANGE] = change;
            }
            Some(short)
        });
        Ok(short.filter(|short| short.to_string().len() < whole.to_string().len()).unwrap_or(whole))
    });
    let exercises = exercises.collect::<Result<Value, _>>()?;
    let condensed = json!({ V: VERSION, CHECK: check, ROUTINE: envelope, EXERCISES: exercises });
    let text = condensed.to_string();
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
    let condensed = serde_json::from_str(text).map_err(|_wrong| LinkError::Damaged)?;
    let Value::Object(mut condensed) = condensed else { return Err(LinkError::Foreign) };
    match condensed.get(V).and_then(Value::as_i64) {
        Some(found) if VERSION < found => return Err(LinkError::TooNew { found }),
        Some(1..) => {}
        Some(_) | None => return Err(LinkError::Foreign),
    }
    let mut part = |name: &str| condensed.remove(name);
    let (
        Some(Value::String(carried)),
        Some(Value::Object(envelope)),
        Some(Value::Array(exercises)),
    ) = (part(CHECK), part(ROUTINE), part(EXERCISES))
    else {
        return Err(LinkError::Damaged);
    };
    // Each entry that is named may be long, so that a short text could unpack to a huge one.
    if Routine::MOST_EXERCISES < exercises.len() {
        return Err(LinkError::TooLarge);
    }
    let mut whole = common()?;
    patch::apply(&Value::Object(envelope), &mut whole);
    let exercises = exercises.into_iter().map(|exercise| unfold(exercise, &library));
    whole[EXERCISES] = exercises.collect::<Result<_, _>>()?;
    canonicalise(&mut whole);
    if checksum::of(&whole.to_string()) != carried {
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
    let Some(from) = exercise.get(FROM) else { return Ok(exercise) };
    let origin = from.as_str().and_then(Origin::parse).ok_or(LinkError::Damaged)?;
    let mut whole = library(origin.id.as_str(), origin.revision)
        .ok_or_else(|| LinkError::UnknownEntry { origin: origin.to_string() })?;
    if let Some(change) = exercise.get(CHANGE) {
        patch::apply(change, &mut whole);
    }
    Ok(whole)
}

fn common() -> Result<Value, LinkError> {
    serde_json::from_str(COMMON).map_err(|error| unfit(&error))
}

fn unfit(error: &serde_json::Error) -> LinkError {
    LinkError::Routine(Complaint::of(error))
}

/// Writes whole numbers without a point, as RFC 8785 has it: 2 and 2.0 are the same.
pub(super) fn canonicalise(value: &mut Value) {
    match value {
        Value::Array(values) => values.iter_mut().for_each(canonicalise),
        Value::Object(fields) => fields.values_mut().for_each(canonicalise),
        Value::Number(number) if number.is_f64() => {
            let whole =
                number.as_f64().filter(|number| number.fract() == 0.0 && number.abs() < 1e15);
            #[expect(
                clippy::cast_possible_truncation,
                reason = "a whole number far below the limit"
            )]
            if let Some(whole) = whole {
                *value = (whole as i64).into();
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// The entries of the library that a link's text names, as many as a routine can have; none where it is not
/// the text of a link.
pub fn named(text: &str) -> Vec<Origin> {
    let condensed: Value = serde_json::from_str(text).unwrap_or_default();
    let exercises = condensed[EXERCISES].as_array().into_iter().flatten();
    let named = exercises.filter_map(|exercise| Origin::parse(exercise[FROM].as_str()?));
    named.take(Routine::MOST_EXERCISES).collect()
}

/// The library that ships with the app, as far as a link needs it.
#[derive(Clone, Debug, Default)]
pub struct LibraryEntries(Vec<(Origin, Value)>);

impl LibraryEntries {
    /// Reads the library's text; what is not an entry is passed over.
    pub fn parse(text: &str) -> Self {
        let library: Value = serde_json::from_str(text).unwrap_or_default();
        let entries = library["entries"].as_array().into_iter().flatten();
        Self(entries.filter_map(entry).collect())
    }

    /// Reads entries that come each by itself.
    pub fn each(texts: impl Iterator<Item = String>) -> Self {
        Self(texts.filter_map(|text| entry(&serde_json::from_str(&text).ok()?)).collect())
    }

    pub fn has(&self, origin: &Origin) -> bool {
        self.0.iter().any(|(known, _)| known == origin)
    }

    /// Of the revisions of an entry, the one from which an exercise differs least, so that a link carries
    /// little: what was taken from an older one stays as it was.
    pub fn nearest(&self, id: &str, exercise: &Exercise) -> Option<Origin> {
        let mut whole = serde_json::to_value(exercise).ok()?;
        canonicalise(&mut whole);
        let revisions = self.0.iter().filter(|(origin, _)| origin.id.as_str() == id);
        let apart = |entry: &Value| {
            let mut entry = entry.clone();
            canonicalise(&mut entry);
            patch::between(&entry, &whole).to_string().len()
        };
        let nearest =
            revisions.min_by_key(|(origin, entry)| (apart(entry), Reverse(origin.revision)));
        nearest.map(|(origin, _)| origin.clone())
    }

    /// The entry that an exercise was made from: a second one of the same routine has a number after the
    /// entry's id.
    pub fn origin_of(&self, exercise: &Exercise) -> Option<Origin> {
        let id = exercise.id.as_str();
        let stem = id.rsplit_once('-').filter(|(_, number)| number.parse::<u16>().is_ok());
        let names = [Some(id), stem.map(|(stem, _)| stem)];
        names.into_iter().flatten().find_map(|name| self.nearest(name, exercise))
    }

    pub fn exercise(&self, id: &str, revision: u32) -> Option<Value> {
        let is_meant = |origin: &Origin| origin.id.as_str() == id && origin.revision == revision;
        self.0.iter().find(|(origin, _)| is_meant(origin)).map(|(_, exercise)| exercise.clone())
    }
}

fn entry(entry: &Value) -> Option<(Origin, Value)> {
    let exercise = entry["exercise"].clone();
    let id = Id::new(exercise["id"].as_str()?).ok()?;
    let revision = u32::try_from(entry["revision"].as_u64()?).ok()?;
    Some((Origin { id, revision }, exercise))
}
