//! A routine that was opened: shown whole before it is accepted.

use leptos::prelude::*;

use super::open_routine::Offer;
use super::to_today::ToToday;
use crate::domain::routine::Answer;
use crate::exchange::file::RoutineFile;
use crate::ui::components::answers::Answers;
use crate::ui::components::routine_page::RoutinePage;
use crate::ui::components::screen::Screen;
use crate::ui::text::warning::NOT_A_DIAGNOSIS;

/// The first routine of a client.
#[component]
pub fn FirstOffered(file: RoutineFile, offer: Offer) -> impl IntoView {
    let answers = file.routine.answers.clone();
    view! { <OfferedRoutine file offer answers /> }
}

#[component]
pub fn OfferedRoutine(
    file: RoutineFile,
    offer: Offer,
    /// Answers that the client has not read yet.
    answers: Vec<Answer>,
    /// Why it changes nothing.
    #[prop(default = None)]
    known: Option<&'static str>,
    /// What it changes.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    let ToToday(to_today) = expect_context();
    let routine = file.routine.clone();
    let from = routine
        .practitioner
        .as_ref()
        .map_or_else(|| "A routine".to_owned(), |who| format!("From {who}"));
    let accept = move |_| {
        offer.take_on(&file);
        offer.put_aside();
        to_today.run(());
    };
    view! {
        <Screen
            title=routine.title.to_string()
            above=from
            foot=Box::new(move || {
                view! {
                    {known
                        .is_none()
                        .then(|| {
                            view! {
                                <button type="button" class="button main" on:click=accept>
                                    "Use this routine"
                                </button>
                            }
                        })}
                    <button type="button" class="button quiet" on:click=move |_| offer.put_aside()>
                        {if known.is_none() { "Not now" } else { "Back" }}
                    </button>
                }
                .into_any()
            })
        >
            {known.map(|known| view! { <p class="problem">{known}</p> })}
            <Answers answers title="Answers to what you wrote" />
            {children.map(|children| children())}
            <p class="small soft">
                "Read it through. It is your practitioner's plan; the app only carries it out. " {NOT_A_DIAGNOSIS}
            </p>
            <RoutinePage routine />
        </Screen>
    }
}
