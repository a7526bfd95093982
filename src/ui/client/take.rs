//! A routine that came by a link: the address carries it in its fragment.

use leptos::prelude::*;

use super::open_routine::{Offer, Opening};
use super::ways::WaysToOpen;
use crate::platform::address;
use crate::ui::components::screen::Screen;

#[component]
pub fn Take() -> impl IntoView {
    let offer = Offer::over_log();
    let read = move || {
        if let Some(fragment) = address::take_fragment() {
            offer.read_link(fragment);
        }
    };
    read();
    // A second link that is opened in the same window changes only the fragment.
    let heard = window_event_listener(leptos::ev::hashchange, move |_| read());
    on_cleanup(move || heard.remove());
    view! {
        <Opening offer>
            {move || {
                view! {
                    <Screen
                        title=offer.title()
                        foot=Box::new(|| view! { <a href="/" class="button">"Back to Today"</a> }.into_any())
                    >
                        <WaysToOpen problem=offer.problem() on_way=offer.ways() />
                    </Screen>
                }
            }}
        </Opening>
    }
}
