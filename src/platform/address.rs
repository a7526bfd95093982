//! The address of the page: where in the app it is, and the fragment, which no server ever sees.
//!
//! An address of the app begins with a slash and counts from the folder in which the host has it, which every
//! page names as its base. In a view an address is written without that slash, and the browser counts.

use wasm_bindgen::JsValue;

use super::{preview, reach};

/// Takes the fragment out of the address, so that it stays neither in sight nor in the history of this
/// page. `None` where there is none.
pub fn take_fragment() -> Option<String> {
    let fragment = web_sys::window()?.location().hash().ok()?.strip_prefix('#')?.to_owned();
    replace_fragment("");
    Some(fragment)
}

/// Whether the address has that fragment.
pub fn has_fragment(fragment: &str) -> bool {
    let hash = web_sys::window().and_then(|window| window.location().hash().ok());
    hash.is_some_and(|hash| hash.strip_prefix('#') == Some(fragment))
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

/// The folder in which the host has the app, without the slash at its end: nothing for a site's root.
pub fn base() -> String {
    base_of_page().unwrap_or_default()
}

fn base_of_page() -> Option<String> {
    let base = web_sys::window()?.document()?.base_uri().ok()??;
    let path = web_sys::Url::new(&base).ok()?.pathname();
    Some(path.strip_suffix('/')?.to_owned())
}

/// An address of the app as one of the site.
pub fn at(path: &str) -> String {
    base() + path
}

/// Where a link leads that carries a routine.
const TAKE: &str = "/take";

/// Whether it is one that begins with a routine in its fragment.
pub fn carries_routine() -> bool {
    path().is_some_and(|path| path == TAKE || path == preview::PAGE)
}

/// The address of the app at which the page is.
pub fn path() -> Option<String> {
    let path = web_sys::window()?.location().pathname().ok()?;
    Some(path.strip_prefix(&base())?.to_owned())
}

/// Gives the page another address of the app, as a new entry of its history.
pub fn go_to(path: &str) {
    let history = web_sys::window().and_then(|window| reach::get(&window, "history"));
    if let Some(history) = history {
        reach::call(&history, "pushState", &[&JsValue::NULL, &"".into(), &at(path).into()]);
    }
}

/// Where the app runs, such as `https://example.org`.
pub fn site() -> Option<String> {
    Some(web_sys::window()?.location().origin().ok()? + &base())
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
        drop(window.location().replace(&at(path)));
    }
}
