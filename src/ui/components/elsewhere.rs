//! Shown in a window of the app while another one is used.

use leptos::prelude::*;

use crate::ui::text::components::elsewhere as text;

/// Another window is the one; this one can take over.
#[component]
pub fn Elsewhere(
    /// What is open there, and why in one window only.
    says: &'static str,
    /// Something that was entered here could not be saved so far.
    #[prop(into)]
    unsaved: Signal<bool>,
    on_take_over: Callback<()>,
) -> impl IntoView {
    view! {
        <main class="screen">
            <div class="screen-body">
                <h1>{text::TITLE}</h1>
                <p>{says}</p>
                <Show when=move || unsaved.get()>
                    <p class="problem" role="alert">
                        {text::NOT_SAVED_YET}
                    </p>
                </Show>
            </div>
            <div class="screen-foot">
                <button type="button" class="button main" on:click=move |_| on_take_over.run(())>
                    {text::USE_IT_HERE}
                </button>
            </div>
        </main>
    }
}
