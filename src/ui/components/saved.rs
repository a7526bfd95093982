//! Whether what was entered is safe: "Saved" only when it is.

use leptos::prelude::*;

use crate::store::backend::BackendError;
use crate::ui::saving::{Saving, use_saver};
use crate::ui::text::components::{cannot_start, saved as text};
use crate::ui::text::refusals::InWords;

#[component]
pub fn SavedMark() -> impl IntoView {
    let saver = use_saver();
    let words = move || {
        match saver.saving() {
            Saving::Saved if saver.is_typed() => view! { <span>{text::NOT_YET}</span> }.into_any(),
            Saving::Saved => view! { <span class="saved">{text::SAVED}</span> }.into_any(),
            Saving::Writing => view! { <span>{text::SAVING}</span> }.into_any(),
            // The notice at the top of the screen says so, with the way out.
            Saving::Failed(_) => ().into_any(),
        }
    };
    view! { <div class="save-mark" role="status">{words}</div> }
}

/// Shown on every screen while something could not be saved; silent otherwise.
#[component]
pub fn UnsavedNotice() -> impl IntoView {
    let saver = use_saver();
    let failed = move || match saver.saving() {
        Saving::Failed(error) => {
            let advice = match error {
                BackendError::Full | BackendError::TakesNothing => text::FREE_SOME_SPACE,
                BackendError::Denied
                | BackendError::Newer
                | BackendError::Blocked
                | BackendError::Lost
                | BackendError::Failed(_) => "",
            };
            Some((error.in_words(), advice))
        }
        Saving::Saved | Saving::Writing => None,
    };
    let notice = move || {
        failed().map(|(why, advice)| {
            view! {
                <p class="problem">
                    {text::not_saved(&why, advice)}
                    <button type="button" class="link" on:click=move |_| saver.try_again()>
                        {cannot_start::TRY_AGAIN}
                    </button>
                    " "
                    <button type="button" class="link" on:click=move |_| saver.save_as_file()>
                        {text::SAVE_ALL_AS_FILE}
                    </button>
                </p>
            }
        })
    };
    let put_back = move || {
        (0 < saver.put_back()).then(|| {
            view! {
                <p class="card">
                    {text::PUT_BACK}
                </p>
            }
        })
    };
    view! {
        <div role="alert">{notice}</div>
        <div role="status">{put_back}</div>
    }
}
