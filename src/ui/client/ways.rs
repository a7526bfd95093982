//! The ways to a routine, and what was begun before the app was there.

use leptos::prelude::*;

use crate::exchange::file;
use crate::platform::files::Picked;
use crate::platform::preview;
use crate::ui::components::open_file::OpenFile;
use crate::ui::text::client::ways as text;

/// A way to a routine.
#[derive(Clone)]
pub enum Way {
    Files(Vec<Picked>),
    Codes,
    /// Over a log of its own.
    Demo,
}

/// What was begun on a page that had no log open yet, for the app to go on with: the way that was gone, or
/// the routine that was taken on.
pub struct Begun<T: 'static>(StoredValue<Option<T>, LocalStorage>);

impl<T> Clone for Begun<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Begun<T> {}

impl<T> Begun<T> {
    pub fn nothing() -> Self {
        Self(StoredValue::new_local(None))
    }

    pub fn set(self, begun: T) {
        self.0.set_value(Some(begun));
    }

    pub fn take(self) -> Option<T> {
        self.0.try_update_value(Option::take).flatten()
    }
}

/// The buttons that open a routine.
#[component]
pub fn WaysToOpen(
    /// Why the last one led nowhere.
    #[prop(into)]
    problem: Signal<Option<String>>,
    on_way: Callback<Way>,
    /// Whether the demo is offered, too.
    #[prop(optional)]
    demo: bool,
) -> impl IntoView {
    let picked = Callback::new(move |files| on_way.run(Way::Files(files)));
    view! {
        <div class="stack">
            <p role="alert" class="problem" class:empty=move || problem.get().is_none()>
                {move || problem.get()}
            </p>
            <OpenFile label=text::OPEN_A_FILE class="button main" most=file::LARGEST on_open=picked />
            <button type="button" class="button" on:click=move |_| on_way.run(Way::Codes)>
                {text::SCAN_THE_CODES}
            </button>
            {demo
                .then(|| {
                    view! {
                        <button type="button" class="button" on:click=move |_| preview::begin_demo()>
                            {text::TRY_THE_DEMO}
                        </button>
                    }
                })}
        </div>
    }
}
