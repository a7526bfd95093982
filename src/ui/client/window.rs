//! The client's page in one window: opens the log where no other window has it, or says why not.

use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::app::App;
use crate::platform::indexed_db::IndexedDb;
use crate::platform::one_window::{self, Manner, Place};
use crate::platform::{preferences, preview, screen};
use crate::store::backend::BackendError;
use crate::store::journal::Journal;
use crate::ui::components::cannot_open::CannotOpen;
use crate::ui::components::elsewhere::Elsewhere;
use crate::ui::components::newer::NewerVersion;
use crate::ui::keeping::ANSWERS_WITHIN;

#[derive(Clone)]
enum State {
    Opening,
    Open(Journal<IndexedDb>),
    Elsewhere,
    CannotOpen(BackendError),
}

#[component]
pub fn Window() -> impl IntoView {
    provide_context(NewerVersion::watch());
    let log = preview::log();
    let state = RwSignal::new_local(State::Opening);
    // The log as this window had it, before another one took over.
    let before = StoredValue::new_local(None::<Journal<IndexedDb>>);
    let unsaved = RwSignal::new(false);
    let enter = move |manner| {
        let lost = move || {
            if let State::Open(journal) = state.get_untracked() {
                before.set_value(Some(journal.clone()));
                spawn_local(async move {
                    // Only what this window noted, each under its own id: that cannot harm the other.
                    unsaved.set(journal.save().await.is_err());
                });
            }
            state.set(State::Elsewhere);
        };
        spawn_local(async move {
            let place = one_window::claim(name(log), manner, lost).await;
            let entered = match place {
                Place::Elsewhere => State::Elsewhere,
                Place::Here => {
                    expect_an_answer(state);
                    match open(log, before.get_value()).await {
                        Ok(journal) => State::Open(journal),
                        Err(error) => State::CannotOpen(error),
                    }
                }
            };
            screen::clear_shell();
            state.set(entered);
        });
    };
    enter(if log == preview::Log::NewPreview { Manner::TakeOver } else { Manner::IfFree });
    let take_over = Callback::new(move |()| enter(Manner::TakeOver));
    move || match state.get() {
        State::Opening => ().into_any(),
        State::Open(journal) => view! { <App journal /> }.into_any(),
        State::Elsewhere => view! { <Elsewhere unsaved on_take_over=take_over /> }.into_any(),
        State::CannotOpen(error) => view! { <CannotOpen what="log" error /> }.into_any(),
    }
}

const fn name(log: preview::Log) -> &'static str {
    match log {
        preview::Log::Client => "carryover",
        preview::Log::NewPreview | preview::Log::Preview => "carryover-preview",
    }
}

/// Says so when the storage does not answer in time. Should it answer later, the log opens then.
fn expect_an_answer(state: RwSignal<State, LocalStorage>) {
    let say_so = move || {
        if matches!(state.get_untracked(), State::Opening) {
            screen::clear_shell();
            state.set(State::CannotOpen(BackendError::Lost));
        }
    };
    set_timeout(say_so, Duration::from_secs(ANSWERS_WITHIN));
}

/// Opens the log, and saves what only the window itself still had of it.
async fn open(
    log: preview::Log,
    before: Option<Journal<IndexedDb>>,
) -> Result<Journal<IndexedDb>, BackendError> {
    let database = IndexedDb::open(name(log)).await?;
    if log == preview::Log::NewPreview {
        database.empty().await?;
    }
    let journal = Journal::open(database).await?;
    if journal.is_erased() {
        preferences::forget_all("carryover.");
    }
    if let Some(before) = before.filter(|before| !before.is_saved())
        && let Ok(saving) = journal.merge(&before.records())
    {
        // What is not saved even now is told on every screen.
        drop(saving.await);
    }
    Ok(journal)
}
