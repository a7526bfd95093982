//! One window at a time: of all the windows that are over the same data, one holds the lock on its name.
//!
//! The lock goes with the window that holds it, however that one ends. Another window may take it over,
//! and then the one that held it is told.

use js_sys::{Array, Object, Promise, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::DomException;

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
pub enum Place {
    /// This one, until it is closed or another takes over.
    Here,
    Elsewhere,
}

/// Asks to be the one window over what goes by a name. A page so busy that its patience is over before the answer
/// can reach it asks again, for an answer that no patience is needed for. `lost` is called if another takes over later.
/// A browser that knows no locks, or grants none, leaves every window to itself.
pub async fn claim(name: &str, manner: Manner, lost: impl FnOnce() + 'static) -> Place {
    let how = match manner {
        Manner::TakeOver => How::Steal,
        Manner::IfFree => How::Wait,
    };
    match ask(name, how).await {
        Answer::Held(asking) => stay(asking, lost),
        Answer::NoneGranted => Place::Here,
        Answer::Refused if how == How::Steal => Place::Elsewhere,
        Answer::Refused => {
            for _ in 0..ASKED_AGAIN {
                match ask(name, How::AtOnce).await {
                    Answer::Held(asking) => return stay(asking, lost),
                    Answer::NoneGranted => return Place::Here,
                    Answer::Refused => a_moment().await,
                }
            }
            Place::Elsewhere
        }
    }
}

async fn a_moment() {
    let over = Promise::new(&mut |resolve, _| {
        let window = web_sys::window();
        let set = window.and_then(|window| {
            window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, AGAIN_AFTER).ok()
        });
        if set.is_none() {
            drop(resolve.call0(&JsValue::NULL));
        }
    });
    drop(JsFuture::from(over).await);
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

fn stay(asking: Promise, lost: impl FnOnce() + 'static) -> Place {
    spawn_local(async move {
        if JsFuture::from(asking).await.is_err() {
            lost();
        }
    });
    Place::Here
}

async fn ask(name: &str, how: How) -> Answer {
    let mut grant = None;
    let granted = Promise::new(&mut |resolve, _| grant = Some(resolve));
    let hold = Closure::once_into_js(move |lock: JsValue| {
        if lock.is_null() {
            return JsValue::FALSE;
        }
        if let Some(grant) = grant {
            drop(grant.call0(&JsValue::NULL));
        }
        // Held for as long as the window is there.
        Promise::new(&mut |_, _| {}).into()
    });
    let asking = reach::navigator().and_then(|navigator| {
        let locks = get(&navigator, "locks")?;
        call(&locks, "request", &[&name.into(), &options(how), &hold])?.dyn_into().ok()
    });
    let Some(asking) = asking else { return Answer::NoneGranted };
    let asking: Promise = asking;
    match JsFuture::from(Promise::race(&Array::of2(&granted, &asking))).await {
        Ok(refused) if refused == JsValue::FALSE => Answer::Refused,
        Ok(_) => Answer::Held(asking),
        Err(why) => {
            let name = why.dyn_ref::<DomException>().map(DomException::name).unwrap_or_default();
            if name == "TimeoutError" || name == "AbortError" {
                Answer::Refused
            } else {
                Answer::NoneGranted
            }
        }
    }
}

fn options(how: How) -> JsValue {
    let options = Object::new();
    let (option, value) = match how {
        How::Steal => ("steal", Some(JsValue::TRUE)),
        How::AtOnce => ("ifAvailable", Some(JsValue::TRUE)),
        How::Wait => {
            let signals = get(&js_sys::global(), "AbortSignal");
            let patience = JsValue::from(PATIENCE);
            ("signal", signals.and_then(|signals| call(&signals, "timeout", &[&patience])))
        }
    };
    if let Some(value) = value {
        drop(Reflect::set(&options, &option.into(), &value));
    }
    options.into()
}
