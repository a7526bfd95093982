//! A trace of what is kept on this device, apart from the storage that keeps it: a browser that throws a
//! storage away tells nobody, and the app would begin as on a new device without a word.

use chrono::NaiveDate;
use leptos::prelude::*;

use crate::platform::{clock, preferences, preview};

/// The day since when something was kept, under a name of its own.
#[derive(Clone, Copy)]
pub struct Trace {
    name: &'static str,
    is_left: StoredValue<bool>,
    gone: RwSignal<Option<NaiveDate>>,
}

impl Trace {
    /// Compares what was opened with the trace of it. A preview leaves none.
    pub fn of(name: &'static str, is_empty: bool) -> Self {
        let since = preferences::get(name).filter(|_| !preview::is_on());
        let gone = since.filter(|_| is_empty);
        let (is_left, gone) = (StoredValue::new(since.is_some()), RwSignal::new(gone));
        let trace = Self { name, is_left, gone };
        trace.follow(is_empty);
        trace
    }

    /// Leaves the trace once there is something, and takes it away with the last of it.
    pub fn follow(self, is_empty: bool) {
        match (is_empty, self.is_left.get_value()) {
            (true, true) if self.gone.get_untracked().is_none() => self.forget(),
            (false, false) if !preview::is_on() => {
                preferences::set(self.name, clock::now().date_naive());
                self.is_left.set_value(true);
            }
            (false, true) => self.gone.set(None),
            (true, _) | (false, false) => {}
        }
    }

    /// Since when something was kept that is not there any more.
    pub fn gone(self) -> Option<NaiveDate> {
        self.gone.get()
    }

    pub fn forget(self) {
        preferences::forget(self.name);
        self.is_left.set_value(false);
        self.gone.set(None);
    }
}
