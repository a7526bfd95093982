//! A newer version of the app that waits: it is offered where no session runs, and never takes over by itself.

use leptos::prelude::*;

use crate::platform::offline;
use crate::ui::text::components::newer as text;

/// Whether a newer version waits.
#[derive(Clone, Copy)]
pub struct NewerVersion(RwSignal<bool>);

impl NewerVersion {
    pub fn none_yet() -> Self {
        Self(RwSignal::new(false))
    }

    /// Keeps the app on the device from now on, and notices when a newer version is there.
    pub fn watch(self) {
        offline::keep(move || self.0.set(true));
    }
}

#[component]
pub fn NewerNotice() -> impl IntoView {
    let NewerVersion(waits) = expect_context();
    view! {
        <Show when=move || waits.get()>
            <section class="card stack">
                <h2>{text::TITLE}</h2>
                <p>{text::WHAT_HAPPENS}</p>
                <button type="button" class="button" on:click=move |_| offline::take_over()>
                    {text::USE_IT}
                </button>
            </section>
        </Show>
    }
}
