//! The routine that a practitioner hands over: ordered exercises with their limits and cautions.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::dose::{
    Action, Days, Dose, Load, Phase, PhaseSecs, Reps, RestSecs, Sets, Sides, Tempo, TimesADay,
};
use super::ladder::{Ladder, Rung, RungNumber};
use super::limits::Limits;
use super::phone::PhoneNumber;
use super::photo::Photo;
use crate::domain::event_id::EventId;
use crate::domain::pain::PainRating;
use crate::domain::refused::{Refusal, Refused};
use crate::domain::words::{Id, Words, whole_number};

whole_number!(
    /// Counts the versions of one routine, from 1.
    Version, 1..=9999
);

/// Whether the question about swelling reaches an exercise: whether it loads that joint.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SwellingReach {
    #[default]
    Reaches,
    OutOfReach,
}

impl SwellingReach {
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
    fn is_default(&self) -> bool {
        *self == Self::Reaches
    }
}

/// What a version says of an exercise that is on Hold or stopped when it is taken on. Where it says
/// nothing, stops are lifted and days off stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OnHold {
    /// Opens it at once.
    Open,
    /// Leaves it as it is.
    Leave,
}

/// What a version says of the mornings that a rise is measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AnchorChange {
    /// They are usually like this.
    Set { rating: PainRating },
    /// They are found anew, from the first mornings that count from now on.
    Clear,
}

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
    /// Whether swelling speaks of this exercise.
    #[serde(default, skip_serializing_if = "SwellingReach::is_default")]
    pub swelling: SwellingReach,
    /// Where the dose was published, or that it is common practice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<Words>,
    /// The client's own set-up, as it was found at the visit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<Photo>,
}

impl Exercise {
    /// What to fetch before starting on a rung.
    pub fn equipment_on(&self, rung: RungNumber) -> &[Words] {
        self.ladder.rung(rung).words.equipment.as_ref().unwrap_or(&self.equipment)
    }

    /// How it is done on a rung.
    pub fn steps_on(&self, rung: RungNumber) -> &[Words] {
        self.ladder.rung(rung).words.steps.as_ref().unwrap_or(&self.steps)
    }

    /// What to watch for on a rung.
    pub fn watch_for_on(&self, rung: RungNumber) -> &[Words] {
        self.ladder.rung(rung).words.watch_for.as_ref().unwrap_or(&self.watch_for)
    }

    /// An exercise of which nothing is known but its name: two sets of ten, slowly, on a ladder of one
    /// rung (common practice, no source). Its id is made from the name.
    pub fn named(name: Words) -> Self {
        let phase = |action| Phase::of(action, PhaseSecs::nearest(2));
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
            swelling: SwellingReach::Reaches,
            source: None,
            photo: None,
        }
    }

    /// The load of a rung, where the rungs differ in it and the words of this one do not name it.
    pub fn load_not_named(&self, rung: &Rung) -> Option<Load> {
        let load_of = |rung: &Rung| self.dose.with(&rung.dose).load;
        let load = load_of(rung)?;
        let is_other = |other: &Rung| load_of(other).as_ref() != Some(&load);
        let differ = self.ladder.rungs().iter().any(is_other);
        let (help, words) = (rung.help.as_str().to_lowercase(), load.to_string().to_lowercase());
        // "14 kg" does not name 4 kg.
        let is_number = |letter: char| letter.is_ascii_digit() || letter == '.';
        let is_named =
            help.match_indices(&words).any(|(place, _)| !help[..place].ends_with(is_number));
        (differ && !is_named).then_some(load)
    }
}

/// What the practitioner answers to something that the client wrote, beside the client's exact words.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Answer {
    /// The note in the client's log that is answered.
    pub to: EventId,
    /// The client's calendar day on which it was written.
    #[serde(with = "crate::domain::day")]
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
    /// Where the client can ring.
    pub phone: Option<PhoneNumber>,
    pub issued: NaiveDate,
    pub source: Option<Words>,
    pub limits: Limits,
    pub cautions: Vec<Words>,
    /// The joint that the question about swelling is about, as it completes "your …".
    pub joint: Option<Words>,
    /// Answers to what the client wrote, which travel with this version.
    pub answers: Vec<Answer>,
    /// What this version says of exercises on Hold or stopped, by their id; it travels with this version.
    pub on_hold: BTreeMap<Id, OnHold>,
    /// What this version says of usual mornings; it travels with this version.
    pub anchor: Option<AnchorChange>,
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
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phone: Option<PhoneNumber>,
    #[serde(with = "crate::domain::day")]
    pub issued: NaiveDate,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<Words>,
    pub limits: Limits,
    #[serde(default)]
    pub cautions: Vec<Words>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub joint: Option<Words>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<Answer>,
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub on_hold: BTreeMap<Id, OnHold>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub anchor: Option<AnchorChange>,
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
            let of_rungs = exercise.ladder.rungs().iter().flat_map(|rung| rung.words.lists());
            if lists.into_iter().chain(of_rungs).any(|list| Self::MOST_LINES < list.len()) {
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
            phone: parts.phone,
            issued: parts.issued,
            source: parts.source,
            limits: parts.limits,
            cautions: parts.cautions,
            joint: parts.joint,
            answers: parts.answers,
            on_hold: parts.on_hold,
            anchor: parts.anchor,
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

    /// The same routine with limits of its own for each exercise, made from those that hold for it.
    #[must_use]
    pub fn with_limits(mut self, other: impl Fn(&Exercise, &Limits) -> Limits) -> Self {
        for exercise in &mut self.exercises {
            let held = exercise.limits.as_ref().unwrap_or(&self.limits);
            exercise.limits = Some(other(exercise, held));
        }
        self
    }

    /// The limits that hold for an exercise: its own, or the routine's.
    pub fn limits_for<'a>(&'a self, exercise: &'a Exercise) -> &'a Limits {
        exercise.limits.as_ref().unwrap_or(&self.limits)
    }

    /// What to fetch for some of the exercises, each on a rung: each thing once, in order of first use.
    pub fn equipment<'a>(
        exercises: impl IntoIterator<Item = (&'a Exercise, RungNumber)>,
    ) -> Vec<&'a Words> {
        let mut things: Vec<&Words> = Vec::new();
        for thing in exercises.into_iter().flat_map(|(exercise, rung)| exercise.equipment_on(rung))
        {
            if !things.contains(&thing) {
                things.push(thing);
            }
        }
        things
    }
}

impl TryFrom<Parts> for Routine {
    type Error = Refused<NotARoutine>;

    fn try_from(parts: Parts) -> Result<Self, Refused<NotARoutine>> {
        Self::of(parts).map_err(Refused)
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
            phone: routine.phone,
            issued: routine.issued,
            source: routine.source,
            limits: routine.limits,
            cautions: routine.cautions,
            joint: routine.joint,
            answers: routine.answers,
            on_hold: routine.on_hold,
            anchor: routine.anchor,
            exercises: routine.exercises,
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum NotARoutine {
    Exercises { exercises: usize },
    RepeatedId { id: String },
    TooManyLines { id: String },
    TooManySites,
    TooManyAnswers { answers: usize },
}

impl Refusal for NotARoutine {
    const NAME: &'static str = "routine";
}
