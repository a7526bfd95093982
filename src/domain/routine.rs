//! The routine that a practitioner hands over: ordered exercises with their limits and cautions.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::dose::{
    Action, Days, Dose, Phase, PhaseSecs, Reps, RestSecs, Sets, Sides, Tempo, TimesADay,
};
use super::event::EventId;
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

impl Exercise {
    /// An exercise of which nothing is known but its name: two sets of ten, slowly, on a ladder of one
    /// rung (common practice, no source). Its id is made from the name.
    pub fn named(name: Words) -> Self {
        let phase = |action| Phase { action, secs: PhaseSecs::nearest(2), how: None };
        Self {
            id: Id::from_words(&name),
            name,
            purpose: None,
            equipment: Vec::new(),
            steps: Vec::new(),
            watch_for: Vec::new(),
            cautions: Vec::new(),
            dose: Dose {
                sets: Sets::nearest(2),
                reps: Reps::nearest(10),
                tempo: Tempo::pair(phase(Action::Lift), phase(Action::Lower)),
                rest_secs: RestSecs::nearest(60),
                sides: Sides::Together,
                load: None,
                times_a_day: TimesADay::LEAST,
                days: Days::EVERY,
            },
            ladder: Ladder::of_one(),
            limits: None,
            source: None,
            photo: None,
        }
    }
}

/// What the practitioner answers to something that the client wrote, beside the client's exact words.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Answer {
    /// The note in the client's log that is answered.
    pub to: EventId,
    /// The client's calendar day on which it was written.
    #[serde(with = "super::day")]
    pub asked: NaiveDate,
    pub question: Words,
    pub answer: Words,
}

/// A routine that exists has 1 to [`Routine::MOST_EXERCISES`] exercises with ids of their own.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(try_from = "Parts", into = "Parts")]
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
    /// Answers to what the client wrote, which travel with this version.
    pub answers: Vec<Answer>,
    exercises: Vec<Exercise>,
}

/// What a routine is made of, before it is known to be one.
#[derive(Deserialize, Serialize)]
pub struct Parts {
    pub id: Id,
    pub version: Version,
    pub title: Words,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub client: Option<Words>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub practitioner: Option<Words>,
    #[serde(with = "super::day")]
    pub issued: NaiveDate,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<Words>,
    pub limits: Limits,
    #[serde(default)]
    pub cautions: Vec<Words>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<Answer>,
    pub exercises: Vec<Exercise>,
}

impl Routine {
    pub const MOST_EXERCISES: usize = 20;
    pub const MOST_LINES: usize = 20;
    pub const MOST_ANSWERS: usize = 50;

    /// Puts a routine together.
    pub fn of(parts: Parts) -> Result<Self, NotARoutine> {
        if !(1..=Self::MOST_EXERCISES).contains(&parts.exercises.len()) {
            return Err(NotARoutine::Exercises { exercises: parts.exercises.len() });
        }
        let mut seen = BTreeSet::new();
        for exercise in &parts.exercises {
            if !seen.insert(&exercise.id) {
                return Err(NotARoutine::RepeatedId { id: exercise.id.as_str().to_owned() });
            }
            let lists =
                [&exercise.equipment, &exercise.steps, &exercise.watch_for, &exercise.cautions];
            if lists.iter().any(|list| Self::MOST_LINES < list.len()) {
                return Err(NotARoutine::TooManyLines { id: exercise.id.as_str().to_owned() });
            }
        }
        let every_limits = parts.exercises.iter().filter_map(|exercise| exercise.limits.as_ref());
        if every_limits.chain([&parts.limits]).any(|limits| 6 < limits.sites.len()) {
            return Err(NotARoutine::TooManySites);
        }
        if Self::MOST_ANSWERS < parts.answers.len() {
            return Err(NotARoutine::TooManyAnswers { answers: parts.answers.len() });
        }
        Ok(Self {
            id: parts.id,
            version: parts.version,
            title: parts.title,
            client: parts.client,
            practitioner: parts.practitioner,
            issued: parts.issued,
            source: parts.source,
            limits: parts.limits,
            cautions: parts.cautions,
            answers: parts.answers,
            exercises: parts.exercises,
        })
    }

    /// The exercises in the order in which they are done.
    pub fn exercises(&self) -> &[Exercise] {
        &self.exercises
    }

    pub fn exercise(&self, id: &Id) -> Option<&Exercise> {
        self.exercises.iter().find(|exercise| exercise.id == *id)
    }

    pub fn has_photos(&self) -> bool {
        self.exercises.iter().any(|exercise| exercise.photo.is_some())
    }

    /// The same routine with no photos, for a way that has no room for them.
    #[must_use]
    pub fn without_photos(mut self) -> Self {
        for exercise in &mut self.exercises {
            exercise.photo = None;
        }
        self
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

impl TryFrom<Parts> for Routine {
    type Error = NotARoutine;

    fn try_from(parts: Parts) -> Result<Self, NotARoutine> {
        Self::of(parts)
    }
}

impl From<Routine> for Parts {
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
            answers: routine.answers,
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
    #[error("a routine carries up to {} answers, not {answers}", Routine::MOST_ANSWERS)]
    TooManyAnswers { answers: usize },
}
