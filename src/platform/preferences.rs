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

/// What goes before the names of a preview's choices.
const APART: &str = "preview.";

thread_local! {
    /// Goes before every name.
    static PREFIX: Cell<&'static str> = const { Cell::new("") };
}

/// Keeps choices apart from those of the client, from now on.
pub fn keep_apart() {
    PREFIX.set(APART);
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

/// Forgets everything under these names' common beginning.
pub fn forget_all(beginning: &str) {
    forget_names(&full(beginning));
}

/// Forgets all that was kept apart.
pub fn forget_apart() {
    forget_names(APART);
}

fn forget_names(beginning: &str) {
    let Some(storage) = web_sys::window().and_then(|window| window.local_storage().ok().flatten())
    else {
        return;
    };
    let names: Vec<String> = (0..storage.length().unwrap_or(0))
        .filter_map(|at| storage.key(at).ok().flatten())
        .collect();
    for name in names.iter().filter(|name| name.starts_with(beginning)) {
        drop(storage.remove_item(name));
    }
}

pub fn forget(name: &str) {
    if storage_is_allowed() {
        LocalStorage::delete(full(name));
    }
}
