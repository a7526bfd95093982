//! A routine that was opened: shown whole before it is accepted.

use leptos::prelude::*;

use super::open_routine::Offer;
use super::to_today::ToToday;
use crate::domain::plan::routine::Answer;
use crate::exchange::file::RoutineFile;
use crate::platform::{address, preview};
use crate::ui::components::answers::Answers;
use crate::ui::components::routine_page::RoutineInShort;
use crate::ui::components::screen::Screen;
use crate::ui::text::client::offered as text;
use crate::ui::text::client::routine::ANSWERS;
use crate::ui::text::standing;

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
    /// A warning sign that stands: whether someone qualified has looked at it is asked, and what to do then.
    #[prop(default = None)]
    sign: Option<(String, Callback<()>)>,
    /// What it changes.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    let ToToday(to_today) = expect_context();
    let routine = file.routine.clone();
    let from = routine
        .practitioner
        .as_ref()
        .map_or_else(|| text::A_ROUTINE.to_owned(), |who| text::from_whom(who.as_str()));
    let accept = Callback::new(move |then: Option<Callback<()>>| {
        offer.take_on(&file);
        if let Some(then) = then {
            then.run(());
        }
        offer.put_aside();
        to_today.run(());
    });
    let not_now = move |_| {
        if preview::is_demo() {
            preview::end();
            address::open_anew("/");
        } else {
            offer.put_aside();
        }
    };
    let looked_at = sign.as_ref().map(|(_, looked_at)| *looked_at);
    view! {
        <Screen
            title=routine.title.to_string()
            above=from
            columns=true
            foot=Box::new(move || {
                view! {
                    {match looked_at.filter(|_| known.is_none()) {
                        Some(looked_at) => view! {
                            <p class="foot-ask">{standing::LOOKED_AT_TITLE}</p>
                            <button type="button" class="button main" on:click=move |_| accept.run(None)>
                                {standing::LOOKED_AT_NO}
                            </button>
                            <button type="button" class="button" on:click=move |_| accept.run(Some(looked_at))>
                                {standing::LOOKED_AT_YES}
                            </button>
                        }
                        .into_any(),
                        None if known.is_none() => view! {
                            <button type="button" class="button main" on:click=move |_| accept.run(None)>
                                {text::USE_THIS_ROUTINE}
                            </button>
                        }
                        .into_any(),
                        None => ().into_any(),
                    }}
                    <button type="button" class="button quiet" on:click=not_now>
                        {if known.is_none() { text::NOT_NOW } else { text::BACK }}
                    </button>
                }
                .into_any()
            })
        >
            {known.map(|known| view! { <p class="problem">{known}</p> })}
            {sign
                .filter(|_| known.is_none())
                .map(|(signs, _)| {
                    view! {
                        <section class="card hold-card stack">
                            <h2>{standing::LOOKED_AT_TITLE}</h2>
                            <p>{standing::LOOKED_AT_WHY}</p>
                            <p class="soft">{signs}</p>
                        </section>
                    }
                })}
            <Answers answers title=ANSWERS />
            {children.map(|children| children())}
            <p class="small soft">{text::PLAN_NOT_DIAGNOSIS}</p>
            <RoutineInShort routine />
        </Screen>
    }
}
