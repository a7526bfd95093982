//! The client's log, open, and the app over it.

use std::any::Any;
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
pub struct OpenLog {
    journal: Rc<dyn Any>,
    show: Rc<dyn Fn() -> AnyView>,
    leave: Rc<dyn Fn() -> Pin<Box<dyn Future<Output = bool>>>>,
}

impl OpenLog {
    fn over(journal: Journal<IndexedDb>, parts: Parts) -> Self {
        let (shown, left) = (journal.clone(), journal.clone());
        Self {
            journal: Rc::new(journal),
            show: Rc::new(move || view! { <App journal=shown.clone() parts /> }.into_any()),
            leave: Rc::new(move || {
                let saving = left.save();
                Box::pin(async move { saving.await.is_ok() })
            }),
        }
    }

    pub fn show(&self) -> AnyView {
        (self.show)()
    }

    /// Saves once more what only this window noted, each under its own id: that cannot harm another window.
    pub fn leave(&self) -> Pin<Box<dyn Future<Output = bool>>> {
        (self.leave)()
    }
}

/// Opens the log, and saves what only the window itself still had of it.
pub fn open(log: preview::Log, before: Option<OpenLog>, parts: Parts) -> Opening {
    Box::pin(async move {
        let journal = open_journal(log, before).await?;
        Ok(OpenLog::over(journal, parts))
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
    let before = before.and_then(|before| before.journal.downcast::<Journal<IndexedDb>>().ok());
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
