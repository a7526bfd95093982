//! Entries that could not be read are told of, kept, and offered as a file.

use leptos::prelude::*;

use crate::platform::files;
use crate::ui::live_log::use_log;
use crate::ui::text::components::unreadable as text;

/// Entries that could not be read are kept, and offered as a file.
#[component]
pub fn Unreadable() -> impl IntoView {
    let log = use_log();
    let entries = log.unreadable();
    let count = entries.len();
    let kept = entries.into_iter().map(|entry| entry.text).collect::<Vec<_>>().join("\n");
    let save = move |_| {
        files::save("carryover-unreadable.txt", &kept);
    };
    (0 < count).then(move || {
        view! {
            <section class="card stack" role="alert">
                <h2>{text::TITLE}</h2>
                <p>{text::how_many(count)}</p>
                <button type="button" class="button" on:click=save>{text::SAVE}</button>
            </section>
        }
    })
}
