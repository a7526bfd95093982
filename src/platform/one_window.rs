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

/// Asks to be the one window over what goes by a name. `lost` is called if another takes over later.
/// A browser that knows no locks, or grants none, leaves every window to itself.
pub async fn claim(name: &str, manner: Manner, lost: impl FnOnce() + 'static) -> Place {
    let mut grant = None;
    let granted = Promise::new(&mut |resolve, _| grant = Some(resolve));
    let hold = Closure::once_into_js(move |_lock: JsValue| {
        if let Some(grant) = grant {
            drop(grant.call0(&JsValue::NULL));
        }
        // Held for as long as the window is there.
        Promise::new(&mut |_, _| {})
    });
    let asking = reach::navigator().and_then(|navigator| {
        let locks = get(&navigator, "locks")?;
        call(&locks, "request", &[&name.into(), &options(manner), &hold])?.dyn_into().ok()
    });
    let Some(asking) = asking else { return Place::Here };
    let asking: Promise = asking;
    match JsFuture::from(Promise::race(&Array::of2(&granted, &asking))).await {
        Ok(_) => {
            spawn_local(async move {
                if JsFuture::from(asking).await.is_err() {
                    lost();
                }
            });
            Place::Here
        }
        Err(why) => {
            let name = why.dyn_ref::<DomException>().map(DomException::name).unwrap_or_default();
            if name == "TimeoutError" || name == "AbortError" {
                Place::Elsewhere
            } else {
                Place::Here
            }
        }
    }
}

fn options(manner: Manner) -> JsValue {
    let options = Object::new();
    let (option, value) = match manner {
        Manner::TakeOver => ("steal", Some(JsValue::TRUE)),
        Manner::IfFree => {
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
