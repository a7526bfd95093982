//! The practitioner's page in one window: opens the caseload where no other window has it, or says why not.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::app::App;
use crate::platform::indexed_db::IndexedDb;
use crate::platform::one_window::{self, Manner, Place};
use crate::platform::screen;
use crate::store::backend::BackendError;
use crate::store::caseload::Caseload;
use crate::ui::components::cannot_open::CannotOpen;
use crate::ui::components::elsewhere::Elsewhere;

const NAME: &str = "carryover-practice";

#[derive(Clone)]
enum State {
    Opening,
    Open(Caseload<IndexedDb>),
    Elsewhere,
    CannotOpen(BackendError),
}

#[component]
pub fn Window() -> impl IntoView {
    let state = RwSignal::new_local(State::Opening);
    // The caseload as this window had it, before another one took over.
    let before = StoredValue::new_local(None::<Caseload<IndexedDb>>);
    let unsaved = RwSignal::new(false);
    let enter = move |manner| {
        let lost = move || {
            if let State::Open(caseload) = state.get_untracked() {
                before.set_value(Some(caseload.clone()));
                spawn_local(async move {
                    unsaved.set(caseload.save().await.is_err());
                });
            }
            state.set(State::Elsewhere);
        };
        spawn_local(async move {
            let entered = match one_window::claim(NAME, manner, lost).await {
                Place::Elsewhere => State::Elsewhere,
                Place::Here => match open(before.get_value()).await {
                    Ok(caseload) => State::Open(caseload),
                    Err(error) => State::CannotOpen(error),
                },
            };
            screen::clear_shell();
            state.set(entered);
        });
    };
    enter(Manner::IfFree);
    let take_over = Callback::new(move |()| enter(Manner::TakeOver));
    move || match state.get() {
        State::Opening => ().into_any(),
        State::Open(caseload) => view! { <App caseload /> }.into_any(),
        State::Elsewhere => view! { <Elsewhere unsaved on_take_over=take_over /> }.into_any(),
        State::CannotOpen(error) => view! { <CannotOpen what="caseload" error /> }.into_any(),
    }
}

/// Opens the caseload as it is stored now, after what only this window still had of it is saved.
async fn open(before: Option<Caseload<IndexedDb>>) -> Result<Caseload<IndexedDb>, BackendError> {
    if let Some(before) = before.filter(|before| !before.is_saved()) {
        before.save().await?;
    }
    Caseload::open(IndexedDb::open(NAME).await?).await
}
