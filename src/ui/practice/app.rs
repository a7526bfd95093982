//! The practitioner's page: contexts and routes, nothing else.

use leptos::prelude::*;
use leptos_router::components::{Route, Router, Routes};
use leptos_router::path;

use super::live_caseload::LiveCaseload;
use crate::platform::indexed_db::IndexedDb;
use crate::platform::{address, offline};
use crate::store::caseload::Caseload;
use crate::ui::components::figure::{self, Gallery};
use crate::ui::components::newer::NewerVersion;
use crate::ui::components::nowhere::Nowhere;
use crate::ui::practice::build::exercise::ExerciseEditor;
use crate::ui::practice::build::pick::Pick;
use crate::ui::practice::build::routine::Builder;
use crate::ui::practice::build::rule::RuleEditor;
use crate::ui::practice::build::shelf::LibraryShelf;
use crate::ui::practice::caseload::client::ClientPage;
use crate::ui::practice::caseload::list::CaseloadPage;
use crate::ui::practice::caseload::unclaimed::Unclaimed;
use crate::ui::practice::hand_over::handing_over::HandOver;
use crate::ui::practice::visit::door::VisitPage;
use crate::ui::text::components::screen::BACK_TO_CASELOAD;

/// The practitioner's app over an open caseload.
#[component]
pub fn App(caseload: Caseload<IndexedDb>) -> impl IntoView {
    let caseload = LiveCaseload::new(caseload);
    provide_context(caseload);
    provide_context(Unclaimed::beside(caseload));
    provide_context(LibraryShelf::open());
    provide_context(Gallery::new(|| Box::pin(async { Ok(figure::drawn::open as figure::Open) })));
    let newer = NewerVersion::none_yet();
    newer.watch();
    provide_context(newer);
    offline::keep_practice();
    view! {
        <Router base=address::base()>
            <Routes fallback=|| view! { <Nowhere back="practice" to=BACK_TO_CASELOAD /> }>
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
