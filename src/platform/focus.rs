//! Where the keyboard is: nothing that changes on a page may leave the focus nowhere.

use std::cell::Cell;

use js_sys::{Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{Document, Element, Event, EventInit, HtmlElement};

use super::reach;

thread_local! {
    static IS_FIRST: Cell<bool> = const { Cell::new(true) };
}

/// A screen that has come to stand on the page: it begins at its top and takes the focus, so that Tab goes
/// on from there and its title is read out. The first one leaves the focus where the browser has it.
pub fn begin(screen: &HtmlElement) {
    if IS_FIRST.replace(false) {
        return;
    }
    if let Some(window) = web_sys::window() {
        window.scroll_to_with_x_and_y(0.0, 0.0);
    }
    let options = Object::new();
    // Without it the page only begins a little lower.
    drop(Reflect::set(&options, &"preventScroll".into(), &JsValue::TRUE));
    reach::call(screen, "focus", &[&options]);
}

/// Moves the focus to what is on the page and stays there.
pub fn on(element: &HtmlElement) {
    // What takes no focus leaves it where it was.
    drop(element.focus());
}

/// Whether an event is of a field into which words or numbers are typed that are kept.
pub fn is_of_a_field(event: &Event) -> bool {
    let element = event.target().and_then(|target| target.dyn_into::<Element>().ok());
    element.is_some_and(|element| is_field(&element))
}

fn is_field(element: &Element) -> bool {
    ["input[type=text]", "textarea"].iter().any(|kind| element.matches(kind) == Ok(true))
}

/// Hands on what is being typed into a field, as leaving the field does: the page may be about to go.
pub fn take_what_is_typed() {
    let document = web_sys::window().and_then(|window| window.document());
    let Some(field) = document.and_then(|document| document.active_element()) else { return };
    if !is_field(&field) {
        return;
    }
    let bubbling = EventInit::new();
    bubbling.set_bubbles(true);
    if let Ok(change) = Event::new_with_event_init_dict("change", &bubbling) {
        // A field that takes no event has nothing to hand on.
        drop(field.dispatch_event(&change));
    }
}

/// Moves the focus to the first of these elements, by their ids, that is there and takes it, once the page
/// shows what the event that asks for it has changed.
pub fn go_to(ids: impl IntoIterator<Item = String> + 'static) {
    spawn_local(async move {
        // The page is redrawn in tasks that are queued already.
        drop(JsFuture::from(Promise::resolve(&JsValue::UNDEFINED)).await);
        let Some(document) = web_sys::window().and_then(|window| window.document()) else { return };
        for id in ids {
            if takes_focus(&document, &id) {
                return;
            }
        }
    });
}

fn takes_focus(document: &Document, id: &str) -> bool {
    let Some(element) = document.get_element_by_id(id) else { return false };
    if let Some(element) = element.dyn_ref() {
        on(element);
    }
    document.active_element().is_some_and(|focused| focused == element)
}
