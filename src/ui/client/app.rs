//! The client's page: contexts and routes, nothing else.

use leptos::prelude::*;
use leptos_router::components::{Route, Router, Routes};
use leptos_router::path;

use super::check::Check;
use super::cues::Cues;
use super::exercise::ExerciseScreen;
use super::hand_back::HandBack;
use super::help::Help;
use super::keep::Keep;
use super::morning::MorningCheck;
use super::routine::MyRoutine;
use super::session::Session;
use super::take::Take;
use super::today::Home;
use crate::platform::indexed_db::IndexedDb;
use crate::store::journal::Journal;
use crate::ui::components::nowhere::Nowhere;
use crate::ui::components::whole_log::WholeLog;
use crate::ui::diary::Diary;
use crate::ui::training::Training;

/// The app over an open journal.
#[component]
pub fn App(journal: Journal<IndexedDb>) -> impl IntoView {
    provide_context(Diary::new(journal));
    provide_context(Training::idle());
    view! {
        <Router>
            <Routes fallback=|| view! { <Nowhere back="/" to="Back to Today" /> }>
                <Route path=path!("/") view=Home />
                <Route path=path!("/take") view=|| view! { <WholeLog><Take /></WholeLog> } />
                <Route path=path!("/preview") view=|| view! { <WholeLog><Take /></WholeLog> } />
                <Route path=path!("/check") view=Check />
                <Route path=path!("/session") view=Session />
                <Route path=path!("/morning") view=MorningCheck />
                <Route path=path!("/exercise/:id") view=ExerciseScreen />
                <Route path=path!("/routine") view=|| view! { <WholeLog><MyRoutine /></WholeLog> } />
                <Route path=path!("/hand-back") view=|| view! { <WholeLog><HandBack /></WholeLog> } />
                <Route path=path!("/keep") view=|| view! { <WholeLog><Keep /></WholeLog> } />
                <Route path=path!("/help") view=Help />
                <Route path=path!("/cues") view=Cues />
            </Routes>
        </Router>
    }
}
