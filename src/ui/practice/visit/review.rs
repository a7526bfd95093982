//! The visit review: what needs a decision first, then the week on one page, then every day with its reason.

use std::sync::Arc;

use chrono::NaiveDate;
use leptos::prelude::*;

use super::days::ExerciseDays;
use super::review_sheet::PrintReview;
use super::summary::{Counts, Lines, Summary};
use super::talking::{PutAside, TalkingPoints};
use super::what_next::WhatNext;
use crate::domain::log::history::{History, Note};
use crate::domain::visit::review::Review;
use crate::domain::visit::talking::talking_points;
use crate::domain::words::Id;
use crate::exchange::file_name;
use crate::store::caseload::Caseload;
use crate::ui::components::other_formats::OtherFormats;
use crate::ui::components::rule_table::RuleTable;
use crate::ui::practice::caseload::unclaimed::ClientLog;
use crate::ui::practice::fields::{TextArea, maybe_words};
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::practice::tried::on_log::TriedLog;
use crate::ui::practice::tried::other_limits::OtherLimits;
use crate::ui::text::practice::visit::review as text;
use crate::ui::text::practice::visit::summary::about;
use crate::ui::text::review as said;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Period {
    SinceLastVisit,
    WholeLog,
}

/// The review of a log, of a client in the caseload or of nobody.
#[component]
pub fn VisitReview(log: ClientLog, #[prop(optional_no_strip)] client: Option<Id>) -> impl IntoView {
    let caseload = use_caseload();
    let period = RwSignal::new(Period::SinceLastVisit);
    let label = log.label();
    let history = StoredValue::new_local(Arc::new(log.history));
    let records = StoredValue::new_local(log.records);
    let visits: Vec<NaiveDate> = client.as_ref().map_or_else(Vec::new, |client| {
        let visits = caseload.read_now(|caseload| Caseload::visits(caseload, client));
        visits.into_iter().map(|(_, visit)| visit.day).collect()
    });
    let aside = client
        .clone()
        .map_or_else(PutAside::in_passing, |client| PutAside::at_visit(caseload, client));
    let name = client.is_none().then(|| view! { <h2 class="review-title">{label.clone()}</h2> });
    let (first, in_log) = history.with_value(|history| {
        (history.accepted().first().map(|accepted| accepted.id), history.routine().cloned())
    });
    let of = client.clone();
    // What was handed over last, whether the client has taken it on or not.
    let routine = Memo::new(move |_| {
        let handed_over =
            of.as_ref().and_then(|of| caseload.read(|caseload| caseload.last_routine(of)));
        handed_over.or_else(|| in_log.clone())
    });
    let (of, called) = (client.clone(), label.clone());
    let named = Callback::new(move |day: NaiveDate| {
        let (what, day) = ("carryover", day.to_string());
        let key = || first.map(|first| first.to_string()).unwrap_or_default();
        of.as_ref().map_or_else(
            || file_name::of_client(what, &called, &key(), &day),
            |client| caseload.file_name(what, client, &day),
        )
    });
    let client = StoredValue::new(client);
    let page = move || {
        history.with_value(|history| {
            let from = match period.get() {
                Period::SinceLastVisit => Review::begins(history, &visits),
                Period::WholeLog => {
                    history.accepted().first().map(|accepted| accepted.at.date_naive())
                }
            };
            let review = from.and_then(|from| Review::of(history, from));
            match review {
                Some(review) => {
                    let (label, client) = (label.clone(), client.get_value());
                    view! { <ReviewPage review history=history.clone() aside label client /> }
                        .into_any()
                }
                None => view! { <p class="problem">{text::NO_ROUTINE}</p> }.into_any(),
            }
        })
    };
    let tried = {
        let records = records.with_value(|records| Arc::new(records.clone()));
        let history = history.with_value(Arc::clone);
        view! { <OtherLimits log=TriedLog { records, history } client=client.get_value() /> }
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
            <div class="chips unprinted" role="group" aria-label=text::PERIOD>
                {[
                    (Period::SinceLastVisit, text::SINCE_LAST_VISIT),
                    (Period::WholeLog, text::WHOLE_LOG),
                ]
                .map(choice)}
            </div>
            {page}
            {tried}
            <OtherFormats
                records=Callback::new(move |()| records.get_value())
                routine
                whose=text::THE_CLIENTS_SESSIONS
                name=named
            />
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
    // Once for all that have no limits of their own.
    let rule = history.routine().map(|routine| {
        let limits = routine.limits.clone();
        view! {
            <details class="card unprinted">
                <summary>{text::THE_RULE}</summary>
                <RuleTable limits />
            </details>
        }
    });
    let points = talking_points(&history, &review);
    let points = (!points.is_empty())
        .then(|| view! { <TalkingPoints points review=review.clone() aside /> });
    view! {
        <p class="soft small period">{about(&review, &history)}</p>
        <div class="at-a-glance">
            <Decisions review=of_all.clone() history=history.clone() client=client.clone() />
            <section class="stack">
                <div class="figures">
                    <Counts review=review.clone() />
                </div>
                <Summary review=review.clone() />
                <p class="small soft">{said::DIARIES}</p>
                {points}
            </section>
        </div>
        <Notes history=history.clone() from client=client.clone() />
        <PrintReview review=review.clone() history=history.clone() aside label client />
        <h2>{text::DAY_BY_DAY}</h2>
        {days}
        {rule}
    }
}

/// What needs a decision comes first, and then the decisions.
#[component]
fn Decisions(review: Arc<Review>, history: Arc<History>, client: Option<Id>) -> impl IntoView {
    let caseload = use_caseload();
    let next = client.clone().map(|client| {
        view! { <WhatNext review=review.clone() history=history.clone() client /> }
    });
    let first = said::waiting(&history, &review);
    let lines: Vec<String> =
        review.exercises.iter().filter_map(|exercise| said::happened(exercise, &review)).collect();
    let from = review.from;
    let unanswered = Memo::new(move |_| {
        let answers = caseload.answers(client.as_ref(), &history);
        said::unanswered(&history, from, &answers)
    });
    let nothing = first.is_empty() && lines.is_empty();
    let none = move || nothing && unanswered.get().is_none();
    let swelling = said::swelling(&review);
    let lines: Vec<String> = lines.into_iter().chain(swelling).collect();
    let lines =
        (!lines.is_empty()).then(|| view! { <Lines lines class="plain-list small held" /> });
    view! {
        <section class="card stack decide" class:hold-card=move || !none()>
            <h2>{text::TO_DECIDE}</h2>
            {move || none().then(|| view! { <p>{text::NOTHING_TO_DECIDE}</p> })}
            {(!first.is_empty()).then(|| view! { <Lines lines=first class="plain-list" /> })}
            {lines}
            {move || unanswered.get().map(|notes| view! { <p class="small">{notes}</p> })}
            {next}
        </section>
    }
}

/// What the client wrote, each with the answer that travels back.
#[component]
fn Notes(history: Arc<History>, from: NaiveDate, client: Option<Id>) -> impl IntoView {
    let notes: Vec<Note> =
        history.notes().iter().filter(|note| from <= note.at.date_naive()).cloned().collect();
    let lines = notes.iter().map(|note| {
        let answer = client.clone().map(|client| {
            view! { <AnswerField note=note.clone() client history=history.clone() /> }
        });
        view! {
            <li class="stack">
                <blockquote class="asked">
                    <span class="soft small block">{text::written(note.at)}</span>
                    <span class="note">{note.text.to_string()}</span>
                </blockquote>
                {answer}
            </li>
        }
    });
    view! {
        <section class="stack">
            <h2>{text::NOTES_AND_QUESTIONS}</h2>
            {notes.is_empty().then(|| view! { <p class="soft">{text::NO_NOTES}</p> })}
            <ul class="bare stack">{lines.collect_view()}</ul>
        </section>
    }
}

/// An answer to one note, and how far it has come.
#[component]
fn AnswerField(note: Note, client: Id, history: Arc<History>) -> impl IntoView {
    let caseload = use_caseload();
    let to = note.id;
    let arrived = history.accepted().iter().rev().find_map(|accepted| {
        let answer = accepted.routine.answers.iter().find(|answer| answer.to == to)?;
        Some((accepted.routine.version.get(), answer.answer.clone()))
    });
    let of = client.clone();
    let drafted = Memo::new(move |_| {
        let draft = caseload.draft(&of);
        draft.answers.into_iter().find(|answer| answer.to == to).map(|answer| answer.answer)
    });
    let of = client.clone();
    let handed_over = Memo::new(move |_| {
        let last = caseload.read(|caseload| caseload.last_routine(&of))?;
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
                Some(text::reached_with(*version))
            }
            (None, Some((version, _))) => Some(text::reached_with(*version)),
            (Some(answer), _) => Some(match handed_over {
                Some((version, sent)) if sent == *answer => text::not_taken_on_yet(version),
                Some(_) | None => text::TRAVELS_WITH_NEXT.to_owned(),
            }),
            (None, None) => None,
        }
    };
    let take = Callback::new(move |entered: String| {
        let answer = maybe_words(&entered)?;
        caseload.answer(&client, &note, answer);
        Ok(())
    });
    view! {
        <div class="unprinted">
            <TextArea label=text::YOUR_ANSWER value on_change=take />
            <p class="small soft" role="status">{state}</p>
        </div>
    }
}
