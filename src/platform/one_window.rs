//! One window at a time: of all the windows that are over the same data, one holds the lock on its name.
//!
//! The lock goes with the window that holds it, however that one ends. Another window may take it over,
//! and then the one that held it is told.

use std::cell::Cell;
use std::rc::Rc;

use js_sys::{Array, Function, Object, Promise, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::DomException;

use super::clock::after;
use super::reach::{self, call, get};

/// How long a window waits for one that is just closing, such as the same page before a reload, in
/// milliseconds.
const PATIENCE: i32 = 1_000;
/// How often it asks once more, and after how long each, in milliseconds: a lock that was granted when the patience
/// was over already is given back on a way of its own, and until then looks taken.
const ASKED_AGAIN: u8 = 5;
const AGAIN_AFTER: i32 = 200;

/// How a window asks to be the one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manner {
    /// Only if no other window is.
    IfFree,
    /// Instead of the one that is.
    TakeOver,
}

/// Which window is the one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holder {
    /// This one, until it is closed or another takes over.
    Here,
    Elsewhere,
}

/// Asks to be the one window over what goes by a name. A page so busy that its patience is over before the answer
/// can reach it asks again, for an answer that no patience is needed for. `lost` is called if another takes over later.
/// A browser that knows no locks, or grants none, leaves every window to itself.
pub async fn claim(name: &str, manner: Manner, lost: impl FnOnce() + 'static) -> Holder {
    let how = match manner {
        Manner::TakeOver => How::Steal,
        Manner::IfFree => How::Wait,
    };
    match ask(name, how).await {
        Answer::Held(asking) => stay(asking, lost),
        Answer::NoneGranted => Holder::Here,
        Answer::Refused if how == How::Steal => Holder::Elsewhere,
        Answer::Refused => {
            for _ in 0..ASKED_AGAIN {
                match ask(name, How::AtOnce).await {
                    Answer::Held(asking) => return stay(asking, lost),
                    Answer::NoneGranted => return Holder::Here,
                    Answer::Refused => a_moment().await,
                }
            }
            Holder::Elsewhere
        }
    }
}

async fn a_moment() {
    drop(JsFuture::from(after(AGAIN_AFTER)).await);
}

/// How the lock is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum How {
    Wait,
    AtOnce,
    Steal,
}

enum Answer {
    /// For as long as the promise is not broken.
    Held(Promise),
    Refused,
    /// The browser knows no locks, or grants none.
    NoneGranted,
}

fn stay(asking: Promise, lost: impl FnOnce() + 'static) -> Holder {
    spawn_local(async move {
        if JsFuture::from(asking).await.is_err() {
            lost();
        }
    });
    Holder::Here
}

async fn ask(name: &str, how: How) -> Answer {
    let mut grant = None;
    let granted = Promise::new(&mut |resolve, _| grant = Some(resolve));
    let has_given_up = Rc::new(Cell::new(false));
    let gave_up = Rc::clone(&has_given_up);
    let hold = Closure::once_into_js(move |lock: JsValue| {
        if lock.is_null() || gave_up.get() {
            return JsValue::FALSE;
        }
        if let Some(grant) = grant {
            drop(grant.call0(&JsValue::NULL));
        }
        // Held for as long as the window is there.
        Promise::new(&mut |_, _| {}).into()
    });
    let (options, controller) = options(how);
    let asking = reach::navigator().and_then(|navigator| {
        let locks = get(&navigator, "locks")?;
        call(&locks, "request", &[&name.into(), &options, &hold])?.dyn_into().ok()
    });
    let Some(asking) = asking else { return Answer::NoneGranted };
    let asking: Promise = asking;
    let answers = Array::of2(&granted, &asking);
    if how == How::Wait {
        answers.push(&after(PATIENCE));
    }
    match JsFuture::from(Promise::race(&answers)).await {
        Ok(refused) if refused == JsValue::FALSE => {
            // What is granted from now on is given back.
            has_given_up.set(true);
            if let Some(controller) = controller {
                drop(call(&controller, "abort", &[]));
            }
            Answer::Refused
        }
        Ok(_) => Answer::Held(asking),
        Err(why) => {
            let name = why.dyn_ref::<DomException>().map(DomException::name).unwrap_or_default();
            if name == "AbortError" { Answer::Refused } else { Answer::NoneGranted }
        }
    }
}

/// How a lock is asked for, and what takes the asking back. Taking back is a courtesy to the browser, and nothing
/// waits for it: Chromium 156 left one request in six pending for ever though its signal had been given.
fn options(how: How) -> (JsValue, Option<JsValue>) {
    let options = Object::new();
    let set = |option: &str, value: &JsValue| drop(Reflect::set(&options, &option.into(), value));
    let mut controller = None;
    match how {
        How::Steal => set("steal", &JsValue::TRUE),
        How::AtOnce => set("ifAvailable", &JsValue::TRUE),
        How::Wait => {
            let maker = get(&js_sys::global(), "AbortController");
            let maker = maker.and_then(|maker| maker.dyn_into::<Function>().ok());
            controller = maker.and_then(|maker| Reflect::construct(&maker, &Array::new()).ok());
            if let Some(signal) =
                controller.as_ref().and_then(|controller| get(controller, "signal"))
            {
                set("signal", &signal);
            }
        }
    }
    (options.into(), controller)
}
