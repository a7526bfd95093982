//! One exercise of a review, day by day: drawn, and in a table.

use std::sync::Arc;

use leptos::prelude::*;

use super::plot::{Marks, PainPlot};
use crate::domain::log::history::{History, Told};
use crate::domain::plan::limits::Limits;
use crate::domain::visit::following::{Followed, followed};
use crate::domain::visit::review::{DayDone, ExerciseReview, Review, limits_at};
use crate::ui::components::ladder::LadderDrawing;
use crate::ui::components::light::LightMark;
use crate::ui::components::rule_table::RuleTable;
use crate::ui::text::practice::visit::{days as text, summary};
use crate::ui::text::{dates, dose};

/// One exercise, day by day. Its plot is made with the page and is there in the first frame after a tap; the
/// rest is made in the next one, since a phone would long be busy with it.
#[component]
pub fn ExerciseDays(
    exercise: Arc<ExerciseReview>,
    review: Arc<Review>,
    history: Arc<History>,
) -> impl IntoView {
    let is_asked = RwSignal::new(false);
    let open = move |_| {
        if !is_asked.get_untracked() {
            request_animation_frame(move || request_animation_frame(move || is_asked.set(true)));
        }
    };
    let name = exercise.exercise.name.to_string();
    let dose =
        dose::whole(&exercise.now_at.dose(&exercise.exercise.dose, &exercise.exercise.ladder));
    let plot = (!exercise.days.is_empty()).then(|| {
        let (exercise, history) = (exercise.clone(), history.clone());
        view! { <PainPlot exercise review history whole=is_asked /> }
    });
    let rest = move || is_asked.get().then(|| days_and_ladder(&exercise, &history));
    view! {
        <details class="card" on:toggle=open>
            <summary>
                <h3>{name}</h3>
            </summary>
            <div class="stack">
                <p class="small soft num">{dose}</p>
                {plot}
                {rest}
            </div>
        </details>
    }
}

fn days_and_ladder(review: &ExerciseReview, history: &Arc<History>) -> impl IntoView + use<> {
    let id = review.exercise.id.clone();
    let limits = history.course(&id).map(|course| course.limits().clone());
    let marks = Marks::of(review, limits.as_ref());
    let row = {
        let history = history.clone();
        move |day: &DayDone| {
            let came = followed(&history, &id, day.day).map(|(told, came)| (told.clone(), came));
            let last = day.told.last();
            let limits = last.and_then(|told| limits_at(&history, &id, told.at)).cloned();
            let is_last = history.last_day() == Some(day.day);
            view! { <DayRow day=day.clone() limits came sites=marks.said(day) is_last /> }
        }
    };
    let (before, latest) = review.days.split_at(review.days.len().saturating_sub(SHOWN_AT_ONCE));
    let latest = days_table(latest.iter().map(&row).collect_view().into_any());
    let before = (!before.is_empty()).then(|| {
        let days = before.to_vec();
        let table = move || days_table(days.iter().map(&row).collect_view().into_any());
        view! { <DaysBefore count=before.len() table=Box::new(table) /> }
    });
    let days = if review.days.is_empty() {
        view! { <p>{text::NOT_DONE}</p> }.into_any()
    } else {
        view! {
            {before}
            {latest}
        }
        .into_any()
    };
    view! {
        {days}
        <h4>{text::LADDER}</h4>
        <LadderDrawing exercise=review.exercise.clone() here=review.now_at says=text::NOW />
        {review.exercise.limits.clone().map(|limits| view! { <RuleTable limits /> })}
    }
}

/// So many days stand in the table at once: the drawing of a year of rows keeps a phone busy for a while.
const SHOWN_AT_ONCE: usize = 35;

fn days_table(rows: AnyView) -> AnyView {
    view! {
        <table class="num days stacked">
            <thead>
                <tr>
                    <th scope="col">{text::DAY}</th>
                    <th scope="col">{text::SETS}</th>
                    <th scope="col">{summary::RUNG}</th>
                    <th scope="col">{text::AT_REST}</th>
                    <th scope="col">{text::DURING}</th>
                    <th scope="col">{text::NEXT_MORNING}</th>
                    <th scope="col">{text::SAID_AND_WHY}</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
    }
    .into_any()
}

/// The days before those in the table, drawn when they are asked for.
#[component]
fn DaysBefore(count: usize, table: Box<dyn Fn() -> AnyView + Send>) -> impl IntoView {
    let is_asked = RwSignal::new(false);
    view! {
        <details on:toggle=move |_| is_asked.set(true)>
            <summary>{text::days_before(count)}</summary>
            {move || is_asked.get().then(&table)}
        </details>
    }
}

#[component]
fn DayRow(
    day: DayDone,
    /// Those that held when it was told.
    limits: Option<Limits>,
    /// What the client knew when it was done again, and did.
    came: Option<(Told, Followed)>,
    /// The worst at each site, where there are several.
    sites: Option<String>,
    /// Whether nothing was noted after it: its morning is still to come.
    is_last: bool,
) -> impl IntoView {
    let (earlier, last) = match day.told.split_last() {
        Some((last, earlier)) => (earlier, Some(last.clone())),
        None => (&[][..], None),
    };
    let came = came.map(|(told, came)| {
        let is_last = last.as_ref().is_some_and(|last| last.at == told.at);
        view! { <p class="small">{text::came_of_it(&told, came, is_last)}</p> }
    });
    let last = last.map(|told| view! { <ToldLine told limits=limits.clone() /> });
    let earlier = earlier
        .iter()
        .map(|told| view! { <p class="small soft">{text::first_told(told)}</p> })
        .collect_view();
    view! {
        <tr>
            <th scope="row">{dates::short_day(day.day)}</th>
            <td data-label=text::SETS>{text::sets(&day)}</td>
            <td data-label=summary::RUNG>{dose::foothold(day.at)}</td>
            <td data-label=text::AT_REST>{text::at_rest(&day)}</td>
            <td data-label=text::DURING>{sites.unwrap_or_else(|| summary::points(day.worst))}</td>
            <td data-label=text::NEXT_MORNING>{text::next_morning(&day, is_last)}</td>
            <td data-label=text::SAID>{last} {came} {earlier}</td>
        </tr>
    }
}

/// One verdict as it was told, in one line with its reasons.
#[component]
fn ToldLine(told: Told, limits: Option<Limits>) -> impl IntoView {
    view! {
        <p class="told">
            <LightMark light=told.order.light() />
            <span class="small">{text::told(&told, limits.as_ref())}</span>
        </p>
    }
}
