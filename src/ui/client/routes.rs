//! The addresses of the client's app, and nothing else.

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::components::{FlatRoutes, Route, Router};
use leptos_router::hooks::use_navigate;
use leptos_router::path;

use super::parts::Screens;
use super::to_today::ToToday;
use crate::platform::address;
use crate::ui::components::nowhere::Nowhere;
use crate::ui::diary::use_diary;
use crate::ui::text::components::screen::BACK_TO_TODAY;

#[component]
pub fn ClientRoutes() -> impl IntoView {
    let screens: Screens = expect_context();
    view! {
        <Router base=address::base()>
            {lead_to_today()}
            <FlatRoutes fallback=|| view! { <Nowhere back="./" to=BACK_TO_TODAY /> }>
                <Route path=path!("/") view=move || view! { <Start screens /> } />
                <Route path=path!("/take") view=move || screens.take.view() />
                <Route path=path!("/preview") view=move || screens.take.view() />
                <Route path=path!("/check") view=move || screens.check.view() />
                <Route path=path!("/session") view=move || screens.session.view() />
                <Route path=path!("/ratings") view=move || screens.ratings.view() />
                <Route path=path!("/morning") view=move || screens.morning.view() />
                <Route path=path!("/exercise/:id") view=move || screens.exercise.view() />
                <Route path=path!("/routine") view=move || screens.routine.view() />
                <Route path=path!("/hand-back") view=move || screens.hand_back.view() />
                <Route path=path!("/keep") view=move || screens.keep.view() />
                <Route path=path!("/reminder") view=move || screens.reminder.view() />
                <Route path=path!("/help") view=move || screens.help.view() />
                <Route path=path!("/cues") view=move || screens.cues.view() />
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
    let diary = use_diary();
    let has_routine = Memo::new(move |_| diary.history().routine().is_some());
    move || {
        if has_routine.get() {
            screens.today.view().into_any()
        } else {
            screens.welcome.view().into_any()
        }
    }
}
