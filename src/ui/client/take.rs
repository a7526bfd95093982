//! A routine that came by a link: the address carries it in its fragment.

use leptos::prelude::*;

use super::open_routine::{Offer, Opening};
use super::ways_to_open::{WayToOpen, WaysToOpen};
use crate::platform::{address, preview};
use crate::ui::components::screen::Screen;
use crate::ui::text::components::screen::BACK_TO_TODAY;

#[component]
pub fn Take() -> impl IntoView {
    let offer = Offer::over_log();
    for_each_link(move |link| {
        if link == preview::DEMO { offer.go(WayToOpen::Demo) } else { offer.read_link(link) }
    });
    view! {
        <Opening offer>
            <NoRoutineYet offer on_way=offer.ways() />
        </Opening>
    }
}

/// Takes each link out of the address: the one the page was opened with, and any that is opened in the same
/// window, which changes only the fragment.
pub fn for_each_link(read: impl Fn(String) + Copy + 'static) {
    let take = move || {
        if let Some(fragment) = address::take_fragment() {
            read(fragment);
        }
    };
    take();
    let heard = window_event_listener(leptos::ev::hashchange, move |_| take());
    on_cleanup(move || heard.remove());
}

/// The link is being read, or brought no routine.
#[component]
pub fn NoRoutineYet(offer: Offer, on_way: Callback<WayToOpen>) -> impl IntoView {
    move || {
        view! {
            <Screen
                title=offer.title()
                foot=Box::new(|| view! { <a href="./" class="button">{BACK_TO_TODAY}</a> }.into_any())
            >
                <WaysToOpen problem=offer.problem() on_way />
            </Screen>
        }
    }
}
