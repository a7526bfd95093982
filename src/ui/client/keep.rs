//! The log kept safe: a copy, a copy brought back, the browser's promise, and erasing everything.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::log_file::{LogFile, Purpose, SendButtons, last_copy, write_copy};
use crate::exchange::file::{self, File};
use crate::exchange::sealed;
use crate::platform::files::Picked;
use crate::platform::{address, clock, copy_file, lasting};
use crate::ui::components::open_file::OpenFile;
use crate::ui::components::passphrase::{OpenSealed, SealWithPassphrase, SealedFile};
use crate::ui::components::saved::SavedMark;
use crate::ui::components::screen::Screen;
use crate::ui::components::two_taps::TwoTaps;
use crate::ui::diary::{use_diary, use_whole_diary};
use crate::ui::text::log;

#[component]
pub fn Keep() -> impl IntoView {
    let diary = use_diary();
    let file = LogFile::to(Purpose::Copy);
    let whole = use_whole_diary();
    let has_log = Memo::new(move |_| {
        diary.history();
        !whole.records().is_empty()
    });
    let today = clock::now().date_naive();
    view! {
        <Screen
            title="Keep your log safe"
            columns=true
            foot=Box::new(move || {
                view! {
                    <Show when=move || has_log.get()>
                        <SendButtons file />
                    </Show>
                    <a href="./" class="button quiet">"Back to Today"</a>
                }
                    .into_any()
            })
        >
            <Show when=move || has_log.get()>
                <p class="lead">{move || log::last_copy(file.last_copy.get(), today)}</p>
                <p>
                    "Your whole log and your routine are in a copy. If this phone breaks or is wiped, only a copy brings them back. Keep it private, and not on this phone alone."
                </p>
                <SealWithPassphrase passphrase=file.passphrase />
                <WritesItself file />
            </Show>
            <Restore />
            <Show when=move || has_log.get()>
                <Promise />
            </Show>
            <Show when=move || { has_log.get() || !diary.unreadable().is_empty() }>
                <Erase />
            </Show>
        </Screen>
    }
}

fn refused(name: &str, why: &str) -> String {
    format!("\"{name}\" could not be used: {why}. Nothing was changed.")
}

/// A file outside of the browser into which the copy writes itself, where the browser remembers one.
#[component]
fn WritesItself(file: LogFile) -> impl IntoView {
    let diary = use_diary();
    let said = RwSignal::new(None::<&'static str>);
    let choose = move |_| {
        spawn_local(async move {
            let name = format!("carryover-log-{}.txt", clock::now().date_naive());
            if !copy_file::choose(&name).await {
                said.try_set(Some("No file was chosen."));
                return;
            }
            let written = write_copy(diary).await;
            file.last_copy.try_set(last_copy());
            said.try_set(Some(written.unwrap_or(
                "The browser did not let the app write into that file. Choose another, or save a copy.",
            )));
        });
    };
    copy_file::can_be_chosen().then(|| {
        view! {
            <section class="stack">
                <h2>"A copy that writes itself"</h2>
                <p class="small soft">
                    "Choose a file, best in a folder that is kept elsewhere, too. The copy is written into it after each session, as long as the browser lets it. It is not sealed."
                </p>
                <button type="button" class="button" on:click=choose>"Choose a file for it"</button>
                <p role="status" class="small">{move || said.get()}</p>
            </section>
        }
    })
}

/// Brings a copy back, on this phone or on a new one.
#[component]
fn Restore() -> impl IntoView {
    let diary = use_whole_diary();
    let said = RwSignal::new(None::<Result<String, String>>);
    let to_open = RwSignal::new(None::<SealedFile>);
    let take = move |name: &str, text: &str| {
        let join = |records| match diary.restore(records) {
            Ok(0) => Ok("nothing new in it; everything was here already".to_owned()),
            Ok(1) => Ok("1 entry brought back".to_owned()),
            Ok(number) => Ok(format!("{number} entries brought back")),
            Err(why) => Err(why),
        };
        let joined = match file::parse(text) {
            Ok(File::Log(records)) => join(&records),
            Ok(File::DamagedLog { records, gaps }) => {
                let gaps: Vec<String> = gaps.iter().map(ToString::to_string).collect();
                join(&records).map(|said| {
                    format!(
                        "{said}, but the file is damaged ({}); another copy brings the rest",
                        gaps.join("; ")
                    )
                })
            }
            Ok(File::Routine(_)) => Err("it is a routine, not a copy of a log".to_owned()),
            Err(error) => Err(error.to_string()),
        };
        said.set(Some(match joined {
            Ok(what) => Ok(format!("\"{name}\": {what}.")),
            Err(why) => Err(refused(name, &why)),
        }));
    };
    let picked = Callback::new(move |files: Vec<Picked>| {
        for Picked { name, text } in files {
            match text {
                Ok(text) if sealed::is_sealed(&text) => {
                    said.set(None);
                    to_open.set(Some(SealedFile { name, text }));
                }
                Ok(text) => take(&name, &text),
                Err(why) => said.set(Some(Err(refused(&name, &why.to_string())))),
            }
        }
    });
    let ask = move |sealed: SealedFile| {
        let name = sealed.name.clone();
        let on_open = Callback::new(move |text: String| {
            to_open.set(None);
            take(&name, &text);
        });
        let on_leave = Callback::new(move |()| to_open.set(None));
        view! { <OpenSealed file=sealed on_open on_leave /> }
    };
    let outcome = move || {
        said.get().map(|said| match said {
            Ok(said) => view! { <p>{said}</p> <SavedMark /> }.into_any(),
            Err(why) => view! { <p class="problem">{why}</p> }.into_any(),
        })
    };
    view! {
        <section class="stack">
            <h2>"New phone, or a copy to bring back"</h2>
            <p>
                "Send a copy to the new phone, open Carryover there, and restore it on this same page. What is there already stays."
            </p>
            <OpenFile label="Restore a copy" most=sealed::most_sealed(file::LARGEST) on_open=picked />
            <div role="status">{outcome}</div>
            {move || to_open.get().map(ask)}
        </section>
    }
}

/// Whether the browser keeps the log when space runs low, and the way to ask it to.
#[component]
fn Promise() -> impl IntoView {
    let promised = RwSignal::new(None::<bool>);
    let refused = RwSignal::new(false);
    spawn_local(async move {
        let is_promised = lasting::is_promised().await;
        promised.try_set(is_promised);
    });
    let ask = move |_| {
        spawn_local(async move {
            let is_promised = lasting::ask_for_promise().await;
            refused.try_set(is_promised != Some(true));
            promised.try_set(is_promised);
        });
    };
    move || {
        promised.get().map(|is_promised| {
            if is_promised {
                return view! { <p class="small soft">"This browser promised to keep the log until you erase it."</p> }
                    .into_any();
            }
            view! {
                <section class="stack">
                    <p class="small soft">
                        "If space runs low, this browser may clear the log by itself. An app added to the home screen is safer."
                    </p>
                    <button type="button" class="button" on:click=ask>"Ask the browser to keep it"</button>
                    <p role="status" class="small">
                        {move || refused.get().then_some("It did not promise. Save a copy now and then.")}
                    </p>
                </section>
            }
                .into_any()
        })
    }
}

#[component]
fn Erase() -> impl IntoView {
    let diary = use_diary();
    let problem = RwSignal::new(None::<String>);
    let erase = Callback::new(move |()| {
        spawn_local(async move {
            match diary.erase().await {
                Ok(()) => address::open_anew("/"),
                Err(why) => {
                    problem.set(Some(format!("It was not erased: {why}. Nothing was changed.")));
                }
            }
        });
    });
    let what_goes = move || {
        let holds = log::what_it_holds(&diary.history());
        format!(
            "This takes away from this phone: {holds}, your notes, your routine and your settings. It cannot be undone. Copies that you saved elsewhere stay."
        )
    };
    view! {
        <TwoTaps
            stem="erase"
            ask="Erase everything…"
            class="card stack"
            yes="Erase everything"
            no="Keep it"
            no_class="button"
            on_yes=erase
        >
            <h2>"Erase everything?"</h2>
            <p>{what_goes}</p>
            <p>{move || log::last_copy(last_copy(), clock::now().date_naive())}</p>
            <p role="alert" class="problem" class:empty=move || problem.get().is_none()>
                {move || problem.get()}
            </p>
        </TwoTaps>
    }
}
