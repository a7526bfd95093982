//! An address that leads nowhere.

use leptos::prelude::*;

use super::screen::Screen;

#[component]
pub fn Nowhere(
    /// Where the way out leads.
    back: &'static str,
    to: &'static str,
) -> impl IntoView {
    view! {
        <Screen
            title="There is no such page"
            foot=Box::new(move || view! { <a href=back class="button main">{to}</a> }.into_any())
        >
            <p>"The address leads nowhere in this app."</p>
        </Screen>
    }
}
