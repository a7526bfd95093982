//! How a refusal gets through a reader of JSON, which passes on no more than a text of why a value was refused.

use std::fmt;

use serde::Serialize;

/// Why a value is not one of the domain's.
pub trait Refusal: Serialize {
    /// What stands for its type in the text that a reader of JSON passes on.
    const NAME: &'static str;
}

/// A refusal on its way through a reader of JSON. Its text is the refusal itself as JSON, under its name, so
/// that whoever words it has all that it says; no person reads that text as it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refused<E>(pub E);

impl<E: Refusal> fmt::Display for Refused<E> {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        let why = serde_json::to_string(&self.0).unwrap_or_default();
        write!(to, "{{\"{}\":{why}}}", E::NAME)
    }
}

/// What a reader of JSON found wrong, in its own text, and where; `0` where it cannot tell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Complaint {
    pub what: String,
    pub line: usize,
    pub column: usize,
}

impl Complaint {
    pub fn of(error: &serde_json::Error) -> Self {
        let (line, column) = (error.line(), error.column());
        let mut what = error.to_string();
        if let Some(without) = what.strip_suffix(&format!(" at line {line} column {column}")) {
            what.truncate(without.len());
        }
        Self { what, line, column }
    }
}
