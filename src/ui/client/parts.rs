//! The parts of the client's page that come later, each when it is first needed. What the page cannot
//! open without is in none of them.
//!
//! The binary says which function is in which part; here is what the page asks of them.

use super::log::OpenLog;
use crate::platform::preview;
use crate::store::backend::BackendError;
use crate::ui::components::figure;
use crate::ui::components::later::{Coming, Later, Show};

/// Opens the log, with what this window still had of it.
pub type Open = fn(preview::Log, Option<OpenLog>, Parts) -> Opening;
pub type Opening = std::pin::Pin<Box<dyn Future<Output = Result<OpenLog, BackendError>>>>;

/// How each of them is asked for.
#[derive(Clone, Copy)]
pub struct Parts {
    pub log: fn() -> Coming<Open>,
    pub routes: fn() -> Coming<Show>,
    pub welcome: fn() -> Coming<Show>,
    pub figures: fn() -> Coming<figure::Open>,
    pub first_link: fn() -> Coming<Show>,
    pub take: fn() -> Coming<Show>,
    pub scan: fn() -> Coming<Show>,
    pub offered_again: fn() -> Coming<Show>,
    pub today: fn() -> Coming<Show>,
    pub check: fn() -> Coming<Show>,
    pub session: fn() -> Coming<Show>,
    pub cues: fn() -> Coming<Show>,
    pub morning: fn() -> Coming<Show>,
    pub ratings: fn() -> Coming<Show>,
    pub exercise: fn() -> Coming<Show>,
    pub routine: fn() -> Coming<Show>,
    pub hand_back: fn() -> Coming<Show>,
    pub keep: fn() -> Coming<Show>,
    pub reminder: fn() -> Coming<Show>,
    pub help: fn() -> Coming<Show>,
}

/// The screens, each there or on its way.
#[derive(Clone, Copy)]
pub struct Screens {
    pub routes: Later,
    pub welcome: Later,
    pub take: Later,
    pub scan: Later,
    pub offered_again: Later,
    pub today: Later,
    pub check: Later,
    pub session: Later,
    pub cues: Later,
    pub morning: Later,
    pub ratings: Later,
    pub exercise: Later,
    pub routine: Later,
    pub hand_back: Later,
    pub keep: Later,
    pub reminder: Later,
    pub help: Later,
}

impl Screens {
    pub fn of(parts: Parts) -> Self {
        Self {
            routes: Later::new(parts.routes),
            welcome: Later::new(parts.welcome),
            take: Later::new(parts.take),
            scan: Later::new(parts.scan),
            offered_again: Later::new(parts.offered_again),
            today: Later::new(parts.today),
            check: Later::new(parts.check),
            session: Later::new(parts.session),
            cues: Later::new(parts.cues),
            morning: Later::new(parts.morning),
            ratings: Later::new(parts.ratings),
            exercise: Later::new(parts.exercise),
            routine: Later::new(parts.routine),
            hand_back: Later::new(parts.hand_back),
            keep: Later::new(parts.keep),
            reminder: Later::new(parts.reminder),
            help: Later::new(parts.help),
        }
    }

    /// Those with something to look at, the likeliest to come next first.
    fn all(self) -> [Later; 16] {
        [
            self.today,
            self.check,
            self.session,
            self.morning,
            self.ratings,
            self.exercise,
            self.help,
            self.cues,
            self.welcome,
            self.take,
            self.scan,
            self.offered_again,
            self.routine,
            self.hand_back,
            self.keep,
            self.reminder,
        ]
    }

    /// Whether there is one to look at.
    pub fn one_is_there(self) -> bool {
        self.all().into_iter().any(Later::is_there)
    }

    /// Fetches those that are not there yet.
    pub fn fetch(self) {
        self.routes.fetch();
        self.all().into_iter().for_each(Later::fetch);
    }
}
