//! Printing: a sheet is set in the largest type in which it fits its page.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::HtmlElement;

use super::reach;

/// Type sizes in points, and the step from one to the next that is tried.
const LARGEST: f64 = 15.0;
const SMALLEST: f64 = 7.0;
const STEP: f64 = 0.125;
/// Below this a sheet leaves out what it can, so that the rest is larger.
const COMFORTABLE: f64 = 9.0;
/// What marks a sheet that leaves out what it can.
const BRIEF: &str = "data-brief";

/// Sets the sheet in the largest type in which it is no taller than `millimetres`: whole where that is
/// comfortable to read, else brief. One that is too long even in the smallest goes on on a second page.
pub fn fit(sheet: &str, millimetres: f64) {
    let document = web_sys::window().and_then(|window| window.document());
    let Some(sheet) = document.and_then(|document| document.get_element_by_id(sheet)) else {
        return;
    };
    let Ok(sheet) = sheet.dyn_into::<HtmlElement>() else { return };
    // 96 of the web's pixels are an inch, whatever the screen.
    let room = millimetres / 25.4 * 96.0;
    drop(sheet.remove_attribute(BRIEF));
    if !fits(&sheet, room, COMFORTABLE) {
        drop(sheet.set_attribute(BRIEF, ""));
        fits(&sheet, room, SMALLEST);
    }
}

/// Sets the sheet in the largest type in which it fits, or in the smallest; whether it fits.
fn fits(sheet: &HtmlElement, room: f64, smallest: f64) -> bool {
    let mut size = LARGEST;
    loop {
        set_type(sheet, size);
        if f64::from(sheet.offset_height()) <= room {
            return true;
        }
        if size <= smallest {
            return false;
        }
        size -= STEP;
    }
}

fn set_type(sheet: &HtmlElement, points: f64) {
    if let Some(style) = reach::get(sheet, "style") {
        let size = JsValue::from_str(&format!("{points}pt"));
        reach::call(&style, "setProperty", &[&"--type".into(), &size]);
    }
}

/// Opens the browser's own way to print.
pub fn print() {
    if let Some(window) = web_sys::window() {
        drop(window.print());
    }
}
