//! Reading a written tempo: the order of its numbers is asked for, since the sources differ.

use leptos::prelude::*;

use crate::domain::plan::dose::PhaseSecs;
use crate::domain::plan::tempo_notation::{Order, read};
use crate::ui::text::{capitalised, dose};

#[component]
pub fn TempoReader() -> impl IntoView {
    let text = RwSignal::new(String::new());
    let order = RwSignal::new(None::<Order>);
    let x_secs = RwSignal::new(String::new());
    let choice = move |(value, label): (Order, &'static str)| {
        view! {
            <button
                type="button"
                class="chip"
                aria-pressed=move || (order.get() == Some(value)).to_string()
                on:click=move |_| order.set(Some(value))
            >
                {label}
            </button>
        }
    };
    let said = move || {
        let text = text.get();
        if text.trim().is_empty() {
            return String::new();
        }
        let Some(order) = order.get() else { return "Choose which number comes first.".to_owned() };
        let x_secs =
            x_secs.get().trim().parse().ok().and_then(|secs: i64| PhaseSecs::new(secs).ok());
        match read(&text, order, x_secs) {
            Ok(tempo) => format!(
                "{}. One rep takes {} s.",
                capitalised(&dose::tempo(&tempo)),
                tempo.rep_time().as_secs()
            ),
            Err(why) => format!("{}.", capitalised(&why.to_string())),
        }
    };
    view! {
        <details>
            <summary>"Read a written tempo"</summary>
            <div class="stack">
                <label class="stack">
                    "Tempo, such as 3-1-2-0"
                    <input type="text" autocomplete="off" prop:value=text on:input:target=move |event| text.set(event.target().value()) />
                </label>
                <div class="chips" role="group" aria-label="Which number comes first">
                    {[(Order::LoweringFirst, "Lowering first"), (Order::LiftingFirst, "Lifting first")].map(choice)}
                </div>
                <label class="stack">
                    "Seconds for X, if there is one"
                    <input type="text" inputmode="numeric" autocomplete="off" prop:value=x_secs on:input:target=move |event| x_secs.set(event.target().value()) />
                </label>
                <p role="status"><strong>{said}</strong></p>
            </div>
        </details>
    }
}
