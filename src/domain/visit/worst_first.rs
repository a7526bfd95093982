//! Which client of a caseload comes first: the worst one.

use std::cmp::Ordering;

use chrono::NaiveDate;

use super::glance::Ask;

/// One client as the caseload reads them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Case {
    pub label: String,
    /// What there is to say, the worst first.
    pub asks: Vec<Ask>,
    pub next_visit: Option<NaiveDate>,
}

impl Case {
    pub fn new(label: String, mut asks: Vec<Ask>, next_visit: Option<NaiveDate>) -> Self {
        asks.sort_by_key(Ask::place);
        Self { label, asks, next_visit }
    }

    /// Whether something must be done about it before the next visit.
    pub fn is_to_act_on(&self) -> bool {
        self.asks.iter().any(Ask::must_be_done)
    }
}

/// Of two clients, the one whose worst trouble is the worse comes first. Where it is the same, the one who has
/// more besides; then the one who has had it for longer; then the one who is seen sooner; then by the label.
pub fn worst_first(one: &Case, other: &Case) -> Ordering {
    let by_trouble = troubles(one).cmp(&troubles(other));
    let by_age = || since(one).cmp(&since(other));
    let by_visit = || next_visit(one).cmp(&next_visit(other));
    let by_label = || one.label.to_lowercase().cmp(&other.label.to_lowercase());
    by_trouble.then_with(by_age).then_with(by_visit).then_with(by_label)
}

/// The places of all that is asked; where one list ends, the other has more.
fn troubles(case: &Case) -> Vec<u8> {
    case.asks.iter().map(Ask::place).chain([u8::MAX]).collect()
}

fn since(case: &Case) -> NaiveDate {
    case.asks.first().and_then(Ask::since).unwrap_or(NaiveDate::MAX)
}

fn next_visit(case: &Case) -> NaiveDate {
    case.next_visit.unwrap_or(NaiveDate::MAX)
}
