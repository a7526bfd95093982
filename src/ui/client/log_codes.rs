//! The log as codes on this screen, for the camera of a practitioner who stands beside it.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::exchange::link::Packed;
use crate::exchange::log_codes;
use crate::exchange::qr::Code;
use crate::exchange::record::Record;
use crate::platform::{compression, screen};
use crate::ui::components::code_sequence::CodeSequence;
use crate::ui::components::screen::Screen;
use crate::ui::diary::use_whole_diary;
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
        let Packed { packing, bytes } = compression::pack(log_codes::print(&part)).await;
        if let Ok(texts) = log_codes::split(packing, bytes)
            && let Ok(codes) = texts.iter().map(|text| Code::of(text)).collect()
        {
            let days = (part.len() < records.len()).then_some(days);
            return Some(Drawn { codes, days, note });
        }
    }
    None
}

/// What showing the log as codes has come to.
#[derive(Clone)]
enum Step {
    Offered,
    Drawing,
    Shown(Drawn),
    TooMuch,
    Read,
}

/// Shows its children until the log is shown as codes; inside them, [`OfferCodes`] does that.
#[component]
pub fn Showing(children: ChildrenFn) -> impl IntoView {
    let codes = Codes(RwSignal::new_local(Step::Offered));
    provide_context(codes);
    let is_shown = Memo::new(move |_| codes.0.with(|step| matches!(step, Step::Shown(_))));
    move || match (is_shown.get(), codes.0.get_untracked()) {
        (true, Step::Shown(drawn)) => view! { <ShownCodes drawn codes /> }.into_any(),
        _ => children().into_any(),
    }
}

#[derive(Clone, Copy)]
struct Codes(RwSignal<Step, LocalStorage>);

#[component]
pub fn OfferCodes() -> impl IntoView {
    let diary = use_whole_diary();
    let Codes(step) = expect_context();
    let show = move |_| {
        step.set(Step::Drawing);
        let (records, note) = diary.to_hand_back();
        spawn_local(async move {
            let drawn = draw(&records, note).await;
            drop(step.try_set(drawn.map_or(Step::TooMuch, Step::Shown)));
        });
    };
    let said = move || match step.get() {
        Step::Drawing => Some("Drawing the codes…"),
        Step::TooMuch => Some("This log is too much for codes. Save it as a file."),
        Step::Read => Some("Handed on."),
        Step::Offered | Step::Shown(_) => None,
    };
    view! {
        <section class="stack">
            <button type="button" class="button" on:click=show>"Show it as codes"</button>
            <p class="small soft">"For a practitioner beside you, with no file and no network."</p>
            <p role="status" class="small">{said}</p>
        </section>
    }
}

#[component]
fn ShownCodes(drawn: Drawn, codes: Codes) -> impl IntoView {
    let diary = use_whole_diary();
    screen::keep_on();
    on_cleanup(screen::let_sleep);
    let Drawn { codes: drawn, days, note } = drawn;
    let number = dose::count(u16::try_from(drawn.len()).unwrap_or(u16::MAX), "code");
    let was_read = move |_| {
        diary.handed_back(note.clone());
        codes.0.set(Step::Read);
    };
    view! {
        <Screen
            title="Your log as codes"
            foot=Box::new(move || {
                view! {
                    <button type="button" class="button main" on:click=was_read>"It was read"</button>
                    <button type="button" class="button quiet" on:click=move |_| codes.0.set(Step::Offered)>
                        "Close the codes"
                    </button>
                }
                .into_any()
            })
        >
            <p>{log::part_in_codes(days, &number)}</p>
            <CodeSequence codes=drawn what="Your log as a code to scan" />
        </Screen>
    }
}
