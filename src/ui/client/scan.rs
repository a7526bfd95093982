//! Opening a routine from the codes on a practitioner's screen.

use leptos::prelude::*;

use super::open_routine::Offer;
use crate::exchange::link;
use crate::ui::components::camera::CodeCamera;
use crate::ui::components::screen::Screen;
use crate::ui::text::client::scan as text;
use crate::ui::text::client::ways_to_open::SCAN_THE_CODES;
use crate::ui::text::link::NO_CAMERA;

#[component]
pub fn Scanning() -> impl IntoView {
    let offer: Offer = expect_context();
    let close = move |_| offer.stop_scanning();
    view! {
        <Screen
            title=SCAN_THE_CODES
            foot=Box::new(move || {
                view! {
                    <button type="button" class="button" on:click=close>
                        {text::CLOSE_THE_CAMERA}
                    </button>
                }
                .into_any()
            })
        >
            <CodeCamera
                way_out=NO_CAMERA
                is_ours=link::is_ours
                on_text=Callback::new(move |read| offer.read_link(read))
            />
        </Screen>
    }
}
