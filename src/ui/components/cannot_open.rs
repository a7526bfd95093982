//! What is shown when the device's storage cannot be opened.

use leptos::prelude::*;

use super::cannot_start::{KeptAsFile, TryAgain};
use crate::store::backend::BackendError;
use crate::ui::text::components::cannot_open as text;
use crate::ui::text::refusals::InWords;

/// The storage could not be opened. Nothing was changed; what to do stands beside the reason.
#[component]
pub fn CannotOpen(
    /// What is kept there: "log", or "caseload".
    what: &'static str,
    error: BackendError,
) -> impl IntoView {
    let way_out = match &error {
        BackendError::Denied => text::ALLOW_STORING,
        BackendError::Full | BackendError::TakesNothing => text::FREE_SOME_SPACE,
        BackendError::Newer => text::LET_THE_NEWER_START,
        BackendError::Blocked => text::CLOSE_OTHER_WINDOWS,
        BackendError::Lost | BackendError::Failed(_) => text::OPEN_AGAIN,
    };
    view! {
        <main class="screen">
            <div class="screen-body">
                <h1>{text::title(what)}</h1>
                <p>{error.in_words()} "."</p>
                <p>{way_out}</p>
                <p class="soft">{text::NOTHING_CHANGED}</p>
                <KeptAsFile />
            </div>
            <div class="screen-foot">
                <TryAgain />
            </div>
        </main>
    }
}
