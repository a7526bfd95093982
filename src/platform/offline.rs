//! The worker that keeps the app on the device, and a newer version of it that waits its turn.

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};

use super::address;
use super::reach::{self, get};

const WORKER: &str = "service-worker.js";
/// What tells a waiting version that it may take over.
const TAKE_OVER: &str = "take over";
/// What tells the version in charge to keep the practitioner's page as well.
const KEEP_PRACTICE: &str = "keep practice";

fn container() -> Option<JsValue> {
    get(&reach::navigator()?, "serviceWorker")
}

/// Whether the worker answers this page, from what it keeps.
pub fn is_in_charge() -> bool {
    container().and_then(|container| get(&container, "controller")).is_some()
}

/// Keeps the app on the device, where the browser can, and calls `newer` whenever a newer version is
/// there and waits. Without it the app works all the same, with a network.
pub fn keep(newer: impl Fn() + 'static) {
    spawn_local(async move {
        let Some(registration) = registration().await else { return };
        if get(&registration, "waiting").is_some() {
            newer();
        }
        let found = registration.clone();
        let newer = std::rc::Rc::new(newer);
        let on_found = Closure::<dyn FnMut()>::new(move || {
            let Some(installing) = get(&found, "installing") else { return };
            let (newer, worker) = (std::rc::Rc::clone(&newer), installing.clone());
            let on_change = Closure::<dyn FnMut()>::new(move || {
                let is_installed =
                    get(&worker, "state").and_then(|state| state.as_string()).as_deref()
                        == Some("installed");
                // The first version ever has nobody to wait for.
                if is_installed && is_in_charge() {
                    newer();
                }
            });
            listen(&installing, "statechange", on_change);
        });
        listen(&registration, "updatefound", on_found);
    });
}

/// Keeps the practitioner's page on the device, too, from now on.
pub fn keep_practice() {
    spawn_local(async {
        let Some(ready) = container().and_then(|container| get(&container, "ready")) else {
            return;
        };
        let Ok(ready) = ready.dyn_into::<js_sys::Promise>() else { return };
        let Ok(registration) = JsFuture::from(ready).await else { return };
        if let Some(active) = get(&registration, "active") {
            reach::call(&active, "postMessage", &[&JsValue::from_str(KEEP_PRACTICE)]);
        }
    });
}

async fn registration() -> Option<JsValue> {
    reach::ask(&container()?, "register", &[&JsValue::from_str(WORKER)]).await
}

/// Lets the waiting version take over, and opens the page anew once it has.
pub fn take_over() {
    spawn_local(async {
        let (Some(container), Some(registration)) = (container(), registration().await) else {
            return;
        };
        let reload = Closure::<dyn FnMut()>::new(address::reload);
        listen(&container, "controllerchange", reload);
        if let Some(waiting) = get(&registration, "waiting") {
            reach::call(&waiting, "postMessage", &[&JsValue::from_str(TAKE_OVER)]);
        }
    });
}

/// Listens for as long as the page is open.
fn listen(to: &JsValue, event: &str, heard: Closure<dyn FnMut()>) {
    if let Some(target) = to.dyn_ref::<web_sys::EventTarget>() {
        drop(target.add_event_listener_with_callback(event, heard.as_ref().unchecked_ref()));
        heard.forget();
    }
}
