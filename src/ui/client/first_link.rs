//! A routine that came by a link to a device that never kept anything: shown whole before there is a log to
//! take it on in.

use leptos::prelude::*;

use super::begin::GoOn;
use super::offered::FirstOffered;
use super::open_routine::{Log, Offer};
use super::to_today::ToToday;
use super::ways::{Begun, Way, WaysToOpen};
use crate::exchange::file::RoutineFile;
use crate::platform::address;
use crate::ui::components::screen::Screen;

/// The log that is yet to be opened.
struct NoLogYet {
    begun: Begun<RoutineFile>,
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
        self.begun.set(file.clone());
    }
}

#[component]
pub fn FirstLink() -> impl IntoView {
    let GoOn(go_on) = expect_context();
    let first: Begun<Way> = expect_context();
    provide_context(ToToday(go_on));
    let link = StoredValue::new(None);
    let offer = Offer::over(NoLogYet { begun: expect_context(), link });
    let read = move || {
        if let Some(fragment) = address::take_fragment() {
            link.set_value(Some(fragment.clone()));
            offer.read_link(fragment);
        }
    };
    read();
    // A second link that is opened in the same window changes only the fragment.
    let heard = window_event_listener(leptos::ev::hashchange, move |_| read());
    on_cleanup(move || heard.remove());
    let on_way = Callback::new(move |way| {
        first.set(way);
        address::go_to("/");
        go_on.run(());
    });
    move || {
        match offer.file() {
        Some(file) => view! { <FirstOffered file offer /> }.into_any(),
        None => view! {
            <Screen
                title=offer.title()
                foot=Box::new(|| view! { <a href="/" class="button">"Back to Today"</a> }.into_any())
            >
                <WaysToOpen problem=offer.problem() on_way />
            </Screen>
        }
        .into_any(),
    }
    }
}
