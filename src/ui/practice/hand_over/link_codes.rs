//! A routine as a link: one code to scan, or a few that the app's own camera reads.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::domain::plan::routine::Routine;
use crate::exchange::frames;
use crate::exchange::link::{self, LibraryEntries};
use crate::exchange::qr::Code;
use crate::platform::files::{self, Shared};
use crate::platform::{address, compression};
use crate::ui::components::code_sequence::CodeSequence;
use crate::ui::practice::build::shelf::{Shelved, Shipped, use_library};
use crate::ui::text::practice::hand_over::{handing_over, link_codes as text};
use crate::ui::text::refusals::InWords;

/// A routine that fits a link, and the codes that carry it.
#[derive(Clone)]
struct Linked {
    link: String,
    fragment: String,
    codes: Vec<Code>,
    /// The same as a sequence, where the link fits one code and its sequence has smaller ones.
    smaller: Option<Vec<Code>>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Shown {
    AsMade,
    Smaller,
}

async fn link_of(routine: &Routine, shipped: &Shipped) -> Result<Linked, String> {
    let entries = LibraryEntries::parse(&shipped.text);
    let condensed = link::condense(
        routine,
        |exercise| entries.origin_of(exercise),
        |id, revision| entries.exercise(id, revision),
    );
    let condensed = condensed.map_err(|wrong| wrong.in_words())?;
    let fragment = link::print(&compression::pack(condensed).await);
    let link = link::address(&address::site().unwrap_or_default(), &fragment);
    let codes = frames::codes(&link, &fragment).map_err(|wrong| wrong.in_words())?;
    let smaller = match codes[..] {
        [_] => frames::smaller_codes(&fragment).ok().filter(|smaller| 1 < smaller.len()),
        _ => None,
    };
    Ok(Linked { link, fragment, codes, smaller })
}

#[component]
pub fn CodeWay(routine: Routine) -> impl IntoView {
    let shelf = use_library();
    let made = RwSignal::new_local(None::<Result<Linked, String>>);
    let begun = StoredValue::new(false);
    Effect::new(move |_| match shelf.get() {
        Shelved::Waiting => {}
        Shelved::Away(why) => made.set(Some(Err(why))),
        Shelved::Here(shipped) => {
            if !begun.get_value() {
                begun.set_value(true);
                // A photo is too much for a code: the file carries it.
                let routine = routine.clone().without_photos();
                spawn_local(async move {
                    made.set(Some(link_of(&routine, &shipped).await));
                });
            }
        }
    });
    view! {
        <section class="stack unprinted">
            <h2>{text::BY_SCANNING}</h2>
            {move || match made.get() {
                None => view! { <p>{text::DRAWING}</p> }.into_any(),
                Some(Ok(linked)) => view! { <Codes linked /> }.into_any(),
                Some(Err(why)) => {
                    view! { <p class="problem">{text::no_code(&why)}</p> }
                        .into_any()
                }
            }}
        </section>
    }
}

#[component]
fn Codes(linked: Linked) -> impl IntoView {
    let Linked { link, fragment, codes, smaller } = linked;
    let shown = RwSignal::new(Shown::AsMade);
    let offer = smaller.is_some().then(|| {
        let other = move || match shown.get() {
            Shown::AsMade => (text::SHOW_SMALLER, Shown::Smaller),
            Shown::Smaller => (text::SHOW_ONE, Shown::AsMade),
        };
        view! {
            <button type="button" class="button" on:click=move |_| shown.set(other().1)>
                {move || other().0}
            </button>
        }
    });
    let drawn = move || {
        let (codes, says) = match (&smaller, shown.get()) {
            (Some(smaller), Shown::Smaller) => (smaller, text::how_to_scan_smaller(smaller.len())),
            (_, _) => (&codes, text::how_to_scan(codes.len())),
        };
        view! {
            <p class="small soft">{says}</p>
            <CodeSequence codes=codes.clone() what=text::CODE />
        }
    };
    view! {
        {drawn}
        {offer}
        <LinkWay link fragment />
    }
}

/// The link itself, to be sent or tried.
#[component]
fn LinkWay(link: String, fragment: String) -> impl IntoView {
    let said = RwSignal::new(None::<&'static str>);
    let link = StoredValue::new(link);
    let copy = move |_| {
        spawn_local(async move {
            let copied = files::copy_text(&link.get_value()).await;
            said.set(Some(if copied { text::COPIED } else { text::NOT_COPIED }));
        });
    };
    let share = move |_| {
        spawn_local(async move {
            said.set(match files::share_link(&link.get_value()).await {
                Shared::Done => Some(handing_over::SHARED),
                Shared::Dismissed => None,
                Shared::Failed => Some(text::NOT_SHARED),
            });
        });
    };
    view! {
        <div class="two">
            <button type="button" class="button" on:click=copy>{text::COPY_LINK}</button>
            {files::can_share_link()
                .then(|| view! { <button type="button" class="button" on:click=share>{text::SHARE_LINK}</button> })}
            <a class="button" href=format!("preview#{fragment}") target="_blank" rel="external noopener">
                {text::TRY_IT}
            </a>
        </div>
        <p role="status" class="small">{move || said.get()}</p>
    }
}
