//! A strip of shapes, one a day: the light that was told, a miss, a day that the rule left out.

use chrono::{Datelike, Days, NaiveDate};
use leptos::prelude::*;

use crate::domain::review::ExerciseReview;
use crate::domain::rule::Light;
use crate::ui::components::light::LightShape;
use crate::ui::text::{dates, verdict};

/// The last so many days of a longer period.
const MOST: u64 = 35;

/// The first day that is shown of a period.
fn first_shown(from: NaiveDate, to: NaiveDate) -> NaiveDate {
    to.checked_sub_days(Days::new(MOST - 1)).map_or(from, |first| first.max(from))
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    Told(Light),
    /// Done, and no light was told.
    Done,
    Missed,
    LeftOut,
    Nothing,
}

fn mark(exercise: &ExerciseReview, day: NaiveDate) -> Mark {
    match exercise.days.iter().find(|done| done.day == day) {
        Some(done) => done.told.last().map_or(Mark::Done, |told| Mark::Told(told.order.light())),
        None if exercise.missed.contains(&day) => Mark::Missed,
        None if exercise.left_out.contains(&day) => Mark::LeftOut,
        None => Mark::Nothing,
    }
}

fn words(mark: Mark) -> Option<&'static str> {
    match mark {
        Mark::Told(light) => Some(verdict::light(light)),
        Mark::Done => Some("done"),
        Mark::Missed => Some("missed"),
        Mark::LeftOut => Some("left out by the rule"),
        Mark::Nothing => None,
    }
}

#[component]
pub fn Strip(exercise: ExerciseReview, from: NaiveDate, to: NaiveDate) -> impl IntoView {
    let first = first_shown(from, to);
    let mut days: Vec<(NaiveDate, Mark)> = first
        .iter_days()
        .take_while(|day| *day <= to)
        .map(|day| (day, mark(&exercise, day)))
        .collect();
    while days.last().is_some_and(|(_, mark)| *mark == Mark::Nothing) {
        days.pop();
    }
    let spoken: Vec<String> = days
        .iter()
        .filter_map(|(day, mark)| Some(format!("{}: {}", dates::short_day(*day), words(*mark)?)))
        .collect();
    let weeks = days.chunk_by(|one, next| one.0.iso_week() == next.0.iso_week()).map(|week| {
        let marks = week.iter().map(|(day, mark)| {
            let title = words(*mark).map(|words| format!("{}: {words}", dates::short_day(*day)));
            view! { <span class=class(*mark) title=title>{shape(*mark)}</span> }
        });
        view! { <span class="strip-week">{marks.collect_view()}</span> }
    });
    view! {
        <span class="strip" aria-hidden="true">{weeks.collect_view()}</span>
        <span class="unseen">{spoken.join(". ")} "."</span>
    }
}

const fn class(mark: Mark) -> &'static str {
    match mark {
        Mark::Told(Light::Keep) => "strip-day keep",
        Mark::Told(Light::Ease) => "strip-day ease",
        Mark::Told(Light::Hold) => "strip-day hold",
        Mark::LeftOut => "strip-day out",
        Mark::Done | Mark::Missed | Mark::Nothing => "strip-day",
    }
}

fn shape(mark: Mark) -> AnyView {
    let path = match mark {
        Mark::Told(light) => return view! { <LightShape light /> }.into_any(),
        Mark::Done => "M12 7a5 5 0 1 0 .1 0z",
        Mark::Missed => "M5 5l14 14m0 -14l-14 14",
        Mark::LeftOut => "M4 4h16v16h-16zm4 8h8",
        Mark::Nothing => "M10 12h4",
    };
    view! {
        <svg class="shape drawn" viewBox="0 0 24 24">
            <path d=path />
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
                <span class=class(mark) aria-hidden="true">{shape(mark)}</span>
                {words(mark)}
            </li>
        }
    });
    let first = first_shown(from, to);
    let since =
        (from < first).then(|| view! { <li>{format!("from {} on", dates::short_day(first))}</li> });
    view! {
        <ul class="bare legend strip-legend soft">
            {signs.collect_view()}
            {since}
        </ul>
    }
}
