//! What needs the whole log: read before its children are shown, let go of after them.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::screen::Screen;
use crate::store::backend::BackendError;
use crate::ui::live_log::{WholeLiveLog, use_log};
use crate::ui::text::components::screen::BACK_TO_TODAY;
use crate::ui::text::components::{cannot_start, whole_log as text};
use crate::ui::text::refusals::InWords;

#[derive(Clone)]
enum State {
    Reading,
    Here(WholeLiveLog),
    CannotRead(BackendError),
}

/// Shows its children once all of the log is at hand; inside them, `use_whole_log` has it.
#[component]
pub fn WholeLog(children: ChildrenFn) -> impl IntoView {
    let log = use_log();
    let state = RwSignal::new(log.whole().map_or(State::Reading, State::Here));
    let read = move || {
        spawn_local(async move {
            let read = log.read_whole().await.map_or_else(State::CannotRead, State::Here);
            drop(state.try_set(read));
        });
    };
    if matches!(state.get_untracked(), State::Reading) {
        read();
    }
    move || match state.get() {
        State::Reading => view! {
            <Screen title=text::OPENING foot=back()>
                <p class="soft">{text::ALL_IS_READ}</p>
            </Screen>
        }
        .into_any(),
        State::Here(whole) => {
            provide_context(whole);
            children().into_any()
        }
        State::CannotRead(error) => view! {
            <Screen title=text::NOT_ALL_READ foot=back()>
                <p class="problem">{text::not_read(&error.in_words())}</p>
                <button type="button" class="button" on:click=move |_| read()>
                    {cannot_start::TRY_AGAIN}
                </button>
            </Screen>
        }
        .into_any(),
    }
}

fn back() -> Children {
    Box::new(|| view! { <a href="./" class="button quiet">{BACK_TO_TODAY}</a> }.into_any())
}
