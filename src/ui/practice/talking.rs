//! Talking points of a visit: each can be put aside, and taken up again.

use std::collections::BTreeSet;

use leptos::prelude::*;

use crate::domain::review::Review;
use crate::domain::talking::TalkingPoint;
use crate::ui::text::talking;

/// The ids of the points that were put aside, for as long as the page stays open.
#[derive(Clone, Copy)]
pub struct PutAside(RwSignal<BTreeSet<String>>);

impl PutAside {
    pub fn none() -> Self {
        Self(RwSignal::new(BTreeSet::new()))
    }
}

#[component]
pub fn TalkingPoints(points: Vec<TalkingPoint>, review: Review, aside: PutAside) -> impl IntoView {
    let points: Vec<(TalkingPoint, String)> = points
        .into_iter()
        .map(|point| {
            let name = point.exercise.as_ref().and_then(|id| {
                let of = review.exercises.iter().find(|of| of.exercise.id == *id);
                of.map(|of| of.exercise.name.to_string())
            });
            (point, name.unwrap_or_else(|| "The routine".to_owned()))
        })
        .collect();
    let ids: Vec<String> = points.iter().map(|(point, _)| point.id.clone()).collect();
    let any = !points.is_empty();
    let hidden = move || aside.0.with(|aside| ids.iter().filter(|id| aside.contains(*id)).count());
    let line = |(point, name): (TalkingPoint, String)| {
        let TalkingPoint { id, what, .. } = point.clone();
        let is_aside = {
            let id = id.clone();
            move || aside.0.with(|aside| aside.contains(&id))
        };
        let put_aside = move |_| {
            aside.0.update(|aside| {
                aside.insert(id.clone());
            });
        };
        let label = format!("Put aside: {name}");
        view! {
            <li class="point" hidden=is_aside>
                <p>
                    <strong>{name}</strong>
                    ": "
                    {talking::sentence(&what)}
                </p>
                <details>
                    <summary class="small">"Why this is here"</summary>
                    <p class="small soft">{talking::rule(&what)} ". Source: " {talking::source(point.source())} "."</p>
                </details>
                <button type="button" class="link small unprinted" aria-label=label on:click=put_aside>
                    "Put aside"
                </button>
            </li>
        }
    };
    let lines = points.into_iter().map(line).collect_view();
    any.then(move || {
        view! {
            <div class="stack">
                <h3>"To talk about"</h3>
                <ul class="bare points">{lines}</ul>
                {move || {
                    let hidden = hidden();
                    (0 < hidden)
                        .then(|| {
                            view! {
                                <button
                                    type="button"
                                    class="link small unprinted"
                                    on:click=move |_| aside.0.update(BTreeSet::clear)
                                >
                                    {format!("Show what was put aside ({hidden})")}
                                </button>
                            }
                        })
                }}
            </div>
        }
    })
}
