//! A routine that came by a link to a device that never kept anything: shown whole before there is a log to
//! take it on in.

use leptos::prelude::*;

use super::begin::GoOn;
use super::offered::FirstOffered;
use super::open_routine::{Log, Offer};
use super::take::{NoRoutineYet, for_each_link};
use super::to_today::ToToday;
use super::ways_to_open::Beginning;
use crate::exchange::file::RoutineFile;
use crate::platform::address;
use crate::ui::components::later::OnItsWay;

/// The log that is yet to be opened.
struct NoLogYet {
    beginning: Beginning,
    link: StoredValue<Option<String>>,
}

impl Log for NoLogYet {
    fn follows_one(&self) -> bool {
        false
    }

    fn with_known_photos(&self, file: RoutineFile) -> RoutineFile {
        file
    }

    fn take_on(&self, file: &RoutineFile) {
        // Should the rest of the app not arrive, the link stands where a next try finds it.
        if let Some(link) = self.link.get_value() {
            address::carry_fragment(&link);
        }
        self.beginning.take_on(file.clone());
    }
}

#[component]
pub fn FirstLink() -> impl IntoView {
    let GoOn(open_log) = expect_context();
    let beginning: Beginning = expect_context();
    let is_going_on = RwSignal::new(false);
    let go_on = Callback::new(move |()| {
        is_going_on.set(true);
        open_log.run(());
    });
    provide_context(ToToday(go_on));
    let link = StoredValue::new(None);
    let offer = Offer::over(NoLogYet { beginning, link });
    for_each_link(move |fragment| {
        link.set_value(Some(fragment.clone()));
        offer.read_link(fragment);
    });
    let on_way = Callback::new(move |way| {
        beginning.go(way);
        address::go_to("/");
        go_on.run(());
    });
    move || match offer.file() {
        _ if is_going_on.get() => view! { <OnItsWay /> }.into_any(),
        Some(file) => view! { <FirstOffered file offer /> }.into_any(),
        None => view! { <NoRoutineYet offer on_way /> }.into_any(),
    }
}
