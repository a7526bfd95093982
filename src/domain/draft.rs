//! A routine in the making: every value in it is in range, and only an empty one is not yet a routine.

use std::time::Duration;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::dose::{Dose, session_time};
use super::ladder::Foothold;
use super::routine::{Exercise, NotARoutine, Parts, Routine, Version};
use super::rule::{Limits, Preset};
use super::words::{Id, Words};

/// Where an exercise belongs in a session: the joint is warmed up first, and the crankiest comes last.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    WarmUp,
    #[default]
    Middle,
    Crankiest,
}

impl Place {
    pub const ALL: [Self; 3] = [Self::WarmUp, Self::Middle, Self::Crankiest];
}

#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Item {
    pub exercise: Exercise,
    #[serde(default)]
    pub place: Place,
}

/// More exercises than this earn a gentle note: two were done better than eight (Henry 1999, Phys Ther 79:270–277).
pub const MANY: usize = 4;

#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Draft {
    pub title: Words,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub practitioner: Option<Words>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<Words>,
    pub limits: Limits,
    #[serde(default)]
    pub cautions: Vec<Words>,
    pub items: Vec<Item>,
}

impl Draft {
    pub const fn new(title: Words) -> Self {
        Self {
            title,
            practitioner: None,
            source: None,
            limits: Limits::of(Preset::PainMonitoring),
            cautions: Vec::new(),
            items: Vec::new(),
        }
    }

    /// Takes a routine up again, to change it.
    pub fn of(routine: &Routine) -> Self {
        let item = |exercise: &Exercise| Item { exercise: exercise.clone(), place: Place::Middle };
        Self {
            title: routine.title.clone(),
            practitioner: routine.practitioner.clone(),
            source: routine.source.clone(),
            limits: routine.limits.clone(),
            cautions: routine.cautions.clone(),
            items: routine.exercises().iter().map(item).collect(),
        }
    }

    /// Adds an exercise at the end. Its id stays, or gets a number where the routine has it already.
    pub fn add(&mut self, exercise: Exercise) {
        self.insert(self.items.len(), exercise, Place::default());
    }

    /// Puts a copy of an exercise after it.
    pub fn duplicate(&mut self, index: usize) {
        if let Some(item) = self.items.get(index).cloned() {
            self.insert(index + 1, item.exercise, item.place);
        }
    }

    fn insert(&mut self, index: usize, mut exercise: Exercise, place: Place) {
        exercise.id = self.free_id(&exercise.id);
        self.items.insert(index, Item { exercise, place });
    }

    fn free_id(&self, wanted: &Id) -> Id {
        let is_free = |id: &Id| self.items.iter().all(|item| item.exercise.id != *id);
        let numbered = |number: usize| {
            let tail = format!("-{number}");
            let stem = &wanted.as_str()[..wanted.as_str().len().min(64 - tail.len())];
            Id::new(&format!("{stem}{tail}")).ok()
        };
        // One more name than there are exercises: at least one of them is free.
        let names = (2..self.items.len() + 3).filter_map(numbered);
        std::iter::once(wanted.clone()).chain(names).find(is_free).unwrap_or_else(|| wanted.clone())
    }

    /// Moves an exercise to another place in the order; the others close up.
    pub fn shift(&mut self, from: usize, to: usize) {
        if from < self.items.len() && to < self.items.len() {
            let item = self.items.remove(from);
            self.items.insert(to, item);
        }
    }

    pub fn remove(&mut self, index: usize) {
        if index < self.items.len() {
            self.items.remove(index);
        }
    }

    /// Warm-up first, crankiest last; otherwise as it was.
    pub fn put_in_order(&mut self) {
        self.items.sort_by_key(|item| item.place);
    }

    pub fn is_in_order(&self) -> bool {
        self.items.is_sorted_by_key(|item| item.place)
    }

    /// Each exercise's dose on the rung it starts from.
    fn doses(&self) -> Vec<Dose> {
        let at_start = |item: &Item| {
            let exercise = &item.exercise;
            Foothold::on(exercise.ladder.start()).dose(&exercise.dose, &exercise.ladder)
        };
        self.items.iter().map(at_start).collect()
    }

    /// Planned time of one session with everything in it.
    pub fn session_time(&self) -> Duration {
        session_time(&self.doses())
    }

    /// Planned time under tension in a week, of all exercises together.
    pub fn work_a_week(&self) -> Duration {
        self.doses().iter().map(|dose| dose.time_under_tension() * dose.times_a_week()).sum()
    }

    /// The routine that this draft has become.
    pub fn routine(
        &self,
        id: Id,
        version: Version,
        client: Option<Words>,
        issued: NaiveDate,
    ) -> Result<Routine, NotARoutine> {
        Routine::of(Parts {
            id,
            version,
            title: self.title.clone(),
            client,
            practitioner: self.practitioner.clone(),
            issued,
            source: self.source.clone(),
            limits: self.limits.clone(),
            cautions: self.cautions.clone(),
            exercises: self.items.iter().map(|item| item.exercise.clone()).collect(),
        })
    }

    /// Whether a routine says the same, whatever its version and date.
    pub fn says_the_same_as(&self, routine: &Routine) -> bool {
        self.title == routine.title
            && self.practitioner == routine.practitioner
            && self.source == routine.source
            && self.limits == routine.limits
            && self.cautions == routine.cautions
            && self.items.iter().map(|item| &item.exercise).eq(routine.exercises())
    }
}
