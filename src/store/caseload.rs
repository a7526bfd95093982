//! The practitioner's caseload over a [`Shelf`]: one document a client, a draft, a routine version, an event
//! of a log, a visit.
//!
//! Routine versions and events of logs are never changed once they are there. What cannot be read is set
//! aside, kept, and carried by every copy.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt;
use std::rc::Rc;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::backend::{BackendError, Entry, Shelf};
use crate::domain::caseload::{Client, Visit};
use crate::domain::draft::Draft;
use crate::domain::event::{EventId, Fact};
use crate::domain::library;
use crate::domain::routine::{Routine, Version};
use crate::domain::words::Id;
use crate::exchange::copy;
use crate::exchange::record::{Altered, Record, join};

/// Where a document stands. The order is that of a client's page: the client, what is planned, what was done.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Key {
    Client(Id),
    Draft(Id),
    Routine(Id, Version),
    Log(Id, EventId),
    Visit(Id, EventId),
    /// An exercise that the practitioner wrote or changed, kept for the next client.
    Own(Id),
}

impl Key {
    /// The client to whom the document belongs, if it is one's.
    pub const fn client(&self) -> Option<&Id> {
        match self {
            Self::Client(client)
            | Self::Draft(client)
            | Self::Routine(client, _)
            | Self::Log(client, _)
            | Self::Visit(client, _) => Some(client),
            Self::Own(_) => None,
        }
    }

    fn parse(text: &str) -> Option<Self> {
        let mut parts = text.splitn(3, '/');
        let (kind, client, rest) = (parts.next()?, parts.next()?, parts.next());
        let client = Id::new(client).ok()?;
        match (kind, rest) {
            ("client", None) => Some(Self::Client(client)),
            ("own", None) => Some(Self::Own(client)),
            ("draft", None) => Some(Self::Draft(client)),
            ("routine", Some(version)) => {
                Some(Self::Routine(client, Version::new(version.parse().ok()?).ok()?))
            }
            ("log", Some(id)) => Some(Self::Log(client, EventId::try_from(id.to_owned()).ok()?)),
            ("visit", Some(id)) => {
                Some(Self::Visit(client, EventId::try_from(id.to_owned()).ok()?))
            }
            _ => None,
        }
    }
}

impl fmt::Display for Key {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Client(client) => write!(to, "client/{}", client.as_str()),
            Self::Draft(client) => write!(to, "draft/{}", client.as_str()),
            Self::Routine(client, version) => {
                write!(to, "routine/{}/{}", client.as_str(), version.get())
            }
            Self::Log(client, id) => write!(to, "log/{}/{id}", client.as_str()),
            Self::Visit(client, id) => write!(to, "visit/{}/{id}", client.as_str()),
            Self::Own(id) => write!(to, "own/{}", id.as_str()),
        }
    }
}

#[derive(Clone, Debug, PartialEq)]
enum Document {
    Client(Client),
    Draft(Box<Draft>),
    Routine(Box<Routine>),
    Log(Record),
    Visit(Visit),
    Own(Box<library::Entry>),
}

impl Document {
    fn parse(key: &Key, text: &str) -> Option<Self> {
        fn read<T: DeserializeOwned>(text: &str) -> Option<T> {
            serde_json::from_str(text).ok()
        }
        match key {
            Key::Client(_) => read(text).map(Self::Client),
            Key::Draft(_) => read(text).map(Self::Draft),
            Key::Routine(_, version) => read::<Box<Routine>>(text)
                .filter(|routine| routine.version == *version)
                .map(Self::Routine),
            Key::Log(_, id) => {
                Record::parse(text).ok().filter(|record| record.id() == *id).map(Self::Log)
            }
            Key::Visit(..) => read(text).map(Self::Visit),
            Key::Own(id) => read::<Box<library::Entry>>(text)
                .filter(|entry| entry.exercise.id == *id)
                .map(Self::Own),
        }
    }
}

#[derive(Debug, Default)]
struct Known {
    documents: BTreeMap<Key, (Document, String)>,
    /// What is not safe yet: a text to be put, or `None` for one to be taken away.
    unsaved: BTreeMap<String, Option<String>>,
    unreadable: Vec<Entry>,
}

impl Known {
    /// Takes a stored text in; one that cannot be read is set aside.
    fn take_in(&mut self, entry: Entry) {
        let read =
            Key::parse(&entry.key).and_then(|key| Some((Document::parse(&key, &entry.text)?, key)));
        match read {
            Some((document, key)) => {
                self.documents.insert(key, (document, entry.text));
            }
            None => self.unreadable.push(entry),
        }
    }

    fn put(&mut self, key: Key, document: Document, text: String) {
        self.unsaved.insert(key.to_string(), Some(text.clone()));
        self.documents.insert(key, (document, text));
    }
}

/// What restoring a copy does with what the device already has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Restoring {
    /// Only what is missing here is added; what is here stays as it is.
    AddMissing,
    /// The device has what the copy has, and nothing else.
    ReplaceAll,
}

/// Everything the practitioner keeps on this device.
#[derive(Debug)]
pub struct Caseload<S>(Rc<Inner<S>>);

#[derive(Debug)]
struct Inner<S> {
    shelf: S,
    known: RefCell<Known>,
}

impl<S> Clone for Caseload<S> {
    fn clone(&self) -> Self {
        Self(Rc::clone(&self.0))
    }
}

impl<S: Shelf + 'static> Caseload<S> {
    pub async fn open(shelf: S) -> Result<Self, BackendError> {
        let mut known = Known::default();
        for entry in shelf.read().await? {
            known.take_in(entry);
        }
        Ok(Self(Rc::new(Inner { shelf, known: RefCell::new(known) })))
    }

    pub fn clients(&self) -> Vec<(Id, Client)> {
        let known = self.0.known.borrow();
        let documents = known.documents.iter();
        documents
            .filter_map(|(key, (document, _))| {
                let Document::Client(client) = document else { return None };
                Some((key.client()?.clone(), client.clone()))
            })
            .collect()
    }

    pub fn client(&self, id: &Id) -> Option<Client> {
        let Document::Client(client) = self.document(&Key::Client(id.clone()))? else {
            return None;
        };
        Some(client)
    }

    pub fn draft(&self, client: &Id) -> Option<Draft> {
        let Document::Draft(draft) = self.document(&Key::Draft(client.clone()))? else {
            return None;
        };
        Some(*draft)
    }

    fn document(&self, key: &Key) -> Option<Document> {
        self.0.known.borrow().documents.get(key).map(|(document, _)| document.clone())
    }

    fn of_client<T>(&self, client: &Id, pick: impl Fn(&Key, &Document) -> Option<T>) -> Vec<T> {
        let known = self.0.known.borrow();
        let documents = known.documents.iter().filter(|(key, _)| key.client() == Some(client));
        documents.filter_map(|(key, (document, _))| pick(key, document)).collect()
    }

    /// The versions that were handed over, oldest first.
    pub fn routines(&self, client: &Id) -> Vec<Routine> {
        self.of_client(client, |_, document| {
            let Document::Routine(routine) = document else { return None };
            Some((**routine).clone())
        })
    }

    /// The client's log as far as it was handed back, in the order of the ids.
    pub fn log(&self, client: &Id) -> Vec<Record> {
        self.of_client(client, |_, document| {
            let Document::Log(record) = document else { return None };
            Some(record.clone())
        })
    }

    /// The visits, oldest first.
    pub fn visits(&self, client: &Id) -> Vec<(EventId, Visit)> {
        self.of_client(client, |key, document| {
            let (Key::Visit(_, id), Document::Visit(visit)) = (key, document) else { return None };
            Some((*id, visit.clone()))
        })
    }

    /// The client to whom a log belongs: the one whose routine it followed.
    pub fn client_of(&self, log: &[Record]) -> Option<Id> {
        let followed = |record: &Record| {
            let Fact::RoutineAccepted { routine } = &record.event.what else { return None };
            Some(routine.id.clone())
        };
        let followed: Vec<Id> = log.iter().filter_map(followed).collect();
        let known = self.0.known.borrow();
        let mut routines = known.documents.iter();
        routines.find_map(|(key, (document, _))| {
            let Document::Routine(routine) = document else { return None };
            if followed.contains(&routine.id) { key.client().cloned() } else { None }
        })
    }

    pub fn put_client(
        &self,
        id: &Id,
        client: Client,
    ) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let text = to_text(&client);
        self.put(Key::Client(id.clone()), Document::Client(client), text)
    }

    pub fn put_draft(
        &self,
        client: &Id,
        draft: Draft,
    ) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let text = to_text(&draft);
        self.put(Key::Draft(client.clone()), Document::Draft(Box::new(draft)), text)
    }

    /// Keeps a version as it is handed over. A version that is there already is never changed.
    pub fn add_routine(
        &self,
        client: &Id,
        routine: Routine,
    ) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let key = Key::Routine(client.clone(), routine.version);
        let is_new = !self.0.known.borrow().documents.contains_key(&key);
        if is_new {
            let text = to_text(&routine);
            let document = Document::Routine(Box::new(routine));
            self.0.known.borrow_mut().put(key, document, text);
        }
        self.save()
    }

    pub fn put_visit(
        &self,
        client: &Id,
        id: EventId,
        visit: Visit,
    ) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let text = to_text(&visit);
        self.put(Key::Visit(client.clone(), id), Document::Visit(visit), text)
    }

    /// The practitioner's own exercises, by id.
    pub fn own(&self) -> Vec<library::Entry> {
        let known = self.0.known.borrow();
        let documents = known.documents.values();
        documents
            .filter_map(|(document, _)| {
                let Document::Own(entry) = document else { return None };
                Some((**entry).clone())
            })
            .collect()
    }

    pub fn put_own(
        &self,
        entry: library::Entry,
    ) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let text = to_text(&entry);
        self.put(Key::Own(entry.exercise.id.clone()), Document::Own(Box::new(entry)), text)
    }

    fn put(
        &self,
        key: Key,
        document: Document,
        text: String,
    ) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        self.0.known.borrow_mut().put(key, document, text);
        self.save()
    }

    /// Joins a log that was handed back to what the client's log here already has; how many events were new.
    pub fn join_log(
        &self,
        client: &Id,
        log: &[Record],
    ) -> Result<(usize, impl Future<Output = Result<(), BackendError>> + use<S>), Altered> {
        let before = self.log(client);
        let joined = join(&before, log)?;
        let mut known = self.0.known.borrow_mut();
        let mut new = 0;
        for record in joined {
            let key = Key::Log(client.clone(), record.id());
            if !known.documents.contains_key(&key) {
                let text = record.text().to_owned();
                known.put(key, Document::Log(record), text);
                new += 1;
            }
        }
        drop(known);
        Ok((new, self.save()))
    }

    /// Takes everything of a client away, for good.
    pub fn erase(&self, client: &Id) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let mut known = self.0.known.borrow_mut();
        let keys: Vec<Key> =
            known.documents.keys().filter(|key| key.client() == Some(client)).cloned().collect();
        for key in keys {
            known.unsaved.insert(key.to_string(), None);
            known.documents.remove(&key);
        }
        drop(known);
        self.save()
    }

    /// Everything as one file's text, what cannot be read included.
    pub fn copy(&self) -> String {
        let known = self.0.known.borrow();
        let texts: Vec<(String, &str)> = known
            .documents
            .iter()
            .map(|(key, (_, text))| (key.to_string(), text.as_str()))
            .collect();
        let readable = texts.iter().map(|(key, text)| (key.as_str(), *text));
        let unreadable =
            known.unreadable.iter().map(|entry| (entry.key.as_str(), entry.text.as_str()));
        copy::print(readable.chain(unreadable))
    }

    /// Brings back the documents of a copy, all or none; how many were brought.
    pub fn restore(
        &self,
        documents: Vec<(String, String)>,
        restoring: Restoring,
    ) -> (usize, impl Future<Output = Result<(), BackendError>> + use<S>) {
        let mut known = self.0.known.borrow_mut();
        if restoring == Restoring::ReplaceAll {
            let old: Vec<String> = known.documents.keys().map(Key::to_string).collect();
            known.unsaved.extend(old.into_iter().map(|key| (key, None)));
            known.documents.clear();
        }
        let mut brought = 0;
        for (key, text) in documents {
            let is_here = Key::parse(&key).is_some_and(|key| known.documents.contains_key(&key))
                || known.unreadable.iter().any(|entry| entry.key == key);
            if !is_here {
                known.unsaved.insert(key.clone(), Some(text.clone()));
                known.take_in(Entry { key, text });
                brought += 1;
            }
        }
        drop(known);
        (brought, self.save())
    }

    /// Writes everything that is not yet safe.
    pub fn save(&self) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let unsaved = self.0.known.borrow().unsaved.clone();
        let mut put = Vec::new();
        let mut take = Vec::new();
        for (key, text) in &unsaved {
            match text {
                Some(text) => put.push(Entry { key: key.clone(), text: text.clone() }),
                None => take.push(key.clone()),
            }
        }
        let writing = self.0.shelf.change(&put, &take);
        let caseload = self.clone();
        async move {
            writing.await?;
            let mut known = caseload.0.known.borrow_mut();
            // What was changed again in the meantime is not safe yet.
            known.unsaved.retain(|key, text| unsaved.get(key) != Some(text));
            Ok(())
        }
    }

    pub fn is_saved(&self) -> bool {
        self.0.known.borrow().unsaved.is_empty()
    }

    /// Stored texts that could not be read, as they are.
    pub fn unreadable(&self) -> Vec<Entry> {
        self.0.known.borrow().unreadable.clone()
    }
}

/// Serializing the domain's own types cannot fail: no map has keys other than text.
fn to_text(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_default()
}
