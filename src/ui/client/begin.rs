//! The beginning on a device that never kept anything: a welcome, for which nothing else has to be loaded, or
//! the routine that came by a link.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::parts::{Parts, Screen};
use super::ways_to_open::{Beginning, WayToOpen};
use super::welcome::WelcomeScreen;
use crate::platform::address;
use crate::ui::components::figure::Gallery;
use crate::ui::components::later::{Later, when_idle};
use crate::ui::components::newer::NewerVersion;
use crate::ui::saving::Saver;

/// Opens a log, and goes on over it.
#[derive(Clone, Copy)]
pub struct GoOn(pub Callback<()>);

#[component]
pub fn Begin(parts: Parts, go_on: Callback<()>) -> impl IntoView {
    provide_context(Saver::new());
    provide_context(GoOn(go_on));
    let beginning: Beginning = expect_context();
    let on_way = Callback::new(move |way: WayToOpen| {
        beginning.go(way);
        go_on.run(());
    });
    let newer: NewerVersion = expect_context();
    newer.watch();
    provide_context(Gallery::that_comes_last(parts.figures));
    // The next tap should not have to wait.
    let fetch_next = move || {
        when_idle(move || {
            spawn_local(async move {
                if (parts.log)().await.is_ok() && (parts.routes)().await.is_ok() {
                    (parts.screen)(Screen::Welcome)().await.ok();
                }
            });
        });
    };
    if address::carries_routine() {
        let routine = Later::new(parts.first_link);
        Effect::new(move |_| {
            if routine.is_there() {
                fetch_next();
            }
        });
        routine.view().into_any()
    } else {
        fetch_next();
        view! { <WelcomeScreen problem=Signal::stored(None) on_way /> }.into_any()
    }
}
