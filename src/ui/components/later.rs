//! A screen that comes later: its part of the page is loaded when it is first opened, or before.

use std::pin::Pin;

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::cannot_start::{KeptAsFile, TryAgain};
use crate::platform::screen;
use crate::ui::text::components::later as text;

/// Something of a part, on its way.
pub type Coming<T> = Pin<Box<dyn Future<Output = Result<T, NotArrived>>>>;

/// What makes a screen.
pub type Show = fn() -> AnyView;

/// A part did not arrive: the network is gone, or the part, with a version that is not served any more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotArrived;

/// A screen, there or on its way.
#[derive(Clone, Copy)]
pub struct Later {
    ask: fn() -> Coming<Show>,
    come: RwSignal<Option<Result<Show, NotArrived>>>,
}

impl Later {
    pub fn new(ask: fn() -> Coming<Show>) -> Self {
        Self { ask, come: RwSignal::new(None) }
    }

    pub fn is_there(self) -> bool {
        matches!(self.come.get(), Some(Ok(_)))
    }

    /// Asks for it, unless it is there.
    pub fn fetch(self) {
        // The page may be gone that would have shown it: another window took over.
        let Some(come) = self.come.try_get_untracked() else { return };
        match come {
            Some(Ok(_)) => return,
            // It may arrive this time; meanwhile nothing is said of the last.
            Some(Err(NotArrived)) => self.come.set(None),
            None => {}
        }
        spawn_local(async move {
            let come = (self.ask)().await;
            self.come.try_set(Some(come));
        });
    }

    /// The screen as soon as it is there: at once, where it is.
    pub fn view(self) -> impl IntoView {
        self.fetch();
        move || match self.come.get() {
            None => view! { <OnItsWay /> }.into_any(),
            Some(Ok(show)) => show(),
            Some(Err(NotArrived)) => view! { <DidNotArrive /> }.into_any(),
        }
    }
}

#[component]
pub fn OnItsWay() -> impl IntoView {
    view! {
        <main class="screen">
            <div class="screen-body">
                <p class="soft" role="status">{text::ONE_MOMENT}</p>
            </div>
        </main>
    }
}

/// Whole, without anything that might not be there either.
#[component]
pub fn DidNotArrive() -> impl IntoView {
    screen::clear_shell();
    view! {
        <main class="screen">
            <div class="screen-body">
                <h1>{text::DID_NOT_LOAD}</h1>
                <p>{text::WHAT_TO_DO}</p>
                <p>{text::NOTHING_LOST}</p>
                <KeptAsFile />
            </div>
            <div class="screen-foot">
                <TryAgain />
            </div>
        </main>
    }
}

/// Does something once the page has nothing else to do; at once, where the browser cannot tell.
pub fn when_idle(task: impl Fn() + Clone + 'static) {
    if request_idle_callback_with_handle(task.clone()).is_err() {
        task();
    }
}
