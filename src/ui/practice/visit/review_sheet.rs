//! The review on paper: one A4 page, for a record that is kept on paper.

use std::sync::Arc;

use chrono::{Days, NaiveDate};
use leptos::portal::Portal;
use leptos::prelude::*;

use super::plot::{PlotLegend, PlotOnPaper};
use super::summary::{Counts, Lines, Summary};
use super::talking::{self, PutAside};
use crate::domain::log::history::{History, Note};
use crate::domain::plan::routine::Answer;
use crate::domain::visit::review::{ExerciseReview, Review};
use crate::domain::visit::talking::talking_points;
use crate::domain::words::Id;
use crate::platform::{clock, paper};
use crate::ui::components::answers::Answers;
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::text::practice::visit::summary::about;
use crate::ui::text::practice::visit::{review as on_screen, review_sheet as text};
use crate::ui::text::{review as said, talking as words};

const SHEET: &str = "review-sheet";
/// The height of an A4 page (ISO 216) less its margins in `print.css`, in millimetres, and less what
/// lines set for paper can be taller than on a screen.
const ROOM: f64 = 297.0 - 2.0 * 9.0 - 9.0;
/// A page has room for the plots of so many exercises.
const PLOTS: usize = 6;
/// The plots show so many days before the last one: more would be too small to read.
const DAYS_DRAWN: Days = Days::new(55);
/// So many talking points are printed, the weightiest.
const MOST_POINTS: usize = 6;
/// So many notes are printed, the latest.
const MOST_NOTES: usize = 6;
/// So much of each note is printed, in letters; the rest stays in the log.
const LONGEST_NOTE: usize = 300;

/// A button that prints the review, and nothing else of the page it stands on.
#[component]
pub fn PrintReview(
    review: Review,
    history: Arc<History>,
    aside: PutAside,
    label: String,
    client: Option<Id>,
) -> impl IntoView {
    let wanted = RwSignal::new(false);
    let content = StoredValue::new_local((review, history, label, client));
    let print = move |_| {
        wanted.set(true);
        request_animation_frame(|| {
            paper::fit(SHEET, ROOM);
            paper::print();
        });
    };
    view! {
        <button type="button" class="button unprinted" on:click=print>
            {text::PRINT}
        </button>
        <Show when=move || wanted.get()>
            <Portal>
                {move || content.with_value(|(review, history, label, client)| {
                    view! {
                        <ReviewSheet review=review.clone() history=history.clone() label=label.clone() aside client=client.clone() />
                    }
                })}
            </Portal>
        </Show>
    }
}

/// What an exercise's plot needs from a day on.
fn since(exercise: &ExerciseReview, first: NaiveDate) -> ExerciseReview {
    let mut exercise = exercise.clone();
    exercise.days.retain(|day| first <= day.day);
    exercise.missed.retain(|day| first <= *day);
    exercise.left_out.retain(|day| first <= *day);
    exercise
}

/// The latest notes of the period, and how many more there are.
fn notes(history: &History, review: &Review) -> Vec<String> {
    let of_period: Vec<&Note> =
        history.notes().iter().filter(|note| review.from <= note.at.date_naive()).collect();
    let earlier = of_period.len().saturating_sub(MOST_NOTES);
    let line = |note: &&Note| {
        let whole = note.text.as_str();
        let short: String = whole.chars().take(LONGEST_NOTE).collect();
        text::note(note.at.date_naive(), &short, short.len() < whole.len())
    };
    let before = (0 < earlier).then(|| text::notes_before(earlier));
    before.into_iter().chain(of_period[earlier..].iter().map(line)).collect()
}

#[component]
fn ReviewSheet(
    review: Review,
    history: Arc<History>,
    label: String,
    aside: PutAside,
    client: Option<Id>,
) -> impl IntoView {
    let answers = use_caseload().answers(client.as_ref(), &history);
    let put_aside = aside.ids.get();
    let mut decide = said::waiting(&history, &review);
    decide.extend(said::unanswered(&history, review.from, &answers));
    let points = talking_points(&history, &review);
    let standing: Vec<_> = points.iter().filter(|point| !put_aside.contains(&point.id)).collect();
    decide.extend(
        standing
            .iter()
            .take(MOST_POINTS)
            .map(|point| text::point(&talking::about(point, &review), &point.what)),
    );
    let quieter = standing.len().saturating_sub(MOST_POINTS);
    decide.extend((0 < quieter).then(|| words::quieter(quieter)));
    let happened: Vec<String> =
        review.exercises.iter().filter_map(|exercise| said::happened(exercise, &review)).collect();
    let notes = notes(&history, &review);
    let first =
        review.to.checked_sub_days(DAYS_DRAWN).map_or(review.from, |day| day.max(review.from));
    let drawn = Review { from: first, ..review.clone() };
    let plots = review.exercises.iter().map(|exercise| since(exercise, first));
    let plots = plots.filter(|exercise| !exercise.days.is_empty()).take(PLOTS);
    let plots = plots.map(|exercise| {
        view! {
            <section>
                <h3>{exercise.exercise.name.to_string()}</h3>
                <PlotOnPaper exercise review=drawn.clone() history=history.clone() />
            </section>
        }
    });
    let plots = plots.collect_view();
    let in_period = |answer: &&Answer| review.from <= answer.asked;
    let answers: Vec<Answer> = answers.into_iter().filter(|answer| in_period(&answer)).collect();
    let nothing = happened.is_empty().then_some(on_screen::NOTHING_TO_DECIDE);
    let printed = text::printed(clock::now().date_naive());
    let part = |title: &'static str, lines: Vec<String>, none: Option<&'static str>| {
        (!lines.is_empty() || none.is_some()).then(|| {
            view! {
                <section>
                    <h2>{title}</h2>
                    {none.filter(|_| lines.is_empty()).map(|none| view! { <p>{none}</p> })}
                    <Lines lines class="plain-list" />
                </section>
            }
        })
    };
    view! {
        <div class="fridge-sheet review-sheet">
            <article id=SHEET>
                <header>
                    <h1>{label}</h1>
                    <p>{printed}</p>
                </header>
                <p>{about(&review, &history)}</p>
                {part(on_screen::TO_DECIDE, decide, nothing)}
                {part(text::WHAT_HAPPENED, happened, None)}
                <div class="figures">
                    <Counts review=review.clone() />
                </div>
                <Summary review=review.clone() />
                <div class="sheet-exercises">{plots}</div>
                <PlotLegend />
                {part(on_screen::NOTES_AND_QUESTIONS, notes, None)}
                <Answers answers title=text::ANSWERED_SO_FAR />
                <p>{said::DIARIES}</p>
            </article>
        </div>
    }
}
