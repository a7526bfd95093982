//! Changing one exercise: its words, its dose and its ladder.

use leptos::prelude::*;
use leptos_router::components::A;

use super::dose::DoseFields;
use super::editing::Editing;
use super::ladder::LadderEditor;
use crate::domain::plan::library::{Entry, Region, Revision};
use crate::domain::plan::routine::{Exercise, Routine, SwellingReach};
use crate::domain::words::Words;
use crate::platform::address::at;
use crate::ui::components::photo::PhotoInput;
use crate::ui::practice::fields::{Choice, TextLine, TextLines, as_text, maybe_words, some_words};
use crate::ui::practice::page::{NotInCaseload, Page, address, use_client_id, use_id};
use crate::ui::text::library;
use crate::ui::text::practice::build::{
    exercise as text, pick as pick_text, routine as routine_text,
};

/// Whether the question about swelling speaks of an exercise.
const REACH: [SwellingReach; 2] = [SwellingReach::Reaches, SwellingReach::OutOfReach];

#[component]
pub fn ExerciseEditor() -> impl IntoView {
    let known = use_client_id().zip(use_id("exercise"));
    let editing = known.map(|(client, id)| Editing::of(client, id));
    match editing.filter(|editing| editing.exercise.with_untracked(Option::is_some)) {
        Some(editing) => view! { <Edit editing /> }.into_any(),
        None => view! { <NotInCaseload /> }.into_any(),
    }
}

#[component]
fn Edit(editing: Editing) -> impl IntoView {
    let name = Signal::derive(move || editing.read(|exercise| exercise.name.to_string()));
    let routine = address(&editing.client.get_value(), "routine");
    let done = routine.clone();
    let foot = move || {
        view! { <A href=at(&done) attr:class="button main">{routine_text::DONE}</A> }.into_any()
    };
    let in_short = move || editing.dose().get().map(|dose| text::in_short(&dose));
    view! {
        <Page title=name back=routine back_to=routine_text::BACK_TO_ROUTINE foot=Box::new(foot)>
            <p class="num" role="status">{in_short}</p>
            <DoseFields editing />
            <LadderEditor editing />
            <WordFields editing />
            <KeepForNext editing />
        </Page>
    }
}

#[component]
fn WordFields(editing: Editing) -> impl IntoView {
    let name = Signal::derive(move || editing.read(|exercise| exercise.name.to_string()));
    let set_name = Callback::new(move |entered: String| {
        let name = some_words(&entered)?;
        editing.change(|exercise| exercise.name = name);
        Ok(())
    });
    let maybe = move |read: fn(&Exercise) -> &Option<Words>,
                      write: fn(&mut Exercise, Option<Words>)| {
        let value =
            Signal::derive(move || editing.read(|exercise| as_text(read(exercise).as_ref())));
        let set = Callback::new(move |entered: String| {
            let words = maybe_words(&entered)?;
            editing.change(|exercise| write(exercise, words));
            Ok(())
        });
        (value, set)
    };
    let list = move |read: fn(&Exercise) -> &Vec<Words>, write: fn(&mut Exercise, Vec<Words>)| {
        let value = Signal::derive(move || editing.read(|exercise| read(exercise).clone()));
        let set = Callback::new(move |lines: Vec<Words>| {
            if Routine::MOST_LINES < lines.len() {
                return Err(routine_text::at_most_lines(Routine::MOST_LINES));
            }
            editing.change(|exercise| write(exercise, lines));
            Ok(())
        });
        (value, set)
    };
    let photo = Signal::derive(move || editing.read(|exercise| exercise.photo.clone()));
    let set_photo = Callback::new(move |photo| editing.change(|exercise| exercise.photo = photo));
    let purpose = maybe(|exercise| &exercise.purpose, |exercise, words| exercise.purpose = words);
    let source = maybe(|exercise| &exercise.source, |exercise, words| exercise.source = words);
    let equipment =
        list(|exercise| &exercise.equipment, |exercise, lines| exercise.equipment = lines);
    let steps = list(|exercise| &exercise.steps, |exercise, lines| exercise.steps = lines);
    let watch_for =
        list(|exercise| &exercise.watch_for, |exercise, lines| exercise.watch_for = lines);
    let cautions = list(|exercise| &exercise.cautions, |exercise, lines| exercise.cautions = lines);
    let reach = Signal::derive(move || editing.read(|exercise| Some(exercise.swelling)));
    let set_reach =
        Callback::new(move |reach| editing.change(|exercise| exercise.swelling = reach));
    view! {
        <Choice
            label=text::WHOSE_SWELLING
            options=REACH.map(|reach| (reach, text::reach(reach))).to_vec()
            value=reach
            on_change=set_reach
        />
        <section class="stack">
            <h2>{text::WORDS}</h2>
            <TextLine label=text::NAME value=name on_change=set_name />
            <TextLine label=text::WHAT_IT_IS_FOR value=purpose.0 on_change=purpose.1 />
            <TextLines label=text::WHAT_TO_FETCH value=equipment.0 on_change=equipment.1 />
            <TextLines label=text::HOW_IT_IS_DONE value=steps.0 on_change=steps.1 />
            <TextLines label=text::WATCH_FOR value=watch_for.0 on_change=watch_for.1 />
            <TextLines label=text::TAKE_CARE value=cautions.0 on_change=cautions.1 />
            {editing
                .exercise
                .get_untracked()
                .map(|first| {
                    let name = Signal::derive(move || {
                        editing.exercise.get().map_or_else(|| first.name.clone(), |now| now.name)
                    });
                    view! { <PhotoInput name value=photo on_change=set_photo /> }
                })}
            <TextLine label=text::WHERE_FROM value=source.0 on_change=source.1 />
        </section>
    }
}

/// Keeps the exercise as it is now for the next client.
#[component]
fn KeepForNext(editing: Editing) -> impl IntoView {
    let region = RwSignal::new(None::<Region>);
    let kept = RwSignal::new(false);
    let keep = move |_| {
        let exercise = editing.exercise.get_untracked();
        if let (Some(region), Some(exercise)) = (region.get_untracked(), exercise) {
            let entry = Entry { region, revision: Revision::LEAST, needs: Vec::new(), exercise };
            editing.caseload.keep_for_next(entry);
            kept.set(true);
        }
    };
    let regions = Region::ALL.map(|region| (region, library::region(region))).to_vec();
    view! {
        <details class="card">
            <summary>{text::KEEP_FOR_NEXT}</summary>
            <div class="stack">
                <p class="small soft">
                    {text::WHERE_IT_IS_KEPT}
                </p>
                <Choice label=pick_text::PART_OF_THE_BODY options=regions value=region on_change=Callback::new(move |to| region.set(Some(to))) />
                <button type="button" class="button" disabled=move || region.get().is_none() on:click=keep>
                    {text::KEEP}
                </button>
                <p role="status" class="small">{move || kept.get().then_some(text::KEPT)}</p>
            </div>
        </details>
    }
}
