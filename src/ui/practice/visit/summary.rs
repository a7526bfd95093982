//! A review at a glance: what was done of what was asked, and a line for each exercise.

use leptos::prelude::*;

use super::strip::{Strip, StripLegend};
use crate::domain::log::history::History;
use crate::domain::visit::review::{Done, ExerciseReview, Review};
use crate::domain::visit::statistics::{Confidence, wilson};
use crate::ui::text::{dates, review as said, trend, verdict};

/// Up to so many, a share says little about what comes (common practice, no source).
const SMALL_NUMBER: u32 = 30;

/// The routine and the period, on a line.
pub fn about(review: &Review, history: &History) -> String {
    let routine = history
        .routine()
        .map(|routine| format!("{}, version {}. ", routine.title, routine.version.get()))
        .unwrap_or_default();
    format!("{routine}{} to {}.", dates::day(review.from), dates::day(review.to))
}

/// What was done of what was asked.
#[component]
pub fn Counts(review: Review) -> impl IntoView {
    let (sessions, mornings) = (review.sessions, review.mornings);
    view! {
        <Figure says=said::of(sessions) what="Sessions".to_owned() done=sessions />
        <Figure says=said::owed(mornings) what=said::checks(mornings) done=mornings />
    }
}

#[component]
fn Figure(says: String, what: String, done: Done) -> impl IntoView {
    let is_small = done.prescribed <= SMALL_NUMBER;
    let interval = wilson(done.done, done.prescribed, Confidence::NinetyFive).filter(|_| is_small);
    let small = interval.map(|interval| format!("with so few, likely {}", trend::share(interval)));
    view! {
        <p class="figure num">
            <strong>{says}</strong>
            <span class="soft small block">{what}</span>
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
        let left_out = match exercise.done.left_out {
            0 => None,
            days => Some(
                view! { <span class="small soft block left-out">{format!("{days} left out")}</span> },
            ),
        };
        view! {
            <tr>
                <th scope="row">{exercise.exercise.name.to_string()}</th>
                <td data-label="Done">{said::of(exercise.done)} {left_out}</td>
                <td data-label="Rung">{said::rungs_alone(exercise)}</td>
                <td data-label="Worst">{points(exercise.worst)}</td>
                <td data-label="Morning">
                    {exercise.typical_morning.map_or("–".to_owned(), verdict::half_points)}
                </td>
                <td data-label="Stops">{exercise.stops}</td>
                <td class="lights"><Strip exercise=exercise.clone() from to /></td>
            </tr>
        }
    };
    view! {
        <div class="stack">
            <table class="num summary">
                <thead>
                    <tr>
                        <th scope="col">"Exercise"</th>
                        <th scope="col">"Done"</th>
                        <th scope="col">"Rung"</th>
                        <th scope="col">"Worst during"</th>
                        <th scope="col">"Typical next morning"</th>
                        <th scope="col">"Stops"</th>
                        <th scope="col">"Lights"</th>
                    </tr>
                </thead>
                <tbody>{review.exercises.iter().map(row).collect_view()}</tbody>
            </table>
            <StripLegend from to />
        </div>
    }
}

pub fn points(rating: Option<crate::domain::pain::PainRating>) -> String {
    rating.map_or("–".to_owned(), |rating| rating.points().to_string())
}
