//! The client's page in one window.

use leptos::prelude::*;

use super::app::App;
use crate::platform::indexed_db::IndexedDb;
use crate::platform::one_window::Manner;
use crate::platform::{clock, preferences, preview};
use crate::store::backend::BackendError;
use crate::store::journal::Journal;
use crate::ui::components::newer::NewerVersion;
use crate::ui::only_window::{Kept, only_window};

impl Kept for Journal<IndexedDb> {
    const NAME: &'static str = "log";
    const ELSEWHERE: &'static str = "Carryover is in use in another window or tab. Only one at a time can be used, so that nothing is noted twice.";

    /// Saves once more what only this window noted, each under its own id: that cannot harm the other.
    fn leave(&self) -> impl Future<Output = bool> + use<> {
        let saving = self.save();
        async move { saving.await.is_ok() }
    }
}

#[component]
pub fn Window() -> impl IntoView {
    provide_context(NewerVersion::watch());
    let log = preview::log();
    let manner = if log == preview::Log::NewPreview { Manner::TakeOver } else { Manner::IfFree };
    let open = move |before| open(log, before);
    only_window(name(log), manner, open, |journal| view! { <App journal /> }.into_any())
}

const fn name(log: preview::Log) -> &'static str {
    match log {
        preview::Log::Client => "carryover",
        preview::Log::NewPreview | preview::Log::Preview => "carryover-preview",
    }
}

/// Opens the log, and saves what only the window itself still had of it.
async fn open(
    log: preview::Log,
    before: Option<Journal<IndexedDb>>,
) -> Result<Journal<IndexedDb>, BackendError> {
    let database = IndexedDb::open(name(log)).await?;
    if log == preview::Log::NewPreview {
        database.empty().await?;
    }
    let journal = Journal::open(database).await?;
    if journal.is_erased() {
        preferences::forget_all("carryover.");
    }
    let is_left = before.as_ref().is_some_and(|before| !before.is_saved());
    if is_left || !journal.serves(clock::now().date_naive()) {
        journal.read_whole().await?;
    }
    if let Some(before) = before
        && let Ok(Some(saving)) = journal.take_up(&before)
    {
        // What is not saved even now is told on every screen.
        drop(saving.await);
    }
    Ok(journal)
}
