//! What was kept on this device is not there any more.

use leptos::prelude::*;

use crate::ui::loss_watch::{LossWatch, Missing};
use crate::ui::text::components::gone as text;

/// Says so, with the way to a copy.
#[component]
pub fn GoneNotice(
    /// What it was: "log", or "caseload".
    what: &'static str,
    /// The way to a copy.
    children: ChildrenFn,
) -> impl IntoView {
    let loss_watch: LossWatch = expect_context();
    move || {
        loss_watch.missing().map(|(missing, since)| {
            let (title, says, go_on) = match missing {
                Missing::All => {
                    (text::all_is_gone(what), text::has_nothing(since), text::BEGIN_ANEW)
                }
                Missing::Part => {
                    (text::a_part_is_gone(what), text::has_less(since), text::GO_ON_WITHOUT)
                }
            };
            view! {
                <section class="card hold-card stack" role="alert">
                    <h2>{title}</h2>
                    <p>
                        {says} " " {text::WHY}
                    </p>
                    {children()}
                    <button type="button" class="button quiet" on:click=move |_| loss_watch.go_on()>
                        {go_on}
                    </button>
                </section>
            }
        })
    }
}
