//! The dose of an exercise or a rung: sets, reps, tempo, rest, sides, load and days.

use leptos::prelude::*;

use super::editing::Editing;
use super::tempo::TempoReader;
use crate::domain::plan::dose::{
    Action, Amount, Days, Dose, Load, Phase, PhaseSecs, PhaseWord, Reps, RestSecs, Sets, Sides,
    Tempo, TimesADay, WeightUnit,
};
use crate::platform::focus;
use crate::ui::practice::fields::{Number, Select, Taken, TextLine, as_text, maybe_words};

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
pub fn DoseFields(editing: Editing) -> impl IntoView {
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
    (Action::Hold, "Stay"),
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
        let word = Signal::derive(move || {
            let word = phase.get().and_then(|phase| phase.word);
            word.map_or_else(String::new, |word| word.as_str().to_owned())
        });
        let set_word = Callback::new(move |text: String| {
            let word = Some(text.trim()).filter(|text| !text.is_empty());
            let word = word.map(PhaseWord::new).transpose().map_err(|wrong| wrong.to_string())?;
            change(&|phase| phase.word.clone_from(&word))
        });
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
                <TextLine label="One word instead, such as push" value=word on_change=set_word />
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
        phases.push(Phase::of(Action::Hold, PhaseSecs::nearest(2)));
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
