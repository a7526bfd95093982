//! The whole job over a storage that fails once, at the first call, the second, the third, until a run passes
//! with no fault left to inject: nothing that was shown as saved is lost, nothing is doubled, every failure
//! has words, and in the end the log is the same, letter for letter, as without any fault.

#![expect(clippy::unwrap_used, reason = "a job that cannot be done must fail its test")]

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::future::{Ready, ready};
use std::rc::Rc;

use carryover::domain::event::{Ending, EventId, Fact, Planned, SetRef};
use carryover::domain::pain::PainRating;
use carryover::domain::rule::{Order, Swelling};
use carryover::exchange::file::{self, File};
use carryover::store::backend::{Backend, BackendError, Entry};
use carryover::store::journal::{Journal, Stamp};
use pollster::block_on;

/// What a failing call leaves behind.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Fault {
    /// The storage is full: nothing was written.
    Full,
    /// The connection is lost once all of it was written: only the answer does not arrive.
    LostAnswer,
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

    /// Does something to the storage, or fails.
    fn answer<T>(&self, act: impl FnOnce() -> T) -> Ready<Result<T, BackendError>> {
        ready(match (self.strikes(), self.fault) {
            (false, _) => Ok(act()),
            (true, Fault::Full) => Err(BackendError::Full),
            (true, Fault::LostAnswer) => {
                act();
                Err(BackendError::Lost)
            }
        })
    }
}

/// One phone's storage: texts by key, what was brought forward from them, and the spare place.
#[derive(Clone)]
struct Phone {
    entries: Rc<RefCell<BTreeMap<String, String>>>,
    forward: Rc<RefCell<Option<Entry>>>,
    spare: Rc<RefCell<Vec<Entry>>>,
    faults: Faults,
}

impl Phone {
    fn new(faults: &Faults) -> Self {
        let (entries, forward, spare) = (Rc::default(), Rc::default(), Rc::default());
        Self { entries, forward, spare, faults: faults.clone() }
    }
}

impl Backend for Phone {
    fn read(&self, after: Option<&str>) -> impl Future<Output = Result<Vec<Entry>, BackendError>> {
        let entry =
            |(key, text): (&String, &String)| Entry { key: key.clone(), text: text.clone() };
        let is_later =
            |(key, _): &(&String, &String)| after.is_none_or(|after| after < key.as_str());
        self.faults.answer(|| self.entries.borrow().iter().filter(is_later).map(entry).collect())
    }

    fn write(&self, entries: &[Entry]) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.faults.answer(|| {
            let pairs = entries.iter().map(|entry| (entry.key.clone(), entry.text.clone()));
            self.entries.borrow_mut().extend(pairs);
            let no_longer_stands =
                |forward: &mut Entry| entries.iter().any(|entry| entry.key <= forward.key);
            self.forward.borrow_mut().take_if(no_longer_stands);
        })
    }

    fn brought_forward(&self) -> impl Future<Output = Result<Option<Entry>, BackendError>> {
        self.faults.answer(|| self.forward.borrow().clone())
    }

    fn bring_forward(
        &self,
        forward: &Entry,
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.faults.answer(|| *self.forward.borrow_mut() = Some(forward.clone()))
    }

    fn clear(&self, leave: &Entry) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.faults.answer(|| {
            *self.entries.borrow_mut() = [(leave.key.clone(), leave.text.clone())].into();
            *self.forward.borrow_mut() = None;
        })
    }

    fn spare(&self) -> Vec<Entry> {
        if self.faults.strikes() { Vec::new() } else { self.spare.borrow().clone() }
    }

    fn keep_spare(&self, entries: &[Entry]) {
        if !self.faults.strikes() {
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
        self.journal = open(&self.phone);
        self.look();
        block_on(self.journal.keep_brought_forward());
    }

    /// The whole log is asked for; where it cannot be read that is told, and it is asked for again.
    fn read_whole(&self) {
        if let Err(why) = block_on(self.journal.read_whole()) {
            expect_words(&why.to_string());
            block_on(self.journal.read_whole()).unwrap();
        }
    }

    /// What was shown as saved is there; and all of it is shown so now if all of it is.
    fn look(&mut self) {
        let at_hand = self.journal.records().into_iter().map(|record| record.id());
        let left = self.phone.entries.borrow().keys().cloned().collect::<Vec<_>>();
        let left = left.into_iter().filter(|_| !self.journal.is_whole());
        let left = left.filter_map(|key| EventId::try_from(key).ok());
        let ids: BTreeSet<EventId> = at_hand.chain(left).collect();
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
            expect_words(&why.to_string());
            match self.client {
                Client::TriesAgain => block_on(self.journal.save()).unwrap(),
                Client::OpensAnew => self.journal = open(&self.phone),
                Client::GoesOn => {}
            }
        }
        self.look();
    }

    fn note(&mut self, at: &str, facts: Vec<Fact>) -> EventId {
        let answer = block_on(self.journal.append(facts, &stamp(at), || [0; 10]));
        let id = self.journal.last_id().unwrap();
        self.written(answer);
        id
    }

    fn tell_verdicts(&mut self, at: &str) {
        let facts = self.journal.history().untold_verdicts();
        assert!(!facts.is_empty());
        self.note(at, facts);
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
            expect_words(&why.to_string());
            let is_whole = *self.phone.entries.borrow() == before;
            let is_gone = self.phone.entries.borrow().len() == 1;
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
    block_on(Journal::open(phone.clone())).unwrap_or_else(|why| {
        expect_words(&why.to_string());
        block_on(Journal::open(phone.clone())).unwrap()
    })
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
    app.tell_verdicts("2026-11-25T18:20:01+01:00");

    app.open_anew();
    let morning = "2026-11-26T07:00:00+01:00";
    let owed = app.journal.history().owed_morning(stamp(morning).at).unwrap();
    let ratings = owed.exercises.into_iter().map(|exercise| (exercise, rating(2))).collect();
    let swelling = Swelling::NoMore;
    app.note(morning, vec![Fact::MorningAnswered { after: owed.after, ratings, swelling }]);
    app.tell_verdicts("2026-11-26T07:00:01+01:00");

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
        app.tell_verdicts(&format!("{day}T18:05:01+01:00"));
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
        let verdict = app.journal.history().told.last().map(|told| told.order);
        assert_eq!(verdict, Some(Order::KeepUnanswered));
    }
    [app.copy(), new_phone.copy()]
}

#[test]
fn whichever_storage_call_fails_nothing_shown_as_saved_is_lost_and_nothing_is_doubled() {
    let run = |at, fault, client| {
        let faults = Faults { calls: Rc::default(), at, fault };
        let logs = whole_job(&faults, client);
        (logs, faults.calls.get())
    };
    let (without, _) = run(0, Fault::Full, Client::TriesAgain);
    assert_eq!(without[0], without[1]);
    for fault in [Fault::Full, Fault::LostAnswer] {
        for client in [Client::TriesAgain, Client::OpensAnew, Client::GoesOn] {
            let mut at = 1;
            loop {
                let (logs, calls) = run(at, fault, client);
                assert_eq!(logs, without, "{fault:?} at call {at}, the client {client:?}");
                if calls < at {
                    break;
                }
                at += 1;
            }
            assert!(50 < at, "only {at} calls were made to fail");
        }
    }
}
