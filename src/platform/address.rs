//! The address of the page, as far as it carries something: the fragment, which no server ever sees.

use wasm_bindgen::JsValue;

use super::reach;

/// Takes the fragment out of the address, so that it stays neither in sight nor in the history of this
/// page. `None` where there is none.
pub fn take_fragment() -> Option<String> {
    let window = web_sys::window()?;
    let location = window.location();
    let fragment = location.hash().ok()?.strip_prefix('#')?.to_owned();
    let bare = location.pathname().ok()? + &location.search().ok()?;
    let history = reach::get(&window, "history")?;
    let state = reach::get(&history, "state").unwrap_or(JsValue::NULL);
    reach::call(
        &history,
        "replaceState",
        &[&state, &JsValue::from_str(""), &JsValue::from_str(&bare)],
    );
    Some(fragment)
}

/// The site the app runs on, such as `https://example.org`.
pub fn site() -> Option<String> {
    web_sys::window()?.location().origin().ok()
}

/// Leaves the page for good and opens an address of the app anew, with nothing in memory.
pub fn open_anew(path: &str) {
    if let Some(window) = web_sys::window() {
        drop(window.location().replace(path));
    }
}
