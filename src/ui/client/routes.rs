//! The addresses of the client's app, and nothing else.

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::components::{FlatRoutes, Route, Router};
use leptos_router::hooks::use_navigate;
use leptos_router::path;

use super::parts::{Screen, Screens};
use super::to_today::ToToday;
use crate::platform::address;
use crate::ui::components::nowhere::Nowhere;
use crate::ui::live_log::use_log;
use crate::ui::text::components::screen::BACK_TO_TODAY;

#[component]
pub fn ClientRoutes() -> impl IntoView {
    let screens: Screens = expect_context();
    view! {
        <Router base=address::base()>
            {lead_to_today()}
            <FlatRoutes fallback=|| view! { <Nowhere back="./" to=BACK_TO_TODAY /> }>
                <Route path=path!("/") view=move || view! { <Start screens /> } />
                <Route path=path!("/take") view=move || screens.view(Screen::Take) />
                <Route path=path!("/preview") view=move || screens.view(Screen::Take) />
                <Route path=path!("/check") view=move || screens.view(Screen::BeforeSession) />
                <Route path=path!("/session") view=move || screens.view(Screen::Session) />
                <Route path=path!("/ratings") view=move || screens.view(Screen::Ratings) />
                <Route path=path!("/morning") view=move || screens.view(Screen::Morning) />
                <Route path=path!("/exercise/:id") view=move || screens.view(Screen::Exercise) />
                <Route path=path!("/routine") view=move || screens.view(Screen::Routine) />
                <Route path=path!("/hand-back") view=move || screens.view(Screen::HandBack) />
                <Route path=path!("/keep") view=move || screens.view(Screen::SafeKeeping) />
                <Route path=path!("/reminder") view=move || screens.view(Screen::Reminder) />
                <Route path=path!("/help") view=move || screens.view(Screen::Help) />
                <Route path=path!("/cues") view=move || screens.view(Screen::Cues) />
            </FlatRoutes>
        </Router>
    }
}

fn lead_to_today() {
    let navigate = use_navigate();
    let to_today = move |()| {
        // The router would leave out the slash at the end of a base, without which the host has something else.
        let options = NavigateOptions { resolve: false, ..NavigateOptions::default() };
        navigate(&address::at("/"), options);
    };
    provide_context(ToToday(Callback::new(to_today)));
}

/// The first screen: Today, or the welcome where there is no routine yet.
#[component]
fn Start(screens: Screens) -> impl IntoView {
    let log = use_log();
    let has_routine = Memo::new(move |_| log.history().routine().is_some());
    move || {
        if has_routine.get() {
            screens.view(Screen::Today).into_any()
        } else {
            screens.view(Screen::Welcome).into_any()
        }
    }
}
