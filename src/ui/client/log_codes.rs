//! The log as codes on this screen, for the camera of a practitioner who stands beside it.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::exchange::link::{LibraryEntries, Packed};
use crate::exchange::log_codes;
use crate::exchange::qr::Code;
use crate::exchange::record::Record;
use crate::platform::files::{self, LIBRARY};
use crate::platform::{compression, screen};
use crate::ui::components::code_sequence::CodeSequence;
use crate::ui::components::screen::Screen;
use crate::ui::live_log::{WholeLiveLog, use_whole_log};
use crate::ui::text::client::log_codes as text;
use crate::ui::text::client::log_file::HANDED_ON;
use crate::ui::text::log::{self, Part};

/// A part of the log, drawn.
#[derive(Clone)]
struct Drawn {
    codes: Vec<Code>,
    part: Part,
    note: Option<Record>,
}

/// How far back codes are to reach.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reach {
    /// To the day on which the log was last handed back.
    SinceHandedBack,
    /// As far as codes carry in a sensible time.
    Far,
}

/// The part that is asked for, or the longest one that codes carry in a sensible time; none where even the
/// shortest is too much.
async fn draw(records: &[Record], note: Option<Record>, reach: Reach) -> Option<Drawn> {
    let [longest, ..] = log_codes::PERIODS;
    let before = records.len() - usize::from(note.is_some());
    let since = log_codes::since_handed_back(&records[..before])
        .filter(|days| reach == Reach::SinceHandedBack && *days < longest);
    // Without it, a routine goes whole.
    let library = files::shipped(LIBRARY)
        .await
        .map(|library| LibraryEntries::parse(&library))
        .unwrap_or_default();
    for days in since.into_iter().chain(log_codes::PERIODS) {
        let part = log_codes::latest(records, days);
        let Packed { packing, bytes } = compression::pack(log_codes::print(&part, &library)).await;
        if let Ok(texts) = log_codes::split(packing, bytes)
            && let Ok(codes) = texts.iter().map(|one| Code::of(one)).collect()
        {
            let part = match (part.len() < records.len(), since == Some(days)) {
                (false, _) => Part::All,
                (true, true) => Part::SinceHandedBack,
                (true, false) => Part::Days(days),
            };
            return Some(Drawn { codes, part, note });
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

impl Codes {
    fn draw(self, log: WholeLiveLog, reach: Reach) {
        self.0.set(Step::Drawing);
        let (records, note) = log.to_hand_back();
        spawn_local(async move {
            let drawn = draw(&records, note, reach).await;
            drop(self.0.try_set(drawn.map_or(Step::TooMuch, Step::Shown)));
        });
    }
}

#[component]
pub fn OfferCodes() -> impl IntoView {
    let log = use_whole_log();
    let Codes(step) = expect_context();
    let show = move |_| Codes(step).draw(log, Reach::SinceHandedBack);
    let said = move || match step.get() {
        Step::Drawing => Some(text::DRAWING),
        Step::TooMuch => Some(text::TOO_MUCH),
        Step::Read => Some(HANDED_ON),
        Step::Offered | Step::Shown(_) => None,
    };
    view! {
        <section class="stack">
            <button type="button" class="button" on:click=show>{text::SHOW_AS_CODES}</button>
            <p class="small soft">{text::FOR_WHOM}</p>
            <p role="status" class="small">{said}</p>
        </section>
    }
}

#[component]
fn ShownCodes(drawn: Drawn, codes: Codes) -> impl IntoView {
    let log = use_whole_log();
    screen::keep_on();
    on_cleanup(screen::let_sleep);
    let Drawn { codes: drawn, part, note } = drawn;
    let number = text::codes(u16::try_from(drawn.len()).unwrap_or(u16::MAX));
    let was_read = move |_| {
        log.handed_back(note.clone());
        codes.0.set(Step::Read);
    };
    view! {
        <Screen
            title=text::TITLE
            foot=Box::new(move || {
                view! {
                    <button type="button" class="button main" on:click=was_read>{text::IT_WAS_READ}</button>
                    <button type="button" class="button quiet" on:click=move |_| codes.0.set(Step::Offered)>
                        {text::CLOSE_THE_CODES}
                    </button>
                }
                .into_any()
            })
        >
            <p>{log::part_in_codes(part, &number)}</p>
            <CodeSequence codes=drawn what=text::ONE_CODE />
            {(part == Part::SinceHandedBack)
                .then(|| {
                    view! {
                        <button type="button" class="button quiet" on:click=move |_| codes.draw(log, Reach::Far)>
                            {text::SHOW_MORE}
                        </button>
                    }
                })}
        </Screen>
    }
}
