//! A practitioner's clients: by a label of the practitioner's choice, never by a name or a diagnosis.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::library::Thing;
use super::words::Words;

/// Whether a client is seen at present.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    #[default]
    Current,
    Archived,
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Client {
    pub label: Words,
    pub since: NaiveDate,
    #[serde(default)]
    pub standing: Standing,
    /// What is in this home, and so what can be done there.
    #[serde(default)]
    pub home: BTreeSet<Thing>,
    /// Bands and other kit that were lent.
    #[serde(default)]
    pub loans: Vec<Loan>,
}

impl Client {
    pub fn new(label: Words, since: NaiveDate) -> Self {
        let (home, loans) = (BTreeSet::new(), Vec::new());
        Self { label, since, standing: Standing::Current, home, loans }
    }

    /// What is still with the client.
    pub fn on_loan(&self) -> impl Iterator<Item = &Loan> {
        self.loans.iter().filter(|loan| loan.back.is_none())
    }
}

/// A thing that was lent, since when, and when it came back.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Loan {
    pub what: Words,
    pub since: NaiveDate,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub back: Option<NaiveDate>,
}

/// What the practitioner noted at a visit.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Visit {
    pub day: NaiveDate,
    pub note: Words,
}
