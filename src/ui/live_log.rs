//! The client's log, as the screens see it: the history folded from it, and whether all of it is safe.

use std::collections::BTreeSet;
use std::rc::Rc;
use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::loss_watch::{Extent, LossWatch};
use super::saving::{Saver, until_joined};
use crate::domain::event_id::EventId;
use crate::domain::log::event::Fact;
use crate::domain::log::history::{EDITION, History};
use crate::domain::pain::PainRating;
use crate::domain::plan::limits::Limits;
use crate::domain::words::Id;
use crate::exchange::file::{self, RoutineFile};
use crate::exchange::file_name;
use crate::exchange::record::Record;
use crate::platform::indexed_db::{self, IndexedDb};
use crate::platform::{clock, copy_file, files, preferences, preview, random};
use crate::store::backend::{BackendError, Entry};
use crate::store::journal::Journal;
use crate::store::second::Look;
use crate::ui::components::later::when_idle;
use crate::ui::text::components::whole_log as text;
use crate::ui::text::refusals::InWords;

/// The name of the trace that a log leaves.
const SINCE: &str = "carryover.since";

/// The routine about which it is still to be asked what mornings are usually like.
const ASK_USUAL: &str = "carryover.ask-usual";

/// When, after the start, what was brought forward of the log is kept for the next one.
const KEEP_AFTER: Duration = Duration::from_secs(2);

/// The client's log.
#[derive(Clone, Copy)]
pub struct LiveLog {
    journal: StoredValue<Journal<IndexedDb>, LocalStorage>,
    history: RwSignal<Rc<History>, LocalStorage>,
    saver: Saver,
    loss_watch: LossWatch,
    /// How many screens need all of the log at hand.
    whole_for: StoredValue<u32>,
}

/// The client's log with all of it at hand: see `components::whole_log`.
#[derive(Clone, Copy)]
pub struct WholeLiveLog(LiveLog);

pub fn use_whole_log() -> WholeLiveLog {
    expect_context()
}

pub fn use_log() -> LiveLog {
    expect_context()
}

impl LiveLog {
    pub fn new(journal: Journal<IndexedDb>) -> Self {
        let history = RwSignal::new_local(Rc::new(journal.history()));
        let loss_watch = LossWatch::of(SINCE, journal.is_empty());
        let log = Self {
            journal: StoredValue::new_local(journal),
            history,
            saver: Saver::new(),
            loss_watch,
            whole_for: StoredValue::new(0),
        };
        provide_context(log.saver);
        provide_context(log.loss_watch);
        log.saver.set_again(move || log.save_again());
        log.saver.set_as_file(move || spawn_local(log.save_as_file()));
        if !log.journal.with_value(Journal::is_saved) {
            log.save_again();
        }
        // What came to stand since the app was left: a session that was broken off, a sign that was left ticked.
        log.tell_verdicts();
        let keep = move || {
            if let Some(journal) = log.journal.try_get_value() {
                spawn_local(journal.keep_brought_forward());
                spawn_local(log.saver.join_once(move || log.join_places(Look::AtTheEnd)));
            }
        };
        set_timeout(keep, KEEP_AFTER);
        log
    }

    /// Sees that the two places in which the log is kept have the same, and tells what was put back or is
    /// missing from both. Whether both could be read and written.
    async fn join_places(self, look: Look) -> bool {
        let Some(journal) = self.journal.try_get_value() else { return true };
        let mut joined = true;
        let before = journal.made_good().put_back;
        if !preview::is_on() {
            journal.backend().start_second();
            joined = journal.join_second(look).await.is_ok();
        }
        drop(journal.count_stored().await);
        // Otherwise the screens stay as they are, with what is half tapped on them.
        if before < journal.made_good().put_back {
            self.fold();
            // What was put back may have brought about a light that nobody was told.
            self.tell_verdicts();
        }
        self.tell_made_good(&journal);
        self.loss_watch.follow(journal.is_empty());
        if let Some(extent) = extent_of(&journal) {
            self.loss_watch.compare(&extent, journal.erased().as_deref());
        }
        // Whatever is noted is noted under a routine.
        let is_orphaned = journal.last_id().is_some()
            && journal.history().routine().is_none()
            && journal.unreadable().is_empty();
        if is_orphaned || journal.made_good().is_short {
            self.loss_watch.miss_a_part();
        }
        joined
    }

    /// Has both places looked through, once the page has nothing else to do.
    pub fn look_through(self) {
        when_idle(move || spawn_local(until_joined(move || self.join_places(Look::Through))));
    }

    fn tell_made_good(self, journal: &Journal<IndexedDb>) {
        self.saver.tell_put_back(journal.made_good().put_back);
    }

    /// The log with all of it at hand, if it is; it stays so for as long as whoever asks is shown.
    pub fn whole(self) -> Option<WholeLiveLog> {
        self.whole_for.update_value(|screens| *screens += 1);
        on_cleanup(move || {
            self.whole_for.update_value(|screens| *screens -= 1);
            if self.whole_for.get_value() == 0 {
                self.journal.with_value(Journal::let_go);
            }
        });
        self.journal.with_value(Journal::is_whole).then_some(WholeLiveLog(self))
    }

    /// Brings all of the log to hand.
    pub async fn read_whole(self) -> Result<WholeLiveLog, BackendError> {
        // The screens may be gone by now, where another window took over.
        let journal = self.journal.try_get_value().ok_or(BackendError::Blocked)?;
        journal.read_whole().await?;
        self.tell_made_good(&journal);
        self.fold();
        Ok(WholeLiveLog(self))
    }

    fn fold(self) {
        if let Some(history) = self.journal.try_with_value(Journal::history) {
            drop(self.history.try_set(Rc::new(history)));
        }
    }

    /// Saves the whole log as a file, with what is not safe yet in it; what is at hand, where the rest cannot be
    /// read.
    async fn save_as_file(self) {
        let at_hand = || {
            let records = self.journal.try_with_value(Journal::records).unwrap_or_default();
            file::print_log(&records)
        };
        let copy = self.as_copy().await.unwrap_or_else(|_told| at_hand());
        files::save(&file_name::of_copy(clock::now().date_naive()), &copy);
    }

    /// The whole log as a file's text, for as long as that takes.
    pub async fn as_copy(self) -> Result<String, BackendError> {
        let copy = file::print_log(&self.read_whole().await?.records());
        if self.whole_for.try_get_value() == Some(0) {
            self.journal.with_value(Journal::let_go);
        }
        Ok(copy)
    }

    pub fn history(self) -> Rc<History> {
        self.history.get()
    }

    pub fn history_untracked(self) -> Rc<History> {
        self.history.get_untracked()
    }

    /// Notes facts, in order, and whatever verdicts they bring about; returns the id of the last fact.
    pub fn append(self, facts: Vec<Fact>) -> Option<EventId> {
        if facts.is_empty() {
            return None;
        }
        let append = |journal: &Journal<IndexedDb>| {
            journal.append(facts, &clock::stamp(), random::of_this_run)
        };
        let noted = self.journal.with_value(append);
        self.follow(noted.number, noted.writing);
        noted.last
    }

    /// Notes that the client took on a routine, exactly as its file has it.
    pub fn accept(self, file: &RoutineFile) {
        let before = self.history_untracked();
        if before.routine().is_none_or(|followed| followed.id != file.routine.id) {
            preferences::set(ASK_USUAL, &file.routine.id);
        }
        let fact = Fact::RoutineAccepted { routine: Box::new(file.routine.clone()) };
        let accept = |journal: &Journal<IndexedDb>| {
            journal.accept(fact, &file.as_filed, &clock::stamp(), random::of_this_run)
        };
        let noted = self.journal.with_value(accept);
        self.follow(noted.number, noted.writing);
        if before.first_trained().is_none() && before.edition() < EDITION {
            self.append(vec![Fact::RuleExplained { edition: EDITION }]);
        }
    }

    /// Whether it is still to be asked what mornings are usually like, since a routine was taken on.
    pub fn asks_usual(self) -> bool {
        let history = self.history();
        let asked: Option<Id> = preferences::get(ASK_USUAL);
        let routine = history.routine().filter(|routine| Some(&routine.id) == asked.as_ref());
        routine.is_some_and(|routine| {
            let is_unknown = |limits: &Limits| limits.usual_morning.is_none();
            routine.exercises().iter().any(|exercise| is_unknown(routine.limits_for(exercise)))
        })
    }

    /// Notes what mornings are usually like; nothing where it was left out. It is not asked again.
    pub fn answer_usual(self, rating: Option<PainRating>) {
        preferences::forget(ASK_USUAL);
        if let Some(rating) = rating {
            self.append(vec![Fact::UsualMorning { rating }]);
        } else {
            self.fold();
        }
    }

    /// Notes the verdicts that came to stand without a fact: with time, or once a list of signs is left.
    pub fn tell_verdicts(self) {
        let tell =
            |journal: &Journal<IndexedDb>| journal.tell(&clock::stamp(), random::of_this_run);
        if let Some(noted) = self.journal.try_with_value(tell).flatten() {
            self.follow(noted.number, noted.writing);
        }
    }

    /// Tries again to save what is not safe yet.
    pub fn save_again(self) {
        let writing = self.journal.with_value(Journal::save);
        self.follow(0, writing);
    }

    /// Follows the writing of so many facts that were noted here just now, or of what came from elsewhere.
    fn follow(
        self,
        noted: usize,
        writing: impl Future<Output = Result<(), BackendError>> + 'static,
    ) {
        self.fold();
        let journal = self.journal.get_value();
        self.loss_watch.follow(journal.is_empty());
        if !journal.serves(clock::today()) {
            // What could not be read now is read at the next start.
            spawn_local(async move { drop(self.read_whole().await) });
        }
        let writing = async move {
            let written = writing.await;
            if let Some(journal) = self.journal.try_get_value() {
                self.tell_made_good(&journal);
                if written.is_ok() {
                    self.trace_saved(noted, &journal);
                    let join = move || self.join_places(Look::AtTheEnd);
                    self.saver.hand_on(join, async move { journal.handed_on().await }).await;
                }
            }
            written
        };
        self.saver.follow(writing, move || journal.is_saved());
    }

    /// What was noted here adds to what there was: should something be missing, it stays so. What came from
    /// elsewhere may be what was missing.
    fn trace_saved(self, noted: usize, journal: &Journal<IndexedDb>) {
        if 0 < noted && self.loss_watch.knows_extent() {
            if let Some(last) = journal.last_id() {
                self.loss_watch.grow(noted, last.to_string());
            }
        } else if let Some(extent) = extent_of(journal) {
            self.loss_watch.keep(&extent);
        }
    }

    /// Takes the whole log away from both places, and all of a try-out; what to say where that failed.
    pub async fn erase(self) -> Result<(), BackendError> {
        let journal = self.journal.get_value();
        if journal.backend().has_second().await {
            journal.backend().start_second();
        }
        journal.erase(&clock::stamp(), random::ten_bytes).await?;
        if !preview::is_on() {
            preview::erase().await;
            indexed_db::remove(copy_file::REMEMBERED).await;
        }
        Ok(())
    }

    pub fn unreadable(self) -> Vec<Entry> {
        self.journal.with_value(Journal::unreadable)
    }
}

/// How much is safe of a log, if that is known by now.
fn extent_of(journal: &Journal<IndexedDb>) -> Option<Extent> {
    Some(Extent { number: journal.count_saved()?, last: journal.last_id()?.to_string() })
}

impl WholeLiveLog {
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
        self.0.tell_verdicts();
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
            let noted = self.0.journal.with_value(|journal| journal.keep(note));
            self.0.follow(noted.number, noted.writing);
        }
    }

    /// Joins a copy into the log; how many entries were missing here, or why it is not joined.
    pub fn restore(self, copy: &[Record]) -> Result<usize, String> {
        let of = |history: &History| -> BTreeSet<Id> {
            history.accepted().iter().map(|accepted| accepted.routine.id.clone()).collect()
        };
        let (here, there) =
            (self.0.history_untracked(), History::fold(copy.iter().map(|record| &record.event)));
        let known = self.records().len();
        if 0 < known && of(&here).is_disjoint(&of(&there)) {
            return Err(text::OTHER_LOG.to_owned());
        }
        let writing = self.0.journal.with_value(|journal| journal.merge(copy));
        self.0.follow(0, writing.map_err(|altered| altered.in_words())?);
        let missing = self.records().len() - known;
        self.0.tell_verdicts();
        Ok(missing)
    }
}
