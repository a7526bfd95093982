//! The beginning on a device that never kept anything: a welcome, for which nothing else has to be loaded.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::parts::{Parts, when_idle};
use super::ways::{FirstWay, Way};
use super::welcome::WelcomeScreen;
use crate::ui::components::newer::NewerVersion;
use crate::ui::keeping::Keeping;

#[component]
pub fn Begin(
    parts: Parts,
    /// Opens a log, and goes on over it.
    go_on: Callback<()>,
) -> impl IntoView {
    provide_context(Keeping::new());
    let first: FirstWay = expect_context();
    let on_way = Callback::new(move |way: Way| {
        first.set(way);
        go_on.run(());
    });
    let newer: NewerVersion = expect_context();
    newer.watch();
    // The next tap should not have to wait.
    when_idle(move || {
        spawn_local(async move {
            if (parts.log)().await.is_ok() && (parts.routes)().await.is_ok() {
                (parts.welcome)().await.ok();
            }
        });
    });
    view! { <WelcomeScreen problem=Signal::stored(None) on_way /> }
}
