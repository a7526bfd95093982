//! The routine builder: exercises in their order, what a session and a week of it take, and the way to the rest.

use leptos::ev::PointerEvent;
use leptos::prelude::*;
use leptos_router::components::A;

use super::completeness::Completeness;
use crate::domain::plan::draft::{Draft, Item, MANY, SessionPlace};
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::phone::PhoneNumber;
use crate::domain::plan::routine::Routine;
use crate::domain::words::Id;
use crate::platform::address::at;
use crate::platform::{focus, pointer};
use crate::ui::components::figure::{Figure, Shown};
use crate::ui::practice::fields::{Choice, TextLine, TextLines, as_text, maybe_words, some_words};
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::practice::page::{Page, about_client, address};
use crate::ui::text::practice::build::{pick as pick_text, routine as text, rule as rule_text};
use crate::ui::text::refusals::InWords;
use crate::ui::text::{dose, standing};

const PLACES: [SessionPlace; 3] =
    [SessionPlace::WarmUp, SessionPlace::Middle, SessionPlace::Crankiest];

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
    let caseload = use_caseload();
    let (of, label) = (id.clone(), id.clone());
    let draft = Memo::new(move |_| caseload.draft(&of));
    let label = Signal::derive(move || {
        let client = caseload.read(|caseload| caseload.client(&label));
        client.map_or_else(String::new, |client| text::title(&client.label))
    });
    let is_empty = move || draft.with(|draft| draft.items.is_empty());
    let (add, hand_over) = (address(&id, "add"), address(&id, "hand-over"));
    let foot_add = add.clone();
    let foot = move || {
        view! {
            <p class="num small" role="status">{move || draft.with(text::in_all)}</p>
            <div class="two">
                <A href=at(&foot_add) attr:class="button" attr:id=ADD>{pick_text::ADD_AN_EXERCISE}</A>
                <A href=at(&hand_over) attr:class="button main">{text::HAND_OVER}</A>
            </div>
        }
        .into_any()
    };
    view! {
        <Page title=label back=address(&id, "") back_to=text::BACK_TO_CLIENT foot=Box::new(foot)>
            <Show when=is_empty>
                <p class="lead">
                    {text::NOTHING_YET}
                </p>
            </Show>
            <Items id=id.clone() draft />
            <Show when=move || draft.with(|draft| MANY < draft.items.len())>
                <p class="small soft">
                    {text::MORE_THAN_FOUR}
                </p>
            </Show>
            <RuleLine id=id.clone() draft />
            <Wording id=id.clone() draft />
            <Completeness client=id.clone() draft />
        </Page>
    }
}

#[component]
fn Items(id: Id, draft: Memo<Draft>) -> impl IntoView {
    let caseload = use_caseload();
    let of = StoredValue::new(id);
    let dragged = RwSignal::new(None::<(usize, usize)>);
    let said = RwSignal::new(String::new());
    let exercises = Memo::new(move |_| {
        draft.with(|draft| {
            draft.items.iter().map(|item| item.exercise.id.clone()).collect::<Vec<_>>()
        })
    });
    // Until another is taken out, or the page is left.
    let taken_out = RwSignal::new(None::<(usize, Item)>);
    let put_back = move |_| {
        if let Some((index, item)) = taken_out.get_untracked() {
            focus::go_to([part_of(&item.exercise.id, "name")]);
            caseload.change_draft(&of.get_value(), |draft| draft.put_back(index, item));
            taken_out.set(None);
        }
    };
    let was_taken_out = move || {
        taken_out.get().map(|(_, item)| {
            view! {
                <p class="card row" role="status">
                    <span class="grow">{text::taken_out(&item.exercise.name)}</span>
                    <button type="button" class="link" on:click=put_back>
                        {text::PUT_BACK}
                    </button>
                </p>
            }
        })
    };
    let order = move |_| {
        caseload.change_draft(&of.get_value(), Draft::put_in_order);
        said.set(text::IS_IN_ORDER.to_owned());
        let first = exercises.with_untracked(|all| all.first().map(|first| part_of(first, "name")));
        focus::go_to(first);
    };
    view! {
        <ol class="bare stack">
            <For each=move || exercises.get() key=Clone::clone let:exercise>
                <ItemCard id=of.get_value() exercise exercises draft dragged said taken_out />
            </For>
        </ol>
        {was_taken_out}
        <Show when=move || draft.with(|draft| !draft.is_in_order())>
            <button type="button" class="button" on:click=order>{text::PUT_IN_ORDER}</button>
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
    /// What was taken out last, and from where.
    taken_out: RwSignal<Option<(usize, Item)>>,
) -> impl IntoView {
    let caseload = use_caseload();
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
            caseload.change_draft(&of.get_value(), |draft| change(draft, index));
        }
    };
    let shift = move |to: usize| {
        change(&|draft, index| draft.shift(index, to));
        said.set(text::is_now_number(&name(), to + 1));
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
        taken_out.set(index.get_untracked().zip(item.get_untracked()));
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
                {text::starts_on(exercise)}
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
                    title=text::DRAG
                    on:pointerdown=start
                    on:pointermove=follow
                    on:pointerup=let_go
                    on:pointercancel=move |_| dragged.set(None)
                >
                    "⠿"
                </span>
                <h2 class="grow">
                    <A href=at(&edit) attr:id=part("name")>{move || text::numbered(number(), &name())}</A>
                </h2>
                <button
                    type="button"
                    class="chip square"
                    id=part("earlier")
                    aria-label=move || text::earlier(&name())
                    disabled=move || number() == 1
                    on:click=earlier
                >
                    "↑"
                </button>
                <button
                    type="button"
                    class="chip square"
                    id=part("later")
                    aria-label=move || text::later(&name())
                    disabled=is_last
                    on:click=later
                >
                    "↓"
                </button>
            </div>
            {lines}
            <Choice
                label=text::PLACE_IN_SESSION
                options=PLACES.map(|place| (place, text::place(place))).to_vec()
                value=place
                on_change=set_place
            />
            <div class="spread">
                <A href=at(&edit)>{standing::CHANGE}</A>
                <button type="button" class="link" on:click=move |_| change(&Draft::duplicate)>
                    {text::DUPLICATE}
                </button>
                <button type="button" class="link" on:click=take_out>
                    {text::TAKE_OUT}
                </button>
            </div>
        </li>
    }
}

#[component]
fn RuleLine(id: Id, draft: Memo<Draft>) -> impl IntoView {
    let line = move || draft.with(|draft| text::rule(&draft.limits.table));
    view! {
        <section class="card row">
            <div class="grow">
                <h2>{rule_text::TITLE}</h2>
                <p class="small soft">{line}</p>
            </div>
            <A href=at(&address(&id, "rule"))>{standing::CHANGE}</A>
        </section>
    }
}

/// What the routine is called, who it is from, and what to take care of.
#[component]
fn Wording(id: Id, draft: Memo<Draft>) -> impl IntoView {
    let caseload = use_caseload();
    let of = StoredValue::new(id);
    let title = Signal::derive(move || draft.with(|draft| draft.title.to_string()));
    let set_title = Callback::new(move |entered: String| {
        let title = some_words(&entered)?;
        caseload.change_draft(&of.get_value(), |draft| draft.title = title);
        Ok(())
    });
    let from = Signal::derive(move || draft.with(|draft| as_text(draft.practitioner.as_ref())));
    let set_from = Callback::new(move |entered: String| {
        let from = maybe_words(&entered)?;
        caseload.change_draft(&of.get_value(), |draft| draft.practitioner = from);
        Ok(())
    });
    let phone = Signal::derive(move || {
        draft.with(|draft| draft.phone.as_ref().map(PhoneNumber::to_string).unwrap_or_default())
    });
    let set_phone = Callback::new(move |entered: String| {
        let number = Some(entered.trim()).filter(|number| !number.is_empty());
        let number = number.map(PhoneNumber::new).transpose().map_err(|wrong| wrong.in_words())?;
        caseload.change_draft(&of.get_value(), |draft| draft.phone = number);
        Ok(())
    });
    let cautions = Signal::derive(move || draft.with(|draft| draft.cautions.clone()));
    let set_cautions = Callback::new(move |lines: Vec<_>| {
        if Routine::MOST_LINES < lines.len() {
            return Err(text::at_most_lines(Routine::MOST_LINES));
        }
        caseload.change_draft(&of.get_value(), |draft| draft.cautions = lines);
        Ok(())
    });
    view! {
        <section class="stack">
            <h2>{text::WORDS_AROUND_IT}</h2>
            <TextLine label=text::WHAT_IT_IS_CALLED value=title on_change=set_title />
            <TextLine label=text::WHO_IT_IS_FROM value=from on_change=set_from />
            <TextLine label=text::YOUR_NUMBER value=phone on_change=set_phone />
            <TextLines label=text::CAUTIONS value=cautions on_change=set_cautions />
        </section>
    }
}
