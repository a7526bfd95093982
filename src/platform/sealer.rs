//! The worker that seals and opens with a passphrase, loaded when one is first used.

use js_sys::{Array, Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

use super::files;
use super::reach::{call, get};
use crate::exchange::sealed::SealError;

const WORKER: &str = "practice/sealer_loader.js";
const PROGRAM: &str = "practice/sealer_bg.wasm";

/// Why nothing was sealed or opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotDone {
    NoSealer,
    /// The device gave out, most likely of memory.
    GaveOut,
    Refused(SealError),
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
        if answer.get(0) == "done" {
            return Ok(text);
        }
        let why = serde_json::from_str(&text).map_err(|_cut_short| NotDone::GaveOut)?;
        Err(NotDone::Refused(why))
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
