//! A routine in the making: every value in it is in range, and only an empty one is not yet a routine.

use std::collections::BTreeMap;
use std::time::Duration;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::dose::{Dose, session_time};
use super::ladder::Foothold;
use super::limits::{Limits, Preset};
use super::phone::PhoneNumber;
use super::routine::{
    AnchorChange, Answer, Exercise, NotARoutine, OnHold, Parts, Routine, Version,
};
use crate::domain::words::{Id, Words};

/// Where an exercise belongs in a session: the joint is warmed up first, and the crankiest comes last.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SessionPlace {
    WarmUp,
    #[default]
    Middle,
    Crankiest,
}

impl SessionPlace {
    pub const ALL: [Self; 3] = [Self::WarmUp, Self::Middle, Self::Crankiest];
}

#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Item {
    pub exercise: Exercise,
    #[serde(default)]
    pub place: SessionPlace,
}

/// More exercises than this earn a gentle note: two were done better than eight (Henry 1999, Phys Ther 79:270–277).
pub const MANY: usize = 4;

#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Draft {
    pub title: Words,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub practitioner: Option<Words>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phone: Option<PhoneNumber>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<Words>,
    pub limits: Limits,
    #[serde(default)]
    pub cautions: Vec<Words>,
    /// The joint that the question about swelling is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub joint: Option<Words>,
    /// What the next version says of exercises on Hold or stopped.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub on_hold: BTreeMap<Id, OnHold>,
    /// What the next version says of usual mornings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub anchor: Option<AnchorChange>,
    /// Answers that the next version takes along.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<Answer>,
    pub items: Vec<Item>,
}

impl Draft {
    pub const fn new(title: Words) -> Self {
        Self {
            title,
            practitioner: None,
            phone: None,
            source: None,
            limits: Limits::of(Preset::PainMonitoring),
            cautions: Vec::new(),
            joint: None,
            on_hold: BTreeMap::new(),
            anchor: None,
            answers: Vec::new(),
            items: Vec::new(),
        }
    }

    /// Takes a routine up again, to change it. What it said of Holds and of usual mornings was for that
    /// version alone.
    pub fn of(routine: &Routine) -> Self {
        let item =
            |exercise: &Exercise| Item { exercise: exercise.clone(), place: SessionPlace::Middle };
        Self {
            title: routine.title.clone(),
            practitioner: routine.practitioner.clone(),
            phone: routine.phone.clone(),
            source: routine.source.clone(),
            limits: routine.limits.clone(),
            cautions: routine.cautions.clone(),
            joint: routine.joint.clone(),
            on_hold: BTreeMap::new(),
            anchor: None,
            answers: routine.answers.clone(),
            items: routine.exercises().iter().map(item).collect(),
        }
    }

    /// Takes a routine on for a client it was not made for. What it answered was asked by somebody else.
    pub fn taken_from(routine: &Routine) -> Self {
        Self { answers: Vec::new(), ..Self::of(routine) }
    }

    /// Adds an exercise at the end. Its id stays, or gets a number where the routine has it already.
    pub fn add(&mut self, exercise: Exercise) {
        self.insert(self.items.len(), exercise, SessionPlace::default());
    }

    /// Puts a copy of an exercise after it.
    pub fn duplicate(&mut self, index: usize) {
        if let Some(item) = self.items.get(index).cloned() {
            self.insert(index + 1, item.exercise, item.place);
        }
    }

    fn insert(&mut self, index: usize, mut exercise: Exercise, place: SessionPlace) {
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

    /// Puts what was taken out back to its place, or to the end; nothing, where it is there.
    pub fn put_back(&mut self, index: usize, item: Item) {
        if self.items.iter().all(|other| other.exercise.id != item.exercise.id) {
            self.items.insert(index.min(self.items.len()), item);
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
            phone: self.phone.clone(),
            issued,
            source: self.source.clone(),
            limits: self.limits.clone(),
            cautions: self.cautions.clone(),
            joint: self.joint.clone(),
            answers: self.answers.clone(),
            on_hold: self.on_hold.clone(),
            anchor: self.anchor,
            exercises: self.items.iter().map(|item| item.exercise.clone()).collect(),
        })
    }

    /// Whether a routine says the same, whatever its version and date.
    pub fn says_the_same_as(&self, routine: &Routine) -> bool {
        self.title == routine.title
            && self.practitioner == routine.practitioner
            && self.phone == routine.phone
            && self.source == routine.source
            && self.limits == routine.limits
            && self.cautions == routine.cautions
            && self.joint == routine.joint
            && self.answers == routine.answers
            && (self.on_hold.is_empty() || self.on_hold == routine.on_hold)
            && (self.anchor.is_none() || self.anchor == routine.anchor)
            && self.items.iter().map(|item| &item.exercise).eq(routine.exercises())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Words {
        Words::new(text).unwrap()
    }

    fn day() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
    }

    fn draft_of(names: &[&str]) -> Draft {
        let mut draft = Draft::new(words("After the round"));
        for name in names {
            draft.add(Exercise::named(words(name)));
        }
        draft
    }

    fn ids(draft: &Draft) -> Vec<&str> {
        draft.items.iter().map(|item| item.exercise.id.as_str()).collect()
    }

    fn issued(draft: &Draft, version: i64) -> Result<Routine, NotARoutine> {
        let version = Version::new(version).unwrap();
        draft.routine(Id::new("postal-round").unwrap(), version, None, day())
    }

    #[test]
    fn an_exercise_that_is_added_gets_an_id_that_is_free() {
        let draft = draft_of(&["Heel drop", "Heel drop 2", "Heel drop", "Heel drop"]);
        assert_eq!(ids(&draft), ["heel-drop", "heel-drop-2", "heel-drop-3", "heel-drop-4"]);
    }

    #[test]
    fn the_longest_id_gets_a_number_too() {
        let longest = "h".repeat(64);
        let draft = draft_of(&[longest.as_str(); Routine::MOST_EXERCISES]);
        assert!(issued(&draft, 1).is_ok(), "every id is free and an id: {:?}", ids(&draft));
        assert_eq!(draft.items[0].exercise.id.as_str(), longest);
    }

    #[test]
    fn a_copy_stands_after_its_exercise_and_has_its_place_and_an_id_of_its_own() {
        let mut draft = draft_of(&["Heel drop", "Chair rise"]);
        draft.items[0].place = SessionPlace::Crankiest;
        draft.duplicate(0);
        assert_eq!(ids(&draft), ["heel-drop", "heel-drop-2", "chair-rise"]);
        let id = draft.items[1].exercise.id.clone();
        let original = draft.items[0].clone();
        let expected = Item { exercise: Exercise { id, ..original.exercise }, ..original };
        assert_eq!(draft.items[1], expected);
        let before = draft.clone();
        draft.duplicate(3);
        assert_eq!(draft, before);
    }

    #[test]
    fn an_exercise_is_shifted_either_way_and_the_others_close_up() {
        let order = |from, to| {
            let mut draft = draft_of(&["a", "b", "c", "d"]);
            draft.shift(from, to);
            ids(&draft).concat()
        };
        assert_eq!(order(0, 2), "bcad");
        assert_eq!(order(3, 1), "adbc");
        assert_eq!(order(1, 1), "abcd");
        assert_eq!(order(0, 4), "abcd");
        assert_eq!(order(4, 0), "abcd");
    }

    #[test]
    fn an_exercise_is_taken_out_and_what_is_not_there_stays_out() {
        let mut draft = draft_of(&["a", "b", "c"]);
        draft.remove(1);
        draft.remove(2);
        assert_eq!(ids(&draft), ["a", "c"]);
    }

    #[test]
    fn order_puts_the_warm_up_first_and_the_crankiest_last_and_keeps_the_rest_as_it_was() {
        use SessionPlace::{Crankiest, Middle, WarmUp};
        let mut draft = draft_of(&["a", "b", "c", "d", "e", "f"]);
        assert!(draft.is_in_order());
        let places = [Crankiest, Middle, WarmUp, Middle, Crankiest, WarmUp];
        for (item, place) in draft.items.iter_mut().zip(places) {
            item.place = place;
        }
        assert!(!draft.is_in_order());
        draft.put_in_order();
        assert!(draft.is_in_order());
        assert_eq!(ids(&draft).concat(), "cfbdae");
    }

    #[test]
    fn an_empty_draft_and_one_of_too_many_exercises_are_no_routine() {
        assert_eq!(issued(&draft_of(&[]), 1), Err(NotARoutine::Exercises { exercises: 0 }));
        let many = draft_of(&["a"; Routine::MOST_EXERCISES + 1]);
        assert_eq!(issued(&many, 1), Err(NotARoutine::Exercises { exercises: 21 }));
    }

    #[test]
    fn a_draft_becomes_a_routine_that_it_says_the_same_as() {
        let mut draft = draft_of(&["Heel drop", "Chair rise"]);
        draft.practitioner = Some(words("the physio on Tuesdays"));
        draft.source = Some(words("common practice, no source"));
        draft.cautions = vec![words("Hold the banister.")];
        let routine = issued(&draft, 3).unwrap();
        assert_eq!((routine.version.get(), routine.issued), (3, day()));
        assert!(draft.says_the_same_as(&routine));
        assert_eq!(Draft::of(&routine), draft);
        assert!(draft.says_the_same_as(&issued(&draft, 4).unwrap()), "whatever its version");
    }

    #[test]
    fn any_change_makes_a_draft_say_something_else() {
        let draft = draft_of(&["Heel drop", "Chair rise"]);
        let routine = issued(&draft, 1).unwrap();
        let changes: [fn(&mut Draft); 8] = [
            |draft| draft.title = words("Another title"),
            |draft| draft.practitioner = Some(words("the physio")),
            |draft| draft.source = Some(words("a leaflet")),
            |draft| draft.limits = Limits::of(Preset::NearlyPainFree),
            |draft| draft.cautions.push(words("Hold the banister.")),
            |draft| draft.shift(0, 1),
            |draft| draft.remove(1),
            |draft| draft.items[0].exercise.name = words("Heel drop, slowly"),
        ];
        for (number, change) in changes.into_iter().enumerate() {
            let mut other = draft.clone();
            change(&mut other);
            assert!(!other.says_the_same_as(&routine), "change {number}");
        }
        let mut placed = draft;
        placed.items[1].place = SessionPlace::Crankiest;
        assert!(placed.says_the_same_as(&routine), "a place is the practitioner's own note");
    }
}
