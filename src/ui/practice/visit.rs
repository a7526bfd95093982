//! A visit: the log that was handed back, the week on one page, and the way to close it.

use leptos::prelude::*;

use super::bench::{AskedLog, Bench, OpenLog};
use super::closing::CloseVisit;
use super::desk::use_desk;
use super::intake::{Asked, Intake};
use super::page::{Page, about_client, address};
use super::review::VisitReview;
use crate::domain::words::Id;

#[component]
pub fn VisitPage() -> impl IntoView {
    about_client(|id| view! { <Visit id /> })
}

#[component]
fn Visit(id: Id) -> impl IntoView {
    let desk = use_desk();
    let bench: Bench = expect_context();
    let label = id.clone();
    let history = desk.history_memo(id.clone());
    let label = move || {
        let client = desk.read(|caseload| caseload.client(&label));
        client.map_or_else(String::new, |client| client.label.to_string())
    };
    let (whose, visited) = (id.clone(), id.clone());
    let asked = move || {
        let is_here = |asked: &&AskedLog| asked.visited.as_ref() == Some(&visited);
        let asked = bench.asked.with(|all| all.iter().find(is_here).cloned())?;
        Some(view! { <Asked bench asked /> })
    };
    let review = move || {
        let records = history.with(|_| desk.read_now(|caseload| caseload.log(&whose)));
        if records.is_empty() {
            view! { <p class="lead">"No log yet. Open the file that the client handed back."</p> }
                .into_any()
        } else {
            view! { <VisitReview log=OpenLog::of(records) client=Some(whose.clone()) /> }.into_any()
        }
    };
    view! {
        <Page
            title=Signal::derive(move || format!("Visit: {}", label()))
            back=address(&id, "")
            back_to="Client"
        >
            <Intake bench label="Open the log" visited=Some(id.clone()) />
            {asked}
            {review}
            <CloseVisit id />
        </Page>
    }
}
