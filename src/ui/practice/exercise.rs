//! Changing one exercise: its words, its dose and its ladder.

use leptos::prelude::*;
use leptos_router::components::A;

use super::desk::{Desk, use_desk};
use super::fields::{
    Choice, Number, Select, Taken, TextLine, TextLines, as_text, maybe_words, some_words,
};
use super::ladder::LadderEditor;
use super::page::{NotInCaseload, Page, address, use_client_id, use_id};
use super::tempo::TempoReader;
use crate::domain::dose::{
    Action, Amount, Days, Dose, Load, Phase, PhaseSecs, Reps, RestSecs, Sets, Sides, Tempo,
    TimesADay, WeightUnit,
};
use crate::domain::library::{Entry, Region, Revision};
use crate::domain::routine::{Exercise, Routine};
use crate::domain::words::{Id, Words};
use crate::platform::focus;
use crate::ui::components::photo::PhotoInput;
use crate::ui::text::{dates, dose, library};

/// One exercise of a client's draft, as the parts of its page change it.
#[derive(Clone, Copy)]
pub struct Editing {
    desk: Desk,
    client: StoredValue<Id>,
    id: StoredValue<Id>,
    pub exercise: Memo<Option<Exercise>>,
}

impl Editing {
    fn of(client: Id, id: Id) -> Self {
        let desk = use_desk();
        let (of, which) = (client.clone(), id.clone());
        let exercise = Memo::new(move |_| {
            let items = desk.draft(&of).items.into_iter();
            items.map(|item| item.exercise).find(|exercise| exercise.id == which)
        });
        Self { desk, client: StoredValue::new(client), id: StoredValue::new(id), exercise }
    }

    /// Reads something of the exercise, and follows it.
    pub fn read<T: Default>(self, what: impl FnOnce(&Exercise) -> T) -> T {
        self.exercise.with(|exercise| exercise.as_ref().map(what).unwrap_or_default())
    }

    pub fn change(self, change: impl FnOnce(&mut Exercise)) {
        self.desk.change_exercise(&self.client.get_value(), &self.id.get_value(), change);
    }

    fn dose(self) -> Signal<Option<Dose>> {
        Signal::derive(move || self.read(|exercise| Some(exercise.dose.clone())))
    }

    fn change_dose(self, change: impl FnOnce(&mut Dose)) {
        self.change(|exercise| change(&mut exercise.dose));
    }
}

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
    let foot = move || view! { <A href=done attr:class="button main">"Done"</A> }.into_any();
    let in_short = move || {
        editing.dose().get().map(|dose| {
            format!(
                "{}. {}. About {} a session.",
                dose::whole(&dose),
                crate::ui::text::capitalised(&dose::how_often(&dose)),
                dates::minutes(dose.exercise_time()),
            )
        })
    };
    view! {
        <Page title=name back=routine back_to="Routine" foot=Box::new(foot)>
            <p class="num" role="status">{in_short}</p>
            <DoseFields editing />
            <LadderEditor editing />
            <WordFields editing />
            <KeepForNext editing />
        </Page>
    }
}

const SIDES: [(Sides, &str); 5] = [
    (Sides::Together, "Both at once, or no sides"),
    (Sides::Left, "Left only"),
    (Sides::Right, "Right only"),
    (Sides::InTurn, "Left, then right, in each set"),
    (Sides::OneAfterTheOther, "All sets left, then all right"),
];

const WEEK: [(chrono::Weekday, &str); 7] = [
    (chrono::Weekday::Mon, "Mon"),
    (chrono::Weekday::Tue, "Tue"),
    (chrono::Weekday::Wed, "Wed"),
    (chrono::Weekday::Thu, "Thu"),
    (chrono::Weekday::Fri, "Fri"),
    (chrono::Weekday::Sat, "Sat"),
    (chrono::Weekday::Sun, "Sun"),
];

/// Hands a number on where it is in its range, and its own words where not.
pub fn number_into<N: TryFrom<i64, Error: ToString>>(
    take: impl Fn(N) + Send + Sync + 'static,
) -> Callback<i64, Taken> {
    Callback::new(move |number: i64| {
        take(N::try_from(number).map_err(|wrong| wrong.to_string())?);
        Ok(())
    })
}

#[component]
fn DoseFields(editing: Editing) -> impl IntoView {
    let read = move |what: fn(&Dose) -> i64| {
        Signal::derive(move || editing.read(|exercise| what(&exercise.dose)))
    };
    let days = Memo::new(move |_| editing.read(|exercise| exercise.dose.days.named()));
    let day = move |(day, words): (chrono::Weekday, &'static str)| {
        let is_on = move || days.with(|days| days.is_empty() || days.contains(&day));
        let turn = move |_| {
            editing.change_dose(|dose| {
                let mut on: Vec<_> = WEEK
                    .iter()
                    .map(|&(day, _)| day)
                    .filter(|day| dose.days.contain(*day))
                    .collect();
                match on.iter().position(|other| *other == day) {
                    Some(_) if on.len() == 1 => {}
                    Some(index) => {
                        on.remove(index);
                    }
                    None => on.push(day),
                }
                dose.days = if on.len() == 7 { Days::EVERY } else { Days::on(&on) };
            });
        };
        view! {
            <button type="button" class="chip" aria-pressed=move || is_on().to_string() on:click=turn>
                {words}
            </button>
        }
    };
    let sides =
        Signal::derive(move || editing.dose().get().map(|dose| dose.sides).unwrap_or_default());
    let set_sides = Callback::new(move |sides| {
        editing.change_dose(|dose| dose.sides = sides);
        Ok(())
    });
    let phases =
        Signal::derive(move || editing.read(|exercise| exercise.dose.tempo.phases().to_vec()));
    let set_phases = Callback::new(move |phases| {
        let tempo = Tempo::new(phases).map_err(|wrong| wrong.to_string())?;
        editing.change_dose(|dose| dose.tempo = tempo);
        Ok(())
    });
    let load = Signal::derive(move || {
        editing.read(|exercise| {
            exercise.dose.load.as_ref().map(ToString::to_string).unwrap_or_default()
        })
    });
    let set_load = Callback::new(move |text: String| {
        let load = read_load(&text)?;
        editing.change_dose(|dose| dose.load = load);
        Ok(())
    });
    view! {
        <section class="stack">
            <h2>"Dose"</h2>
            <div class="numbers">
                <Number
                    label="Sets"
                    value=read(|dose| dose.sets.get().into())
                    on_change=number_into(move |sets: Sets| editing.change_dose(|dose| dose.sets = sets))
                />
                <Number
                    label="Reps in a set"
                    value=read(|dose| dose.reps.get().into())
                    on_change=number_into(move |reps: Reps| editing.change_dose(|dose| dose.reps = reps))
                />
                <Number
                    label="Rest between sets, seconds"
                    step=15
                    value=read(|dose| dose.rest_secs.get().into())
                    on_change=number_into(move |rest: RestSecs| editing.change_dose(|dose| dose.rest_secs = rest))
                />
                <Number
                    label="Times a day"
                    value=read(|dose| dose.times_a_day.get().into())
                    on_change=number_into(move |times: TimesADay| editing.change_dose(|dose| dose.times_a_day = times))
                />
            </div>
            <div class="field" role="group" aria-label="Days">
                <span class="small soft">"Days"</span>
                <div class="chips week">{WEEK.map(day)}</div>
            </div>
            <Select label="Sides" options=SIDES.to_vec() value=sides on_change=set_sides />
            <TextLine label="Load: a weight such as 4 kg, or words such as a light loop band" value=load on_change=set_load />
            <h3>"One rep"</h3>
            <PhaseFields phases on_change=set_phases />
            <details>
                <summary class="small">"Read a written tempo"</summary>
                <TempoReader />
            </details>
        </section>
    }
}

/// Reads a load: a number with kg or lb, any other words as they are, nothing as no load.
pub fn read_load(text: &str) -> Result<Option<Load>, String> {
    let text = text.trim();
    for (ending, unit) in [("kg", WeightUnit::Kg), ("lb", WeightUnit::Lb)] {
        let number = text.strip_suffix(ending).map(|number| number.trim().replace(',', "."));
        if let Some(Ok(number)) = number.map(|number| number.parse()) {
            let amount = Amount::new(number).map_err(|wrong| wrong.to_string())?;
            return Ok(Some(Load::Weight { amount, unit }));
        }
    }
    Ok(maybe_words(text)?.map(Load::Described))
}

const ACTIONS: [(Action, &str); 4] = [
    (Action::Lift, "Lift"),
    (Action::Lower, "Lower"),
    (Action::Hold, "Hold"),
    (Action::Relax, "Relax"),
];

/// The phases of one rep, in the order in which they are done.
#[component]
pub fn PhaseFields(
    #[prop(into)] phases: Signal<Vec<Phase>>,
    on_change: Callback<Vec<Phase>, Taken>,
) -> impl IntoView {
    let count = Memo::new(move |_| phases.with(Vec::len));
    let list = NodeRef::<leptos::html::Ol>::new();
    let row = move |index: usize| {
        let phase = Memo::new(move |_| phases.with(|phases| phases.get(index).cloned()));
        let change = move |change: &dyn Fn(&mut Phase)| {
            let mut phases = phases.get_untracked();
            if let Some(phase) = phases.get_mut(index) {
                change(phase);
            }
            on_change.run(phases)
        };
        let action = Signal::derive(move || phase.get().map_or(Action::Hold, |phase| phase.action));
        let secs = Signal::derive(move || phase.get().map_or(0, |phase| phase.secs.get().into()));
        let how = Signal::derive(move || as_text(phase.get().and_then(|phase| phase.how).as_ref()));
        let set_action = Callback::new(move |action| change(&|phase| phase.action = action));
        let set_secs = Callback::new(move |secs: i64| {
            let secs = PhaseSecs::new(secs).map_err(|wrong| wrong.to_string())?;
            change(&|phase| phase.secs = secs)
        });
        let set_how = Callback::new(move |text: String| {
            let how = maybe_words(&text)?;
            change(&|phase| phase.how.clone_from(&how))
        });
        let take_out = move |_| {
            let mut phases = phases.get_untracked();
            phases.remove(index);
            drop(on_change.run(phases));
            if let Some(list) = list.get_untracked() {
                focus::on(&list);
            }
        };
        view! {
            <li class="phase-row">
                <Select label=format!("Phase {}", index + 1) options=ACTIONS.to_vec() value=action on_change=set_action />
                <Number label="Seconds" value=secs on_change=set_secs />
                <TextLine label="A few words, such as both feet" value=how on_change=set_how />
                <button
                    type="button"
                    class="link"
                    aria-label=format!("Take out phase {}", index + 1)
                    disabled=move || count.get() <= 1
                    on:click=take_out
                >
                    "Take out"
                </button>
            </li>
        }
    };
    let add = move |_| {
        let mut phases = phases.get_untracked();
        phases.push(Phase { action: Action::Hold, secs: PhaseSecs::nearest(2), how: None });
        drop(on_change.run(phases));
    };
    view! {
        <ol class="bare stack" node_ref=list tabindex="-1" aria-label="Phases of one rep">
            <For each=move || 0..count.get() key=|index| *index let:index>
                {row(index)}
            </For>
        </ol>
        <Show when=move || count.get() < 8>
            <button type="button" class="link" on:click=add>"Add a phase"</button>
        </Show>
    }
}

#[component]
fn WordFields(editing: Editing) -> impl IntoView {
    let name = Signal::derive(move || editing.read(|exercise| exercise.name.to_string()));
    let set_name = Callback::new(move |text: String| {
        let name = some_words(&text)?;
        editing.change(|exercise| exercise.name = name);
        Ok(())
    });
    let maybe = move |read: fn(&Exercise) -> &Option<Words>,
                      write: fn(&mut Exercise, Option<Words>)| {
        let value =
            Signal::derive(move || editing.read(|exercise| as_text(read(exercise).as_ref())));
        let set = Callback::new(move |text: String| {
            let words = maybe_words(&text)?;
            editing.change(|exercise| write(exercise, words));
            Ok(())
        });
        (value, set)
    };
    let list = move |read: fn(&Exercise) -> &Vec<Words>, write: fn(&mut Exercise, Vec<Words>)| {
        let value = Signal::derive(move || editing.read(|exercise| read(exercise).clone()));
        let set = Callback::new(move |lines: Vec<Words>| {
            if Routine::MOST_LINES < lines.len() {
                return Err(format!("at most {} lines fit", Routine::MOST_LINES));
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
    view! {
        <section class="stack">
            <h2>"Words"</h2>
            <TextLine label="Name" value=name on_change=set_name />
            <TextLine label="What it is for" value=purpose.0 on_change=purpose.1 />
            <TextLines label="What to fetch" value=equipment.0 on_change=equipment.1 />
            <TextLines label="How it is done" value=steps.0 on_change=steps.1 />
            <TextLines label="Watch for" value=watch_for.0 on_change=watch_for.1 />
            <TextLines label="Take care" value=cautions.0 on_change=cautions.1 />
            {editing
                .exercise
                .get_untracked()
                .map(|first| {
                    let name = Signal::derive(move || {
                        editing.exercise.get().map_or_else(|| first.name.clone(), |now| now.name)
                    });
                    view! { <PhotoInput name value=photo on_change=set_photo /> }
                })}
            <TextLine label="Where the dose is from" value=source.0 on_change=source.1 />
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
            editing.desk.keep_for_next(entry);
            kept.set(true);
        }
    };
    let regions = Region::ALL.map(|region| (region, library::region(region))).to_vec();
    view! {
        <details class="card">
            <summary>"Keep it for the next client"</summary>
            <div class="stack">
                <p class="small soft">
                    "It then stands in your library on this device, as it is here. One of the same name that you kept before, or that came with the app, gives way to it."
                </p>
                <Choice label="Part of the body" options=regions value=region on_change=Callback::new(move |to| region.set(Some(to))) />
                <button type="button" class="button" disabled=move || region.get().is_none() on:click=keep>
                    "Keep it"
                </button>
                <p role="status" class="small">{move || kept.get().then_some("It is in your library now.")}</p>
            </div>
        </details>
    }
}
