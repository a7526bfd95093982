//! An address that leads nowhere.

use leptos::prelude::*;
use leptos_router::components::A;

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
            foot=Box::new(move || view! { <A href=back attr:class="button main">{to}</A> }.into_any())
        >
            <p>"The address leads nowhere in this app."</p>
        </Screen>
    }
}
