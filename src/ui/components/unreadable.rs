//! Entries that could not be read are told of, kept, and offered as a file.

use leptos::prelude::*;

use crate::platform::files;
use crate::ui::diary::use_diary;
use crate::ui::text::dose;

/// Entries that could not be read are kept, and offered as a file.
#[component]
pub fn Unreadable() -> impl IntoView {
    let diary = use_diary();
    let entries = diary.unreadable();
    let count = entries.len();
    let text = entries.into_iter().map(|entry| entry.text).collect::<Vec<_>>().join("\n");
    let save = move |_| {
        files::save("carryover-unreadable.txt", &text);
    };
    (0 < count).then(move || {
        view! {
            <section class="card stack" role="alert">
                <h2>"Some entries could not be read"</h2>
                <p>
                    {dose::count(u16::try_from(count).unwrap_or(u16::MAX), "stored text")}
                    " could not be read. Nothing was changed or thrown away. Save them as a file for your practitioner; everything else works as before."
                </p>
                <button type="button" class="button" on:click=save>"Save what could not be read"</button>
            </section>
        }
    })
}
