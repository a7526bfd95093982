//! Codes on the screen, one after the other, for another device's camera; they can be stopped and stepped through.

use std::time::Duration;

use leptos::prelude::*;

use crate::exchange::qr::Code;

/// How long each code of a sequence is shown.
const EACH: Duration = Duration::from_millis(700);

#[component]
pub fn CodeSequence(
    codes: Vec<Code>,
    /// What a single code is.
    what: &'static str,
) -> impl IntoView {
    let count = codes.len();
    let shown = RwSignal::new(0_usize);
    let runs = RwSignal::new(1 < count);
    if 1 < count {
        let turn = move || {
            if runs.get_untracked() {
                shown.update(|shown| *shown = (*shown + 1) % count);
            }
        };
        let turning = set_interval_with_handle(turn, EACH);
        on_cleanup(move || {
            if let Ok(turning) = turning {
                turning.clear();
            }
        });
    }
    let step = move |by: usize| {
        runs.set(false);
        shown.update(|shown| *shown = (*shown + by) % count);
    };
    let drawings: Vec<(usize, String)> =
        codes.iter().map(|code| (code.side(), code.path())).collect();
    let label = move || {
        if count == 1 { what.to_owned() } else { format!("Code {} of {count}", shown.get() + 1) }
    };
    let drawing = move || {
        let (side, path) = drawings.get(shown.get())?.clone();
        Some(view! {
            <svg class="code" role="img" aria-label=label viewBox=format!("0 0 {side} {side}") shape-rendering="crispEdges">
                <path d=path />
            </svg>
        })
    };
    view! {
        {drawing}
        {(1 < count)
            .then(|| {
                view! {
                    <p class="num small">{label}</p>
                    <div class="code-steps">
                        <button type="button" class="button" on:click=move |_| step(count - 1)>"Back"</button>
                        <button type="button" class="button" on:click=move |_| runs.update(|runs| *runs = !*runs)>
                            {move || if runs.get() { "Pause" } else { "Go on" }}
                        </button>
                        <button type="button" class="button" on:click=move |_| step(1)>"Next"</button>
                    </div>
                }
            })}
    }
}
