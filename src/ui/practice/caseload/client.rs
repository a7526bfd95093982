//! One client: what is planned, what was done, what is in the home and what is on loan.

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::components::A;
use leptos_router::hooks::use_navigate;

use super::next_visit::NextVisit;
use crate::domain::plan::library::Thing;
use crate::domain::plan::routine::Routine;
use crate::domain::visit::caseload::{Client, ClientStatus, Loan};
use crate::domain::words::Id;
use crate::platform::address::at;
use crate::platform::clock;
use crate::ui::components::answers::Answers;
use crate::ui::components::routine_page::RoutinePage;
use crate::ui::components::two_taps::TwoTaps;
use crate::ui::practice::fields::{AddLine, TextLine, some_words};
use crate::ui::practice::live_caseload::{LiveCaseload, use_caseload};
use crate::ui::practice::page::{Page, about_client, address};
use crate::ui::text::practice::caseload::{client as text, list};
use crate::ui::text::practice::fields;
use crate::ui::text::practice::hand_over::handing_over;
use crate::ui::text::{capitalised, library};

#[component]
pub fn ClientPage() -> impl IntoView {
    about_client(|id| view! { <OneClient id /> })
}

#[component]
fn OneClient(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let of = id.clone();
    let client = Memo::new(move |_| caseload.read(|caseload| caseload.client(&of)));
    let label = Signal::derive(move || {
        client.get().map_or_else(String::new, |client| client.label.to_string())
    });
    view! {
        <Page title=label back="/practice" back_to=list::TITLE>
            <Planned id=id.clone() />
            <Done id=id.clone() />
            <Home id=id.clone() client />
            <Loans id=id.clone() client />
            <LabelArchiveErase id client label />
        </Page>
    }
}

#[component]
fn Planned(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let of = id.clone();
    let versions = Memo::new(move |_| caseload.read(|caseload| caseload.routines(&of)));
    let (change, hand_over) = (address(&id, "routine"), address(&id, "hand-over"));
    let unsent = move || {
        let draft = caseload.draft(&id);
        versions.with(|versions| match versions.last() {
            Some(last) => !draft.says_the_same_as(last),
            None => !draft.items.is_empty(),
        })
    };
    let version = |routine: &Routine| {
        view! {
            <details class="card">
                <summary>{text::version(routine)}</summary>
                <Answers answers=routine.answers.clone() title=text::ANSWERS />
                <RoutinePage routine=routine.clone() />
            </details>
        }
    };
    view! {
        <section class="stack">
            <h2>{text::ROUTINE}</h2>
            <Show when=unsent>
                <p class="small">{text::NOT_HANDED_OVER}</p>
            </Show>
            <div class="two">
                <A href=at(&change) attr:class="button main">
                    {move || if versions.with(Vec::is_empty) { text::BUILD_ROUTINE } else { text::CHANGE_ROUTINE }}
                </A>
                <A href=at(&hand_over) attr:class="button">{handing_over::TITLE}</A>
            </div>
            {move || versions.with(|versions| versions.iter().rev().map(version).collect_view())}
        </section>
    }
}

#[component]
fn Done(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let of = id.clone();
    let (visited, last) = (id.clone(), move || caseload.history(&of).last_day());
    let visited = move || {
        let last = caseload.read(|caseload| caseload.visits(&visited)).pop();
        last.map(|(_, visit)| text::last_visit(visit.day))
    };
    let line = move || match last() {
        Some(day) => text::log_reaches(day),
        None => text::NO_LOG_YET.to_owned(),
    };
    view! {
        <section class="stack">
            <h2>{text::DONE}</h2>
            <p class="small soft">{line} " " {visited}</p>
            <A href=at(&address(&id, "review")) attr:class="button">{text::OPEN_LOG}</A>
            <NextVisit id />
        </section>
    }
}

#[component]
fn Home(id: Id, client: Memo<Option<Client>>) -> impl IntoView {
    let caseload = use_caseload();
    let is_there = move |thing: Thing| {
        client.with(|client| client.as_ref().is_some_and(|client| client.home.contains(&thing)))
    };
    let tick = StoredValue::new(id);
    let chip = move |thing: Thing| {
        let turn = move |_| {
            caseload.change_client(&tick.get_value(), |client| {
                if !client.home.remove(&thing) {
                    client.home.insert(thing);
                }
            });
        };
        view! {
            <button type="button" class="chip" aria-pressed=move || is_there(thing).to_string() on:click=turn>
                {library::thing(thing)}
            </button>
        }
    };
    let number =
        move || client.with(|client| client.as_ref().map_or(0, |client| client.home.len()));
    view! {
        <details class="card">
            <summary>{move || text::home(number())}</summary>
            <div class="stack">
                <p class="small soft">{text::WHY_HOME}</p>
                <div class="chips things" role="group" aria-label=text::THINGS>
                    {Thing::ALL.map(chip)}
                </div>
            </div>
        </details>
    }
}

#[component]
fn Loans(id: Id, client: Memo<Option<Client>>) -> impl IntoView {
    let caseload = use_caseload();
    let of = StoredValue::new(id);
    let lend = Callback::new(move |typed: String| {
        let what = some_words(&typed).map_err(|why| fields::not_taken(&why))?;
        let since = clock::now().date_naive();
        caseload.change_client(&of.get_value(), |client| {
            client.loans.push(Loan { what, since, back: None });
        });
        Ok(())
    });
    let loans = move || {
        client.with(|client| client.as_ref().map(|client| client.loans.clone()).unwrap_or_default())
    };
    let line = move |(index, loan): (usize, Loan)| {
        let turn = move |_| {
            let today = clock::now().date_naive();
            caseload.change_client(&of.get_value(), |client| {
                if let Some(loan) = client.loans.get_mut(index) {
                    loan.back = if loan.back.is_none() { Some(today) } else { None };
                }
            });
        };
        let when = text::lent(loan.since, loan.back);
        view! {
            <li class="row">
                <span class="grow">{capitalised(loan.what.as_str())} <span class="small soft block">{when}</span></span>
                <button type="button" class="chip" aria-pressed=loan.back.is_some().to_string() on:click=turn>
                    {text::CAME_BACK}
                </button>
            </li>
        }
    };
    view! {
        <section class="stack">
            <h2>{text::ON_LOAN}</h2>
            <ul class="bare stack">{move || loans().into_iter().enumerate().map(line).collect_view()}</ul>
            <AddLine label=text::LENT_TODAY button=text::LEND on_add=lend />
        </section>
    }
}

/// The label, archiving, and erasing for good.
#[component]
fn LabelArchiveErase(id: Id, client: Memo<Option<Client>>, label: Signal<String>) -> impl IntoView {
    let caseload = use_caseload();
    let of = StoredValue::new(id);
    let rename = Callback::new(move |typed: String| {
        let label = some_words(&typed)?;
        caseload.change_client(&of.get_value(), |client| client.label = label);
        Ok(())
    });
    let is_archived = move || {
        client.with(|client| {
            client.as_ref().is_some_and(|client| client.standing == ClientStatus::Archived)
        })
    };
    let archive = move |_| {
        caseload.change_client(&of.get_value(), |client| {
            client.standing = match client.standing {
                ClientStatus::Current => ClientStatus::Archived,
                ClientStatus::Archived => ClientStatus::Current,
            };
        });
    };
    view! {
        <details class="card">
            <summary>{text::LABEL_ARCHIVE_ERASE}</summary>
            <div class="stack">
                <TextLine label=text::LABEL value=label on_change=rename />
                <button type="button" class="button" on:click=archive>
                    {move || if is_archived() { text::TAKE_OUT_OF_ARCHIVE } else { text::ARCHIVE }}
                </button>
                <Erase caseload id=of.get_value() />
            </div>
        </details>
    }
}

/// The ids of the two things to read where a client is erased.
#[component]
fn Erase(caseload: LiveCaseload, id: Id) -> impl IntoView {
    let navigate = use_navigate();
    let of = StoredValue::new(id);
    let what_goes = move || {
        let client = caseload.read(|caseload| of.with_value(|id| caseload.client(id)));
        client.map(|client| text::what_erasing_takes(&client.label))
    };
    let erase = Callback::new(move |()| {
        caseload.erase(&of.get_value());
        navigate("/practice", NavigateOptions::default());
    });
    view! {
        <TwoTaps stem="erase" ask=text::ASK_ERASE yes=text::ERASE no=text::KEEP on_yes=erase>
            <p>{what_goes}</p>
        </TwoTaps>
    }
}
