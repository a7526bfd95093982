//! What was kept on this device is not there any more.

use leptos::prelude::*;

use crate::ui::text::dates;
use crate::ui::trace::{Missing, Trace};

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
        trace.missing().map(|(missing, since)| {
            let since = dates::day(since);
            let (title, says, go_on) = match missing {
                Missing::All => (
                    format!("Your {what} is not here any more"),
                    format!("This browser kept it since {since}, and has nothing of it now."),
                    "Begin anew",
                ),
                Missing::Part => (
                    format!("A part of your {what} is not here any more"),
                    format!("This browser kept it since {since}, and has less of it now than it had."),
                    "Go on without it",
                ),
            };
            view! {
                <section class="card hold-card stack" role="alert">
                    <h2>{title}</h2>
                    <p>
                        {says}
                        " That happens when its data is cleared, and when it finds its own storage damaged. Only a copy brings it back."
                    </p>
                    {children()}
                    <button type="button" class="button quiet" on:click=move |_| trace.go_on()>
                        {go_on}
                    </button>
                </section>
            }
        })
    }
}
