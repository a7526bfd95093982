//! Contexts and routes, nothing else.

use leptos::prelude::*;
use leptos_router::components::{A, Route, Router, Routes};
use leptos_router::path;

use super::client::check::Check;
use super::client::cues::Cues;
use super::client::exercise::ExerciseScreen;
use super::client::hand_back::HandBack;
use super::client::help::Help;
use super::client::morning::MorningCheck;
use super::client::routine::MyRoutine;
use super::client::session::Session;
use super::client::today::Home;
use super::components::newer::NewerVersion;
use super::components::screen::Screen;
use super::diary::Diary;
use super::practice::bench::Bench;
use super::practice::home::Practice;
use super::training::Training;
use crate::platform::indexed_db::IndexedDb;
use crate::store::journal::{BackendError, Journal};

/// The app over an open journal.
#[component]
pub fn App(journal: Journal<IndexedDb>) -> impl IntoView {
    provide_context(Diary::new(journal));
    provide_context(Training::idle());
    provide_context(Bench::empty());
    provide_context(NewerVersion::watch());
    view! {
        <Router>
            <Routes fallback=|| view! { <Nowhere /> }>
                <Route path=path!("/") view=Home />
                <Route path=path!("/check") view=Check />
                <Route path=path!("/session") view=Session />
                <Route path=path!("/morning") view=MorningCheck />
                <Route path=path!("/exercise/:id") view=ExerciseScreen />
                <Route path=path!("/routine") view=MyRoutine />
                <Route path=path!("/hand-back") view=HandBack />
                <Route path=path!("/help") view=Help />
                <Route path=path!("/cues") view=Cues />
                <Route path=path!("/practice") view=Practice />
            </Routes>
        </Router>
    }
}

#[component]
fn Nowhere() -> impl IntoView {
    view! {
        <Screen
            title="There is no such page"
            foot=Box::new(|| view! { <A href="/" attr:class="button main">"Back to Today"</A> }.into_any())
        >
            <p>"The address leads nowhere in this app."</p>
        </Screen>
    }
}

/// The log could not be opened. Nothing was changed; what to do stands beside the reason.
#[component]
pub fn CannotOpen(error: BackendError) -> impl IntoView {
    let way_out = match &error {
        BackendError::Denied => {
            "Leave private browsing, or allow this site to store data in the browser's settings. Then open the app again."
        }
        BackendError::Full => "Free some space on the device. Then open the app again.",
        BackendError::Newer => {
            "Close every window of this app and open it again, so that the newer version starts."
        }
        BackendError::Blocked => "Close the other windows of this app. Then open it again.",
        BackendError::Failed(_) => {
            "Close the app and open it again. If that does not help, restart the device."
        }
    };
    view! {
        <main class="screen">
            <div class="screen-body">
                <h1>"Your log could not be opened"</h1>
                <p>{error.to_string()} "."</p>
                <p>{way_out}</p>
                <p class="soft">"Nothing was changed or thrown away."</p>
            </div>
        </main>
    }
}
