//! Small choices of this device, and the place to come back to; losing them loses nothing of the log.

use gloo_storage::{LocalStorage, Storage};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Whether this browser lets the app use its small storage. Asked first, because where it is denied
/// the library stops the app instead of answering.
pub fn storage_is_allowed() -> bool {
    web_sys::window().is_some_and(|window| matches!(window.local_storage(), Ok(Some(_))))
}

/// What was chosen under a name, if it was and can be read.
pub fn get<T: DeserializeOwned>(name: &str) -> Option<T> {
    if storage_is_allowed() { LocalStorage::get(name).ok() } else { None }
}

/// Remembers a choice where the browser allows it; where not, it holds until the page is closed.
pub fn set(name: &str, value: impl Serialize) {
    if storage_is_allowed() {
        drop(LocalStorage::set(name, value));
    }
}

pub fn forget(name: &str) {
    if storage_is_allowed() {
        LocalStorage::delete(name);
    }
}
