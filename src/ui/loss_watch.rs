//! A trace of what is kept on this device, apart from the storage that keeps it: a browser that throws a
//! storage away tells nobody, and the app would begin as on a new device, or with less, without a word.
//!
//! A browser may forget the last minute of the trace when it is killed, so it tells only of what there was at
//! least.

use chrono::NaiveDate;
use leptos::prelude::*;

use crate::platform::{clock, preferences, preview};

/// The day since when something was kept, under a name of its own.
#[derive(Clone, Copy)]
pub struct LossWatch {
    name: &'static str,
    state: RwSignal<State>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    NoTrace,
    Left,
    /// There is a trace since that day, and nothing that it is of, or less than it says.
    Missing(Missing, NaiveDate),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Missing {
    All,
    Part,
}

/// How much there was, by a number that only grows, and the last of it.
#[derive(Clone, Debug, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub struct Extent {
    pub number: usize,
    pub last: String,
}

impl LossWatch {
    /// Compares what was opened with the trace of it. A preview leaves none.
    pub fn of(name: &'static str, is_empty: bool) -> Self {
        let since = preferences::get(name).filter(|_| !preview::is_on());
        let state = match since {
            None => State::NoTrace,
            Some(since) if is_empty => State::Missing(Missing::All, since),
            Some(_) => State::Left,
        };
        let loss_watch = Self { name, state: RwSignal::new(state) };
        loss_watch.follow(is_empty);
        loss_watch
    }

    /// Leaves the trace once there is something, and takes it away with the last of it.
    pub fn follow(self, is_empty: bool) {
        // The screens may be gone by now, where another window took over.
        let Some(state) = self.state.try_get_untracked() else { return };
        match (state, is_empty) {
            (State::NoTrace, false) if !preview::is_on() => {
                preferences::set(self.name, clock::now().date_naive());
                self.state.set(State::Left);
            }
            (State::Missing(Missing::All, _), false) => self.state.set(State::Left),
            (State::Left | State::Missing(Missing::Part, _), true) => self.forget(),
            (State::NoTrace, _)
            | (State::Left | State::Missing(Missing::Part, _), false)
            | (State::Missing(Missing::All, _), true) => {}
        }
    }

    fn extent_name(self) -> String {
        format!("{}.extent", self.name)
    }

    fn was(self) -> Option<Extent> {
        preferences::get(&self.extent_name())
    }

    /// Compares how much there is with how much there was, as far as that came after the last erasing.
    pub fn compare(self, extent: &Extent, erased: Option<&str>) {
        let counts = |was: &Extent| erased.is_none_or(|erased| erased < was.last.as_str());
        if self.was().is_some_and(|was| !counts(&was)) {
            preferences::forget(&self.extent_name());
        }
        if self.was().is_some_and(|was| extent.number < was.number) {
            self.miss_a_part();
        } else {
            self.keep(extent);
        }
    }

    /// Something is known to be missing.
    pub fn miss_a_part(self) {
        if self.state.try_get_untracked() == Some(State::Left) {
            let since = preferences::get(self.name).unwrap_or_else(|| clock::now().date_naive());
            self.state.set(State::Missing(Missing::Part, since));
        }
    }

    /// Notes that so many were added to what there was, whether all of that is still there or not.
    pub fn grow(self, by: usize, last: String) {
        if let Some(was) = self.was() {
            preferences::set(
                &self.extent_name(),
                &Extent { number: was.number.saturating_add(by), last },
            );
        }
    }

    /// Whether it is known how much there was.
    pub fn knows_extent(self) -> bool {
        self.was().is_some()
    }

    /// Notes how much there is, unless there was more: that is for the comparing to tell.
    pub fn keep(self, extent: &Extent) {
        let was_more = self.was().is_some_and(|was| extent.number < was.number);
        match self.state.try_get_untracked() {
            Some(State::Left) if !was_more => {}
            Some(State::Missing(Missing::Part, _)) if !was_more => self.state.set(State::Left),
            Some(State::NoTrace | State::Left | State::Missing(..)) | None => return,
        }
        preferences::set(&self.extent_name(), extent);
    }

    /// What was kept since that day and is not there any more.
    pub fn missing(self) -> Option<(Missing, NaiveDate)> {
        match self.state.get() {
            State::Missing(missing, since) => Some((missing, since)),
            State::NoTrace | State::Left => None,
        }
    }

    /// Goes on without what is missing.
    pub fn go_on(self) {
        preferences::forget(&self.extent_name());
        match self.state.get_untracked() {
            State::Missing(Missing::Part, _) => self.state.set(State::Left),
            State::NoTrace | State::Left | State::Missing(Missing::All, _) => self.forget(),
        }
    }

    pub fn forget(self) {
        preferences::forget(&self.extent_name());
        preferences::forget(self.name);
        self.state.set(State::NoTrace);
    }
}
