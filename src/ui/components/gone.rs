//! What was kept on this device is not there any more.

use leptos::prelude::*;

use crate::ui::text::dates;
use crate::ui::trace::Trace;

/// Says so, with the way to a copy.
#[component]
pub fn GoneNotice(
    /// What it was: "log", or "caseload".
    what: &'static str,
    /// The way to a copy.
    children: ChildrenFn,
) -> impl IntoView {
    let trace: Trace = expect_context();
    move || {
        trace.gone().map(|since| {
            view! {
                <section class="card hold-card stack" role="alert">
                    <h2>{format!("Your {what} is not here any more")}</h2>
                    <p>
                        {format!("This browser kept it since {}, and has nothing of it now.", dates::day(since))}
                        " That happens when its data is cleared, and when it finds its own storage damaged. Only a copy brings it back."
                    </p>
                    {children()}
                    <button type="button" class="button quiet" on:click=move |_| trace.forget()>
                        "Begin anew"
                    </button>
                </section>
            }
        })
    }
}
