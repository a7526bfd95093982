//! A routine as a page: what a client looks at before taking it on, and a practitioner reads over.

use leptos::prelude::*;

use super::figure::{Figure, Shown};
use super::ladder::LadderDrawing;
use super::light::ThreeLights;
use super::photo::ExercisePhoto;
use super::rule_table::RuleTable;
use crate::domain::plan::dose::session_time;
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::plan::routine::{Exercise, Routine};
use crate::domain::words::Words;
use crate::ui::text::components::{ladder, routine_page as text, rule_table};
use crate::ui::text::{capitalised, dose};

#[component]
pub fn RoutinePage(routine: Routine) -> impl IntoView {
    let exercises = routine.exercises().iter().zip(1_u16..).map(|(exercise, number)| {
        view! { <ExercisePage exercise=exercise.clone() number /> }
    });
    let exercises = exercises.collect_view();
    view! {
        <div class="routine stack">
            <AtAGlance routine=routine.clone() />
            {routine.source.as_ref().map(|source| view! { <p class="small soft">{text::source(source)}</p> })}
            <Lines title=text::TAKE_CARE lines=routine.cautions.clone() />
            {exercises}
            <RuleTable limits=routine.limits.clone() />
        </div>
    }
}

/// A routine before it is taken on: what, how long, what to fetch, what to take care of, and the rule in three
/// lines. The rest is a tap away.
#[component]
pub fn RoutineInShort(routine: Routine) -> impl IntoView {
    let always = same_for_all(routine.exercises().iter().map(|one| dose::how_often(&one.dose)));
    let often = always.clone();
    let exercise = |(exercise, number): (&Exercise, u16)| {
        let here = Foothold::on(exercise.ladder.start());
        let sets = dose::short(&here.dose(&exercise.dose, &exercise.ladder));
        let often = often.is_none().then(|| format!(", {}", dose::how_often(&exercise.dose)));
        view! {
            <details class="card">
                <summary class="with-pose">
                    <Figure exercise=exercise.clone() rung=here.rung shown=Shown::Still />
                    <h2>{text::numbered(number, &exercise.name)}</h2>
                    <span class="num small">{sets} {often}</span>
                </summary>
                <ExerciseWhole exercise=exercise.clone() />
            </details>
        }
    };
    let exercises = routine.exercises().iter().zip(1_u16..).map(exercise).collect_view();
    view! {
        <div class="routine stack">
            <p>
                {routine.client.as_ref().map(|client| text::first(client.as_str()))}
                {always.map(|often| text::first(&capitalised(&often)))}
                {how_long(&routine)}
            </p>
            <Lines title=text::TAKE_CARE lines=routine.cautions.clone() />
            {exercises}
            <FetchList things=equipment(&routine) />
            <section class="stack">
                <h2>{text::MORNING_DECIDES}</h2>
                <ThreeLights />
                <details>
                    <summary>{rule_table::THE_RULE}</summary>
                    <RuleTable limits=routine.limits.clone() />
                    <p class="small soft">{which_version(&routine)}</p>
                    {routine.source.as_ref().map(|source| view! { <p class="small soft">{text::source(source)}</p> })}
                </details>
            </section>
        </div>
    }
}

/// What all of them say, where all say the same.
fn same_for_all(mut all: impl Iterator<Item = String>) -> Option<String> {
    let first = all.next()?;
    all.all(|other| other == first).then_some(first)
}

fn which_version(routine: &Routine) -> String {
    format!("{}.", text::version(routine))
}

fn how_long(routine: &Routine) -> String {
    let dose = |exercise: &Exercise| {
        Foothold::on(exercise.ladder.start()).dose(&exercise.dose, &exercise.ladder)
    };
    let start_doses: Vec<_> = routine.exercises().iter().map(dose).collect();
    text::how_long(session_time(&start_doses))
}

/// Which version it is, how long a session takes, and what to fetch.
#[component]
fn AtAGlance(routine: Routine) -> impl IntoView {
    let things = equipment(&routine);
    view! {
        <p class="small soft">
            {routine.client.as_ref().map(|client| text::first(client.as_str()))}
            {which_version(&routine)}
            " "
            {how_long(&routine)}
        </p>
        {(!things.is_empty()).then(|| view! { <p>{text::fetch(&things)}</p> })}
    }
}

/// What is to fetch where each exercise is begun.
fn equipment(routine: &Routine) -> Vec<String> {
    let on_start = routine.exercises().iter().map(|exercise| (exercise, exercise.ladder.start()));
    Routine::equipment(on_start).into_iter().map(Words::to_string).collect()
}

/// How much there is to fetch; what it is, a tap away.
#[component]
pub fn FetchList(things: Vec<String>) -> impl IntoView {
    (!things.is_empty()).then(|| {
        view! {
            <details class="small">
                <summary>{dose::fetch(things.len())}</summary>
                <p>{dose::list(&things)}</p>
            </details>
        }
    })
}

/// One exercise with everything that belongs to it.
#[component]
pub fn ExercisePage(exercise: Exercise, number: u16) -> impl IntoView {
    view! {
        <section class="card stack">
            <h2>{text::numbered(number, &exercise.name)}</h2>
            <ExerciseWhole exercise />
        </section>
    }
}

/// Everything that belongs to an exercise but its name.
#[component]
fn ExerciseWhole(exercise: Exercise) -> impl IntoView {
    let here = Foothold::on(exercise.ladder.start());
    view! {
        {exercise.purpose.as_ref().map(|purpose| view! { <p class="soft">{purpose.to_string()}</p> })}
        <p class="num"><strong>{dose::whole(&here.dose(&exercise.dose, &exercise.ladder))}</strong></p>
        <p class="small soft">{dose::how_often(&exercise.dose)}</p>
        {dose::written(&exercise.dose.tempo).map(|written| view! { <p class="small soft num">{written}</p> })}
        <Figure exercise=exercise.clone() rung=here.rung shown=Shown::BothEnds />
        <ExerciseSteps exercise=exercise.clone() rung=here.rung />
        <h3>{text::HELP}</h3>
        <LadderDrawing exercise=exercise.clone() here says=ladder::START_HERE />
        {exercise.limits.clone().map(|limits| view! { <RuleTable limits /> })}
        {exercise.source.as_ref().map(|source| view! { <p class="small soft">{text::source(source)}</p> })}
    }
}

/// How an exercise is done on a rung, and what to look out for.
#[component]
pub fn ExerciseSteps(
    exercise: Exercise,
    rung: RungNumber,
    /// Whether its cautions stand below.
    #[prop(default = true)]
    cautions: bool,
) -> impl IntoView {
    let steps = exercise.steps_on(rung).iter();
    let steps = steps.map(|step| view! { <li>{step.to_string()}</li> }).collect_view();
    let name = exercise.name.clone();
    view! {
        {exercise.photo.clone().map(|photo| view! { <ExercisePhoto photo name /> })}
        <ol class="steps">{steps}</ol>
        <Lines title=text::WATCH_FOR lines=exercise.watch_for_on(rung).to_vec() />
        {cautions.then(|| view! { <Lines title=text::TAKE_CARE lines=exercise.cautions.clone() /> })}
    }
}

#[component]
fn Lines(title: &'static str, lines: Vec<Words>) -> impl IntoView {
    (!lines.is_empty()).then(|| {
        let lines = lines.iter().map(|line| view! { <li>{line.to_string()}</li> }).collect_view();
        view! {
            <h3>{title}</h3>
            <ul class="plain-list">{lines}</ul>
        }
    })
}
