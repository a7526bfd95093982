//! The caseload: the clients of this device, what was opened, and a copy of everything.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::NavigateOptions;
use leptos_router::components::A;
use leptos_router::hooks::use_navigate;

use super::glance::GlanceLine;
use super::intake::{Asked, Intake};
use super::unclaimed::{AskedLog, OpenCopy, Unclaimed};
use crate::domain::visit::caseload::{Client, ClientStatus, Loan, on_loan};
use crate::domain::visit::worst_first::worst_first;
use crate::domain::words::{Id, Words};
use crate::platform::address::at;
use crate::platform::files::{self, Picked};
use crate::platform::{clock, focus, sealer};
use crate::store::caseload::{Caseload, Loss, Restoring, count_unreadable};
use crate::ui::components::gone::GoneNotice;
use crate::ui::components::newer::NewerNotice;
use crate::ui::components::notices::Notices;
use crate::ui::components::passphrase::{NewPassphrase, SealWithPassphrase};
use crate::ui::components::routine_page::RoutinePage;
use crate::ui::components::saved::{SavedMark, UnsavedNotice};
use crate::ui::components::screen::{TITLE, use_frame};
use crate::ui::components::two_taps::TwoTaps;
use crate::ui::practice::build::tempo::TempoReader;
use crate::ui::practice::fields::{AddLine, SearchField};
use crate::ui::practice::live_caseload::{LiveCaseload, Row, use_caseload};
use crate::ui::practice::page::address;
use crate::ui::practice::visit::review::VisitReview;
use crate::ui::text::capitalised;
use crate::ui::text::practice::caseload::list as text;
use crate::ui::text::practice::window;
use crate::ui::text::refusals::InWords;

/// The routines that come with the app, each with its source inside.
const SHIPPED: [(&str, &str); 3] = [
    ("routines/demo.json", text::DEMO_ROUTINE),
    ("routines/heel-drop.json", text::HEEL_DROPS),
    ("routines/knee-days-5-12.json", text::KNEE_DAYS),
];

#[component]
pub fn CaseloadPage() -> impl IntoView {
    let frame = use_frame();
    let unclaimed: Unclaimed = expect_context();
    view! {
        <main class="screen wide practice" node_ref=frame tabindex="-1" aria-labelledby=TITLE>
            <div class="screen-body">
                <header class="unprinted">
                    <div class="spread">
                        <a href="./" rel="external">{text::CLIENTS_SIDE}</a>
                        <SavedMark />
                    </div>
                    <h1 id=TITLE tabindex="-1">{text::TITLE}</h1>
                </header>
                <UnsavedNotice />
                <NewerNotice />
                <GoneNotice what=window::CASELOAD>
                    <p>{text::OPEN_COPY}</p>
                </GoneNotice>
                <section class="stack unprinted">
                    <Clients />
                    <AddClient />
                    <Intake unclaimed label=text::OPEN_FILE />
                    <p class="small soft">{text::WHAT_FILE}</p>
                    <CopyToRestore unclaimed />
                </section>
                <AskedLogs unclaimed />
                <LooseRoutine unclaimed />
                <More unclaimed />
            </div>
        </main>
    }
}

/// Each client, with what is known once the log was looked at.
type Rows = BTreeMap<Id, (Client, Option<Row>)>;

/// The clients, the worst first, found by a part of their label.
#[component]
fn Clients() -> impl IntoView {
    let caseload = use_caseload();
    let search = RwSignal::new(String::new());
    let archived = RwSignal::new(ClientStatus::Current);
    let to_act_on = RwSignal::new(false);
    let all = Memo::new(move |_| {
        let mut clients = caseload.read(Caseload::clients);
        clients.sort_by_key(|(_, client)| client.label.to_string().to_lowercase());
        clients
    });
    Effect::new(move |_| {
        // A log can grow while the clients stay the same.
        caseload.read(|_| ());
        caseload.look_at_logs();
    });
    let rows = Memo::new(move |_| {
        let row = |(id, client): (Id, Client)| {
            let row = caseload.row(&id, &client);
            (id, (client, row))
        };
        all.get().into_iter().map(row).collect::<Rows>()
    });
    // By label until every log was looked at, so that no row moves away from under a finger one by one.
    let ordered = Memo::new(move |_| {
        let mut ids: Vec<Id> = all.with(|all| all.iter().map(|(id, _)| id.clone()).collect());
        rows.with(|rows| {
            let case = |id: &Id| rows.get(id).and_then(|(_, row)| Some(&row.as_ref()?.case));
            if ids.iter().all(|id| case(id).is_some()) {
                ids.sort_by(|one, other| match (case(one), case(other)) {
                    (Some(one), Some(other)) => worst_first(one, other),
                    (None, _) | (_, None) => Ordering::Equal,
                });
            }
        });
        ids
    });
    let is_asking = |(client, row): &(Client, Option<Row>)| {
        let is_to_act_on = row.as_ref().is_some_and(|row| row.case.is_to_act_on());
        client.standing == ClientStatus::Current && is_to_act_on
    };
    let asking =
        Memo::new(move |_| rows.with(|rows| rows.values().filter(|row| is_asking(row)).count()));
    let only =
        move || to_act_on.get() && archived.get() == ClientStatus::Current && 0 < asking.get();
    let shown = Memo::new(move |_| {
        let sought = search.get().trim().to_lowercase();
        let (standing, only) = (archived.get(), only());
        let is_meant = |client: &Client| {
            client.standing == standing && client.label.to_string().to_lowercase().contains(&sought)
        };
        let is_shown = |row: &(Client, Option<Row>)| is_meant(&row.0) && (!only || is_asking(row));
        let mut ids = ordered.get();
        rows.with(|rows| ids.retain(|id| rows.get(id).is_some_and(is_shown)));
        ids
    });
    let any_archived = move || {
        all.with(|all| all.iter().any(|(_, client)| client.standing == ClientStatus::Archived))
    };
    let other = move || match archived.get() {
        ClientStatus::Current => (ClientStatus::Archived, text::SHOW_ARCHIVED),
        ClientStatus::Archived => (ClientStatus::Current, text::SHOW_CURRENT),
    };
    view! {
        <Show when=move || all.with(Vec::is_empty)>
            <p class="lead">{text::NOBODY_YET}</p>
        </Show>
        <Show when=move || 5 < all.with(Vec::len)>
            <SearchField label=text::FIND sought=search />
        </Show>
        <Show when=move || archived.get() == ClientStatus::Current && 0 < asking.get()>
            <div class="chips" role="group" aria-label=text::WHICH>
                <button type="button" class="chip" aria-pressed=move || (!only()).to_string() on:click=move |_| to_act_on.set(false)>
                    {text::ALL}
                </button>
                <button type="button" class="chip" aria-pressed=move || only().to_string() on:click=move |_| to_act_on.set(true)>
                    {move || text::to_act_on(asking.get())}
                </button>
            </div>
        </Show>
        <ul class="exercises">
            <For each=move || shown.get() key=Id::clone let:id>
                <ClientRow id rows />
            </For>
        </ul>
        <Show when=move || !all.with(Vec::is_empty) && shown.with(Vec::is_empty)>
            <p class="soft">{text::NONE}</p>
        </Show>
        <Show when=move || any_archived() || archived.get() == ClientStatus::Archived>
            <button type="button" class="link" on:click=move |_| archived.set(other().0)>
                {move || other().1}
            </button>
        </Show>
        <OnLoan all />
    }
}

#[component]
fn ClientRow(id: Id, rows: Memo<Rows>) -> impl IntoView {
    let href = address(&id, "");
    let mine = Memo::new(move |_| rows.with(|rows| rows.get(&id).cloned()));
    let of_client = move |get: fn(&Client) -> String| {
        mine.with(|mine| mine.as_ref().map(|(client, _)| get(client)))
    };
    let label = move || of_client(|client| client.label.to_string());
    let lent = move || {
        of_client(|client| match u16::try_from(client.on_loan().count()).unwrap_or(u16::MAX) {
            0 => String::new(),
            lent => text::on_loan(lent),
        })
    };
    let known = move || {
        let (client, row) = mine.get()?;
        let row = row?;
        let facts = text::facts(
            row.last_day,
            client.next_visit,
            row.out.map(|out| (out.version.get(), out.issued, out.taken_on)),
            clock::now().date_naive(),
        );
        Some(view! {
            <GlanceLine case=row.case />
            <span class="small soft block">{facts}</span>
        })
    };
    view! {
        <li>
            <A href=at(&href) attr:class="exercise-row">
                <span class="grow">
                    <strong class="block">{label}</strong>
                    {known}
                </span>
                <span class="small soft">{lent}</span>
            </A>
        </li>
    }
}

/// Kit that is out, with whom and since when.
#[component]
fn OnLoan(all: Memo<Vec<(Id, Client)>>) -> impl IntoView {
    let sought = RwSignal::new(String::new());
    let count = Memo::new(move |_| {
        all.with(|all| all.iter().map(|(_, client)| client.on_loan().count()).sum::<usize>())
    });
    let line = |(id, client, loan): (&Id, &Client, &Loan)| {
        let whom = text::with_whom(&client.label, client.standing, loan.since);
        let what = capitalised(loan.what.as_str());
        view! {
            <li>
                <A href=at(&address(id, "")) attr:class="exercise-row">
                    <span class="grow">
                        {what} <span class="small soft block">{whom}</span>
                    </span>
                </A>
            </li>
        }
    };
    let found = move || {
        let lines: Vec<_> = all
            .with(|all| sought.with(|sought| on_loan(all, sought).into_iter().map(line).collect()));
        if lines.is_empty() {
            view! { <p class="soft">{text::NONE}</p> }.into_any()
        } else {
            view! { <ul class="exercises">{lines}</ul> }.into_any()
        }
    };
    view! {
        <Show when=move || 0 < count.get()>
            <details class="card">
                <summary>{move || text::kit_on_loan(count.get())}</summary>
                <div class="stack">
                    <SearchField label=text::FIND_KIT sought />
                    {found}
                </div>
            </details>
        </Show>
    }
}

#[component]
fn AddClient() -> impl IntoView {
    let caseload = use_caseload();
    let navigate = use_navigate();
    let add = Callback::new(move |typed: String| {
        let label = Words::new(typed.trim()).map_err(|_not_words| text::LABEL_FIRST.to_owned())?;
        let is_taken = caseload
            .read_now(|caseload| caseload.clients().iter().any(|(_, other)| other.label == label));
        if is_taken {
            return Err(text::LABEL_TAKEN.to_owned());
        }
        let id = caseload.add_client(label);
        navigate(&address(&id, "routine"), NavigateOptions::default());
        Ok(())
    });
    view! {
        <AddLine label=text::NEW_LABEL button=text::ADD_CLIENT class="button main" on_add=add />
        <p class="small soft">{text::WHO_READS_IT}</p>
    }
}

/// A copy that was opened: what to do with what is already here is asked, never guessed.
#[component]
fn CopyToRestore(unclaimed: Unclaimed) -> impl IntoView {
    let caseload = use_caseload();
    let said = RwSignal::new(None::<String>);
    let restore = move |copy: OpenCopy, restoring| {
        let brought = caseload.restore(copy.documents, restoring);
        said.set(Some(text::brought_back(brought, &copy.name)));
        unclaimed.copy.set(None);
        focus::go_to([TITLE.to_owned()]);
    };
    let leave = move |_| {
        unclaimed.copy.set(None);
        focus::go_to([TITLE.to_owned()]);
    };
    let ask = move || {
        let copy = unclaimed.copy.get()?;
        let (missing, all) = (copy.clone(), copy.clone());
        let is_empty = caseload.read(|caseload| caseload.clients().is_empty());
        let loss = caseload.read(|caseload| caseload.loss_by_replacing(&copy.documents));
        let replace = Callback::new(move |()| restore(all.clone(), Restoring::ReplaceAll));
        let unreadable = match count_unreadable(&copy.documents) {
            0 => String::new(),
            number => text::unreadable_in_copy(number),
        };
        Some(view! {
            <section class="card stack">
                <h2>{text::BRING_BACK_TITLE}</h2>
                <p>{text::copy_holds(&copy.name, copy.documents.len())} {unreadable}</p>
                <button type="button" class="button" on:click=move |_| restore(missing.clone(), Restoring::AddMissing)>
                    {if is_empty { text::BRING_BACK } else { text::ADD_MISSING }}
                </button>
                {(0 < loss.records).then(|| view! { <Replace loss on_replace=replace /> })}
                <button type="button" class="button quiet" on:click=leave>
                    {text::NOT_NOW}
                </button>
            </section>
        })
    };
    view! {
        {ask}
        <p role="status" class="small">{move || said.get()}</p>
    }
}

#[component]
fn Replace(loss: Loss, on_replace: Callback<()>) -> impl IntoView {
    let what = text::what_replacing_takes(&loss.clients, loss.records);
    view! {
        <TwoTaps
            stem="replace"
            ask=text::ASK_REPLACE
            ask_class="button"
            yes=text::REPLACE
            no=text::KEEP_WHAT_IS_HERE
            on_yes=on_replace
        >
            <p>{what.clone()}</p>
        </TwoTaps>
    }
}

/// Logs that wait for the word, one at a time, each to be read before it is answered.
#[component]
fn AskedLogs(unclaimed: Unclaimed) -> impl IntoView {
    let tabs = move || {
        let logs = unclaimed.asked.get();
        let tab = |asked: &AskedLog| {
            let number = asked.number;
            let is_shown = move || unclaimed.shown.get() == number;
            view! {
                <button
                    type="button"
                    class="chip"
                    aria-pressed=move || is_shown().to_string()
                    on:click=move |_| unclaimed.shown.set(number)
                >
                    {asked.log.label()}
                </button>
            }
        };
        (1 < logs.len()).then(|| {
            view! {
                <div class="chips unprinted" role="group" aria-label=text::OPEN_LOGS>
                    {logs.iter().map(tab).collect_view()}
                </div>
            }
        })
    };
    let question = move || {
        let shown = unclaimed.shown.get();
        let asked =
            unclaimed.asked.with(|all| all.iter().find(|asked| asked.number == shown).cloned())?;
        let log = asked.log.clone();
        Some(view! {
            <Asked unclaimed asked />
            <VisitReview log />
        })
    };
    view! {
        {tabs}
        {question}
    }
}

#[component]
fn LooseRoutine(unclaimed: Unclaimed) -> impl IntoView {
    let navigate = use_navigate();
    move || {
        let routine = unclaimed.routine.get()?;
        let navigate = navigate.clone();
        let close = move |_| {
            unclaimed.routine.set(None);
            focus::go_to([TITLE.to_owned()]);
        };
        let keep = move |_| {
            if let Some(client) = unclaimed.keep_routine() {
                navigate(&address(&client, "routine"), NavigateOptions::default());
            }
        };
        Some(view! {
            <section class="stack">
                <div class="row">
                    <h2 class="grow">{routine.title.to_string()}</h2>
                    <button type="button" class="link unprinted" on:click=close>
                        {text::CLOSE}
                    </button>
                </div>
                <button type="button" class="button unprinted" on:click=keep>{text::USE_FOR_NEW}</button>
                <RoutinePage routine />
            </section>
        })
    }
}

/// A copy of everything, the shipped routines, and the tempo reader.
#[component]
fn More(unclaimed: Unclaimed) -> impl IntoView {
    let caseload = use_caseload();
    let shipped = move |(path, label): (&'static str, &'static str)| {
        let read = move |_| {
            spawn_local(async move {
                let content = files::shipped(path).await.ok_or(files::Unreadable::Kept);
                unclaimed.open(vec![Picked { name: label.to_owned(), text: content }], None);
            });
        };
        view! {
            <button type="button" class="link" on:click=read>
                {label}
            </button>
        }
    };
    view! {
        <section class="stack unprinted">
            <KeepCopy caseload />
            <p class="small">{text::LOOK_AT_SHIPPED}</p>
            <p class="links">{SHIPPED.map(shipped)}</p>
            <TempoReader />
            <Notices />
        </section>
    }
}

/// Saves a copy of everything, sealed where a passphrase was given.
#[component]
fn KeepCopy(caseload: LiveCaseload) -> impl IntoView {
    let passphrase = NewPassphrase::empty();
    let sealing = RwSignal::new(false);
    let problem = RwSignal::new(None::<String>);
    let save = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        problem.set(None);
        let day = clock::now().date_naive();
        let copy = caseload.read_now(Caseload::copy);
        match passphrase.agreed() {
            Err(why) => problem.set(Some(why)),
            Ok(None) => {
                files::save(&format!("caseload-{day}.txt"), &copy);
            }
            Ok(Some(agreed)) => {
                sealing.set(true);
                spawn_local(async move {
                    match sealer::seal(&copy, &agreed).await {
                        Ok(sealed) => {
                            files::save(&format!("caseload-{day}-sealed.txt"), &sealed);
                            passphrase.clear();
                        }
                        Err(why) => {
                            problem.set(Some(text::no_copy(&why.in_words())));
                        }
                    }
                    sealing.set(false);
                });
            }
        }
    };
    let is_there = move || {
        caseload
            .read(|caseload| !caseload.clients().is_empty() || !caseload.unreadable().is_empty())
    };
    let label = move || match (sealing.get(), passphrase.is_begun()) {
        (true, _) => text::SEALING,
        (false, true) => text::SAVE_SEALED_COPY,
        (false, false) => text::SAVE_COPY,
    };
    let unreadable = move || match caseload.read(|caseload| caseload.unreadable().len()) {
        0 => None,
        number => Some(text::set_aside(number)),
    };
    view! {
        <Show when=is_there>
            <form class="stack" on:submit=save>
                <p class="small">{unreadable}</p>
                <button type="submit" class="button" disabled=move || sealing.get()>
                    {label}
                </button>
                <p role="alert" class="refusal small">{move || problem.get()}</p>
                <p class="small soft">{text::WHAT_COPY}</p>
                <SealWithPassphrase passphrase />
            </form>
        </Show>
    }
}
