//! The log kept safe: a copy, a copy brought back, the browser's promise, and erasing everything.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::log_file::{LogFile, Purpose, SendButtons, last_copy, write_copy};
use crate::exchange::file::{self, File};
use crate::exchange::{file_name, sealed};
use crate::platform::files::Picked;
use crate::platform::{address, clock, copy_file, lasting};
use crate::ui::components::open_file::OpenFile;
use crate::ui::components::passphrase::{OpenSealed, SealWithPassphrase, SealedFile};
use crate::ui::components::saved::SavedMark;
use crate::ui::components::screen::Screen;
use crate::ui::components::two_taps::TwoTaps;
use crate::ui::live_log::{use_log, use_whole_log};
use crate::ui::text::client::safe_keeping as text;
use crate::ui::text::components::screen::BACK_TO_TODAY;
use crate::ui::text::log;
use crate::ui::text::refusals::InWords;

#[component]
pub fn SafeKeeping() -> impl IntoView {
    let log = use_log();
    let file = LogFile::to(Purpose::Copy);
    let whole = use_whole_log();
    let has_log = Memo::new(move |_| {
        log.history();
        !whole.records().is_empty()
    });
    let today = clock::now().date_naive();
    view! {
        <Screen
            title=text::TITLE
            columns=true
            foot=Box::new(move || {
                view! {
                    <Show when=move || has_log.get()>
                        <SendButtons file />
                    </Show>
                    <a href="./" class="button quiet">{BACK_TO_TODAY}</a>
                }
                    .into_any()
            })
        >
            <Show when=move || has_log.get()>
                <p class="lead">{move || log::last_copy(file.last_copy.get(), today)}</p>
                <p>
                    {text::WHY_COPY}
                </p>
                <SealWithPassphrase passphrase=file.passphrase />
                <WritesItself file />
            </Show>
            <Restore />
            <Show when=move || has_log.get()>
                <Promise />
            </Show>
            <Show when=move || { has_log.get() || !log.unreadable().is_empty() }>
                <Erase />
            </Show>
        </Screen>
    }
}

/// A file outside of the browser into which the copy writes itself, where the browser remembers one.
#[component]
fn WritesItself(file: LogFile) -> impl IntoView {
    let log = use_log();
    let said = RwSignal::new(None::<&'static str>);
    let choose = move |_| {
        spawn_local(async move {
            if !copy_file::choose(file_name::COPY_THAT_WRITES_ITSELF).await {
                said.try_set(Some(text::NO_FILE_CHOSEN));
                return;
            }
            let written = write_copy(log).await;
            file.last_copy.try_set(last_copy());
            said.try_set(Some(written.unwrap_or(text::NOT_WRITTEN)));
        });
    };
    copy_file::can_be_chosen().then(|| {
        view! {
            <section class="stack">
                <h2>{text::WRITES_ITSELF}</h2>
                <p class="small soft">
                    {text::HOW_IT_WRITES}
                </p>
                <button type="button" class="button" on:click=choose>{text::CHOOSE_A_FILE}</button>
                <p role="status" class="small">{move || said.get()}</p>
            </section>
        }
    })
}

/// Brings a copy back, on this phone or on a new one.
#[component]
fn Restore() -> impl IntoView {
    let log = use_whole_log();
    let said = RwSignal::new(None::<Result<String, String>>);
    let to_open = RwSignal::new(None::<SealedFile>);
    let take = move |name: &str, content: &str| {
        let join = |records| log.restore(records).map(text::brought_back);
        let joined = match file::parse(content) {
            Ok(File::Log(records)) => join(&records),
            Ok(File::DamagedLog { records, gaps }) => {
                let gaps: Vec<String> = gaps.iter().map(InWords::in_words).collect();
                join(&records).map(|said| text::but_damaged(&said, &gaps.join("; ")))
            }
            Ok(File::Routine(_)) => Err(text::IS_A_ROUTINE.to_owned()),
            Err(error) => Err(error.in_words()),
        };
        said.set(Some(match joined {
            Ok(what) => Ok(text::restored(name, &what)),
            Err(why) => Err(text::refused(name, &why)),
        }));
    };
    let picked = Callback::new(move |files: Vec<Picked>| {
        for Picked { name, text: content } in files {
            match content {
                Ok(content) if sealed::is_sealed(&content) => {
                    said.set(None);
                    to_open.set(Some(SealedFile { name, text: content }));
                }
                Ok(content) => take(&name, &content),
                Err(why) => said.set(Some(Err(text::refused(&name, &why.in_words())))),
            }
        }
    });
    let ask = move |sealed: SealedFile| {
        let name = sealed.name.clone();
        let on_open = Callback::new(move |content: String| {
            to_open.set(None);
            take(&name, &content);
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
            <h2>{text::NEW_PHONE}</h2>
            <p>
                {text::HOW_TO_MOVE}
            </p>
            <OpenFile label=text::RESTORE_A_COPY most=sealed::most_sealed(file::LARGEST) on_open=picked />
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
                return view! { <p class="small soft">{text::PROMISED}</p> }.into_any();
            }
            view! {
                <section class="stack">
                    <p class="small soft">
                        {text::MAY_BE_CLEARED}
                    </p>
                    <button type="button" class="button" on:click=ask>{text::ASK_TO_KEEP}</button>
                    <p role="status" class="small">
                        {move || refused.get().then_some(text::NOT_PROMISED)}
                    </p>
                </section>
            }
            .into_any()
        })
    }
}

#[component]
fn Erase() -> impl IntoView {
    let log = use_log();
    let problem = RwSignal::new(None::<String>);
    let erase = Callback::new(move |()| {
        spawn_local(async move {
            match log.erase().await {
                Ok(()) => address::open_anew("/"),
                Err(why) => {
                    problem.set(Some(text::not_erased(&why.in_words())));
                }
            }
        });
    });
    let what_goes = move || text::what_goes(&log::what_it_holds(&log.history()));
    view! {
        <TwoTaps
            stem="erase"
            ask=text::ERASE
            class="card stack"
            yes=text::YES_ERASE
            no=text::NO_KEEP
            no_class="button"
            on_yes=erase
        >
            <h2>{text::WHETHER_TO_ERASE}</h2>
            <p>{what_goes}</p>
            <p>{move || log::last_copy(last_copy(), clock::now().date_naive())}</p>
            <p role="alert" class="problem" class:empty=move || problem.get().is_none()>
                {move || problem.get()}
            </p>
        </TwoTaps>
    }
}
