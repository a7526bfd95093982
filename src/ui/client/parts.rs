//! The parts of the client's page that come later, each when it is first needed. What the page cannot
//! open without is in none of them.
//!
//! The binary says which function is in which part; here is what the page asks of them.

use leptos::prelude::IntoView;

use super::log::OpenLog;
use crate::platform::preview;
use crate::store::backend::BackendError;
use crate::ui::components::figure;
use crate::ui::components::later::{Coming, Later, Show};

/// Opens the log, with what this window still had of it.
pub type Open = fn(preview::Log, Option<OpenLog>, Parts) -> Opening;
pub type Opening = std::pin::Pin<Box<dyn Future<Output = Result<OpenLog, BackendError>>>>;

/// The screens that come later, the likeliest to come next first. Where each stands is in `super::routes`, and
/// in which part, over which log, in the binary.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    Today,
    BeforeSession,
    Session,
    Morning,
    Ratings,
    Exercise,
    Help,
    Cues,
    Welcome,
    Take,
    Scan,
    OfferedAgain,
    Routine,
    HandBack,
    SafeKeeping,
    Reminder,
}

impl Screen {
    const ALL: [Self; 16] = [
        Self::Today,
        Self::BeforeSession,
        Self::Session,
        Self::Morning,
        Self::Ratings,
        Self::Exercise,
        Self::Help,
        Self::Cues,
        Self::Welcome,
        Self::Take,
        Self::Scan,
        Self::OfferedAgain,
        Self::Routine,
        Self::HandBack,
        Self::SafeKeeping,
        Self::Reminder,
    ];
}

const _: () = {
    let mut place = 0;
    while place < Screen::ALL.len() {
        assert!(Screen::ALL[place] as usize == place, "all of them, in order");
        place += 1;
    }
};

/// How each part is asked for.
#[derive(Clone, Copy)]
pub struct Parts {
    pub log: fn() -> Coming<Open>,
    pub routes: fn() -> Coming<Show>,
    pub figures: fn() -> Coming<figure::Open>,
    pub first_link: fn() -> Coming<Show>,
    pub screen: fn(Screen) -> fn() -> Coming<Show>,
}

/// The screens and the way between them, each there or on its way.
#[derive(Clone, Copy)]
pub struct Screens {
    pub routes: Later,
    each: [Later; Screen::ALL.len()],
}

impl Screens {
    pub fn of(parts: Parts) -> Self {
        let later = |screen| Later::new((parts.screen)(screen));
        Self { routes: Later::new(parts.routes), each: Screen::ALL.map(later) }
    }

    /// A screen as soon as it is there.
    pub fn view(self, screen: Screen) -> impl IntoView {
        self.each[screen as usize].view()
    }

    /// Whether there is one to look at.
    pub fn one_is_there(self) -> bool {
        self.each.into_iter().any(Later::is_there)
    }

    /// Fetches those that are not there yet.
    pub fn fetch(self) {
        self.routes.fetch();
        self.each.into_iter().for_each(Later::fetch);
    }
}
