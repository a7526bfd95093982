//! The ways in: files that are picked or let fall on the page, a text that is pasted, codes from the client's
//! screen. All of them are judged by their content, and come to what is unclaimed.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::NavigateOptions;
use leptos_router::components::A;
use leptos_router::hooks::use_navigate;

use super::sealing::SealedToOpen;
use super::unclaimed::{AskedLog, Outcome, Unclaimed};
use crate::domain::words::Id;
use crate::exchange::link::{self, LibraryEntries, LinkError};
use crate::exchange::{copy, log_codes, sealed};
use crate::platform::address::at;
use crate::platform::compression;
use crate::platform::files::{self, LIBRARY, Picked};
use crate::store::caseload::Caseload;
use crate::ui::components::camera::CodeCamera;
use crate::ui::components::open_file::{OpenFile, Several};
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::practice::page::address;
use crate::ui::text::intake;
use crate::ui::text::practice::caseload::intake as text;
use crate::ui::text::refusals::InWords;

/// The most that is read at a time, in bytes: a copy of a caseload, sealed.
const MOST: usize = sealed::most_sealed(copy::LARGEST);

/// Every way in, and what came of what was opened last.
#[component]
pub fn Intake(
    unclaimed: Unclaimed,
    label: &'static str,
    /// The client who is visited, on the page of a visit.
    #[prop(default = None)]
    visited: Option<Id>,
) -> impl IntoView {
    let whose = StoredValue::new(visited.clone());
    let open = Callback::new(move |files: Vec<Picked>| {
        if !files.is_empty() {
            whose.with_value(|visited| unclaimed.open(files, visited.as_ref()));
        }
    });
    let open_text = Callback::new(move |(name, content): (&str, String)| {
        open.run(vec![Picked { name: name.to_owned(), text: Ok(content) }]);
    });
    let is_over = RwSignal::new(false);
    watch_for_files(open, open_text, is_over);
    let is_scanning = RwSignal::new(false);
    let take_code = Callback::new(move |code: String| {
        is_scanning.set(false);
        spawn_local(async move {
            match text_of(&code).await {
                Ok(content) => open_text.run((text::SCANNED, content)),
                Err(why) => unclaimed.refuse(text::SCANNED, &why),
            }
        });
    });
    let camera = move || {
        is_scanning.get().then(|| {
            view! {
                <section class="card stack">
                    <CodeCamera
                        way_out=text::NO_CAMERA
                        is_ours=link::is_ours
                        on_text=take_code
                    />
                    <button type="button" class="button" on:click=move |_| is_scanning.set(false)>
                        {text::CLOSE_CAMERA}
                    </button>
                </section>
            }
        })
    };
    let here = visited.clone();
    view! {
        <section class="open-log unprinted" class:over=move || is_over.get()>
            <OpenFile label class="button" several=Several::Yes most=MOST on_open=open />
            <details>
                <summary>{text::OTHER_WAYS}</summary>
                <div class="stack">
                    <button type="button" class="button" on:click=move |_| is_scanning.set(true)>
                        {text::SCAN_CODES}
                    </button>
                    <Paste on_text=Callback::new(move |content| open_text.run((text::PASTED, content))) />
                    <p class="small soft">{text::OR_DROP}</p>
                </div>
            </details>
            <Show when=move || is_over.get()>
                <p class="drop-here" role="status">{text::LET_GO}</p>
            </Show>
            <Outcomes unclaimed here />
        </section>
        {camera}
        <SealedToOpen unclaimed visited />
    }
}

/// The log that codes carried.
async fn text_of(code: &str) -> Result<String, String> {
    let unpacked =
        compression::unpack(code, log_codes::LARGEST).await.map_err(|why| why.in_words())?;
    let mut log = log_codes::whole(&unpacked, &LibraryEntries::default());
    if matches!(log, Err(LinkError::UnknownEntry { .. })) {
        let library = files::shipped(LIBRARY).await.ok_or_else(|| intake::NO_LIBRARY.to_owned())?;
        log = log_codes::whole(&unpacked, &LibraryEntries::parse(&library));
    }
    log.map_err(|why| why.in_words())
}

/// Takes files that fall anywhere on the page, or that are pasted into it, and text that is pasted outside of
/// a field.
fn watch_for_files(
    open: Callback<Vec<Picked>>,
    open_text: Callback<(&'static str, String)>,
    is_over: RwSignal<bool>,
) {
    let over = window_event_listener(leptos::ev::dragover, move |event| {
        if files::are_dragged(&event) {
            // Else the browser would show the file in place of the page.
            event.prevent_default();
            is_over.maybe_update(|before| !std::mem::replace(before, true));
        }
    });
    let gone = window_event_listener(leptos::ev::dragleave, move |event| {
        if files::leave_page(&event) {
            is_over.set(false);
        }
    });
    let dropped = window_event_listener(leptos::ev::drop, move |event| {
        is_over.set(false);
        if files::are_dragged(&event) {
            event.prevent_default();
            let reading = files::brought(&event, MOST);
            spawn_local(async move { open.run(reading.await) });
        }
    });
    let pasted = window_event_listener(leptos::ev::paste, move |event| {
        if let Some(content) = files::pasted_text(&event) {
            open_text.run((text::PASTED, content));
        } else {
            let reading = files::brought(&event, MOST);
            spawn_local(async move { open.run(reading.await) });
        }
    });
    on_cleanup(move || {
        over.remove();
        gone.remove();
        dropped.remove();
        pasted.remove();
    });
}

#[component]
fn Paste(on_text: Callback<String>) -> impl IntoView {
    let typed = RwSignal::new(String::new());
    let problem = RwSignal::new(None::<&'static str>);
    let from_clipboard = move |_| {
        problem.set(None);
        spawn_local(async move {
            match files::clipboard_text().await {
                Some(content) => on_text.run(content),
                None => drop(problem.try_set(Some(text::NO_CLIPBOARD))),
            }
        });
    };
    let from_field = move |_| {
        let given = typed.get_untracked();
        if !given.trim().is_empty() {
            typed.set(String::new());
            on_text.run(given);
        }
    };
    view! {
        {files::can_paste()
            .then(|| {
                view! {
                    <button type="button" class="button" on:click=from_clipboard>{text::PASTE_FROM_CLIPBOARD}</button>
                }
            })}
        <p role="alert" class="refusal small">{move || problem.get()}</p>
        <label class="field">
            <span class="small soft">{text::PASTE_HERE}</span>
            <textarea
                rows="2"
                autocomplete="off"
                spellcheck="false"
                prop:value=typed
                on:input=move |event| typed.set(event_target_value(&event))
            ></textarea>
        </label>
        <button type="button" class="button" on:click=from_field>{text::READ_TEXT}</button>
    }
}

/// What came of each file that was opened last, with the way to the week it holds.
#[component]
fn Outcomes(
    unclaimed: Unclaimed,
    /// The client whose week is on this page.
    here: Option<Id>,
) -> impl IntoView {
    let line = move |outcome: Outcome| {
        let there = outcome.client.filter(|client| Some(client) != here.as_ref()).map(|client| {
            view! { " " <A href=at(&address(&client, "review"))>{text::READ_WEEK}</A> }
        });
        let missing = outcome.missing.map(|missing| view! { " " {missing} });
        match outcome.what {
            Ok(said) => {
                view! { <p class="small">{text::opened(&outcome.name, &said)} {missing} {there}</p> }.into_any()
            }
            Err(why) => view! { <p class="problem">{text::not_opened(&outcome.name, &why)}</p> }.into_any(),
        }
    };
    let lines = move || unclaimed.outcomes.get().into_iter().map(line.clone()).collect_view();
    view! { <div class="stack" role="status">{lines}</div> }
}

/// The question about a log that does not plainly belong to a client: nothing of it is kept before the answer.
#[component]
pub fn Asked(unclaimed: Unclaimed, asked: AskedLog) -> impl IntoView {
    let caseload = use_caseload();
    let navigate = use_navigate();
    let number = asked.number;
    let history = &asked.log.history;
    let first = asked.log.records.first().map(|record| record.event.at.date_naive());
    let holds = text::holds(history, first.zip(history.last_day()));
    let is_alone = asked.question.may_be.is_empty()
        && caseload.read_now(|caseload: &Caseload<_>| !caseload.clients().is_empty());
    let with = |client: Id| {
        let label = caseload.read_now(|caseload| caseload.client(&client))?.label;
        Some(view! {
            <button type="button" class="button" on:click=move |_| unclaimed.keep_with(number, &client)>
                {text::keep_with(&label)}
            </button>
        })
    };
    let as_new = move |_| {
        let client = unclaimed.keep_as_new(number);
        if let Some(client) = client.filter(|_| unclaimed.asked.with_untracked(Vec::is_empty)) {
            unclaimed.put_away_whole(&client);
            navigate(&address(&client, "review"), NavigateOptions::default());
        }
    };
    view! {
        <section class="card stack unprinted">
            <h2>{text::WHOSE}</h2>
            <p>{intake::asked(&asked.question.why)} " " {holds}</p>
            <p class="small soft">
                {text::NOT_KEPT_BEFORE}
                {is_alone.then_some(text::OPEN_AT_VISIT)}
            </p>
            {asked.question.may_be.into_iter().filter_map(with).collect_view()}
            <button type="button" class="button" on:click=as_new>{text::KEEP_AS_NEW}</button>
            <button type="button" class="button quiet" on:click=move |_| unclaimed.leave(number)>{text::LEAVE}</button>
        </section>
    }
}
