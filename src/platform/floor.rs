//! The ways out that need nothing else of the app; `public/floor.js` has them.

use wasm_bindgen::JsValue;

use super::address;
use super::reach::{call, get};

/// Opens the page anew, after what the device keeps of the app was dropped, where the host can be reached. What
/// people entered stays.
pub fn try_again() {
    if ask("tryAgain", &[]).is_none() {
        address::reload();
    }
}

/// Adds a button to an element that saves all that is kept on the device as a file, where there is something.
pub fn offer_file(to: &JsValue) {
    ask("offerFile", &[to]);
}

fn ask(what: &str, of: &[&JsValue]) -> Option<JsValue> {
    call(&get(&js_sys::global(), "floor")?, what, of)
}
