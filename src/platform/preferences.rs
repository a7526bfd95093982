//! Small choices of this device, and the place to come back to; losing them loses nothing of the log.

use std::cell::Cell;

use gloo_storage::{LocalStorage, Storage};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Whether this browser lets the app use its small storage. Asked first, because where it is denied
/// the library stops the app instead of answering.
pub fn storage_is_allowed() -> bool {
    web_sys::window().is_some_and(|window| matches!(window.local_storage(), Ok(Some(_))))
}

thread_local! {
    /// Goes before every name.
    static PREFIX: Cell<&'static str> = const { Cell::new("") };
}

/// Keeps choices apart from those of the client, from now on.
pub fn keep_apart() {
    PREFIX.set("preview.");
}

fn full(name: &str) -> String {
    format!("{}{name}", PREFIX.get())
}

/// What was chosen under a name, if it was and can be read.
pub fn get<T: DeserializeOwned>(name: &str) -> Option<T> {
    if storage_is_allowed() { LocalStorage::get(full(name)).ok() } else { None }
}

/// Remembers a choice where the browser allows it; where not, it holds until the page is closed.
pub fn set(name: &str, value: impl Serialize) {
    if storage_is_allowed() {
        drop(LocalStorage::set(full(name), value));
    }
}

pub fn forget(name: &str) {
    if storage_is_allowed() {
        LocalStorage::delete(full(name));
    }
}
