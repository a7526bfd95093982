//! A file outside of the browser that the person chose for a copy, which is written there by itself from then on,
//! for as long as the browser lets it. Few browsers keep such a file; elsewhere there is none.

use js_sys::{Object, Promise, Reflect};
use wasm_bindgen::JsValue;
use wasm_bindgen::closure::Closure;
use wasm_bindgen_futures::JsFuture;

use super::reach::{ask, call, get};

/// The database that remembers the file, under a name that is no log's.
pub const REMEMBERED: &str = "carryover-copy";
const STORE: &str = "files";
const KEY: &str = "copy";

/// Why there is no copy in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotWritten {
    /// None was chosen, or the browser asks anew before it may be written.
    NotLet,
    /// It could not be written, or does not read as it was written.
    Failed,
}

/// Whether this browser can remember a file.
pub fn can_be_chosen() -> bool {
    get(&js_sys::global(), "showSaveFilePicker").is_some()
}

/// Has the person choose the file, from a tap; whether one is remembered now.
pub async fn choose(name: &str) -> bool {
    let options = Object::new();
    drop(Reflect::set(&options, &"suggestedName".into(), &name.into()));
    let Some(file) = ask(&js_sys::global(), "showSaveFilePicker", &[&options]).await else {
        return false;
    };
    let Some(store) = store("readwrite").await else { return false };
    let Some(putting) = call(&store, "put", &[&file, &KEY.into()]) else { return false };
    answer(&putting).await.is_some()
}

/// Writes a copy into the file that was chosen, and reads it back: it is a copy only if it says the same.
pub async fn write(text: &str) -> Result<(), NotWritten> {
    let file = remembered().await.ok_or(NotWritten::NotLet)?;
    let mode = Object::new();
    drop(Reflect::set(&mode, &"mode".into(), &"readwrite".into()));
    let is_let = ask(&file, "queryPermission", &[&mode]).await.is_some_and(|is| is == "granted");
    if !is_let {
        return Err(NotWritten::NotLet);
    }
    let written = async {
        let writing = ask(&file, "createWritable", &[]).await?;
        ask(&writing, "write", &[&text.into()]).await?;
        ask(&writing, "close", &[]).await?;
        let back = ask(&file, "getFile", &[]).await?;
        ask(&back, "text", &[]).await?.as_string()
    };
    if written.await.as_deref() == Some(text) { Ok(()) } else { Err(NotWritten::Failed) }
}

async fn remembered() -> Option<JsValue> {
    if !can_be_chosen() {
        return None;
    }
    let getting = call(&store("readonly").await?, "get", &[&KEY.into()])?;
    let file = answer(&getting).await?;
    file.is_object().then_some(file)
}

async fn store(mode: &str) -> Option<JsValue> {
    let factory = get(&js_sys::global(), "indexedDB")?;
    let opening = call(&factory, "open", &[&REMEMBERED.into(), &1.into()])?;
    let asked = opening.clone();
    let make_store = Closure::once_into_js(move || {
        if let Some(database) = get(&asked, "result") {
            call(&database, "createObjectStore", &[&STORE.into()]);
        }
    });
    drop(Reflect::set(&opening, &"onupgradeneeded".into(), &make_store));
    let database = answer(&opening).await?;
    // An erasing must not wait for this.
    let closing = database.clone();
    let on_version_change = Closure::once_into_js(move || drop(call(&closing, "close", &[])));
    drop(Reflect::set(&database, &"onversionchange".into(), &on_version_change));
    let transaction = call(&database, "transaction", &[&STORE.into(), &mode.into()])?;
    call(&transaction, "objectStore", &[&STORE.into()])
}

/// What a request of a database comes to.
async fn answer(request: &JsValue) -> Option<JsValue> {
    let promise = Promise::new(&mut |resolve, reject| {
        drop(Reflect::set(request, &"onsuccess".into(), &resolve));
        drop(Reflect::set(request, &"onerror".into(), &reject));
    });
    JsFuture::from(promise).await.ok()?;
    Reflect::get(request, &"result".into()).ok()
}
