//! The address of the page, as far as it carries something: the fragment, which no server ever sees.

use wasm_bindgen::JsValue;

use super::{preview, reach};

/// Takes the fragment out of the address, so that it stays neither in sight nor in the history of this
/// page. `None` where there is none.
pub fn take_fragment() -> Option<String> {
    let fragment = web_sys::window()?.location().hash().ok()?.strip_prefix('#')?.to_owned();
    replace_fragment("");
    Some(fragment)
}

/// Puts a fragment into the address, in place of any other.
pub fn carry_fragment(fragment: &str) {
    replace_fragment(&format!("#{fragment}"));
}

fn replace_fragment(with: &str) -> Option<()> {
    let window = web_sys::window()?;
    let location = window.location();
    let address = location.pathname().ok()? + &location.search().ok()? + with;
    let history = reach::get(&window, "history")?;
    let state = reach::get(&history, "state").unwrap_or(JsValue::NULL);
    reach::call(&history, "replaceState", &[&state, &"".into(), &address.into()]);
    Some(())
}

/// Whether it is the app's first page.
pub fn is_start() -> bool {
    path().is_some_and(|path| path == "/" || path == "/index.html")
}

/// Where a link leads that carries a routine.
const TAKE: &str = "/take";

/// Whether it is one that begins with a routine in its fragment.
pub fn carries_routine() -> bool {
    path().is_some_and(|path| path == TAKE || path == preview::PAGE)
}

pub fn path() -> Option<String> {
    web_sys::window()?.location().pathname().ok()
}

/// Gives the page another address of the app, as a new entry of its history.
pub fn go_to(path: &str) {
    let history = web_sys::window().and_then(|window| reach::get(&window, "history"));
    if let Some(history) = history {
        reach::call(&history, "pushState", &[&JsValue::NULL, &"".into(), &path.into()]);
    }
}

/// The site the app runs on, such as `https://example.org`.
pub fn site() -> Option<String> {
    web_sys::window()?.location().origin().ok()
}

/// Opens the same address anew.
pub fn reload() {
    if let Some(window) = web_sys::window() {
        drop(window.location().reload());
    }
}

/// Leaves the page for good and opens an address of the app anew, with nothing in memory.
pub fn open_anew(path: &str) {
    if let Some(window) = web_sys::window() {
        drop(window.location().replace(path));
    }
}
