//! Picking an exercise: what can be done in this home, from the library or of the practitioner's own.

use std::collections::BTreeSet;

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;

use super::shelf::{Shelved, use_library};
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::library::{Entry, Fit, Region, Thing};
use crate::domain::plan::routine::Exercise;
use crate::domain::plan::search::{Hit, Index, Names};
use crate::domain::words::Id;
use crate::store::caseload::Caseload;
use crate::ui::components::figure::{self, Figure};
use crate::ui::components::routine_page::ExerciseSteps;
use crate::ui::practice::fields::{AddLine, SearchField, Taken, some_words};
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::practice::page::{Page, about_client, address};
use crate::ui::text::practice::build::{find, pick as text, routine as routine_text};
use crate::ui::text::{dose, library};

#[component]
pub fn Pick() -> impl IntoView {
    about_client(|id| view! { <Picking id /> })
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shown {
    DoableHere,
    Everything,
}

#[component]
fn Picking(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let shelf = use_library();
    let region = RwSignal::new(None::<Region>);
    let shown = RwSignal::new(Shown::DoableHere);
    let sought = RwSignal::new(String::new());
    let of = id.clone();
    let home = Memo::new(move |_| {
        caseload.read(|caseload| caseload.client(&of)).map(|client| client.home).unwrap_or_default()
    });
    let entries = move || -> Vec<Entry> {
        let own = caseload.read(Caseload::own);
        let mut all = own.clone();
        if let Shelved::Here(shipped) = shelf.get() {
            let replaced =
                |entry: &&Entry| own.iter().all(|own| own.exercise.id != entry.exercise.id);
            // One's own come first, then what was handed over lately.
            let used = caseload.read(Caseload::used_lately);
            let lately = |entry: &&Entry| {
                used.iter().position(|id| *id == entry.exercise.id).unwrap_or(used.len())
            };
            let mut shipped: Vec<&Entry> = shipped.library.entries().filter(replaced).collect();
            shipped.sort_by_cached_key(lately);
            all.extend(shipped.into_iter().cloned());
        }
        all
    };
    let by_home = move || shown.get() == Shown::DoableHere && !home.with(BTreeSet::is_empty);
    let known = Memo::new(move |_| KnownExercises::of(entries()));
    let hits = Memo::new(move |_| known.with(|known| known.index.search(&sought.get())));
    let is_doable = move |entry: &Entry| {
        !by_home() || !matches!(home.with(|home| entry.fit(home)), Fit::Missing(_))
    };
    // What has all that was typed; where nothing has, what comes nearest.
    let found = Memo::new(move |_| {
        let region = region.get();
        let is_wanted =
            |entry: &Entry| region.is_none_or(|region| entry.region == region) && is_doable(entry);
        known.with(|known| {
            hits.with(|hits| sought.with(|typed| known.found(typed, hits, is_wanted)))
        })
    });
    // The part of the body of each that has all that was typed.
    let left = Memo::new(move |_| -> Vec<Region> {
        known.with(|known| {
            hits.with(|hits| known.with_all(hits, is_doable).map(|entry| entry.region).collect())
        })
    });
    let wanted = move || found.with(|found| found.entries.clone());
    let has_all = move || found.with(|found| found.has_all);
    let nothing_has_all =
        move || match found.with(|found| (found.is_elsewhere, found.entries.is_empty())) {
            (true, _) if by_home() => library::NOTHING_HERE,
            (true, _) => text::ELSEWHERE,
            (false, true) => text::NOTHING_FOUND,
            (false, false) => text::NEAREST,
        };
    let client = StoredValue::new(id.clone());
    let region_chip = move |(value, words): (Option<Region>, &'static str)| {
        let is_of = move |of: &&Region| value.is_none_or(|value| **of == value);
        let count = move || left.with(|left| left.iter().filter(is_of).count());
        view! {
            <button
                type="button"
                class="chip"
                aria-pressed=move || (region.get() == value).to_string()
                on:click=move |_| region.set(value)
            >
                {words}
                " "
                <span class="num soft">{count}</span>
            </button>
        }
    };
    let regions = std::iter::once((None, text::ALL_PARTS))
        .chain(Region::ALL.map(|region| (Some(region), library::region(region))));
    let waiting = move || {
        match shelf.get() {
        Shelved::Waiting => Some(view! { <p>{text::OPENING}</p> }.into_any()),
        Shelved::Here(_) => None,
        Shelved::Away(why) => Some(
            view! {
                <p class="problem">
                    {text::not_opened(&why)}
                    <button type="button" class="link" on:click=move |_| shelf.fetch()>{text::TRY_AGAIN}</button>
                </p>
            }
            .into_any(),
        ),
    }
    };
    view! {
        <Page title=text::ADD_AN_EXERCISE.to_owned() back=address(&id, "routine") back_to=routine_text::BACK_TO_ROUTINE>
            <div class="chips things" role="group" aria-label=text::PART_OF_THE_BODY>
                {regions.map(region_chip).collect_view()}
            </div>
            <SearchField label=text::FIND sought />
            <Show when=move || !home.with(BTreeSet::is_empty)>
                <button
                    type="button"
                    class="chip"
                    aria-pressed=move || (shown.get() == Shown::DoableHere).to_string()
                    on:click=move |_| {
                        shown.update(|shown| {
                            *shown = match *shown {
                                Shown::DoableHere => Shown::Everything,
                                Shown::Everything => Shown::DoableHere,
                            };
                        });
                    }
                >
                    {text::ONLY_DOABLE_HERE}
                </button>
            </Show>
            {waiting}
            <Show when=move || !has_all()>
                <p>{nothing_has_all}</p>
                <WriteIt client=client.get_value() name=sought />
            </Show>
            <ul class="bare stack">
                <For each=wanted key=|entry| (entry.exercise.id.clone(), entry.revision) let:entry>
                    <EntryCard client=client.get_value() entry home />
                </For>
            </ul>
            <Show when=move || has_all() && matches!(shelf.get(), Shelved::Here(_)) && wanted().is_empty()>
                <p class="soft">{move || if by_home() { library::NOTHING_HERE } else { library::NOTHING }}</p>
            </Show>
            <NewExercise client=client.get_value() />
        </Page>
    }
}

/// So many that come near are enough.
const NEAREST: usize = 5;

/// The exercises that can be picked, and what they are found by.
#[derive(Clone)]
struct KnownExercises {
    entries: Vec<Entry>,
    index: Index,
}

impl PartialEq for KnownExercises {
    fn eq(&self, other: &Self) -> bool {
        self.entries == other.entries
    }
}

/// What was found, the best first.
#[derive(Clone, PartialEq)]
struct Found {
    entries: Vec<Entry>,
    /// Whether it has all that was typed.
    has_all: bool,
    /// Whether what has all of it cannot be done in this home, or is of another part of the body.
    is_elsewhere: bool,
}

impl KnownExercises {
    fn of(entries: Vec<Entry>) -> Self {
        let found_by: Vec<_> =
            entries.iter().map(|entry| find::found_by(entry.exercise.id.as_str())).collect();
        let named = entries.iter().zip(&found_by).map(|(entry, found_by)| {
            (&entry.exercise, Names { region: library::region(entry.region), found_by })
        });
        let index = Index::of(named, find::IGNORED);
        Self { entries, index }
    }

    /// Those that can be picked and have all that was typed.
    fn with_all<'a>(
        &'a self,
        hits: &'a [Hit],
        is_wanted: impl Fn(&Entry) -> bool + 'a,
    ) -> impl Iterator<Item = &'a Entry> {
        let has_all = hits.iter().filter(|hit| hit.has_all);
        has_all.filter_map(|hit| self.entries.get(hit.place)).filter(move |entry| is_wanted(entry))
    }

    fn found(&self, typed: &str, hits: &[Hit], is_wanted: impl Fn(&Entry) -> bool) -> Found {
        let entry = |hit: &Hit| Some((hit.has_all, self.entries.get(hit.place)?));
        let (wanted, others): (Vec<_>, Vec<_>) =
            hits.iter().filter_map(entry).partition(|(_, entry)| is_wanted(entry));
        let some_have_all = |some: &[(bool, &Entry)]| some.iter().any(|(has_all, _)| *has_all);
        let has_all = typed.trim().is_empty() || some_have_all(&wanted);
        let most = if has_all { wanted.len() } else { NEAREST };
        let shown = wanted.into_iter().filter(|(all, _)| *all || !has_all).take(most);
        Found {
            entries: shown.map(|(_, entry)| entry.clone()).collect(),
            has_all,
            is_elsewhere: !has_all && some_have_all(&others),
        }
    }
}

#[component]
fn EntryCard(client: Id, entry: Entry, home: Memo<BTreeSet<Thing>>) -> impl IntoView {
    let caseload = use_caseload();
    let navigate = use_navigate();
    let exercise = entry.exercise.clone();
    let start = Foothold::on(exercise.ladder.start()).dose(&exercise.dose, &exercise.ladder);
    let fitting = entry.clone();
    let fit = move || {
        let home = home.get();
        if home.is_empty() {
            let usual: Vec<Thing> = fitting.needs.iter().map(|need| need.thing).collect();
            return (!usual.is_empty()).then(|| text::needs(&usual));
        }
        match fitting.fit(&home) {
            Fit::Ready => None,
            Fit::WithStandIns(stand_ins) => Some(text::with_stand_ins(&stand_ins)),
            Fit::Missing(missing) => Some(text::missing(&missing)),
        }
    };
    let adding = exercise.clone();
    let name = exercise.name.to_string();
    let add = move |_| {
        caseload.change_draft(&client, |draft| draft.add(adding.clone()));
        navigate(&address(&client, "routine"), NavigateOptions::default());
    };
    view! {
        <li class="card stack">
            <div class="row">
                <Figure exercise=exercise.clone() rung=exercise.ladder.start() shown=figure::Shown::Still />
                <div class="grow">
                    <h2>{name.clone()}</h2>
                    <p class="small soft">{exercise.purpose.as_ref().map(ToString::to_string)}</p>
                </div>
                <button type="button" class="button main add-one" aria-label=text::add_named(&name) on:click=add>
                    {text::ADD}
                </button>
            </div>
            <p class="small num">{dose::whole(&start)} "; " {dose::how_often(&start)} ". " {fit}</p>
            <details>
                <summary class="small">{text::LOOK_AT_IT}</summary>
                <div class="stack">
                    <Figure exercise=exercise.clone() rung=exercise.ladder.start() shown=figure::Shown::BothEnds />
                    <ExerciseSteps exercise=exercise.clone() rung=exercise.ladder.start() />
                    <p class="small soft">{exercise.source.as_ref().map(text::dose_from)}</p>
                </div>
            </details>
        </li>
    }
}

/// An exercise of the practitioner's own, from nothing but a name.
#[component]
fn NewExercise(client: Id) -> impl IntoView {
    view! { <AddLine label=text::OF_YOUR_OWN button=text::WRITE_IT on_add=write_own(client) /> }
}

/// The same, from what was looked for and is not there.
#[component]
fn WriteIt(client: Id, name: RwSignal<String>) -> impl IntoView {
    let write = write_own(client);
    let problem = RwSignal::new(None);
    let write = move |_| {
        let taken = write.run(name.get_untracked());
        // The page may be left by now.
        problem.try_set(taken.err());
    };
    view! {
        <button type="button" class="button" on:click=write>
            {move || text::write_named(name.get().trim())}
        </button>
        <p role="alert" class="refusal small">{move || problem.get()}</p>
    }
}

/// Adds an exercise that has nothing but a name, and goes on to it.
fn write_own(client: Id) -> Callback<String, Taken> {
    let caseload = use_caseload();
    let navigate = use_navigate();
    Callback::new(move |entered: String| {
        let name = some_words(&entered).map_err(|wrong| text::name_it_first(&wrong))?;
        let id = caseload.change_draft(&client, |draft| {
            draft.add(Exercise::named(name));
            draft.items.last().map(|item| item.exercise.id.clone())
        });
        let below = id.map_or("routine".to_owned(), |id| format!("exercise/{}", id.as_str()));
        navigate(&address(&client, &below), NavigateOptions::default());
        Ok(())
    })
}
