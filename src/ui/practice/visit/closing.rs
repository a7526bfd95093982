//! The end of a visit: the routine goes on or is revised, the note is made, and the visit is closed.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::components::A;

use crate::domain::log::course::Availability;
use crate::domain::plan::routine::Routine;
use crate::domain::visit::caseload::{OpenVisit, Visit};
use crate::domain::visit::review::Review;
use crate::domain::visit::talking::talking_points;
use crate::domain::words::{Id, NotWords, Prose, Words};
use crate::platform::address::at;
use crate::platform::{clock, files, focus};
use crate::store::caseload::Caseload;
use crate::ui::practice::caseload::next_visit::NextVisit;
use crate::ui::practice::fields::{TextArea, maybe_words};
use crate::ui::practice::live_caseload::{LiveCaseload, use_caseload};
use crate::ui::practice::page::address;
use crate::ui::text::dates;
use crate::ui::text::practice::visit::closing as text;
use crate::ui::text::refusals::InWords;
use crate::ui::text::visit_note::{AtVisit, headline, visit_note};

/// The note as it would be made now, and its line for the list of visits.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Made {
    note: String,
    headline: String,
    /// Whether a Hold or a stop leaves an exercise out.
    is_left_out: bool,
}

/// The note of today's visit, made anew with everything that it follows.
fn made(caseload: LiveCaseload, id: Id) -> Memo<Made> {
    let history = caseload.history_memo(id.clone());
    Memo::new(move |_| {
        let history = history.get();
        let label = caseload.read(|caseload| caseload.client(&id)).map(|client| client.label);
        let label = label.map_or_else(String::new, |label| label.to_string());
        let visits: Vec<_> = caseload
            .read(|caseload| caseload.visits(&id))
            .iter()
            .map(|(_, visit)| visit.day)
            .collect();
        let visit = caseload.visit(&id);
        let review = Review::begins(&history, &visits).and_then(|from| Review::of(&history, from));
        let points =
            review.as_ref().map(|review| talking_points(&history, review)).unwrap_or_default();
        let next = caseload.next_routine(&id);
        let at = AtVisit {
            label: &label,
            day: clock::now().date_naive(),
            history: &history,
            review: review.as_ref(),
            points: &points,
            put_aside: &visit.put_aside,
            next: next.as_ref(),
            agreed: visit.agreed.as_ref(),
        };
        let is_left_out = review.as_ref().is_some_and(|review| {
            review.exercises.iter().any(|exercise| exercise.availability != Availability::Open)
        });
        Made { note: visit_note(&at), headline: headline(&at), is_left_out }
    })
}

#[component]
pub fn CloseVisit(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let client = StoredValue::new(id.clone());
    let made = made(caseload, id.clone());
    let visit = Memo::new(move |_| client.with_value(|id| caseload.visit(id)));
    let agreed = Signal::derive(move || {
        visit.with(|visit| visit.agreed.as_ref().map_or_else(String::new, Words::to_string))
    });
    let set_agreed = Callback::new(move |entered: String| {
        let agreed = maybe_words(&entered)?;
        client.with_value(|id| caseload.change_visit(id, |visit| visit.agreed = agreed));
        Ok(())
    });
    let note = Signal::derive(move || {
        let record = visit.with(|visit| visit.record.clone());
        record.map_or_else(|| made.with(|made| made.note.clone()), String::from)
    });
    let said = RwSignal::new(None::<String>);
    let close = move |_| {
        let headline = made.with_untracked(|made| Words::new(&made.headline).ok());
        if let Some(line) = visit.get_untracked().agreed.or(headline) {
            let record = Prose::new(&note.get_untracked()).ok();
            client.with_value(|id| caseload.close_visit(id, line, record));
            said.set(Some(text::is_closed(clock::now().date_naive())));
        }
    };
    let (revise, hand_over) = (address(&id, "routine"), address(&id, "hand-over"));
    view! {
        <section class="card stack unprinted">
            <h2>{text::CLOSE}</h2>
            <RoutineState id=id.clone() />
            <Show when=move || made.with(|made| made.is_left_out)>
                <p class="small">{text::NEW_VERSION_LIFTS}</p>
            </Show>
            <div class="two">
                <A href=at(&revise) attr:class="button main">{text::REVISE}</A>
                <A href=at(&hand_over) attr:class="button">{text::HAND_OVER}</A>
            </div>
            <TextArea label=text::SEEN_AND_AGREED value=agreed on_change=set_agreed />
            <NextVisit id=id.clone() />
            <details>
                <summary>{text::NOTE_FOR_ANY_RECORD}</summary>
                <NoteText id=id.clone() made visit note said />
            </details>
            <button type="button" class="button" on:click=close>{text::CLOSE}</button>
            <p role="status" class="small">{move || said.get()}</p>
        </section>
        <Visits id />
    }
}

/// The id of the note as text.
const NOTE: &str = "visit-note";

/// The note as text: to be changed, copied, saved.
#[component]
fn NoteText(
    id: Id,
    made: Memo<Made>,
    visit: Memo<OpenVisit>,
    note: Signal<String>,
    said: RwSignal<Option<String>>,
) -> impl IntoView {
    let caseload = use_caseload();
    let client = StoredValue::new(id);
    let set_record = move |record: Option<Prose>| {
        client.with_value(|id| caseload.change_visit(id, |visit| visit.record = record));
    };
    let set_note = Callback::new(move |entered: String| {
        let is_as_made = made.with_untracked(|made| made.note == entered);
        match Prose::new(&entered.replace('\t', " ")) {
            Ok(record) => set_record(Some(record).filter(|_| !is_as_made)),
            Err(NotWords::Blank) => set_record(None),
            Err(wrong) => return Err(wrong.in_words()),
        }
        Ok(())
    });
    let copy = move |_| {
        spawn_local(async move {
            let is_copied = files::copy_text(&note.get_untracked()).await;
            said.try_set(Some(if is_copied {
                text::COPIED.to_owned()
            } else {
                text::CANNOT_COPY.to_owned()
            }));
        });
    };
    let save = move |_| {
        let rest = format!("{}.txt", clock::now().date_naive());
        let name = client.with_value(|id| caseload.file_name("visit", id, &rest));
        said.set(Some(match files::save(&name, &note.get_untracked()) {
            Some(()) => text::saved_as(&name),
            None => text::CANNOT_SAVE.to_owned(),
        }));
    };
    let anew = move |_| {
        set_record(None);
        focus::go_to([NOTE.to_owned()]);
    };
    view! {
        <div class="stack visit-note" id=NOTE tabindex="-1">
            <TextArea label=text::NOTE value=note on_change=set_note />
            <Show when=move || visit.with(|visit| visit.record.is_some())>
                <p class="small">
                    {text::NOTE_WAS_CHANGED}
                    <button type="button" class="link" on:click=anew>{text::WRITE_ANEW}</button>
                </p>
            </Show>
            <div class="two">
                <button type="button" class="button" on:click=copy>{text::COPY_NOTE}</button>
                <button type="button" class="button" on:click=save>{text::SAVE_AS_FILE}</button>
            </div>
        </div>
    }
}

/// Whether what was changed has been handed over.
#[component]
fn RoutineState(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let state = move || {
        let draft = caseload.draft(&id);
        let last: Option<Routine> = caseload.read(|caseload| caseload.last_routine(&id));
        match last {
            Some(last) if draft.says_the_same_as(&last) => {
                text::was_handed_over(last.version.get(), last.issued)
            }
            Some(_) => text::CHANGES_NOT_HANDED_OVER.to_owned(),
            None => text::NOTHING_HANDED_OVER.to_owned(),
        }
    };
    view! { <p class="small soft">{state}</p> }
}

/// The visits so far, the last one first.
#[component]
fn Visits(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let visits = Memo::new(move |_| caseload.read(|caseload| Caseload::visits(caseload, &id)));
    let line = |(_, visit): (_, Visit)| {
        let record = visit.record.map(|record| {
            view! {
                <details>
                    <summary class="small">{text::WHOLE_NOTE}</summary>
                    <p class="note small">{String::from(record)}</p>
                </details>
            }
        });
        view! {
            <li>
                <span class="small soft block">{dates::day(visit.day)}</span>
                <span class="note">{visit.note.to_string()}</span>
                {record}
            </li>
        }
    };
    view! {
        <Show when=move || !visits.with(Vec::is_empty)>
            <section class="stack unprinted">
                <h2>{text::VISITS}</h2>
                <ul class="plain-list">{move || visits.get().into_iter().rev().map(line).collect_view()}</ul>
            </section>
        </Show>
    }
}
