//! A trace of what is kept on this device, apart from the storage that keeps it: a browser that throws a
//! storage away tells nobody, and the app would begin as on a new device without a word.

use chrono::NaiveDate;
use leptos::prelude::*;

use crate::platform::{clock, preferences, preview};

/// The day since when something was kept, under a name of its own.
#[derive(Clone, Copy)]
pub struct Trace {
    name: &'static str,
    state: RwSignal<State>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    NoTrace,
    Left,
    /// There is a trace since that day, and nothing that it is of.
    Gone(NaiveDate),
}

impl Trace {
    /// Compares what was opened with the trace of it. A preview leaves none.
    pub fn of(name: &'static str, is_empty: bool) -> Self {
        let since = preferences::get(name).filter(|_| !preview::is_on());
        let state = match since {
            None => State::NoTrace,
            Some(since) if is_empty => State::Gone(since),
            Some(_) => State::Left,
        };
        let trace = Self { name, state: RwSignal::new(state) };
        trace.follow(is_empty);
        trace
    }

    /// Leaves the trace once there is something, and takes it away with the last of it.
    pub fn follow(self, is_empty: bool) {
        match (self.state.get_untracked(), is_empty) {
            (State::NoTrace, false) if !preview::is_on() => {
                preferences::set(self.name, clock::now().date_naive());
                self.state.set(State::Left);
            }
            (State::Gone(_), false) => self.state.set(State::Left),
            (State::Left, true) => self.forget(),
            (State::NoTrace, _) | (State::Left, false) | (State::Gone(_), true) => {}
        }
    }

    /// Since when something was kept that is not there any more.
    pub fn gone(self) -> Option<NaiveDate> {
        match self.state.get() {
            State::Gone(since) => Some(since),
            State::NoTrace | State::Left => None,
        }
    }

    pub fn forget(self) {
        preferences::forget(self.name);
        self.state.set(State::NoTrace);
    }
}
