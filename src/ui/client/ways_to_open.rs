//! The ways to a routine, and what was begun before the app was there.

use leptos::prelude::*;

use crate::exchange::file::{self, RoutineFile};
use crate::platform::files::Picked;
use crate::platform::preview;
use crate::ui::components::open_file::OpenFile;
use crate::ui::text::client::ways_to_open as text;

/// A way to a routine.
#[derive(Clone)]
pub enum WayToOpen {
    Files(Vec<Picked>),
    Codes,
    /// Over a log of its own.
    Demo,
}

/// What was begun on a page that had no log open yet.
enum Begun {
    /// A way was gone.
    Way(WayToOpen),
    /// A routine was taken on.
    TakenOn(RoutineFile),
}

/// What was begun before the app was there, for the app to go on with, once.
#[derive(Clone, Copy)]
pub struct Beginning(StoredValue<Option<Begun>, LocalStorage>);

impl Beginning {
    pub fn nothing() -> Self {
        Self(StoredValue::new_local(None))
    }

    pub fn go(self, way: WayToOpen) {
        self.0.set_value(Some(Begun::Way(way)));
    }

    pub fn take_on(self, file: RoutineFile) {
        self.0.set_value(Some(Begun::TakenOn(file)));
    }

    pub fn way(self) -> Option<WayToOpen> {
        match self.take_if(|begun| matches!(begun, Begun::Way(_)))? {
            Begun::Way(way) => Some(way),
            Begun::TakenOn(_) => None,
        }
    }

    pub fn taken_on(self) -> Option<RoutineFile> {
        match self.take_if(|begun| matches!(begun, Begun::TakenOn(_)))? {
            Begun::TakenOn(file) => Some(file),
            Begun::Way(_) => None,
        }
    }

    fn take_if(self, is_it: fn(&mut Begun) -> bool) -> Option<Begun> {
        self.0.try_update_value(|begun| begun.take_if(is_it)).flatten()
    }
}

/// The buttons that open a routine.
#[component]
pub fn WaysToOpen(
    /// Why the last one led nowhere.
    #[prop(into)]
    problem: Signal<Option<String>>,
    on_way: Callback<WayToOpen>,
    /// Whether the demo is offered, too.
    #[prop(optional)]
    demo: bool,
) -> impl IntoView {
    let picked = Callback::new(move |files| on_way.run(WayToOpen::Files(files)));
    view! {
        <div class="stack">
            <p role="alert" class="problem" class:empty=move || problem.get().is_none()>
                {move || problem.get()}
            </p>
            <OpenFile label=text::OPEN_A_FILE class="button main" most=file::LARGEST on_open=picked />
            <button type="button" class="button" on:click=move |_| on_way.run(WayToOpen::Codes)>
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
