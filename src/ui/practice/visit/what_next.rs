//! What next: each exercise with where the client stands, and the choices that change the next version in place.

use std::sync::Arc;

use leptos::prelude::*;
use leptos_router::components::A;

use super::plot::PainPlot;
use crate::domain::log::course::Availability;
use crate::domain::log::history::History;
use crate::domain::plan::changes::{Change, between};
use crate::domain::plan::draft::{Draft, Item, SessionPlace};
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::routine::{Exercise, Routine};
use crate::domain::visit::choice::{Choice, chosen, help_back, next_rung, stands};
use crate::domain::visit::review::Review;
use crate::domain::words::Id;
use crate::platform::address::at;
use crate::platform::{clock, focus};
use crate::ui::practice::build::dose::DoseFields;
use crate::ui::practice::build::editing::Editing;
use crate::ui::practice::build::ladder::Bounds;
use crate::ui::practice::hand_over::handing_over::WithThisVersion;
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::practice::page::address;
use crate::ui::text::changes;
use crate::ui::text::client::offered_again;
use crate::ui::text::practice::visit::{days, what_next as text};

/// What all exercises of a visit are decided by.
#[derive(Clone, Copy)]
struct AtVisit {
    client: StoredValue<Id>,
    history: StoredValue<Arc<History>, LocalStorage>,
    review: StoredValue<Arc<Review>, LocalStorage>,
    draft: Memo<Draft>,
    /// The next version as it stands, and the log once that is taken on: once for all exercises.
    next: Memo<Option<Routine>>,
    after: Memo<Option<Arc<History>>>,
    /// The exercise whose change is open.
    open: RwSignal<Option<Id>>,
}

#[component]
pub fn WhatNext(review: Arc<Review>, history: Arc<History>, client: Id) -> impl IntoView {
    let caseload = use_caseload();
    let of = client.clone();
    let draft = Memo::new(move |_| caseload.draft(&of));
    let of = client.clone();
    let followed = history.routine().cloned();
    // What was handed over last, whether it was taken on or not: the next version changes that.
    let last = Memo::new(move |_| {
        caseload.read(|caseload| caseload.last_routine(&of)).or_else(|| followed.clone())
    });
    let of = client.clone();
    let next = Memo::new(move |_| caseload.next_routine(&of));
    let history = StoredValue::new_local(history);
    let after = Memo::new_with_compare(
        move |_| {
            let taken_on = |next: Routine| {
                history.with_value(|history| Arc::new(history.with(&next, clock::now())))
            };
            next.get().map(taken_on)
        },
        |_, _| true,
    );
    let at_visit = AtVisit {
        client: StoredValue::new(client.clone()),
        history,
        review: StoredValue::new_local(review),
        draft,
        next,
        after,
        open: RwSignal::new(None),
    };
    let rows = move || {
        let exercises = last.get().map(|last| last.exercises().to_vec()).unwrap_or_default();
        let rows = exercises.into_iter().enumerate();
        rows.map(|(place, before)| view! { <Row at_visit place before /> }).collect_view()
    };
    let hand_over = address(&client, "hand-over");
    let collected = move || {
        let last = last.get()?;
        draft.with(|draft| {
            (!draft.says_the_same_as(&last)).then(|| {
                let next = caseload.read(|caseload| caseload.next_version(&client));
                text::collected(next.get(), &changed(&last, draft))
            })
        })
    };
    let foot = move || match collected() {
        None => view! { <p class="small soft">{text::NO_CHANGE_YET}</p> }.into_any(),
        Some(words) => view! {
            <p class="small" role="status">{words}</p>
            <A href=at(&hand_over) attr:class="button main">{text::HAND_OVER}</A>
        }
        .into_any(),
    };
    view! {
        <div class="stack what-next unprinted" class:open=move || at_visit.open.get().is_some()>
            <h3>{text::EXERCISES}</h3>
            <ul class="bare stack">{rows}</ul>
            {foot}
        </div>
    }
}

/// The names of the exercises that the next version has otherwise, or not any more, or for the first time.
fn changed(last: &Routine, draft: &Draft) -> Vec<String> {
    let item = |id: &Id| draft.items.iter().find(|item| item.exercise.id == *id);
    let before = last.exercises().iter();
    let is_changed = |before: &&Exercise| {
        draft.on_hold.contains_key(&before.id)
            || item(&before.id).is_none_or(|item| item.exercise != **before)
    };
    let before = before.filter(is_changed);
    let added = draft.items.iter().map(|item| &item.exercise);
    let added = added.filter(|exercise| last.exercise(&exercise.id).is_none());
    before.chain(added).map(|exercise| exercise.name.to_string()).collect()
}

#[component]
fn Row(
    at_visit: AtVisit,
    /// Its place in the version that was handed over last.
    place: usize,
    /// As that version has it.
    before: Exercise,
) -> impl IntoView {
    let caseload = use_caseload();
    let AtVisit { client, history, draft, open, .. } = at_visit;
    let (id, name) = (before.id.clone(), before.name.to_string());
    let course = history.with_value(|history| history.course(&id).cloned());
    let here = course
        .as_ref()
        .map_or(Foothold::on(before.ladder.start()), |course| stands(course, &before));
    let waits = course
        .as_ref()
        .is_some_and(|course| course.availability(clock::today()) != Availability::Open);
    let easier = course.as_ref().and_then(|course| help_back(course, &before));
    let harder = course.as_ref().and_then(|course| next_rung(course, &before));
    let is_there = |choice: Choice| match choice {
        Choice::HelpBack => easier.is_some(),
        Choice::NextRung => harder.is_some(),
        Choice::Keep | Choice::OtherDose | Choice::Out => true,
    };
    let there = Choice::ALL.map(is_there);
    let missing = text::not_there(easier.is_some(), harder.is_some(), before.ladder.top(), here);
    let known = StoredValue::new_local((before.clone(), course, easier, harder));
    let this = StoredValue::new(id.clone());
    let is_open = Memo::new(move |_| this.with_value(|this| open.get().as_ref() == Some(this)));
    let next = Memo::new(move |_| {
        let items = draft.get().items.into_iter().map(|item| item.exercise);
        this.with_value(|this| items.into_iter().find(|exercise| exercise.id == *this))
    });
    let now = Memo::new(move |_| {
        known.with_value(|(before, course, ..)| match (course, next.get()) {
            (Some(course), next) => chosen(course, before, next.as_ref()),
            (None, None) => Choice::Out,
            (None, Some(next)) if next == *before => Choice::Keep,
            (None, Some(_)) => Choice::OtherDose,
        })
    });
    let put = move |exercise: Exercise| {
        caseload.change_draft(&client.get_value(), |draft| {
            let mut items = draft.items.iter_mut();
            match items.find(|item| item.exercise.id == exercise.id) {
                Some(item) => item.exercise = exercise,
                None => draft.put_back(place, Item { exercise, place: SessionPlace::default() }),
            }
        });
    };
    let take = move |choice: Choice| {
        let made = known.with_value(|(before, _, easier, harder)| match choice {
            Choice::Keep => Some(before.clone()),
            Choice::HelpBack => easier.clone(),
            Choice::NextRung => harder.clone(),
            Choice::OtherDose => next.get_untracked().or_else(|| Some(before.clone())),
            Choice::Out => None,
        });
        match made {
            Some(exercise) => put(exercise),
            None => {
                caseload.change_draft(&client.get_value(), |draft| {
                    this.with_value(|this| draft.items.retain(|item| item.exercise.id != *this));
                });
            }
        }
        let opens = matches!(choice, Choice::HelpBack | Choice::NextRung | Choice::OtherDose);
        open.set(opens.then(|| this.get_value()));
    };
    let is_chosen = move |choice: Choice| {
        let now = now.get();
        let meant = if is_open.get() && now == Choice::Keep { Choice::OtherDose } else { now };
        meant == choice
    };
    let of = name.clone();
    let chips = Choice::ALL.into_iter().zip(there).map(move |(choice, is_there)| {
        view! {
            <button
                type="button"
                class="chip"
                id=(choice == Choice::Keep).then(|| keep_of(&this.get_value()))
                aria-label=text::chosen_for(choice, &of)
                aria-pressed=move || is_chosen(choice).to_string()
                disabled=!is_there
                on:click=move |_| take(choice)
            >
                {text::choice(choice)}
            </button>
        }
    });
    let reads = move || {
        let (_, next) = (now.get(), next.get());
        let lines = this.with_value(|this| client_reads(at_visit, this, next.as_ref()));
        (!lines.is_empty()).then(|| view! { <p class="small">{text::client_reads(&lines)}</p> })
    };
    let on_hold =
        waits.then(|| view! { <WithThisVersion client=client.get_value() exercise=id.clone() /> });
    let change = move || {
        (is_open.get() && next.with(Option::is_some))
            .then(|| view! { <InPlace at_visit id=this.get_value() /> })
    };
    view! {
        <li class="stack next-of">
            <p>
                <strong class="block">{name.clone()}</strong>
                <span class="small num">{text::stands(&before, here)}</span>
            </p>
            {on_hold}
            <div class="chips" role="group" aria-label=text::choices_for(&name)>
                {chips.collect_view()}
            </div>
            {missing.map(|words| view! { <p class="small soft">{words}</p> })}
            <div role="status">{reads}</div>
            {change}
        </li>
    }
}

/// The id of the first choice of an exercise, which has the focus once its change is closed.
fn keep_of(exercise: &Id) -> String {
    format!("keep-{}", exercise.as_str())
}

/// What the client is told of an exercise with the next version, and where it goes on; nothing where nothing is
/// changed.
fn client_reads(at_visit: AtVisit, id: &Id, exercise: Option<&Exercise>) -> Vec<String> {
    let AtVisit { history, next, after, .. } = at_visit;
    let Some(routine) = next.get() else { return Vec::new() };
    history.with_value(|history| {
        let Some(followed) = history.routine() else { return Vec::new() };
        let mut of_exercise = between(followed, &routine);
        of_exercise.retain(|change| matches!(change, Change::Exercise { id: of, .. } if of == id));
        if of_exercise.is_empty() {
            return Vec::new();
        }
        let told = |changes: &[Change]| -> Vec<String> {
            changes::told(changes).into_iter().flat_map(|about| about.lines).collect()
        };
        let Some(((course, exercise), after)) = history.course(id).zip(exercise).zip(after.get())
        else {
            return told(&of_exercise);
        };
        // Where the client goes on says it of this client, without an if.
        of_exercise.retain(|change| !change.is_of_a_hold());
        let (goes_on, today) = (course.goes_on(exercise), clock::today());
        let goes_on = offered_again::goes_on(exercise, goes_on, (history, &after), today);
        std::iter::once(goes_on).chain(told(&of_exercise)).collect()
    })
}

/// The change of an exercise, with its log beside it.
#[component]
fn InPlace(at_visit: AtVisit, id: Id) -> impl IntoView {
    let AtVisit { client, history, review, open, .. } = at_visit;
    let editing = Editing::of(client.get_value(), id.clone());
    let ladder = Memo::new(move |_| editing.exercise.get().map(|exercise| exercise.ladder));
    let name = editing.read(|exercise| exercise.name.to_string());
    let whole = address(&client.get_value(), &format!("exercise/{}", id.as_str()));
    let reviewed = review.with_value(|review| {
        review.exercises.iter().find(|one| one.exercise.id == id).cloned().map(Arc::new)
    });
    let log = match reviewed.filter(|exercise| !exercise.days.is_empty()) {
        Some(exercise) => {
            let (review, history) = (review.get_value(), history.get_value());
            let whole = Signal::derive(|| true);
            view! { <PainPlot exercise review history whole /> }.into_any()
        }
        None => view! { <p class="soft">{days::NOT_DONE}</p> }.into_any(),
    };
    let close = move |_| {
        open.set(None);
        focus::go_to([keep_of(&id)]);
    };
    view! {
        <div class="in-place" role="group" aria-label=text::change_of(&name)>
            <div class="stack">
                <Bounds editing ladder />
                <DoseFields editing />
                <div class="spread">
                    <A href=at(&whole)>{text::EVERYTHING}</A>
                    <button type="button" class="button small" on:click=close>
                        {text::DONE}
                    </button>
                </div>
            </div>
            <div class="stack">{log}</div>
        </div>
    }
}
