//! What changed between two routines: every difference as a value, and nothing that is no difference.
//!
//! Exercises are the same where their ids are. Each struct is taken apart whole, so that a new field
//! does not compile until its changes are told.

use chrono::{NaiveDate, Weekday};

use super::dose::{Days, Dose, DoseChange, Load, Reps, RestSecs, Sets, Sides, Tempo, TimesADay};
use super::ladder::{Ladder, OnLowestRung, Rung, RungNumber, WordsChange};
use super::limits::{
    AfterBreak, AfterMiddleSet, BreakDays, Cell, CellPlace, DaysInARow, Limits, MayStepUp,
    RestDays, Settling, Site, Table, Zone,
};
use super::phone::PhoneNumber;
use super::photo::Photo;
use super::routine::{AnchorChange, Answer, Exercise, OnHold, Routine, SwellingReach, Version};
use crate::domain::pain::PainRating;
use crate::domain::words::{Id, Words};

/// Something that was one thing and is another.
#[derive(Clone, Debug, PartialEq)]
pub struct Swap<T> {
    pub was: T,
    pub is: T,
}

impl<T: Clone + PartialEq> Swap<T> {
    fn of(was: &T, is: &T) -> Option<Self> {
        (was != is).then(|| Self { was: was.clone(), is: is.clone() })
    }
}

impl<T: Clone + PartialEq> Swap<Vec<T>> {
    /// What is there now and was not, each as often as it is new.
    pub fn added(&self) -> Vec<&T> {
        beyond(&self.is, &self.was)
    }

    /// What was there and is not any more.
    pub fn gone(&self) -> Vec<&T> {
        beyond(&self.was, &self.is)
    }
}

/// What of `list` is left when everything in `other` has been taken away once.
fn beyond<'a, T: PartialEq>(list: &'a [T], other: &[T]) -> Vec<&'a T> {
    let mut left: Vec<&T> = other.iter().collect();
    let is_new = |item: &&T| match left.iter().position(|known| known == item) {
        Some(place) => {
            left.swap_remove(place);
            false
        }
        None => true,
    };
    list.iter().filter(is_new).collect()
}

#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    Routine(RoutineChange),
    /// The limits that hold where an exercise has none of its own.
    Limits(LimitChange),
    /// The name is the newest one.
    Exercise {
        id: Id,
        name: Words,
        what: ExerciseChange,
    },
}

impl Change {
    /// Whether it says what becomes of an exercise that is on Hold or stopped.
    pub const fn is_of_a_hold(&self) -> bool {
        matches!(self, Self::Exercise { what: ExerciseChange::OnHold(_), .. })
    }
}

#[derive(Clone, Debug, PartialEq)]
pub enum RoutineChange {
    /// Another routine altogether.
    Id(Swap<Id>),
    Version(Swap<Version>),
    Title(Swap<Words>),
    Client(Swap<Option<Words>>),
    Practitioner(Swap<Option<Words>>),
    Phone(Swap<Option<PhoneNumber>>),
    Issued(Swap<NaiveDate>),
    Source(Swap<Option<Words>>),
    Cautions(Swap<Vec<Words>>),
    Answers(Swap<Vec<Answer>>),
    Joint(Swap<Option<Words>>),
    /// What the new version says of usual mornings.
    Anchor(AnchorChange),
}

impl Change {
    fn of(exercise: &Exercise, what: ExerciseChange) -> Self {
        Self::Exercise { id: exercise.id.clone(), name: exercise.name.clone(), what }
    }
}

#[derive(Clone, Debug, PartialEq)]
pub enum ExerciseChange {
    Added,
    LeftOut,
    /// Done at another place in the order: after the exercise of that name now, or first.
    Moved {
        after: Option<Words>,
    },
    Name(Swap<Words>),
    Purpose(Swap<Option<Words>>),
    Equipment(Swap<Vec<Words>>),
    Steps(Swap<Vec<Words>>),
    WatchFor(Swap<Vec<Words>>),
    Cautions(Swap<Vec<Words>>),
    Source(Swap<Option<Words>>),
    Photo(Swap<Option<Photo>>),
    Swelling(Swap<SwellingReach>),
    /// What the new version says of it while it is on Hold or stopped.
    OnHold(OnHold),
    Sets(Swap<Sets>),
    Reps(Swap<Reps>),
    Tempo(Swap<Tempo>),
    Rest(Swap<RestSecs>),
    Sides(Swap<Sides>),
    Load(Swap<Option<Load>>),
    TimesADay(Swap<TimesADay>),
    Days(Swap<Days>),
    RungAdded {
        number: RungNumber,
        rung: Rung,
    },
    RungLeftOut {
        number: RungNumber,
        rung: Rung,
    },
    /// A rung that says something else. Its number is the new one.
    RungHelp {
        number: RungNumber,
        help: Swap<Words>,
    },
    /// A rung that changes the dose in another way. Its number is the new one.
    RungDose {
        number: RungNumber,
        help: Words,
        dose: Swap<DoseChange>,
    },
    /// A rung that has other words of its own. Its number is the new one.
    RungWords {
        number: RungNumber,
        help: Words,
        words: Swap<WordsChange>,
    },
    Start(Swap<RungNumber>),
    Ceiling(Swap<RungNumber>),
    /// The exercise has limits of its own now.
    OwnLimits(Limits),
    /// The routine's limits hold for it now.
    NoOwnLimits,
    Limits(LimitChange),
}

#[derive(Clone, Debug, PartialEq)]
pub enum LimitChange {
    LowMax(Swap<PainRating>),
    MiddleMax(Swap<PainRating>),
    Cell { place: CellPlace, cell: Swap<Cell> },
    Sites(Swap<Vec<Site>>),
    UsualMorning(Swap<Option<PainRating>>),
    RestDays(Swap<RestDays>),
    MayStepUp(Swap<MayStepUp>),
    StepUpAfter(Swap<DaysInARow>),
    OnLowestRung(Swap<OnLowestRung>),
    AfterMiddleSet(Swap<AfterMiddleSet>),
    BreakDays(Swap<BreakDays>),
    AfterBreak(Swap<AfterBreak>),
}

/// Every difference between two routines: the routine's own first, then its exercises in their new
/// order, then those that were left out.
pub fn between(was: &Routine, is: &Routine) -> Vec<Change> {
    let mut changes: Vec<Change> = [
        Swap::of(&was.id, &is.id).map(RoutineChange::Id),
        Swap::of(&was.version, &is.version).map(RoutineChange::Version),
        Swap::of(&was.title, &is.title).map(RoutineChange::Title),
        Swap::of(&was.client, &is.client).map(RoutineChange::Client),
        Swap::of(&was.practitioner, &is.practitioner).map(RoutineChange::Practitioner),
        Swap::of(&was.phone, &is.phone).map(RoutineChange::Phone),
        Swap::of(&was.issued, &is.issued).map(RoutineChange::Issued),
        Swap::of(&was.source, &is.source).map(RoutineChange::Source),
        Swap::of(&was.cautions, &is.cautions).map(RoutineChange::Cautions),
        Swap::of(&was.answers, &is.answers).map(RoutineChange::Answers),
        Swap::of(&was.joint, &is.joint).map(RoutineChange::Joint),
        is.anchor.map(RoutineChange::Anchor),
    ]
    .into_iter()
    .flatten()
    .map(Change::Routine)
    .collect();
    changes.extend(between_limits(&was.limits, &is.limits).into_iter().map(Change::Limits));
    let moved = moved(was, is);
    let mut after: Option<&Exercise> = None;
    for exercise in is.exercises() {
        let whats = match was.exercise(&exercise.id) {
            None => vec![ExerciseChange::Added],
            Some(before) => {
                let after = after.map(|exercise| exercise.name.clone());
                let moved =
                    moved.contains(&&exercise.id).then_some(ExerciseChange::Moved { after });
                let on_hold = is.on_hold.get(&exercise.id).copied().map(ExerciseChange::OnHold);
                let moved = moved.into_iter().chain(between_exercises(before, exercise));
                moved.chain(on_hold).collect()
            }
        };
        changes.extend(whats.into_iter().map(|what| Change::of(exercise, what)));
        after = Some(exercise);
    }
    let left_out = was.exercises().iter().filter(|exercise| is.exercise(&exercise.id).is_none());
    changes.extend(left_out.map(|exercise| Change::of(exercise, ExerciseChange::LeftOut)));
    changes
}

/// The fewest exercises of both routines whose moving explains the new order.
fn moved<'a>(was: &Routine, is: &'a Routine) -> Vec<&'a Id> {
    let place = |id: &Id| was.exercises().iter().position(|exercise| exercise.id == *id);
    let in_both: Vec<(&Id, usize)> = is
        .exercises()
        .iter()
        .filter_map(|exercise| Some((&exercise.id, place(&exercise.id)?)))
        .collect();
    // The longest run in the old order that ends with each exercise; all others moved.
    let mut runs: Vec<Vec<usize>> = Vec::new();
    for (index, (_, place)) in in_both.iter().enumerate() {
        let before = (0..index).filter(|earlier| in_both[*earlier].1 < *place);
        let mut run =
            before.map(|earlier| runs[earlier].clone()).max_by_key(Vec::len).unwrap_or_default();
        run.push(index);
        runs.push(run);
    }
    let stayed = runs.into_iter().max_by_key(Vec::len).unwrap_or_default();
    let has_moved = |index: &usize| !stayed.contains(index);
    (0..in_both.len()).filter(has_moved).map(|index| in_both[index].0).collect()
}

fn between_exercises(was: &Exercise, is: &Exercise) -> Vec<ExerciseChange> {
    let Exercise {
        id: _,
        name,
        purpose,
        equipment,
        steps,
        watch_for,
        cautions,
        dose,
        ladder,
        limits,
        swelling,
        source,
        photo,
    } = was;
    let mut changes: Vec<ExerciseChange> = [
        Swap::of(name, &is.name).map(ExerciseChange::Name),
        Swap::of(purpose, &is.purpose).map(ExerciseChange::Purpose),
    ]
    .into_iter()
    .flatten()
    .collect();
    changes.extend(between_doses(dose, &is.dose));
    changes.extend(between_ladders(ladder, &is.ladder));
    match (limits, &is.limits) {
        (None, None) => {}
        (None, Some(own)) => changes.push(ExerciseChange::OwnLimits(own.clone())),
        (Some(_), None) => changes.push(ExerciseChange::NoOwnLimits),
        (Some(was), Some(is)) => {
            changes.extend(between_limits(was, is).into_iter().map(ExerciseChange::Limits));
        }
    }
    let texts = [
        Swap::of(equipment, &is.equipment).map(ExerciseChange::Equipment),
        Swap::of(steps, &is.steps).map(ExerciseChange::Steps),
        Swap::of(watch_for, &is.watch_for).map(ExerciseChange::WatchFor),
        Swap::of(cautions, &is.cautions).map(ExerciseChange::Cautions),
        Swap::of(swelling, &is.swelling).map(ExerciseChange::Swelling),
        Swap::of(source, &is.source).map(ExerciseChange::Source),
        Swap::of(photo, &is.photo).map(ExerciseChange::Photo),
    ];
    changes.extend(texts.into_iter().flatten());
    changes
}

fn between_doses(was: &Dose, is: &Dose) -> impl Iterator<Item = ExerciseChange> {
    let Dose { sets, reps, tempo, rest_secs, sides, load, times_a_day, days } = was;
    [
        Swap::of(sets, &is.sets).map(ExerciseChange::Sets),
        Swap::of(reps, &is.reps).map(ExerciseChange::Reps),
        Swap::of(tempo, &is.tempo).map(ExerciseChange::Tempo),
        Swap::of(rest_secs, &is.rest_secs).map(ExerciseChange::Rest),
        Swap::of(sides, &is.sides).map(ExerciseChange::Sides),
        Swap::of(load, &is.load).map(ExerciseChange::Load),
        Swap::of(times_a_day, &is.times_a_day).map(ExerciseChange::TimesADay),
        Swap::of(days, &is.days).filter(is_another_week).map(ExerciseChange::Days),
    ]
    .into_iter()
    .flatten()
}

const DAYS: [Weekday; 7] = [
    Weekday::Mon,
    Weekday::Tue,
    Weekday::Wed,
    Weekday::Thu,
    Weekday::Fri,
    Weekday::Sat,
    Weekday::Sun,
];

/// Days can be written in any order, and all seven mean the same as none.
fn is_another_week(days: &Swap<Days>) -> bool {
    DAYS.iter().any(|day| days.was.contain(*day) != days.is.contain(*day))
}

fn between_ladders(was: &Ladder, is: &Ladder) -> Vec<ExerciseChange> {
    let mut changes = Vec::new();
    let (mut old, mut new) = (0, 0);
    let kept = same_help(was.rungs(), is.rungs());
    for (to_old, to_new) in kept.into_iter().chain([(was.rungs().len(), is.rungs().len())]) {
        // Between two rungs that stayed, as many are reworded as stand in both.
        while old < to_old || new < to_new {
            let gone = was.rungs().get(old).filter(|_| old < to_old);
            let come = is.rungs().get(new).filter(|_| new < to_new);
            match (gone, come) {
                (Some(gone), Some(come)) => {
                    let help = Swap { was: gone.help.clone(), is: come.help.clone() };
                    changes.push(ExerciseChange::RungHelp { number: number(new), help });
                    changes.extend(between_rungs(gone, come, new));
                }
                (Some(gone), None) => {
                    let rung = gone.clone();
                    changes.push(ExerciseChange::RungLeftOut { number: number(old), rung });
                }
                (None, Some(come)) => {
                    let rung = come.clone();
                    changes.push(ExerciseChange::RungAdded { number: number(new), rung });
                }
                (None, None) => {}
            }
            old = (old + 1).min(to_old);
            new = (new + 1).min(to_new);
        }
        if let (Some(before), Some(after)) = (was.rungs().get(old), is.rungs().get(new)) {
            changes.extend(between_rungs(before, after, new));
        }
        (old, new) = (to_old + 1, to_new + 1);
    }
    let ends = [
        Swap::of(&was.start(), &is.start()).map(ExerciseChange::Start),
        Swap::of(&was.ceiling(), &is.ceiling()).map(ExerciseChange::Ceiling),
    ];
    changes.extend(ends.into_iter().flatten());
    changes
}

/// What differs between two forms of a rung, but for its help.
fn between_rungs(was: &Rung, is: &Rung, index: usize) -> impl Iterator<Item = ExerciseChange> {
    let Rung { help: _, dose, words } = was;
    let (number, help) = (number(index), &is.help);
    let dose = Swap::of(dose, &is.dose);
    let dose = dose.map(|dose| ExerciseChange::RungDose { number, help: help.clone(), dose });
    let words = Swap::of(words, &is.words);
    let words = words.map(|words| ExerciseChange::RungWords { number, help: help.clone(), words });
    dose.into_iter().chain(words)
}

fn number(index: usize) -> RungNumber {
    i64::try_from(index + 1)
        .ok()
        .and_then(|number| RungNumber::new(number).ok())
        .unwrap_or(RungNumber::MOST)
}

/// The longest list of rungs that say the same in both ladders, in order, by their places.
fn same_help(was: &[Rung], is: &[Rung]) -> Vec<(usize, usize)> {
    let mut best: Vec<Vec<Vec<(usize, usize)>>> =
        vec![vec![Vec::new(); is.len() + 1]; was.len() + 1];
    for old in (0..was.len()).rev() {
        for new in (0..is.len()).rev() {
            best[old][new] = if was[old].help == is[new].help {
                [&[(old, new)], &best[old + 1][new + 1][..]].concat()
            } else if best[old][new + 1].len() <= best[old + 1][new].len() {
                best[old + 1][new].clone()
            } else {
                best[old][new + 1].clone()
            };
        }
    }
    best.swap_remove(0).swap_remove(0)
}

fn between_limits(was: &Limits, is: &Limits) -> Vec<LimitChange> {
    let Limits {
        table,
        sites,
        usual_morning,
        rest_days,
        may_step_up,
        step_up_after,
        on_lowest_rung,
        after_middle_set,
        break_days,
        after_break,
    } = was;
    let mut changes = between_tables(table, &is.table);
    let others = [
        Swap::of(sites, &is.sites).map(LimitChange::Sites),
        Swap::of(usual_morning, &is.usual_morning).map(LimitChange::UsualMorning),
        Swap::of(rest_days, &is.rest_days).map(LimitChange::RestDays),
        Swap::of(may_step_up, &is.may_step_up).map(LimitChange::MayStepUp),
        Swap::of(step_up_after, &is.step_up_after).map(LimitChange::StepUpAfter),
        Swap::of(on_lowest_rung, &is.on_lowest_rung).map(LimitChange::OnLowestRung),
        Swap::of(after_middle_set, &is.after_middle_set).map(LimitChange::AfterMiddleSet),
        Swap::of(break_days, &is.break_days).map(LimitChange::BreakDays),
        Swap::of(after_break, &is.after_break).map(LimitChange::AfterBreak),
    ];
    changes.extend(others.into_iter().flatten());
    changes
}

fn between_tables(was: &Table, is: &Table) -> Vec<LimitChange> {
    let zones = [
        Swap::of(&was.low_max(), &is.low_max()).map(LimitChange::LowMax),
        Swap::of(&was.middle_max(), &is.middle_max()).map(LimitChange::MiddleMax),
    ];
    let places = Zone::ALL
        .into_iter()
        .flat_map(|zone| Settling::ALL.into_iter().map(move |column| (zone, column)));
    let cells = places.filter_map(|place: CellPlace| {
        let cell = Swap::of(&was.cell(place.0, place.1), &is.cell(place.0, place.1))?;
        Some(LimitChange::Cell { place, cell })
    });
    zones.into_iter().flatten().chain(cells).collect()
}
