//! A practitioner's clients: by a label of the practitioner's choice, never by a name or a diagnosis.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::domain::plan::library::Thing;
use crate::domain::words::{Prose, Words};

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
    /// The visit that is being made, until it is closed.
    #[serde(default, skip_serializing_if = "OpenVisit::is_untouched")]
    pub visit: OpenVisit,
}

impl Client {
    pub fn new(label: Words, since: NaiveDate) -> Self {
        let (home, loans) = (BTreeSet::new(), Vec::new());
        let (standing, visit) = (Standing::Current, OpenVisit::default());
        Self { label, since, standing, home, loans, visit }
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

/// A visit that is being made: what was put aside, and what was written so far.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
pub struct OpenVisit {
    /// Ids of the talking points that were put aside for this visit.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub put_aside: BTreeSet<String>,
    /// What was seen and agreed, in the practitioner's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub agreed: Option<Words>,
    /// The visit note, once it was changed by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub record: Option<Prose>,
}

impl OpenVisit {
    pub fn is_untouched(&self) -> bool {
        *self == Self::default()
    }
}

/// What the practitioner noted at a visit.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Visit {
    pub day: NaiveDate,
    /// What was seen and agreed, or in a line what the visit came to.
    pub note: Words,
    /// The visit note as it stood when the visit was closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub record: Option<Prose>,
}
