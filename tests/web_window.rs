//! One window at a time, over a real browser's locks.
#![cfg(target_arch = "wasm32")]
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use std::cell::Cell;
use std::rc::Rc;

use carryover::platform::one_window::{Holder, Manner, claim};
use js_sys::{Function, Promise};
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
async fn a_name_is_held_once_until_another_takes_over() {
    let lost = Rc::new(Cell::new(false));
    let told = Rc::clone(&lost);
    assert_eq!(claim("one", Manner::IfFree, move || told.set(true)).await, Holder::Here);
    assert_eq!(claim("other", Manner::IfFree, || {}).await, Holder::Here);
    assert_eq!(claim("one", Manner::IfFree, || {}).await, Holder::Elsewhere);
    assert!(!lost.get());
    assert_eq!(claim("one", Manner::TakeOver, || {}).await, Holder::Here);
    moment().await;
    assert!(lost.get());
}

#[wasm_bindgen_test]
async fn a_page_too_busy_to_hear_the_answer_in_time_is_no_other_window() {
    let undo = run("const had = AbortSignal.timeout; \
         AbortSignal.timeout = () => AbortSignal.abort(new DOMException('late', 'TimeoutError')); \
         return () => { AbortSignal.timeout = had; };");
    let free = claim("busy", Manner::IfFree, || {}).await;
    let held = claim("busy", Manner::IfFree, || {}).await;
    Function::from(undo).call0(&JsValue::NULL).unwrap();
    assert_eq!((free, held), (Holder::Here, Holder::Elsewhere));
}

#[wasm_bindgen_test]
async fn a_browser_that_grants_no_locks_leaves_every_window_to_itself() {
    let undo = run("const had = navigator.locks.request; \
         navigator.locks.request = () => Promise.reject(new DOMException('no', 'SecurityError')); \
         return () => { navigator.locks.request = had; };");
    let place = claim("none", Manner::IfFree, || {}).await;
    Function::from(undo).call0(&JsValue::NULL).unwrap();
    assert_eq!(place, Holder::Here);
}

async fn moment() {
    JsFuture::from(Promise::from(run("return new Promise((done) => setTimeout(done, 100));")))
        .await
        .unwrap();
}

fn run(script: &str) -> JsValue {
    Function::new_no_args(script).call0(&JsValue::NULL).unwrap()
}
