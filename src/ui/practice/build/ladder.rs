//! The ladder editor: rungs in words, what each changes in the dose, where the client starts and how far up.

use leptos::prelude::*;

use super::dose::{PhaseFields, number_into, read_load};
use super::editing::Editing;
use crate::domain::plan::dose::{DoseChange, Reps, RestSecs, Sets, Tempo};
use crate::domain::plan::ladder::{Ladder, Rung, RungNumber, WordsChange};
use crate::domain::plan::routine::{Exercise, Routine};
use crate::domain::words::Words;
use crate::platform::focus;
use crate::ui::practice::fields::{Number, Taken, TextArea, TextLine, TextLines, some_words};
use crate::ui::text::dose;
use crate::ui::text::practice::build::{
    dose as dose_text, ladder as text, routine as routine_text,
};
use crate::ui::text::practice::fields as fields_text;
use crate::ui::text::refusals::InWords;

/// The id of a rung's title, which has the focus once the rung has come or moved into its place.
fn title_of(rung: u16) -> String {
    format!("rung-{rung}")
}

#[component]
pub fn LadderEditor(editing: Editing) -> impl IntoView {
    let ladder = Memo::new(move |_| editing.exercise.get().map(|exercise| exercise.ladder));
    let top = Memo::new(move |_| {
        ladder.with(|ladder| ladder.as_ref().map_or(0, |ladder| ladder.top().get()))
    });
    let problem = RwSignal::new(None::<String>);
    let change = move |changed: Result<Ladder, crate::domain::plan::ladder::NotALadder>,
                       then: [String; 2]| {
        match changed {
            Ok(changed) => {
                problem.set(None);
                editing.change(|exercise| exercise.ladder = changed);
                focus::go_to(then);
            }
            Err(wrong) => problem.set(Some(fields_text::not_taken(&wrong.in_words()))),
        }
    };
    let add_above = move |number: RungNumber| {
        let above = title_of(number.get() + 1);
        if let Some(now) = ladder.get_untracked() {
            change(now.with_one_above(number), [above, title_of(number.get())]);
        }
    };
    let take_out = move |number: RungNumber| {
        let below = title_of(number.get() - 1);
        if let Some(now) = ladder.get_untracked() {
            change(now.without(number), [title_of(number.get()), below]);
        }
    };
    let numbers = move || (1..=top.get()).rev().map(RungNumber::nearest).collect::<Vec<_>>();
    view! {
        <section class="stack">
            <h2>{text::TITLE}</h2>
            <p class="small soft">{text::WHICH_WAY_UP}</p>
            <Bounds editing ladder />
            <ol class="bare stack rungs">
                <For each=numbers key=|number| number.get() let:number>
                    <RungFields editing ladder number>
                        <button
                            type="button"
                            class="link"
                            aria-label=text::add_above(number.get())
                            on:click=move |_| add_above(number)
                        >
                            {text::ADD_ABOVE}
                        </button>
                        <Show when=move || 1 < top.get()>
                            <button
                                type="button"
                                class="link"
                                aria-label=text::take_out(number.get())
                                on:click=move |_| take_out(number)
                            >
                                {routine_text::TAKE_OUT}
                            </button>
                        </Show>
                    </RungFields>
                </For>
            </ol>
            <p role="alert" class="refusal small">{move || problem.get()}</p>
            <crate::ui::practice::caseload::measuring_sheets::MeasureHelp />
        </section>
    }
}

/// A bound of a ladder that moved with the other one.
#[derive(Clone)]
struct Moved {
    /// The ladder as this left it: once it is another one, there is nothing to say or to put back.
    left: Ladder,
    /// The highest rung as it was chosen.
    chosen: RungNumber,
    words: String,
}

/// The rung on which a ladder starts, and the highest until the next visit. A start above the highest takes
/// it along and says so; coming back brings it back.
#[component]
pub fn Bounds(editing: Editing, ladder: Memo<Option<Ladder>>) -> impl IntoView {
    let number_of = move |read: fn(&Ladder) -> RungNumber| {
        Signal::derive(move || {
            ladder.with(|ladder| ladder.as_ref().map_or(0, |ladder| read(ladder).get().into()))
        })
    };
    let moved = RwSignal::new(None::<Moved>);
    let standing = move || {
        let is_left_so = |moved: &Moved| ladder.with(|now| now.as_ref() == Some(&moved.left));
        moved.get().filter(is_left_so)
    };
    let take = move |changed: Ladder, chosen: RungNumber, words: Option<String>| {
        moved.set(words.map(|words| Moved { left: changed.clone(), chosen, words }));
        editing.change(|exercise| exercise.ladder = changed);
    };
    let set_start = Callback::new(move |number: i64| -> Taken {
        let number = RungNumber::new(number).map_err(|wrong| wrong.in_words())?;
        let now = ladder.get_untracked().ok_or_else(String::new)?;
        let chosen = untrack(standing).map_or(now.ceiling(), |moved| moved.chosen);
        let changed = now
            .up_to(chosen)
            .and_then(|ladder| ladder.starting_on(number))
            .map_err(|wrong| wrong.in_words())?;
        let highest = changed.ceiling();
        let words = (chosen < highest).then(|| text::highest_went_along(highest.get()));
        take(changed, chosen, words);
        Ok(())
    });
    let set_ceiling = Callback::new(move |number: i64| -> Taken {
        let number = RungNumber::new(number).map_err(|wrong| wrong.in_words())?;
        let now = ladder.get_untracked().ok_or_else(String::new)?;
        let changed = now.up_to(number).map_err(|wrong| wrong.in_words())?;
        let start = changed.start();
        let words = (start < now.start()).then(|| text::start_went_along(start.get()));
        take(changed, number, words);
        Ok(())
    });
    let words = move || standing().map(|moved| moved.words);
    view! {
        <div class="numbers">
            <Number label=text::STARTS_ON value=number_of(Ladder::start) on_change=set_start />
            <Number label=text::UP_TO value=number_of(Ladder::ceiling) on_change=set_ceiling />
        </div>
        <p role="status" class="small" class:empty=move || words().is_none()>{words}</p>
    }
}

#[component]
fn RungFields(
    editing: Editing,
    ladder: Memo<Option<Ladder>>,
    number: RungNumber,
    /// What can be done with the rung as a whole.
    children: Children,
) -> impl IntoView {
    let rung = Memo::new(move |_| {
        ladder.with(|ladder| ladder.as_ref().map(|ladder| ladder.rung(number).clone()))
    });
    let change = move |change: &dyn Fn(&mut Rung)| {
        if let (Some(ladder), Some(mut rung)) = (ladder.get_untracked(), rung.get_untracked()) {
            change(&mut rung);
            editing.change(|exercise| exercise.ladder = ladder.with(number, rung));
        }
    };
    let help =
        Signal::derive(move || rung.get().map_or_else(String::new, |rung| rung.help.to_string()));
    let set_help = Callback::new(move |entered: String| {
        let help = some_words(&entered)?;
        change(&|rung| rung.help.clone_from(&help));
        Ok(())
    });
    let label = move || {
        ladder.with(|ladder| {
            let is = |mark: fn(&Ladder) -> RungNumber| {
                ladder.as_ref().is_some_and(|ladder| mark(ladder) == number)
            };
            text::rung(number.get(), is(Ladder::start), is(Ladder::ceiling))
        })
    };
    let several =
        move || editing.read(|exercise| 1 < exercise.ladder.changes_at(number, &exercise.dose));
    let changed = move || {
        rung.get()
            .filter(|rung| !rung.dose.is_empty())
            .map(|rung| editing.read(|exercise| dose::whole(&exercise.dose.with(&rung.dose))))
    };
    let own_words = move || {
        let WordsChange { equipment, steps, watch_for } = rung.get().map(|rung| rung.words)?;
        let lists = [
            (equipment, text::WHAT_TO_FETCH),
            (steps, text::HOW_IT_IS_DONE),
            (watch_for, text::WATCH_FOR),
        ];
        let own: Vec<&str> =
            lists.into_iter().filter_map(|(list, name)| list.map(|_| name)).collect();
        (!own.is_empty()).then(|| text::of_its_own(&own))
    };
    view! {
        <li class="card stack">
            <h3 id=title_of(number.get()) tabindex="-1">{label}</h3>
            <TextArea label=text::WHAT_HELPS value=help on_change=set_help />
            {move || changed().map(|dose| view! { <p class="small soft num">{text::here(&dose)}</p> })}
            <Show when=several>
                <p class="small soft">
                    {text::SEVERAL_AT_ONCE}
                </p>
            </Show>
            {move || own_words().map(|words| view! { <p class="small soft">{words}</p> })}
            <details>
                <summary class="small">{text::words_on(number.get())}</summary>
                <WordsHere editing number rung change=Callback::new(move |to: WordsChange| change(&|rung| rung.words = to.clone())) />
            </details>
            <details>
                <summary class="small">{text::dose_on(number.get())}</summary>
                <DoseHere editing number rung change=Callback::new(move |to: DoseChange| change(&|rung| rung.dose = to.clone())) />
            </details>
            <div class="spread">{children()}</div>
        </li>
    }
}

/// What one rung says otherwise than the exercise. A list that is as the exercise's is no list of its own.
#[component]
fn WordsHere(
    editing: Editing,
    number: RungNumber,
    rung: Memo<Option<Rung>>,
    change: Callback<WordsChange>,
) -> impl IntoView {
    let here = Memo::new(move |_| rung.get().map(|rung| rung.words).unwrap_or_default());
    let list = move |read: fn(&Exercise, RungNumber) -> &[Words],
                     usual: fn(&Exercise) -> &Vec<Words>,
                     write: fn(&mut WordsChange, Option<Vec<Words>>)| {
        let value =
            Signal::derive(move || editing.read(|exercise| read(exercise, number).to_vec()));
        let set = Callback::new(move |lines: Vec<Words>| {
            if Routine::MOST_LINES < lines.len() {
                return Err(routine_text::at_most_lines(Routine::MOST_LINES));
            }
            let is_own = editing.read(|exercise| *usual(exercise) != lines);
            let mut to = here.get_untracked();
            write(&mut to, is_own.then_some(lines));
            change.run(to);
            Ok(())
        });
        (value, set)
    };
    let equipment = list(
        Exercise::equipment_on,
        |exercise| &exercise.equipment,
        |words, lines| {
            words.equipment = lines;
        },
    );
    let steps = list(
        Exercise::steps_on,
        |exercise| &exercise.steps,
        |words, lines| {
            words.steps = lines;
        },
    );
    let watch_for = list(
        Exercise::watch_for_on,
        |exercise| &exercise.watch_for,
        |words, lines| {
            words.watch_for = lines;
        },
    );
    let as_elsewhere = move |_| {
        change.run(WordsChange::default());
        focus::go_to([title_of(number.get())]);
    };
    view! {
        <div class="stack">
            <p class="small soft">
                {text::WHAT_TO_CHANGE}
            </p>
            <TextLines label=text::list_on(number.get(), text::WHAT_TO_FETCH) value=equipment.0 on_change=equipment.1 />
            <TextLines label=text::list_on(number.get(), text::HOW_IT_IS_DONE) value=steps.0 on_change=steps.1 />
            <TextLines label=text::list_on(number.get(), text::WATCH_FOR) value=watch_for.0 on_change=watch_for.1 />
            <Show when=move || !here.with(WordsChange::is_empty)>
                <button type="button" class="link" on:click=as_elsewhere>
                    {text::AS_ON_THE_OTHERS}
                </button>
            </Show>
        </div>
    }
}

/// What one rung changes in the dose; what is left as prescribed follows the exercise.
#[component]
fn DoseHere(
    editing: Editing,
    number: RungNumber,
    rung: Memo<Option<Rung>>,
    change: Callback<DoseChange>,
) -> impl IntoView {
    let here = Memo::new(move |_| rung.get().map(|rung| rung.dose).unwrap_or_default());
    let whole =
        Memo::new(move |_| editing.exercise.get().map(|exercise| exercise.dose.with(&here.get())));
    let with = move |write: &dyn Fn(&mut DoseChange)| {
        let mut to = here.get_untracked();
        write(&mut to);
        change.run(to);
    };
    let sets = Signal::derive(move || whole.get().map_or(0, |dose| dose.sets.get().into()));
    let reps = Signal::derive(move || whole.get().map_or(0, |dose| dose.reps.get().into()));
    let rest = Signal::derive(move || whole.get().map_or(0, |dose| dose.rest_secs.get().into()));
    let load = Signal::derive(move || {
        whole.get().and_then(|dose| dose.load.as_ref().map(ToString::to_string)).unwrap_or_default()
    });
    let phases = Signal::derive(move || {
        whole.get().map(|dose| dose.tempo.phases().to_vec()).unwrap_or_default()
    });
    let set_load = Callback::new(move |entered: String| {
        let load = read_load(&entered)?;
        with(&|to| to.load.clone_from(&load));
        Ok(())
    });
    let set_phases = Callback::new(move |phases| {
        let tempo = Tempo::new(phases).map_err(|wrong| wrong.in_words())?;
        with(&|to| to.tempo = Some(tempo.clone()));
        Ok(())
    });
    let as_prescribed = move |_| {
        change.run(DoseChange::default());
        focus::go_to([title_of(number.get())]);
    };
    view! {
        <div class="stack">
            <div class="numbers">
                <Number label=dose_text::SETS value=sets on_change=number_into(move |sets: Sets| with(&|to| to.sets = Some(sets))) />
                <Number label=dose_text::REPS value=reps on_change=number_into(move |reps: Reps| with(&|to| to.reps = Some(reps))) />
                <Number label=dose_text::REST step=15 value=rest on_change=number_into(move |rest: RestSecs| with(&|to| to.rest_secs = Some(rest))) />
            </div>
            <TextLine label=text::LOAD value=load on_change=set_load />
            <PhaseFields phases on_change=set_phases />
            <Show when=move || !here.with(DoseChange::is_empty)>
                <button type="button" class="link" on:click=as_prescribed>
                    {text::AS_PRESCRIBED}
                </button>
            </Show>
        </div>
    }
}
