//! The journal's place in the browser: one object store of texts in `IndexedDB`, and one for what was
//! brought forward from them.
//!
//! Measured by killing browsers: a transaction that was committed in the task of the tap and that
//! reported complete was never lost; anything less was. So the connection is opened at the start and
//! kept, and a write puts and commits before it returns. One that was lost is made anew by whoever knows what
//! should be stored.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use gloo_storage::{LocalStorage, Storage};
use js_sys::{Array, Function, Promise, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    DomException, IdbDatabase, IdbFactory, IdbKeyRange, IdbOpenDbRequest, IdbRequest,
    IdbTransaction, IdbTransactionMode,
};

use super::preferences::storage_is_allowed;
use super::second_place::{self, Files};
use crate::store::backend::{Backend, BackendError, Entry, Shelf};

const EVENTS: &str = "events";
/// It holds one text at most, under the key of the last event that it holds.
const FORWARD: &str = "brought_forward";
/// The first version had no place for what is brought forward. An older app must keep off, since its writes
/// would not take that away.
const VERSION: u32 = 2;

/// What a write takes away before it puts.
enum Take {
    These(Vec<String>),
    All,
}

/// Whether this window may still write.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Hold {
    Ours,
    Left,
}

/// A named database with one store of texts.
#[derive(Clone, Debug)]
pub struct IndexedDb {
    name: Rc<str>,
    connection: Rc<RefCell<IdbDatabase>>,
    hold: Rc<Cell<Hold>>,
    beside: Rc<RefCell<Option<Files>>>,
    /// Since a write that found no room, and until a connection could be made.
    is_full: Rc<Cell<bool>>,
}

impl IndexedDb {
    /// Opens the database, making it if need be.
    pub async fn open(name: &str) -> Result<Self, BackendError> {
        let connection = connect(name).await?;
        let connection = Rc::new(RefCell::new(connection));
        let hold = Rc::new(Cell::new(Hold::Ours));
        let (beside, is_full) = (Rc::default(), Rc::default());
        Ok(Self { name: name.into(), connection, hold, beside, is_full })
    }

    /// Starts what writes the second place, where the browser has one; and again, where that has failed.
    pub fn start_second(&self) {
        let is_at_work = self.beside.borrow().as_ref().is_some_and(|files| !files.are_over());
        if !is_at_work && self.hold.get() == Hold::Ours {
            self.beside.replace(Files::start(&self.name));
        }
    }

    /// Whether there is a second place already.
    pub async fn has_second(&self) -> bool {
        second_place::is_there(&self.name).await
    }

    fn strip(&self) -> Option<Files> {
        self.beside.borrow().clone()
    }

    async fn reconnect(&self) -> Result<(), BackendError> {
        let fresh = match connect(&self.name).await {
            // On a full disk Chromium cannot even open what is there, and does not say why.
            Err(BackendError::Lost) if self.is_full.get() => return Err(BackendError::Full),
            connected => connected?,
        };
        self.is_full.set(false);
        self.connection.replace(fresh);
        Ok(())
    }

    /// All that a store holds, or what it holds under later keys.
    async fn entries(&self, store: &str, after: Option<&str>) -> Result<Vec<Entry>, BackendError> {
        let (keys, texts) = {
            let database = self.connection.borrow();
            let transaction = database
                .transaction_with_str_and_mode(store, IdbTransactionMode::Readonly)
                .map_err(refused)?;
            let store = transaction.object_store(store).map_err(refused)?;
            let range = match after {
                Some(key) => IdbKeyRange::lower_bound_with_open(&JsValue::from_str(key), true)
                    .map(JsValue::from),
                None => Ok(JsValue::UNDEFINED),
            };
            let range = range.map_err(refused)?;
            let keys = done(&store.get_all_keys_with_key(&range).map_err(refused)?);
            (keys, done(&store.get_all_with_key(&range).map_err(refused)?))
        };
        let keys = JsFuture::from(keys).await.map_err(refused)?;
        let texts = JsFuture::from(texts).await.map_err(refused)?;
        let (keys, texts) = (Array::from(&keys), Array::from(&texts));
        let entry = |(key, text): (JsValue, JsValue)| Entry {
            key: key.as_string().unwrap_or_default(),
            text: text.as_string().unwrap_or_else(|| format!("{text:?}")),
        };
        Ok(keys.iter().zip(texts.iter()).map(entry).collect())
    }

    fn put_and_take(
        &self,
        put: &[Entry],
        take: &Take,
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        let first = match self.hold.get() {
            Hold::Ours => put_and_commit(&self.connection.borrow(), put, take).map(Some),
            Hold::Left => Ok(None),
        };
        let is_full = Rc::clone(&self.is_full);
        async move {
            let Some(completing) = first.map_err(refused)? else {
                return Err(BackendError::Blocked);
            };
            let written = JsFuture::from(completing).await.map_err(refused);
            if matches!(written, Err(BackendError::Full)) {
                is_full.set(true);
            }
            written.map(|_done| ())
        }
    }

    /// Takes everything away.
    pub async fn empty(&self) -> Result<(), BackendError> {
        self.keep_spare(&[]);
        self.put_and_take(&[], &Take::All).await
    }

    fn spare_key(&self) -> String {
        format!("{}.spare", self.name)
    }
}

impl Backend for IndexedDb {
    type Strip = Files;

    fn strip(&self) -> Option<Files> {
        self.strip()
    }

    async fn reconnect(&self) -> Result<(), BackendError> {
        self.reconnect().await
    }

    async fn count(&self) -> Result<usize, BackendError> {
        let counting = {
            let database = self.connection.borrow();
            let transaction = database
                .transaction_with_str_and_mode(EVENTS, IdbTransactionMode::Readonly)
                .map_err(refused)?;
            let store = transaction.object_store(EVENTS).map_err(refused)?;
            done(&store.count().map_err(refused)?)
        };
        let count = JsFuture::from(counting).await.map_err(refused)?;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a number of entries, which fits"
        )]
        Ok(count.as_f64().unwrap_or_default() as usize)
    }

    async fn read(&self, after: Option<&str>) -> Result<Vec<Entry>, BackendError> {
        self.entries(EVENTS, after).await
    }

    fn write(&self, entries: &[Entry]) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.put_and_take(entries, &Take::These(Vec::new()))
    }

    fn clear(&self, leave: &Entry) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.put_and_take(std::slice::from_ref(leave), &Take::All)
    }

    async fn brought_forward(&self) -> Result<Option<Entry>, BackendError> {
        Ok(self.entries(FORWARD, None).await?.pop())
    }

    fn bring_forward(
        &self,
        forward: &Entry,
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        // Once only: tried again later, it could outlive a write that takes it away.
        let keeping = keep_forward(&self.connection.borrow(), forward);
        async move {
            JsFuture::from(keeping.map_err(refused)?).await.map_err(refused)?;
            Ok(())
        }
    }

    fn spare(&self) -> Vec<Entry> {
        if !storage_is_allowed() {
            return Vec::new();
        }
        let pairs: Vec<(String, String)> = LocalStorage::get(self.spare_key()).unwrap_or_default();
        pairs.into_iter().map(|(key, text)| Entry { key, text }).collect()
    }

    fn keep_spare(&self, entries: &[Entry]) {
        if !storage_is_allowed() {
            return;
        }
        if entries.is_empty() {
            LocalStorage::delete(self.spare_key());
            return;
        }
        let pairs: Vec<(&str, &str)> =
            entries.iter().map(|entry| (entry.key.as_str(), entry.text.as_str())).collect();
        // A full or broken spare place is no error: the first place is the one that counts.
        drop(LocalStorage::set(self.spare_key(), pairs));
    }
}

impl Shelf for IndexedDb {
    type Strip = Files;

    fn strip(&self) -> Option<Files> {
        self.strip()
    }

    async fn reconnect(&self) -> Result<(), BackendError> {
        self.reconnect().await
    }

    async fn read(&self) -> Result<Vec<Entry>, BackendError> {
        self.entries(EVENTS, None).await
    }

    fn change(
        &self,
        put: &[Entry],
        take: &[String],
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.put_and_take(put, &Take::These(take.to_vec()))
    }

    fn leave(&self) -> impl Future<Output = ()> + use<> {
        // Changes of nothing come after those that were begun.
        let last = self.put_and_take(&[], &Take::These(Vec::new()));
        self.hold.set(Hold::Left);
        async move { drop(last.await) }
    }
}

/// Takes a database away, unless a window has it open.
pub async fn remove(name: &str) {
    let window = web_sys::window();
    let factory = window.and_then(|window| Reflect::get(&window, &"indexedDB".into()).ok());
    let factory = factory.and_then(|factory| factory.dyn_into::<IdbFactory>().ok());
    if let Some(Ok(request)) = factory.map(|factory| factory.delete_database(name)) {
        drop(JsFuture::from(opened(&request)).await);
    }
}

async fn connect(name: &str) -> Result<IdbDatabase, BackendError> {
    let window = web_sys::window().ok_or(BackendError::Denied)?;
    let factory = Reflect::get(&window, &JsValue::from_str("indexedDB"))
        .map_err(|_refusal| BackendError::Denied)?;
    let factory: IdbFactory = factory.dyn_into().map_err(|_refusal| BackendError::Denied)?;
    let request = factory.open_with_u32(name, VERSION).map_err(|_refusal| BackendError::Denied)?;
    let database: IdbDatabase =
        JsFuture::from(opened(&request)).await.map_err(refused)?.dyn_into().map_err(refused)?;
    // Another window that brings a newer version must not wait for this one.
    let closing = database.clone();
    let on_version_change = Closure::<dyn FnMut()>::new(move || closing.close());
    database.set_onversionchange(Some(on_version_change.as_ref().unchecked_ref()));
    on_version_change.forget();
    Ok(database)
}

fn opened(request: &IdbOpenDbRequest) -> Promise {
    let asked = request.clone();
    let make_stores = Closure::once_into_js(move || {
        if let Ok(database) = asked.result().and_then(JsCast::dyn_into::<IdbDatabase>) {
            // One that is there already is refused, and left as it is.
            drop(database.create_object_store(EVENTS));
            drop(database.create_object_store(FORWARD));
        }
    });
    request.set_onupgradeneeded(Some(make_stores.unchecked_ref()));
    let request = request.clone();
    Promise::new(&mut |resolve, reject| {
        let blocked = reject.clone();
        let on_blocked = Closure::once_into_js(move || {
            drop(blocked.call1(&JsValue::NULL, &JsValue::from_str("blocked")));
        });
        request.set_onblocked(Some(on_blocked.unchecked_ref()));
        settle(&request, &resolve, &reject);
    })
}

/// A promise of a request's result.
fn done(request: &IdbRequest) -> Promise {
    let request = request.clone();
    Promise::new(&mut |resolve, reject| settle(&request, &resolve, &reject))
}

fn settle(request: &IdbRequest, resolve: &Function, reject: &Function) {
    let (asked, resolve) = (request.clone(), resolve.clone());
    let on_success = Closure::once_into_js(move || {
        drop(resolve.call1(&JsValue::NULL, &asked.result().unwrap_or(JsValue::NULL)));
    });
    request.set_onsuccess(Some(on_success.unchecked_ref()));
    let (asked, reject) = (request.clone(), reject.clone());
    let on_error = Closure::once_into_js(move || {
        let error = asked.error().ok().flatten().map_or(JsValue::NULL, JsValue::from);
        drop(reject.call1(&JsValue::NULL, &error));
    });
    request.set_onerror(Some(on_error.unchecked_ref()));
}

/// Puts and takes away, and commits, all in this task; the promise is kept once the transaction is complete.
fn put_and_commit(database: &IdbDatabase, put: &[Entry], take: &Take) -> Result<Promise, JsValue> {
    let transaction = strict_transaction(database, &[EVENTS, FORWARD])?;
    let store = transaction.object_store(EVENTS)?;
    let forward = transaction.object_store(FORWARD)?;
    match take {
        Take::These(keys) => {
            for key in keys {
                store.delete(&JsValue::from_str(key))?;
            }
        }
        Take::All => {
            store.clear()?;
            forward.clear()?;
        }
    }
    if let Some(earliest) = put.iter().map(|entry| &entry.key).min() {
        let from = IdbKeyRange::lower_bound(&JsValue::from_str(earliest))?;
        forward.delete(&from)?;
    }
    for entry in put {
        store.put_with_key(&JsValue::from_str(&entry.text), &JsValue::from_str(&entry.key))?;
    }
    commit(&transaction)
}

/// Keeps what was brought forward in the place of what was kept before.
fn keep_forward(database: &IdbDatabase, entry: &Entry) -> Result<Promise, JsValue> {
    let transaction = strict_transaction(database, &[FORWARD])?;
    let store = transaction.object_store(FORWARD)?;
    store.clear()?;
    store.put_with_key(&JsValue::from_str(&entry.text), &JsValue::from_str(&entry.key))?;
    commit(&transaction)
}

/// Commits in this task; the promise is kept once the transaction is complete.
fn commit(transaction: &IdbTransaction) -> Result<Promise, JsValue> {
    let completing = completed(transaction);
    #[expect(deprecated, reason = "the binding is marked so; the standard's method is not")]
    transaction.commit()?;
    Ok(completing)
}

/// A transaction that reports complete only when the device was told to write: durability `strict`.
fn strict_transaction(database: &IdbDatabase, stores: &[&str]) -> Result<IdbTransaction, JsValue> {
    let names: Array = stores.iter().map(|store| JsValue::from_str(store)).collect();
    let options = js_sys::Object::new();
    Reflect::set(&options, &JsValue::from_str("durability"), &JsValue::from_str("strict"))?;
    let transaction: Function =
        Reflect::get(database, &JsValue::from_str("transaction"))?.dyn_into()?;
    transaction.call3(database, &names, &JsValue::from_str("readwrite"), &options)?.dyn_into()
}

fn completed(transaction: &IdbTransaction) -> Promise {
    let transaction = transaction.clone();
    Promise::new(&mut |resolve, reject| {
        let on_complete = Closure::once_into_js(move || drop(resolve.call0(&JsValue::NULL)));
        transaction.set_oncomplete(Some(on_complete.unchecked_ref()));
        let ended = transaction.clone();
        let on_abort = Closure::once_into_js(move || {
            let error = ended.error().map_or(JsValue::NULL, JsValue::from);
            drop(reject.call1(&JsValue::NULL, &error));
        });
        transaction.set_onabort(Some(on_abort.unchecked_ref()));
    })
}

#[expect(clippy::needless_pass_by_value, reason = "the shape that map_err asks for")]
fn refused(error: JsValue) -> BackendError {
    if error.as_string().as_deref() == Some("blocked") {
        return BackendError::Blocked;
    }
    let why = error.dyn_ref::<DomException>();
    let name = why.map(DomException::name).unwrap_or_default();
    match name.as_str() {
        // Chromium's words for a disk without room: "IO error: …: FILE_ERROR_NO_SPACE".
        "UnknownError" if why.is_some_and(|why| why.message().contains("NO_SPACE")) => {
            BackendError::Full
        }
        "QuotaExceededError" => BackendError::Full,
        "VersionError" => BackendError::Newer,
        "SecurityError" => BackendError::Denied,
        "UnknownError" | "InvalidStateError" => BackendError::Lost,
        _ => BackendError::Failed(name),
    }
}
