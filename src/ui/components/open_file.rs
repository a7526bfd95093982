//! A button that opens files of the person's choice.

use leptos::ev::Event;
use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::platform::files::{self, Picked};

#[component]
pub fn OpenFile(
    label: &'static str,
    #[prop(default = "button")] class: &'static str,
    /// Whether several can be picked at once.
    #[prop(optional)]
    several: Several,
    /// The most bytes that are read.
    most: usize,
    on_open: Callback<Vec<Picked>>,
) -> impl IntoView {
    let open = move |event: Event| {
        spawn_local(async move { on_open.run(files::picked(event, most).await) });
    };
    view! {
        <label class=format!("{class} file")>
            {label} <input type="file" multiple=several == Several::Yes on:change=open />
        </label>
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Several {
    #[default]
    No,
    Yes,
}
