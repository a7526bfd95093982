//! Whether anything was ever kept on this device, told without opening it.

use js_sys::{Array, Promise};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

use super::reach::{self, call, get};
use super::second_place;

/// How long the browser is given to name its databases, in milliseconds. A storage that has fallen silent is
/// dealt with where it is opened.
const PATIENCE: i32 = 2_000;

/// Whether the device is known to keep nothing under a name: no database of that name, no second place beside
/// one, and nothing in the small storage whose key begins with it. A browser that cannot tell, or does not let the app look, may keep
/// something.
pub async fn is_new(name: &str) -> bool {
    keeps_no_small_things(name) == Some(true)
        && has_no_database(name).await == Some(true)
        && !second_place::is_there(name).await
}

fn keeps_no_small_things(name: &str) -> Option<bool> {
    let storage = web_sys::window()?.local_storage().ok()??;
    let beginning = format!("{name}.");
    for at in 0..storage.length().ok()? {
        if storage.key(at).ok()??.starts_with(&beginning) {
            return Some(false);
        }
    }
    Some(true)
}

async fn has_no_database(name: &str) -> Option<bool> {
    let window = web_sys::window()?;
    let factory = get(&window, "indexedDB")?;
    let asking: Promise = call(&factory, "databases", &[])?.dyn_into().ok()?;
    let patience = Promise::new(&mut |resolve, _| {
        let give_up = Closure::once_into_js(move || drop(resolve.call0(&JsValue::NULL)));
        call(&window, "setTimeout", &[&give_up, &PATIENCE.into()]);
    });
    let named = JsFuture::from(Promise::race(&Array::of2(&asking, &patience))).await.ok()?;
    let named: Array = named.dyn_into().ok()?;
    let name = JsValue::from_str(name);
    Some(named.iter().all(|database| reach::get(&database, "name").as_ref() != Some(&name)))
}
