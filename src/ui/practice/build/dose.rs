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
use crate::ui::text::dose::action_word;
use crate::ui::text::practice::build::{
    dose as text, routine as routine_text, tempo as tempo_text,
};
use crate::ui::text::refusals::InWords;

const SIDES: [Sides; 5] =
    [Sides::Together, Sides::Left, Sides::Right, Sides::InTurn, Sides::OneAfterTheOther];

const WEEK: [chrono::Weekday; 7] = [
    chrono::Weekday::Mon,
    chrono::Weekday::Tue,
    chrono::Weekday::Wed,
    chrono::Weekday::Thu,
    chrono::Weekday::Fri,
    chrono::Weekday::Sat,
    chrono::Weekday::Sun,
];

/// Hands a number on where it is in its range, and says why not where it is not.
pub fn number_into<N: TryFrom<i64, Error: InWords>>(
    take: impl Fn(N) + Send + Sync + 'static,
) -> Callback<i64, Taken> {
    Callback::new(move |number: i64| {
        take(N::try_from(number).map_err(|wrong| wrong.in_words())?);
        Ok(())
    })
}

#[component]
pub fn DoseFields(editing: Editing) -> impl IntoView {
    let read = move |what: fn(&Dose) -> i64| {
        Signal::derive(move || editing.read(|exercise| what(&exercise.dose)))
    };
    let days = Memo::new(move |_| editing.read(|exercise| exercise.dose.days.named()));
    let day = move |day: chrono::Weekday| {
        let is_on = move || days.with(|days| days.is_empty() || days.contains(&day));
        let turn = move |_| {
            editing.change_dose(|dose| {
                let mut on: Vec<_> =
                    WEEK.into_iter().filter(|day| dose.days.contain(*day)).collect();
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
                {text::short_weekday(day)}
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
        let tempo = Tempo::new(phases).map_err(|wrong| wrong.in_words())?;
        editing.change_dose(|dose| dose.tempo = tempo);
        Ok(())
    });
    let load = Signal::derive(move || {
        editing.read(|exercise| {
            exercise.dose.load.as_ref().map(ToString::to_string).unwrap_or_default()
        })
    });
    let set_load = Callback::new(move |entered: String| {
        let load = read_load(&entered)?;
        editing.change_dose(|dose| dose.load = load);
        Ok(())
    });
    view! {
        <section class="stack">
            <h2>{text::TITLE}</h2>
            <div class="numbers">
                <Number
                    label=text::SETS
                    value=read(|dose| dose.sets.get().into())
                    on_change=number_into(move |sets: Sets| editing.change_dose(|dose| dose.sets = sets))
                />
                <Number
                    label=text::REPS
                    value=read(|dose| dose.reps.get().into())
                    on_change=number_into(move |reps: Reps| editing.change_dose(|dose| dose.reps = reps))
                />
                <Number
                    label=text::REST
                    step=15
                    value=read(|dose| dose.rest_secs.get().into())
                    on_change=number_into(move |rest: RestSecs| editing.change_dose(|dose| dose.rest_secs = rest))
                />
                <Number
                    label=text::TIMES_A_DAY
                    value=read(|dose| dose.times_a_day.get().into())
                    on_change=number_into(move |times: TimesADay| editing.change_dose(|dose| dose.times_a_day = times))
                />
            </div>
            <div class="field" role="group" aria-label=text::DAYS>
                <span class="small soft">{text::DAYS}</span>
                <div class="chips week">{WEEK.map(day)}</div>
            </div>
            <Select
                label=text::WHICH_SIDES
                options=SIDES.map(|sides| (sides, text::sides(sides))).to_vec()
                value=sides
                on_change=set_sides
            />
            <TextLine label=text::LOAD_SUCH_AS value=load on_change=set_load />
            <h3>{text::ONE_REP}</h3>
            <PhaseFields phases on_change=set_phases />
            <details>
                <summary class="small">{tempo_text::READ_A_WRITTEN_TEMPO}</summary>
                <TempoReader />
            </details>
        </section>
    }
}

/// Reads a load: a number with kg or lb, any other words as they are, nothing as no load.
pub fn read_load(entered: &str) -> Result<Option<Load>, String> {
    let entered = entered.trim();
    for (ending, unit) in [("kg", WeightUnit::Kg), ("lb", WeightUnit::Lb)] {
        let number = entered.strip_suffix(ending).map(|number| number.trim().replace(',', "."));
        if let Some(Ok(number)) = number.map(|number| number.parse()) {
            let amount = Amount::new(number).map_err(|wrong| wrong.in_words())?;
            return Ok(Some(Load::Weight { amount, unit }));
        }
    }
    Ok(maybe_words(entered)?.map(Load::Described))
}

const ACTIONS: [Action; 4] = [Action::Lift, Action::Lower, Action::Hold, Action::Relax];

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
        let set_word = Callback::new(move |entered: String| {
            let word = Some(entered.trim()).filter(|word| !word.is_empty());
            let word = word.map(PhaseWord::new).transpose().map_err(|wrong| wrong.in_words())?;
            change(&|phase| phase.word.clone_from(&word))
        });
        let set_action = Callback::new(move |action| change(&|phase| phase.action = action));
        let set_secs = Callback::new(move |secs: i64| {
            let secs = PhaseSecs::new(secs).map_err(|wrong| wrong.in_words())?;
            change(&|phase| phase.secs = secs)
        });
        let set_how = Callback::new(move |entered: String| {
            let how = maybe_words(&entered)?;
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
                <Select
                    label=text::phase(index + 1)
                    options=ACTIONS.map(|action| (action, action_word(action))).to_vec()
                    value=action
                    on_change=set_action
                />
                <Number label=text::SECONDS value=secs on_change=set_secs />
                <TextLine label=text::ONE_WORD value=word on_change=set_word />
                <TextLine label=text::A_FEW_WORDS value=how on_change=set_how />
                <button
                    type="button"
                    class="link"
                    aria-label=text::take_out_phase(index + 1)
                    disabled=move || count.get() <= 1
                    on:click=take_out
                >
                    {routine_text::TAKE_OUT}
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
        <ol class="bare stack" node_ref=list tabindex="-1" aria-label=text::PHASES>
            <For each=move || 0..count.get() key=|index| *index let:index>
                {row(index)}
            </For>
        </ol>
        <Show when=move || count.get() < 8>
            <button type="button" class="link" on:click=add>{text::ADD_A_PHASE}</button>
        </Show>
    }
}
