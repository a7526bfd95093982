//! The whole job over a storage that fails once, at the first call, the second, the third, until a run passes
//! with no fault left to inject: nothing that was shown as saved is lost, nothing is doubled, every failure
//! has words, and in the end the log is the same, letter for letter, as without any fault.

#![expect(clippy::unwrap_used, reason = "a job that cannot be done must fail its test")]

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::future::{Ready, ready};
use std::pin::{Pin, pin};
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::task::{Context, Wake, Waker};

use carryover::domain::event_id::EventId;
use carryover::domain::log::event::{Ending, Event, Fact, Planned, SetRef};
use carryover::domain::log::history::History;
use carryover::domain::log::rule::{Order, Swelling};
use carryover::domain::pain::PainRating;
use carryover::domain::words::Words;
use carryover::exchange::file::{self, File};
use carryover::exchange::record::Record;
use carryover::store::backend::{Backend, BackendError, Entry};
use carryover::store::journal::{Journal, Stamp};
use carryover::store::second::Look;
use carryover::ui::text::refusals::InWords;
use pollster::block_on;
use strip::{Files, Write};

#[path = "support/strip.rs"]
mod strip;

/// What a failing call leaves behind.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Fault {
    /// The storage is full: nothing was written.
    Full,
    /// The connection is lost once all of it was written: only the answer does not arrive.
    LostAnswer,
    /// The browser throws the database away, and with it the connection. Files are not touched.
    ThrownAway,
    /// Another window has the file beside it open. The database is not touched.
    Held,
}

impl Fault {
    fn strikes_the_spare(self) -> bool {
        matches!(self, Self::Full | Self::LostAnswer)
    }
}

/// What the client does when a write failed.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Client {
    TriesAgain,
    /// The app dies, and is opened anew.
    OpensAnew,
    /// Goes on, so that the next write makes it good.
    GoesOn,
}

/// Counts every call to any storage, and lets one of them fail.
#[derive(Clone)]
struct Faults {
    calls: Rc<Cell<usize>>,
    at: usize,
    fault: Fault,
}

impl Faults {
    fn strikes(&self) -> bool {
        self.calls.set(self.calls.get() + 1);
        self.calls.get() == self.at
    }

    fn strikes_by_now(&self) -> bool {
        0 < self.at && self.at <= self.calls.get()
    }
}

/// One phone's storage: texts by key, what was brought forward from them, the files beside them, and what waits
/// for the next page.
#[derive(Clone)]
struct Phone {
    entries: Rc<RefCell<BTreeMap<String, String>>>,
    forward: Rc<RefCell<Option<Entry>>>,
    spare: Rc<RefCell<Vec<Entry>>>,
    files: Files,
    is_in_touch: Rc<Cell<bool>>,
    faults: Faults,
}

impl Phone {
    fn new(faults: &Faults) -> Self {
        let entries: Rc<RefCell<BTreeMap<String, String>>> = Rc::default();
        let forward: Rc<RefCell<Option<Entry>>> = Rc::default();
        let is_in_touch = Rc::new(Cell::new(true));
        let (at, place) = (faults.clone(), (entries.clone(), forward.clone(), is_in_touch.clone()));
        let files = Files::that(move || match (at.strikes(), at.fault) {
            (false, _) => Write::Done,
            (true, Fault::Full) => Write::Half,
            (true, Fault::LostAnswer) => Write::LostAnswer,
            (true, Fault::Held) => Write::Held,
            (true, Fault::ThrownAway) => {
                throw_away(&place.0, &place.1, &place.2);
                Write::Done
            }
        });
        let (spare, faults) = (Rc::default(), faults.clone());
        Self { entries, forward, spare, files, is_in_touch, faults }
    }

    /// Opened by a page that is just loaded.
    fn anew(&self) -> Self {
        self.is_in_touch.set(true);
        Self { files: self.files.anew(), ..self.clone() }
    }

    /// Does something to the storage, or fails.
    fn answer<T>(&self, act: impl FnOnce() -> T) -> Ready<Result<T, BackendError>> {
        let strikes = self.faults.strikes();
        if strikes && self.faults.fault == Fault::ThrownAway {
            throw_away(&self.entries, &self.forward, &self.is_in_touch);
        }
        if !self.is_in_touch.get() {
            return ready(Err(BackendError::Lost));
        }
        ready(match (strikes, self.faults.fault) {
            (true, Fault::Full) => Err(BackendError::Full),
            (true, Fault::LostAnswer) => {
                act();
                Err(BackendError::Lost)
            }
            (true, Fault::ThrownAway | Fault::Held) | (false, _) => Ok(act()),
        })
    }
}

fn throw_away(
    entries: &RefCell<BTreeMap<String, String>>,
    forward: &RefCell<Option<Entry>>,
    is_in_touch: &Cell<bool>,
) {
    entries.borrow_mut().clear();
    *forward.borrow_mut() = None;
    is_in_touch.set(false);
}

impl Backend for Phone {
    type Strip = Files;

    fn strip(&self) -> Option<Files> {
        Some(self.files.clone())
    }

    fn reconnect(&self) -> impl Future<Output = Result<(), BackendError>> {
        self.is_in_touch.set(true);
        self.answer(|| ())
    }

    fn count(&self) -> impl Future<Output = Result<usize, BackendError>> {
        self.answer(|| self.entries.borrow().len())
    }

    fn read(&self, after: Option<&str>) -> impl Future<Output = Result<Vec<Entry>, BackendError>> {
        let entry =
            |(key, text): (&String, &String)| Entry { key: key.clone(), text: text.clone() };
        let is_later =
            |(key, _): &(&String, &String)| after.is_none_or(|after| after < key.as_str());
        self.answer(|| self.entries.borrow().iter().filter(is_later).map(entry).collect())
    }

    fn write(&self, entries: &[Entry]) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.answer(|| {
            let pairs = entries.iter().map(|entry| (entry.key.clone(), entry.text.clone()));
            self.entries.borrow_mut().extend(pairs);
            let no_longer_stands =
                |forward: &mut Entry| entries.iter().any(|entry| entry.key <= forward.key);
            self.forward.borrow_mut().take_if(no_longer_stands);
        })
    }

    fn brought_forward(&self) -> impl Future<Output = Result<Option<Entry>, BackendError>> {
        self.answer(|| self.forward.borrow().clone())
    }

    fn bring_forward(
        &self,
        forward: &Entry,
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.answer(|| *self.forward.borrow_mut() = Some(forward.clone()))
    }

    fn clear(&self, leave: &Entry) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.answer(|| {
            *self.entries.borrow_mut() = [(leave.key.clone(), leave.text.clone())].into();
            *self.forward.borrow_mut() = None;
        })
    }

    fn spare(&self) -> Vec<Entry> {
        let fails = self.faults.strikes() && self.faults.fault.strikes_the_spare();
        if fails { Vec::new() } else { self.spare.borrow().clone() }
    }

    fn keep_spare(&self, entries: &[Entry]) {
        let fails = self.faults.strikes() && self.faults.fault.strikes_the_spare();
        if !fails {
            *self.spare.borrow_mut() = entries.to_vec();
        }
    }
}

/// The app on one phone, and what its client was shown as saved.
struct App {
    phone: Phone,
    client: Client,
    journal: Journal<Phone>,
    shown_as_saved: BTreeSet<EventId>,
}

impl App {
    fn open(phone: Phone, client: Client) -> Self {
        let journal = open(&phone);
        Self { phone, client, journal, shown_as_saved: BTreeSet::new() }
    }

    fn open_anew(&mut self) {
        if let Err(why) = block_on(self.journal.join_second(Look::Through)) {
            expect_words(&why.in_words());
        }
        self.journal = open(&self.phone);
        self.look();
        block_on(self.journal.keep_brought_forward());
    }

    /// The whole log is asked for; where it cannot be read that is told, and it is asked for again.
    fn read_whole(&self) {
        if let Err(why) = block_on(self.journal.read_whole()) {
            expect_words(&why.in_words());
            block_on(self.journal.read_whole()).unwrap();
        }
    }

    /// What was shown as saved is there; and all of it is shown so now if all of it is.
    fn look(&mut self) {
        self.expect_told();
        let at_hand = self.journal.records().into_iter().map(|record| record.id());
        let left = self.phone.entries.borrow().keys().cloned().collect::<Vec<_>>();
        let left = left.into_iter().filter(|_| !self.journal.is_whole());
        let left = left.filter_map(|key| EventId::try_from(key).ok());
        let ids: BTreeSet<EventId> = at_hand.chain(left).collect();
        let is_thrown_away = !self.phone.is_in_touch.get();
        if is_thrown_away {
            // The page does not know it yet. What it does next makes it good.
            return;
        }
        let lost: Vec<_> = self.shown_as_saved.difference(&ids).collect();
        assert!(lost.is_empty(), "shown as saved, and lost: {lost:?}");
        if self.journal.is_saved() {
            let stored = self.phone.entries.borrow();
            assert!(
                ids.iter().all(|id| stored.contains_key(&id.to_string())),
                "called saved too soon"
            );
            self.shown_as_saved = ids;
        }
    }

    fn written(&mut self, answer: Result<(), BackendError>) {
        if let Err(why) = answer {
            expect_words(&why.in_words());
            match self.client {
                Client::TriesAgain => block_on(self.journal.save()).unwrap(),
                Client::OpensAnew => self.journal = open(&self.phone),
                Client::GoesOn => {}
            }
        }
        self.look();
    }

    fn note(&mut self, at: &str, facts: Vec<Fact>) -> EventId {
        let noted = self.journal.append(facts, &stamp(at), || [0; 10]);
        let last = noted.last.unwrap();
        self.written(block_on(noted));
        last
    }

    /// Whenever the app is killed, the log is left with the verdicts that its facts brought about.
    fn expect_told(&self) {
        let entries = self.phone.entries.borrow();
        let events: Vec<Event> = entries
            .iter()
            .filter(|(key, _)| EventId::try_from((*key).clone()).is_ok())
            .map(|(_, text)| Record::parse(text).unwrap().event)
            .collect();
        if let Some(last) = events.last() {
            assert_eq!(History::fold(&events).verdicts_due(last.at), [], "left untold");
        }
    }

    fn restore(&mut self, copy: &str) {
        self.read_whole();
        let Ok(File::Log(records)) = file::parse(copy) else { panic!("a log") };
        let answer = block_on(self.journal.merge(&records).unwrap());
        self.written(answer);
    }

    /// Erases everything; where that fails, it is tried again as by hand.
    fn erase(&mut self, at: &str) {
        let before = self.phone.entries.borrow().clone();
        if let Err(why) = block_on(self.journal.erase(&stamp(at), || [0; 10])) {
            expect_words(&why.in_words());
            let is_whole = *self.phone.entries.borrow() == before;
            let is_gone = self.phone.entries.borrow().len() <= 1;
            assert!(is_whole || is_gone, "all or nothing");
            if self.client == Client::OpensAnew {
                self.journal = open(&self.phone);
            }
            block_on(self.journal.erase(&stamp(at), || [0; 10])).unwrap();
        }
        assert!(self.journal.is_erased() && self.journal.records().is_empty());
        self.shown_as_saved.clear();
    }

    fn copy(&self) -> String {
        self.read_whole();
        file::print_log(&self.journal.records())
    }
}

/// Opens the log; where that fails the client is told why, and opens the app once more.
fn open(phone: &Phone) -> Journal<Phone> {
    let journal = block_on(Journal::open(phone.anew())).unwrap_or_else(|why| {
        expect_words(&why.in_words());
        block_on(Journal::open(phone.anew())).unwrap()
    });
    // As the app does: before anything is shown where the database is empty, and else soon after.
    if let Err(why) = block_on(journal.join_second(Look::AtTheEnd)) {
        expect_words(&why.in_words());
    }
    journal
}

fn expect_words(why: &str) {
    assert!(why.len() > 20 && why.contains(' ') && why.contains("storage"), "{why:?}");
}

fn stamp(at: &str) -> Stamp {
    Stamp { at: at.parse().unwrap(), zone: None }
}

fn rating(points: i64) -> PainRating {
    PainRating::new(points).unwrap()
}

/// Takes a routine on, trains an evening, answers the morning, goes on for weeks, hands the log back, moves to a new phone,
/// erases the old one and restores it. Gives the logs of both phones.
fn whole_job(faults: &Faults, client: Client) -> [String; 2] {
    let mut app = App::open(Phone::new(faults), client);
    let routine = include_str!("fixtures/small-routine.json");
    let Ok(File::Routine(file)) = file::parse(routine) else { panic!("a routine") };
    let accepted = Fact::RoutineAccepted { routine: Box::new(file.routine.clone()) };
    let evening = "2026-11-25T18:00:00+01:00";
    let answer =
        block_on(app.journal.accept(accepted, &file.as_filed, &stamp(evening), || [0; 10]));
    app.written(answer);

    let today = stamp(evening).at.date_naive();
    let lines = app.journal.history().today(today);
    let [line] = lines.as_slice() else { panic!("one exercise") };
    let (exercise, from) = (line.exercise.id.clone(), line.foothold);
    let started = Fact::SessionStarted {
        routine: file.routine.id.clone(),
        version: file.routine.version,
        at_rest: Some(rating(2)),
        worked_today: None,
        plan: vec![Planned { exercise: exercise.clone(), from }],
    };
    let session = app.note(evening, vec![started.clone()]);
    for (number, points) in [(1, 2), (2, 1), (3, 2)] {
        let set = SetRef { session, exercise: exercise.clone(), number };
        let done = Fact::SetEnded {
            set: set.clone(),
            rung: from.rung,
            reps: 5,
            work_secs: 25,
            ending: Ending::Complete,
        };
        let at = format!("2026-11-25T18:{:02}:00+01:00", 5 * number);
        app.note(&at, vec![done]);
        app.note(&at, vec![Fact::SetRated { set, rating: rating(points), site: None }]);
    }
    let open = app.journal.history();
    assert_eq!(open.open_session(stamp(evening).at).map(|open| open.id), Some(session));
    app.note("2026-11-25T18:20:00+01:00", vec![Fact::SessionEnded { session }]);

    app.open_anew();
    let morning = "2026-11-26T07:00:00+01:00";
    let owed = app.journal.history().owed_morning(stamp(morning).at).unwrap();
    let ratings = owed.exercises.into_iter().map(|exercise| (exercise, rating(2))).collect();
    let swelling = Swelling::NoMore;
    app.note(morning, vec![Fact::MorningAnswered { after: owed.after, ratings, swelling }]);

    // Weeks later, the first days are brought forward.
    for day in ["2026-12-03", "2026-12-10"] {
        app.open_anew();
        let session = app.note(&format!("{day}T18:00:00+01:00"), vec![started.clone()]);
        let set = SetRef { session, exercise: exercise.clone(), number: 1 };
        let (rung, ending) = (from.rung, Ending::Complete);
        let done = Fact::SetEnded { set: set.clone(), rung, reps: 5, work_secs: 25, ending };
        let rated = Fact::SetRated { set, rating: rating(1), site: None };
        let ended = Fact::SessionEnded { session };
        app.note(&format!("{day}T18:05:00+01:00"), vec![done, rated, ended]);
    }
    app.open_anew();
    let is_forward_kept = app.phone.forward.borrow().is_some();
    assert!(faults.strikes_by_now() || (is_forward_kept && !app.journal.is_whole()));

    let later = "2026-12-10T18:06:00+01:00";
    let note = app.journal.draft(Fact::HandedBack, &stamp(later), || [0; 10]).unwrap();
    let answer = block_on(app.journal.keep(note));
    app.written(answer);
    let copy = app.copy();

    let mut new_phone = App::open(Phone::new(faults), client);
    new_phone.restore(&copy);
    new_phone.restore(&copy);
    app.erase("2026-12-10T19:00:00+01:00");
    app.open_anew();
    app.restore(&copy);

    // Whatever is left unsaved by a client who goes on is made good at the next start.
    for app in [&mut app, &mut new_phone] {
        app.open_anew();
        assert!(app.journal.is_saved());
        app.open_anew();
        let verdict = app.journal.history().told().last().map(|told| told.order);
        assert_eq!(verdict, Some(Order::KeepNotCounted));
    }
    [app.copy(), new_phone.copy()]
}

/// Lets each storage call of the job fail in turn, for each manner of client.
fn fail_each_in_turn(fault: Fault) {
    let run = |at, client| {
        let faults = Faults { calls: Rc::default(), at, fault };
        let logs = whole_job(&faults, client);
        (logs, faults.calls.get())
    };
    let (without, _) = run(0, Client::TriesAgain);
    assert_eq!(without[0], without[1]);
    for client in [Client::TriesAgain, Client::OpensAnew, Client::GoesOn] {
        let mut at = 1;
        loop {
            let (logs, calls) = run(at, client);
            assert_eq!(logs, without, "{fault:?} at call {at}, the client {client:?}");
            if calls < at {
                break;
            }
            at += 1;
        }
        assert!(100 < at, "only {at} calls were made to fail");
    }
}

#[test]
fn whichever_call_finds_no_room_nothing_shown_as_saved_is_lost_and_nothing_is_doubled() {
    fail_each_in_turn(Fault::Full);
}

#[test]
fn whichever_answer_is_lost_nothing_shown_as_saved_is_lost_and_nothing_is_doubled() {
    fail_each_in_turn(Fault::LostAnswer);
}

#[test]
fn at_whichever_call_the_database_is_thrown_away_nothing_shown_as_saved_is_lost() {
    fail_each_in_turn(Fault::ThrownAway);
}

#[test]
fn whichever_call_finds_the_file_held_nothing_shown_as_saved_is_lost_and_nothing_is_doubled() {
    fail_each_in_turn(Fault::Held);
}

/// A phone on which nothing fails, with a few notes on it and the second place beside them.
fn phone_with_notes() -> (Phone, Vec<EventId>) {
    notes_on(&Faults { calls: Rc::default(), at: 0, fault: Fault::Full })
}

fn notes_on(faults: &Faults) -> (Phone, Vec<EventId>) {
    let phone = Phone::new(faults);
    let journal = open(&phone);
    for words in ["the staircase was wet", "slept badly", "the rucksack was heavy"] {
        let note = Fact::Note { text: Words::new(words).unwrap(), session: None };
        block_on(journal.append(vec![note], &stamp("2026-11-25T18:00:00+01:00"), || [7; 10]))
            .unwrap();
    }
    let ids = journal.records().iter().map(Record::id).collect();
    (phone, ids)
}

#[test]
fn a_damaged_second_place_puts_nothing_back_that_was_not_there_and_is_written_anew() {
    let (phone, ids) = phone_with_notes();
    let (lines, stored) = (phone.files.lines(), phone.entries.borrow().clone());
    let whole = lines.borrow().clone();
    for at in 0..8 * whole.len() {
        let mut damaged = whole.clone();
        damaged[at / 8] ^= 1 << (at % 8);
        expect_no_harm(&phone, &damaged, &ids, &stored);
    }
    for cut in 0..whole.len() {
        expect_no_harm(&phone, &whole[..cut], &ids, &stored);
    }
}

/// With the database, the file is made whole again; without it, what comes back is what was there.
fn expect_no_harm(
    phone: &Phone,
    damaged: &[u8],
    ids: &[EventId],
    stored: &BTreeMap<String, String>,
) {
    let lines = phone.files.lines();
    *lines.borrow_mut() = damaged.to_vec();
    phone.entries.borrow_mut().clear();
    let alone = open(phone);
    assert!(alone.unreadable().is_empty());
    let back = phone.entries.borrow().clone();
    assert!(back.iter().all(|(key, text)| stored.get(key) == Some(text)), "misread");
    assert!(alone.records().iter().all(|record| ids.contains(&record.id())));

    *lines.borrow_mut() = damaged.to_vec();
    *phone.entries.borrow_mut() = stored.clone();
    let journal = open(phone);
    block_on(journal.join_second(Look::Through)).unwrap();
    assert_eq!(journal.made_good().put_back, 0);
    phone.entries.borrow_mut().clear();
    let again = open(phone);
    assert_eq!(again.records().len(), ids.len());
    assert_eq!(*phone.entries.borrow(), *stored);
}

/// The page stays open: its worker has failed, and writes nothing more before all is written anew.
#[test]
fn whichever_call_of_joining_fails_it_is_made_good_by_joining_again() {
    for fault in [Fault::Full, Fault::LostAnswer, Fault::Held] {
        let behind = |at| {
            let calls = Rc::default();
            let (phone, _) = notes_on(&Faults { calls: Rc::clone(&calls), at, fault });
            let lines = phone.files.lines();
            let whole = lines.borrow().clone();
            let last = whole.iter().rposition(|byte| *byte == b'\n').unwrap();
            lines.borrow_mut().truncate(last);
            (block_on(Journal::open(phone.anew())).unwrap(), lines, whole, calls)
        };
        let (journal, lines, whole, calls) = behind(0);
        let before = calls.get();
        block_on(journal.join_second(Look::AtTheEnd)).unwrap();
        assert_eq!(*lines.borrow(), whole);
        assert!(before + 5 < calls.get());
        for at in before + 1..=calls.get() {
            let (journal, lines, whole, _) = behind(at);
            drop(block_on(journal.join_second(Look::AtTheEnd)));
            block_on(journal.join_second(Look::AtTheEnd)).unwrap();
            let keys = |lines: &[u8]| {
                let lines = carryover::exchange::ledger::parse(lines).lines;
                lines.into_iter().map(|line| line.key).collect::<BTreeSet<_>>()
            };
            assert_eq!(keys(&lines.borrow()), keys(&whole), "{fault:?} at call {at}");
        }
    }
}

/// A number that runs ahead would hide a line that was lost behind it.
#[test]
fn what_two_writings_have_that_overlap_is_one_line_of_the_second_place() {
    let (phone, _) = phone_with_notes();
    let journal = open(&phone);
    let note = |words: &str| Fact::Note { text: Words::new(words).unwrap(), session: None };
    let at = stamp("2026-11-25T18:10:00+01:00");
    let writings = ["a warm day", "a long round"]
        .map(|words| journal.append(vec![note(words)], &at, || [9; 10]));
    for writing in writings {
        block_on(writing).unwrap();
    }
    let lines = phone.files.lines();
    let ledger = carryover::exchange::ledger::parse(&lines.borrow());
    let numbers: Vec<u64> = ledger.lines.iter().map(|line| line.number).collect();
    assert_eq!(numbers, (1..=5).collect::<Vec<u64>>());

    // The app dies between the database and the file, which the next page notices.
    let whole = lines.borrow().clone();
    let last = whole.iter().rposition(|byte| *byte == b'\n').unwrap();
    lines.borrow_mut().truncate(last);
    drop(open(&phone));
    assert_eq!(*lines.borrow(), whole);
}

/// What waits is asked again only once it is told, as in a browser.
fn is_done(waiting: Pin<&mut impl Future<Output = ()>>, told: &Arc<Told>) -> bool {
    let is_told = told.0.swap(false, Ordering::Relaxed);
    is_told && waiting.poll(&mut Context::from_waker(&Waker::from(Arc::clone(told)))).is_ready()
}

struct Told(AtomicBool);

impl Wake for Told {
    fn wake(self: Arc<Self>) {
        self.0.store(true, Ordering::Relaxed);
    }
}

#[test]
fn what_was_handed_on_is_so_once_the_second_place_has_answered() {
    let (phone, _) = phone_with_notes();
    let journal = open(&phone);
    phone.files.slow(true);
    let told = Arc::new(Told(AtomicBool::new(true)));
    let mut waiting = pin!(journal.handed_on());
    assert!(!is_done(waiting.as_mut(), &told));
    phone.files.slow(false);
    told.0.store(true, Ordering::Relaxed);
    assert!(is_done(waiting, &told));
}

/// Whichever call of the joining fails, or none.
#[test]
fn whoever_waits_while_the_places_are_joined_is_told_at_the_end_however_it_ends() {
    let join = |at, fault| {
        let calls = Rc::default();
        let (phone, _) = notes_on(&Faults { calls: Rc::clone(&calls), at, fault });
        let page = phone.anew();
        let journal = block_on(Journal::open(page.clone())).unwrap();
        let before = calls.get();
        page.files.slow(true);
        let mut joining = pin!(journal.join_second(Look::Through));
        let mut context = Context::from_waker(Waker::noop());
        let told = Arc::new(Told(AtomicBool::new(true)));
        if joining.as_mut().poll(&mut context).is_pending() {
            let mut waiting = pin!(journal.handed_on());
            assert!(!is_done(waiting.as_mut(), &told));
            page.files.slow(false);
            assert!(joining.poll(&mut context).is_ready());
            assert!(is_done(waiting, &told), "{fault:?} at call {at}");
        }
        before + 1..=calls.get()
    };
    for fault in [Fault::Full, Fault::LostAnswer, Fault::Held] {
        let calls = join(0, fault);
        assert!(3 < calls.clone().count());
        for at in calls {
            join(at, fault);
        }
    }
}

#[test]
fn an_erased_log_does_not_come_back_whichever_of_its_marks_is_lost() {
    let (phone, _) = phone_with_notes();
    let before = phone.files.lines().borrow().clone();
    let journal = open(&phone);
    block_on(journal.erase(&stamp("2026-11-25T19:00:00+01:00"), || [8; 10])).unwrap();
    assert!(!String::from_utf8(phone.files.lines().borrow().clone()).unwrap().contains("wet"));
    phone.entries.borrow_mut().clear();
    assert!(open(&phone).is_erased(), "from the second place");
    *phone.files.lines().borrow_mut() = before;
    assert!(open(&phone).is_erased(), "from the database");
    assert!(!String::from_utf8(phone.files.lines().borrow().clone()).unwrap().contains("wet"));
}
