//! The practitioner's page: open logs and routines; read the week.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::components::A;

use super::bench::{Bench, OpenLog};
use super::review::VisitReview;
use super::tempo::TempoReader;
use crate::platform::files::{self, Picked};
use crate::ui::components::open_file::{OpenFile, Several};
use crate::ui::components::routine_page::RoutinePage;

/// The routines that come with the app, each with its source inside.
const SHIPPED: [(&str, &str); 3] = [
    ("/routines/demo.json", "The demo routine"),
    ("/routines/heel-drop.json", "Heel drops, as published"),
    ("/routines/knee-days-5-12.json", "Knee, days 5 to 12, as published"),
];

#[component]
pub fn Practice() -> impl IntoView {
    let bench: Bench = expect_context();
    let open = Callback::new(move |files: Vec<Picked>| bench.open(files));
    let shipped = move |(path, label): (&'static str, &'static str)| {
        let read = move |_| {
            spawn_local(async move {
                let text = files::shipped(path).await.ok_or(files::Unreadable);
                bench.open(vec![Picked { name: label.to_owned(), text }]);
            });
        };
        view! {
            <button type="button" class="link" on:click=read>
                {label}
            </button>
        }
    };
    view! {
        <main class="screen wide practice">
            <div class="screen-body">
                <header class="row unprinted">
                    <div class="grow">
                        <p class="soft small">"For the practitioner"</p>
                        <h1>"Visit review"</h1>
                    </div>
                    <A href="/">"Client's side"</A>
                </header>
                <section class="stack unprinted">
                    <OpenFile label="Open logs or a routine" class="button main" several=Several::Yes on_open=open />
                    <Outcomes bench />
                    <Show when=move || bench.logs.with(Vec::is_empty) && bench.routine.with(Option::is_none)>
                        <p class="soft">
                            "Open the file that your client handed back. Opening a file twice changes nothing. What is opened stays in this window and is gone when it is closed."
                        </p>
                        <p class="small">"Or look at a routine that comes with the app:"</p>
                        <p class="links">{SHIPPED.map(shipped)}</p>
                    </Show>
                </section>
                <Logs bench />
                <RoutineSheet bench />
                <div class="unprinted">
                    <TempoReader />
                </div>
            </div>
        </main>
    }
}

#[component]
fn Outcomes(bench: Bench) -> impl IntoView {
    let lines = move || {
        let line = |outcome: super::bench::Outcome| {
            match outcome.what {
            Ok(said) => view! { <p class="small">{format!("\"{}\": {said}.", outcome.name)}</p> }.into_any(),
            Err(why) => {
                view! { <p class="problem">{format!("\"{}\" could not be opened: {why}.", outcome.name)}</p> }.into_any()
            }
        }
        };
        bench.outcomes.get().into_iter().map(line).collect_view()
    };
    view! { <div class="stack" role="status">{lines}</div> }
}

#[component]
fn Logs(bench: Bench) -> impl IntoView {
    let tabs = move || {
        let logs = bench.logs.get();
        let tab = |(index, log): (usize, &OpenLog)| {
            let is_shown = move || bench.shown.get() == index;
            view! {
                <button
                    type="button"
                    class="chip"
                    aria-pressed=move || is_shown().to_string()
                    on:click=move |_| bench.shown.set(index)
                >
                    {log.label()}
                </button>
            }
        };
        (1 < logs.len()).then(|| {
            view! {
                <div class="chips unprinted" role="group" aria-label="Open logs">
                    {logs.iter().enumerate().map(tab).collect_view()}
                </div>
            }
        })
    };
    let review = move || {
        let logs = bench.logs.get();
        let log = logs.get(bench.shown.get())?.clone();
        Some(view! { <VisitReview log /> })
    };
    view! {
        {tabs}
        {review}
    }
}

#[component]
fn RoutineSheet(bench: Bench) -> impl IntoView {
    move || {
        let routine = bench.routine.get()?;
        Some(view! {
            <section class="stack">
                <div class="row">
                    <h2 class="grow">{routine.title.to_string()}</h2>
                    <button type="button" class="link unprinted" on:click=move |_| bench.routine.set(None)>
                        "Close"
                    </button>
                </div>
                <RoutinePage routine />
            </section>
        })
    }
}
