//! A visit: the log that was handed back, the week on one page, and the way to close it.

use leptos::prelude::*;

use super::closing::CloseVisit;
use super::review::VisitReview;
use crate::domain::words::Id;
use crate::ui::practice::caseload::intake::{Asked, Intake};
use crate::ui::practice::caseload::unclaimed::{AskedLog, ClientLog, Unclaimed};
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::practice::page::{Page, about_client, address};
use crate::ui::text::practice::visit::door as text;

#[component]
pub fn VisitPage() -> impl IntoView {
    about_client(|id| view! { <Visit id /> })
}

#[component]
fn Visit(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let unclaimed: Unclaimed = expect_context();
    let label = id.clone();
    let history = caseload.history_memo(id.clone());
    let label = move || {
        let client = caseload.read(|caseload| caseload.client(&label));
        client.map_or_else(String::new, |client| client.label.to_string())
    };
    let (whose, visited) = (id.clone(), id.clone());
    let asked = move || {
        let is_here = |asked: &&AskedLog| asked.visited.as_ref() == Some(&visited);
        let asked = unclaimed.asked.with(|all| all.iter().find(is_here).cloned())?;
        Some(view! { <Asked unclaimed asked /> })
    };
    let review = move || {
        let records = history.with(|_| caseload.read_now(|caseload| caseload.log(&whose)));
        if records.is_empty() {
            view! { <p class="lead">{text::NO_LOG}</p> }.into_any()
        } else {
            view! { <VisitReview log=ClientLog::of(records) client=Some(whose.clone()) /> }
                .into_any()
        }
    };
    view! {
        <Page
            title=Signal::derive(move || text::title(&label()))
            back=address(&id, "")
            back_to=text::BACK_TO_CLIENT
        >
            <Intake unclaimed label=text::OPEN_LOG visited=Some(id.clone()) />
            {asked}
            {review}
            <CloseVisit id />
        </Page>
    }
}
