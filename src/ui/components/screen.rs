//! The frame of a screen: one thought above, the one next thing to do below, in reach of the thumb.

use leptos::prelude::*;

use super::saved::UnsavedNotice;
use crate::platform::screen;

/// A client's screen. `foot` stays in sight.
#[component]
pub fn Screen(
    #[prop(into)] title: String,
    /// A line above the title.
    #[prop(optional, into)]
    above: String,
    children: Children,
    #[prop(optional)] foot: Option<Children>,
) -> impl IntoView {
    screen::to_top();
    view! {
        <main class="screen">
            <div class="screen-body">
                <header>
                    <p class="soft small">{above}</p>
                    <h1>{title}</h1>
                </header>
                <UnsavedNotice />
                {children()}
            </div>
            {foot.map(|foot| view! { <div class="screen-foot">{foot()}</div> })}
        </main>
    }
}
