//! The practitioner's page in one window.

use leptos::prelude::*;

use super::app::App;
use crate::platform::indexed_db::IndexedDb;
use crate::platform::one_window::Manner;
use crate::store::backend::BackendError;
use crate::store::caseload::Caseload;
use crate::store::second::Look;
use crate::ui::only_window::{Kept, only_window};
use crate::ui::text::practice::window as text;

const NAME: &str = "carryover-practice";

impl Kept for Caseload<IndexedDb> {
    const NAME: &'static str = text::CASELOAD;
    const ELSEWHERE: &'static str = text::ELSEWHERE;

    fn leave(&self) -> impl Future<Output = bool> + use<> {
        Self::leave(self)
    }
}

#[component]
pub fn Window() -> impl IntoView {
    only_window(NAME, Manner::IfFree, open, |caseload| view! { <App caseload /> }.into_any())
}

/// Opens the caseload as it is stored now, and takes up what only this window still had of it.
async fn open(before: Option<Caseload<IndexedDb>>) -> Result<Caseload<IndexedDb>, BackendError> {
    let caseload = Caseload::open(IndexedDb::open(NAME).await?).await?;
    if caseload.is_empty() && caseload.shelf().has_second().await {
        // The browser may have thrown the database away. Where the second place does not answer either, the trace
        // tells.
        caseload.shelf().start_second();
        drop(caseload.join_second(Look::AtTheEnd).await);
    }
    if let Some(before) = before {
        caseload.take_up(&before);
    }
    Ok(caseload)
}
