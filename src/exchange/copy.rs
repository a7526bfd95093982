//! A copy of a whole caseload as one file: every document under its key, each as it is stored.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use thiserror::Error;

/// The version this app writes, and the newest it reads.
const VERSION: i64 = 1;
const FORMAT: &str = "carryover-caseload";
/// The largest copy that is read, in bytes.
const LARGEST: usize = 200_000_000;

#[derive(Deserialize)]
struct Head {
    format: Option<String>,
    version: Option<i64>,
}

#[derive(Deserialize)]
struct Body {
    documents: BTreeMap<String, Box<RawValue>>,
}

/// Why a copy could not be read; each finishes the sentence "This copy could not be opened:".
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CopyError {
    #[error("it is larger than 200 MB")]
    TooLarge,
    #[error("it is not a whole copy of a caseload; part of it is missing or damaged (line {line})")]
    Damaged { line: usize },
    #[error("it is not a copy of a caseload")]
    NotACopy,
    #[error(
        "it was written by a newer version of this app (format {found}; this one reads up to {VERSION})"
    )]
    TooNew { found: i64 },
}

/// Whether a text says that it is such a copy.
pub fn is_copy(text: &str) -> bool {
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
    Ok(body.documents.into_iter().map(|(key, text)| (key, text.get().to_owned())).collect())
}

/// Writes a copy. A stored text that is no JSON is carried as a JSON text, so that nothing is left behind.
pub fn print<'a>(documents: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    #[derive(Serialize)]
    struct Wire<'a> {
        format: &'static str,
        version: i64,
        documents: BTreeMap<&'a str, Box<RawValue>>,
    }
    let raw = |text: &str| {
        let as_it_is = RawValue::from_string(text.to_owned());
        as_it_is.or_else(|_not_json| serde_json::value::to_raw_value(text))
    };
    let documents = documents.filter_map(|(key, text)| Some((key, raw(text).ok()?))).collect();
    serde_json::to_string(&Wire { format: FORMAT, version: VERSION, documents }).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_gives_back_what_went_in() {
        let documents =
            [("client/a", r#"{"label":"Round 7"}"#), ("log/a/1", r#"{"x": [1, 2.50]}"#)];
        let copy = print(documents.into_iter());
        assert!(is_copy(&copy));
        let back = parse(&copy).unwrap();
        let back: Vec<(&str, &str)> =
            back.iter().map(|(key, text)| (key.as_str(), text.as_str())).collect();
        assert_eq!(back, documents);
    }

    #[test]
    fn every_cut_of_a_copy_is_refused() {
        let copy = print([("client/a", r#"{"label":"Round 7"}"#)].into_iter());
        for end in 0..copy.len() {
            assert!(matches!(parse(&copy[..end]), Err(CopyError::Damaged { .. })), "cut at {end}");
        }
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
