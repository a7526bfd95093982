//! Trying a routine out as the client, or the demo: the client's page over a log of its own, in one tab.
//!
//! Nothing that is done there touches the log, the preferences or the session of a client who uses the
//! same device.

use std::cell::Cell;

use super::{address, indexed_db, preferences};

/// Where a preview begins, with the routine in the address's fragment.
pub const PAGE: &str = "/preview";
/// The fragment with which the demo begins there.
pub const DEMO: &str = "demo";
const FLAG: &str = "carryover.preview";

thread_local! {
    static ON: Cell<bool> = const { Cell::new(false) };
    static IS_DEMO: Cell<bool> = const { Cell::new(false) };
}

/// Whose log this tab is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Log {
    Client,
    /// A preview that begins here, with nothing in its log.
    NewPreview,
    /// A preview that was begun in this tab.
    Preview,
}

impl Log {
    /// The name that the log goes by on this device.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Client => "carryover",
            Self::NewPreview | Self::Preview => "carryover-preview",
        }
    }
}

/// Tells whose log this tab is over, and remembers a preview for as long as the tab is open.
pub fn log() -> Log {
    let begins = address::path().is_some_and(|path| path == PAGE);
    let was = session_storage().and_then(|storage| storage.get_item(FLAG).ok().flatten());
    let log = match (begins, &was) {
        (true, _) => Log::NewPreview,
        (false, Some(_)) => Log::Preview,
        (false, None) => Log::Client,
    };
    if log != Log::Client {
        let is_demo =
            if begins { address::has_fragment(DEMO) } else { was.as_deref() == Some(DEMO) };
        if let Some(storage) = session_storage() {
            // Without it a reload ends the preview; nothing else does.
            drop(storage.set_item(FLAG, if is_demo { DEMO } else { "on" }));
        }
        ON.set(true);
        IS_DEMO.set(is_demo);
        preferences::keep_apart();
    }
    log
}

pub fn is_on() -> bool {
    ON.get()
}

/// Whether the preview of this tab is of the demo.
pub fn is_demo() -> bool {
    IS_DEMO.get()
}

/// Begins the demo in this tab, in the place of whatever was tried out before.
pub fn begin_demo() {
    address::open_anew(&format!("{PAGE}#{DEMO}"));
}

/// Takes everything away that previews left on this device.
pub async fn erase() {
    indexed_db::remove(Log::Preview.name()).await;
    preferences::forget_apart();
}

/// Ends the preview of this tab; the next page that is loaded is the client's own.
pub fn end() {
    if let Some(storage) = session_storage() {
        drop(storage.remove_item(FLAG));
    }
}

fn session_storage() -> Option<web_sys::Storage> {
    web_sys::window()?.session_storage().ok().flatten()
}
