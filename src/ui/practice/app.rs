//! The practitioner's page: contexts and routes, nothing else.

use leptos::prelude::*;
use leptos_router::components::{Route, Router, Routes};
use leptos_router::path;

use super::bench::Bench;
use super::builder::Builder;
use super::caseload::CaseloadPage;
use super::client::ClientPage;
use super::desk::Desk;
use super::exercise::ExerciseEditor;
use super::hand_over::HandOver;
use super::pick::Pick;

use super::rule::RuleEditor;
use super::shelf::LibraryShelf;
use super::visit::VisitPage;
use crate::platform::indexed_db::IndexedDb;
use crate::platform::offline;
use crate::store::caseload::Caseload;
use crate::ui::components::newer::NewerVersion;
use crate::ui::components::nowhere::Nowhere;

/// The practitioner's app over an open caseload.
#[component]
pub fn App(caseload: Caseload<IndexedDb>) -> impl IntoView {
    let desk = Desk::new(caseload);
    provide_context(desk);
    provide_context(Bench::beside(desk));
    provide_context(LibraryShelf::open());
    let newer = NewerVersion::none_yet();
    newer.watch();
    provide_context(newer);
    offline::keep_practice();
    view! {
        <Router>
            <Routes fallback=|| view! { <Nowhere back="/practice" to="Back to the caseload" /> }>
                <Route path=path!("/practice") view=CaseloadPage />
                <Route path=path!("/practice/client/:client") view=ClientPage />
                <Route path=path!("/practice/client/:client/routine") view=Builder />
                <Route path=path!("/practice/client/:client/add") view=Pick />
                <Route path=path!("/practice/client/:client/exercise/:exercise") view=ExerciseEditor />
                <Route path=path!("/practice/client/:client/rule") view=RuleEditor />
                <Route path=path!("/practice/client/:client/hand-over") view=HandOver />
                <Route path=path!("/practice/client/:client/review") view=VisitPage />
            </Routes>
        </Router>
    }
}
