//! The client's log, open, and the app over it.

use std::pin::Pin;
use std::rc::Rc;

use leptos::prelude::*;

use super::app::App;
use super::parts::{Opening, Parts};
use crate::platform::indexed_db::IndexedDb;
use crate::platform::{clock, preferences, preview};
use crate::store::backend::BackendError;
use crate::store::journal::Journal;
use crate::store::second::Look;

/// A log that is open. What it is made of is known only here, so that the page can hold one without the
/// part that reads and writes it.
#[derive(Clone)]
pub struct OpenLog(Rc<dyn Log>);

type Leaving = Pin<Box<dyn Future<Output = bool>>>;

trait Log {
    fn show(&self) -> AnyView;
    fn leave(&self) -> Leaving;
    fn journal(&self) -> &Journal<IndexedDb>;
}

struct Over {
    journal: Journal<IndexedDb>,
    parts: Parts,
}

impl Log for Over {
    fn show(&self) -> AnyView {
        view! { <App journal=self.journal.clone() parts=self.parts /> }.into_any()
    }

    fn leave(&self) -> Leaving {
        let saving = self.journal.save();
        Box::pin(async move { saving.await.is_ok() })
    }

    fn journal(&self) -> &Journal<IndexedDb> {
        &self.journal
    }
}

impl OpenLog {
    pub fn show(&self) -> AnyView {
        self.0.show()
    }

    /// Saves once more what only this window noted, each under its own id: that cannot harm another window.
    pub fn leave(&self) -> Leaving {
        self.0.leave()
    }
}

/// Opens the log, and saves what only the window itself still had of it.
pub fn open(log: preview::Log, before: Option<OpenLog>, parts: Parts) -> Opening {
    Box::pin(async move {
        let journal = open_journal(log, before).await?;
        Ok(OpenLog(Rc::new(Over { journal, parts })))
    })
}

async fn open_journal(
    log: preview::Log,
    before: Option<OpenLog>,
) -> Result<Journal<IndexedDb>, BackendError> {
    let database = IndexedDb::open(log.name()).await?;
    if log == preview::Log::NewPreview {
        database.empty().await?;
    }
    let journal = Journal::open(database).await?;
    if journal.is_erased() {
        preferences::forget_all("carryover.");
    } else if journal.is_empty()
        && log == preview::Log::Client
        && journal.backend().has_second().await
    {
        // The browser threw the database away. Where the second place does not answer either, the trace tells.
        journal.backend().start_second();
        drop(journal.join_second(Look::AtTheEnd).await);
    }
    let before = before.as_ref().map(|before| before.0.journal());
    let is_left = before.is_some_and(|before| !before.is_saved());
    if is_left || !journal.serves(clock::now().date_naive()) {
        journal.read_whole().await?;
    }
    if let Some(before) = before
        && let Ok(Some(saving)) = journal.take_up(before)
    {
        // What is not saved even now is told on every screen.
        drop(saving.await);
    }
    Ok(journal)
}
