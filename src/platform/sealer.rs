//! The worker that seals and opens with a passphrase, loaded when one is first used.

use js_sys::{Array, Function, Promise, Reflect};
use thiserror::Error;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

use super::files;
use super::reach::{call, get};

const WORKER: &str = "practice/sealer_loader.js";
const PROGRAM: &str = "practice/sealer_bg.wasm";

/// Why nothing was sealed or opened; each finishes a sentence that ends in "because".
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum NotDone {
    #[error("the part of the app that does this could not be loaded; check the connection")]
    NoSealer,
    /// The device gave out, most likely of memory.
    #[error("this device could not do it; close other apps and try again")]
    GaveOut,
    #[error("{0}")]
    Refused(String),
}

/// Seals a text.
pub async fn seal(text: &str, passphrase: &str) -> Result<String, NotDone> {
    Worker::start().await.ok_or(NotDone::NoSealer)?.ask("seal", text, passphrase).await
}

/// Opens a sealed text, whole or not at all.
pub async fn open(text: &str, passphrase: &str) -> Result<String, NotDone> {
    Worker::start().await.ok_or(NotDone::NoSealer)?.ask("open", text, passphrase).await
}

/// A worker that is ready. It ends when dropped, and its memory with it.
struct Worker(JsValue);

impl Worker {
    async fn start() -> Option<Self> {
        // A worker cannot say that its own program is missing.
        files::is_there(PROGRAM).await?;
        let maker: Function = get(&js_sys::global(), "Worker")?.dyn_into().ok()?;
        let worker = Self(Reflect::construct(&maker, &Array::of1(&WORKER.into())).ok()?);
        worker.answer().await?;
        Some(worker)
    }

    async fn ask(self, task: &str, text: &str, passphrase: &str) -> Result<String, NotDone> {
        let asked = Array::of3(&task.into(), &text.into(), &passphrase.into());
        let answering = self.answer();
        call(&self.0, "postMessage", &[&asked]).ok_or(NotDone::GaveOut)?;
        let answer: Array =
            answering.await.and_then(|answer| answer.dyn_into().ok()).ok_or(NotDone::GaveOut)?;
        let text = answer.get(1).as_string().ok_or(NotDone::GaveOut)?;
        if answer.get(0) == "done" { Ok(text) } else { Err(NotDone::Refused(text)) }
    }

    /// The next message; `None` when the worker fails instead.
    fn answer(&self) -> impl Future<Output = Option<JsValue>> + use<> {
        let promise = Promise::new(&mut |resolve, reject| {
            drop(Reflect::set(&self.0, &"onmessage".into(), &resolve));
            drop(Reflect::set(&self.0, &"onerror".into(), &reject));
        });
        async move { get(&JsFuture::from(promise).await.ok()?, "data") }
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        call(&self.0, "terminate", &[]);
    }
}
