//! Codes on the screen for another device's camera: one, or several one after the other.

use std::time::Duration;

use leptos::prelude::*;

use crate::exchange::qr::Code;
use crate::ui::text::components::code_sequence as text;

/// How long each code of a sequence is shown.
const EACH: Duration = Duration::from_millis(700);

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Turning {
    On,
    Stopped,
}

/// One code.
pub fn drawing(code: &Code, label: String) -> AnyView {
    let side = code.side();
    view! {
        <svg class="code" role="img" aria-label=label viewBox=format!("0 0 {side} {side}") shape-rendering="crispEdges">
            <path d=code.path() />
        </svg>
    }
    .into_any()
}

/// Codes one after the other: they turn by themselves, or stand still and are turned by hand.
#[component]
pub fn CodeSequence(
    codes: Vec<Code>,
    /// What it is where it is one code alone.
    what: &'static str,
) -> impl IntoView {
    if let [code] = &codes[..] {
        return drawing(code, what.to_owned());
    }
    let count = codes.len();
    let shown = RwSignal::new(0_usize);
    let next = move || {
        shown.try_update(|shown| *shown = (*shown + 1) % count);
    };
    let turning = RwSignal::new(Turning::On);
    let turn = move || {
        // The codes may be closed in the very moment in which the next was due.
        if turning.try_get_untracked() == Some(Turning::On) {
            next();
        }
    };
    let clock = set_interval_with_handle(turn, EACH);
    on_cleanup(move || {
        if let Ok(clock) = clock {
            clock.clear();
        }
    });
    let label = move || text::which(shown.get() + 1, count);
    // A screen reader says which code it is when a person turns them, not when they turn by themselves.
    let told = move || match turning.get() {
        Turning::On => "off",
        Turning::Stopped => "polite",
    };
    let other = move || match turning.get() {
        Turning::On => (text::STOP_TURNING, Turning::Stopped),
        Turning::Stopped => (text::START_TURNING, Turning::On),
    };
    let step = move |_| {
        turning.set(Turning::Stopped);
        next();
    };
    view! {
        <p class="num small" aria-live=told>{label}</p>
        {move || codes.get(shown.get()).map(|code| drawing(code, label()))}
        <div class="code-steps">
            <button type="button" class="button" on:click=move |_| turning.set(other().1)>
                {move || other().0}
            </button>
            <button type="button" class="button" on:click=step>{text::NEXT_CODE}</button>
        </div>
    }
    .into_any()
}
