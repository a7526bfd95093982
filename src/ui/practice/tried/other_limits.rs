//! Other limits tried in the review of a log. Nothing is changed before they are taken into the draft.

use leptos::prelude::*;

use super::on_log::{OnLog, TriedLog};
use super::trial::Trial;
use crate::domain::plan::limits::Limits;
use crate::domain::words::Id;
use crate::ui::practice::build::rule::{Follows, Rule, Sites, TableFields};
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::text::practice::tried::other_limits as text;

#[component]
pub fn OtherLimits(
    log: TriedLog,
    /// The client into whose draft they can be taken.
    client: Option<Id>,
) -> impl IntoView {
    let caseload = use_caseload();
    // What is in the draft is not lost by taking something else into it.
    let begun_from = client.as_ref().map_or_else(
        || log.history.routine().map(|routine| routine.limits.clone()),
        |client| Some(caseload.draft_now(client).limits),
    );
    let begun_from = begun_from.filter(|_| log.history.routine().is_some())?;
    let show = move || {
        view! { <Trying log=log.clone() begun_from=begun_from.clone() client=client.clone() /> }
            .into_any()
    };
    Some(view! { <Trial title=text::TITLE show=Box::new(show) /> })
}

#[component]
fn Trying(log: TriedLog, begun_from: Limits, client: Option<Id>) -> impl IntoView {
    let caseload = use_caseload();
    let tried = RwSignal::new(begun_from.clone());
    let is_of_a_draft = client.is_some();
    let is_taken = RwSignal::new(false);
    let rule = Rule {
        limits: Memo::new(move |_| tried.get()),
        change: Callback::new(move |limits| {
            is_taken.set(false);
            tried.set(limits);
        }),
    };
    let was = begun_from.clone();
    let is_as_was = Memo::new(move |_| tried.with(|tried| *tried == was));
    let put_aside = move |_| {
        is_taken.set(false);
        tried.set(begun_from.clone());
    };
    let take = client.map(|client| {
        let take = move |_| {
            caseload.change_draft(&client, |draft| draft.limits = tried.get_untracked());
            is_taken.set(true);
        };
        view! {
            <button type="button" class="button main" disabled=move || is_as_was.get() on:click=take>
                {text::TAKE}
            </button>
        }
    });
    view! {
        <div class="stack">
            <p class="small soft">{text::NOTHING_CHANGES}</p>
            <div class="trying">
                <div class="stack">
                    <TableFields rule />
                    <Follows rule />
                    <Sites rule />
                </div>
                <div class="stack">
                    <p class="small" role="status">
                        {move || {
                            if is_taken.get() {
                                text::TAKEN
                            } else if is_as_was.get() {
                                text::as_begun(is_of_a_draft)
                            } else {
                                ""
                            }
                        }}
                    </p>
                    <OnLog log limits=tried />
                </div>
            </div>
            <div class="row">
                {take}
                <button type="button" class="button quiet" on:click=put_aside>
                    {text::PUT_ASIDE}
                </button>
            </div>
        </div>
    }
}
