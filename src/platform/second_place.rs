//! Files that only this origin can reach, written by a worker of their own: the only one in which a browser lets
//! a page write and tell the disk at once. A browser without them has one place, and nothing here.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use js_sys::{Array, Function, Promise, Reflect, Uint8Array};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

use super::reach::{ask, call, get, navigator};
use crate::store::backend::{BackendError, File, Strip};

const WORKER: &str = "second-place.js";

/// The files of one log or caseload. The worker ends when the last of these is dropped.
#[derive(Clone, Debug)]
pub struct Files {
    name: Rc<str>,
    worker: Rc<Worker>,
}

/// How an answer is told, by the number of its question; none, once the worker has failed.
type Waiting = Option<BTreeMap<u32, (Function, Function)>>;

struct Worker {
    thread: JsValue,
    asked: Cell<u32>,
    waiting: Rc<RefCell<Waiting>>,
    _on_answer: Closure<dyn FnMut(JsValue)>,
    _on_error: Closure<dyn FnMut(JsValue)>,
}

impl std::fmt::Debug for Worker {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        to.write_str("Worker")
    }
}

impl Files {
    /// Starts the worker; none, where this browser has no such files.
    pub fn start(name: &str) -> Option<Self> {
        let global = js_sys::global();
        let kind = get(&global, "FileSystemFileHandle")?;
        // Some browsers show it to workers alone: then the worker's first answer tells.
        get(&get(&kind, "prototype")?, "getFile")?;
        let maker: Function = get(&global, "Worker")?.dyn_into().ok()?;
        let worker = Reflect::construct(&maker, &Array::of1(&WORKER.into())).ok()?;
        let waiting: Rc<RefCell<Waiting>> = Rc::new(RefCell::new(Some(BTreeMap::new())));
        let told = Rc::clone(&waiting);
        let on_answer = Closure::<dyn FnMut(JsValue)>::new(move |event: JsValue| {
            let answer = get(&event, "data").and_then(|data| data.dyn_into::<Array>().ok());
            let Some(answer) = answer else { return };
            let number = answer.get(0).as_f64().unwrap_or_default();
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "the number that the question had"
            )]
            let waits = told.borrow_mut().as_mut().and_then(|all| all.remove(&(number as u32)));
            let Some((resolve, reject)) = waits else { return };
            let why = answer.get(2);
            let (tell, what) =
                if why.is_undefined() { (resolve, answer.get(1)) } else { (reject, why) };
            drop(tell.call1(&JsValue::NULL, &what));
        });
        let told = Rc::clone(&waiting);
        let on_error = Closure::<dyn FnMut(JsValue)>::new(move |_| {
            let waiting = told.borrow_mut().take();
            for (_, (_, reject)) in waiting.into_iter().flatten() {
                drop(reject.call1(&JsValue::NULL, &"NotSupportedError".into()));
            }
        });
        Reflect::set(&worker, &"onmessage".into(), on_answer.as_ref()).ok()?;
        Reflect::set(&worker, &"onerror".into(), on_error.as_ref()).ok()?;
        let worker = Worker {
            thread: worker,
            asked: Cell::new(0),
            waiting,
            _on_answer: on_answer,
            _on_error: on_error,
        };
        Some(Self { name: name.into(), worker: Rc::new(worker) })
    }

    /// Whether the worker could not be started, or has failed: it answers nothing any more.
    pub fn are_over(&self) -> bool {
        self.worker.waiting.borrow().is_none()
    }

    fn ask(
        &self,
        what: &str,
        file: File,
        given: &JsValue,
    ) -> impl Future<Output = Result<JsValue, BackendError>> + use<> {
        let number = self.worker.asked.replace(self.worker.asked.get() + 1);
        let name = name_of(&self.name, file);
        let asked = Array::of4(&number.into(), &what.into(), &name.into(), given);
        let promise = Promise::new(&mut |resolve, reject| {
            let mut waiting = self.worker.waiting.borrow_mut();
            match waiting.as_mut() {
                Some(waiting) if call(&self.worker.thread, "postMessage", &[&asked]).is_some() => {
                    waiting.insert(number, (resolve, reject));
                }
                Some(_) | None => {
                    drop(reject.call1(&JsValue::NULL, &"NotSupportedError".into()));
                }
            }
        });
        // Heard from now on, so that what nobody waits for may fail unheard.
        let answering = JsFuture::from(promise);
        // The worker stays until it has answered.
        let worker = Rc::clone(&self.worker);
        async move {
            let answer = answering.await.map_err(|why| refused(&why));
            drop(worker);
            answer
        }
    }
}

impl Strip for Files {
    fn read(
        &self,
        file: File,
        last: Option<u32>,
    ) -> impl Future<Output = Result<Vec<u8>, BackendError>> + use<> {
        let last = last.map_or(JsValue::UNDEFINED, JsValue::from);
        let answering = self.ask("read", file, &last);
        async move {
            let bytes: Uint8Array = answering.await?.dyn_into().map_err(|other| refused(&other))?;
            Ok(bytes.to_vec())
        }
    }

    fn append(&self, text: &str) -> impl Future<Output = Result<(), BackendError>> + use<> {
        let answering = self.ask("append", File::Lines, &bytes_of(text));
        async move { answering.await.map(|_done| ()) }
    }

    fn write(
        &self,
        file: File,
        text: &str,
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        let is_afresh = file == File::Anew && !text.is_empty();
        let what = if is_afresh { "afresh" } else { "write" };
        let answering = self.ask(what, file, &bytes_of(text));
        async move { answering.await.map(|_done| ()) }
    }

    fn answered(&self) -> impl Future<Output = ()> + use<> {
        let answering = self.ask("nothing", File::Lines, &JsValue::UNDEFINED);
        async move { drop(answering.await) }
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        call(&self.thread, "terminate", &[]);
    }
}

/// Whether there is a second place under a name, told without a worker. A browser that has no such files has none.
pub async fn is_there(name: &str) -> bool {
    let found = async {
        let storage = get(&navigator()?, "storage")?;
        let folder = ask(&storage, "getDirectory", &[]).await?;
        ask(&folder, "getFileHandle", &[&name_of(name, File::Lines).into()]).await
    };
    found.await.is_some()
}

fn name_of(name: &str, file: File) -> String {
    match file {
        File::Lines => format!("{name}.lines"),
        File::Anew => format!("{name}.anew"),
    }
}

fn bytes_of(text: &str) -> JsValue {
    Uint8Array::from(text.as_bytes()).into()
}

fn refused(why: &JsValue) -> BackendError {
    match why.as_string().unwrap_or_default().as_str() {
        "QuotaExceededError" => BackendError::Full,
        "SecurityError" => BackendError::Denied,
        name => BackendError::Failed(name.to_owned()),
    }
}
