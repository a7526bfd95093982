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
use crate::exchange::link::{self, Entries, LinkError};
use crate::exchange::{copy, log_codes, sealed};
use crate::platform::address::at;
use crate::platform::compression;
use crate::platform::files::{self, LIBRARY, Picked};
use crate::store::caseload::Caseload;
use crate::ui::components::camera::CodeCamera;
use crate::ui::components::open_file::{OpenFile, Several};
use crate::ui::practice::desk::use_desk;
use crate::ui::practice::page::address;
use crate::ui::text::{dates, intake, log};

const PASTED: &str = "What you pasted";
/// The most that is read at a time, in bytes: a copy of a caseload, sealed.
const MOST: usize = sealed::most_sealed(copy::LARGEST);
const SCANNED: &str = "The codes";
const NO_CAMERA: &str = "Or ask the client for the log as a file.";
const NO_CLIPBOARD: &str =
    "This browser does not give the clipboard to a page. Paste into the field instead.";

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
    let open_text = Callback::new(move |(name, text): (&str, String)| {
        open.run(vec![Picked { name: name.to_owned(), text: Ok(text) }]);
    });
    let is_over = RwSignal::new(false);
    watch_for_files(open, open_text, is_over);
    let is_scanning = RwSignal::new(false);
    let take_code = Callback::new(move |code: String| {
        is_scanning.set(false);
        spawn_local(async move {
            match text_of(&code).await {
                Ok(text) => open_text.run((SCANNED, text)),
                Err(why) => unclaimed.refuse(SCANNED, &why),
            }
        });
    });
    let camera = move || {
        is_scanning.get().then(|| {
            view! {
                <section class="card stack">
                    <CodeCamera
                        way_out=NO_CAMERA
                        is_ours=link::is_ours
                        on_text=take_code
                    />
                    <button type="button" class="button" on:click=move |_| is_scanning.set(false)>
                        "Close the camera"
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
                <summary>"Other ways"</summary>
                <div class="stack">
                    <button type="button" class="button" on:click=move |_| is_scanning.set(true)>
                        "Scan the client's codes"
                    </button>
                    <Paste on_text=Callback::new(move |text| open_text.run((PASTED, text))) />
                    <p class="small soft">"Or drop files anywhere on this page."</p>
                </div>
            </details>
            <Show when=move || is_over.get()>
                <p class="drop-here" role="status">"Let go, and they are opened"</p>
            </Show>
            <Outcomes unclaimed here />
        </section>
        {camera}
        <SealedToOpen unclaimed visited />
    }
}

/// The log that codes carried.
async fn text_of(code: &str) -> Result<String, String> {
    let text =
        compression::unpack(code, log_codes::LARGEST).await.map_err(|why| why.to_string())?;
    let mut log = log_codes::whole(&text, &Entries::default());
    if matches!(log, Err(LinkError::UnknownEntry { .. })) {
        let library = files::shipped(LIBRARY).await.ok_or_else(|| intake::NO_LIBRARY.to_owned())?;
        log = log_codes::whole(&text, &Entries::parse(&library));
    }
    log.map_err(|why| why.to_string())
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
        if let Some(text) = files::pasted_text(&event) {
            open_text.run((PASTED, text));
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
    let text = RwSignal::new(String::new());
    let problem = RwSignal::new(None::<&'static str>);
    let from_clipboard = move |_| {
        problem.set(None);
        spawn_local(async move {
            match files::clipboard_text().await {
                Some(text) => on_text.run(text),
                None => drop(problem.try_set(Some(NO_CLIPBOARD))),
            }
        });
    };
    let from_field = move |_| {
        let given = text.get_untracked();
        if !given.trim().is_empty() {
            text.set(String::new());
            on_text.run(given);
        }
    };
    view! {
        {files::can_paste()
            .then(|| {
                view! {
                    <button type="button" class="button" on:click=from_clipboard>"Paste from the clipboard"</button>
                }
            })}
        <p role="alert" class="refusal small">{move || problem.get()}</p>
        <label class="field">
            <span class="small soft">"Or paste the text of a file here"</span>
            <textarea
                rows="2"
                autocomplete="off"
                spellcheck="false"
                prop:value=text
                on:input=move |event| text.set(event_target_value(&event))
            ></textarea>
        </label>
        <button type="button" class="button" on:click=from_field>"Read the text"</button>
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
            view! { " " <A href=at(&address(&client, "review"))>"Read the week"</A> }
        });
        let missing = outcome.missing.map(|missing| format!(" {missing}"));
        match outcome.what {
            Ok(said) => {
                view! { <p class="small">{format!("\"{}\": {said}.", outcome.name)} {missing} {there}</p> }.into_any()
            }
            Err(why) => view! { <p class="problem">{format!("\"{}\" {why}.", outcome.name)}</p> }.into_any(),
        }
    };
    let lines = move || unclaimed.outcomes.get().into_iter().map(line.clone()).collect_view();
    view! { <div class="stack" role="status">{lines}</div> }
}

/// The question about a log that does not plainly belong to a client: nothing of it is kept before the answer.
#[component]
pub fn Asked(unclaimed: Unclaimed, asked: AskedLog) -> impl IntoView {
    let desk = use_desk();
    let navigate = use_navigate();
    let number = asked.number;
    let history = &asked.log.history;
    let first = asked.log.records.first().map(|record| record.event.at.date_naive());
    let from_to = first.zip(history.last_day()).map(|(first, last)| {
        format!(", {} to {}", dates::short_day(first), dates::short_day(last))
    });
    let holds = format!("It holds {}{}.", log::what_it_holds(history), from_to.unwrap_or_default());
    let is_alone = asked.question.may_be.is_empty()
        && desk.read_now(|caseload: &Caseload<_>| !caseload.clients().is_empty());
    let with = |client: Id| {
        let label = desk.read_now(|caseload| caseload.client(&client))?.label;
        Some(view! {
            <button type="button" class="button" on:click=move |_| unclaimed.keep_with(number, &client)>
                {format!("Keep it with {label}")}
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
            <h2>"Whose log is this?"</h2>
            <p>{intake::asked(&asked.question.why)} " " {holds}</p>
            <p class="small soft">
                "Nothing of it is kept before you answer. It lies open here, and is gone when this page is closed."
                {is_alone.then_some(" If it is the log of a client of yours, open it at the visit of that client.")}
            </p>
            {asked.question.may_be.into_iter().filter_map(with).collect_view()}
            <button type="button" class="button" on:click=as_new>"Keep it as a new client"</button>
            <button type="button" class="button quiet" on:click=move |_| unclaimed.leave(number)>"Leave it"</button>
        </section>
    }
}
