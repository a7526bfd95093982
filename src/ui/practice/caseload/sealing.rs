//! The passphrase of a sealed file that was opened, and what then comes of it.

use leptos::prelude::*;

use super::unclaimed::Unclaimed;
use crate::domain::words::Id;
use crate::ui::components::passphrase::{OpenSealed, SealedFile};

/// Asks for the passphrase of the sealed file that was opened.
#[component]
pub fn SealedToOpen(
    unclaimed: Unclaimed,
    /// The client at whose visit it is opened.
    visited: Option<Id>,
) -> impl IntoView {
    let first = Memo::new(move |_| unclaimed.sealed.with(|waiting| waiting.first().cloned()));
    let put_away = move |file: &SealedFile| {
        unclaimed.sealed.update(|waiting| waiting.retain(|one| one != file));
    };
    let ask = move |file: SealedFile| {
        let (opened, left) = (file.clone(), file.clone());
        let visited = visited.clone();
        let on_open = Callback::new(move |text: String| {
            put_away(&opened);
            unclaimed.open_unsealed(&opened.name, &text, visited.as_ref());
        });
        let on_leave = Callback::new(move |()| put_away(&left));
        view! { <OpenSealed file on_open on_leave /> }
    };
    move || first.get().map(&ask)
}
