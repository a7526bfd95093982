//! The client's routine and the rule, and opening a newer version.

use leptos::prelude::*;
use leptos_router::components::A;

use super::open_routine::{OpenRoutineButtons, Opening};
use crate::ui::components::answers::Answers;
use crate::ui::components::fridge_sheet::PrintFridgeSheet;
use crate::ui::components::routine_page::RoutinePage;
use crate::ui::components::screen::Screen;
use crate::ui::diary::use_diary;

#[component]
pub fn MyRoutine() -> impl IntoView {
    let diary = use_diary();
    view! {
        <Opening>
            {move || {
                let history = diary.history();
                let routine = history.routine().cloned();
                let answers: Vec<_> = history.standing_answers().into_iter().cloned().collect();
                let title = routine.as_ref().map_or("No routine yet".to_owned(), |routine| routine.title.to_string());
                view! {
                    <Screen
                        title
                        above="My routine"
                        foot=Box::new(|| view! { <A href="/" attr:class="button main">"Back to Today"</A> }.into_any())
                    >
                        <Answers answers title="Answers to what you wrote" />
                        <OpenRoutineButtons />
                        {routine
                            .map(|routine| {
                                view! {
                                    <PrintFridgeSheet routine=routine.clone() />
                                    <RoutinePage routine />
                                }
                            })}
                    </Screen>
                }
            }}
        </Opening>
    }
}
