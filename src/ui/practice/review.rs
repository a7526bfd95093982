//! The visit review: what needs a decision first, then the week on one page, then every day with its reason.

use std::sync::Arc;

use chrono::NaiveDate;
use leptos::prelude::*;

use super::bench::OpenLog;
use super::desk::use_desk;
use super::fields::{TextArea, maybe_words};
use super::plot::{Marks, PainPlot};
use super::review_sheet::PrintReview;
use super::strip::{Strip, StripLegend};
use super::talking::{PutAside, TalkingPoints};
use crate::domain::event::WorkedToday;
use crate::domain::following::{Followed, followed};
use crate::domain::history::{History, Note, Told};
use crate::domain::review::{DayDone, Done, ExerciseReview, Review};
use crate::domain::rule::{Limits, Swelling};
use crate::domain::statistics::{Confidence, wilson};
use crate::domain::talking::talking_points;
use crate::domain::words::Id;
use crate::store::caseload::Caseload;
use crate::ui::components::ladder::LadderDrawing;
use crate::ui::components::light::LightMark;
use crate::ui::components::other_formats::OtherFormats;
use crate::ui::components::rule_table::RuleTable;
use crate::ui::text::{dates, dose, review as said, trend, verdict};

/// Up to so many, a share says little about what comes (common practice, no source).
const SMALL_NUMBER: u32 = 30;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Period {
    SinceLastVisit,
    WholeLog,
}

/// The review of a log, of a client in the caseload or of nobody.
#[component]
pub fn VisitReview(log: OpenLog, #[prop(optional_no_strip)] client: Option<Id>) -> impl IntoView {
    let desk = use_desk();
    let period = RwSignal::new(Period::SinceLastVisit);
    let label = log.label();
    let history = StoredValue::new_local(Arc::new(log.history));
    let records = StoredValue::new_local(log.records);
    let visits: Vec<NaiveDate> = client.as_ref().map_or_else(Vec::new, |client| {
        let visits = desk.read_now(|caseload| Caseload::visits(caseload, client));
        visits.into_iter().map(|(_, visit)| visit.day).collect()
    });
    let aside =
        client.clone().map_or_else(PutAside::in_passing, |client| PutAside::at_visit(desk, client));
    let name = client.is_none().then(|| view! { <h2 class="review-title">{label.clone()}</h2> });
    let client = StoredValue::new(client);
    let page = move || {
        history.with_value(|history| {
            let from = match period.get() {
                Period::SinceLastVisit => Review::begins(history, &visits),
                Period::WholeLog => {
                    history.accepted.first().map(|accepted| accepted.at.date_naive())
                }
            };
            let review = from.and_then(|from| Review::of(history, from));
            match review {
                Some(review) => {
                    let (label, client) = (label.clone(), client.get_value());
                    view! { <ReviewPage review history=history.clone() aside label client /> }.into_any()
                }
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
            {name}
            <div class="chips unprinted" role="group" aria-label="Period">
                {[(Period::SinceLastVisit, "Since the last visit"), (Period::WholeLog, "The whole log")].map(choice)}
            </div>
            {page}
            <OtherFormats records=Callback::new(move |()| records.get_value()) whose="the client's sessions" />
        </article>
    }
}

#[component]
fn ReviewPage(
    review: Review,
    history: Arc<History>,
    aside: PutAside,
    label: String,
    client: Option<Id>,
) -> impl IntoView {
    let from = review.from;
    let of_all = Arc::new(review.clone());
    let days = review.exercises.iter().map(|exercise| {
        let exercise = Arc::new(exercise.clone());
        view! { <ExerciseDays exercise review=of_all.clone() history=history.clone() /> }
    });
    let days = days.collect_view();
    view! {
        <p class="soft small period">{about(&review, &history)}</p>
        <div class="at-a-glance">
            <Decisions review=review.clone() history=history.clone() aside />
            <section class="stack">
                <div class="figures">
                    <Figure what="Sessions" done=review.sessions />
                    <Figure what="Morning checks" done=review.mornings />
                </div>
                <Summary review=review.clone() />
                <p class="small soft">{said::DIARIES}</p>
            </section>
        </div>
        <Notes history=history.clone() from client />
        <PrintReview review=review.clone() history=history.clone() aside label />
        <h2>"Day by day"</h2>
        {days}
    }
}

/// The routine and the period, on a line.
pub fn about(review: &Review, history: &History) -> String {
    let routine = history
        .routine()
        .map(|routine| format!("{}, version {}. ", routine.title, routine.version.get()))
        .unwrap_or_default();
    format!("{routine}{} to {}.", dates::day(review.from), dates::day(review.to))
}

#[component]
pub fn Figure(what: &'static str, done: Done) -> impl IntoView {
    let is_small = done.prescribed <= SMALL_NUMBER;
    let interval = wilson(done.done, done.prescribed, Confidence::NinetyFive).filter(|_| is_small);
    let small = interval.map(|interval| format!("with so few, likely {}", trend::share(interval)));
    view! {
        <p class="figure num">
            <strong>{said::of(done)}</strong>
            <span class="soft small block">{what}</span>
            {small.map(|small| view! { <span class="soft small block">{small}</span> })}
        </p>
    }
}

/// What needs a decision comes first.
#[component]
fn Decisions(review: Review, history: Arc<History>, aside: PutAside) -> impl IntoView {
    let first = said::waiting(&history, &review);
    let lines: Vec<String> =
        review.exercises.iter().filter_map(|exercise| said::happened(exercise, &review)).collect();
    let points = talking_points(&history, &review);
    let notes = history.notes.iter().filter(|note| review.from <= note.at.date_naive()).count();
    let notes =
        (0 < notes).then(|| format!("{} from the client, below.", said::many(notes, "note")));
    let none = first.is_empty() && lines.is_empty() && points.is_empty() && notes.is_none();
    let points = (!points.is_empty())
        .then(|| view! { <TalkingPoints points review aside above=first.len() /> });
    let lines = (!lines.is_empty()).then(|| {
        view! {
            <details>
                <summary class="small">"Holds and stops"</summary>
                <Lines lines class="plain-list small" />
            </details>
        }
    });
    view! {
        <section class="card stack decide" class:hold-card=!none>
            <h2>"To decide"</h2>
            {none.then(|| view! { <p>"Nothing asks for a decision."</p> })}
            {(!first.is_empty()).then(|| view! { <Lines lines=first class="plain-list" /> })}
            {points}
            {notes.map(|notes| view! { <p class="small">{notes}</p> })}
            {lines}
        </section>
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
            days => {
                Some(view! { <span class="small soft block">{format!("{days} left out")}</span> })
            }
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

fn points(rating: Option<crate::domain::pain::PainRating>) -> String {
    rating.map_or("–".to_owned(), |rating| rating.points().to_string())
}

/// What the client wrote, each with the answer that travels back.
#[component]
fn Notes(history: Arc<History>, from: NaiveDate, client: Option<Id>) -> impl IntoView {
    let notes: Vec<Note> =
        history.notes.iter().filter(|note| from <= note.at.date_naive()).cloned().collect();
    let lines = notes.iter().map(|note| {
        let answer = client.clone().map(|client| {
            view! { <AnswerField note=note.clone() client history=history.clone() /> }
        });
        view! {
            <li class="stack">
                <blockquote class="asked">
                    <span class="soft small block">
                        {dates::short_day(note.at.date_naive())} ", " {dates::time(note.at)}
                    </span>
                    <span class="note">{note.text.to_string()}</span>
                </blockquote>
                {answer}
            </li>
        }
    });
    view! {
        <section class="stack">
            <h2>"Notes and questions"</h2>
            {notes.is_empty().then(|| view! { <p class="soft">"None in this period."</p> })}
            <ul class="bare stack">{lines.collect_view()}</ul>
        </section>
    }
}

/// An answer to one note, and how far it has come.
#[component]
fn AnswerField(note: Note, client: Id, history: Arc<History>) -> impl IntoView {
    let desk = use_desk();
    let to = note.id;
    let arrived = history.accepted.iter().rev().find_map(|accepted| {
        let answer = accepted.routine.answers.iter().find(|answer| answer.to == to)?;
        Some((accepted.routine.version.get(), answer.answer.clone()))
    });
    let of = client.clone();
    let drafted = Memo::new(move |_| {
        let draft = desk.draft(&of);
        draft.answers.into_iter().find(|answer| answer.to == to).map(|answer| answer.answer)
    });
    let of = client.clone();
    let handed_over = Memo::new(move |_| {
        let last = desk.read(|caseload| caseload.routines(&of).pop())?;
        let answer = last.answers.iter().find(|answer| answer.to == to)?;
        Some((last.version.get(), answer.answer.clone()))
    });
    let known = arrived.clone();
    let value = Signal::derive(move || {
        let answer = drafted.get().or_else(|| known.clone().map(|(_, answer)| answer));
        answer.map_or_else(String::new, |answer| answer.to_string())
    });
    let state = move || {
        let (drafted, handed_over) = (drafted.get(), handed_over.get());
        match (&drafted, &arrived) {
            (Some(answer), Some((version, known))) if answer == known => {
                Some(format!("Reached the client with version {version}."))
            }
            (None, Some((version, _))) => {
                Some(format!("Reached the client with version {version}."))
            }
            (Some(answer), _) => Some(match handed_over {
                Some((version, sent)) if sent == *answer => {
                    format!("In version {version}, which this log has not taken on yet.")
                }
                Some(_) | None => "Travels with the next version that you hand over.".to_owned(),
            }),
            (None, None) => None,
        }
    };
    let take = Callback::new(move |text: String| {
        let answer = maybe_words(&text)?;
        desk.answer(&client, &note, answer);
        Ok(())
    });
    view! {
        <div class="unprinted">
            <TextArea label="Your answer" value on_change=take />
            <p class="small soft" role="status">{state}</p>
        </div>
    }
}

/// One exercise, day by day. Its plot is made with the page and is there in the first frame after a tap; the
/// rest is made in the next one, since a phone would long be busy with it.
#[component]
fn ExerciseDays(
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
        let (limits, history) = (limits.clone(), history.clone());
        move |day: &DayDone| {
            let came = followed(&history, &id, day.day).map(|(told, came)| (told.clone(), came));
            view! { <DayRow day=day.clone() limits=limits.clone() came sites=marks.said(day) /> }
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
        view! { <p>"Not done in this period."</p> }.into_any()
    } else {
        view! {
            {before}
            {latest}
        }
        .into_any()
    };
    view! {
        {days}
        <h4>"Ladder"</h4>
        <LadderDrawing ladder=review.exercise.ladder.clone() here=review.now_at says="now" />
        {limits.map(|limits| view! { <RuleTable limits /> })}
    }
}

/// So many days stand in the table at once: the drawing of a year of rows keeps a phone busy for a while.
const SHOWN_AT_ONCE: usize = 35;

fn days_table(rows: AnyView) -> AnyView {
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
    .into_any()
}

/// The days before those in the table, drawn when they are asked for.
#[component]
fn DaysBefore(count: usize, table: Box<dyn Fn() -> AnyView + Send>) -> impl IntoView {
    let is_asked = RwSignal::new(false);
    view! {
        <details on:toggle=move |_| is_asked.set(true)>
            <summary>{format!("The {count} days before")}</summary>
            {move || is_asked.get().then(&table)}
        </details>
    }
}

#[component]
fn DayRow(
    day: DayDone,
    limits: Option<Limits>,
    /// What the client knew when it was done again, and did.
    came: Option<(Told, Followed)>,
    /// The worst at each site, where there are several.
    sites: Option<String>,
) -> impl IntoView {
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
    let came = came.map(|(told, came)| {
        let is_last = last.as_ref().is_some_and(|last| last.at == told.at);
        let by_then = if is_last {
            String::new()
        } else {
            format!("By then it had said {}. ", verdict::light(told.order.light()))
        };
        let came = verdict::came_of_it(told.order.light(), came);
        view! { <p class="small">{by_then} {came}</p> }
    });
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
            <td data-label="During">{sites.unwrap_or_else(|| points(day.worst))}</td>
            <td data-label="Next morning">
                {day.morning.map_or("not answered".to_owned(), |rating| rating.points().to_string())} {swelling}
            </td>
            <td data-label="The app said">{last} {came} {earlier}</td>
        </tr>
    }
}

/// One verdict as it was told, in one line with its reasons.
#[component]
fn ToldLine(told: Told, limits: Option<Limits>) -> impl IntoView {
    let reasons = limits.map(|limits| {
        let reason = |reason| verdict::short_reason(reason, &limits);
        told.reasons.iter().map(reason).collect::<Vec<_>>().join("; ")
    });
    view! {
        <p class="told">
            <LightMark light=told.order.light() />
            <span class="small">{reasons} ". Next: " {dose::foothold(told.next)} "."</span>
        </p>
    }
}
