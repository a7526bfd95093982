//! A strip of shapes, one a day: the light that was told, a miss, a day that the rule left out.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};
use leptos::prelude::*;

use crate::domain::plan::limits::Light;
use crate::domain::visit::review::ExerciseReview;
use crate::ui::text::practice::visit::strip as text;
use crate::ui::text::verdict;

/// The last so many days of a longer period.
const MOST: u64 = 35;

/// The first day that is shown of a period.
pub fn first_shown(from: NaiveDate, to: NaiveDate) -> NaiveDate {
    to.checked_sub_days(Days::new(MOST - 1)).map_or(from, |first| first.max(from))
}

/// What a day was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    Told(Light),
    /// Done, and no light was told.
    Done,
    Missed,
    LeftOut,
    Nothing,
}

fn mark(exercise: &ExerciseReview, day: NaiveDate) -> Mark {
    if let Some(light) = exercise.lights.get(&day) {
        Mark::Told(*light)
    } else if exercise.days.binary_search_by_key(&day, |done| done.day).is_ok() {
        Mark::Done
    } else if exercise.missed.contains(&day) {
        Mark::Missed
    } else if exercise.left_out.contains(&day) {
        Mark::LeftOut
    } else {
        Mark::Nothing
    }
}

fn words(mark: Mark) -> Option<&'static str> {
    match mark {
        Mark::Told(light) => Some(verdict::light(light)),
        Mark::Done => Some(text::DONE),
        Mark::Missed => Some(text::MISSED),
        Mark::LeftOut => Some(text::LEFT_OUT),
        Mark::Nothing => None,
    }
}

#[component]
pub fn Strip(exercise: ExerciseReview, from: NaiveDate, to: NaiveDate) -> impl IntoView {
    let first = first_shown(from, to);
    let days = first.iter_days().take_while(|day| *day <= to);
    view! { <Marks days=days.map(|day| (day, mark(&exercise, day))).collect() /> }
}

/// Days with their marks, oldest first; nothing is drawn after the last one that has a mark.
#[component]
pub fn Marks(mut days: Vec<(NaiveDate, Mark)>) -> impl IntoView {
    while days.last().is_some_and(|(_, mark)| *mark == Mark::Nothing) {
        days.pop();
    }
    let spoken: Vec<String> =
        days.iter().filter_map(|(day, mark)| Some(text::on_day(*day, words(*mark)?))).collect();
    let weeks = days.chunk_by(|one, next| one.0.iso_week() == next.0.iso_week()).map(|week| {
        let marks: Vec<Mark> = week.iter().map(|(_, mark)| *mark).collect();
        drawn(&marks)
    });
    view! {
        <span class="strip" aria-hidden="true">{weeks.collect_view()}</span>
        <span class="unseen">{text::on_all_days(&spoken)}</span>
    }
}

/// How a mark is drawn in a square of 24: its class, where its line begins, and how it goes on from there.
const fn line(mark: Mark) -> (&'static str, f64, f64, &'static str) {
    match mark {
        Mark::Told(Light::Keep) => ("keep", 3.0, 12.0, "a9 9 0 1 0 18 0a9 9 0 1 0 -18 0z"),
        Mark::Told(Light::Ease) => ("ease", 12.0, 2.5, "l10.5 18.5h-21z"),
        Mark::Told(Light::Hold) => ("hold", 3.0, 3.0, "h18v18h-18zm4 7.4v3.2h10v-3.2z"),
        Mark::Done => ("open", 12.0, 7.0, "a5 5 0 1 0 .1 0z"),
        Mark::Missed => ("open", 5.0, 5.0, "l14 14m0 -14l-14 14"),
        Mark::LeftOut => ("open out", 4.0, 4.0, "h16v16h-16zm4 8h8"),
        Mark::Nothing => ("open", 10.0, 12.0, "h4"),
    }
}

/// Marks beside each other in one picture, all of one class as a single line: an element for each would make
/// every frame of the page slower.
fn drawn(marks: &[Mark]) -> AnyView {
    const APART: f64 = 27.0;
    let mut lines: BTreeMap<&'static str, Vec<String>> = BTreeMap::new();
    let mut width = 0.0;
    for mark in marks {
        let (class, x, y, on) = line(*mark);
        lines.entry(class).or_default().push(format!("M{} {y}{on}", width + x));
        width += APART;
    }
    let lines =
        lines.into_iter().map(|(class, line)| view! { <path class=class d=line.concat() /> });
    view! {
        <svg class="strip-week" viewBox=format!("0 0 {} 24", width - 3.0) aria-hidden="true">
            {lines.collect_view()}
        </svg>
    }
    .into_any()
}

/// What the shapes mean, and from which day on they stand.
#[component]
pub fn StripLegend(from: NaiveDate, to: NaiveDate) -> impl IntoView {
    let marks = [
        Mark::Told(Light::Keep),
        Mark::Told(Light::Ease),
        Mark::Told(Light::Hold),
        Mark::Missed,
        Mark::LeftOut,
    ];
    let signs = marks.map(|mark| {
        view! {
            <li>
                {drawn(&[mark])}
                {words(mark)}
            </li>
        }
    });
    let first = first_shown(from, to);
    let since = (from < first).then(|| view! { <li>{text::from_on(first)}</li> });
    view! {
        <ul class="bare legend strip-legend soft">
            {signs.collect_view()}
            {since}
        </ul>
    }
}
