//! The journal over a real browser's storage: append, reopen, damaged record, denied and full storage.
#![cfg(target_arch = "wasm32")]
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use carryover::domain::log::event::Fact;
use carryover::domain::words::Words;
use carryover::platform::indexed_db::IndexedDb;
use carryover::platform::{clock, preferences, random};
use carryover::store::backend::{Backend, BackendError, Entry};
use carryover::store::journal::Journal;
use js_sys::{Function, Reflect};
use wasm_bindgen::JsValue;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
async fn what_was_appended_is_there_when_opened_again() {
    let journal = open("append").await;
    journal
        .append(vec![note("one"), note("two")], &clock::stamp(), random::ten_bytes)
        .await
        .unwrap();
    assert!(journal.is_saved());
    let again = open("append").await;
    assert_eq!(again.records(), journal.records());
    assert_eq!(again.history().notes().len(), 2);
}

#[wasm_bindgen_test]
async fn an_entry_is_safe_only_once_the_transaction_is_complete() {
    let journal = open("complete").await;
    let writing = journal.append(vec![note("one")], &clock::stamp(), random::ten_bytes);
    assert!(!journal.is_saved());
    writing.await.unwrap();
    assert!(journal.is_saved());
}

#[wasm_bindgen_test]
async fn writing_begins_before_anything_is_awaited() {
    let journal = open("eager").await;
    drop(journal.append(vec![note("one")], &clock::stamp(), random::ten_bytes));
    let stored = IndexedDb::open("eager").await.unwrap().read(None).await.unwrap();
    assert_eq!(stored.len(), 1);
}

#[wasm_bindgen_test]
async fn a_damaged_record_is_set_aside_and_never_overwritten() {
    let place = IndexedDb::open("damaged").await.unwrap();
    let damaged =
        Entry { key: "01ARYZ6S410000000000000000".to_owned(), text: "{\"id\":\"01AR".to_owned() };
    place.write(std::slice::from_ref(&damaged)).await.unwrap();
    let journal = open("damaged").await;
    assert_eq!(journal.unreadable(), std::slice::from_ref(&damaged));
    journal.append(vec![note("one")], &clock::stamp(), random::ten_bytes).await.unwrap();
    let stored = IndexedDb::open("damaged").await.unwrap().read(None).await.unwrap();
    assert!(stored.contains(&damaged));
    assert_eq!(stored.len(), 2);
}

#[wasm_bindgen_test]
async fn denied_storage_is_an_answer() {
    let denied = define(
        "indexedDB",
        "return { get() { throw new DOMException('no', 'SecurityError'); }, configurable: true };",
    );
    let answer = IndexedDb::open("denied").await;
    denied.undo();
    assert_eq!(answer.unwrap_err(), BackendError::Denied);
}

#[wasm_bindgen_test]
async fn full_storage_keeps_the_entry_in_the_spare_place_until_it_fits() {
    let journal = open("full").await;
    let full = run("const put = IDBObjectStore.prototype.put; \
         IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); }; \
         return () => { IDBObjectStore.prototype.put = put; };");
    let answer = journal.append(vec![note("one")], &clock::stamp(), random::ten_bytes).await;
    Function::from(full).call0(&JsValue::NULL).unwrap();
    assert_eq!(answer, Err(BackendError::Full));
    assert!(!journal.is_saved());
    let again = open("full").await;
    assert_eq!(again.history().notes().len(), 1);
    assert!(again.is_saved());
    assert!(IndexedDb::open("full").await.unwrap().spare().is_empty());
}

#[wasm_bindgen_test]
async fn a_lost_connection_is_opened_again() {
    let journal = open("lost").await;
    let lost = run("const transaction = IDBDatabase.prototype.transaction; let calls = 0; \
         IDBDatabase.prototype.transaction = function (...given) { \
           calls += 1; \
           if (calls === 1) throw new DOMException('closing', 'InvalidStateError'); \
           return transaction.apply(this, given); }; \
         return () => { IDBDatabase.prototype.transaction = transaction; };");
    let answer = journal.append(vec![note("one")], &clock::stamp(), random::ten_bytes).await;
    Function::from(lost).call0(&JsValue::NULL).unwrap();
    assert_eq!(answer, Ok(()));
    assert_eq!(open("lost").await.history().notes().len(), 1);
}

#[wasm_bindgen_test]
async fn what_was_brought_forward_stands_for_what_came_before_until_something_is_written_there() {
    let place = IndexedDb::open("forward").await.unwrap();
    let entry = |key: &str| Entry { key: key.to_owned(), text: format!("text of {key}") };
    place.write(&[entry("1"), entry("2"), entry("3")]).await.unwrap();
    assert_eq!(place.brought_forward().await, Ok(None));
    place.bring_forward(&entry("1")).await.unwrap();
    place.bring_forward(&entry("2")).await.unwrap();
    assert_eq!(place.brought_forward().await, Ok(Some(entry("2"))));
    assert_eq!(place.read(Some("2")).await, Ok(vec![entry("3")]));
    place.write(&[entry("4"), entry("5")]).await.unwrap();
    assert_eq!(place.brought_forward().await, Ok(Some(entry("2"))));
    place.write(&[entry("15"), entry("6")]).await.unwrap();
    assert_eq!(place.brought_forward().await, Ok(None));
    assert_eq!(place.read(None).await.unwrap().len(), 7);
    place.bring_forward(&entry("6")).await.unwrap();
    place.clear(&entry("7")).await.unwrap();
    assert_eq!(place.brought_forward().await, Ok(None));
}

#[wasm_bindgen_test]
async fn a_database_of_the_first_version_is_taken_over_with_all_that_it_holds() {
    let made = run("return new Promise((done) => { const asked = indexedDB.open('first', 1); \
         asked.onupgradeneeded = () => asked.result.createObjectStore('events').put('one', '1'); \
         asked.onsuccess = () => { asked.result.close(); done(); }; });");
    wasm_bindgen_futures::JsFuture::from(js_sys::Promise::from(made)).await.unwrap();
    let place = IndexedDb::open("first").await.unwrap();
    let held = vec![Entry { key: "1".to_owned(), text: "one".to_owned() }];
    assert_eq!(place.read(None).await, Ok(held));
    assert_eq!(place.brought_forward().await, Ok(None));
}

#[wasm_bindgen_test]
async fn a_database_of_a_newer_version_is_left_alone() {
    let made = run("return new Promise((done) => { const asked = indexedDB.open('newer', 7); \
         asked.onsuccess = () => { asked.result.close(); done(); }; });");
    wasm_bindgen_futures::JsFuture::from(js_sys::Promise::from(made)).await.unwrap();
    assert_eq!(IndexedDb::open("newer").await.unwrap_err(), BackendError::Newer);
}

#[wasm_bindgen_test]
async fn a_write_after_a_newer_version_took_the_database_is_refused_and_kept_for_later() {
    let journal = open("overtaken").await;
    // The newer version opens the database while this one has it open.
    let upgraded =
        run("return new Promise((done) => { const asked = indexedDB.open('overtaken', 7); \
         asked.onsuccess = () => { asked.result.close(); done(); }; });");
    wasm_bindgen_futures::JsFuture::from(js_sys::Promise::from(upgraded)).await.unwrap();
    let answer = journal.append(vec![note("one")], &clock::stamp(), random::ten_bytes).await;
    assert_eq!(answer, Err(BackendError::Newer));
    assert!(!journal.is_saved());
    assert_eq!(journal.history().notes().len(), 1);
    assert!(spare_text("overtaken").contains("one"));
}

#[wasm_bindgen_test]
async fn a_database_that_another_window_will_not_let_go_of_is_blocked() {
    // That window holds an older version, and this one asks for the next.
    let held = run("return new Promise((done) => { const asked = indexedDB.open('held', 1); \
         asked.onsuccess = () => done(() => asked.result.close()); });");
    let held = wasm_bindgen_futures::JsFuture::from(js_sys::Promise::from(held)).await.unwrap();
    let answer = IndexedDb::open("held").await;
    Function::from(held).call0(&JsValue::NULL).unwrap();
    assert_eq!(answer.unwrap_err(), BackendError::Blocked);
}

#[wasm_bindgen_test]
async fn a_storage_that_is_gone_in_the_background_keeps_the_entry_until_it_is_back() {
    let journal = open("gone").await;
    let gone = run("const transaction = IDBDatabase.prototype.transaction; \
         const lost = () => { throw new DOMException( \
           'Connection to Indexed Database server lost. Refresh the page to try again', 'UnknownError'); }; \
         IDBDatabase.prototype.transaction = lost; \
         return () => { IDBDatabase.prototype.transaction = transaction; };");
    let answer = journal.append(vec![note("one")], &clock::stamp(), random::ten_bytes).await;
    Function::from(gone).call0(&JsValue::NULL).unwrap();
    assert_eq!(answer, Err(BackendError::Lost));
    assert!(!journal.is_saved());
    assert!(spare_text("gone").contains("one"));
    journal.save().await.unwrap();
    assert!(journal.is_saved());
    assert_eq!(open("gone").await.history().notes().len(), 1);
}

#[wasm_bindgen_test]
async fn erasing_takes_everything_away_and_what_is_noted_later_stays() {
    let journal = open("erased").await;
    let damaged =
        Entry { key: "01ARYZ6S410000000000000000".to_owned(), text: "{\"id\":\"01AR".to_owned() };
    IndexedDb::open("erased").await.unwrap().write(std::slice::from_ref(&damaged)).await.unwrap();
    journal.append(vec![note("one")], &clock::stamp(), random::ten_bytes).await.unwrap();
    journal.erase(&clock::stamp(), random::ten_bytes).await.unwrap();
    let again = open("erased").await;
    assert!(again.is_erased() && again.unreadable().is_empty());
    again.append(vec![note("two")], &clock::stamp(), random::ten_bytes).await.unwrap();
    assert_eq!(open("erased").await.history().notes().len(), 1);
}

#[wasm_bindgen_test]
fn preferences_survive_denied_storage() {
    preferences::set("carryover.test", 3);
    assert_eq!(preferences::get::<i32>("carryover.test"), Some(3));
    let denied = define(
        "localStorage",
        "return { get() { throw new DOMException('no', 'SecurityError'); }, configurable: true };",
    );
    let asked = preferences::get::<i32>("carryover.test");
    preferences::set("carryover.test", 4);
    denied.undo();
    assert_eq!(asked, None);
    assert_eq!(preferences::get::<i32>("carryover.test"), Some(3));
}

async fn open(name: &str) -> Journal<IndexedDb> {
    Journal::open(IndexedDb::open(name).await.unwrap()).await.unwrap()
}

/// What the small storage holds for the moment in which the large one is broken.
fn spare_text(name: &str) -> String {
    let script = format!("return localStorage.getItem('{name}.spare') ?? '';");
    run(&script).as_string().unwrap()
}

fn note(text: &str) -> Fact {
    Fact::Note { text: Words::new(text).unwrap(), session: None }
}

fn run(script: &str) -> JsValue {
    Function::new_no_args(script).call0(&JsValue::NULL).unwrap()
}

/// A property of the window, replaced until it is undone.
struct Defined(JsValue);

impl Defined {
    fn undo(self) {
        Function::from(self.0).call0(&JsValue::NULL).unwrap();
    }
}

fn define(name: &str, descriptor: &str) -> Defined {
    let window = js_sys::global();
    Reflect::set(&window, &"replacement".into(), &run(descriptor)).unwrap();
    Defined(run(&format!(
        "const had = Object.getOwnPropertyDescriptor(window, '{name}'); \
         Object.defineProperty(window, '{name}', window.replacement); \
         return () => Object.defineProperty(window, '{name}', had);"
    )))
}
