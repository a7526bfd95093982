//! Random routines, and random revisions of them, as a practitioner might edit one at a visit.

use carryover::domain::plan::dose::{
    Amount, Days, Dose, DoseChange, Load, Reps, RestSecs, Sets, Sides, TimesADay, WeightUnit,
};
use carryover::domain::plan::ladder::{Ladder, Rung, RungNumber, WordsChange};
use carryover::domain::plan::limits::Limits;
use carryover::domain::plan::routine::{Exercise, Routine};
use chrono::Weekday;
use proptest::prelude::*;
use proptest::sample::{Index, select};

use super::scripts::any_limits;
use super::{exercise, id, ladder, routine, three_sets_of_ten, words};

/// The exercises that there are to choose from.
pub const POOL: [&str; 5] = ["heel-drop", "chair-rise", "wall-hold", "step-up", "band-pull"];

const HELP: [&str; 8] = [
    "both hands on the banister",
    "one hand on the banister",
    "a hand on the wall",
    "fingertips on the wall",
    "both feet",
    "one foot",
    "the rucksack on the back",
    "two bags in the rucksack",
];

/// What a practitioner writes down before it is numbered and handed over.
#[derive(Clone, Debug)]
pub struct Plan {
    pub limits: Limits,
    pub exercises: Vec<Exercise>,
}

impl Plan {
    pub fn version(&self, version: i64) -> Routine {
        routine(version, &self.limits, &self.exercises)
    }
}

pub fn plans() -> impl Strategy<Value = Plan> {
    let exercises = prop::sample::subsequence(POOL.to_vec(), 1..=4).prop_shuffle();
    (any_limits(), exercises, prop::array::uniform4((ladders(), doses()))).prop_map(
        |(limits, names, drawn)| Plan {
            limits,
            exercises: names
                .into_iter()
                .zip(drawn)
                .map(|(name, (ladder, dose))| Exercise { dose, ..exercise(name, ladder) })
                .collect(),
        },
    )
}

fn rungs() -> impl Strategy<Value = Rung> {
    (select(&HELP[..]), prop::option::weighted(0.3, 1_i64..=20)).prop_map(|(help, reps)| Rung {
        help: words(help),
        dose: DoseChange {
            reps: reps.map(|reps| Reps::new(reps).unwrap()),
            ..DoseChange::default()
        },
        words: WordsChange::default(),
    })
}

fn ladders() -> impl Strategy<Value = Ladder> {
    (prop::collection::vec(rungs(), 1..=5), any::<Index>(), any::<Index>())
        .prop_map(|(rungs, start, ceiling)| fitting(rungs, start, ceiling))
}

/// A ladder of these rungs, whose start and ceiling are somewhere on it.
fn fitting(rungs: Vec<Rung>, start: Index, ceiling: Index) -> Ladder {
    let ceiling = ceiling.index(rungs.len()) + 1;
    let start = start.index(ceiling) + 1;
    let number = |number: usize| RungNumber::new(i64::try_from(number).unwrap()).unwrap();
    Ladder::new(rungs, number(start), number(ceiling)).unwrap()
}

fn doses() -> impl Strategy<Value = Dose> {
    (1_i64..=4, 1_i64..=15, 0_i64..=90).prop_map(|(sets, reps, rest)| Dose {
        sets: Sets::new(sets).unwrap(),
        reps: Reps::new(reps).unwrap(),
        rest_secs: RestSecs::new(rest).unwrap(),
        ..three_sets_of_ten()
    })
}

/// One thing that a practitioner does to a plan.
#[derive(Clone, Debug)]
pub enum Edit {
    Nothing,
    Limits(Box<Limits>),
    OwnLimits(Option<Box<Limits>>),
    Dose(Box<Dose>),
    Load(Option<u16>),
    Sides(Sides),
    TimesADay(i64),
    Days(Vec<Weekday>),
    RungIn(Rung),
    RungOut,
    RungReworded(Rung),
    Ends(Index, Index),
    Renamed(&'static str),
    Swapped(Index),
    LeftOut,
    PutIn(&'static str),
}

/// An edit, which exercise it is about, and where on its ladder.
pub type Revision = Vec<(Edit, Index, Index)>;

pub fn revisions() -> impl Strategy<Value = Revision> {
    let load = prop::option::of(1_u16..=30);
    let sides = select(vec![Sides::Together, Sides::Left, Sides::InTurn, Sides::OneAfterTheOther]);
    let week = vec![Weekday::Mon, Weekday::Tue, Weekday::Thu, Weekday::Sat];
    let own = prop::option::of(any_limits().prop_map(Box::new));
    let edit = prop_oneof![
        Just(Edit::Nothing),
        any_limits().prop_map(|limits| Edit::Limits(Box::new(limits))),
        own.prop_map(Edit::OwnLimits),
        doses().prop_map(|dose| Edit::Dose(Box::new(dose))),
        load.prop_map(Edit::Load),
        sides.prop_map(Edit::Sides),
        (1_i64..=3).prop_map(Edit::TimesADay),
        prop::sample::subsequence(week, 0..=4).prop_map(Edit::Days),
        rungs().prop_map(Edit::RungIn),
        Just(Edit::RungOut),
        rungs().prop_map(Edit::RungReworded),
        any::<(Index, Index)>().prop_map(|(start, ceiling)| Edit::Ends(start, ceiling)),
        select(&["a new name", "another name"][..]).prop_map(Edit::Renamed),
        any::<Index>().prop_map(Edit::Swapped),
        Just(Edit::LeftOut),
        select(&POOL[..]).prop_map(Edit::PutIn),
    ];
    prop::collection::vec((edit, any::<Index>(), any::<Index>()), 0..=4)
}

/// The plan after some edits.
pub fn revise(plan: &Plan, revision: &Revision) -> Plan {
    let mut plan = plan.clone();
    for (edit, which, place) in revision {
        apply(&mut plan, edit, *which, *place);
    }
    plan
}

fn apply(plan: &mut Plan, edit: &Edit, which: Index, place: Index) {
    let count = plan.exercises.len();
    let index = which.index(count);
    let exercise_at = &mut plan.exercises[index];
    match edit {
        Edit::Nothing => {}
        Edit::Limits(limits) => plan.limits = (**limits).clone(),
        Edit::OwnLimits(limits) => exercise_at.limits = limits.as_deref().cloned(),
        Edit::Dose(dose) => exercise_at.dose = (**dose).clone(),
        Edit::Load(kilos) => {
            let weight = |kilos: u16| Load::Weight {
                amount: Amount::new(kilos.into()).unwrap(),
                unit: WeightUnit::Kg,
            };
            exercise_at.dose.load = kilos.map(weight);
        }
        Edit::Sides(sides) => exercise_at.dose.sides = *sides,
        Edit::TimesADay(times) => exercise_at.dose.times_a_day = TimesADay::new(*times).unwrap(),
        Edit::Days(days) => exercise_at.dose.days = Days::on(days),
        Edit::RungIn(rung) => relay(exercise_at, |rungs| {
            if rungs.len() < 6 {
                rungs.insert(place.index(rungs.len() + 1), rung.clone());
            }
        }),
        Edit::RungOut => relay(exercise_at, |rungs| {
            if 1 < rungs.len() {
                rungs.remove(place.index(rungs.len()));
            }
        }),
        Edit::RungReworded(rung) => relay(exercise_at, |rungs| {
            let at = place.index(rungs.len());
            rungs[at] = rung.clone();
        }),
        Edit::Ends(start, ceiling) => {
            let rungs = exercise_at.ladder.rungs().to_vec();
            exercise_at.ladder = fitting(rungs, *start, *ceiling);
        }
        Edit::Renamed(name) => exercise_at.name = words(name),
        Edit::Swapped(other) => plan.exercises.swap(index, other.index(count)),
        Edit::LeftOut => {
            if 1 < count {
                plan.exercises.remove(index);
            }
        }
        Edit::PutIn(name) => {
            if plan.exercises.iter().all(|known| known.id != id(name)) {
                plan.exercises.insert(place.index(count + 1), exercise(name, ladder(4, 2, 3)));
            }
        }
    }
}

/// The same ladder with other rungs; its start and ceiling keep their numbers as far as they can.
fn relay(exercise: &mut Exercise, change: impl FnOnce(&mut Vec<Rung>)) {
    let ladder = &exercise.ladder;
    let mut rungs = ladder.rungs().to_vec();
    change(&mut rungs);
    let top = RungNumber::new(i64::try_from(rungs.len()).unwrap()).unwrap();
    let ceiling = ladder.ceiling().min(top);
    exercise.ladder = Ladder::new(rungs, ladder.start().min(ceiling), ceiling).unwrap();
}
