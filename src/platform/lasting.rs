//! The browser's promise not to clear what the app keeps when space runs low.

use super::reach::{ask, get, navigator};

/// Whether the browser promised; `None` where it makes no such promises.
pub async fn is_promised() -> Option<bool> {
    let storage = get(&navigator()?, "storage")?;
    Some(ask(&storage, "persisted", &[]).await?.is_truthy())
}

/// Asks for the promise; whether it is given. Some browsers ask the person, most decide by themselves.
pub async fn ask_for_promise() -> Option<bool> {
    let storage = get(&navigator()?, "storage")?;
    Some(ask(&storage, "persist", &[]).await?.is_truthy())
}
