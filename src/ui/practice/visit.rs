//! A visit: the log that was handed back, the week on one page, and a note of what was agreed.

use leptos::prelude::*;
use leptos_router::components::A;

use super::bench::{Bench, OpenLog};
use super::caseload::Outcomes;
use super::desk::use_desk;
use super::page::{Page, about_client, address};
use super::review::VisitReview;
use crate::domain::words::{Id, Words};
use crate::platform::files::Picked;
use crate::ui::components::open_file::{OpenFile, Several};
use crate::ui::text::dates;

#[component]
pub fn VisitPage() -> impl IntoView {
    about_client(|id| view! { <Visit id /> })
}

#[component]
fn Visit(id: Id) -> impl IntoView {
    let desk = use_desk();
    let bench: Bench = expect_context();
    let (of, label) = (id.clone(), id.clone());
    let log = Memo::new_with_compare(
        move |_| desk.read(|caseload| caseload.log(&of)),
        |before, now| before != now,
    );
    let label = move || {
        let client = desk.read(|caseload| caseload.client(&label));
        client.map_or_else(String::new, |client| client.label.to_string())
    };
    let open = Callback::new(move |files: Vec<Picked>| bench.open(files));
    let review = move || {
        let records = log.get();
        if records.is_empty() {
            view! { <p class="lead">"No log yet. Open the file that the client handed back."</p> }
                .into_any()
        } else {
            view! { <VisitReview log=OpenLog::of(records) /> }.into_any()
        }
    };
    let change = address(&id, "routine");
    view! {
        <Page
            title=Signal::derive(move || format!("Visit: {}", label()))
            back=address(&id, "")
            back_to="Client"
        >
            <section class="stack unprinted">
                <OpenFile label="Open the log" class="button" several=Several::Yes on_open=open />
                <Outcomes bench />
            </section>
            {review}
            <VisitNotes id=id.clone() />
            <A href=change attr:class="button main unprinted">"Change the routine"</A>
        </Page>
    }
}

#[component]
fn VisitNotes(id: Id) -> impl IntoView {
    let desk = use_desk();
    let text = RwSignal::new(String::new());
    let problem = RwSignal::new(None::<String>);
    let (of, to) = (id.clone(), id);
    let notes = move || {
        let visits = desk.read(|caseload| caseload.visits(&of));
        let line = |(_, visit): (_, crate::domain::caseload::Visit)| {
            view! {
                <li>
                    <span class="small soft block">{dates::day(visit.day)}</span>
                    <span class="note">{visit.note.to_string()}</span>
                </li>
            }
        };
        visits.into_iter().rev().map(line).collect_view()
    };
    let keep = move |_| match Words::new(text.get_untracked().trim()) {
        Ok(note) => {
            desk.add_visit(&to, note);
            text.set(String::new());
            problem.set(None);
        }
        Err(wrong) => problem.set(Some(format!("Not taken: {wrong}."))),
    };
    view! {
        <section class="stack">
            <h2>"Visit notes"</h2>
            <ul class="plain-list">{notes}</ul>
            <label class="field unprinted">
                <span class="small soft">"What was seen, changed and agreed today"</span>
                <textarea rows="3" prop:value=text on:input=move |event| text.set(event_target_value(&event))></textarea>
            </label>
            <p role="alert" class="refusal small">{move || problem.get()}</p>
            <button type="button" class="button unprinted" on:click=keep>"Keep the note"</button>
        </section>
    }
}
