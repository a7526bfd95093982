//! The local wall clock as a signal, for screens that speak of days and mornings.

use std::time::Duration;

use chrono::{DateTime, FixedOffset};
use leptos::prelude::*;

use crate::platform::clock;

/// The local time, read again every few seconds while the screen is shown.
pub fn use_wall_clock() -> ReadSignal<DateTime<FixedOffset>> {
    let (now, set_now) = signal(clock::now());
    let reading =
        set_interval_with_handle(move || set_now.set(clock::now()), Duration::from_secs(5));
    on_cleanup(move || {
        if let Ok(reading) = reading {
            reading.clear();
        }
    });
    now
}
