//! A copy of a whole caseload as one file: every document under its key, each as it is stored.

use std::collections::BTreeMap;
use std::fmt;

use serde::de::{IgnoredAny, MapAccess, Visitor};
use serde::{Deserialize, Deserializer};
use serde_json::value::RawValue;

use super::checksum;

/// The version this app writes, and the newest it reads.
pub const VERSION: i64 = 1;
const FORMAT: &str = "carryover-caseload";
/// The largest copy that is read, in bytes.
pub const LARGEST: usize = 200_000_000;
/// The most documents of a copy: more than fit with an entry of a log in each.
pub const MOST_DOCUMENTS: usize = 1_500_000;

#[derive(Deserialize)]
struct Head {
    format: Option<String>,
    version: Option<i64>,
}

#[derive(Deserialize)]
struct Body<'a> {
    check: Option<String>,
    #[serde(borrow)]
    documents: &'a RawValue,
}

/// Documents by their keys, at most [`MOST_DOCUMENTS`]: the rest is not kept, and only makes them too many.
#[derive(Default)]
struct Documents {
    by_key: BTreeMap<String, Box<RawValue>>,
    are_too_many: bool,
}

impl<'de> Deserialize<'de> for Documents {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Few;
        impl<'de> Visitor<'de> for Few {
            type Value = Documents;

            fn expecting(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
                to.write_str("a map of documents")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Documents, A::Error> {
                let mut read = Documents::default();
                while read.by_key.len() < MOST_DOCUMENTS {
                    let Some((key, document)) = map.next_entry()? else { return Ok(read) };
                    read.by_key.insert(key, document);
                }
                while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {
                    read.are_too_many = true;
                }
                Ok(read)
            }
        }
        from.deserialize_map(Few)
    }
}

/// Why a copy could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CopyError {
    TooLarge,
    TooMany,
    Damaged { line: usize },
    Changed,
    NotACopy,
    TooNew { found: i64 },
}

/// Whether a text says that it is such a copy.
pub fn is_copy(text: &str) -> bool {
    if LARGEST < text.len() {
        // Too large to be read, so that it is judged by how this app begins one.
        return text.starts_with(&format!("{{\"format\":\"{FORMAT}\""));
    }
    serde_json::from_str::<Head>(text).is_ok_and(|head| head.format.as_deref() == Some(FORMAT))
}

/// Reads a copy: each document's key and text.
pub fn parse(text: &str) -> Result<Vec<(String, String)>, CopyError> {
    if LARGEST < text.len() {
        return Err(CopyError::TooLarge);
    }
    let damaged = |error: serde_json::Error| CopyError::Damaged { line: error.line() };
    let head: Head = serde_json::from_str(text).map_err(damaged)?;
    if head.format.as_deref() != Some(FORMAT) {
        return Err(CopyError::NotACopy);
    }
    match head.version {
        Some(1..=VERSION) => {}
        Some(found) if VERSION < found => return Err(CopyError::TooNew { found }),
        Some(_) | None => return Err(CopyError::NotACopy),
    }
    let body: Body = serde_json::from_str(text).map_err(damaged)?;
    if body.check.is_some_and(|check| check != checksum::of(body.documents.get())) {
        return Err(CopyError::Changed);
    }
    let documents: Documents = serde_json::from_str(body.documents.get()).map_err(damaged)?;
    if documents.are_too_many {
        return Err(CopyError::TooMany);
    }
    let document = |(key, raw): (String, Box<RawValue>)| {
        let text = serde_json::from_str::<String>(raw.get());
        (key, text.unwrap_or_else(|_a_document| raw.get().to_owned()))
    };
    Ok(documents.by_key.into_iter().map(document).collect())
}

/// Writes a copy. A document is an object and stands there as it is; any other stored text is carried as a
/// JSON text, so that each comes back letter for letter.
pub fn print<'a>(documents: impl Iterator<Item = (String, &'a str)>) -> String {
    let raw = |text: &str| match RawValue::from_string(text.to_owned()) {
        Ok(object) if text.starts_with('{') && object.get() == text => Ok(object),
        Ok(_) | Err(_) => serde_json::value::to_raw_value(text),
    };
    let documents: BTreeMap<String, Box<RawValue>> =
        documents.filter_map(|(key, text)| Some((key, raw(text).ok()?))).collect();
    let documents = serde_json::to_string(&documents).unwrap_or_default();
    let check = checksum::of(&documents);
    format!(
        r#"{{"format":"{FORMAT}","version":{VERSION},"check":"{check}","documents":{documents}}}"#
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn copy_of(documents: &[(&str, &str)]) -> String {
        print(documents.iter().map(|(key, text)| ((*key).to_owned(), *text)))
    }

    #[test]
    fn a_copy_gives_back_what_went_in_letter_for_letter() {
        let documents = [
            ("client/a", r#"{"label":"Round 7"}"#),
            ("client/b", "{\"label\":\n\"Round 8\"} "),
            ("client/c", r#"{"label":"#),
            ("draft/a", r#""a text""#),
            ("draft/b", ""),
            ("draft/c", "7"),
            ("log/a/1", r#"{"x": [1, 2.50]}"#),
        ];
        let copy = copy_of(&documents);
        assert!(is_copy(&copy));
        let back = parse(&copy).unwrap();
        let back: Vec<(&str, &str)> =
            back.iter().map(|(key, text)| (key.as_str(), text.as_str())).collect();
        assert_eq!(back, documents);
    }

    #[test]
    fn every_cut_of_a_copy_is_refused() {
        let copy = copy_of(&[("client/a", r#"{"label":"Round 7"}"#)]);
        for end in 0..copy.len() {
            assert!(matches!(parse(&copy[..end]), Err(CopyError::Damaged { .. })), "cut at {end}");
        }
    }

    /// The limit is told before the documents fill the memory.
    #[test]
    fn a_copy_of_nothing_but_keys_is_refused() {
        let keys: Vec<String> = (0..=MOST_DOCUMENTS).map(|key| format!("\"{key}\":7")).collect();
        let documents = keys.join(",");
        let copy = format!(r#"{{"format":"{FORMAT}","version":1,"documents":{{{documents}}}}}"#);
        assert_eq!(parse(&copy), Err(CopyError::TooMany));
    }

    #[test]
    fn what_is_no_copy_or_a_newer_one_is_refused() {
        assert_eq!(parse("{}"), Err(CopyError::NotACopy));
        assert_eq!(
            parse(r#"{"format":"carryover-caseload","version":2,"documents":{}}"#),
            Err(CopyError::TooNew { found: 2 })
        );
    }
}
