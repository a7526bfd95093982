//! The client's log, as the screens see it: the history folded from it, and whether all of it is safe.

use std::collections::BTreeSet;
use std::rc::Rc;
use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::keeping::Keeping;
use super::trace::Trace;
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

/// The name of the trace that a log leaves.
const SINCE: &str = "carryover.since";

/// When, after the start, what was brought forward of the log is kept for the next one.
const KEEP_AFTER: Duration = Duration::from_secs(2);

/// The client's log.
#[derive(Clone, Copy)]
pub struct Diary {
    journal: StoredValue<Journal<IndexedDb>, LocalStorage>,
    history: RwSignal<Rc<History>, LocalStorage>,
    keeping: Keeping,
    trace: Trace,
    /// How many screens need all of the log at hand.
    whole_for: StoredValue<u32>,
}

/// The client's log with all of it at hand: see `components::whole_log`.
#[derive(Clone, Copy)]
pub struct WholeDiary(Diary);

pub fn use_whole_diary() -> WholeDiary {
    expect_context()
}

pub fn use_diary() -> Diary {
    expect_context()
}

impl Diary {
    pub fn new(journal: Journal<IndexedDb>) -> Self {
        let history = RwSignal::new_local(Rc::new(journal.history()));
        let trace = Trace::of(SINCE, journal.is_empty());
        let diary = Self {
            journal: StoredValue::new_local(journal),
            history,
            keeping: Keeping::new(),
            trace,
            whole_for: StoredValue::new(0),
        };
        provide_context(diary.keeping);
        provide_context(diary.trace);
        diary.keeping.set_again(move || diary.save_again());
        if !diary.journal.with_value(Journal::is_saved) {
            diary.save_again();
        }
        let keep = move || {
            if let Some(journal) = diary.journal.try_get_value() {
                spawn_local(journal.keep_brought_forward());
            }
        };
        set_timeout(keep, KEEP_AFTER);
        diary
    }

    /// The log with all of it at hand, if it is; it stays so for as long as whoever asks is shown.
    pub fn whole(self) -> Option<WholeDiary> {
        self.whole_for.update_value(|screens| *screens += 1);
        on_cleanup(move || {
            self.whole_for.update_value(|screens| *screens -= 1);
            if self.whole_for.get_value() == 0 {
                self.journal.with_value(Journal::let_go);
            }
        });
        self.journal.with_value(Journal::is_whole).then_some(WholeDiary(self))
    }

    /// Brings all of the log to hand.
    pub async fn read_whole(self) -> Result<WholeDiary, BackendError> {
        self.journal.get_value().read_whole().await?;
        self.fold();
        Ok(WholeDiary(self))
    }

    fn fold(self) {
        if let Some(history) = self.journal.try_with_value(Journal::history) {
            drop(self.history.try_set(Rc::new(history)));
        }
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
        self.fold();
        let journal = self.journal.get_value();
        self.trace.follow(journal.is_empty());
        if !journal.serves(clock::now().date_naive()) {
            // What could not be read now is read at the next start.
            spawn_local(async move { drop(self.read_whole().await) });
        }
        self.keeping.follow(writing, move || journal.is_saved());
    }

    /// Takes the whole log away; what to say where that failed.
    pub async fn erase(self) -> Result<(), BackendError> {
        self.journal.get_value().erase(&clock::stamp(), random::ten_bytes).await
    }

    pub fn unreadable(self) -> Vec<Entry> {
        self.journal.with_value(Journal::unreadable)
    }
}

impl WholeDiary {
    /// The whole log.
    pub fn records(self) -> Vec<Record> {
        self.0.journal.with_value(Journal::records)
    }

    /// The whole log as a file's text, with the note that it was handed back at its end. That note
    /// becomes part of the log only once it is true: see [`handed_back`](Self::handed_back).
    pub fn as_handed_back(self) -> (String, Option<Record>) {
        let (records, note) = self.to_hand_back();
        (file::print_log(&records), note)
    }

    /// The whole log, with the same note.
    pub fn to_hand_back(self) -> (Vec<Record>, Option<Record>) {
        self.0.journal.with_value(|journal| {
            let note = journal.draft(Fact::HandedBack, &clock::stamp(), random::ten_bytes);
            let mut records = journal.records();
            records.extend(note.clone());
            (records, note)
        })
    }

    /// What carries this note has left the device.
    pub fn handed_back(self, note: Option<Record>) {
        if let Some(note) = note {
            self.0.follow(self.0.journal.with_value(|journal| journal.keep(note)));
        }
    }

    /// Joins a copy into the log; how many entries were missing here, or why it is not joined.
    pub fn restore(self, copy: &[Record]) -> Result<usize, String> {
        let of = |history: &History| -> BTreeSet<Id> {
            history.accepted.iter().map(|accepted| accepted.routine.id.clone()).collect()
        };
        let (here, there) =
            (self.0.history_untracked(), History::fold(copy.iter().map(|record| &record.event)));
        let known = self.records().len();
        if 0 < known && of(&here).is_disjoint(&of(&there)) {
            return Err(OTHER_LOG.to_owned());
        }
        let writing = self.0.journal.with_value(|journal| journal.merge(copy));
        self.0.follow(writing.map_err(|altered| altered.to_string())?);
        Ok(self.records().len() - known)
    }
}
