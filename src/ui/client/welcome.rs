//! No routine yet: open the one from the practitioner, or try the demo.

use leptos::prelude::*;

use super::log_file::last_copy;
use super::open_routine::{Offer, Opening};
use super::ways::{Begun, Way, WaysToOpen};
use crate::platform::clock;
use crate::ui::components::gone::GoneNotice;
use crate::ui::components::screen::Screen;
use crate::ui::components::unreadable::Unreadable;
use crate::ui::text::log;
use crate::ui::text::warning::WHAT_IT_IS;

/// The welcome over a log without a routine.
#[component]
pub fn Welcome() -> impl IntoView {
    let offer = Offer::over_log();
    if let Some(way) = expect_context::<Begun<Way>>().take() {
        offer.go(way);
    }
    view! {
        <Opening offer>
            <WelcomeScreen problem=offer.problem() on_way=offer.ways()>
                <Unreadable />
                <GoneLog />
            </WelcomeScreen>
        </Opening>
    }
}

/// Says so where the log, or a part of it, is not here any more.
#[component]
pub fn GoneLog() -> impl IntoView {
    view! {
        <GoneNotice what="log">
            <p>{log::last_copy(last_copy(), clock::now().date_naive())}</p>
            <a href="keep" class="button main">"Restore a copy"</a>
            <p>"Without one, ask your practitioner for your routine again. They also have what you handed back."</p>
        </GoneNotice>
    }
}

#[component]
pub fn WelcomeScreen(
    /// Why no routine was opened.
    problem: Signal<Option<String>>,
    on_way: Callback<Way>,
    /// What must be said before all else.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    view! {
        <Screen title="Carryover" above="Your home exercises between visits">
            {children.map(|children| children())}
            <p class="lead">
                "Your practitioner gives you a routine. This app guides you through it, asks how it felt, and says whether to keep, ease or hold each exercise."
            </p>
            <WaysToOpen problem on_way demo=true />
            <ul class="plain-list small soft">{WHAT_IT_IS.map(|line| view! { <li>{line}</li> })}</ul>
            <p class="tap-links">
                <a href="keep">"Restore a copy of your log"</a>
                <a href="help">"Warning signs and how it works"</a>
                <a href="practice/" rel="external">"I am the practitioner"</a>
            </p>
        </Screen>
    }
}
