//! A routine that was opened by a client who follows one already: whether it is meant for them, and what
//! it changes.

use leptos::prelude::*;

use super::offered::OfferedRoutine;
use super::open_routine::Offer;
use crate::domain::log::event::{Fact, Lifts};
use crate::domain::log::history::Newness;
use crate::domain::plan::changes::{Change, RoutineChange, between};
use crate::domain::plan::routine::{Answer, Routine};
use crate::exchange::file::RoutineFile;
use crate::platform::clock;
use crate::ui::components::screen::Screen;
use crate::ui::components::what_changes::WhatChanges;
use crate::ui::live_log::use_log;
use crate::ui::text::changes;
use crate::ui::text::client::offered::A_ROUTINE;
use crate::ui::text::client::offered_again as text;
use crate::ui::text::warning::ask;

/// A routine made for another label than the client goes by asks first whether it is meant for them.
#[component]
pub fn OfferedAgain() -> impl IntoView {
    let offer: Offer = expect_context();
    offer.file_untracked().map(|file| view! { <Meant file offer /> })
}

#[component]
fn Meant(file: RoutineFile, offer: Offer) -> impl IntoView {
    let history = use_log().history_untracked();
    let is_newer = matches!(history.newness(&file.routine), Newness::Newer | Newness::Again);
    let other = history
        .other_client(&file.routine)
        .filter(|_| is_newer)
        .map(|(theirs, own)| (theirs.to_string(), own.to_string()));
    let to_ask = RwSignal::new(other);
    move || match to_ask.get() {
        Some((theirs, own)) => view! { <ForSomeoneElse theirs own offer to_ask /> }.into_any(),
        None => view! { <Offered file=file.clone() offer /> }.into_any(),
    }
}

#[component]
fn ForSomeoneElse(
    theirs: String,
    own: String,
    offer: Offer,
    to_ask: RwSignal<Option<(String, String)>>,
) -> impl IntoView {
    view! {
        <Screen
            title=text::IS_IT_FOR_YOU
            above=A_ROUTINE
            foot=Box::new(move || {
                view! {
                    <button type="button" class="button main" on:click=move |_| offer.put_aside()>
                        {text::NOT_FOR_ME}
                    </button>
                    <button type="button" class="button" on:click=move |_| to_ask.set(None)>
                        {text::SHOW_IT}
                    </button>
                }
                .into_any()
            })
        >
            <p class="lead">{text::made_for(&theirs, &own)}</p>
            <p class="soft">{text::IF_NOT_SURE}</p>
        </Screen>
    }
}

#[component]
fn Offered(file: RoutineFile, offer: Offer) -> impl IntoView {
    let history = use_log().history_untracked();
    let known = match history.newness(&file.routine) {
        Newness::Newer | Newness::Again => None,
        Newness::Same => Some(text::THE_SAME),
        Newness::Older => Some(text::AN_OLDER_ONE),
    };
    let is_new = |answer: &&Answer| !history.answers().any(|known| known == *answer);
    let routine = file.routine.clone();
    let answers = match known {
        None => routine.answers.iter().filter(is_new).cloned().collect(),
        Some(_) => Vec::new(),
    };
    let log = use_log();
    let signs = history.standing_signs();
    let looked_at = Callback::new(move |()| {
        log.append(vec![Fact::GoAhead { lifts: Lifts::WarningSign }]);
    });
    let sign = history.sign_since().map(|_| {
        let signs: Vec<String> = signs.into_iter().map(|sign| ask(sign).to_owned()).collect();
        (signs.join(" "), looked_at)
    });
    view! {
        <OfferedRoutine file offer answers known sign>
            {known.is_none().then(|| view! { <NextVersion routine /> })}
        </OfferedRoutine>
    }
}

/// What a routine changes for a client who follows one already, and where they would go on.
#[component]
fn NextVersion(routine: Routine) -> impl IntoView {
    let history = use_log().history_untracked();
    let followed = history.routine()?;
    let today = clock::today();
    // Answers stand above, whole.
    let is_answer = |change: &Change| matches!(change, Change::Routine(RoutineChange::Answers(_)));
    let mut all = between(followed, &routine);
    // What becomes of a Hold stands below, where this client goes on.
    all.retain(|change| !is_answer(change) && !change.is_of_a_hold());
    let told = changes::told(&all);
    let after = history.with(&routine, clock::now());
    let going_on = history.goes_on(&routine).map(|(exercise, goes_on)| {
        let goes_on = text::goes_on(exercise, goes_on, (&history, &after), today);
        view! {
            <li>
                <strong>{exercise.name.to_string()}</strong>
                <span class="block">{goes_on}</span>
            </li>
        }
    });
    Some(view! {
        <WhatChanges changes=told />
        <section class="card stack">
            <h2>{text::WHERE_YOU_GO_ON}</h2>
            <ul class="plain-list">{going_on.collect_view()}</ul>
            <p class="small soft">{text::LOG_STAYS}</p>
        </section>
    })
}
