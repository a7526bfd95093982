//! One exercise: its light with the reasons, its ladder, how it is done, and the rule.

use leptos::prelude::*;
use leptos_router::hooks::use_params_map;

use super::verdict_card::VerdictCard;
use crate::domain::words::Id;
use crate::platform::clock;
use crate::ui::components::ladder::LadderDrawing;
use crate::ui::components::routine_page::ExerciseSteps;
use crate::ui::components::rule_table::RuleTable;
use crate::ui::components::screen::Screen;
use crate::ui::diary::use_diary;
use crate::ui::text::{dose, who};

#[component]
pub fn ExerciseScreen() -> impl IntoView {
    let diary = use_diary();
    let params = use_params_map();
    move || {
        let history = diary.history();
        let id = params.read().get("id").and_then(|id| Id::new(&id).ok());
        let course = id.and_then(|id| history.course(&id).cloned());
        let Some(course) = course else {
            return view! {
                <Screen title="No such exercise" foot=back()>
                    <p>"Your routine has no exercise of that name."</p>
                </Screen>
            }
            .into_any();
        };
        let today = clock::now().date_naive();
        let who = who(&history);
        let exercise = course.exercise().clone();
        let here = course.foothold();
        let last = course.judged().last().cloned();
        let now = here.dose(&exercise.dose, &exercise.ladder);
        view! {
            <Screen title=exercise.name.to_string() above=dose::how_often(&exercise.dose) foot=back()>
                <p class="num"><strong>{dose::whole(&now)}</strong></p>
                {exercise.purpose.as_ref().map(|purpose| view! { <p class="soft">{purpose.to_string()}</p> })}
                {last.map(|judged| view! { <VerdictCard judged course=course.clone() today who=who.clone() /> })}
                <section class="card stack">
                    <h2>"Your ladder"</h2>
                    <LadderDrawing ladder=exercise.ladder.clone() here says="here next" />
                </section>
                <section class="stack">
                    <h2>"How to do it"</h2>
                    <ExerciseSteps exercise=exercise.clone() />
                </section>
                <RuleTable limits=course.limits().clone() />
            </Screen>
        }
        .into_any()
    }
}

fn back() -> Children {
    Box::new(|| view! { <a href="/" class="button main">"Back to Today"</a> }.into_any())
}
