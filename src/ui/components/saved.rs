//! Whether what was entered is safe: "Saved" only when it is.

use leptos::prelude::*;

use crate::store::backend::BackendError;
use crate::ui::keeping::{Saving, use_keeping};

#[component]
pub fn SavedMark() -> impl IntoView {
    let keeping = use_keeping();
    let words = move || {
        match keeping.saving() {
            Saving::Saved => view! { <span class="saved">"Saved"</span> }.into_any(),
            Saving::Writing => view! { <span>"Saving…"</span> }.into_any(),
            // The notice at the top of the screen says so, with the way out.
            Saving::Failed(_) => ().into_any(),
        }
    };
    view! { <div class="save-mark" role="status">{words}</div> }
}

/// Shown on every screen while something could not be saved; silent otherwise.
#[component]
pub fn UnsavedNotice() -> impl IntoView {
    let keeping = use_keeping();
    let failed = move || match keeping.saving() {
        Saving::Failed(error) => {
            let advice = match error {
                BackendError::Full | BackendError::TakesNothing => {
                    "Free some space on the device, then try again. "
                }
                BackendError::Denied
                | BackendError::Newer
                | BackendError::Blocked
                | BackendError::Lost
                | BackendError::Failed(_) => "",
            };
            Some((error.to_string(), advice))
        }
        Saving::Saved | Saving::Writing => None,
    };
    let notice = move || {
        failed().map(|(why, advice)| {
            view! {
                <p class="problem">
                    {format!("Not saved yet: {why}. What you entered is kept as long as this page stays open. {advice}")}
                    <button type="button" class="link" on:click=move |_| keeping.try_again()>
                        "Try again"
                    </button>
                    " "
                    <button type="button" class="link" on:click=move |_| keeping.save_as_file()>
                        "Save it all as a file"
                    </button>
                </p>
            }
        })
    };
    let put_back = move || {
        (0 < keeping.put_back()).then(|| {
            view! {
                <p class="card">
                    "Something was missing from this browser's storage, and was put back from the second place on this device. Nothing you entered is lost."
                </p>
            }
        })
    };
    view! {
        <div role="alert">{notice}</div>
        <div role="status">{put_back}</div>
    }
}
