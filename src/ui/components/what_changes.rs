//! What a newer version of a routine changes, told in plain words.

use leptos::prelude::*;

use crate::ui::text::changes::About;
use crate::ui::text::components::what_changes as text;

#[component]
pub fn WhatChanges(changes: Vec<About>) -> impl IntoView {
    let abouts = changes.into_iter().map(|about| {
        let lines = about.lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view();
        view! {
            <h3>{about.title}</h3>
            <ul class="plain-list">{lines}</ul>
        }
    });
    view! {
        <section class="card stack">
            <h2>{text::TITLE}</h2>
            {abouts.collect_view()}
        </section>
    }
}
