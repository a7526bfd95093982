//! Reading a written tempo: the order of its numbers is asked for, since the sources differ.

use leptos::prelude::*;

use crate::domain::plan::dose::PhaseSecs;
use crate::domain::plan::tempo_notation::{Order, read};
use crate::ui::text::practice::build::tempo as text;

#[component]
pub fn TempoReader() -> impl IntoView {
    let written = RwSignal::new(String::new());
    let order = RwSignal::new(None::<Order>);
    let x_secs = RwSignal::new(String::new());
    let choice = move |value: Order| {
        view! {
            <button
                type="button"
                class="chip"
                aria-pressed=move || (order.get() == Some(value)).to_string()
                on:click=move |_| order.set(Some(value))
            >
                {text::order(value)}
            </button>
        }
    };
    let said = move || {
        let written = written.get();
        if written.trim().is_empty() {
            return String::new();
        }
        let Some(order) = order.get() else { return text::CHOOSE_WHICH_FIRST.to_owned() };
        let x_secs =
            x_secs.get().trim().parse().ok().and_then(|secs: i64| PhaseSecs::new(secs).ok());
        match read(&written, order, x_secs) {
            Ok(tempo) => text::read(&tempo),
            Err(why) => text::not_read(&why),
        }
    };
    view! {
        <details>
            <summary>{text::READ_A_WRITTEN_TEMPO}</summary>
            <div class="stack">
                <label class="stack">
                    {text::TEMPO}
                    <input type="text" autocomplete="off" prop:value=written on:input:target=move |event| written.set(event.target().value()) />
                </label>
                <div class="chips" role="group" aria-label=text::WHICH_FIRST>
                    {[Order::LoweringFirst, Order::LiftingFirst].map(choice)}
                </div>
                <label class="stack">
                    {text::SECONDS_FOR_X}
                    <input type="text" inputmode="numeric" autocomplete="off" prop:value=x_secs on:input:target=move |event| x_secs.set(event.target().value()) />
                </label>
                <p role="status"><strong>{said}</strong></p>
            </div>
        </details>
    }
}
