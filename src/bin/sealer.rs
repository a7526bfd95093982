//! Seals and opens copies in a worker: the work behind a passphrase takes seconds, for which the page does
//! not wait, and nothing of this is loaded before a passphrase is used.
//!
//! The worker says that it is ready with an empty list. Each message to it is a list of what to do (`seal` or
//! `open`), a text and a passphrase; each answer is a list of `done` and a text, or `refused` and why, as JSON.

#[cfg(target_arch = "wasm32")]
fn main() {
    use carryover::exchange::sealed;
    use js_sys::{Array, Reflect};
    use wasm_bindgen::JsValue;
    use wasm_bindgen::closure::Closure;

    let work = Closure::<dyn FnMut(JsValue)>::new(|message: JsValue| {
        let asked = Reflect::get(&message, &JsValue::from_str("data")).unwrap_or_default();
        let asked: Vec<String> =
            Array::from(&asked).iter().filter_map(|part| part.as_string()).collect();
        if let [task, text, passphrase] = asked.as_slice() {
            let done = match task.as_str() {
                "seal" => sealed::seal(text, passphrase),
                _ => sealed::open(text, passphrase),
            };
            answer(&match done {
                Ok(text) => ["done".to_owned(), text],
                Err(why) => ["refused".to_owned(), serde_json::to_string(&why).unwrap_or_default()],
            });
        }
    });
    let name = JsValue::from_str("onmessage");
    drop(Reflect::set(&js_sys::global(), &name, &work.into_js_value()));
    answer(&[]);
}

#[cfg(target_arch = "wasm32")]
fn answer(parts: &[String]) {
    use js_sys::{Array, Function, Reflect};
    use wasm_bindgen::{JsCast, JsValue};

    let scope = js_sys::global();
    let post = Reflect::get(&scope, &JsValue::from_str("postMessage")).unwrap_or_default();
    let parts: Array = parts.iter().map(|part| JsValue::from_str(part)).collect();
    if let Ok(post) = post.dyn_into::<Function>() {
        drop(post.call1(&scope, &parts));
    }
}

/// The sealer lives in a browser; on the host only the library's tests are of use.
#[cfg(not(target_arch = "wasm32"))]
fn main() {}
