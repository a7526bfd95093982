//! An append-only log over a [`Backend`].
//!
//! A long log is not read whole at the start: what its older part [brings forward] stands for that part
//! until a screen asks for all of it.
//!
//! [brings forward]: crate::domain::history::brought_forward

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;

use chrono::NaiveDate;
use serde_json::value::RawValue;

use super::backend::{Backend, BackendError, Entry};
use crate::domain::event::{Event, EventId, Fact};
use crate::domain::history::History;
use crate::domain::history::brought_forward::{AT_HAND, BroughtForward, last_seam};
use crate::domain::words::Words;
use crate::exchange::record::{Altered, Record, join};

/// The moment an event is noted: the local clock with its offset, and the zone's IANA name if known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    pub at: chrono::DateTime<chrono::FixedOffset>,
    pub zone: Option<Words>,
}

/// The key of the mark that an erased log leaves. The spare place, which may be slow to forget, counts only
/// with the same mark in it.
const ERASED: &str = "erased";

/// What is known of the log in memory.
#[derive(Debug, Default)]
struct Known {
    /// All of the log, or what comes after the part that was brought forward.
    records: Vec<Record>,
    before: Option<BroughtForward>,
    /// What was brought forward just now, and is not kept yet.
    to_keep: Option<Entry>,
    /// What stood for the older part until that was read, too.
    left: Option<BroughtForward>,
    erased: Option<Entry>,
    /// Noted, and not yet safe.
    unsaved: BTreeSet<EventId>,
    unreadable: Vec<Entry>,
}

impl Known {
    /// Understands what is stored, and what only the spare place holds; and the latter once more.
    fn of(mut entries: Vec<Entry>, mut spare: Vec<Entry>) -> (Self, Vec<Entry>) {
        let erased = take_mark(&mut entries);
        let is_stored = |missing: &Entry| entries.iter().any(|entry| entry.key == missing.key);
        if take_mark(&mut spare) != erased {
            spare.clear();
        }
        spare.retain(|entry| !is_stored(entry));
        entries.extend(spare.iter().cloned());
        let mut known = Self { erased, ..Self::default() };
        for entry in entries {
            match Record::parse(&entry.text) {
                Ok(record) if record.id().to_string() == entry.key => known.put(record),
                Ok(_) | Err(_) => known.unreadable.push(entry),
            }
        }
        (known, spare)
    }

    /// Whether all that is known comes after a part that was brought forward, and goes on from there.
    fn goes_on_from(&self, before: &BroughtForward) -> bool {
        let upto = before.upto().to_string();
        !self.records.is_empty()
            && self.records.iter().all(|record| before.carries(&record.event))
            && self.unreadable.iter().all(|entry| upto < entry.key)
    }

    /// Brings the older part forward where enough has come since that was last done. What could not be read
    /// is told of at every start, so nothing passes it.
    fn bring_forward(&mut self) {
        let is_whole = self.before.is_none();
        let days = self.records.first().zip(self.records.last()).map_or(0, |(first, last)| {
            (last.event.at.date_naive() - first.event.at.date_naive()).num_days()
        });
        let is_due = is_whole || 2 * AT_HAND <= days;
        if !is_due || !self.unsaved.is_empty() || !self.unreadable.is_empty() {
            return;
        }
        let events: Vec<&Event> = self.records.iter().map(|record| &record.event).collect();
        let Some(seam) = last_seam(&events) else { return };
        let mut history = self.base();
        history.catch_up(events[..seam].iter().copied());
        let Some(forward) = history.brought_forward() else { return };
        let Ok(text) = serde_json::to_string(&forward) else { return };
        self.to_keep = Some(Entry { key: forward.upto().to_string(), text });
        self.records.drain(..seam);
        self.before = Some(forward);
    }

    /// The history before the first record.
    fn base(&self) -> History {
        self.before.clone().map_or_else(History::default, History::from)
    }

    /// Puts a record in its place, which is nearly always the last, unless it is there.
    fn put(&mut self, record: Record) {
        if let Err(at) = self.records.binary_search_by_key(&record.id(), Record::id) {
            self.records.insert(at, record);
        }
    }
}

/// The only way to the log: no journal, no append, so text that could not be read is never overwritten.
#[derive(Debug)]
pub struct Journal<B>(Rc<Inner<B>>);

#[derive(Debug)]
struct Inner<B> {
    backend: B,
    known: RefCell<Known>,
    /// What was folded of it so far.
    history: RefCell<History>,
}

impl<B> Clone for Journal<B> {
    fn clone(&self) -> Self {
        Self(Rc::clone(&self.0))
    }
}

impl<B: Backend + 'static> Journal<B> {
    /// Reads what is stored, the older part of a long log as it was brought forward, and stores what only
    /// the spare place still holds.
    pub async fn open(backend: B) -> Result<Self, BackendError> {
        let forward = backend.brought_forward().await.unwrap_or_default();
        let forward = forward.and_then(|entry| {
            let forward: BroughtForward = serde_json::from_str(&entry.text).ok()?;
            (forward.is_current() && forward.upto().to_string() == entry.key).then_some(forward)
        });
        let after = forward.as_ref().map(|forward| forward.upto().to_string());
        let entries = backend.read(after.as_deref()).await?;
        let (mut known, mut missing) = Known::of(entries, backend.spare());
        match forward {
            Some(forward) if known.goes_on_from(&forward) => known.before = Some(forward),
            Some(_) => (known, missing) = Known::of(backend.read(None).await?, backend.spare()),
            None => {}
        }
        if missing.is_empty() {
            backend.keep_spare(&[]);
        } else {
            match backend.write(&missing).await {
                Ok(()) => backend.keep_spare(&[]),
                Err(_) => known.unsaved.extend(
                    missing.into_iter().filter_map(|entry| EventId::try_from(entry.key).ok()),
                ),
            }
        }
        known.bring_forward();
        let history = RefCell::new(known.base());
        Ok(Self(Rc::new(Inner { backend, known: RefCell::new(known), history })))
    }

    /// Keeps what was brought forward, so that the next start goes on from there.
    pub fn keep_brought_forward(&self) -> impl Future<Output = ()> + use<B> {
        let to_keep = self.0.known.borrow_mut().to_keep.take();
        let keeping = to_keep.map(|forward| self.0.backend.bring_forward(&forward));
        async move {
            // Without it the next start takes longer, and is no worse.
            if let Some(keeping) = keeping {
                drop(keeping.await);
            }
        }
    }

    /// Whether the whole log is at hand, and not only what comes after the part that was brought forward.
    pub fn is_whole(&self) -> bool {
        self.0.known.borrow().before.is_none()
    }

    /// Whether what is at hand says all that is asked on a day.
    pub fn serves(&self, today: NaiveDate) -> bool {
        let known = self.0.known.borrow();
        known.before.as_ref().is_none_or(|before| {
            before.serves(today) && known.records.iter().all(|record| before.carries(&record.event))
        })
    }

    /// Reads the part of the log that was brought forward, too.
    pub async fn read_whole(&self) -> Result<(), BackendError> {
        if self.is_whole() {
            return Ok(());
        }
        let (whole, _) = Known::of(self.0.backend.read(None).await?, Vec::new());
        let mut known = self.0.known.borrow_mut();
        if whole.erased != known.erased {
            return Ok(());
        }
        let at_hand = std::mem::replace(&mut known.records, whole.records);
        for record in at_hand {
            known.put(record);
        }
        known.unreadable = whole.unreadable;
        known.left = known.before.take();
        self.0.history.replace(History::default());
        Ok(())
    }

    /// Lets go of the older part again, if it is as it was before it was read.
    pub fn let_go(&self) {
        let mut known = self.0.known.borrow_mut();
        if !known.unsaved.is_empty() || !known.unreadable.is_empty() {
            return;
        }
        let Some(left) = known.left.take() else { return };
        let older = known.records.partition_point(|record| record.id() <= left.upto());
        if known.records[older..].iter().all(|record| left.carries(&record.event)) {
            known.records.drain(..older);
            known.before = Some(left);
            self.0.history.replace(known.base());
        }
    }

    /// Notes facts, in order, all or none. They are part of the log at once; the future tells when
    /// they are safe. The writing itself begins before this returns.
    pub fn append(
        &self,
        facts: Vec<Fact>,
        stamp: &Stamp,
        random: fn() -> [u8; 10],
    ) -> impl Future<Output = Result<(), BackendError>> + use<B> {
        self.note(self.events_of(facts, stamp, random).into_iter().map(Record::new).collect())
    }

    /// Notes that a routine was accepted, exactly as its file has it.
    pub fn accept(
        &self,
        fact: Fact,
        routine_as_filed: &RawValue,
        stamp: &Stamp,
        random: fn() -> [u8; 10],
    ) -> impl Future<Output = Result<(), BackendError>> + use<B> {
        let events = self.events_of(vec![fact], stamp, random);
        self.note(
            events.into_iter().map(|event| Record::of_accepted(event, routine_as_filed)).collect(),
        )
    }

    fn events_of(&self, facts: Vec<Fact>, stamp: &Stamp, random: fn() -> [u8; 10]) -> Vec<Event> {
        let mut last = self.last_id();
        let event = |what| {
            let id = id_after(last, stamp, random);
            last = Some(id);
            Event { id, at: stamp.at, zone: stamp.zone.clone(), what }
        };
        facts.into_iter().map(event).collect()
    }

    fn note(
        &self,
        records: Vec<Record>,
    ) -> impl Future<Output = Result<(), BackendError>> + use<B> {
        let mut known = self.0.known.borrow_mut();
        known.unsaved.extend(records.iter().map(Record::id));
        for record in records {
            known.put(record);
        }
        drop(known);
        self.save()
    }

    /// Writes a fact down without noting it: it is part of the log only once it is [kept](Self::keep).
    pub fn draft(&self, fact: Fact, stamp: &Stamp, random: fn() -> [u8; 10]) -> Option<Record> {
        self.events_of(vec![fact], stamp, random).pop().map(Record::new)
    }

    /// Notes what was drafted, as [`append`](Self::append) does.
    pub fn keep(&self, draft: Record) -> impl Future<Output = Result<(), BackendError>> + use<B> {
        self.note(vec![draft])
    }

    /// Writes everything that is not yet safe.
    pub fn save(&self) -> impl Future<Output = Result<(), BackendError>> + use<B> {
        let entries = self.unsaved();
        self.keep_spare(entries.clone());
        let writing = self.0.backend.write(&entries);
        let journal = self.clone();
        async move {
            writing.await?;
            let mut known = journal.0.known.borrow_mut();
            for entry in entries {
                if let Ok(id) = EventId::try_from(entry.key) {
                    known.unsaved.remove(&id);
                }
            }
            drop(known);
            journal.keep_spare(journal.unsaved());
            Ok(())
        }
    }

    fn unsaved_records(&self) -> Vec<Record> {
        let known = self.0.known.borrow();
        let is_unsaved = |record: &&Record| known.unsaved.contains(&record.id());
        known.records.iter().filter(is_unsaved).cloned().collect()
    }

    fn unsaved(&self) -> Vec<Entry> {
        let known = self.0.known.borrow();
        let unsafe_yet = known.records.iter().filter(|record| known.unsaved.contains(&record.id()));
        let entries = unsafe_yet
            .map(|record| Entry { key: record.id().to_string(), text: record.text().to_owned() });
        let unreadable = known.unreadable.iter().filter(|entry| {
            EventId::try_from(entry.key.clone()).is_ok_and(|id| known.unsaved.contains(&id))
        });
        entries.chain(unreadable.cloned()).collect()
    }

    /// Takes the whole log away, all or nothing, what could not be read included.
    pub fn erase(
        &self,
        stamp: &Stamp,
        random: fn() -> [u8; 10],
    ) -> impl Future<Output = Result<(), BackendError>> + use<B> {
        let upto = id_after(self.last_id(), stamp, random);
        let mark = Entry { key: ERASED.to_owned(), text: upto.to_string() };
        self.0.known.borrow_mut().to_keep = None;
        let erasing = self.0.backend.clear(&mark);
        let journal = self.clone();
        async move {
            erasing.await?;
            let mut known = journal.0.known.borrow_mut();
            known.records.retain(|record| upto < record.id());
            (known.before, known.left) = (None, None);
            known.unsaved.retain(|id| upto < *id);
            known.unreadable.clear();
            known.erased = Some(mark);
            drop(known);
            journal.0.history.replace(History::default());
            journal.keep_spare(journal.unsaved());
            Ok(())
        }
    }

    /// Whether there is nothing of a log, not even what cannot be read.
    pub fn is_empty(&self) -> bool {
        let known = self.0.known.borrow();
        known.before.is_none() && known.records.is_empty() && known.unreadable.is_empty()
    }

    /// Whether the log was erased, and nothing noted since.
    pub fn is_erased(&self) -> bool {
        self.0.known.borrow().erased.is_some() && self.is_empty()
    }

    fn keep_spare(&self, mut entries: Vec<Entry>) {
        if !entries.is_empty() {
            entries.extend(self.0.known.borrow().erased.clone());
        }
        self.0.backend.keep_spare(&entries);
    }

    /// Joins a log from elsewhere into this one, which has to be [whole](Self::read_whole).
    pub fn merge(
        &self,
        more: &[Record],
    ) -> Result<impl Future<Output = Result<(), BackendError>> + use<B>, Altered> {
        let joined = join(&self.0.known.borrow().records, more)?;
        let mut known = self.0.known.borrow_mut();
        let old: BTreeSet<EventId> = known.records.iter().map(Record::id).collect();
        known.unsaved.extend(joined.iter().map(Record::id).filter(|id| !old.contains(id)));
        known.records = joined;
        (known.left, known.to_keep) = (None, None);
        drop(known);
        Ok(self.save())
    }

    /// Saves what only another window of the same log still had of it, unless the log was erased since.
    pub fn take_up(
        &self,
        before: &Self,
    ) -> Result<Option<impl Future<Output = Result<(), BackendError>> + use<B>>, Altered> {
        let is_same_log = self.0.known.borrow().erased == before.0.known.borrow().erased;
        if before.is_saved() || !is_same_log {
            return Ok(None);
        }
        let unsaved = before.unsaved_records();
        self.merge(&unsaved).map(Some)
    }

    /// Whether everything noted so far is safe.
    pub fn is_saved(&self) -> bool {
        self.0.known.borrow().unsaved.is_empty()
    }

    pub fn history(&self) -> History {
        let known = self.0.known.borrow();
        let mut history = self.0.history.borrow_mut();
        history.catch_up(known.records.iter().map(|record| &record.event));
        history.clone()
    }

    /// The records at hand: all of them, if the log is [whole](Self::is_whole).
    pub fn records(&self) -> Vec<Record> {
        self.0.known.borrow().records.clone()
    }

    /// The last event noted.
    pub fn last_id(&self) -> Option<EventId> {
        self.0.known.borrow().records.last().map(Record::id)
    }

    /// Stored texts that could not be read, as they are.
    pub fn unreadable(&self) -> Vec<Entry> {
        self.0.known.borrow().unreadable.clone()
    }
}

fn id_after(last: Option<EventId>, stamp: &Stamp, random: fn() -> [u8; 10]) -> EventId {
    EventId::after(last, u64::try_from(stamp.at.timestamp_millis()).unwrap_or(0), random())
}

fn take_mark(entries: &mut Vec<Entry>) -> Option<Entry> {
    let at = entries.iter().position(|entry| entry.key == ERASED)?;
    Some(entries.swap_remove(at))
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use pollster::block_on;

    use super::*;

    #[derive(Clone, Default)]
    struct Memory {
        entries: Rc<RefCell<Vec<Entry>>>,
        forward: Rc<RefCell<Option<Entry>>>,
        spare: Rc<RefCell<Vec<Entry>>>,
        full: Rc<Cell<bool>>,
    }

    impl Backend for Memory {
        fn read(
            &self,
            after: Option<&str>,
        ) -> impl Future<Output = Result<Vec<Entry>, BackendError>> {
            let entries = self.entries.borrow();
            let later = entries.iter().filter(|entry| after.is_none_or(|after| after < &entry.key));
            std::future::ready(Ok(later.cloned().collect()))
        }

        fn write(
            &self,
            entries: &[Entry],
        ) -> impl Future<Output = Result<(), BackendError>> + use<> {
            if self.full.get() {
                return std::future::ready(Err(BackendError::Full));
            }
            self.entries.borrow_mut().extend_from_slice(entries);
            self.forward
                .borrow_mut()
                .take_if(|forward| entries.iter().any(|entry| entry.key <= forward.key));
            std::future::ready(Ok(()))
        }

        fn brought_forward(&self) -> impl Future<Output = Result<Option<Entry>, BackendError>> {
            std::future::ready(Ok(self.forward.borrow().clone()))
        }

        fn bring_forward(
            &self,
            forward: &Entry,
        ) -> impl Future<Output = Result<(), BackendError>> + use<> {
            *self.forward.borrow_mut() = Some(forward.clone());
            std::future::ready(Ok(()))
        }

        fn clear(&self, leave: &Entry) -> impl Future<Output = Result<(), BackendError>> + use<> {
            *self.entries.borrow_mut() = vec![leave.clone()];
            *self.forward.borrow_mut() = None;
            std::future::ready(Ok(()))
        }

        fn spare(&self) -> Vec<Entry> {
            self.spare.borrow().clone()
        }

        fn keep_spare(&self, entries: &[Entry]) {
            *self.spare.borrow_mut() = entries.to_vec();
        }
    }

    fn stamp() -> Stamp {
        Stamp { at: "2026-11-25T18:04:05+01:00".parse().unwrap(), zone: None }
    }

    fn note(text: &str) -> Fact {
        Fact::Note { text: Words::new(text).unwrap(), session: None }
    }

    #[test]
    fn what_was_appended_is_there_when_opened_again() {
        let place = Memory::default();
        let journal = block_on(Journal::open(place.clone())).unwrap();
        block_on(journal.append(vec![note("one"), note("two")], &stamp(), || [0; 10])).unwrap();
        assert!(journal.is_saved());
        let again = block_on(Journal::open(place)).unwrap();
        assert_eq!(again.records(), journal.records());
        assert_eq!(again.history().notes.len(), 2);
    }

    #[test]
    fn what_could_not_be_saved_is_kept_shown_as_unsaved_and_saved_later() {
        let place = Memory::default();
        let journal = block_on(Journal::open(place.clone())).unwrap();
        place.full.set(true);
        assert_eq!(
            block_on(journal.append(vec![note("one")], &stamp(), || [0; 10])),
            Err(BackendError::Full)
        );
        assert!(!journal.is_saved());
        assert_eq!(journal.history().notes.len(), 1);
        place.full.set(false);
        block_on(journal.append(vec![note("two")], &stamp(), || [0; 10])).unwrap();
        assert!(journal.is_saved());
        assert_eq!(place.entries.borrow().len(), 2);
    }

    #[test]
    fn what_only_the_spare_place_holds_is_saved_at_the_next_start() {
        let place = Memory::default();
        let journal = block_on(Journal::open(place.clone())).unwrap();
        place.full.set(true);
        block_on(journal.append(vec![note("one")], &stamp(), || [0; 10])).unwrap_err();
        place.full.set(false);
        let again = block_on(Journal::open(place.clone())).unwrap();
        assert_eq!(again.history().notes.len(), 1);
        assert_eq!(place.entries.borrow().len(), 1);
        assert!(place.spare.borrow().is_empty());
    }

    #[test]
    fn what_cannot_be_read_is_set_aside_and_never_overwritten() {
        let place = Memory::default();
        let damaged =
            Entry { key: "01ARYZ6S410000000000000000".to_owned(), text: "{\"id\":".to_owned() };
        place.entries.borrow_mut().push(damaged.clone());
        let journal = block_on(Journal::open(place.clone())).unwrap();
        assert_eq!(journal.unreadable(), std::slice::from_ref(&damaged));
        block_on(journal.append(vec![note("one")], &stamp(), || [0; 10])).unwrap();
        assert_eq!(place.entries.borrow()[0], damaged);
    }

    #[test]
    fn a_draft_is_no_part_of_the_log_until_it_is_kept() {
        let place = Memory::default();
        let journal = block_on(Journal::open(place.clone())).unwrap();
        let draft = journal.draft(note("maybe"), &stamp(), || [1; 10]).unwrap();
        assert!(journal.records().is_empty());
        block_on(journal.append(vec![note("meanwhile")], &stamp(), || [2; 10])).unwrap();
        block_on(journal.keep(draft.clone())).unwrap();
        assert_eq!(journal.records()[0], draft, "in the order of the ids");
        assert_eq!(place.entries.borrow().len(), 2);
    }

    #[test]
    fn nothing_of_an_erased_log_comes_back_from_a_spare_place_that_forgot_too_late() {
        let place = Memory::default();
        let journal = block_on(Journal::open(place.clone())).unwrap();
        block_on(journal.append(vec![note("one")], &stamp(), || [9; 10])).unwrap();
        let late = place.entries.borrow().clone();
        block_on(journal.erase(&stamp(), || [0; 10])).unwrap();
        assert!(journal.is_erased() && journal.records().is_empty());
        place.spare.borrow_mut().extend(late);
        let again = block_on(Journal::open(place.clone())).unwrap();
        assert!(again.is_erased());
        assert!(again.unreadable().is_empty() && place.spare.borrow().is_empty());
    }

    #[test]
    fn what_is_noted_after_an_erasing_stays_even_when_the_clock_was_set_back() {
        let place = Memory::default();
        let journal = block_on(Journal::open(place.clone())).unwrap();
        block_on(journal.erase(&stamp(), || [0; 10])).unwrap();
        let earlier = Stamp { at: stamp().at - chrono::Days::new(400), zone: None };
        place.full.set(true);
        block_on(journal.append(vec![note("later")], &earlier, || [0; 10])).unwrap_err();
        place.full.set(false);
        let again = block_on(Journal::open(place)).unwrap();
        assert_eq!(again.history().notes.len(), 1);
        assert!(!again.is_erased());
    }

    #[test]
    fn an_erased_log_can_be_restored_from_a_copy() {
        let place = Memory::default();
        let journal = block_on(Journal::open(place.clone())).unwrap();
        block_on(journal.append(vec![note("one")], &stamp(), || [1; 10])).unwrap();
        let copy = journal.records();
        block_on(journal.erase(&stamp(), || [0; 10])).unwrap();
        block_on(journal.merge(&copy).unwrap()).unwrap();
        assert_eq!(block_on(Journal::open(place)).unwrap().records(), copy);
    }

    #[test]
    fn what_another_window_could_not_save_is_taken_up_unless_the_log_was_erased_since() {
        let place = Memory::default();
        let window = block_on(Journal::open(place.clone())).unwrap();
        block_on(window.append(vec![note("one")], &stamp(), || [1; 10])).unwrap();
        place.full.set(true);
        block_on(window.append(vec![note("two")], &stamp(), || [2; 10])).unwrap_err();
        place.full.set(false);
        // The spare place is another window's by then.
        place.spare.borrow_mut().clear();
        let other = block_on(Journal::open(place.clone())).unwrap();
        assert_eq!(other.records().len(), 1);
        block_on(other.take_up(&window).unwrap().unwrap()).unwrap();
        assert_eq!(block_on(Journal::open(place.clone())).unwrap().records(), window.records());
        block_on(other.erase(&stamp(), || [3; 10])).unwrap();
        let again = block_on(Journal::open(place)).unwrap();
        assert!(again.take_up(&window).unwrap().is_none());
        assert!(again.is_erased());
    }

    #[test]
    fn joining_a_log_twice_changes_nothing() {
        let here = block_on(Journal::open(Memory::default())).unwrap();
        let there = block_on(Journal::open(Memory::default())).unwrap();
        block_on(here.append(vec![note("here")], &stamp(), || [1; 10])).unwrap();
        block_on(there.append(vec![note("there")], &stamp(), || [2; 10])).unwrap();
        block_on(here.merge(&there.records()).unwrap()).unwrap();
        let once = here.records();
        block_on(here.merge(&there.records()).unwrap()).unwrap();
        assert_eq!(here.records(), once);
        assert_eq!(once.len(), 2);
    }
}
