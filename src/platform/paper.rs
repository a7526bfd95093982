//! Printing: a sheet is set in the largest type in which it fits its page.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::HtmlElement;

use super::reach;

/// Type sizes in points, the largest first.
const SIZES: [&str; 15] = [
    "15pt", "14pt", "13pt", "12pt", "11pt", "10.5pt", "10pt", "9.5pt", "9pt", "8.5pt", "8pt",
    "7.75pt", "7.5pt", "7.25pt", "7pt",
];

/// Sets the sheet in the largest type in which it is no taller than `millimetres`. One that is too long
/// even in the smallest goes on on a second page.
pub fn fit(sheet: &str, millimetres: f64) {
    let document = web_sys::window().and_then(|window| window.document());
    let Some(sheet) = document.and_then(|document| document.get_element_by_id(sheet)) else {
        return;
    };
    let Ok(sheet) = sheet.dyn_into::<HtmlElement>() else { return };
    // 96 of the web's pixels are an inch, whatever the screen.
    let room = millimetres / 25.4 * 96.0;
    for size in SIZES {
        set_type(&sheet, size);
        if f64::from(sheet.offset_height()) <= room {
            return;
        }
    }
}

fn set_type(sheet: &HtmlElement, size: &str) {
    if let Some(style) = reach::get(sheet, "style") {
        reach::call(&style, "setProperty", &[&"--type".into(), &JsValue::from_str(size)]);
    }
}

/// Opens the browser's own way to print.
pub fn print() {
    if let Some(window) = web_sys::window() {
        drop(window.print());
    }
}
