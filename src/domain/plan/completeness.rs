//! How much of the published template for reporting an exercise programme a routine answers: CERT, the
//! Consensus on Exercise Reporting Template (Slade SC et al. 2016, Br J Sports Med 50:1428–1437).
//!
//! A help for the practitioner's notes, never a gate. A row counts as answered only where the routine
//! itself holds the answer; what it cannot hold belongs elsewhere, and says where.

use std::time::Duration;

use super::dose::session_time;
use super::ladder::Foothold;
use super::limits::{Limits, MayStepUp};
use super::routine::{Exercise, Routine};
use crate::domain::words::Words;

/// The rows of the template, in its order; some of its items have two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Row {
    Equipment,
    Provider,
    AloneOrGroup,
    Supervision,
    Adherence,
    Motivation,
    ProgressionRule,
    Progression,
    EachExercise,
    HomePart,
    NotExercise,
    Harms,
    Setting,
    Dose,
    Tailored,
    HowTailored,
    StartingLevel,
    FidelityChecked,
    AsPlanned,
}

impl Row {
    pub const ALL: [Self; 19] = [
        Self::Equipment,
        Self::Provider,
        Self::AloneOrGroup,
        Self::Supervision,
        Self::Adherence,
        Self::Motivation,
        Self::ProgressionRule,
        Self::Progression,
        Self::EachExercise,
        Self::HomePart,
        Self::NotExercise,
        Self::Harms,
        Self::Setting,
        Self::Dose,
        Self::Tailored,
        Self::HowTailored,
        Self::StartingLevel,
        Self::FidelityChecked,
        Self::AsPlanned,
    ];

    /// The number under which the template has it.
    pub const fn number(self) -> &'static str {
        match self {
            Self::Equipment => "1",
            Self::Provider => "2",
            Self::AloneOrGroup => "3",
            Self::Supervision => "4",
            Self::Adherence => "5",
            Self::Motivation => "6",
            Self::ProgressionRule => "7a",
            Self::Progression => "7b",
            Self::EachExercise => "8",
            Self::HomePart => "9",
            Self::NotExercise => "10",
            Self::Harms => "11",
            Self::Setting => "12",
            Self::Dose => "13",
            Self::Tailored => "14a",
            Self::HowTailored => "14b",
            Self::StartingLevel => "15",
            Self::FidelityChecked => "16a",
            Self::AsPlanned => "16b",
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    Answered(How),
    NotAnswered(Missing),
    OutsideTheRoutine(Elsewhere),
}

/// What in the routine answers a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum How {
    /// Every exercise names what to fetch.
    Equipment { things: Vec<Words> },
    /// A routine is led by the device of the one client who follows it.
    OneClientAlone,
    /// When the app steps up, or says that it is time to talk about it; the days in a row before.
    StepUpRule { may_step_up: MayStepUp, after_days: u16 },
    /// Not all exercises step up by the same rule; each has its own.
    StepUpRules,
    /// The ladder of each exercise; the number of rungs of all together.
    Ladders { rungs: usize },
    /// Every exercise has steps; the number of lines of all together.
    Steps { lines: usize },
    /// Nothing else is in a routine.
    WholeRoutineAtHome,
    /// Sets, reps, tempo, rest, days and times a day are in every dose.
    Dose { one_session: Duration },
    /// The client's label.
    MadeFor { client: Words },
    /// What was set for this client.
    Settings { usual_morning: bool, sites: usize },
}

/// What to add to the routine so that it answers a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Missing {
    /// What these exercises need, or that they need nothing.
    Equipment { exercises: Vec<Words> },
    /// Two rungs or more for these exercises.
    Rungs { exercises: Vec<Words> },
    /// Steps for these exercises.
    Steps { exercises: Vec<Words> },
    /// A label of the client for whom the routine is made.
    Client,
    /// A usual morning or the sites where it may hurt, besides the starting rungs.
    Settings,
}

/// Where the answer to a row belongs that a routine cannot hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Elsewhere {
    /// The practitioner's own note of the visit.
    VisitNote(ToNote),
    /// The client's log, and the review of it at the next visit.
    LogAndReview(ToReview),
}

/// What only the practitioner knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToNote {
    Training,
    Supervision,
    Motivation,
    NotExercise,
    Setting,
    WhyStartThere,
}

/// What only shows once it was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToReview {
    Adherence,
    Harms,
    Fidelity,
    AsPlanned,
}

/// Reads a routine row by row.
pub fn read(routine: &Routine) -> [(Row, Answer); 19] {
    Row::ALL.map(|row| (row, answer(row, routine)))
}

fn answer(row: Row, routine: &Routine) -> Answer {
    match row {
        Row::Equipment => equipment(routine),
        Row::AloneOrGroup => Answer::Answered(How::OneClientAlone),
        Row::ProgressionRule => Answer::Answered(progression_rule(routine)),
        Row::Progression => progression(routine),
        Row::EachExercise => each_exercise(routine),
        Row::HomePart => Answer::Answered(How::WholeRoutineAtHome),
        Row::Dose => Answer::Answered(How::Dose { one_session: one_session(routine) }),
        Row::Tailored => match &routine.client {
            Some(client) => Answer::Answered(How::MadeFor { client: client.clone() }),
            None => Answer::NotAnswered(Missing::Client),
        },
        Row::HowTailored => how_tailored(routine),
        Row::Provider => to_note(ToNote::Training),
        Row::Supervision => to_note(ToNote::Supervision),
        Row::Motivation => to_note(ToNote::Motivation),
        Row::NotExercise => to_note(ToNote::NotExercise),
        Row::Setting => to_note(ToNote::Setting),
        Row::StartingLevel => to_note(ToNote::WhyStartThere),
        Row::Adherence => to_review(ToReview::Adherence),
        Row::Harms => to_review(ToReview::Harms),
        Row::FidelityChecked => to_review(ToReview::Fidelity),
        Row::AsPlanned => to_review(ToReview::AsPlanned),
    }
}

const fn to_note(what: ToNote) -> Answer {
    Answer::OutsideTheRoutine(Elsewhere::VisitNote(what))
}

const fn to_review(what: ToReview) -> Answer {
    Answer::OutsideTheRoutine(Elsewhere::LogAndReview(what))
}

fn names_of(routine: &Routine, lacks: impl Fn(&Exercise) -> bool) -> Vec<Words> {
    let lacking = routine.exercises().iter().filter(|exercise| lacks(exercise));
    lacking.map(|exercise| exercise.name.clone()).collect()
}

fn equipment(routine: &Routine) -> Answer {
    let at_start = |exercise: &Exercise| exercise.ladder.start();
    let exercises =
        names_of(routine, |exercise| exercise.equipment_on(at_start(exercise)).is_empty());
    if exercises.is_empty() {
        let on_start = routine.exercises().iter().map(|exercise| (exercise, at_start(exercise)));
        let things = Routine::equipment(on_start).into_iter().cloned().collect();
        Answer::Answered(How::Equipment { things })
    } else {
        Answer::NotAnswered(Missing::Equipment { exercises })
    }
}

fn progression_rule(routine: &Routine) -> How {
    let rule = |limits: &Limits| How::StepUpRule {
        may_step_up: limits.may_step_up,
        after_days: limits.step_up_after.get(),
    };
    let mut rules = routine.exercises().iter().map(|exercise| rule(routine.limits_for(exercise)));
    let first = rules.next().unwrap_or_else(|| rule(&routine.limits));
    if rules.all(|rule| rule == first) { first } else { How::StepUpRules }
}

fn progression(routine: &Routine) -> Answer {
    let exercises = names_of(routine, |exercise| exercise.ladder.rungs().len() < 2);
    if exercises.is_empty() {
        let rungs = routine.exercises().iter().map(|exercise| exercise.ladder.rungs().len()).sum();
        Answer::Answered(How::Ladders { rungs })
    } else {
        Answer::NotAnswered(Missing::Rungs { exercises })
    }
}

fn each_exercise(routine: &Routine) -> Answer {
    let exercises = names_of(routine, |exercise| exercise.steps.is_empty());
    if exercises.is_empty() {
        let lines = routine.exercises().iter().map(|exercise| exercise.steps.len()).sum();
        Answer::Answered(How::Steps { lines })
    } else {
        Answer::NotAnswered(Missing::Steps { exercises })
    }
}

fn one_session(routine: &Routine) -> Duration {
    let doses: Vec<_> = routine
        .exercises()
        .iter()
        .map(|exercise| {
            Foothold::on(exercise.ladder.start()).dose(&exercise.dose, &exercise.ladder)
        })
        .collect();
    session_time(&doses)
}

fn how_tailored(routine: &Routine) -> Answer {
    let own = routine.exercises().iter().filter_map(|exercise| exercise.limits.as_ref());
    let every: Vec<&Limits> = own.chain([&routine.limits]).collect();
    let usual_morning = every.iter().any(|limits| limits.usual_morning.is_some());
    let mut sites: Vec<&Words> =
        every.iter().flat_map(|limits| &limits.sites).map(|site| &site.name).collect();
    sites.sort();
    sites.dedup();
    if routine.client.is_some() && (usual_morning || !sites.is_empty()) {
        Answer::Answered(How::Settings { usual_morning, sites: sites.len() })
    } else {
        Answer::NotAnswered(Missing::Settings)
    }
}
