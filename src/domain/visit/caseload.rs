//! A practitioner's clients: by a label of the practitioner's choice, never by a name or a diagnosis.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::domain::plan::library::Thing;
use crate::domain::words::{Id, Prose, Words};

/// Whether a client is seen at present.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ClientStatus {
    #[default]
    Current,
    Archived,
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Client {
    pub label: Words,
    pub since: NaiveDate,
    #[serde(default)]
    pub standing: ClientStatus,
    /// What is in this home, and so what can be done there.
    #[serde(default)]
    pub home: BTreeSet<Thing>,
    /// Bands and other kit that were lent.
    #[serde(default)]
    pub loans: Vec<Loan>,
    /// The day of the next visit, where one was agreed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next_visit: Option<NaiveDate>,
    /// The visit that is being made, until it is closed.
    #[serde(default, skip_serializing_if = "OpenVisit::is_untouched")]
    pub visit: OpenVisit,
}

impl Client {
    pub fn new(label: Words, since: NaiveDate) -> Self {
        let (home, loans) = (BTreeSet::new(), Vec::new());
        let (standing, visit) = (ClientStatus::Current, OpenVisit::default());
        Self { label, since, standing, home, loans, next_visit: None, visit }
    }

    /// What is still with the client.
    pub fn on_loan(&self) -> impl Iterator<Item = &Loan> {
        self.loans.iter().filter(|loan| loan.back.is_none())
    }
}

/// What is out on loan with any of some clients, found by a part of what it is or of whom it is with: like things
/// stand together, the one that was lent first before the others.
pub fn on_loan<'a>(
    clients: &'a [(Id, Client)],
    sought: &str,
) -> Vec<(&'a Id, &'a Client, &'a Loan)> {
    let sought = sought.trim().to_lowercase();
    let has = |words: &Words| words.to_string().to_lowercase().contains(&sought);
    let of = |(id, client): &'a (Id, Client)| client.on_loan().map(move |loan| (id, client, loan));
    let mut lent: Vec<_> = clients.iter().flat_map(of).collect();
    lent.retain(|(_, client, loan)| has(&client.label) || has(&loan.what));
    lent.sort_by_cached_key(|(_, _, loan)| (loan.what.to_string().to_lowercase(), loan.since));
    lent
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

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Words {
        Words::new(text).unwrap()
    }

    fn day(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 11, day).unwrap()
    }

    fn client(label: &str, lent: &[(&str, u32, Option<u32>)]) -> (Id, Client) {
        let mut client = Client::new(words(label), day(1));
        client.loans = lent
            .iter()
            .map(|&(what, since, back)| Loan {
                what: words(what),
                since: day(since),
                back: back.map(day),
            })
            .collect();
        (Id::new(&label.to_lowercase()).unwrap(), client)
    }

    #[test]
    fn what_is_on_loan_is_found_by_what_it_is_and_by_whom_it_is_with() {
        let clients = [
            client("Banister", &[("light loop band", 9, None), ("ankle weight", 3, Some(10))]),
            client("Rucksack", &[("Light loop band", 2, None), ("ankle weight", 5, None)]),
        ];
        let found = |sought: &str| -> Vec<(String, u32)> {
            let lent = on_loan(&clients, sought).into_iter();
            let short = |(_, client, loan): (_, &Client, &Loan)| {
                (client.label.to_string(), chrono::Datelike::day(&loan.since))
            };
            lent.map(short).collect()
        };
        let of = |label: &str, since| (label.to_owned(), since);
        let all = [of("Rucksack", 5), of("Rucksack", 2), of("Banister", 9)];
        assert_eq!(found(""), all);
        assert_eq!(found(" LOOP "), all[1..]);
        assert_eq!(found("banis"), all[2..]);
        assert_eq!(found("mat"), []);
    }
}
