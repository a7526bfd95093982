//! A page in one window: opens what it keeps where no other window has it open, or says why not.

use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::components::cannot_open::CannotOpen;
use super::components::elsewhere::Elsewhere;
use super::saving::ANSWERS_WITHIN;
use crate::platform::one_window::{self, Holder, Manner};
use crate::platform::screen;
use crate::store::backend::BackendError;

/// What a page keeps on the device.
pub trait Kept: Clone + 'static {
    /// What it is called: "log", or "caseload".
    const NAME: &'static str;
    /// Said in a window that is not the one.
    const ELSEWHERE: &'static str;

    /// Makes way for another window that took over; whether everything is safe in the end.
    fn leave(&self) -> impl Future<Output = bool> + use<Self>;
}

#[derive(Clone)]
enum State<T> {
    Opening,
    Open(T),
    Elsewhere,
    CannotOpen(BackendError),
}

/// A page over what goes by a name. `open` gets what this window had before another one took over.
pub fn only_window<T: Kept, Opened>(
    name: &'static str,
    manner: Manner,
    open: impl Fn(Option<T>) -> Opened + Copy + Send + Sync + 'static,
    show: impl Fn(T) -> AnyView + Send + Sync + 'static,
) -> impl IntoView
where
    Opened: Future<Output = Result<T, BackendError>> + 'static,
{
    let state = RwSignal::new_local(State::<T>::Opening);
    let before = StoredValue::new_local(None::<T>);
    let unsaved = RwSignal::new(false);
    // Each entering counts until the next: what an earlier one still had under way changes nothing.
    let entered = StoredValue::new_local(0_u32);
    let enter = move |manner| {
        entered.update_value(|times| *times += 1);
        let this = entered.get_value();
        let counts = move || entered.try_get_value() == Some(this);
        let lost = move || {
            if !counts() {
                return;
            }
            if let State::Open(kept) = state.get_untracked() {
                before.set_value(Some(kept.clone()));
                spawn_local(async move {
                    unsaved.set(!kept.leave().await);
                });
            }
            state.set(State::Elsewhere);
        };
        spawn_local(async move {
            let place = one_window::claim(name, manner, lost).await;
            if !counts() {
                return;
            }
            if place == Holder::Here {
                state.set(State::Opening);
                expect_an_answer(state);
                let opened = open(before.get_value()).await;
                // Another window may have taken over meanwhile.
                if counts() && !matches!(state.get_untracked(), State::Elsewhere) {
                    unsaved.set(false);
                    state.set(opened.map_or_else(State::CannotOpen, State::Open));
                }
            } else {
                state.set(State::Elsewhere);
            }
            screen::clear_shell();
        });
    };
    enter(manner);
    let take_over = Callback::new(move |()| enter(Manner::TakeOver));
    move || match state.get() {
        State::Opening => ().into_any(),
        State::Open(kept) => show(kept),
        State::Elsewhere => {
            view! { <Elsewhere says=T::ELSEWHERE unsaved on_take_over=take_over /> }.into_any()
        }
        State::CannotOpen(error) => view! { <CannotOpen what=T::NAME error /> }.into_any(),
    }
}

/// Says so when the storage does not answer in time. Should it answer later, the page opens then.
fn expect_an_answer<T: 'static>(state: RwSignal<State<T>, LocalStorage>) {
    let say_so = move || {
        if state.with_untracked(|state| matches!(state, State::Opening)) {
            screen::clear_shell();
            state.set(State::CannotOpen(BackendError::Lost));
        }
    };
    set_timeout(say_so, Duration::from_secs(ANSWERS_WITHIN));
}
