//! A routine as a page: what a client looks at before taking it on, and a practitioner reads over.

use leptos::prelude::*;

use super::ladder::LadderDrawing;
use super::photo::ExercisePhoto;
use super::rule_table::RuleTable;
use crate::domain::dose::session_time;
use crate::domain::ladder::Foothold;
use crate::domain::routine::{Exercise, Routine};
use crate::domain::words::Words;
use crate::ui::text::{dates, dose};

#[component]
pub fn RoutinePage(routine: Routine) -> impl IntoView {
    let start_doses: Vec<_> = routine
        .exercises()
        .iter()
        .map(|exercise| {
            Foothold::on(exercise.ladder.start()).dose(&exercise.dose, &exercise.ladder)
        })
        .collect();
    let minutes = dates::minutes(session_time(&start_doses));
    let exercises = routine.exercises().iter().zip(1_u16..).map(|(exercise, number)| {
        view! { <ExercisePage exercise=exercise.clone() number /> }
    });
    let exercises = exercises.collect_view();
    let equipment: Vec<String> =
        Routine::equipment(routine.exercises()).into_iter().map(Words::to_string).collect();
    view! {
        <div class="routine stack">
            <p class="small soft">
                {routine.client.as_ref().map(|client| format!("{client}. "))}
                {format!("Version {}, {}. ", routine.version.get(), dates::day(routine.issued))}
                {format!("About {minutes} a session.")}
            </p>
            {routine.source.as_ref().map(|source| view! { <p class="small soft">"Source: " {source.to_string()}</p> })}
            {(!equipment.is_empty()).then(|| view! { <p>"Fetch: " {dose::list(&equipment)}</p> })}
            <Lines title="Take care" lines=routine.cautions.clone() />
            {exercises}
            <RuleTable limits=routine.limits.clone() />
        </div>
    }
}

/// One exercise with everything that belongs to it.
#[component]
pub fn ExercisePage(exercise: Exercise, number: u16) -> impl IntoView {
    let here = Foothold::on(exercise.ladder.start());
    view! {
        <section class="card stack">
            <h2>{format!("{number}. {}", exercise.name)}</h2>
            {exercise.purpose.as_ref().map(|purpose| view! { <p class="soft">{purpose.to_string()}</p> })}
            <p class="num"><strong>{dose::whole(&here.dose(&exercise.dose, &exercise.ladder))}</strong></p>
            <p class="small soft">{dose::how_often(&exercise.dose)}</p>
            {dose::written(&exercise.dose.tempo).map(|written| view! { <p class="small soft num">{written}</p> })}
            <ExerciseSteps exercise=exercise.clone() />
            <h3>"Help"</h3>
            <LadderDrawing ladder=exercise.ladder.clone() here says="start here" />
            {exercise.limits.clone().map(|limits| view! { <RuleTable limits /> })}
            {exercise.source.as_ref().map(|source| view! { <p class="small soft">"Source: " {source.to_string()}</p> })}
        </section>
    }
}

/// How an exercise is done, and what to look out for.
#[component]
pub fn ExerciseSteps(exercise: Exercise) -> impl IntoView {
    let steps =
        exercise.steps.iter().map(|step| view! { <li>{step.to_string()}</li> }).collect_view();
    let name = exercise.name.clone();
    view! {
        {exercise.photo.clone().map(|photo| view! { <ExercisePhoto photo name /> })}
        <ol class="steps">{steps}</ol>
        <Lines title="Watch for" lines=exercise.watch_for.clone() />
        <Lines title="Take care" lines=exercise.cautions.clone() />
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
