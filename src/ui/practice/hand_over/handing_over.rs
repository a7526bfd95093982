//! Handing a routine over: as one code to scan, as a file, or on paper.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::components::A;

use super::link_codes::CodeWay;
use crate::domain::log::course::{Availability, Stop};
use crate::domain::pain::PainRating;
use crate::domain::plan::changes;
use crate::domain::plan::routine::{AnchorChange, OnHold, Routine};
use crate::domain::words::Id;
use crate::exchange::file;
use crate::platform::address::at;
use crate::platform::files::{self, Shared};
use crate::platform::{clock, focus};
use crate::ui::components::answers::Answers;
use crate::ui::components::fridge_sheet::PrintFridgeSheet;
use crate::ui::components::routine_page::RoutinePage;
use crate::ui::components::scale::PainScale;
use crate::ui::components::what_changes::WhatChanges;
use crate::ui::practice::fields::Choice;
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::practice::page::{Page, about_client, address};
use crate::ui::text::capitalised;
use crate::ui::text::changes::{About, told};
use crate::ui::text::practice::caseload::client::{ANSWERS, BUILD_ROUTINE, ROUTINE};
use crate::ui::text::practice::hand_over::handing_over as text;
use crate::ui::text::refusals::InWords;
use crate::ui::text::{hand_over, verdict};

#[component]
pub fn HandOver() -> impl IntoView {
    about_client(|id| view! { <HandingOver id /> })
}

/// The id of the line that says which version is handed over.
const VERSION: &str = "version";

/// What stands between the draft and the hand-over.
#[derive(Clone, Debug, PartialEq)]
enum Ready {
    /// There is nothing in it yet.
    Empty,
    /// The draft says something new: it becomes this version first.
    NewVersion(u16, Vec<About>),
    /// The last version says what the draft says.
    AsHandedOver(Box<Routine>),
}

#[component]
fn HandingOver(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let (of, to) = (id.clone(), id.clone());
    let ready = Memo::new(move |_| {
        let draft = caseload.draft(&of);
        let last = caseload.read(|caseload| caseload.last_routine(&of));
        match last {
            _ if draft.items.is_empty() => Ready::Empty,
            Some(last) if draft.says_the_same_as(&last) => Ready::AsHandedOver(Box::new(last)),
            None => Ready::NewVersion(1, Vec::new()),
            Some(last) => {
                let next =
                    draft.routine(last.id.clone(), last.version, last.client.clone(), last.issued);
                let changes = next.map(|next| told(&changes::between(&last, &next)));
                Ready::NewVersion(last.version.get() + 1, changes.unwrap_or_default())
            }
        }
    });
    let client = StoredValue::new(id.clone());
    let problem = RwSignal::new(None::<String>);
    let make = Callback::new(move |()| {
        problem.set(caseload.hand_over(&to).err().map(|wrong| wrong.in_words()));
        focus::go_to([VERSION.to_owned()]);
    });
    let routine = address(&id, "routine");
    let body = move || match ready.get() {
        Ready::Empty => view! {
            <p class="lead">{text::EMPTY}</p>
            <A href=at(&routine) attr:class="button main">{BUILD_ROUTINE}</A>
        }
        .into_any(),
        Ready::NewVersion(number, changes) => view! {
            <p class="lead">{text::becomes(number)}</p>
            <p class="soft">{text::WHY_VERSIONS}</p>
            {(!changes.is_empty()).then(|| view! { <WhatChanges changes /> })}
            <button type="button" class="button main" on:click=move |_| make.run(())>
                {text::make(number)}
            </button>
        }
        .into_any(),
        Ready::AsHandedOver(routine) => {
            view! { <Ways client=client.get_value() routine=*routine /> }.into_any()
        }
    };
    view! {
        <Page title=text::TITLE.to_owned() back=address(&id, "routine") back_to=ROUTINE>
            <WhatWaits client=id.clone() />
            <p role="alert" class="problem unprinted" class:empty=move || problem.get().is_none()>
                {move || problem.get()}
            </p>
            {body}
        </Page>
    }
}

/// What the log leaves open, to be settled with the version that is handed over: exercises on Hold or
/// stopped, and mornings that have moved away from where they began.
#[component]
fn WhatWaits(client: Id) -> impl IntoView {
    let caseload = use_caseload();
    let today = clock::today();
    let rows = {
        let history = caseload.history(&client);
        let exercises = caseload.draft_now(&client).items.into_iter().map(|item| item.exercise);
        exercises
            .filter_map(|exercise| {
                let course = history.course(&exercise.id)?;
                (course.availability(today) != Availability::Open)
                    .then(|| (exercise.id.clone(), exercise.name.to_string()))
            })
            .collect::<Vec<_>>()
    };
    let anchor = {
        let history = caseload.history(&client);
        let of = caseload.draft_now(&client).items;
        of.iter().find_map(|item| history.course(&item.exercise.id)?.anchor())
    };
    let client = StoredValue::new(client);
    let draft = Memo::new(move |_| caseload.draft(&client.get_value()));
    let row = move |(id, name): (Id, String)| {
        view! {
            <li class="stack">
                <p><strong>{name}</strong></p>
                <WithThisVersion client=client.get_value() exercise=id />
            </li>
        }
    };
    let usual = anchor.map(|anchor| {
        let value = Signal::derive(move || Some(draft.with(|draft| draft.anchor)));
        let set = Callback::new(move |change: Option<AnchorChange>| {
            caseload.change_draft(&client.get_value(), |draft| draft.anchor = change);
        });
        let rate = Callback::new(move |rating: PainRating| set.run(Some(AnchorChange::Set { rating })));
        let chosen = Signal::derive(move || match draft.with(|draft| draft.anchor) {
            Some(AnchorChange::Set { rating }) => Some(rating),
            Some(AnchorChange::Clear) | None => None,
        });
        view! {
            <details>
                <summary>{hand_over::usual(anchor)}</summary>
                <Choice
                    label=hand_over::WITH_THIS_VERSION
                    options=vec![(None, hand_over::KEEP_ANCHOR), (Some(AnchorChange::Clear), hand_over::CLEAR_ANCHOR)]
                    value
                    on_change=set
                />
                <p class="small soft">{hand_over::SET_ANCHOR}</p>
                <PainScale label=hand_over::SET_ANCHOR.to_owned() chosen on_rate=rate />
            </details>
        }
    });
    let waits = (!rows.is_empty()).then(|| {
        view! {
            <h2>{hand_over::WHAT_WAITS}</h2>
            <ul class="bare stack">{rows.into_iter().map(row).collect_view()}</ul>
            <p class="small soft">{hand_over::WHAT_IT_LIFTS}</p>
        }
    });
    (waits.is_some() || usual.is_some())
        .then(|| view! { <section class="card stack unprinted">{waits} {usual}</section> })
}

/// Why an exercise is left out, and what the next version says of it. A version lifts no warning sign.
#[component]
pub fn WithThisVersion(client: Id, exercise: Id) -> impl IntoView {
    let caseload = use_caseload();
    let availability = caseload
        .history_now(&client)
        .course(&exercise)
        .map_or(Availability::Open, |course| course.availability(clock::today()));
    let why = match availability {
        Availability::Open => return None,
        Availability::Held { .. } => hand_over::ON_HOLD,
        Availability::Stopped(Stop::WarningSign) => hand_over::SIGN_STANDS,
        Availability::Stopped(stop) => verdict::why_it_waits(stop),
    };
    let can_open = availability != Availability::Stopped(Stop::WarningSign);
    let (client, of) = (StoredValue::new(client), exercise.clone());
    let value = Signal::derive(move || {
        client.with_value(|client| Some(caseload.draft(client).on_hold.get(&of).copied()))
    });
    let set = Callback::new(move |choice: Option<OnHold>| {
        caseload.change_draft(&client.get_value(), |draft| match choice {
            Some(choice) => drop(draft.on_hold.insert(exercise.clone(), choice)),
            None => drop(draft.on_hold.remove(&exercise)),
        });
    });
    let options = hand_over::ON_HOLD_CHOICES.to_vec();
    Some(view! {
        <p class="small">{capitalised(why)} "."</p>
        {can_open.then(|| view! { <Choice label=hand_over::WITH_THIS_VERSION options value on_change=set /> })}
    })
}

/// The ways to the client's phone, and to the fridge.
#[component]
fn Ways(client: Id, routine: Routine) -> impl IntoView {
    let lent = use_caseload()
        .read_now(|caseload| caseload.client(&client))
        .map(|client| client.on_loan().map(|loan| loan.what.clone()).collect::<Vec<_>>());
    let version = text::version(&routine);
    let stands = use_caseload().history_now(&client).stands_on(&routine);
    view! {
        <p class="soft unprinted" id=VERSION tabindex="-1">{version}</p>
        {routine
            .has_photos()
            .then(|| {
                view! {
                    <p class="unprinted">{text::PHOTOS_IN_FILE_ONLY}</p>
                }
            })}
        <CodeWay routine=routine.clone() />
        <FileWay client routine=routine.clone() />
        <section class="stack">
            <h2 class="unprinted">{text::ON_PAPER}</h2>
            <PrintFridgeSheet routine=routine.clone() stands lent=lent.unwrap_or_default() />
        </section>
        <details class="card unprinted">
            <summary>{text::WHAT_IS_IN_IT}</summary>
            <Answers answers=routine.answers.clone() title=ANSWERS />
            <RoutinePage routine />
        </details>
    }
}

#[component]
fn FileWay(client: Id, routine: Routine) -> impl IntoView {
    let rest = format!("{}-version-{}.txt", routine.issued, routine.version.get());
    let name = use_caseload().file_name("routine", &client, &rest);
    let printed = StoredValue::new(file::print_routine(&routine));
    let said = RwSignal::new(None::<&'static str>);
    let (save_as, share_as) = (name.clone(), name);
    let save = move |_| {
        let saved = files::save(&save_as, &printed.get_value());
        said.set(Some(match saved {
            Some(()) => text::SAVED,
            None => text::NOT_SAVED,
        }));
    };
    let share = move |_| {
        let name = share_as.clone();
        spawn_local(async move {
            said.set(match files::share(&name, &printed.get_value()).await {
                Shared::Done => Some(text::SHARED),
                Shared::Dismissed => None,
                Shared::Failed => Some(text::NOT_SHARED),
            });
        });
    };
    view! {
        <section class="stack unprinted">
            <h2>{text::AS_FILE}</h2>
            <div class="two">
                <button type="button" class="button" on:click=save>{text::SAVE_FILE}</button>
                {files::can_share()
                    .then(|| view! { <button type="button" class="button" on:click=share>{text::SHARE_FILE}</button> })}
            </div>
            <p role="status" class="small">{move || said.get()}</p>
        </section>
    }
}
