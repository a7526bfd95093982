//! Whether what was entered is safe: "Saved" only when it is.

use leptos::prelude::*;

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
        Saving::Failed(error) => Some(error.to_string()),
        Saving::Saved | Saving::Writing => None,
    };
    let notice = move || {
        failed().map(|why| {
            view! {
                <p class="problem">
                    {format!("Not saved yet: {why}. What you entered is kept as long as this page stays open. ")}
                    <button type="button" class="link" on:click=move |_| keeping.try_again()>
                        "Try again"
                    </button>
                </p>
            }
        })
    };
    view! { <div role="alert">{notice}</div> }
}
