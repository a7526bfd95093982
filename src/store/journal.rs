//! An append-only log over a [`Backend`].
//!
//! A long log is not read whole at the start: what its older part [brings forward] stands for that part
//! until a screen asks for all of it.
//!
//! [brings forward]: crate::domain::log::history::brought_forward

use std::cell::{Cell, RefCell, RefMut};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use chrono::NaiveDate;
use serde_json::value::RawValue;

use super::backend::{Backend, BackendError, Entry, Strip};
use super::second::{self, Joined, Look, Second, Waiting};
use crate::domain::event_id::EventId;
use crate::domain::log::event::{Event, Fact};
use crate::domain::log::history::History;
use crate::domain::log::history::brought_forward::{AT_HAND, BroughtForward, last_seam};
use crate::domain::words::Words;
use crate::exchange::ledger::Line;
use crate::exchange::record::{Altered, Record, join};

/// The moment an event is noted: the local clock with its offset, and the zone's IANA name if known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    pub at: chrono::DateTime<chrono::FixedOffset>,
    pub zone: Option<Words>,
}

/// The key of the mark that an erased log leaves. What else holds something of the log counts only with the same
/// mark in it, or a later one.
const ERASED: &str = "erased";

/// What is known of the log in memory.
#[derive(Debug, Default)]
struct KnownLog {
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
    /// How many entries are stored that the part stands for that was brought forward, once they were counted.
    older: Option<usize>,
    second: Follows,
}

/// How far the second place follows.
#[derive(Debug, Default)]
enum Follows {
    /// It does not; what it lacks is told when it is joined.
    #[default]
    Not,
    /// It is being joined; this was saved meanwhile.
    Joining(Vec<Entry>),
    /// It has all that is stored, and its last line this number.
    Upto(u64),
}

/// What was noted just now.
#[derive(Debug)]
#[must_use = "what is noted is safe only once its writing is done"]
pub struct Noted<W> {
    /// The last of the facts that were given, before the verdicts that they brought about.
    pub last: Option<EventId>,
    /// How many entries there are more, those verdicts included.
    pub number: usize,
    pub writing: W,
}

impl<W: Future> IntoFuture for Noted<W> {
    type Output = W::Output;
    type IntoFuture = W;

    fn into_future(self) -> W {
        self.writing
    }
}

/// What was made good of a storage that had lost something.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MadeGood {
    /// So many texts were put back.
    pub put_back: usize,
    /// The older part was not at hand, and nothing else had it.
    pub is_short: bool,
}

impl KnownLog {
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
            known.take_in(entry);
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

    /// Takes in what was put back.
    fn take_in(&mut self, entry: Entry) {
        if entry.key == ERASED {
            self.erased = Some(entry);
            return;
        }
        match Record::parse(&entry.text) {
            Ok(record) if record.id().to_string() == entry.key => self.put(record),
            Ok(_) | Err(_) => self.unreadable.push(entry),
        }
    }

    /// Puts the whole log in the place of what was at hand of it.
    fn make_whole(&mut self, whole: Self) {
        let at_hand = std::mem::replace(&mut self.records, whole.records);
        for record in at_hand {
            self.put(record);
        }
        for entry in std::mem::replace(&mut self.unreadable, whole.unreadable) {
            if !self.unreadable.contains(&entry) {
                self.unreadable.push(entry);
            }
        }
        self.left = self.before.take();
        self.older = None;
    }

    /// Everything at hand as it is stored.
    fn entries(&self) -> impl Iterator<Item = Entry> {
        let records = self.records.iter().map(entry_of);
        records.chain(self.unreadable.iter().cloned()).chain(self.erased.clone())
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
    known: RefCell<KnownLog>,
    /// What was folded of it so far.
    history: RefCell<History>,
    made_good: Cell<MadeGood>,
    waiting: Waiting,
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
        let (mut known, mut missing) = KnownLog::of(entries, backend.spare());
        match forward {
            Some(forward) if known.goes_on_from(&forward) => known.before = Some(forward),
            Some(_) => (known, missing) = KnownLog::of(backend.read(None).await?, backend.spare()),
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
        let (known, made_good) = (RefCell::new(known), Cell::default());
        let waiting = Waiting::default();
        Ok(Self(Rc::new(Inner { backend, known, history, made_good, waiting })))
    }

    pub fn backend(&self) -> &B {
        &self.0.backend
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
        let stored = match self.0.backend.read(None).await {
            Err(BackendError::Lost | BackendError::Failed(_)) => {
                self.make_good().await?;
                self.0.backend.read(None).await?
            }
            read => read?,
        };
        let (whole, _) = KnownLog::of(stored, Vec::new());
        let mut known = self.0.known.borrow_mut();
        if whole.erased != known.erased || known.before.is_none() {
            return Ok(());
        }
        known.make_whole(whole);
        drop(known);
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
            known.older = Some(older);
            known.before = Some(left);
            self.0.history.replace(known.base());
        }
    }

    /// Notes facts, in order, and the verdicts that they bring about, all or none: no fact is stored without the
    /// verdicts that stand with it. They are part of the log at once; awaiting what is returned tells when they
    /// are safe. The writing itself begins before this returns.
    pub fn append(
        &self,
        facts: Vec<Fact>,
        stamp: &Stamp,
        random: fn() -> [u8; 10],
    ) -> Noted<impl Future<Output = Result<(), BackendError>> + use<B>> {
        let is_on_a_list = facts.iter().all(Fact::is_on_a_list);
        let events = self.events_of(facts, stamp, random).into_iter();
        let (last, facts) = self.put(events.map(Record::new));
        let verdicts = if is_on_a_list { 0 } else { self.put_due(stamp, random) };
        Noted { last, number: facts + verdicts, writing: self.save() }
    }

    /// Notes that a routine was accepted, exactly as its file has it.
    pub fn accept(
        &self,
        fact: Fact,
        routine_as_filed: &RawValue,
        stamp: &Stamp,
        random: fn() -> [u8; 10],
    ) -> Noted<impl Future<Output = Result<(), BackendError>> + use<B>> {
        let events = self.events_of(vec![fact], stamp, random).into_iter();
        let accepted = events.map(|event| Record::of_accepted(event, routine_as_filed));
        let (last, facts) = self.put(accepted);
        let verdicts = self.put_due(stamp, random);
        Noted { last, number: facts + verdicts, writing: self.save() }
    }

    /// Notes the verdicts that are due though nothing was noted: since the app was left, a session can no longer be
    /// gone on with, or a list of signs was.
    pub fn tell(
        &self,
        stamp: &Stamp,
        random: fn() -> [u8; 10],
    ) -> Option<Noted<impl Future<Output = Result<(), BackendError>> + use<B>>> {
        let number = self.put_due(stamp, random);
        (0 < number).then(|| Noted { last: None, number, writing: self.save() })
    }

    /// Puts the verdicts that are due into the log, after all that is in it; how many there were.
    fn put_due(&self, stamp: &Stamp, random: fn() -> [u8; 10]) -> usize {
        let due = self.caught_up().verdicts_due(stamp.at);
        let (_, number) = self.put(self.events_of(due, stamp, random).into_iter().map(Record::new));
        number
    }

    fn events_of(&self, facts: Vec<Fact>, stamp: &Stamp, random: fn() -> [u8; 10]) -> Vec<Event> {
        let mut last = self.last_in_reach(stamp);
        let event = |what| {
            let id = id_after(last, stamp, random);
            last = Some(id);
            Event { id, at: stamp.at, zone: stamp.zone.clone(), what }
        };
        facts.into_iter().map(event).collect()
    }

    /// Puts records into the log at hand, not safe yet; the last of them, and how many there were.
    fn put(&self, records: impl Iterator<Item = Record>) -> (Option<EventId>, usize) {
        let mut known = self.0.known.borrow_mut();
        let (mut last, mut number) = (None, 0);
        for record in records {
            (last, number) = (Some(record.id()), number + 1);
            known.unsaved.insert(record.id());
            known.put(record);
        }
        (last, number)
    }

    /// Writes a fact down without noting it: it is part of the log only once it is [kept](Self::keep).
    pub fn draft(&self, fact: Fact, stamp: &Stamp, random: fn() -> [u8; 10]) -> Option<Record> {
        self.events_of(vec![fact], stamp, random).pop().map(Record::new)
    }

    /// Notes what was drafted, as [`append`](Self::append) does.
    pub fn keep(
        &self,
        draft: Record,
    ) -> Noted<impl Future<Output = Result<(), BackendError>> + use<B>> {
        let (last, number) = self.put(std::iter::once(draft));
        Noted { last, number, writing: self.save() }
    }

    /// Writes everything that is not yet safe.
    pub fn save(&self) -> impl Future<Output = Result<(), BackendError>> + use<B> {
        let entries = self.unsaved();
        self.keep_spare(entries.clone());
        let writing = self.0.backend.write(&entries);
        let journal = self.clone();
        async move {
            match writing.await {
                Ok(()) => {}
                Err(why @ (BackendError::Full | BackendError::Blocked)) => return Err(why),
                // A connection can be lost in the background; a fresh one either works or says why not.
                Err(_) => return journal.make_good().await,
            }
            journal.settle(&entries);
            Ok(())
        }
    }

    /// Notes what was saved, and hands on to the second place what was not safe before: two writings that overlap
    /// both have what the first of them began with, and its lines are counted.
    fn settle(&self, saved: &[Entry]) {
        let mut known = self.0.known.borrow_mut();
        let is_new = |entry: &&Entry| {
            EventId::try_from(entry.key.clone()).map_or(true, |id| known.unsaved.remove(&id))
        };
        let new: Vec<Entry> = saved.iter().filter(is_new).cloned().collect();
        drop(known);
        self.hand_on(&new);
        self.keep_spare(self.unsaved());
    }

    /// Hands on to the second place what is safe since just now.
    fn hand_on(&self, new: &[Entry]) {
        if new.is_empty() {
            return;
        }
        let mut known = self.0.known.borrow_mut();
        let upto = match &mut known.second {
            Follows::Not => None,
            Follows::Joining(meanwhile) => {
                meanwhile.extend_from_slice(new);
                None
            }
            Follows::Upto(number) => {
                let last = *number;
                *number += new.len() as u64;
                Some(last)
            }
        };
        drop(known);
        if let (Some(last), Some(strip)) = (upto, self.0.backend.strip()) {
            // What fails here is told and made good when the two places are joined the next time.
            drop(Second::on(strip).append(&second::number(new, last)));
        }
    }

    /// Writes everything that is known and not stored, over a fresh connection: a browser may have thrown away
    /// what was stored while the log was open. What is not at hand comes from the second place.
    async fn make_good(&self) -> Result<(), BackendError> {
        self.0.backend.reconnect().await?;
        let stored = self.0.backend.read(None).await?;
        let there = second::by_key(&stored);
        if self.erased().as_deref() < there.get(ERASED).copied() {
            // Another window erased it. What this one still has is no part of what is there now.
            return Err(BackendError::Blocked);
        }
        let upto = self.0.known.borrow().before.as_ref().map(|before| before.upto().to_string());
        let lacks = |upto: &String| !there.contains_key(upto.as_str());
        let older =
            if upto.as_ref().is_some_and(lacks) { self.in_second().await } else { Vec::new() };
        let has = |upto: &String| older.iter().any(|entry| entry.key == *upto);
        let is_short = upto.as_ref().is_some_and(|upto| lacks(upto) && !has(upto));
        let (put_back, new) = self.missing_in(&there, older);
        let missing = [put_back.as_slice(), new.as_slice()].concat();
        self.0.backend.write(&missing).await.map_err(BackendError::after_reading)?;
        let before = self.0.made_good.get();
        self.0.made_good.set(MadeGood {
            put_back: before.put_back + put_back.len(),
            is_short: before.is_short || is_short,
        });
        self.settle(&new);
        Ok(())
    }

    /// What is known, or was held elsewhere, and is not there; and apart from it what is not called saved yet.
    fn missing_in(
        &self,
        there: &BTreeMap<&str, &str>,
        elsewhere: Vec<Entry>,
    ) -> (Vec<Entry>, Vec<Entry>) {
        let known = self.0.known.borrow();
        let (mut put_back, mut new): (Vec<Entry>, Vec<Entry>) = (Vec::new(), Vec::new());
        let held = second::by_key(&elsewhere);
        for entry in known.entries() {
            let id = EventId::try_from(entry.key.clone());
            if id.is_ok_and(|id| known.unsaved.contains(&id)) {
                new.push(entry);
            } else if !there.contains_key(entry.key.as_str())
                && !held.contains_key(entry.key.as_str())
            {
                put_back.push(entry);
            }
        }
        drop(held);
        let is_new = |entry: &Entry| !there.contains_key(entry.key.as_str());
        put_back.extend(elsewhere.into_iter().filter(is_new));
        (put_back, new)
    }

    /// What the second place holds of this log; nothing where there is none, or where it does not answer.
    async fn in_second(&self) -> Vec<Entry> {
        let Some(strip) = self.0.backend.strip() else { return Vec::new() };
        let Ok(ledger) = Second::on(strip).read().await else { return Vec::new() };
        let standing = second::standing(&ledger.lines);
        if standing.get(ERASED).copied() < self.erased().as_deref() {
            return Vec::new();
        }
        standing.into_iter().map(second::entry).collect()
    }

    /// Joins the second place and the database: what one of them lacks is put back from the other, and what is
    /// damaged in the second is written anew. Where they hold as much, up to the same entry, neither is read,
    /// unless they are looked through.
    pub async fn join_second(&self, look: Look) -> Result<Joined, BackendError> {
        let Some(strip) = self.0.backend.strip() else { return Ok(Joined::OnePlace) };
        let place = Second::on(strip);
        if self.is_joining() {
            // It is being done.
            return Ok(Joined::Whole);
        }
        self.0.known.borrow_mut().second = Follows::Joining(Vec::new());
        let mut joined = self.join(&place, look).await;
        if matches!(joined, Err(BackendError::Lost | BackendError::Failed(_))) {
            // The database may have been thrown away meanwhile: what is known is written first.
            joined = match self.make_good().await {
                Ok(()) => self.join(&place, Look::Through).await,
                Err(why) => Err(why),
            };
        }
        if joined.is_err() {
            self.0.known.borrow_mut().second = Follows::Not;
        }
        self.0.waiting.tell();
        joined
    }

    fn is_joining(&self) -> bool {
        matches!(self.0.known.borrow().second, Follows::Joining(_))
    }

    /// Completes once the second place has what the database has: see [`Waiting::until_handed_on`].
    pub async fn handed_on(&self) {
        let is_followed = || matches!(self.0.known.borrow().second, Follows::Upto(_));
        let follows = || self.0.backend.strip().filter(|_| is_followed());
        self.0.waiting.until_handed_on(|| self.is_joining(), follows).await;
    }

    async fn join<S: Strip>(&self, place: &Second<S>, look: Look) -> Result<Joined, BackendError> {
        let last = if look == Look::AtTheEnd { place.last().await? } else { None };
        let count = self.0.backend.count().await?;
        self.note_count(count);
        if let Some(last) = last
            && last.number == count as u64
            && self.has_at_hand(&last.key)
            && self.follow_from(last.number)
        {
            return Ok(Joined::Whole);
        }
        let stored = self.0.backend.read(None).await?;
        let ledger = place.read().await?;
        let standing = second::standing(&ledger.lines);
        let there = second::by_key(&stored);
        let (mark, marked) = (there.get(ERASED).copied(), standing.get(ERASED).copied());
        // The log may be erased by now.
        if !self.is_joining() {
            return Ok(Joined::Whole);
        }
        if marked < mark {
            // Nothing of what was erased comes back.
            place.replace(&second::number(&stored, 0)).await?;
            self.follow_after(stored.len() as u64, &stored);
            return Ok(Joined::Whole);
        }
        let mut put_back = Vec::new();
        for (key, text) in &standing {
            if !there.contains_key(key) || (*key == ERASED && marked != mark) {
                put_back.push(second::entry((key, text)));
            }
        }
        let add: Vec<Entry> = stored
            .iter()
            .filter(|entry| !standing.contains_key(entry.key.as_str()))
            .cloned()
            .collect();
        if !put_back.is_empty() {
            self.0.backend.write(&put_back).await?;
            self.take_back(&stored, &put_back);
        }
        if !self.is_joining() {
            return Ok(Joined::Whole);
        }
        let held = (standing.len() + add.len()) as u64;
        let lacks = if add.is_empty() {
            // The last line says again how many there are.
            let last = ledger.lines.last().filter(|line| line.number != held);
            let again =
                |line: &Line| Some(Entry { key: line.key.clone(), text: line.text.clone()? });
            let again = last.and_then(again).map(|entry| second::number(&[entry], held - 1));
            again.unwrap_or_default()
        } else {
            second::number(&add, standing.len() as u64)
        };
        // After a text that could not be written, none is before all is written anew.
        let is_damaged = 0 < ledger.unreadable;
        let is_added = !is_damaged && (lacks.is_empty() || place.append(&lacks).await.is_ok());
        if !is_added {
            let mut all: Vec<Entry> = standing.into_iter().map(second::entry).collect();
            all.extend(add);
            place.replace(&second::number(&all, 0)).await?;
        }
        let mut whole = stored;
        let count = put_back.len();
        let before = self.0.made_good.get();
        self.0.made_good.set(MadeGood { put_back: before.put_back + count, ..before });
        whole.extend(put_back);
        self.note_count(whole.len());
        self.follow_after(held, &whole);
        Ok(if count == 0 { Joined::Whole } else { Joined::PutBack(count) })
    }

    /// Whether an entry is among what is at hand.
    fn has_at_hand(&self, key: &str) -> bool {
        let known = self.0.known.borrow();
        if key == ERASED {
            return known.erased.is_some();
        }
        EventId::try_from(key.to_owned()).is_ok_and(|id| {
            known.records.binary_search_by_key(&id, Record::id).is_ok()
                || known.before.as_ref().is_some_and(|before| before.upto() == id)
        })
    }

    /// Lets the second place follow from here on, unless something was saved meanwhile.
    fn follow_from(&self, number: u64) -> bool {
        let mut known = self.0.known.borrow_mut();
        let is_still = matches!(&known.second, Follows::Joining(late) if late.is_empty());
        if is_still {
            known.second = Follows::Upto(number);
        }
        is_still
    }

    /// Lets the second place follow, with what was saved while it was joined and it does not have.
    fn follow_after(&self, number: u64, has: &[Entry]) {
        let mut known = self.0.known.borrow_mut();
        let followed = std::mem::replace(&mut known.second, Follows::Upto(number));
        drop(known);
        if let Follows::Joining(mut late) = followed {
            late.retain(|entry| !has.iter().any(|has| has.key == entry.key));
            self.hand_on(&late);
        }
    }

    /// Takes what was put back into the log at hand.
    fn take_back(&self, stored: &[Entry], put_back: &[Entry]) {
        let mut known = self.0.known.borrow_mut();
        if known.before.is_some() {
            known.make_whole(KnownLog::of(stored.to_vec(), Vec::new()).0);
        }
        (known.left, known.to_keep) = (None, None);
        for entry in put_back {
            known.take_in(entry.clone());
        }
        drop(known);
        self.0.history.replace(History::default());
    }

    /// What was made good so far of a storage that had lost something.
    pub fn made_good(&self) -> MadeGood {
        self.0.made_good.get()
    }

    fn note_count(&self, stored: usize) {
        let mut known = self.0.known.borrow_mut();
        let at_hand = known.entries().count() - known.unsaved.len();
        known.older = Some(stored.saturating_sub(at_hand));
    }

    /// Counts what is stored, where that is not known yet.
    pub async fn count_stored(&self) -> Result<(), BackendError> {
        if !self.is_whole() && self.0.known.borrow().older.is_none() {
            self.note_count(self.0.backend.count().await?);
        }
        Ok(())
    }

    /// How many entries of the log are safe, if that is known by now.
    pub fn count_saved(&self) -> Option<usize> {
        let known = self.0.known.borrow();
        let older = if known.before.is_none() { Some(0) } else { known.older };
        let at_hand = known.records.len() + known.unreadable.len();
        Some(older? + at_hand.saturating_sub(known.unsaved.len()))
    }

    /// The mark that an erasing left.
    pub fn erased(&self) -> Option<String> {
        self.0.known.borrow().erased.as_ref().map(|mark| mark.text.clone())
    }

    fn unsaved_records(&self) -> Vec<Record> {
        let known = self.0.known.borrow();
        let is_unsaved = |record: &&Record| known.unsaved.contains(&record.id());
        known.records.iter().filter(is_unsaved).cloned().collect()
    }

    fn unsaved(&self) -> Vec<Entry> {
        let known = self.0.known.borrow();
        let unsafe_yet = known.records.iter().filter(|record| known.unsaved.contains(&record.id()));
        let entries = unsafe_yet.map(entry_of);
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
        let next = id_after(self.last_in_reach(stamp), stamp, random);
        let upto = self.last_id().map_or(next, |last| last.max(next));
        let mark = Entry { key: ERASED.to_owned(), text: upto.to_string() };
        self.0.known.borrow_mut().to_keep = None;
        let journal = self.clone();
        async move {
            // The second place first: should the rest fail, everything is still stored.
            journal.0.known.borrow_mut().second = Follows::Not;
            if let Some(strip) = journal.0.backend.strip() {
                Second::on(strip).replace(&second::number(std::slice::from_ref(&mark), 0)).await?;
            }
            match journal.0.backend.clear(&mark).await {
                Err(BackendError::Lost | BackendError::Failed(_)) => {
                    journal.0.backend.reconnect().await?;
                    journal.0.backend.clear(&mark).await?;
                }
                cleared => cleared?,
            }
            let mut known = journal.0.known.borrow_mut();
            known.records.retain(|record| upto < record.id());
            (known.before, known.left, known.older) = (None, None, None);
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
        self.caught_up().clone()
    }

    fn caught_up(&self) -> RefMut<'_, History> {
        let known = self.0.known.borrow();
        let mut history = self.0.history.borrow_mut();
        history.catch_up(known.records.iter().map(|record| &record.event));
        history
    }

    /// The records at hand: all of them, if the log is [whole](Self::is_whole).
    pub fn records(&self) -> Vec<Record> {
        self.0.known.borrow().records.clone()
    }

    /// The last event noted.
    pub fn last_id(&self) -> Option<EventId> {
        self.0.known.borrow().records.last().map(Record::id)
    }

    /// The last event noted that is not far ahead of the clock.
    fn last_in_reach(&self, stamp: &Stamp) -> Option<EventId> {
        let known = self.0.known.borrow();
        let mut ids = known.records.iter().rev().map(Record::id);
        ids.find(|id| !id.is_out_of_reach(millis(stamp)))
    }

    /// Stored texts that could not be read, as they are.
    pub fn unreadable(&self) -> Vec<Entry> {
        self.0.known.borrow().unreadable.clone()
    }
}

fn id_after(last: Option<EventId>, stamp: &Stamp, random: fn() -> [u8; 10]) -> EventId {
    EventId::after(last, millis(stamp), random())
}

fn millis(stamp: &Stamp) -> u64 {
    u64::try_from(stamp.at.timestamp_millis()).unwrap_or(0)
}

fn entry_of(record: &Record) -> Entry {
    Entry { key: record.id().to_string(), text: record.text().to_owned() }
}

fn take_mark(entries: &mut Vec<Entry>) -> Option<Entry> {
    let at = entries.iter().position(|entry| entry.key == ERASED)?;
    Some(entries.swap_remove(at))
}

#[cfg(test)]
mod tests {
    use pollster::block_on;

    use super::*;
    use crate::store::backend::File;

    #[derive(Clone, Default)]
    struct Memory {
        entries: Rc<RefCell<Vec<Entry>>>,
        forward: Rc<RefCell<Option<Entry>>>,
        spare: Rc<RefCell<Vec<Entry>>>,
        full: Rc<Cell<bool>>,
    }

    /// A browser that has no files.
    #[derive(Clone)]
    struct NoFiles;

    impl Strip for NoFiles {
        fn read(
            &self,
            _file: File,
            _last: Option<u32>,
        ) -> impl Future<Output = Result<Vec<u8>, BackendError>> + use<> {
            std::future::ready(Err(BackendError::Denied))
        }

        fn append(&self, _text: &str) -> impl Future<Output = Result<(), BackendError>> + use<> {
            std::future::ready(Err(BackendError::Denied))
        }

        fn write(
            &self,
            _file: File,
            _text: &str,
        ) -> impl Future<Output = Result<(), BackendError>> + use<> {
            std::future::ready(Err(BackendError::Denied))
        }

        fn answered(&self) -> impl Future<Output = ()> + use<> {
            std::future::ready(())
        }
    }

    impl Backend for Memory {
        type Strip = NoFiles;

        fn strip(&self) -> Option<NoFiles> {
            None
        }

        fn reconnect(&self) -> impl Future<Output = Result<(), BackendError>> {
            std::future::ready(Ok(()))
        }

        fn count(&self) -> impl Future<Output = Result<usize, BackendError>> {
            std::future::ready(Ok(self.entries.borrow().len()))
        }

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
        assert_eq!(again.history().notes().len(), 2);
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
        assert_eq!(journal.history().notes().len(), 1);
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
        assert_eq!(again.history().notes().len(), 1);
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

    /// Whoever makes a log up to end all others takes no later fact away.
    #[test]
    fn what_is_noted_after_an_id_from_the_far_future_is_kept_in_order() {
        let place = Memory::default();
        let journal = block_on(Journal::open(place.clone())).unwrap();
        let id = EventId::after(None, u64::MAX, [255; 10]);
        let made_up = Event { id, at: stamp().at, zone: None, what: note("made up") };
        block_on(journal.merge(&[Record::new(made_up.clone())]).unwrap()).unwrap();
        for text in ["one", "two", "three"] {
            block_on(journal.append(vec![note(text), note(text)], &stamp(), || [9; 10])).unwrap();
        }
        let again = block_on(Journal::open(place.clone())).unwrap();
        assert!(again.unreadable().is_empty());
        let texts: Vec<Fact> =
            again.records().into_iter().map(|record| record.event.what).collect();
        let noted = ["one", "one", "two", "two", "three", "three", "made up"].map(note);
        assert_eq!(texts, noted);
        block_on(journal.erase(&stamp(), || [0; 10])).unwrap();
        assert!(journal.records().is_empty());
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
        assert_eq!(again.history().notes().len(), 1);
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
