//! A review at a glance: what was done of what was asked, and a line for each exercise.

use leptos::prelude::*;

use super::strip::{Strip, StripLegend};
use crate::domain::visit::readings::ONE_BY_ONE;
use crate::domain::visit::review::{Done, ExerciseReview, Review};
use crate::domain::visit::statistics::{Confidence, wilson};
use crate::ui::text::practice::visit::summary as text;
use crate::ui::text::review as said;

/// Up to so many, a share says little about what comes (common practice, no source).
const SMALL_NUMBER: u32 = 30;

/// What was done of what was asked.
#[component]
pub fn Counts(review: Review) -> impl IntoView {
    let (sessions, mornings) = (review.sessions, review.mornings);
    view! {
        <Figure says=said::of(sessions) what=text::SESSIONS.to_owned() done=sessions />
        <Figure says=said::owed(mornings) what=said::checks(mornings) done=mornings />
    }
}

#[component]
fn Figure(says: String, what: String, done: Done) -> impl IntoView {
    let is_small = (ONE_BY_ONE.into()..=SMALL_NUMBER).contains(&done.prescribed);
    let dots = (1..ONE_BY_ONE.into()).contains(&done.prescribed).then(|| {
        let dots = text::dots(done.done, done.prescribed);
        view! { <span class="dots block" aria-hidden="true">{dots}</span> }
    });
    let interval = wilson(done.done, done.prescribed, Confidence::NinetyFive).filter(|_| is_small);
    let small = interval.map(text::with_so_few);
    view! {
        <p class="figure num">
            <strong>{says}</strong>
            <span class="soft small block">{what}</span>
            {dots}
            {small.map(|small| view! { <span class="soft small block">{small}</span> })}
        </p>
    }
}

#[component]
pub fn Lines(lines: Vec<String>, class: &'static str) -> impl IntoView {
    let items = lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view();
    view! { <ul class=class>{items}</ul> }
}

/// One line for each exercise.
#[component]
pub fn Summary(review: Review) -> impl IntoView {
    let (from, to) = (review.from, review.to);
    let row = |exercise: &ExerciseReview| {
        let beside = text::beside_done(exercise.days_in_part(), exercise.done.left_out);
        let beside = (!beside.is_empty()).then(|| {
            let lines = beside.into_iter().map(|line| view! { <span class="block">{line}</span> });
            view! { <span class="small soft block left-out">{lines.collect_view()}</span> }
        });
        let worst_morning = exercise.worst_morning.and_then(|worst| {
            let is_worse = exercise.typical_morning.is_some_and(|typical| typical < worst.into());
            is_worse.then(|| text::worst_of(worst))
        });
        view! {
            <tr>
                <th scope="row">{exercise.exercise.name.to_string()}</th>
                <td data-label=text::DONE>{said::of(exercise.done)} {beside}</td>
                <td data-label=text::RUNG>{said::rungs_alone(exercise)}</td>
                <td data-label=text::WORST>{text::points(exercise.worst)}</td>
                <td data-label=text::MORNING>
                    {text::half_points(exercise.typical_morning)}
                    {worst_morning.map(|worst| view! { <span class="small soft block">{worst}</span> })}
                </td>
                <td data-label=text::STOPS>{exercise.stops}</td>
                <td class="lights"><Strip exercise=exercise.clone() from to /></td>
            </tr>
        }
    };
    view! {
        <div class="stack">
            <table class="num summary">
                <thead>
                    <tr>
                        <th scope="col">{text::EXERCISE}</th>
                        <th scope="col">{text::DONE}</th>
                        <th scope="col">{text::RUNG}</th>
                        <th scope="col">{text::WORST_DURING}</th>
                        <th scope="col">{text::TYPICAL_NEXT_MORNING}</th>
                        <th scope="col">{text::STOPS}</th>
                        <th scope="col">{text::LIGHTS}</th>
                    </tr>
                </thead>
                <tbody>{review.exercises.iter().map(row).collect_view()}</tbody>
            </table>
            <StripLegend from to />
        </div>
    }
}
