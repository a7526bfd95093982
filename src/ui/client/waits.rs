//! What waits for the word of someone qualified, and the way to say that it came.

use leptos::prelude::*;

use crate::domain::log::event::{Fact, Lifts};
use crate::domain::plan::limits::Light;
use crate::ui::components::light::LightMark;
use crate::ui::components::ring::RingLine;
use crate::ui::live_log::use_log;
use crate::ui::text::standing;

/// What is left out until someone has said something, and the way to say that they did.
#[component]
pub fn WaitsForWord(
    reasons: Vec<String>,
    /// The signs that stand, with the care that each calls for.
    ticked: Vec<(String, &'static str)>,
    lifts: Lifts,
    ask: &'static str,
    only_if: &'static str,
) -> impl IntoView {
    let log = use_log();
    let asked = RwSignal::new(false);
    let confirm = move |_| {
        log.append(vec![Fact::GoAhead { lifts: lifts.clone() }]);
    };
    let confirm = StoredValue::new_local(confirm);
    view! {
        <section class="card hold-card stack">
            <LightMark light=Light::Hold />
            {reasons.into_iter().map(|reason| view! { <p>{reason}</p> }).collect_view()}
            {ticked
                .into_iter()
                .map(|(sign, care)| {
                    view! {
                        <p class="small soft">{sign}</p>
                        <p><strong>{care}</strong></p>
                    }
                })
                .collect_view()}
            <RingLine />
            <Show
                when=move || asked.get()
                fallback=move || {
                    view! {
                        <button type="button" class="button" on:click=move |_| asked.set(true)>
                            {ask}
                        </button>
                    }
                }
            >
                <p>{only_if}</p>
                <button type="button" class="button main" on:click=move |event| confirm.with_value(|confirm| confirm(event))>
                    {standing::YES_THEY_SAID}
                </button>
                <button type="button" class="button quiet" on:click=move |_| asked.set(false)>
                    {standing::NOT_YET}
                </button>
            </Show>
        </section>
    }
}
