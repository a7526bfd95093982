//! The visit review: what needs a decision first, then the week on one page, then every day with its reason.

use chrono::NaiveDate;
use leptos::prelude::*;

use super::bench::OpenLog;
use super::plot::PainPlot;
use super::talking::{PutAside, TalkingPoints};
use crate::domain::course::Availability;
use crate::domain::event::WorkedToday;
use crate::domain::history::{History, Told};
use crate::domain::review::{DayDone, Done, ExerciseReview, Review};
use crate::domain::rule::{Light, Limits, Swelling};
use crate::domain::statistics::{Confidence, wilson};
use crate::domain::talking::talking_points;
use crate::ui::components::ladder::LadderDrawing;
use crate::ui::components::light::{LightMark, LightShape};
use crate::ui::components::other_formats::OtherFormats;
use crate::ui::components::rule_table::RuleTable;
use crate::ui::text::{dates, dose, trend, verdict, warning};

/// Up to so many, a share says little about what comes (common practice, no source).
const SMALL_NUMBER: u32 = 30;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Period {
    SinceLastVisit,
    WholeLog,
}

#[component]
pub fn VisitReview(log: OpenLog) -> impl IntoView {
    let period = RwSignal::new(Period::SinceLastVisit);
    let label = log.label();
    let history = StoredValue::new_local(log.history);
    let records = StoredValue::new_local(log.records);
    let aside = PutAside::none();
    let page = move || {
        history.with_value(|history| {
            let from = match period.get() {
                Period::SinceLastVisit => Review::since_last_visit(history),
                Period::WholeLog => history.accepted.first().map(|accepted| accepted.at.date_naive()),
            };
            let review = from.and_then(|from| Review::of(history, from));
            match review {
                Some(review) => view! { <ReviewPage review history=history.clone() aside /> }.into_any(),
                None => view! {
                    <p class="problem">"This log has no routine in it, so there is nothing to hold it against."</p>
                }
                .into_any(),
            }
        })
    };
    let choice = move |(value, words): (Period, &'static str)| {
        view! {
            <button
                type="button"
                class="chip"
                aria-pressed=move || (period.get() == value).to_string()
                on:click=move |_| period.set(value)
            >
                {words}
            </button>
        }
    };
    view! {
        <article class="review stack">
            <h2 class="review-title">{label}</h2>
            <div class="chips unprinted" role="group" aria-label="Period">
                {[(Period::SinceLastVisit, "Since the last visit"), (Period::WholeLog, "The whole log")].map(choice)}
            </div>
            {page}
            <OtherFormats records=Callback::new(move |()| records.get_value()) whose="the client's sessions" />
        </article>
    }
}

#[component]
fn ReviewPage(review: Review, history: History, aside: PutAside) -> impl IntoView {
    let from = review.from;
    let routine = history
        .routine()
        .map(|routine| format!("{}, version {}", routine.title, routine.version.get()));
    let period = format!("{} to {}", dates::day(review.from), dates::day(review.to));
    let days = review
        .exercises
        .iter()
        .map(|exercise| view! { <ExerciseDays exercise=exercise.clone() review=review.clone() history=history.clone() /> });
    let days = days.collect_view();
    view! {
        <p class="soft">{routine} ". " {period} "."</p>
        <Decisions review=review.clone() history=history.clone() aside />
        <section class="figures">
            <Figure what="Sessions" done=review.sessions />
            <Figure what="Morning checks" done=review.mornings />
        </section>
        <Summary review=review.clone() />
        <p class="small soft">
            "Diaries tend to say more than was done: in one study they had 220 exercises where a hidden sensor counted 176 (Nicolson 2018). Read the numbers with the client."
        </p>
        <Notes history=history.clone() from />
        <h2>"Day by day"</h2>
        {days}
    }
}

/// "6 of 7", "none prescribed": nought of nought is not a share.
fn of(done: Done) -> String {
    let extra = if done.extra == 0 { String::new() } else { format!(", {} extra", done.extra) };
    match done.prescribed {
        0 => format!("none prescribed{extra}"),
        prescribed => format!("{} of {prescribed}{extra}", done.done),
    }
}

#[component]
fn Figure(what: &'static str, done: Done) -> impl IntoView {
    let is_small = done.prescribed <= SMALL_NUMBER;
    let interval = wilson(done.done, done.prescribed, Confidence::NinetyFive).filter(|_| is_small);
    let small = interval.map(|interval| format!("with so few, likely {}", trend::share(interval)));
    view! {
        <p class="figure num">
            <strong>{of(done)}</strong>
            <span class="soft small block">{what}</span>
            {small.map(|small| view! { <span class="soft small block">{small}</span> })}
        </p>
    }
}

/// What needs a decision comes first.
#[component]
fn Decisions(review: Review, history: History, aside: PutAside) -> impl IntoView {
    let mut first: Vec<String> = Vec::new();
    let mut lines: Vec<String> = Vec::new();
    for (at, signs) in history.warnings.iter().filter(|(at, _)| review.from <= at.date_naive()) {
        let signs: Vec<&str> = signs.iter().map(|&sign| warning::ask(sign)).collect();
        first.push(format!(
            "Warning sign on {}: {}.",
            dates::short_day(at.date_naive()),
            signs.join("; ")
        ));
    }
    for at in history.told_to_go_on.iter().filter(|at| review.from <= at.date_naive()) {
        first.push(format!(
            "The client noted on {} that someone qualified said to go on.",
            dates::short_day(at.date_naive())
        ));
    }
    for exercise in &review.exercises {
        let name = &exercise.exercise.name;
        if let Some(stop) = exercise.stop() {
            first.push(format!("{name}: {}", verdict::waits_for_you(stop)));
        }
        if let Availability::Held { back_on } = exercise.availability {
            lines.push(format!(
                "{name}: on Hold, back {} at the earliest.",
                dates::when(back_on, review.to)
            ));
        }
        let held: Vec<String> = exercise
            .days
            .iter()
            .filter(|day| day.told.last().is_some_and(|told| told.order.light() == Light::Hold))
            .map(|day| dates::short_day(day.day))
            .collect();
        if !held.is_empty() {
            lines.push(format!("{name}: Hold after {}.", dose::list(&held)));
        }
        if 0 < exercise.stops {
            lines.push(format!(
                "{name}: {} because of pain.",
                dose::count(exercise.stops, "set") + " stopped"
            ));
        }
    }
    let points = talking_points(&history, &review);
    let none = first.is_empty() && lines.is_empty() && points.is_empty();
    let list = |lines: Vec<String>| {
        let items = lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view();
        view! { <ul class="plain-list">{items}</ul> }
    };
    let first = (!first.is_empty()).then(|| list(first));
    let lines = (!lines.is_empty()).then(|| {
        view! {
            <h3>"What happened"</h3>
            {list(lines)}
        }
    });
    view! {
        <section class="card stack" class:hold-card=!none>
            <h2>"To decide"</h2>
            {none.then(|| view! { <p>"Nothing asks for a decision."</p> })}
            {first}
            <TalkingPoints points review aside />
            {lines}
        </section>
    }
}

#[component]
fn Summary(review: Review) -> impl IntoView {
    let row = |exercise: &ExerciseReview| {
        let rungs = if exercise.started_at == exercise.now_at {
            dose::foothold(exercise.now_at)
        } else {
            format!("{} → {}", dose::foothold(exercise.started_at), dose::foothold(exercise.now_at))
        };
        let (this_week, last_week) = exercise.weekly_mornings;
        let weeks = match (this_week, last_week) {
            (Some(this), Some(last)) => {
                format!(
                    " (this week {}, last {})",
                    verdict::half_points(this),
                    verdict::half_points(last)
                )
            }
            (Some(_) | None, Some(_) | None) => String::new(),
        };
        let left_out = match exercise.done.left_out {
            0 => String::new(),
            days => format!(
                ", {} left out by the rule",
                dose::count(u16::try_from(days).unwrap_or(u16::MAX), "day")
            ),
        };
        let strip = exercise.days.iter().map(|day| view! { <StripDay day=day.clone() /> });
        view! {
            <tr>
                <th scope="row">{exercise.exercise.name.to_string()}</th>
                <td data-label="Done">{of(exercise.done)} {left_out}</td>
                <td data-label="Rung">{rungs}</td>
                <td data-label="Worst during">{points(exercise.worst)}</td>
                <td data-label="Usual next morning">
                    {exercise.typical_morning.map_or("–".to_owned(), verdict::half_points)} {weeks}
                </td>
                <td data-label="Stops">{exercise.stops}</td>
                <td data-label="Lights"><span class="strip">{strip.collect_view()}</span></td>
            </tr>
        }
    };
    view! {
        <table class="num summary stacked">
                <thead>
                    <tr>
                        <th scope="col">"Exercise"</th>
                        <th scope="col">"Done"</th>
                        <th scope="col">"Rung"</th>
                        <th scope="col">"Worst during"</th>
                        <th scope="col">"Usual next morning"</th>
                        <th scope="col">"Stops"</th>
                        <th scope="col">"Lights"</th>
                    </tr>
                </thead>
            <tbody>{review.exercises.iter().map(row).collect_view()}</tbody>
        </table>
    }
}

fn points(rating: Option<crate::domain::pain::PainRating>) -> String {
    rating.map_or("–".to_owned(), |rating| rating.points().to_string())
}

/// One day of the strip of lights.
#[component]
fn StripDay(day: DayDone) -> impl IntoView {
    let date = dates::short_day(day.day);
    match day.told.last() {
        Some(told) => {
            let light = told.order.light();
            let title = format!("{date}: {}", verdict::light(light));
            let words = title.clone();
            view! {
                <span class=format!("strip-day {}", verdict::light(light).to_lowercase()) title=title>
                    <LightShape light />
                    <span class="unseen">{words} ". "</span>
                </span>
            }
            .into_any()
        }
        None => view! { <span class="strip-day" title=date>"·"</span> }.into_any(),
    }
}

#[component]
fn Notes(history: History, from: NaiveDate) -> impl IntoView {
    let notes: Vec<_> =
        history.notes.iter().filter(|note| from <= note.at.date_naive()).cloned().collect();
    let lines = notes.iter().map(|note| {
        view! {
            <li>
                <span class="soft small">{dates::short_day(note.at.date_naive())} ", " {dates::time(note.at)}</span>
                <span class="block note">{note.text.to_string()}</span>
            </li>
        }
    });
    view! {
        <section class="stack">
            <h2>"Notes and questions"</h2>
            {notes.is_empty().then(|| view! { <p class="soft">"None in this period."</p> })}
            <ul class="plain-list">{lines.collect_view()}</ul>
        </section>
    }
}

#[component]
fn ExerciseDays(exercise: ExerciseReview, review: Review, history: History) -> impl IntoView {
    let limits = history.course(&exercise.exercise.id).map(|course| course.limits().clone());
    let plot = (!exercise.days.is_empty()).then(|| {
        view! { <PainPlot exercise=exercise.clone() review=review.clone() history=history.clone() /> }
    });
    let review = exercise;
    let rows = review
        .days
        .iter()
        .map(|day| view! { <DayRow day=day.clone() limits=limits.clone() /> })
        .collect_view();
    let empty = review.days.is_empty();
    view! {
        <details class="card">
            <summary>
                <h3>{review.exercise.name.to_string()}</h3>
            </summary>
            <div class="stack">
                <p class="small soft num">
                    {dose::whole(&review.now_at.dose(&review.exercise.dose, &review.exercise.ladder))}
                </p>
                {empty.then(|| view! { <p>"Not done in this period."</p> })}
                {plot}
                {(!empty)
                    .then(|| {
                        view! {
                            <table class="num days stacked">
                                <thead>
                                    <tr>
                                        <th scope="col">"Day"</th>
                                        <th scope="col">"Sets"</th>
                                        <th scope="col">"Rung"</th>
                                        <th scope="col">"At rest"</th>
                                        <th scope="col">"During"</th>
                                        <th scope="col">"Next morning"</th>
                                        <th scope="col">"What the app said, and why"</th>
                                    </tr>
                                </thead>
                                <tbody>{rows}</tbody>
                            </table>
                        }
                    })}
                <h4>"Ladder"</h4>
                <LadderDrawing ladder=review.exercise.ladder.clone() here=review.now_at says="now" />
                {limits.map(|limits| view! { <RuleTable limits /> })}
            </div>
        </details>
    }
}

#[component]
fn DayRow(day: DayDone, limits: Option<Limits>) -> impl IntoView {
    let worked = day.worked_today.map(|worked| match worked {
        WorkedToday::Light => ", light day",
        WorkedToday::AsUsual => "",
        WorkedToday::Heavy => ", heavy day",
    });
    let stops = (0 < day.stops).then(|| format!(", {} stopped", day.stops));
    let swelling = day
        .swelling
        .filter(|swelling| *swelling != Swelling::NoMore)
        .map(|swelling| format!(", swelling {}", verdict::swelling(swelling).to_lowercase()));
    let (earlier, last) = match day.told.split_last() {
        Some((last, earlier)) => (earlier, Some(last.clone())),
        None => (&[][..], None),
    };
    let last = last.map(|told| view! { <ToldLine told limits=limits.clone() /> });
    let earlier = earlier.iter().map(|told| {
        let when = format!("{} at {}", dates::short_day(told.at.date_naive()), dates::time(told.at));
        view! { <p class="small soft">{format!("First told, {when}: {}.", verdict::light(told.order.light()))}</p> }
    });
    let earlier = earlier.collect_view();
    view! {
        <tr>
            <th scope="row">{dates::short_day(day.day)}</th>
            <td data-label="Sets">{format!("{} of {}", day.sets, day.planned_sets)} {stops}</td>
            <td data-label="Rung">{dose::foothold(day.at)}</td>
            <td data-label="At rest">{points(day.at_rest)} {worked}</td>
            <td data-label="During">{points(day.worst)}</td>
            <td data-label="Next morning">
                {day.morning.map_or("not answered".to_owned(), |rating| rating.points().to_string())} {swelling}
            </td>
            <td data-label="The app said">{last} {earlier}</td>
        </tr>
    }
}

/// One verdict as it was told, in one line with its reasons.
#[component]
fn ToldLine(told: Told, limits: Option<Limits>) -> impl IntoView {
    let reasons = limits.map(|limits| {
        let reason = |reason| {
            let row = verdict::reason(reason, &limits);
            format!("{} {} ({})", row.what.to_lowercase(), row.value, row.beside)
        };
        told.reasons.iter().map(reason).collect::<Vec<_>>().join("; ")
    });
    view! {
        <p class="told">
            <LightMark light=told.order.light() />
            <span class="small">{reasons} ". Next: " {dose::foothold(told.next)} "."</span>
        </p>
    }
}
