//! The routine that a practitioner hands over: ordered exercises with their limits and cautions.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::dose::Dose;
use super::ladder::Ladder;
use super::photo::Photo;
use super::rule::Limits;
use super::words::{Id, Words, whole_number};

whole_number!(
    /// Counts the versions of one routine, from 1.
    Version, 1..=9999, "versions"
);

/// One exercise as the practitioner set it for one client.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Exercise {
    pub id: Id,
    pub name: Words,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub purpose: Option<Words>,
    /// What to fetch before starting.
    #[serde(default)]
    pub equipment: Vec<Words>,
    /// Set-up and movement, a short line a step.
    pub steps: Vec<Words>,
    #[serde(default)]
    pub watch_for: Vec<Words>,
    #[serde(default)]
    pub cautions: Vec<Words>,
    pub dose: Dose,
    pub ladder: Ladder,
    /// This exercise's own limits, where they differ from the routine's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<Limits>,
    /// Where the dose was published, or that it is common practice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<Words>,
    /// The client's own set-up, as it was found at the visit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<Photo>,
}

/// A routine that exists has 1 to [`Routine::MOST_EXERCISES`] exercises with ids of their own.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(try_from = "WireRoutine", into = "WireRoutine")]
pub struct Routine {
    pub id: Id,
    pub version: Version,
    pub title: Words,
    /// A label that the practitioner chose; no name is needed.
    pub client: Option<Words>,
    /// How the client knows the practitioner.
    pub practitioner: Option<Words>,
    pub issued: NaiveDate,
    pub source: Option<Words>,
    pub limits: Limits,
    pub cautions: Vec<Words>,
    exercises: Vec<Exercise>,
}

#[derive(Deserialize, Serialize)]
struct WireRoutine {
    id: Id,
    version: Version,
    title: Words,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    client: Option<Words>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    practitioner: Option<Words>,
    issued: NaiveDate,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    source: Option<Words>,
    limits: Limits,
    #[serde(default)]
    cautions: Vec<Words>,
    exercises: Vec<Exercise>,
}

impl Routine {
    pub const MOST_EXERCISES: usize = 20;
    const MOST_LINES: usize = 20;

    /// The exercises in the order in which they are done.
    pub fn exercises(&self) -> &[Exercise] {
        &self.exercises
    }

    pub fn exercise(&self, id: &Id) -> Option<&Exercise> {
        self.exercises.iter().find(|exercise| exercise.id == *id)
    }

    /// The limits that hold for an exercise: its own, or the routine's.
    pub fn limits_for<'a>(&'a self, exercise: &'a Exercise) -> &'a Limits {
        exercise.limits.as_ref().unwrap_or(&self.limits)
    }

    /// What to fetch for some of the exercises, each thing once, in order of first use.
    pub fn equipment<'a>(exercises: impl IntoIterator<Item = &'a Exercise>) -> Vec<&'a Words> {
        let mut things: Vec<&Words> = Vec::new();
        for thing in exercises.into_iter().flat_map(|exercise| &exercise.equipment) {
            if !things.contains(&thing) {
                things.push(thing);
            }
        }
        things
    }
}

impl TryFrom<WireRoutine> for Routine {
    type Error = NotARoutine;

    fn try_from(wire: WireRoutine) -> Result<Self, NotARoutine> {
        if !(1..=Self::MOST_EXERCISES).contains(&wire.exercises.len()) {
            return Err(NotARoutine::Exercises { exercises: wire.exercises.len() });
        }
        let mut seen = BTreeSet::new();
        for exercise in &wire.exercises {
            if !seen.insert(&exercise.id) {
                return Err(NotARoutine::RepeatedId { id: exercise.id.as_str().to_owned() });
            }
            let lists =
                [&exercise.equipment, &exercise.steps, &exercise.watch_for, &exercise.cautions];
            if lists.iter().any(|list| Self::MOST_LINES < list.len()) {
                return Err(NotARoutine::TooManyLines { id: exercise.id.as_str().to_owned() });
            }
        }
        let every_limits = wire.exercises.iter().filter_map(|exercise| exercise.limits.as_ref());
        if every_limits.chain([&wire.limits]).any(|limits| 6 < limits.sites.len()) {
            return Err(NotARoutine::TooManySites);
        }
        Ok(Self {
            id: wire.id,
            version: wire.version,
            title: wire.title,
            client: wire.client,
            practitioner: wire.practitioner,
            issued: wire.issued,
            source: wire.source,
            limits: wire.limits,
            cautions: wire.cautions,
            exercises: wire.exercises,
        })
    }
}

impl From<Routine> for WireRoutine {
    fn from(routine: Routine) -> Self {
        Self {
            id: routine.id,
            version: routine.version,
            title: routine.title,
            client: routine.client,
            practitioner: routine.practitioner,
            issued: routine.issued,
            source: routine.source,
            limits: routine.limits,
            cautions: routine.cautions,
            exercises: routine.exercises,
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum NotARoutine {
    #[error("a routine has 1 to {} exercises, not {exercises}", Routine::MOST_EXERCISES)]
    Exercises { exercises: usize },
    #[error("two exercises have the id \"{id}\"")]
    RepeatedId { id: String },
    #[error("exercise \"{id}\" has a list of more than {} lines", Routine::MOST_LINES)]
    TooManyLines { id: String },
    #[error("more than 6 sites are named")]
    TooManySites,
}
