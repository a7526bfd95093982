//! One exercise: its light with the reasons, its ladder, how it is done, and the rule.

use leptos::prelude::*;
use leptos_router::hooks::use_params_map;

use super::verdict_card::{Told, VerdictCards};
use super::waits::WaitsForWord;
use crate::domain::log::course::Availability;
use crate::domain::log::event::Lifts;
use crate::domain::words::Id;
use crate::platform::clock;
use crate::ui::components::figure::{Figure, Shown};
use crate::ui::components::ladder::LadderDrawing;
use crate::ui::components::routine_page::ExerciseSteps;
use crate::ui::components::rule_table::RuleTable;
use crate::ui::components::screen::Screen;
use crate::ui::live_log::use_log;
use crate::ui::text::client::exercise as text;
use crate::ui::text::components::screen::BACK_TO_TODAY;
use crate::ui::text::{dose, standing, who};

#[component]
pub fn ExerciseScreen() -> impl IntoView {
    let log = use_log();
    let params = use_params_map();
    move || {
        let history = log.history();
        let id = params.read().get("id").and_then(|id| Id::new(&id).ok());
        let course = id.and_then(|id| history.course(&id).cloned());
        let Some(course) = course else {
            return view! {
                <Screen title=text::NO_SUCH_EXERCISE foot=back()>
                    <p>{text::NONE_OF_THAT_NAME}</p>
                </Screen>
            }
            .into_any();
        };
        let today = clock::today();
        let who = who(&history);
        let exercise = course.exercise().clone();
        let here = course.start_on(today);
        // What an earlier version led to says nothing about the next session.
        let version = history.routine().map(|routine| routine.version);
        let last = course.judged().last().filter(|judged| Some(judged.version) == version).cloned();
        let is_held = matches!(course.availability(today), Availability::Held { back_on } if today < back_on || course.held_since(today).is_some());
        let of_last =
            |judged| Told { judged, course: course.clone(), limits: course.limits().clone() };
        let told: Vec<Told> = last.map(of_last).into_iter().collect();
        let now = here.dose(&exercise.dose, &exercise.ladder);
        view! {
            <Screen title=exercise.name.to_string() above=dose::how_often(&exercise.dose) foot=back()>
                <p class="num"><strong>{dose::whole(&now)}</strong></p>
                {exercise.purpose.as_ref().map(|purpose| view! { <p class="soft">{purpose.to_string()}</p> })}
                <VerdictCards told=told today who=who.clone() />
                {is_held.then(|| view! { <GoAheadForOne id=exercise.id.clone() /> })}
                <section class="card stack">
                    <h2>{text::YOUR_LADDER}</h2>
                    <LadderDrawing exercise=exercise.clone() here says=text::HERE_NEXT />
                </section>
                <section class="stack">
                    <h2>{text::HOW_TO_DO_IT}</h2>
                    <Figure exercise=exercise.clone() rung=here.rung shown=Shown::OverAndOver />
                    <ExerciseSteps exercise=exercise.clone() rung=here.rung />
                </section>
                <RuleTable limits=course.limits().clone() />
            </Screen>
        }
        .into_any()
    }
}

/// The practitioner rang: days off after a Hold are lifted for one exercise, by a word that names it.
#[component]
fn GoAheadForOne(id: Id) -> impl IntoView {
    view! {
        <WaitsForWord
            reasons=Vec::new()
            ticked=Vec::new()
            lifts=Lifts::Exercise(id)
            ask=standing::SAID_TO_GO_ON_WITH_THIS
            only_if=standing::ONLY_IF_SAID
        />
    }
}

fn back() -> Children {
    Box::new(|| view! { <a href="./" class="button main">{BACK_TO_TODAY}</a> }.into_any())
}
