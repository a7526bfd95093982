//! No routine yet: open the one from the practitioner, or try the demo.

use leptos::prelude::*;

use super::log_file::last_copy;
use super::open_routine::{Offer, Opening};
use super::ways_to_open::{Beginning, WayToOpen, WaysToOpen};
use crate::platform::clock;
use crate::ui::components::gone::GoneNotice;
use crate::ui::components::screen::Screen;
use crate::ui::components::unreadable::Unreadable;
use crate::ui::text::client::help;
use crate::ui::text::client::safe_keeping::RESTORE_A_COPY;
use crate::ui::text::client::welcome as text;
use crate::ui::text::client::window::LOG;
use crate::ui::text::log;
use crate::ui::text::warning::WHAT_IT_IS;

/// The welcome over a log without a routine.
#[component]
pub fn Welcome() -> impl IntoView {
    let offer = Offer::over_log();
    if let Some(way) = expect_context::<Beginning>().way() {
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
        <GoneNotice what=LOG>
            <p>{log::last_copy(last_copy(), clock::now().date_naive())}</p>
            <a href="keep" class="button main">{RESTORE_A_COPY}</a>
            <p>{text::WITHOUT_A_COPY}</p>
        </GoneNotice>
    }
}

#[component]
pub fn WelcomeScreen(
    /// Why no routine was opened.
    problem: Signal<Option<String>>,
    on_way: Callback<WayToOpen>,
    /// What must be said before all else.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    view! {
        <Screen title=text::TITLE above=text::WHAT_FOR>
            {children.map(|children| children())}
            <p class="lead">
                {text::HOW_IT_BEGINS}
            </p>
            <WaysToOpen problem on_way demo=true />
            <ul class="plain-list small soft">{WHAT_IT_IS.map(|line| view! { <li>{line}</li> })}</ul>
            <p class="tap-links">
                <a href="keep">{text::RESTORE_YOUR_LOG}</a>
                <a href="help">{help::TITLE}</a>
                <a href="practice/" rel="external">{text::I_AM_THE_PRACTITIONER}</a>
            </p>
        </Screen>
    }
}
