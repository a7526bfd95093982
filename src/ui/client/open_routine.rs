//! Opening a routine: it is shown before it is accepted, and a file that cannot be read changes nothing.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::hooks::use_navigate;

use crate::domain::changes::{Change, RoutineChange, between};
use crate::domain::course::Availability;
use crate::domain::history::Newness;
use crate::domain::routine::{Answer, Routine};
use crate::exchange::file::{self, File, RoutineFile};
use crate::exchange::link::{self, Entries, LinkError};
use crate::platform::clock;
use crate::platform::compression::{self, CannotInflate, CannotUnpack};
use crate::platform::files::{self, Picked};
use crate::ui::components::answers::Answers;
use crate::ui::components::camera::CodeCamera;
use crate::ui::components::open_file::OpenFile;
use crate::ui::components::routine_page::RoutinePage;
use crate::ui::components::screen::Screen;
use crate::ui::components::what_changes::WhatChanges;
use crate::ui::diary::{Diary, use_diary};
use crate::ui::text::changes;
use crate::ui::text::link::{NO_CAMERA, NO_LIBRARY, TOO_OLD_A_BROWSER, refused};
use crate::ui::text::warning::NOT_A_DIAGNOSIS;

const DEMO: &str = "/routines/demo.json";
const LIBRARY: &str = "/library.json";

/// What opening a routine has come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    Asked,
    ReadingLink,
    Scanning,
}

/// What was opened and waits to be accepted, and why the last file or link could not be.
#[derive(Clone, Copy)]
pub struct Offer {
    file: RwSignal<Option<RoutineFile>, LocalStorage>,
    problem: RwSignal<Option<String>>,
    step: RwSignal<Step>,
    diary: Diary,
}

impl Offer {
    pub fn none() -> Self {
        Self {
            file: RwSignal::new_local(None),
            problem: RwSignal::new(None),
            step: RwSignal::new(Step::Asked),
            diary: use_diary(),
        }
    }

    /// Reads a link, or its fragment alone.
    pub fn read_link(self, link: String) {
        self.file.set(None);
        self.problem.set(None);
        self.step.set(Step::ReadingLink);
        spawn_local(async move {
            let read = from_link(&link).await;
            self.step.try_set(Step::Asked);
            match read {
                Ok(file) => drop(self.file.try_set(Some(self.with_known_photos(file)))),
                Err(problem) => drop(self.problem.try_set(Some(problem))),
            }
        });
    }

    /// What came by a link, with the photos of the routine that is followed.
    fn with_known_photos(self, file: RoutineFile) -> RoutineFile {
        match self.diary.history_untracked().routine() {
            Some(followed) if followed.id == file.routine.id => file.with_photos_of(followed),
            Some(_) | None => file,
        }
    }

    /// What there is to say while no routine is shown.
    pub fn title(self) -> &'static str {
        if self.step.get() == Step::ReadingLink {
            "Opening your routine…"
        } else if self.problem.get().is_some() {
            "No routine was opened"
        } else {
            "Open your routine"
        }
    }

    fn read(self, name: &str, text: &str) {
        match file::parse(text) {
            Ok(File::Routine(file)) => {
                self.problem.set(None);
                self.file.set(Some(*file));
            }
            Ok(File::Log(_) | File::DamagedLog { .. }) => self.problem.set(Some(format!(
                "\"{name}\" is a log, not a routine. A log of yours is brought back under \"Keep your log safe\"."
            ))),
            Err(error) => {
                self.problem.set(Some(format!("\"{name}\" could not be opened: {error}.")));
            }
        }
    }
}

/// Shows its children until a routine was opened, then that routine, to be accepted or not.
#[component]
pub fn Opening(
    /// What something else may put there to be accepted.
    #[prop(default = Offer::none())]
    offer: Offer,
    children: ChildrenFn,
) -> impl IntoView {
    provide_context(offer);
    let is_scanning = Memo::new(move |_| offer.step.get() == Step::Scanning);
    move || match offer.file.get() {
        Some(file) => view! { <Offered file offer /> }.into_any(),
        None if is_scanning.get() => view! { <Scanning offer /> }.into_any(),
        None => children().into_any(),
    }
}

/// The text of a link, unpacked and put together; or what to say instead.
async fn from_link(text: &str) -> Result<RoutineFile, String> {
    let unpacked = compression::unpack(text, link::LARGEST).await;
    let text = unpacked.map_err(|error| match error {
        CannotUnpack::Link(error) => refused(&error),
        CannotUnpack::Inflating(CannotInflate::Unsupported) => TOO_OLD_A_BROWSER.to_owned(),
        CannotUnpack::Inflating(CannotInflate::Damaged) => refused(&LinkError::Damaged),
        CannotUnpack::Inflating(CannotInflate::TooLarge) => refused(&LinkError::TooLarge),
    })?;
    let library = files::shipped(LIBRARY).await;
    let entries = Entries::parse(library.as_deref().unwrap_or_default());
    link::restore(&text, |id, revision| entries.exercise(id, revision)).map_err(|error| {
        if library.is_none() && matches!(error, LinkError::UnknownEntry { .. }) {
            NO_LIBRARY.to_owned()
        } else {
            refused(&error)
        }
    })
}

#[component]
fn Scanning(offer: Offer) -> impl IntoView {
    let close = move |_| offer.step.set(Step::Asked);
    view! {
        <Screen
            title="Scan the codes"
            foot=Box::new(move || {
                view! {
                    <button type="button" class="button" on:click=close>
                        "Close the camera"
                    </button>
                }
                .into_any()
            })
        >
            <CodeCamera
                way_out=NO_CAMERA
                is_ours=link::is_ours
                on_text=Callback::new(move |text| offer.read_link(text))
            />
        </Screen>
    }
}

/// A routine made for another label than the client goes by asks first whether it is meant for them.
#[component]
fn Offered(file: RoutineFile, offer: Offer) -> impl IntoView {
    let history = use_diary().history_untracked();
    let is_newer = history.newness(&file.routine) == Newness::Newer;
    let other = history
        .other_client(&file.routine)
        .filter(|_| is_newer)
        .map(|(theirs, own)| (theirs.to_string(), own.to_string()));
    let to_ask = RwSignal::new(other);
    move || match to_ask.get() {
        Some((theirs, own)) => view! { <ForSomeoneElse theirs own offer to_ask /> }.into_any(),
        None => view! { <OfferedRoutine file=file.clone() offer /> }.into_any(),
    }
}

#[component]
fn ForSomeoneElse(
    theirs: String,
    own: String,
    offer: Offer,
    to_ask: RwSignal<Option<(String, String)>>,
) -> impl IntoView {
    view! {
        <Screen
            title="Is it meant for you?"
            above="A routine"
            foot=Box::new(move || {
                view! {
                    <button type="button" class="button main" on:click=move |_| offer.file.set(None)>
                        "No, it is not for me"
                    </button>
                    <button type="button" class="button" on:click=move |_| to_ask.set(None)>
                        "Yes, show it to me"
                    </button>
                }
                .into_any()
            })
        >
            <p class="lead">
                {format!("This routine is made for \"{theirs}\", you follow one for \"{own}\". Is it meant for you?")}
            </p>
            <p class="soft">"If you are not sure, ask your practitioner. Nothing changes until you say so."</p>
        </Screen>
    }
}

#[component]
fn OfferedRoutine(file: RoutineFile, offer: Offer) -> impl IntoView {
    let diary = use_diary();
    let navigate = use_navigate();
    let routine = file.routine.clone();
    let from = routine
        .practitioner
        .as_ref()
        .map_or_else(|| "A routine".to_owned(), |who| format!("From {who}"));
    let history = diary.history_untracked();
    let known = match history.newness(&routine) {
        Newness::Newer => None,
        Newness::Same => Some("You already follow this version. Opening it again changes nothing."),
        Newness::Older => {
            Some("This is an older version than the one you follow, so it cannot take its place.")
        }
    };
    let is_new = |answer: &&Answer| !history.answers().any(|known| known == *answer);
    let new_answers: Vec<Answer> = routine.answers.iter().filter(is_new).cloned().collect();
    let accept = move |_| {
        diary.accept(&file);
        offer.file.set(None);
        navigate("/", leptos_router::NavigateOptions::default());
    };
    view! {
        <Screen
            title=routine.title.to_string()
            above=from
            foot=Box::new(move || {
                view! {
                    {known
                        .is_none()
                        .then(|| {
                            view! {
                                <button type="button" class="button main" on:click=accept>
                                    "Use this routine"
                                </button>
                            }
                        })}
                    <button type="button" class="button quiet" on:click=move |_| offer.file.set(None)>
                        {if known.is_none() { "Not now" } else { "Back" }}
                    </button>
                }
                .into_any()
            })
        >
            {known.map(|known| view! { <p class="problem">{known}</p> })}
            {known
                .is_none()
                .then(|| view! { <Answers answers=new_answers title="Answers to what you wrote" /> })}
            {known.is_none().then(|| view! { <NextVersion routine=routine.clone() /> })}
            <p class="small soft">
                "Read it through. It is your practitioner's plan; the app only carries it out. " {NOT_A_DIAGNOSIS}
            </p>
            <RoutinePage routine />
        </Screen>
    }
}

/// What a routine changes for a client who follows one already, and where they would go on.
#[component]
fn NextVersion(routine: Routine) -> impl IntoView {
    let history = use_diary().history_untracked();
    let followed = history.routine()?;
    let today = clock::now().date_naive();
    // Answers stand above, whole.
    let is_answer = |change: &Change| matches!(change, Change::Routine(RoutineChange::Answers(_)));
    let mut all = between(followed, &routine);
    all.retain(|change| !is_answer(change));
    let told = changes::told(&all);
    let going_on = history.goes_on(&routine).map(|(exercise, goes_on)| {
        let waited = history
            .course(&exercise.id)
            .is_some_and(|course| course.availability(today) != Availability::Open);
        let open_again = waited.then_some(". It was left out until now, and is open again");
        view! {
            <li>
                <strong>{exercise.name.to_string()}</strong>
                <span class="block">{changes::goes_on(exercise, goes_on)} {open_again}</span>
            </li>
        }
    });
    Some(view! {
        <WhatChanges changes=told />
        <section class="card stack">
            <h2>"Where you go on"</h2>
            <ul class="plain-list">{going_on.collect_view()}</ul>
            <p class="small soft">"What you did so far, and how it felt, stays in your log."</p>
        </section>
    })
}

/// The buttons that open a routine; inside [`Opening`].
#[component]
pub fn OpenRoutineButtons(
    /// Whether the demo is offered, too.
    #[prop(optional)]
    demo: bool,
) -> impl IntoView {
    let offer: Offer = expect_context();
    let picked = Callback::new(move |files: Vec<Picked>| {
        for file in files {
            match file.text {
                Ok(text) => offer.read(&file.name, &text),
                Err(_) => offer
                    .problem
                    .set(Some(format!("\"{}\" could not be read from this device.", file.name))),
            }
        }
    });
    let open_demo = move |_| {
        spawn_local(async move {
            match files::shipped(DEMO).await {
                Some(text) => offer.read("The demo", &text),
                None => offer.problem.set(Some(
                    "The demo could not be loaded. Check the connection and try again.".to_owned(),
                )),
            }
        });
    };
    view! {
        <div class="stack">
            <p role="alert" class="problem" class:empty=move || offer.problem.get().is_none()>
                {move || offer.problem.get()}
            </p>
            <OpenFile label="Open a routine file" class="button main" on_open=picked />
            <button type="button" class="button" on:click=move |_| offer.step.set(Step::Scanning)>
                "Scan the codes"
            </button>
            {demo
                .then(|| {
                    view! {
                        <button type="button" class="button" on:click=open_demo>
                            "Try the demo"
                        </button>
                    }
                })}
        </div>
    }
}
