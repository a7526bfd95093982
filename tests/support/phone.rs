//! A phone's storage in memory that never fails.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::future::{Ready, ready};
use std::rc::Rc;

use carryover::domain::log::event::Event;
use carryover::exchange::record::Record;
use carryover::store::backend::{Backend, BackendError, Entry};

use super::strip::Files;

/// It counts what is read from it, and what is written.
#[derive(Clone, Default)]
pub struct Phone {
    pub entries: Rc<RefCell<BTreeMap<String, String>>>,
    pub forward: Rc<RefCell<Option<Entry>>>,
    pub bytes_read: Rc<RefCell<usize>>,
    /// How many entries each write had.
    pub writes: Rc<RefCell<Vec<usize>>>,
}

impl Phone {
    fn reads<T>(&self, bytes: usize, what: T) -> Ready<Result<T, BackendError>> {
        *self.bytes_read.borrow_mut() += bytes;
        ready(Ok(what))
    }

    pub fn bytes(&self) -> usize {
        self.entries.borrow().iter().map(|(key, text)| key.len() + text.len()).sum()
    }

    pub fn events(&self) -> Vec<Event> {
        let entries = self.entries.borrow();
        entries.values().map(|text| Record::parse(text).unwrap().event).collect()
    }
}

impl Backend for Phone {
    type Strip = Files;

    fn strip(&self) -> Option<Files> {
        None
    }

    fn reconnect(&self) -> impl Future<Output = Result<(), BackendError>> {
        ready(Ok(()))
    }

    fn count(&self) -> impl Future<Output = Result<usize, BackendError>> {
        ready(Ok(self.entries.borrow().len()))
    }

    fn read(&self, after: Option<&str>) -> impl Future<Output = Result<Vec<Entry>, BackendError>> {
        let entries = self.entries.borrow();
        let later =
            entries.iter().filter(|(key, _)| after.is_none_or(|after| after < key.as_str()));
        let entry =
            |(key, text): (&String, &String)| Entry { key: key.clone(), text: text.clone() };
        let later: Vec<Entry> = later.map(entry).collect();
        self.reads(later.iter().map(|entry| entry.key.len() + entry.text.len()).sum(), later)
    }

    fn write(&self, entries: &[Entry]) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.writes.borrow_mut().push(entries.len());
        for Entry { key, text } in entries {
            let before = self.entries.borrow_mut().insert(key.clone(), text.clone());
            assert!(before.is_none_or(|before| before == *text), "a text of the log was rewritten");
            self.forward.borrow_mut().take_if(|forward| *key <= forward.key);
        }
        ready(Ok(()))
    }

    fn clear(&self, leave: &Entry) -> impl Future<Output = Result<(), BackendError>> + use<> {
        *self.entries.borrow_mut() = [(leave.key.clone(), leave.text.clone())].into();
        *self.forward.borrow_mut() = None;
        ready(Ok(()))
    }

    fn brought_forward(&self) -> impl Future<Output = Result<Option<Entry>, BackendError>> {
        let forward = self.forward.borrow().clone();
        self.reads(forward.as_ref().map_or(0, |forward| forward.text.len()), forward)
    }

    fn bring_forward(
        &self,
        forward: &Entry,
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        *self.forward.borrow_mut() = Some(forward.clone());
        ready(Ok(()))
    }

    fn spare(&self) -> Vec<Entry> {
        Vec::new()
    }

    fn keep_spare(&self, _entries: &[Entry]) {}
}
