//! No routine yet: open the one from the practitioner, or try the demo.

use leptos::prelude::*;
use leptos_router::components::A;

use super::open_routine::{OpenRoutineButtons, Opening};
use crate::ui::components::screen::Screen;
use crate::ui::components::unreadable::Unreadable;
use crate::ui::text::warning::WHAT_IT_IS;

#[component]
pub fn Welcome() -> impl IntoView {
    view! {
        <Opening>
            <Screen title="Carryover" above="Your home exercises between visits">
                <Unreadable />
                <p class="lead">
                    "Your practitioner gives you a routine. This app guides you through it, asks how it felt, and says whether to keep, ease or hold each exercise."
                </p>
                <OpenRoutineButtons demo=true />
                <ul class="plain-list small soft">{WHAT_IT_IS.map(|line| view! { <li>{line}</li> })}</ul>
                <p class="tap-links">
                    <A href="/keep">"Restore a copy of your log"</A>
                    <A href="/help">"Help and warning signs"</A>
                    <a href="/practice/" rel="external">"I am the practitioner"</a>
                </p>
            </Screen>
        </Opening>
    }
}
