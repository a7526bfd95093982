//! The frame of a screen: one thought above, the one next thing to do below, in reach of the thumb.

use leptos::html::Main;
use leptos::prelude::*;

use super::saved::UnsavedNotice;
use crate::platform::{focus, preview};
use crate::ui::text::components::screen as text;

/// Where the foot of a screen stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Footing {
    /// Always in sight.
    #[default]
    InSight,
    /// After the rest of the screen, so that nothing is hidden behind it.
    Follows,
}

/// The id of a screen's title, which is its name for those who hear it.
pub const TITLE: &str = "title";

/// The frame of a screen that is about to stand on the page, and has the focus once it does.
pub fn use_frame() -> NodeRef<Main> {
    let frame = NodeRef::new();
    frame.on_load(|frame| focus::begin(&frame));
    frame
}

/// A client's screen.
#[component]
pub fn Screen(
    #[prop(into)] title: String,
    /// A line above the title.
    #[prop(optional, into)]
    above: String,
    children: Children,
    #[prop(optional)] foot: Option<Children>,
    /// Whether the foot stays in sight, or follows what must be read first.
    #[prop(optional)]
    footing: Footing,
    /// Whether what is read together stands side by side where there is room.
    #[prop(optional)]
    columns: bool,
    /// Whether a preview is named in brief: for a screen on which the room is needed.
    #[prop(optional)]
    is_full: bool,
) -> impl IntoView {
    let frame = use_frame();
    view! {
        <main class="screen" class:in-columns=columns node_ref=frame tabindex="-1" aria-labelledby=TITLE>
            <div class="screen-body">
                <header>
                    <p class="soft small">{above}</p>
                    <h1 id=TITLE>{title}</h1>
                </header>
                <PreviewNotice is_brief=is_full />
                <UnsavedNotice />
                {children()}
            </div>
            {foot.map(|foot| view! { <div class="screen-foot" class:follows=footing == Footing::Follows>{foot()}</div> })}
        </main>
    }
}

/// Says on every screen of a preview that it is one, with the way back.
#[component]
pub fn PreviewNotice(
    /// Where there is little room for it.
    #[prop(optional)]
    is_brief: bool,
) -> impl IntoView {
    let (says, to, back) = match (preview::is_demo(), is_brief) {
        (true, false) => (text::DEMO, "./", text::LEAVE_DEMO),
        (true, true) => (text::DEMO_IN_BRIEF, "./", text::LEAVE_DEMO),
        (false, false) => (text::TRY_OUT, "practice/", text::BACK_TO_CASELOAD),
        (false, true) => (text::TRY_OUT_IN_BRIEF, "practice/", text::BACK_TO_CASELOAD),
    };
    preview::is_on().then(|| {
        view! {
            <p class="preview small">
                {says} " "
                <a href=to rel="external" on:click=move |_| preview::end()>{back}</a>
            </p>
        }
    })
}
