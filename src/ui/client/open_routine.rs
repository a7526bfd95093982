//! Opening a routine: it is shown before it is accepted, and a file that cannot be read changes nothing.

use std::rc::Rc;

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::offered::FirstOffered;
use super::parts::{Screen, Screens};
use super::ways_to_open::WayToOpen;
use crate::exchange::file::{self, File, RoutineFile};
use crate::exchange::link::{self, LibraryEntries, LinkError};
use crate::platform::compression::{self, CannotInflate, CannotUnpack};
use crate::platform::files::{self, LIBRARY, Picked};
use crate::platform::offline;
use crate::ui::live_log::{LiveLog, use_log};
use crate::ui::text::client::open_routine as text;
use crate::ui::text::link::{NO_LIBRARY, TOO_OLD_A_BROWSER, refused};
use crate::ui::text::refusals::InWords;

const DEMO: &str = "routines/demo.json";

/// What opening a routine has come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    Asked,
    ReadingLink,
    Scanning,
}

/// Where a routine is taken on.
pub trait Log {
    /// Whether the client follows a routine already.
    fn follows_one(&self) -> bool;
    /// What came by a link, with the photos of the routine that is followed.
    fn with_known_photos(&self, file: RoutineFile) -> RoutineFile;
    fn take_on(&self, file: &RoutineFile);
}

impl Log for LiveLog {
    fn follows_one(&self) -> bool {
        self.history_untracked().routine().is_some()
    }

    fn with_known_photos(&self, file: RoutineFile) -> RoutineFile {
        match self.history_untracked().routine() {
            Some(followed) if followed.id == file.routine.id => file.with_photos_of(followed),
            Some(_) | None => file,
        }
    }

    fn take_on(&self, file: &RoutineFile) {
        self.accept(file);
    }
}

/// What was opened and waits to be accepted, and why the last file or link could not be.
#[derive(Clone, Copy)]
pub struct Offer {
    file: RwSignal<Option<RoutineFile>, LocalStorage>,
    problem: RwSignal<Option<String>>,
    step: RwSignal<Step>,
    log: StoredValue<Rc<dyn Log>, LocalStorage>,
}

impl Offer {
    pub fn over_log() -> Self {
        Self::over(use_log())
    }

    pub fn over(log: impl Log + 'static) -> Self {
        Self {
            file: RwSignal::new_local(None),
            problem: RwSignal::new(None),
            step: RwSignal::new(Step::Asked),
            log: StoredValue::new_local(Rc::new(log)),
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
                Ok(file) => {
                    let log = self.log.try_get_value();
                    self.file.try_set(log.map(|log| log.with_known_photos(file)));
                }
                Err(problem) => drop(self.problem.try_set(Some(problem))),
            }
        });
    }

    /// Takes on what was opened.
    pub fn take_on(self, file: &RoutineFile) {
        self.log.get_value().take_on(file);
    }

    /// What was opened.
    pub fn file(self) -> Option<RoutineFile> {
        self.file.get()
    }

    pub fn file_untracked(self) -> Option<RoutineFile> {
        self.file.get_untracked()
    }

    /// Puts it aside, or goes back from it.
    pub fn put_aside(self) {
        self.file.set(None);
    }

    pub fn stop_scanning(self) {
        self.step.set(Step::Asked);
    }

    /// What there is to say while no routine is shown.
    pub fn title(self) -> &'static str {
        if self.step.get() == Step::ReadingLink {
            text::OPENING
        } else if self.problem.get().is_some() {
            text::NONE_WAS_OPENED
        } else {
            text::OPEN_YOUR_ROUTINE
        }
    }

    /// Why the last file or link could not be opened.
    pub fn problem(self) -> Signal<Option<String>> {
        self.problem.into()
    }

    /// What goes the ways that lead to a routine.
    pub fn ways(self) -> Callback<WayToOpen> {
        Callback::new(move |way| self.go(way))
    }

    /// Goes one of the ways that lead to a routine.
    pub fn go(self, way: WayToOpen) {
        match way {
            WayToOpen::Files(files) => files.into_iter().for_each(|file| self.read_file(file)),
            WayToOpen::Codes => self.step.set(Step::Scanning),
            WayToOpen::Demo => spawn_local(async move {
                match files::shipped(DEMO).await {
                    Some(demo) => self.read(text::THE_DEMO, &demo),
                    None => self.problem.set(Some(text::NO_DEMO.to_owned())),
                }
            }),
        }
    }

    fn read_file(self, file: Picked) {
        match file.text {
            Ok(content) => self.read(&file.name, &content),
            Err(why) => self.refuse(&file.name, &why.in_words()),
        }
    }

    fn read(self, name: &str, content: &str) {
        match file::parse(content) {
            Ok(File::Routine(file)) => {
                self.problem.set(None);
                self.file.set(Some(*file));
            }
            Ok(File::Log(_) | File::DamagedLog { .. }) => {
                self.problem.set(Some(text::is_a_log(name)));
            }
            Err(error) => self.refuse(name, &error.in_words()),
        }
    }

    fn refuse(self, name: &str, why: &str) {
        self.problem.set(Some(text::refused(name, why)));
    }
}

/// Shows its children until a routine was opened, then that routine, to be accepted or not.
#[component]
pub fn Opening(offer: Offer, children: ChildrenFn) -> impl IntoView {
    provide_context(offer);
    let screens: Screens = expect_context();
    let is_scanning = Memo::new(move |_| offer.step.get() == Step::Scanning);
    move || match offer.file.get() {
        // What it changes is a part of the page that most clients need weeks later.
        Some(_) if offer.log.get_value().follows_one() => {
            screens.view(Screen::OfferedAgain).into_any()
        }
        Some(file) => view! { <FirstOffered file offer /> }.into_any(),
        None if is_scanning.get() => screens.view(Screen::Scan).into_any(),
        None => children().into_any(),
    }
}

/// The text of a link, unpacked and put together; or what to say instead.
async fn from_link(packed: &str) -> Result<RoutineFile, String> {
    let unpacked = compression::unpack(packed, link::LARGEST).await;
    let content = unpacked.map_err(|error| match error {
        CannotUnpack::Link(error) => refused(&error),
        CannotUnpack::Inflating(CannotInflate::Unsupported) => TOO_OLD_A_BROWSER.to_owned(),
        CannotUnpack::Inflating(CannotInflate::Damaged) => refused(&LinkError::Damaged),
        CannotUnpack::Inflating(CannotInflate::TooLarge) => refused(&LinkError::TooLarge),
    })?;
    let entries = entries_of(&content).await;
    let is_there = entries.is_some();
    let entries = entries.unwrap_or_default();
    link::restore(&content, |id, revision| entries.exercise(id, revision)).map_err(|error| {
        if !is_there && matches!(error, LinkError::UnknownEntry { .. }) {
            NO_LIBRARY.to_owned()
        } else {
            refused(&error)
        }
    })
}

/// What a link names of the library: the whole library where the device keeps it, else each entry by itself,
/// and the whole library again where one is not to be had so. `None` where that is missing, too.
async fn entries_of(content: &str) -> Option<LibraryEntries> {
    let whole =
        async || files::shipped(LIBRARY).await.map(|library| LibraryEntries::parse(&library));
    if offline::is_in_charge() {
        return whole().await;
    }
    let named = link::named(content);
    let paths = named
        .iter()
        .map(|origin| format!("library/{}-{}.json", origin.id.as_str(), origin.revision));
    let entries = LibraryEntries::each(files::shipped_together(paths).await.into_iter());
    if named.iter().all(|origin| entries.has(origin)) {
        return Some(entries);
    }
    whole().await
}
