//! A visit: the log that was handed back, the week on one page, and the way to close it.

use leptos::prelude::*;

use super::bench::{Bench, OpenLog};
use super::caseload::Outcomes;
use super::closing::CloseVisit;
use super::desk::use_desk;
use super::page::{Page, about_client, address};
use super::review::VisitReview;
use super::sealing::SealedToOpen;
use crate::domain::words::Id;
use crate::platform::files::Picked;
use crate::ui::components::open_file::{OpenFile, Several};

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
    let open = Callback::new(move |files: Vec<Picked>| bench.open(files));
    let whose = id.clone();
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
            <section class="open-log unprinted">
                <OpenFile label="Open the log" class="button" several=Several::Yes on_open=open />
                <Outcomes bench />
                <SealedToOpen bench />
            </section>
            {review}
            <CloseVisit id />
        </Page>
    }
}
