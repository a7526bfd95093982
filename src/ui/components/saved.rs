//! Whether what was entered is safe: "Saved" only when it is.

use leptos::prelude::*;

use crate::ui::diary::{Saving, use_diary};

#[component]
pub fn SavedMark() -> impl IntoView {
    let diary = use_diary();
    let words = move || {
        match diary.saving() {
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
    let diary = use_diary();
    let failed = move || match diary.saving() {
        Saving::Failed(error) => Some(error.to_string()),
        Saving::Saved | Saving::Writing => None,
    };
    let notice = move || {
        failed().map(|why| {
            view! {
                <p class="problem">
                    {format!("Not saved yet: {why}. What you entered is kept as long as this page stays open. ")}
                    <button type="button" class="link" on:click=move |_| diary.save_again()>
                        "Try again"
                    </button>
                </p>
            }
        })
    };
    view! { <div role="alert">{notice}</div> }
}
