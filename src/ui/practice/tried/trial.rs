//! Something that is tried, worked out once it is opened.

use leptos::prelude::*;

#[component]
pub fn Trial(title: &'static str, show: Box<dyn Fn() -> AnyView + Send>) -> impl IntoView {
    let is_open = RwSignal::new(false);
    view! {
        <details class="card unprinted" on:toggle=move |_| is_open.set(true)>
            <summary>
                <h2>{title}</h2>
            </summary>
            {move || is_open.get().then(&show)}
        </details>
    }
}
