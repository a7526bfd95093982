//! The way to ring the practitioner, where a number was given.

use leptos::prelude::*;

use crate::ui::live_log::use_log;
use crate::ui::text::components::ring as text;
use crate::ui::text::who;

/// "Ring Sam: 01632 960 123"; nothing where the routine has no number.
#[component]
pub fn RingLine() -> impl IntoView {
    let history = use_log().history_untracked();
    let number = history.routine().and_then(|routine| routine.phone.clone());
    number.map(|number| {
        view! {
            <p>
                <a href=number.uri() rel="external">{text::ring(&who(&history), &number)}</a>
            </p>
        }
    })
}
