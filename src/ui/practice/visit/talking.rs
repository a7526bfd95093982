//! Talking points of a visit: each can be put aside until the visit is closed, and brought back.

use std::collections::BTreeSet;

use leptos::prelude::*;

use crate::domain::visit::review::Review;
use crate::domain::visit::talking::{TalkingPoint, Urgency};
use crate::domain::words::Id;
use crate::platform::focus;
use crate::ui::practice::live_caseload::LiveCaseload;
use crate::ui::text::practice::visit::talking as text;
use crate::ui::text::talking;

/// So many things are read at a glance; lighter points beyond them wait behind a line.
const AT_A_GLANCE: usize = 3;
/// The id of the title above them.
const TITLE: &str = "to-talk-about";

/// The ids of the points that were put aside.
#[derive(Clone, Copy)]
pub struct PutAside {
    pub ids: Signal<BTreeSet<String>>,
    set: Callback<BTreeSet<String>>,
}

impl PutAside {
    /// For as long as the page stays open: the log belongs to nobody here.
    pub fn in_passing() -> Self {
        let ids = RwSignal::new(BTreeSet::new());
        Self { ids: ids.into(), set: Callback::new(move |all| ids.set(all)) }
    }

    /// Kept with the client, until the visit is closed.
    pub fn at_visit(caseload: LiveCaseload, client: Id) -> Self {
        let of = client.clone();
        let ids = Memo::new(move |_| caseload.visit(&of).put_aside);
        let set =
            Callback::new(move |all| caseload.change_visit(&client, |visit| visit.put_aside = all));
        Self { ids: ids.into(), set }
    }

    fn turn(self, id: &str) {
        let mut ids = self.ids.get_untracked();
        if !ids.remove(id) {
            ids.insert(id.to_owned());
        }
        self.set.run(ids);
    }
}

/// What a point is about: an exercise by its name, or the routine.
pub fn about(point: &TalkingPoint, review: &Review) -> String {
    let name = point.exercise.as_ref().and_then(|id| {
        let of = review.exercises.iter().find(|of| of.exercise.id == *id)?;
        Some(of.exercise.name.to_string())
    });
    name.unwrap_or_else(|| text::THE_ROUTINE.to_owned())
}

#[component]
pub fn TalkingPoints(points: Vec<TalkingPoint>, review: Review, aside: PutAside) -> impl IntoView {
    // What may harm is never folded away.
    let heavy = points.iter().filter(|point| point.what.urgency() == Urgency::MayHarm);
    let heavy: BTreeSet<String> = heavy.map(|point| point.id.clone()).collect();
    let points: Vec<(TalkingPoint, String)> = points
        .into_iter()
        .map(|point| {
            let about = about(&point, &review);
            (point, about)
        })
        .collect();
    let lists = move || {
        let ids = aside.ids.get();
        let (away, standing): (Vec<_>, Vec<_>) =
            points.iter().cloned().partition(|(point, _)| ids.contains(&point.id));
        let list = |points: &[(TalkingPoint, String)]| {
            let lines =
                points.iter().cloned().map(|(point, name)| view! { <Point point name aside /> });
            view! { <ul class="bare points">{lines.collect_view()}</ul> }
        };
        let weighs = standing.iter().filter(|(point, _)| heavy.contains(&point.id)).count();
        let (first, rest) = standing.split_at(standing.len().min(AT_A_GLANCE.max(weighs)));
        let rest = (!rest.is_empty()).then(|| {
            view! {
                <details class="unprinted">
                    <summary class="small">{text::more(rest.len())}</summary>
                    {list(rest)}
                </details>
            }
        });
        let away = (!away.is_empty()).then(|| {
            view! {
                <details class="unprinted">
                    <summary class="small">{text::are_put_aside(away.len())}</summary>
                    {list(&away)}
                </details>
            }
        });
        view! { {list(first)} {rest} {away} }
    };
    view! {
        <div class="stack">
            <h3 id=TITLE tabindex="-1">{text::TO_TALK_ABOUT}</h3>
            {lists}
        </div>
    }
}

#[component]
fn Point(point: TalkingPoint, name: String, aside: PutAside) -> impl IntoView {
    let TalkingPoint { id, what, .. } = point.clone();
    let of = id.clone();
    let word = move || {
        if aside.ids.with(|ids| ids.contains(&of)) { text::BRING_BACK } else { text::PUT_ASIDE }
    };
    let label = {
        let word = word.clone();
        let name = name.clone();
        move || text::does_with(word(), &name)
    };
    let turn = move |_| {
        aside.turn(&id);
        focus::go_to([TITLE.to_owned()]);
    };
    view! {
        <li class="point">
            <p>
                <strong>{name}</strong>
                ": "
                {talking::sentence(&what)}
            </p>
            <div class="point-foot">
                <details>
                    <summary class="small">{text::WHY_IT_IS_HERE}</summary>
                    <p class="small soft">{text::why(&what, point.source())}</p>
                </details>
                <button type="button" class="link small unprinted" aria-label=label on:click=turn>
                    {word}
                </button>
            </div>
        </li>
    }
}
