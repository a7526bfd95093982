//! The practitioner's caseload over a [`Shelf`]: one document a client, a draft, a routine version, an event
//! of a log, a visit.
//!
//! Routine versions and events of logs are never changed once they are there. What cannot be read is set
//! aside, kept, and carried by every copy; where its place is needed it moves to one of its own.

use std::cell::{Cell, RefCell};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::ops::RangeInclusive;
use std::rc::Rc;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::backend::{BackendError, Entry, Shelf, Strip};
use super::second::{self, Joined, Look, Second, Waiting};
use crate::domain::event_id::EventId;
use crate::domain::log::belonging::{self, InCommon};
use crate::domain::log::event::Fact;
use crate::domain::log::history::History;
use crate::domain::plan::draft::Draft;
use crate::domain::plan::library;
use crate::domain::plan::routine::{Routine, Version};
use crate::domain::visit::caseload::{Client, Visit};
use crate::domain::words::{Id, Words};
use crate::exchange::copy;
use crate::exchange::ledger::{Ledger, Line};
use crate::exchange::record::{Altered, Record};

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

    /// The places of a client's routine versions.
    fn routines(client: &Id) -> RangeInclusive<Self> {
        Self::Routine(client.clone(), Version::LEAST)..=Self::Routine(client.clone(), Version::MOST)
    }

    /// The places of the events of a client's log.
    fn log(client: &Id) -> RangeInclusive<Self> {
        Self::Log(client.clone(), EventId::LEAST)..=Self::Log(client.clone(), EventId::MOST)
    }

    fn visits(client: &Id) -> RangeInclusive<Self> {
        Self::Visit(client.clone(), EventId::LEAST)..=Self::Visit(client.clone(), EventId::MOST)
    }

    fn parse(text: &str) -> Option<Self> {
        let mut parts = text.splitn(3, '/');
        let (kind, client, rest) = (parts.next()?, parts.next()?, parts.next());
        let client = Id::new(client).ok()?;
        let key = match (kind, rest) {
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
        };
        // A number can be written in several ways; a document has one place.
        key.filter(|key| key.to_string() == text)
    }
}

/// The key of the mark that each change leaves: how many there were. It tells which of two places knows more.
const CHANGES: &str = "changes";

/// What stands before the key of a text that had to make room.
const ASIDE: &str = "aside/";

/// The client to whom a stored text belongs, even under a key that this version does not know, or the key of
/// what is no client's.
fn owner(key: &str) -> &str {
    let place = key.trim_start_matches(ASIDE);
    match place.split_once('/') {
        None | Some(("own", _)) => place,
        Some((_, rest)) => rest.split('/').next().unwrap_or(rest),
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

/// Texts to be put under their keys, or `None` for one to be taken away.
type Texts = BTreeMap<String, Option<String>>;

/// What is not safe yet.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Unsaved {
    /// What the place held when it was last known to be safe.
    stored: Option<String>,
    now: Option<String>,
}

/// The entries of a log by their ids: what tells logs apart, without passing through their texts.
#[derive(Debug, Default)]
struct LogIds {
    all: BTreeSet<EventId>,
    /// Those that accept a routine.
    accepting: BTreeSet<EventId>,
}

impl LogIds {
    fn insert(&mut self, record: &Record) {
        self.all.insert(record.id());
        if matches!(record.event.what, Fact::RoutineAccepted { .. }) {
            self.accepting.insert(record.id());
        } else {
            self.accepting.remove(&record.id());
        }
    }

    fn remove(&mut self, id: EventId) {
        self.all.remove(&id);
        self.accepting.remove(&id);
    }
}

#[derive(Debug, Default)]
struct KnownCaseload {
    documents: BTreeMap<Key, (Document, String)>,
    /// Of each client's log in `documents`.
    entries: BTreeMap<Id, LogIds>,
    unsaved: BTreeMap<String, Unsaved>,
    unreadable: BTreeMap<String, String>,
    /// How many changes there were, the ones on their way included.
    changes: u64,
    /// How many of them are stored.
    stored: u64,
    follows: Follows,
}

/// How far the second place follows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Follows {
    /// It does not; what it lacks is told when it is joined.
    #[default]
    Not,
    Joining,
    /// It has every change that is stored, in so many lines.
    Upto {
        lines: usize,
    },
}

/// The second place is written anew once it has so many lines for each that stands.
const LINES_EACH: usize = 4;
/// And has more lines than this.
const FEW_LINES: usize = 500;

impl KnownCaseload {
    fn last_routine(&self, client: &Id) -> Option<&Routine> {
        let mut latest_first = self.documents.range(Key::routines(client)).rev();
        latest_first.find_map(|(_, (document, _))| routine(document))
    }

    /// Takes a stored text in; one that cannot be read is set aside.
    fn take_in(&mut self, key: String, text: String) {
        match recognise(&key, &text) {
            Some((key, document)) => self.insert(key, document, text),
            None => {
                self.unreadable.insert(key, text);
            }
        }
    }

    fn insert(&mut self, key: Key, document: Document, text: String) {
        if let (Key::Log(client, _), Document::Log(record)) = (&key, &document) {
            self.entries.entry(client.clone()).or_default().insert(record);
        }
        self.documents.insert(key, (document, text));
    }

    /// Notes that a place is about to change, and to what.
    fn mark(&mut self, key: &str, now: Option<&str>) {
        let stored = self.text(key).map(str::to_owned);
        self.mark_from(key, stored, now);
    }

    fn mark_from(&mut self, key: &str, stored: Option<String>, now: Option<&str>) {
        let change = self.unsaved.entry(key.to_owned()).or_insert(Unsaved { stored, now: None });
        change.now = now.map(str::to_owned);
    }

    fn put(&mut self, key: Key, document: Document, text: String) {
        let place = key.to_string();
        let there = self.documents.get(&key).map(|(_, text)| text);
        let stored = there.or_else(|| self.unreadable.get(&place)).cloned();
        self.mark_from(&place, stored, Some(&text));
        // A text that cannot be read has to leave a place that is needed.
        if let Some(unreadable) = self.unreadable.remove(&place) {
            self.set_aside(&place, unreadable);
        }
        self.insert(key, document, text);
    }

    /// Keeps a text beside the place that it cannot have.
    fn set_aside(&mut self, place: &str, text: String) {
        let mut key = format!("{ASIDE}{place}");
        while self.unreadable.contains_key(&key) {
            key.insert_str(0, ASIDE);
        }
        self.mark(&key, Some(&text));
        self.unreadable.insert(key, text);
    }

    fn text(&self, key: &str) -> Option<&str> {
        let read = Key::parse(key).and_then(|key| self.documents.get(&key));
        let text = read.map(|(_, text)| text).or_else(|| self.unreadable.get(key));
        text.map(String::as_str)
    }

    /// Every text under its key.
    fn texts(&self) -> impl Iterator<Item = (String, &str)> {
        let read = self.documents.iter().map(|(key, (_, text))| (key.to_string(), text.as_str()));
        let unreadable = self.unreadable.iter().map(|(key, text)| (key.clone(), text.as_str()));
        read.chain(unreadable)
    }

    /// Takes away the texts under such keys.
    fn take_away(&mut self, is_meant: impl Fn(&str) -> bool) {
        let keys: Vec<String> =
            self.texts().map(|(key, _)| key).filter(|key| is_meant(key)).collect();
        for key in keys {
            self.mark(&key, None);
        }
        let Self { documents, entries, .. } = self;
        documents.retain(|key, _| {
            let is_kept = !is_meant(&key.to_string());
            if let Key::Log(client, id) = key
                && !is_kept
                && let Some(entries) = entries.get_mut(client)
            {
                entries.remove(*id);
            }
            is_kept
        });
        self.unreadable.retain(|key, _| !is_meant(key));
    }

    /// Takes in what the second place has, if that has seen more changes; how many texts that puts back.
    fn take_back(&mut self, upto: u64, lines: &[Line]) -> usize {
        if upto <= self.stored {
            return 0;
        }
        let mut put_back = 0;
        for (key, text) in second::standing(lines) {
            match self.text(key) {
                None => {
                    self.mark(key, Some(text));
                    self.take_in(key.to_owned(), text.to_owned());
                }
                Some(here) if here == text => continue,
                Some(_) => self.set_aside(key, text.to_owned()),
            }
            put_back += 1;
        }
        self.changes = self.changes.max(upto);
        put_back
    }

    /// Whether the second place has every stored text, the last change, and nothing else. Then it follows from
    /// now on.
    fn is_followed_by(&mut self, ledger: &Ledger) -> bool {
        let is_whole = ledger.unreadable == 0
            && ledger.lines.last().map(|line| line.number) == Some(self.stored)
            && {
                let there = second::standing(&ledger.lines);
                let mut stored = 0;
                let is_there = |(key, text): (String, &str)| {
                    stored += 1;
                    there.get(key.as_str()) == Some(&text)
                };
                self.all_stored().all(is_there) && stored == there.len()
            };
        if is_whole {
            self.follows = Follows::Upto { lines: ledger.lines.len() };
        }
        is_whole
    }

    /// Whether what stands is only a small part of so many lines.
    fn is_few_of(&self, lines: usize) -> bool {
        let stand = self.documents.len() + self.unreadable.len();
        FEW_LINES.max(LINES_EACH * stand) < lines
    }

    /// Every text as it was last known to be safe.
    fn all_stored(&self) -> impl Iterator<Item = (String, &str)> {
        let kept = self.texts().filter(|(key, _)| !self.unsaved.contains_key(key));
        let changed = self.unsaved.iter();
        let changed =
            changed.filter_map(|(key, change)| Some((key.clone(), change.stored.as_deref()?)));
        kept.chain(changed)
    }

    /// Every text of one owner as it was last known to be safe.
    fn stored_of(&self, whose: &str) -> BTreeMap<String, &str> {
        self.all_stored().filter(|(key, _)| owner(key) == whose).collect()
    }

    /// Takes up what another window that had the same documents could not save.
    fn take_up(&mut self, before: &Self) {
        let owners: BTreeSet<&str> = before.unsaved.keys().map(|key| owner(key)).collect();
        for whose in owners {
            let (then, now) = (before.stored_of(whose), self.stored_of(whose));
            let (is_as_then, is_erased) = (then == now, !then.is_empty() && now.is_empty());
            if is_erased {
                continue;
            }
            for (key, change) in before.unsaved.iter().filter(|(key, _)| owner(key) == whose) {
                let here = self.text(key);
                match &change.now {
                    None if is_as_then => self.take_away(|one| one == key),
                    None => {}
                    Some(text) if here == Some(text) => {}
                    Some(text) if here == change.stored.as_deref() => {
                        self.take_away(|one| one == key);
                        self.mark(key, Some(text));
                        self.take_in(key.clone(), text.clone());
                    }
                    Some(text) => self.set_aside(key, text.clone()),
                }
            }
        }
    }

    /// Notes what was written; whether nothing of it must be written again.
    fn is_settled(&mut self, written: &Texts) -> bool {
        self.unsaved.retain(|key, change| written.get(key) != Some(&change.now));
        let mut is_settled = true;
        for (key, text) in written {
            let now = self.text(key).map(str::to_owned);
            if let Some(change) = self.unsaved.get_mut(key) {
                change.stored.clone_from(text);
            } else if now != *text {
                // Written after a later text of the same place was: that one has to follow it.
                self.unsaved.insert(key.clone(), Unsaved { stored: text.clone(), now });
                is_settled = false;
            }
        }
        is_settled
    }
}

fn recognise(key: &str, text: &str) -> Option<(Key, Document)> {
    let key = Key::parse(key)?;
    let document = Document::parse(&key, text)?;
    Some((key, document))
}

/// How many documents of a copy this version cannot read. They are kept as they are.
pub fn count_unreadable(documents: &[(String, String)]) -> usize {
    documents.iter().filter(|(key, text)| recognise(key, text).is_none()).count()
}

/// What restoring a copy does with what the device already has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Restoring {
    /// Only what is missing here is added; what is here stays as it is.
    AddMissing,
    /// The device has what the copy has, and nothing else.
    ReplaceAll,
}

/// What a copy that takes the place of everything does not bring back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loss {
    /// The labels of the clients whom the copy does not know.
    pub clients: Vec<Words>,
    /// Records that the copy does not have, or has otherwise; those of the clients are among them.
    pub records: usize,
}

/// Why the second place is written anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tidying {
    /// Something was taken away for good.
    Erased,
    /// It may have grown far beyond what stands.
    Grown,
}

/// Everything the practitioner keeps on this device.
#[derive(Debug)]
pub struct Caseload<S>(Rc<Inner<S>>);

#[derive(Debug)]
struct Inner<S> {
    shelf: S,
    known: RefCell<KnownCaseload>,
    put_back: Cell<usize>,
    waiting: Waiting,
}

impl<S> Clone for Caseload<S> {
    fn clone(&self) -> Self {
        Self(Rc::clone(&self.0))
    }
}

impl<S: Shelf + 'static> Caseload<S> {
    pub async fn open(shelf: S) -> Result<Self, BackendError> {
        let mut known = KnownCaseload::default();
        let stored = shelf.read().await?;
        known.changes = changes_in(&second::by_key(&stored));
        known.stored = known.changes;
        for Entry { key, text } in stored.into_iter().filter(|entry| entry.key != CHANGES) {
            known.take_in(key, text);
        }
        let (known, put_back) = (RefCell::new(known), Cell::new(0));
        Ok(Self(Rc::new(Inner { shelf, known, put_back, waiting: Waiting::default() })))
    }

    pub fn clients(&self) -> Vec<(Id, Client)> {
        let known = self.0.known.borrow();
        let documents = known.documents.iter();
        documents
            .take_while(|(key, _)| matches!(key, Key::Client(_)))
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

    fn pick<T>(
        &self,
        places: RangeInclusive<Key>,
        pick: impl Fn(&Key, &Document) -> Option<T>,
    ) -> Vec<T> {
        let known = self.0.known.borrow();
        let documents = known.documents.range(places);
        documents.filter_map(|(key, (document, _))| pick(key, document)).collect()
    }

    /// The versions that were handed over, oldest first.
    pub fn routines(&self, client: &Id) -> Vec<Routine> {
        self.pick(Key::routines(client), |_, document| routine(document).cloned())
    }

    /// The version that was handed over last.
    pub fn last_routine(&self, client: &Id) -> Option<Routine> {
        self.0.known.borrow().last_routine(client).cloned()
    }

    /// The client's log as far as it was handed back, in the order of the ids.
    pub fn log(&self, client: &Id) -> Vec<Record> {
        self.pick(Key::log(client), |_, document| {
            let Document::Log(record) = document else { return None };
            Some(record.clone())
        })
    }

    /// The client's log, folded.
    pub fn history(&self, client: &Id) -> History {
        let known = self.0.known.borrow();
        let documents = known.documents.range(Key::log(client));
        History::fold(documents.filter_map(|(_, (document, _))| {
            let Document::Log(record) = document else { return None };
            Some(&record.event)
        }))
    }

    /// The visits, oldest first.
    pub fn visits(&self, client: &Id) -> Vec<(EventId, Visit)> {
        self.pick(Key::visits(client), |key, document| {
            let (Key::Visit(_, id), Document::Visit(visit)) = (key, document) else { return None };
            Some((*id, visit.clone()))
        })
    }

    /// The version after the last one that was handed over, whether or not that one can be read.
    pub fn next_version(&self, client: &Id) -> Version {
        let known = self.0.known.borrow();
        let unreadable = known.unreadable.keys();
        let unreadable = unreadable.filter_map(|key| Key::parse(key.trim_start_matches(ASIDE)));
        let read = known.documents.range(Key::routines(client)).map(|(key, _)| key.clone());
        let versions = read.chain(unreadable).filter_map(|key| {
            let Key::Routine(of, version) = key else { return None };
            (of == *client).then_some(version)
        });
        versions.max().map_or(Version::LEAST, |last| Version::nearest(last.get() + 1))
    }

    /// The clients, as far as a log that comes in can be told to be theirs.
    pub fn known(&self, log: &[Record]) -> Vec<belonging::KnownClient> {
        let ids: BTreeSet<EventId> = log.iter().map(Record::id).collect();
        let nothing = LogIds::default();
        let known = self.0.known.borrow();
        let of = |(id, client): (Id, Client)| {
            let entries = known.entries.get(&id).unwrap_or(&nothing);
            let in_common =
                if entries.all.is_disjoint(&ids) { InCommon::Nothing } else { InCommon::Entries };
            let mut routines = self.routines(&id);
            for entry in &entries.accepting {
                let document = known.documents.get(&Key::Log(id.clone(), *entry));
                if let Some((Document::Log(record), _)) = document
                    && let Fact::RoutineAccepted { routine } = &record.event.what
                    && !routines.contains(routine)
                {
                    routines.push((**routine).clone());
                }
            }
            belonging::KnownClient { client: id, label: client.label, routines, in_common }
        };
        self.clients().into_iter().map(of).collect()
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
        let documents = known.documents.iter().rev();
        let mut own: Vec<library::Entry> = documents
            .map_while(|(_, (document, _))| {
                let Document::Own(entry) = document else { return None };
                Some((**entry).clone())
            })
            .collect();
        own.reverse();
        own
    }

    /// The exercises of the versions that were handed over last, each once, the latest version first.
    pub fn used_lately(&self) -> Vec<Id> {
        let clients = self.clients();
        let known = self.0.known.borrow();
        let last = clients.iter().filter_map(|(client, _)| known.last_routine(client));
        let mut last: Vec<&Routine> = last.collect();
        last.sort_by_key(|routine| Reverse(routine.issued));
        let mut used: Vec<Id> = Vec::new();
        for exercise in last.into_iter().flat_map(Routine::exercises) {
            if !used.contains(&exercise.id) {
                used.push(exercise.id.clone());
            }
        }
        used
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

    /// Joins a log that was handed back to what the client's log here already has, all or nothing; the
    /// entries that were new. [`save`](Self::save) writes them, of several logs at once.
    pub fn join_log(&self, client: &Id, log: &[Record]) -> Result<Vec<Record>, Altered> {
        let mut known = self.0.known.borrow_mut();
        let mut new: BTreeMap<Key, &Record> = BTreeMap::new();
        for record in log {
            let key = Key::Log(client.clone(), record.id());
            let there = match known.documents.get(&key) {
                Some((Document::Log(there), _)) => there,
                Some(_) | None => *new.entry(key).or_insert(record),
            };
            if there.event != record.event {
                return Err(Altered { id: record.id() });
            }
        }
        let put = |(key, record): (Key, &Record)| {
            known.put(key, Document::Log(record.clone()), record.text().to_owned());
            record.clone()
        };
        Ok(new.into_iter().map(put).collect())
    }

    /// Takes everything of a client away, for good, what cannot be read included.
    pub fn erase(&self, client: &Id) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        self.0.known.borrow_mut().take_away(|key| owner(key) == client.as_str());
        self.save()
    }

    /// Everything as one file's text, what cannot be read included.
    pub fn copy(&self) -> String {
        copy::print(self.0.known.borrow().texts())
    }

    /// What would be gone from here if a copy took its place.
    pub fn loss_by_replacing(&self, documents: &[(String, String)]) -> Loss {
        let copy: BTreeMap<&str, &str> =
            documents.iter().map(|(key, text)| (key.as_str(), text.as_str())).collect();
        let known = self.0.known.borrow();
        let is_lost = |(key, text): &(String, &str)| copy.get(key.as_str()) != Some(text);
        let records = known.texts().filter(is_lost).count();
        drop(known);
        let is_gone = |(id, _): &(Id, Client)| {
            !copy.contains_key(Key::Client(id.clone()).to_string().as_str())
        };
        let clients = self.clients().into_iter().filter(is_gone).map(|(_, client)| client.label);
        Loss { clients: clients.collect(), records }
    }

    /// Brings back the documents of a copy, all or none; how many were brought. One that cannot be read
    /// here is set aside.
    pub fn restore(
        &self,
        documents: Vec<(String, String)>,
        restoring: Restoring,
    ) -> (usize, impl Future<Output = Result<(), BackendError>> + use<S>) {
        let mut known = self.0.known.borrow_mut();
        if restoring == Restoring::ReplaceAll {
            known.take_away(|_| true);
        }
        let mut brought = 0;
        for (key, text) in documents {
            if key != CHANGES && known.text(&key).is_none() {
                known.mark(&key, Some(&text));
                known.take_in(key, text);
                brought += 1;
            }
        }
        drop(known);
        (brought, self.save())
    }

    /// Writes everything that is not yet safe.
    pub fn save(&self) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let (mut written, mut number, mut writing) = self.write();
        let caseload = self.clone();
        async move {
            loop {
                match writing.await {
                    Ok(()) => {}
                    Err(why @ (BackendError::Full | BackendError::Blocked)) => return Err(why),
                    // A connection can be lost in the background; a fresh one either works or says why not.
                    Err(_) => (written, number) = caseload.make_good().await?,
                }
                caseload.follow(&written, number);
                if caseload.0.known.borrow_mut().is_settled(&written) {
                    return Ok(());
                }
                (written, number, writing) = caseload.write();
            }
        }
    }

    /// Hands on to the second place what was stored.
    fn follow(&self, written: &Texts, number: u64) {
        let mut known = self.0.known.borrow_mut();
        known.stored = known.stored.max(number);
        let Follows::Upto { lines } = &mut known.follows else { return };
        *lines += written.len();
        drop(known);
        let line = |(key, text): (&String, &Option<String>)| Line {
            number,
            key: key.clone(),
            text: text.clone(),
        };
        let lines: Vec<Line> = written.iter().map(line).collect();
        if let Some(strip) = self.0.shelf.strip() {
            // What fails here is told and made good when the two places are joined the next time.
            drop(Second::on(strip).append(&lines));
        }
    }

    /// Writes everything that is known and not stored, over a fresh connection: a browser may have thrown away
    /// what was stored while the caseload was open.
    async fn make_good(&self) -> Result<(Texts, u64), BackendError> {
        self.0.shelf.reconnect().await?;
        let stored = self.0.shelf.read().await?;
        let Some((texts, number, mut put)) = self.missing_in(&stored) else {
            // Another window went on from there.
            return Err(BackendError::Blocked);
        };
        let put_back = put.len() - 1;
        let take = split(&texts, &mut put);
        self.0.shelf.change(&put, &take).await.map_err(BackendError::after_reading)?;
        self.0.put_back.set(self.0.put_back.get() + put_back);
        Ok((texts, number))
    }

    /// What is to be written where that is stored: what is not safe yet, the number of that change, and its mark
    /// with every text that is known and not there. None, where more changes are stored than are known.
    fn missing_in(&self, stored: &[Entry]) -> Option<(Texts, u64, Vec<Entry>)> {
        let there = second::by_key(stored);
        let mut known = self.0.known.borrow_mut();
        if known.changes < changes_in(&there) {
            return None;
        }
        known.changes += 1;
        let number = known.changes;
        let unsaved = known.unsaved.iter();
        let texts: Texts = unsaved.map(|(key, change)| (key.clone(), change.now.clone())).collect();
        let mut put = vec![mark(number)];
        for (key, text) in known.texts() {
            if !texts.contains_key(&key) && !there.contains_key(key.as_str()) {
                put.push(Entry { key, text: text.to_owned() });
            }
        }
        Some((texts, number, put))
    }

    pub fn shelf(&self) -> &S {
        &self.0.shelf
    }

    /// How often it was changed, as far as that is stored.
    pub fn times_changed(&self) -> u64 {
        self.0.known.borrow().stored
    }

    /// How many texts were put back so far into a storage that had lost them.
    pub fn put_back(&self) -> usize {
        self.0.put_back.get()
    }

    /// Joins the second place and the database: what the database lacks is put back, and the second place has
    /// afterwards what is stored. Where they hold the same changes, the second place is not read, unless it is
    /// looked through.
    pub async fn join_second(&self, look: Look) -> Result<Joined, BackendError> {
        let Some(strip) = self.0.shelf.strip() else { return Ok(Joined::OnePlace) };
        let place = Second::on(strip);
        if self.is_joining() {
            // It is being done.
            return Ok(Joined::Whole);
        }
        self.0.known.borrow_mut().follows = Follows::Joining;
        let joined = self.join(&place, look).await;
        if joined.is_err() {
            self.0.known.borrow_mut().follows = Follows::Not;
        }
        self.0.waiting.tell();
        joined
    }

    fn is_joining(&self) -> bool {
        self.0.known.borrow().follows == Follows::Joining
    }

    /// Completes once the second place has what the database has: see [`Waiting::until_handed_on`].
    pub async fn handed_on(&self) {
        let is_followed = || matches!(self.0.known.borrow().follows, Follows::Upto { .. });
        let follows = || self.0.shelf.strip().filter(|_| is_followed());
        self.0.waiting.until_handed_on(|| self.is_joining(), follows).await;
    }

    async fn join<P: Strip>(&self, place: &Second<P>, look: Look) -> Result<Joined, BackendError> {
        let last = if look == Look::AtTheEnd { place.last().await? } else { None };
        let stored = self.0.known.borrow().stored;
        if last.is_some_and(|last| last.number == stored) {
            // How long it has grown is told when it is read; until then it is taken for twice what stands.
            let lines = 2 * self.0.known.borrow().documents.len();
            self.0.known.borrow_mut().follows = Follows::Upto { lines };
            return Ok(Joined::Whole);
        }
        let ledger = place.read().await?;
        if self.0.known.borrow_mut().is_followed_by(&ledger) {
            return Ok(Joined::Whole);
        }
        let upto = ledger.lines.last().map_or(0, |line| line.number);
        let put_back = self.0.known.borrow_mut().take_back(upto, &ledger.lines);
        if 0 < put_back {
            self.save().await?;
            self.0.put_back.set(self.0.put_back.get() + put_back);
        }
        self.write_second(place).await?;
        Ok(if put_back == 0 { Joined::Whole } else { Joined::PutBack(put_back) })
    }

    /// Writes the second place anew, with what is stored now. It is asked for in this task, so that every later
    /// change comes after it.
    fn write_second<P: Strip>(
        &self,
        place: &Second<P>,
    ) -> impl Future<Output = Result<(), BackendError>> + use<S, P> {
        let mut known = self.0.known.borrow_mut();
        let number = known.stored;
        let line = |(key, text): (String, &str)| Line { number, key, text: Some(text.to_owned()) };
        let lines: Vec<Line> = known.all_stored().map(line).collect();
        known.follows = Follows::Upto { lines: lines.len() };
        place.replace(&lines)
    }

    /// Writes the second place anew where it holds something that was taken away for good, or far more than
    /// what stands.
    pub async fn tidy_second(&self, why: Tidying) -> Result<(), BackendError> {
        let Some(strip) = self.0.shelf.strip() else { return Ok(()) };
        let follows = self.0.known.borrow().follows;
        let is_due = match (why, follows) {
            (Tidying::Erased, Follows::Upto { .. }) => true,
            (Tidying::Grown, Follows::Upto { lines }) => self.0.known.borrow().is_few_of(lines),
            // It lacks the erasing, so joining it writes it anew.
            (Tidying::Erased, Follows::Not) => {
                return self.join_second(Look::AtTheEnd).await.map(|_joined| ());
            }
            (Tidying::Erased, Follows::Joining) | (Tidying::Grown, _) => false,
        };
        if is_due { self.write_second(&Second::on(strip)).await } else { Ok(()) }
    }

    fn write(&self) -> (Texts, u64, impl Future<Output = Result<(), BackendError>> + use<S>) {
        let mut known = self.0.known.borrow_mut();
        let unsaved = known.unsaved.iter();
        let texts: Texts = unsaved.map(|(key, change)| (key.clone(), change.now.clone())).collect();
        let mut put = Vec::new();
        if !texts.is_empty() {
            known.changes += 1;
            put.push(mark(known.changes));
        }
        let number = known.changes;
        drop(known);
        let take = split(&texts, &mut put);
        (texts, number, self.0.shelf.change(&put, &take))
    }

    /// Writes nothing from now on, since another window has the documents. Once what was being written has
    /// ended: whether everything is safe.
    pub fn leave(&self) -> impl Future<Output = bool> + use<S> {
        let leaving = self.0.shelf.leave();
        let caseload = self.clone();
        async move {
            leaving.await;
            caseload.is_saved()
        }
    }

    /// Takes up what a window that [left](Self::leave) could not save; [`save`](Self::save) writes it.
    ///
    /// What nobody changed since then comes. What another window changed, stays: the other text is set aside.
    /// Who was erased since then stays erased, and an erasing counts only where nothing else was done since.
    pub fn take_up(&self, before: &Self) {
        self.0.known.borrow_mut().take_up(&before.0.known.borrow());
    }

    pub fn is_saved(&self) -> bool {
        self.0.known.borrow().unsaved.is_empty()
    }

    /// Whether there is nothing at all, not even what cannot be read.
    pub fn is_empty(&self) -> bool {
        let known = self.0.known.borrow();
        known.documents.is_empty() && known.unreadable.is_empty()
    }

    /// Stored texts that could not be read, as they are.
    pub fn unreadable(&self) -> Vec<Entry> {
        let known = self.0.known.borrow();
        let entry =
            |(key, text): (&String, &String)| Entry { key: key.clone(), text: text.clone() };
        known.unreadable.iter().map(entry).collect()
    }
}

/// Serializing the domain's own types cannot fail: no map has keys other than text.
fn to_text(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_default()
}

fn mark(changes: u64) -> Entry {
    Entry { key: CHANGES.to_owned(), text: changes.to_string() }
}

/// How many changes what is stored has seen. An older version did not count them.
fn changes_in(stored: &BTreeMap<&str, &str>) -> u64 {
    let marked = stored.get(CHANGES).and_then(|changes| changes.parse().ok());
    marked.unwrap_or(u64::from(!stored.is_empty()))
}

fn routine(document: &Document) -> Option<&Routine> {
    let Document::Routine(routine) = document else { return None };
    Some(routine)
}

/// The texts to be put, added to others, and the keys of those to be taken away.
fn split(texts: &Texts, put: &mut Vec<Entry>) -> Vec<String> {
    let mut take = Vec::new();
    for (key, text) in texts {
        match text {
            Some(text) => put.push(Entry { key: key.clone(), text: text.clone() }),
            None => take.push(key.clone()),
        }
    }
    take
}
