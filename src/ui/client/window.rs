//! The client's page in one window: the log, or a beginning where there is none yet.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::begin::Begin;
use super::log::OpenLog;
use super::parts::{Parts, Screen};
use super::ways_to_open::Beginning;
use crate::platform::one_window::Manner;
use crate::platform::{address, arrival, preview};
use crate::store::backend::BackendError;
use crate::ui::components::cannot_open::CannotOpen;
use crate::ui::components::later::{DidNotArrive, NotArrived};
use crate::ui::components::newer::NewerVersion;
use crate::ui::only_window::{Kept, only_window};
use crate::ui::text::client::window as text;

/// What stands in the window.
#[derive(Clone)]
pub enum WindowContent {
    /// Nothing was ever kept on this device, and what opens a log is not needed yet.
    New,
    Open(OpenLog),
    NotArrived,
    CannotOpen(BackendError),
}

/// The page over a log, or over none yet.
#[derive(Clone, Copy)]
pub struct Page {
    content: RwSignal<WindowContent, LocalStorage>,
}

impl Page {
    fn new(content: WindowContent) -> Self {
        Self { content: RwSignal::new_local(content) }
    }

    fn log(self) -> Option<OpenLog> {
        match self.content.get_untracked() {
            WindowContent::Open(log) => Some(log),
            WindowContent::New | WindowContent::NotArrived | WindowContent::CannotOpen(_) => None,
        }
    }
}

impl Kept for Page {
    const NAME: &'static str = text::LOG;
    const ELSEWHERE: &'static str = text::ELSEWHERE;

    fn leave(&self) -> impl Future<Output = bool> + use<> {
        let leaving = self.log().map(|log| log.leave());
        async move {
            match leaving {
                Some(leaving) => leaving.await,
                None => true,
            }
        }
    }
}

#[component]
pub fn Window(parts: Parts) -> impl IntoView {
    provide_context(NewerVersion::none_yet());
    provide_context(Beginning::nothing());
    let log = preview::log();
    let ready = RwSignal::new(None::<Result<(), NotArrived>>);
    spawn_local(async move {
        // Before the storage is given its time to answer: that a part takes longer is no fault of the storage.
        let needed = if is_new(log).await { Ok(()) } else { fetch(parts).await };
        ready.set(Some(needed));
    });
    move || match ready.get() {
        None => ().into_any(),
        Some(Err(NotArrived)) => view! { <DidNotArrive /> }.into_any(),
        Some(Ok(())) => {
            let manner =
                if log == preview::Log::NewPreview { Manner::TakeOver } else { Manner::IfFree };
            let open = move |before| stand(log, before, parts);
            only_window(log.name(), manner, open, move |page| show(page, log, parts)).into_any()
        }
    }
}

/// Fetches what opens the log and, beside it, the screen that most likely comes first.
async fn fetch(parts: Parts) -> Result<(), NotArrived> {
    spawn_local(async move {
        let screen = if address::carries_routine() { Screen::Take } else { Screen::Today };
        (parts.screen)(screen)().await.ok();
    });
    if !address::carries_routine() {
        spawn_local(async move {
            (parts.routes)().await.ok();
        });
    }
    (parts.log)().await.map(|_open| ())
}

/// Whether there is nothing to open on this device, and nothing asks for more than a beginning.
async fn is_new(log: preview::Log) -> bool {
    let begins = address::is_start() || address::carries_routine();
    log == preview::Log::Client && begins && arrival::is_new(log.name()).await
}

async fn stand(
    log: preview::Log,
    before: Option<Page>,
    parts: Parts,
) -> Result<Page, BackendError> {
    let before = before.and_then(Page::log);
    let content = if before.is_none() && is_new(log).await {
        WindowContent::New
    } else {
        open(log, before, parts).await?
    };
    Ok(Page::new(content))
}

async fn open(
    log: preview::Log,
    before: Option<OpenLog>,
    parts: Parts,
) -> Result<WindowContent, BackendError> {
    match (parts.log)().await {
        Ok(open) => open(log, before, parts).await.map(WindowContent::Open),
        Err(NotArrived) => Ok(WindowContent::NotArrived),
    }
}

fn show(page: Page, log: preview::Log, parts: Parts) -> AnyView {
    let is_going_on = StoredValue::new(false);
    let go_on = Callback::new(move |()| {
        if is_going_on.get_value() {
            return;
        }
        is_going_on.set_value(true);
        spawn_local(async move {
            let content = open(log, None, parts).await;
            page.content.set(content.unwrap_or_else(WindowContent::CannotOpen));
        });
    });
    let content = move || match page.content.get() {
        WindowContent::New => view! { <Begin parts go_on /> }.into_any(),
        WindowContent::Open(log) => log.show(),
        WindowContent::NotArrived => view! { <DidNotArrive /> }.into_any(),
        WindowContent::CannotOpen(error) => {
            view! { <CannotOpen what=Page::NAME error /> }.into_any()
        }
    };
    content.into_any()
}
