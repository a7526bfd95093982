//! The ways out where the app, or a part of it, could not start.

use leptos::html::Div;
use leptos::prelude::*;

use crate::platform::floor;
use crate::ui::text::components::cannot_start as text;

/// Begins anew with what the host has.
#[component]
pub fn TryAgain() -> impl IntoView {
    let tried = RwSignal::new(false);
    let try_again = move |_| {
        tried.set(true);
        floor::try_again();
    };
    view! {
        <button type="button" class="button main" disabled=move || tried.get() on:click=try_again>
            {text::TRY_AGAIN}
        </button>
    }
}

/// What is kept on the device as a file, where there is something.
#[component]
pub fn KeptAsFile() -> impl IntoView {
    let place = NodeRef::<Div>::new();
    place.on_load(|place| floor::offer_file(&place));
    view! { <div node_ref=place></div> }
}
