//! Reaching for what the bindings do not name, or what a browser may not have: absence is an answer.

use js_sys::{Array, Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// A property that is there; neither undefined nor null.
pub fn get(of: &JsValue, name: &str) -> Option<JsValue> {
    let found = Reflect::get(of, &JsValue::from_str(name)).ok()?;
    (!found.is_undefined() && !found.is_null()).then_some(found)
}

/// Calls a method that is there; `None` where it is not, or refuses.
pub fn call(of: &JsValue, method: &str, arguments: &[&JsValue]) -> Option<JsValue> {
    let method: Function = get(of, method)?.dyn_into().ok()?;
    let arguments: Array = arguments.iter().copied().collect();
    method.apply(of, &arguments).ok()
}

/// Calls a method that promises something, and waits for it.
pub async fn ask(of: &JsValue, method: &str, arguments: &[&JsValue]) -> Option<JsValue> {
    let promise: Promise = call(of, method, arguments)?.dyn_into().ok()?;
    JsFuture::from(promise).await.ok()
}

pub fn navigator() -> Option<JsValue> {
    Some(web_sys::window()?.navigator().into())
}
