//! The end of a session: what was done, the lights so far, when the morning check is due, and a note.

use chrono::Days;
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::before_session::TellSigns;
use super::log_file::write_copy;
use super::session::{Signs, SomethingWorse};
use super::to_today::ToToday;
use crate::domain::log::event::Fact;
use crate::domain::log::history::Session;
use crate::domain::session::runner::Run;
use crate::domain::words::Words;
use crate::platform::copy_file::{self, NotWritten};
use crate::platform::{clock, preferences};
use crate::ui::components::later::when_idle;
use crate::ui::components::light::LightMark;
use crate::ui::components::saved::SavedMark;
use crate::ui::components::screen::Screen;
use crate::ui::live_log::use_log;
use crate::ui::text::client::end as text;
use crate::ui::text::client::morning::SOMETHING_WORSE;
use crate::ui::text::{dates, standing, verdict, who};
use crate::ui::training::Training;

/// A note while it is being written, so that a reload does not lose it.
const DRAFT: &str = "carryover.note";

#[component]
pub fn End(training: Training, signs: Signs) -> impl IntoView {
    let log = use_log();
    log.look_through();
    let copied = RwSignal::new(None::<&'static str>);
    if copy_file::can_be_chosen() {
        when_idle(move || {
            spawn_local(async move {
                match write_copy(log).await {
                    Ok(said) => drop(copied.try_set(Some(said))),
                    Err(NotWritten::Failed) => drop(copied.try_set(Some(text::COPY_FAILED))),
                    // The reminder comes in its time.
                    Err(NotWritten::NotLet) => {}
                }
            });
        });
    }
    let ToToday(to_today) = expect_context();
    let history = log.history_untracked();
    let session_id = training.read_now(Run::session);
    let session =
        history.sessions().iter().rfind(|session| Some(session.id) == session_id).cloned();
    let who = who(&history);
    let note = RwSignal::new(preferences::get(DRAFT).unwrap_or_else(String::new));
    let keep_draft = move |written: String| {
        preferences::set(DRAFT, &written);
        note.set(written);
    };
    let problem = RwSignal::new(None::<String>);
    let done = move |_| {
        let written = note.get_untracked();
        if !written.trim().is_empty() {
            match Words::new(written.trim()) {
                Ok(words) => {
                    log.append(vec![Fact::Note { text: words, session: session_id }]);
                }
                Err(error) => {
                    problem.set(Some(text::note_not_kept(&error)));
                    return;
                }
            }
        }
        preferences::forget(DRAFT);
        training.leave();
        to_today.run(());
    };
    // A morning is asked about what was done.
    let worked = session.as_ref().filter(|session| !session.sets.is_empty());
    let due = worked.and_then(|session| session.day().checked_add_days(Days::new(1)));
    let due_words = due.map(|day| text::morning_check(day, clock::now().date_naive()));
    let question = text::note_for(&who);
    view! {
        <Screen
            title=text::TITLE
            above=dates::day(clock::now().date_naive())
            columns=true
            foot=Box::new(move || {
                view! {
                    <Show
                        when=move || !signs.ticks.any()
                        fallback=move || view! { <TellSigns ticks=signs.ticks told=signs.told /> }
                    >
                        <button type="button" class="button main" on:click=done>{text::DONE}</button>
                    </Show>
                }
                .into_any()
            })
        >
            {session.map(|session| view! { <Summary session /> })}
            <SomethingWorse signs asks=SOMETHING_WORSE />
            {due_words.map(|words| view! { <p class="card chalk">{words}</p> })}
            <label class="stack">
                <span>{question} <span class="soft small">{text::MAY_BE_LEFT_OUT}</span></span>
                <textarea rows="2" maxlength="1000" prop:value=note on:input:target=move |event| keep_draft(event.target().value())></textarea>
            </label>
            <p role="alert" class="problem" class:empty=move || problem.get().is_none()>{move || problem.get()}</p>
            <SavedMark />
            <p role="status" class="small soft">{move || copied.get()}</p>
        </Screen>
    }
}

#[component]
fn Summary(session: Session) -> impl IntoView {
    let log = use_log();
    let is_worked = !session.sets.is_empty();
    let lines = move || {
        let history = log.history();
        let who = who(&history);
        let line = |planned: &crate::domain::log::event::Planned| {
            let course = history.course(&planned.exercise)?;
            let exercise = course.exercise();
            let sets: Vec<_> = session.sets_of(&planned.exercise).collect();
            let worst =
                sets.iter().filter_map(|set| set.rated.as_ref()).map(|rated| rated.rating).max();
            let rounds = planned.from.dose(&exercise.dose, &exercise.ladder).rounds();
            let judged = course
                .judged()
                .last()
                .filter(|judged| judged.day == session.day() && !sets.is_empty());
            let mark = match judged {
                Some(judged) => {
                    view! { <LightMark light=judged.verdict.order.light() /> }.into_any()
                }
                None => view! { <span class="light none">{text::NO_LIGHT}</span> }.into_any(),
            };
            let whole = sets.iter().filter(|set| set.is_whole()).count();
            let begun = u16::try_from(sets.len() - whole).unwrap_or(u16::MAX);
            let what = if sets.is_empty() {
                text::NOT_DONE.to_owned()
            } else {
                text::done(whole, rounds, begun, worst)
            };
            let next = judged.map(|judged| verdict::next(judged, course, clock::today(), &who));
            Some(view! {
                <li class="exercise-row">
                    {mark}
                    <span class="grow">
                        <strong>{exercise.name.to_string()}</strong>
                        <span class="soft small block num">{what}</span>
                        {next.map(|words| view! { <span class="small block">{words}</span> })}
                    </span>
                </li>
            })
        };
        session.plan.iter().filter_map(line).collect_view()
    };
    view! {
        <section class="card">
            <h2>{text::LIGHTS_SO_FAR}</h2>
            <ul class="exercises">{lines}</ul>
            <p class="small"><a href="ratings">{standing::CHANGE_TITLE}</a></p>
            {is_worked.then(|| view! { <p class="small soft">{text::TOMORROW_COMPLETES}</p> })}
        </section>
    }
}
