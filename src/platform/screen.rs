//! Keeping the screen on while a session runs, and the page's own small manners.

use std::cell::RefCell;

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::spawn_local;

use super::reach;

thread_local! {
    static LOCK: RefCell<Option<JsValue>> = const { RefCell::new(None) };
    /// Asks again whenever the page comes back into sight: browsers let go of the lock when it is hidden.
    static ASK_AGAIN: RefCell<Option<Closure<dyn FnMut()>>> = const { RefCell::new(None) };
}

/// Asks for the screen to stay on. Browsers may refuse, to save battery; then it goes dark as usual.
pub fn keep_on() {
    let ask_again = Closure::<dyn FnMut()>::new(ask);
    if let Some(document) = web_sys::window().and_then(|window| window.document()) {
        document.set_onvisibilitychange(Some(ask_again.as_ref().unchecked_ref()));
    }
    ASK_AGAIN.set(Some(ask_again));
    ask();
}

fn ask() {
    spawn_local(async {
        if let Some(lock) = request().await {
            LOCK.set(Some(lock));
        }
    });
}

/// Lets the screen go dark again.
pub fn let_sleep() {
    if let Some(document) = web_sys::window().and_then(|window| window.document()) {
        document.set_onvisibilitychange(None);
    }
    ASK_AGAIN.set(None);
    if let Some(lock) = LOCK.take() {
        drop(reach::call(&lock, "release", &[]));
    }
}

async fn request() -> Option<JsValue> {
    let wake_lock = reach::get(&reach::navigator()?, "wakeLock")?;
    reach::ask(&wake_lock, "request", &[&JsValue::from_str("screen")]).await
}

/// Whether the person asked their device for less motion.
pub fn less_motion_is_wanted() -> bool {
    let query = web_sys::window()
        .and_then(|window| window.match_media("(prefers-reduced-motion: reduce)").ok().flatten());
    query.is_some_and(|query| query.matches())
}

/// Has the browser lay an element out now, even where it stands in something closed, so that it need not once it
/// is shown. A browser that does not look into what is closed does nothing.
pub fn lay_out(element: &web_sys::Element) {
    element.client_width();
}

/// Takes away what the page showed before the app was there.
pub fn clear_shell() {
    let document = web_sys::window().and_then(|window| window.document());
    if let Some(shell) = document.and_then(|document| document.get_element_by_id("shell")) {
        shell.remove();
    }
}

/// Swallows the second tap of a double one, anywhere: where a screen changes under a sweaty finger, a tap
/// that bounces must not reach what has come to stand in the same place.
pub fn swallow_bounces() {
    let Some(document) = web_sys::window().and_then(|window| window.document()) else { return };
    let swallow = Closure::<dyn FnMut(web_sys::UiEvent)>::new(|tap: web_sys::UiEvent| {
        if 1 < tap.detail() {
            tap.prevent_default();
            tap.stop_immediate_propagation();
        }
    });
    let heard = document.add_event_listener_with_callback_and_bool(
        "click",
        swallow.as_ref().unchecked_ref(),
        true,
    );
    drop(heard);
    swallow.forget();
}
