//! The log as codes on this screen, for the camera of a practitioner who stands beside it.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::exchange::link::Packing;
use crate::exchange::log_codes;
use crate::exchange::qr::Code;
use crate::exchange::record::Record;
use crate::platform::{compression, screen};
use crate::ui::components::code_sequence::CodeSequence;
use crate::ui::diary::use_diary;
use crate::ui::text::{dose, log};

/// A part of the log, drawn.
#[derive(Clone)]
struct Drawn {
    codes: Vec<Code>,
    /// How many days it reaches back; none for the whole log.
    days: Option<u64>,
    note: Option<Record>,
}

/// The longest part that codes carry in a sensible time; none where even the shortest is too much.
async fn draw(records: &[Record], note: Option<Record>) -> Option<Drawn> {
    for days in log_codes::PERIODS {
        let part = log_codes::latest(records, days);
        let text = log_codes::print(&part);
        let (packing, bytes) = match compression::deflate(text.as_bytes()).await {
            Some(bytes) => (Packing::Deflated, bytes),
            None => (Packing::Plain, text.into_bytes()),
        };
        if let Ok(texts) = log_codes::split(packing, bytes)
            && let Ok(codes) = texts.iter().map(|text| Code::of(text)).collect()
        {
            let days = (part.len() < records.len()).then_some(days);
            return Some(Drawn { codes, days, note });
        }
    }
    None
}

#[derive(Clone)]
enum Step {
    Offered,
    Drawing,
    Shown(Drawn),
    TooMuch,
    Read,
}

#[component]
pub fn ShowAsCodes() -> impl IntoView {
    let diary = use_diary();
    let step = RwSignal::new_local(Step::Offered);
    let show = move |_| {
        step.set(Step::Drawing);
        let (records, note) = diary.to_hand_back();
        spawn_local(async move {
            let drawn = draw(&records, note).await;
            drop(step.try_set(drawn.map_or(Step::TooMuch, Step::Shown)));
        });
    };
    let offer = move || {
        view! {
            <button type="button" class="button" on:click=show>"Show it as codes"</button>
            <p class="small soft">"For a practitioner beside you, with no file and no network."</p>
        }
    };
    let shown = move || match step.get() {
        Step::Offered => offer().into_any(),
        Step::Drawing => view! { <p>"Drawing the codes…"</p> }.into_any(),
        Step::TooMuch => {
            view! { <p class="problem">"This log is too much for codes. Save it as a file."</p> }
                .into_any()
        }
        Step::Read => view! {
            <p role="status">"Handed on."</p>
            {offer()}
        }
        .into_any(),
        Step::Shown(drawn) => {
            let on_done = Callback::new(move |next| step.set(next));
            view! { <ShownCodes drawn on_done /> }.into_any()
        }
    };
    view! { <section class="stack">{shown}</section> }
}

#[component]
fn ShownCodes(drawn: Drawn, on_done: Callback<Step>) -> impl IntoView {
    let diary = use_diary();
    screen::keep_on();
    on_cleanup(screen::let_sleep);
    let Drawn { codes, days, note } = drawn;
    let number = dose::count(u16::try_from(codes.len()).unwrap_or(u16::MAX), "code");
    let was_read = move |_| {
        diary.handed_back(note.clone());
        on_done.run(Step::Read);
    };
    view! {
        <p>{log::part_in_codes(days, &number)}</p>
        <CodeSequence codes what="Your log as a code to scan" />
        <button type="button" class="button" on:click=was_read>"It was read"</button>
        <button type="button" class="button quiet" on:click=move |_| on_done.run(Step::Offered)>"Close the codes"</button>
    }
}
