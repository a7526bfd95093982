//! An address that leads nowhere.

use leptos::prelude::*;

use super::screen::Screen;
use crate::ui::text::components::nowhere as text;

#[component]
pub fn Nowhere(
    /// Where the way out leads.
    back: &'static str,
    to: &'static str,
) -> impl IntoView {
    view! {
        <Screen
            title=text::TITLE
            foot=Box::new(move || view! { <a href=back class="button main">{to}</a> }.into_any())
        >
            <p>{text::LEADS_NOWHERE}</p>
        </Screen>
    }
}
