//! The routine builder: exercises in their order, what a session and a week of it take, and the way to the rest.

use leptos::ev::PointerEvent;
use leptos::prelude::*;
use leptos_router::components::A;

use super::completeness::Completeness;
use crate::domain::plan::draft::{Draft, MANY, Place};
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::limits::Preset;
use crate::domain::plan::phone::PhoneNumber;
use crate::domain::plan::routine::Routine;
use crate::domain::words::Id;
use crate::platform::address::at;
use crate::platform::{focus, pointer};
use crate::ui::components::figure::{Figure, Shown};
use crate::ui::practice::desk::use_desk;
use crate::ui::practice::fields::{Choice, TextLine, TextLines, as_text, maybe_words, some_words};
use crate::ui::practice::page::{Page, about_client, address};
use crate::ui::text::{dates, dose, verdict};

const PLACES: [(Place, &str); 3] =
    [(Place::WarmUp, "Warm-up"), (Place::Middle, "Middle"), (Place::Crankiest, "Crankiest")];

/// The id of the way to the library.
const ADD: &str = "add";

/// The id of a part of an exercise's card.
fn part_of(exercise: &Id, part: &str) -> String {
    format!("{part}-{}", exercise.as_str())
}

#[component]
pub fn Builder() -> impl IntoView {
    about_client(|id| view! { <Building id /> })
}

#[component]
fn Building(id: Id) -> impl IntoView {
    let desk = use_desk();
    let (of, label) = (id.clone(), id.clone());
    let draft = Memo::new(move |_| desk.draft(&of));
    let label = Signal::derive(move || {
        let client = desk.read(|caseload| caseload.client(&label));
        client.map_or_else(String::new, |client| format!("Routine: {}", client.label))
    });
    let is_empty = move || draft.with(|draft| draft.items.is_empty());
    let (add, hand_over) = (address(&id, "add"), address(&id, "hand-over"));
    let foot_add = add.clone();
    let foot = move || {
        view! {
            <p class="num small" role="status">{move || draft.with(in_all)}</p>
            <div class="two">
                <A href=at(&foot_add) attr:class="button" attr:id=ADD>"Add an exercise"</A>
                <A href=at(&hand_over) attr:class="button main">"Hand over"</A>
            </div>
        }
        .into_any()
    };
    view! {
        <Page title=label back=address(&id, "") back_to="Client" foot=Box::new(foot)>
            <Show when=is_empty>
                <p class="lead">
                    "Nothing in it yet. Two to four exercises are a good start: pick them from the library and change what you like."
                </p>
            </Show>
            <Items id=id.clone() draft />
            <Show when=move || draft.with(|draft| MANY < draft.items.len())>
                <p class="small soft">
                    "More than four: people did two exercises better than eight, with five in between (Henry 1999, Phys Ther 79:270). It is your call."
                </p>
            </Show>
            <RuleLine id=id.clone() draft />
            <Wording id=id.clone() draft />
            <Completeness client=id.clone() draft />
        </Page>
    }
}

/// "3 exercises, about 14 min a session, 52 min a week without the rests".
fn in_all(draft: &Draft) -> String {
    let count = u16::try_from(draft.items.len()).unwrap_or(u16::MAX);
    format!(
        "{}, about {} a session, {} a week without the rests",
        dose::count(count, "exercise"),
        dates::minutes(draft.session_time()),
        dates::minutes(draft.work_a_week()),
    )
}

#[component]
fn Items(id: Id, draft: Memo<Draft>) -> impl IntoView {
    let desk = use_desk();
    let of = StoredValue::new(id);
    let dragged = RwSignal::new(None::<(usize, usize)>);
    let said = RwSignal::new(String::new());
    let exercises = Memo::new(move |_| {
        draft.with(|draft| {
            draft.items.iter().map(|item| item.exercise.id.clone()).collect::<Vec<_>>()
        })
    });
    let order = move |_| {
        desk.change_draft(&of.get_value(), Draft::put_in_order);
        said.set("Put in order: warm-up first, crankiest last.".to_owned());
        let first = exercises.with_untracked(|all| all.first().map(|first| part_of(first, "name")));
        focus::go_to(first);
    };
    view! {
        <ol class="bare stack">
            <For each=move || exercises.get() key=Clone::clone let:exercise>
                <ItemCard id=of.get_value() exercise exercises draft dragged said />
            </For>
        </ol>
        <Show when=move || draft.with(|draft| !draft.is_in_order())>
            <button type="button" class="button" on:click=order>"Warm-up first, crankiest last"</button>
        </Show>
        <p class="unseen" role="status">{said}</p>
    }
}

/// One exercise of the routine.
#[component]
fn ItemCard(
    id: Id,
    exercise: Id,
    /// All of them, in their order.
    exercises: Memo<Vec<Id>>,
    draft: Memo<Draft>,
    /// The place an exercise is dragged from, and the one it is over.
    dragged: RwSignal<Option<(usize, usize)>>,
    /// What is said to those who cannot see the list move.
    said: RwSignal<String>,
) -> impl IntoView {
    let desk = use_desk();
    let of = StoredValue::new(id.clone());
    let this = StoredValue::new(exercise.clone());
    let index = Memo::new(move |_| {
        exercises.with(|all| this.with_value(|this| all.iter().position(|id| id == this)))
    });
    let item = Memo::new(move |_| {
        let index = index.get()?;
        draft.with(|draft| draft.items.get(index).cloned())
    });
    let part = move |part: &str| this.with_value(|this| part_of(this, part));
    let name = move || {
        item.with(|item| {
            item.as_ref().map(|item| item.exercise.name.to_string()).unwrap_or_default()
        })
    };
    let number = move || index.get().map_or(1, |index| index + 1);
    let is_last = move || exercises.with(Vec::len) <= number();
    let change = move |change: &dyn Fn(&mut Draft, usize)| {
        if let Some(index) = index.get_untracked() {
            desk.change_draft(&of.get_value(), |draft| change(draft, index));
        }
    };
    let shift = move |to: usize| {
        change(&|draft, index| draft.shift(index, to));
        said.set(format!("{} is now number {}.", name(), to + 1));
    };
    let earlier = move |_| {
        shift(number().saturating_sub(2));
        focus::go_to([part("earlier"), part("later")]);
    };
    let later = move |_| {
        shift(number());
        focus::go_to([part("later"), part("earlier")]);
    };
    // The next exercise has the focus then, else the one before, else the way to more.
    let take_out = move |_| {
        let number = number();
        let others = exercises.with_untracked(|all| {
            let after = all.iter().skip(number).take(1);
            let before = all.iter().take(number - 1).rev().take(1);
            after.chain(before).map(|other| part_of(other, "name")).collect::<Vec<_>>()
        });
        change(&Draft::remove);
        focus::go_to(others.into_iter().chain([ADD.to_owned()]));
    };
    let lines = move || {
        let item = item.get()?;
        let exercise = &item.exercise;
        let here = Foothold::on(exercise.ladder.start());
        let now = here.dose(&exercise.dose, &exercise.ladder);
        Some(view! {
            <Figure exercise=exercise.clone() rung=here.rung shown=Shown::Still />
            <p class="num">{dose::whole(&now)}</p>
            <p class="small soft">
                {format!(
                    "{}. Starts on rung {} of {}, up to {}: {}.",
                    crate::ui::text::capitalised(&dose::how_often(&exercise.dose)),
                    exercise.ladder.start().get(),
                    exercise.ladder.top().get(),
                    exercise.ladder.ceiling().get(),
                    exercise.ladder.rung(exercise.ladder.start()).help,
                )}
            </p>
        })
    };
    let start = move |event: PointerEvent| {
        event.prevent_default();
        pointer::hold(&event);
        dragged.set(index.get_untracked().map(|index| (index, index)));
    };
    let follow = move |event: PointerEvent| {
        if let Some((from, _)) = dragged.get_untracked()
            && let Some(over) = pointer::place_at(event.client_x(), event.client_y())
        {
            dragged.set(Some((from, over)));
        }
    };
    let let_go = move |_| {
        if let Some((from, over)) = dragged.get_untracked()
            && from != over
        {
            shift(over);
        }
        dragged.set(None);
    };
    let is_over =
        move || dragged.get().is_some_and(|(from, over)| from != over && Some(over) == index.get());
    let place = Signal::derive(move || item.with(|item| item.as_ref().map(|item| item.place)));
    let set_place = Callback::new(move |place| {
        change(&|draft, index| {
            if let Some(item) = draft.items.get_mut(index) {
                item.place = place;
            }
        });
    });
    let edit = address(&id, &format!("exercise/{}", exercise.as_str()));
    view! {
        <li class="card stack item" class:over=is_over data-place=move || (number() - 1).to_string()>
            <div class="row">
                <span
                    class="grip"
                    aria-hidden="true"
                    title="Drag to another place"
                    on:pointerdown=start
                    on:pointermove=follow
                    on:pointerup=let_go
                    on:pointercancel=move |_| dragged.set(None)
                >
                    "⠿"
                </span>
                <h2 class="grow">
                    <A href=at(&edit) attr:id=part("name")>{move || format!("{}. {}", number(), name())}</A>
                </h2>
                <button
                    type="button"
                    class="chip square"
                    id=part("earlier")
                    aria-label=move || format!("{}: earlier", name())
                    disabled=move || number() == 1
                    on:click=earlier
                >
                    "↑"
                </button>
                <button
                    type="button"
                    class="chip square"
                    id=part("later")
                    aria-label=move || format!("{}: later", name())
                    disabled=is_last
                    on:click=later
                >
                    "↓"
                </button>
            </div>
            {lines}
            <Choice label="Place in the session" options=PLACES.to_vec() value=place on_change=set_place />
            <div class="spread">
                <A href=at(&edit)>"Change"</A>
                <button type="button" class="link" on:click=move |_| change(&Draft::duplicate)>
                    "Duplicate"
                </button>
                <button type="button" class="link" on:click=take_out>
                    "Take out"
                </button>
            </div>
        </li>
    }
}

#[component]
fn RuleLine(id: Id, draft: Memo<Draft>) -> impl IntoView {
    let line = move || {
        draft.with(|draft| {
            let table = &draft.limits.table;
            format!(
                "{}: low up to {}, middle up to {}",
                match Preset::of(table) {
                    Some(preset) => verdict::preset(Some(preset)),
                    None => "Your own table",
                },
                table.low_max().points(),
                table.middle_max().points(),
            )
        })
    };
    view! {
        <section class="card row">
            <div class="grow">
                <h2>"The rule"</h2>
                <p class="small soft">{line}</p>
            </div>
            <A href=at(&address(&id, "rule"))>"Change"</A>
        </section>
    }
}

/// What the routine is called, who it is from, and what to take care of.
#[component]
fn Wording(id: Id, draft: Memo<Draft>) -> impl IntoView {
    let desk = use_desk();
    let of = StoredValue::new(id);
    let title = Signal::derive(move || draft.with(|draft| draft.title.to_string()));
    let set_title = Callback::new(move |text: String| {
        let title = some_words(&text)?;
        desk.change_draft(&of.get_value(), |draft| draft.title = title);
        Ok(())
    });
    let from = Signal::derive(move || draft.with(|draft| as_text(draft.practitioner.as_ref())));
    let set_from = Callback::new(move |text: String| {
        let from = maybe_words(&text)?;
        desk.change_draft(&of.get_value(), |draft| draft.practitioner = from);
        Ok(())
    });
    let phone = Signal::derive(move || {
        draft.with(|draft| draft.phone.as_ref().map(PhoneNumber::to_string).unwrap_or_default())
    });
    let set_phone = Callback::new(move |text: String| {
        let number = Some(text.trim()).filter(|text| !text.is_empty()).map(PhoneNumber::new);
        let number = number.transpose().map_err(|wrong| wrong.to_string())?;
        desk.change_draft(&of.get_value(), |draft| draft.phone = number);
        Ok(())
    });
    let cautions = Signal::derive(move || draft.with(|draft| draft.cautions.clone()));
    let set_cautions = Callback::new(move |lines: Vec<_>| {
        if Routine::MOST_LINES < lines.len() {
            return Err(format!("at most {} lines fit", Routine::MOST_LINES));
        }
        desk.change_draft(&of.get_value(), |draft| draft.cautions = lines);
        Ok(())
    });
    view! {
        <section class="stack">
            <h2>"Words around it"</h2>
            <TextLine label="Title" value=title on_change=set_title />
            <TextLine label="How the client knows you" value=from on_change=set_from />
            <TextLine label="Your number to ring" value=phone on_change=set_phone />
            <TextLines label="Cautions for the whole routine" value=cautions on_change=set_cautions />
        </section>
    }
}
