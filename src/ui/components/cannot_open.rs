//! What is shown when the device's storage cannot be opened.

use leptos::prelude::*;

use super::cannot_start::{KeptAsFile, TryAgain};
use crate::store::backend::BackendError;

/// The storage could not be opened. Nothing was changed; what to do stands beside the reason.
#[component]
pub fn CannotOpen(
    /// What is kept there: "log", or "caseload".
    what: &'static str,
    error: BackendError,
) -> impl IntoView {
    let way_out = match &error {
        BackendError::Denied => {
            "Leave private browsing, or allow this site to store data in the browser's settings. Then open the app again."
        }
        BackendError::Full | BackendError::TakesNothing => {
            "Free some space on the device. Then open the app again."
        }
        BackendError::Newer => {
            "Close every window of this app and open it again, so that the newer version starts."
        }
        BackendError::Blocked => "Close the other windows of this app. Then open it again.",
        BackendError::Lost | BackendError::Failed(_) => {
            "Close the app and open it again. If that does not help, restart the device."
        }
    };
    view! {
        <main class="screen">
            <div class="screen-body">
                <h1>{format!("Your {what} could not be opened")}</h1>
                <p>{error.to_string()} "."</p>
                <p>{way_out}</p>
                <p class="soft">"Nothing was changed or thrown away."</p>
                <KeptAsFile />
            </div>
            <div class="screen-foot">
                <TryAgain />
            </div>
        </main>
    }
}
