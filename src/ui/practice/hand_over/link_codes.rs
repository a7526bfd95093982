//! A routine as a link: one code to scan, or a few that the app's own camera reads.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::domain::plan::routine::Routine;
use crate::exchange::frames;
use crate::exchange::link::{self, Entries};
use crate::exchange::qr::Code;
use crate::platform::files::{self, Shared};
use crate::platform::{address, compression};
use crate::ui::components::code_sequence::CodeSequence;
use crate::ui::practice::build::shelf::{Shelved, Shipped, use_library};

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
    let entries = Entries::parse(&shipped.text);
    let condensed = link::condense(
        routine,
        |exercise| entries.origin_of(exercise),
        |id, revision| entries.exercise(id, revision),
    );
    let condensed = condensed.map_err(|wrong| wrong.to_string())?;
    let fragment = link::print(&compression::pack(condensed).await);
    let link = link::address(&address::site().unwrap_or_default(), &fragment);
    let codes = frames::codes(&link, &fragment).map_err(|wrong| wrong.to_string())?;
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
            <h2>"By scanning"</h2>
            {move || match made.get() {
                None => view! { <p>"Drawing the code…"</p> }.into_any(),
                Some(Ok(linked)) => view! { <Codes linked /> }.into_any(),
                Some(Err(why)) => {
                    view! { <p class="problem">{format!("No code could be made: {why}. Hand the file over instead.")}</p> }
                        .into_any()
                }
            }}
        </section>
    }
}

const OF_SEVERAL: &str = "one after the other. On the client's phone open this app, tap \"Scan the codes\" and keep it still.";

/// What to do with so many codes.
fn told(count: usize) -> String {
    if count == 1 {
        "Let the client point the phone's own camera at it. It opens the routine to look at; nothing is sent anywhere.".to_owned()
    } else {
        format!("It is too much for one code, so there are {count}, {OF_SEVERAL}")
    }
}

#[component]
fn Codes(linked: Linked) -> impl IntoView {
    let Linked { link, fragment, codes, smaller } = linked;
    let shown = RwSignal::new(Shown::AsMade);
    let offer = smaller.is_some().then(|| {
        let other = move || match shown.get() {
            Shown::AsMade => ("Show smaller codes", Shown::Smaller),
            Shown::Smaller => ("Show one code", Shown::AsMade),
        };
        view! {
            <button type="button" class="button" on:click=move |_| shown.set(other().1)>
                {move || other().0}
            </button>
        }
    });
    let drawn = move || {
        let (codes, says) = match (&smaller, shown.get()) {
            (Some(smaller), Shown::Smaller) => (
                smaller,
                format!("The same routine in {} smaller codes, {OF_SEVERAL}", smaller.len()),
            ),
            (_, _) => (&codes, told(codes.len())),
        };
        view! {
            <p class="small soft">{says}</p>
            <CodeSequence codes=codes.clone() what="The routine as a code to scan" />
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
            said.set(Some(if copied {
                "The link is copied."
            } else {
                "This browser did not copy the link."
            }));
        });
    };
    let share = move |_| {
        spawn_local(async move {
            said.set(match files::share_link(&link.get_value()).await {
                Shared::Done => Some("Shared."),
                Shared::Dismissed => None,
                Shared::Failed => Some("This device could not share the link. Copy it instead."),
            });
        });
    };
    view! {
        <div class="two">
            <button type="button" class="button" on:click=copy>"Copy the link"</button>
            {files::can_share_link()
                .then(|| view! { <button type="button" class="button" on:click=share>"Share the link"</button> })}
            <a class="button" href=format!("preview#{fragment}") target="_blank" rel="external noopener">
                "Try it as the client"
            </a>
        </div>
        <p role="status" class="small">{move || said.get()}</p>
    }
}
