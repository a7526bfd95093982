//! The way to the licences of what the app is built from.

use leptos::prelude::*;

use crate::ui::text::notices::{LINK, PAGE, WHAT};

/// A page beside the app, in a window of its own: what is begun here stays as it is.
#[component]
pub fn Notices() -> impl IntoView {
    view! {
        <p class="small soft unprinted">
            {WHAT} " " <a href=PAGE target="_blank" rel="external noopener">
                {LINK}
            </a>
        </p>
    }
}
