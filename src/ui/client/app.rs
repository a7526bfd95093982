//! The client's app: what all its screens share, and the first of them.

use leptos::prelude::*;

use super::parts::{Parts, Screen, Screens};
use super::to_today::ToToday;
use super::ways_to_open::Beginning;
use crate::platform::address;
use crate::platform::indexed_db::IndexedDb;
use crate::store::journal::Journal;
use crate::ui::components::figure::Gallery;
use crate::ui::components::later::when_idle;
use crate::ui::components::newer::NewerVersion;
use crate::ui::live_log::LiveLog;
use crate::ui::training::AppOwner;

/// The app over an open journal. A routine that came by a link is shown by itself, before the rest of the
/// app is there.
#[component]
pub fn App(journal: Journal<IndexedDb>, parts: Parts) -> impl IntoView {
    let log = LiveLog::new(journal);
    provide_context(log);
    take_on_begun(log);
    provide_context(AppOwner::here());
    let newer: NewerVersion = expect_context();
    let screens = Screens::of(parts);
    provide_context(screens);
    provide_context(Gallery::new(parts.figures));
    let takes = RwSignal::new(address::carries_routine());
    provide_context(ToToday(Callback::new(move |()| {
        address::go_to("/");
        takes.set(false);
    })));
    let stands = Memo::new(move |_| screens.one_is_there());
    Effect::new(move |_| {
        if stands.get() {
            newer.watch();
            when_idle(move || screens.fetch());
        }
    });
    move || {
        if takes.get() {
            screens.view(Screen::Take).into_any()
        } else {
            screens.routes.view().into_any()
        }
    }
}

/// Takes on the routine that was accepted before there was a log. Should there be one in the log after all,
/// the link in the address is opened again, which asks what it may change.
fn take_on_begun(log: LiveLog) {
    let begun = expect_context::<Beginning>().taken_on();
    if let Some(file) = begun.filter(|_| log.history_untracked().routine().is_none()) {
        log.accept(&file);
        address::take_fragment();
        address::go_to("/");
    }
}
