//! The client's log, as the screens see it: the history folded from it, and whether all of it is safe.

use std::collections::BTreeSet;
use std::rc::Rc;

use leptos::prelude::*;

use super::keeping::Keeping;
use crate::domain::event::{EventId, Fact};
use crate::domain::history::History;
use crate::domain::words::Id;
use crate::exchange::file::{self, RoutineFile};
use crate::exchange::record::Record;
use crate::platform::indexed_db::IndexedDb;
use crate::platform::{clock, random};
use crate::store::backend::{BackendError, Entry};
use crate::store::journal::Journal;

/// Why a copy is not joined; finishes the sentence "could not be used:".
const OTHER_LOG: &str = "it follows another routine than the log on this phone. If it is yours, erase this log first, then restore the copy";

/// The client's log.
#[derive(Clone, Copy)]
pub struct Diary {
    journal: StoredValue<Journal<IndexedDb>, LocalStorage>,
    history: RwSignal<Rc<History>, LocalStorage>,
    keeping: Keeping,
}

pub fn use_diary() -> Diary {
    expect_context()
}

impl Diary {
    pub fn new(journal: Journal<IndexedDb>) -> Self {
        let history = RwSignal::new_local(Rc::new(journal.history()));
        let diary =
            Self { journal: StoredValue::new_local(journal), history, keeping: Keeping::new() };
        provide_context(diary.keeping);
        diary.keeping.set_again(move || diary.save_again());
        if !diary.journal.with_value(Journal::is_saved) {
            diary.save_again();
        }
        diary
    }

    pub fn history(self) -> Rc<History> {
        self.history.get()
    }

    pub fn history_untracked(self) -> Rc<History> {
        self.history.get_untracked()
    }

    /// Notes facts, in order; returns the id of the last one.
    pub fn append(self, facts: Vec<Fact>) -> Option<EventId> {
        if facts.is_empty() {
            return None;
        }
        let writing = self
            .journal
            .with_value(|journal| journal.append(facts, &clock::stamp(), random::ten_bytes));
        self.follow(writing);
        self.journal.with_value(Journal::last_id)
    }

    /// Notes that the client took on a routine, exactly as its file has it.
    pub fn accept(self, file: &RoutineFile) {
        let fact = Fact::RoutineAccepted { routine: Box::new(file.routine.clone()) };
        let writing = self.journal.with_value(|journal| {
            journal.accept(fact, &file.as_filed, &clock::stamp(), random::ten_bytes)
        });
        self.follow(writing);
    }

    /// Notes the verdicts that now stand, as the client is told them.
    pub fn tell_verdicts(self) {
        self.append(self.history_untracked().untold_verdicts());
    }

    /// Tries again to save what is not safe yet.
    pub fn save_again(self) {
        let writing = self.journal.with_value(Journal::save);
        self.follow(writing);
    }

    fn follow(self, writing: impl Future<Output = Result<(), BackendError>> + 'static) {
        self.history.set(Rc::new(self.journal.with_value(Journal::history)));
        let journal = self.journal.get_value();
        self.keeping.follow(writing, move || journal.is_saved());
    }

    /// The whole log.
    pub fn records(self) -> Vec<Record> {
        self.journal.with_value(Journal::records)
    }

    /// The whole log as a file's text, with the note that it was handed back at its end. That note
    /// becomes part of the log only once it is true: see [`handed_back`](Self::handed_back).
    pub fn as_handed_back(self) -> (String, Option<Record>) {
        let (records, note) = self.to_hand_back();
        (file::print_log(&records), note)
    }

    /// The whole log, with the same note.
    pub fn to_hand_back(self) -> (Vec<Record>, Option<Record>) {
        self.journal.with_value(|journal| {
            let note = journal.draft(Fact::HandedBack, &clock::stamp(), random::ten_bytes);
            let mut records = journal.records();
            records.extend(note.clone());
            (records, note)
        })
    }

    /// What carries this note has left the device.
    pub fn handed_back(self, note: Option<Record>) {
        if let Some(note) = note {
            self.follow(self.journal.with_value(|journal| journal.keep(note)));
        }
    }

    /// Joins a copy into the log; how many entries were missing here, or why it is not joined.
    pub fn restore(self, copy: &[Record]) -> Result<usize, String> {
        let of = |history: &History| -> BTreeSet<Id> {
            history.accepted.iter().map(|accepted| accepted.routine.id.clone()).collect()
        };
        let (here, there) =
            (self.history_untracked(), History::fold(copy.iter().map(|record| &record.event)));
        let known = self.records().len();
        if 0 < known && of(&here).is_disjoint(&of(&there)) {
            return Err(OTHER_LOG.to_owned());
        }
        let writing = self.journal.with_value(|journal| journal.merge(copy));
        self.follow(writing.map_err(|altered| altered.to_string())?);
        Ok(self.records().len() - known)
    }

    /// Takes the whole log away; what to say where that failed.
    pub async fn erase(self) -> Result<(), BackendError> {
        self.journal.get_value().erase(&clock::stamp(), random::ten_bytes).await
    }

    pub fn unreadable(self) -> Vec<Entry> {
        self.journal.with_value(Journal::unreadable)
    }
}
