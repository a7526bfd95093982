//! The mornings of a log by their date, as the rule reads them: one a date, from 04:00 on, and of two
//! answers on one morning the worse counts, rating and swelling apart. A late answer's rating is read only
//! while an exercise waits for a settled morning.

use std::collections::BTreeMap;

use chrono::{NaiveDate, Timelike};

use super::course::{Course, MORNING_FROM};
use super::history::{History, MorningAnswer};
use super::rule::Swelling;
use crate::domain::pain::PainRating;
use crate::domain::words::Id;

/// What was answered on one morning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answered {
    /// Whether any of its answers was about the day before.
    pub in_time: bool,
    pub ratings: BTreeMap<Id, PainRating>,
    pub swelling: Swelling,
}

/// Every answered morning of a log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mornings(BTreeMap<NaiveDate, Answered>);

/// Whether an answer is one of a morning; before 04:00 it still belongs to the night.
pub fn is_of_a_morning(answer: &MorningAnswer) -> bool {
    MORNING_FROM <= answer.at.hour()
}

/// Whether the rule read the rating of a late answer.
fn was_read(history: &History, exercise: &Id, answer: &MorningAnswer) -> bool {
    let mornings = history.course(exercise).map(Course::mornings).unwrap_or_default();
    let date = answer.at.date_naive();
    mornings.binary_search_by_key(&date, |morning| morning.date).is_ok()
}

impl Mornings {
    pub fn of(history: &History) -> Self {
        let mut mornings: BTreeMap<NaiveDate, Answered> = BTreeMap::new();
        for answer in history.mornings().iter().filter(|answer| is_of_a_morning(answer)) {
            let of_date = mornings.entry(answer.at.date_naive()).or_insert_with(|| Answered {
                in_time: false,
                ratings: BTreeMap::new(),
                swelling: answer.swelling,
            });
            of_date.in_time |= answer.in_time();
            of_date.swelling = of_date.swelling.max(answer.swelling);
            let is_read = |exercise: &Id| answer.in_time() || was_read(history, exercise, answer);
            for (exercise, rating) in
                answer.ratings.iter().filter(|(exercise, _)| is_read(exercise))
            {
                let worst = of_date.ratings.entry(exercise.clone()).or_insert(*rating);
                *worst = (*worst).max(*rating);
            }
        }
        Self(mornings)
    }

    /// The morning of a date.
    pub fn on(&self, date: NaiveDate) -> Option<&Answered> {
        self.0.get(&date)
    }

    /// The morning after a day.
    pub fn after(&self, day: NaiveDate) -> Option<&Answered> {
        self.on(day.succ_opt()?)
    }

    /// How many mornings were answered.
    pub fn count(&self) -> usize {
        self.0.len()
    }
}
