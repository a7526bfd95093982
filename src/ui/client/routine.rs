//! The client's routine and the rule, and opening a newer version.

use leptos::prelude::*;

use super::open_routine::{Offer, Opening};
use super::ways_to_open::WaysToOpen;
use crate::ui::components::answers::Answers;
use crate::ui::components::fridge_sheet::PrintFridgeSheet;
use crate::ui::components::routine_page::RoutinePage;
use crate::ui::components::screen::Screen;
use crate::ui::live_log::use_log;
use crate::ui::text::client::routine as text;
use crate::ui::text::components::screen::BACK_TO_TODAY;

#[component]
pub fn MyRoutine() -> impl IntoView {
    let log = use_log();
    let offer = Offer::over_log();
    view! {
        <Opening offer>
            {move || {
                let history = log.history();
                let routine = history.routine().map(|routine| (routine.clone(), history.stands_on(routine)));
                let answers: Vec<_> = history.standing_answers().into_iter().cloned().collect();
                let title = routine.as_ref().map_or(text::NO_ROUTINE_YET.to_owned(), |(routine, _)| routine.title.to_string());
                view! {
                    <Screen
                        title
                        above=text::MY_ROUTINE
                        foot=Box::new(|| view! { <a href="./" class="button main">{BACK_TO_TODAY}</a> }.into_any())
                    >
                        <Answers answers title=text::ANSWERS />
                        <WaysToOpen problem=offer.problem() on_way=offer.ways() />
                        {routine
                            .map(|(routine, stands)| {
                                view! {
                                    <PrintFridgeSheet routine=routine.clone() stands />
                                    <RoutinePage routine />
                                }
                            })}
                    </Screen>
                }
            }}
        </Opening>
    }
}
