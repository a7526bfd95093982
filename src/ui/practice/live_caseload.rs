//! The practitioner's caseload, as the screens see it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use std::time::Duration;

use chrono::NaiveDate;
use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::domain::event_id::EventId;
use crate::domain::log::belonging::{Belonging, belonging};
use crate::domain::log::history::{History, Note};
use crate::domain::plan::draft::Draft;
use crate::domain::plan::library;
use crate::domain::plan::routine::{Answer, Exercise, NotARoutine, Routine, Version};
use crate::domain::visit::answering;
use crate::domain::visit::caseload::{Client, OpenVisit, Visit};
use crate::domain::visit::glance::{Ask, Glance, TakenOn, asks_of_handing_over};
use crate::domain::visit::worst_first::Case;
use crate::domain::words::{Id, Prose, Words};
use crate::exchange::file_name;
use crate::exchange::record::{Record, followed};
use crate::platform::indexed_db::IndexedDb;
use crate::platform::{clock, files, random};
use crate::store::backend::BackendError;
use crate::store::caseload::{Caseload, Restoring, Tidying};
use crate::store::second::Look;
use crate::ui::components::later::when_idle;
use crate::ui::loss_watch::{Extent, LossWatch};
use crate::ui::saving::Saver;
use crate::ui::text::practice::live_caseload as text;
use crate::ui::text::refusals::InWords;

/// How long logs are looked at without a break, so that a tap is never kept waiting.
const WITHOUT_A_BREAK: Duration = Duration::from_millis(12);

/// The name of the trace that a caseload leaves.
const SINCE: &str = "carryover-practice.since";

/// When, after the start, the second place is seen to.
const JOIN_AFTER: Duration = Duration::from_secs(2);

/// What a row of the caseload shows of a client.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    pub case: Case,
    /// The last day of the log, where there is one.
    pub last_day: Option<NaiveDate>,
    /// What was handed over last.
    pub out: Option<Out>,
}

/// The version that was handed over last, and what became of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Out {
    pub version: Version,
    pub issued: NaiveDate,
    pub taken_on: TakenOn,
}

#[derive(Clone, Copy)]
pub struct LiveCaseload {
    caseload: StoredValue<Caseload<IndexedDb>, LocalStorage>,
    changed: Trigger,
    saver: Saver,
    loss_watch: LossWatch,
    /// The log that was folded last, until it grows.
    folded: StoredValue<Option<(Id, Arc<History>)>>,
    /// What each log that was looked at asks for, until it grows or a visit is closed.
    glances: RwSignal<BTreeMap<Id, Option<Glance>>>,
    looking: StoredValue<bool>,
}

pub fn use_caseload() -> LiveCaseload {
    expect_context()
}

impl LiveCaseload {
    pub fn new(caseload: Caseload<IndexedDb>) -> Self {
        let loss_watch = LossWatch::of(SINCE, caseload.is_empty());
        let caseload = Self {
            caseload: StoredValue::new_local(caseload),
            changed: Trigger::new(),
            saver: Saver::new(),
            loss_watch,
            folded: StoredValue::new(None),
            glances: RwSignal::new(BTreeMap::new()),
            looking: StoredValue::new(false),
        };
        provide_context(caseload.saver);
        provide_context(caseload.loss_watch);
        caseload.saver.set_again(move || caseload.save());
        caseload.saver.set_as_file(move || {
            let name = format!("caseload-{}.txt", clock::now().date_naive());
            files::save(&name, &caseload.read_now(Caseload::copy));
        });
        if !caseload.read_now(Caseload::is_saved) {
            caseload.saver.try_again();
        }
        let join = move || spawn_local(caseload.saver.join_once(move || caseload.join_places()));
        set_timeout(move || when_idle(join), JOIN_AFTER);
        caseload
    }

    /// Sees that the two places in which the caseload is kept have the same, and tells what was put back or is
    /// missing from both. Whether both could be read and written.
    async fn join_places(self) -> bool {
        let Some(caseload) = self.caseload.try_get_value() else { return true };
        caseload.shelf().start_second();
        let joined = caseload.join_second(Look::Through).await.is_ok();
        if 0 < caseload.put_back() {
            self.folded.try_set_value(None);
            self.glances.try_set(BTreeMap::new());
            self.changed.notify();
        }
        self.saver.tell_put_back(caseload.put_back());
        self.loss_watch.follow(caseload.is_empty());
        self.loss_watch.compare(&extent_of(&caseload), None);
        joined
    }

    /// Reads something of the caseload, and follows it.
    pub fn read<T>(self, what: impl FnOnce(&Caseload<IndexedDb>) -> T) -> T {
        self.changed.track();
        self.caseload.with_value(what)
    }

    /// Reads something of the caseload as it is now, without following it.
    pub fn read_now<T>(self, what: impl FnOnce(&Caseload<IndexedDb>) -> T) -> T {
        self.caseload.with_value(what)
    }

    fn follow(self, writing: impl Future<Output = Result<(), BackendError>> + 'static) {
        self.follow_tidied(writing, Tidying::Grown);
    }

    /// Follows a writing after which the second place is tidied.
    fn follow_tidied(
        self,
        writing: impl Future<Output = Result<(), BackendError>> + 'static,
        why: Tidying,
    ) {
        self.changed.notify();
        let caseload = self.caseload.get_value();
        self.loss_watch.follow(caseload.is_empty());
        let tidied = caseload.clone();
        let writing = async move {
            writing.await?;
            self.saver.tell_put_back(tidied.put_back());
            self.loss_watch.keep(&extent_of(&tidied));
            match why {
                // What was taken away for good is gone once it is gone from both places.
                Tidying::Erased => {
                    if tidied.shelf().has_second().await {
                        tidied.shelf().start_second();
                    }
                    tidied.tidy_second(why).await
                }
                Tidying::Grown => {
                    let changed = tidied.clone();
                    let handed_on = async move { changed.handed_on().await };
                    self.saver.hand_on(move || self.join_places(), handed_on).await;
                    spawn_local(async move { drop(tidied.tidy_second(why).await) });
                    Ok(())
                }
            }
        };
        self.saver.follow(writing, move || caseload.is_saved());
    }

    pub fn add_client(self, label: Words) -> Id {
        let id = new_id();
        let client = Client::new(label, clock::now().date_naive());
        self.follow(self.caseload.with_value(|caseload| caseload.put_client(&id, client)));
        id
    }

    /// The name of a file that is saved of a client.
    pub fn file_name(self, what: &str, client: &Id, rest: &str) -> String {
        let known = self.read_now(|caseload| caseload.client(client));
        let label = known.map_or_else(String::new, |known| known.label.to_string());
        file_name::of_client(what, &label, client.as_str(), rest)
    }

    pub fn change_client(self, id: &Id, change: impl FnOnce(&mut Client)) {
        if let Some(mut client) = self.read_now(|caseload| caseload.client(id)) {
            change(&mut client);
            self.follow(self.caseload.with_value(|caseload| caseload.put_client(id, client)));
        }
    }

    /// Takes everything of a client away, for good.
    pub fn erase(self, id: &Id) {
        self.forget(id);
        let erasing = self.caseload.with_value(|caseload| caseload.erase(id));
        self.follow_tidied(erasing, Tidying::Erased);
    }

    /// The draft of a client's next routine: as it was left, or taken up from what was last handed over.
    pub fn draft(self, client: &Id) -> Draft {
        self.changed.track();
        self.draft_now(client)
    }

    pub fn draft_now(self, client: &Id) -> Draft {
        let (draft, last) =
            self.read_now(|caseload| (caseload.draft(client), caseload.last_routine(client)));
        draft.or_else(|| last.as_ref().map(Draft::of)).unwrap_or_else(|| {
            let title = Words::new(text::HOME_ROUTINE).unwrap_or_else(|_blank| unreachable!());
            Draft::new(title)
        })
    }

    pub fn change_draft<T>(self, client: &Id, change: impl FnOnce(&mut Draft) -> T) -> T {
        let mut draft = self.draft_now(client);
        let before = draft.clone();
        let said = change(&mut draft);
        if draft != before {
            self.follow(self.caseload.with_value(|caseload| caseload.put_draft(client, draft)));
        }
        said
    }

    /// The routine to hand over: the last version where it says the same as the draft, else a new one, which
    /// is kept from now on.
    pub fn hand_over(self, client: &Id) -> Result<Routine, NotARoutine> {
        let draft = self.draft_now(client);
        let last = self.read_now(|caseload| caseload.last_routine(client));
        if let Some(last) = &last
            && draft.says_the_same_as(last)
        {
            return Ok(last.clone());
        }
        let version = self.read_now(|caseload| caseload.next_version(client));
        let id = last.map_or_else(|| client.clone(), |last| last.id);
        let label = self.read_now(|caseload| caseload.client(client)).map(|client| client.label);
        let routine = draft.routine(id, version, label, clock::now().date_naive())?;
        self.follow(
            self.caseload.with_value(|caseload| caseload.add_routine(client, routine.clone())),
        );
        // What it says of Holds and of usual mornings is for this version alone.
        self.change_draft(client, |draft| {
            draft.on_hold.clear();
            draft.anchor = None;
        });
        Ok(routine)
    }

    /// The routine as it is to go on: the last version where it says the same as the draft, else what the
    /// draft would become. None while there is nothing in it.
    pub fn next_routine(self, client: &Id) -> Option<Routine> {
        let draft = self.draft(client);
        let last = self.read_now(|caseload| caseload.last_routine(client));
        if let Some(last) = last.filter(|last| draft.says_the_same_as(last)) {
            return Some(last);
        }
        let (version, last) = self
            .read_now(|caseload| (caseload.next_version(client), caseload.last_routine(client)));
        let id = last.map_or_else(|| client.clone(), |last| last.id);
        draft.routine(id, version, None, clock::now().date_naive()).ok()
    }

    /// Keeps the versions of the routine that a log follows, where the client has that routine or none yet.
    pub fn add_versions(self, client: &Id, followed: &[&Routine]) {
        let Some(last) = followed.last() else { return };
        let known = self.read_now(|caseload| caseload.routines(client));
        if known.is_empty() || known.iter().any(|routine| routine.id == last.id) {
            for &routine in followed.iter().filter(|routine| routine.id == last.id) {
                let kept = routine.clone();
                self.follow(
                    self.caseload.with_value(|caseload| caseload.add_routine(client, kept)),
                );
            }
        }
    }

    /// Whose a log is that was opened, perhaps at the visit of a client.
    pub fn belonging(self, log: &[Record], visited: Option<&Id>) -> Belonging {
        let known = self.read_now(|caseload| caseload.known(log));
        belonging(&followed(log), &known, visited)
    }

    /// Joins a log to the client's; the entries that were new, which are still to be [saved](Self::save).
    pub fn join_log(self, client: &Id, log: &[Record]) -> Result<Vec<Record>, String> {
        let joined = self.caseload.with_value(|caseload| caseload.join_log(client, log));
        let new = joined.map_err(|altered| altered.in_words())?;
        self.forget(client);
        Ok(new)
    }

    /// Writes what was joined.
    pub fn save(self) {
        self.follow(self.caseload.with_value(Caseload::save));
    }

    /// A client's log, folded: the same one until the log grows.
    pub fn history(self, client: &Id) -> Arc<History> {
        self.changed.track();
        self.history_now(client)
    }

    pub fn history_now(self, client: &Id) -> Arc<History> {
        let known = self.folded.with_value(|folded| {
            let of_client = folded.as_ref().filter(|(of, _)| of == client);
            of_client.map(|(_, history)| Arc::clone(history))
        });
        known.unwrap_or_else(|| {
            let history = Arc::new(self.read_now(|caseload| caseload.history(client)));
            self.folded.set_value(Some((client.clone(), Arc::clone(&history))));
            history
        })
    }

    /// A client's log, folded, followed by what changes with it alone.
    pub fn history_memo(self, client: Id) -> Memo<Arc<History>> {
        Memo::new_with_compare(
            move |_| self.history(&client),
            |before, now| before.map(Arc::as_ptr) != now.map(Arc::as_ptr),
        )
    }

    /// Forgets what was read from a client's log.
    fn forget(self, client: &Id) {
        self.folded.update_value(|folded| {
            folded.take_if(|(of, _)| of == client);
        });
        self.glances.update(|glances| {
            glances.remove(client);
        });
    }

    /// Looks at every log that was not looked at since it grew, in between other things.
    pub fn look_at_logs(self) {
        if !self.looking.get_value() && self.next_to_look_at().is_some() {
            self.looking.set_value(true);
            set_timeout(move || self.look_on(), Duration::ZERO);
        }
    }

    fn look_on(self) {
        let began = clock::moment();
        while let Some(id) = self.next_to_look_at()
            && clock::moment().since(began) < WITHOUT_A_BREAK
        {
            let glance = self.read_now(|caseload| {
                let visits = caseload.visits(&id).into_iter();
                let visits: Vec<_> = visits.map(|(closed, visit)| (closed, visit.day)).collect();
                Glance::of(&caseload.history(&id), &visits)
            });
            self.glances.update_untracked(|glances| glances.insert(id, glance));
        }
        self.glances.notify();
        self.looking.set_value(false);
        self.look_at_logs();
    }

    fn next_to_look_at(self) -> Option<Id> {
        let clients = self.read_now(Caseload::clients).into_iter();
        let mut ids = clients.map(|(id, _)| id);
        self.glances.with_untracked(|glances| ids.find(|id| !glances.contains_key(id)))
    }

    /// A client as a row of the caseload shows them; `None` while the log was not looked at.
    pub fn row(self, id: &Id, client: &Client) -> Option<Row> {
        let glance = self.glances.with(|glances| glances.get(id).cloned())?;
        let today = clock::now().date_naive();
        let last = self.read(|caseload| caseload.last_routine(id));
        let mut asks: Vec<Ask> =
            asks_of_handing_over(last.as_ref(), glance.as_ref(), today).into_iter().collect();
        if let Some(glance) = &glance {
            let answered: BTreeSet<EventId> = if glance.has_notes() {
                self.draft(id).answers.iter().map(|answer| answer.to).collect()
            } else {
                BTreeSet::new()
            };
            asks.extend(glance.asks(&client.visit.put_aside, &answered, today));
        }
        let out = last.map(|last| Out {
            version: last.version,
            issued: last.issued,
            taken_on: glance.as_ref().map_or(TakenOn::Unknown, |glance| glance.taken_on(&last)),
        });
        let case = Case::new(client.label.to_string(), asks, client.next_visit);
        Some(Row { case, last_day: glance.map(|glance| glance.last_day), out })
    }

    /// The visit that is being made.
    pub fn visit(self, client: &Id) -> OpenVisit {
        self.read(|caseload| caseload.client(client))
            .map_or_else(OpenVisit::default, |client| client.visit)
    }

    pub fn change_visit(self, client: &Id, change: impl FnOnce(&mut OpenVisit)) {
        self.change_client(client, |client| change(&mut client.visit));
    }

    /// Answers a note of the client's with the next version; no words take the answer back.
    pub fn answer(self, client: &Id, note: &Note, words: Option<Words>) {
        let history = self.history_now(client);
        self.change_draft(client, |draft| answering::answer(draft, note, words, &history));
    }

    /// Every answer to a note that the client has or will have: those in the log, and those of the draft.
    pub fn answers(self, client: Option<&Id>, history: &History) -> Vec<Answer> {
        let drafted = client.map_or_else(Vec::new, |client| self.draft(client).answers);
        let is_newer = |known: &&Answer| drafted.iter().all(|answer| answer.to != known.to);
        let known: Vec<Answer> =
            history.standing_answers().into_iter().filter(is_newer).cloned().collect();
        known.into_iter().chain(drafted).collect()
    }

    /// Closes today's visit, and keeps its note.
    pub fn close_visit(self, client: &Id, note: Words, record: Option<Prose>) {
        let now = clock::now();
        let millis = u64::try_from(now.timestamp_millis()).unwrap_or(0);
        let last = self.read_now(|caseload| caseload.visits(client)).last().map(|(id, _)| *id);
        let id = EventId::after(last, millis, random::ten_bytes());
        let visit = Visit { day: now.date_naive(), note, record };
        self.glances.update(|glances| {
            glances.remove(client);
        });
        self.follow(self.caseload.with_value(|caseload| caseload.put_visit(client, id, visit)));
        self.change_client(client, |client| {
            client.visit = OpenVisit::default();
            // The visit that was planned is the one that was made.
            client.next_visit = client.next_visit.filter(|day| now.date_naive() < *day);
        });
    }

    pub fn keep_for_next(self, entry: library::Entry) {
        self.follow(self.caseload.with_value(|caseload| caseload.put_own(entry)));
    }

    pub fn restore(self, documents: Vec<(String, String)>, restoring: Restoring) -> usize {
        let (brought, writing) =
            self.caseload.with_value(|caseload| caseload.restore(documents, restoring));
        self.folded.set_value(None);
        self.glances.set(BTreeMap::new());
        let why = match restoring {
            Restoring::AddMissing => Tidying::Grown,
            Restoring::ReplaceAll => Tidying::Erased,
        };
        self.follow_tidied(writing, why);
        brought
    }

    /// Changes one exercise of a client's draft.
    pub fn change_exercise<T>(
        self,
        client: &Id,
        exercise: &Id,
        change: impl FnOnce(&mut Exercise) -> T,
    ) -> Option<T> {
        self.change_draft(client, |draft| {
            let mut items = draft.items.iter_mut();
            let item = items.find(|item| item.exercise.id == *exercise)?;
            Some(change(&mut item.exercise))
        })
    }
}

/// How much there is of a caseload, by how often it was changed.
fn extent_of(caseload: &Caseload<IndexedDb>) -> Extent {
    let number = usize::try_from(caseload.times_changed()).unwrap_or(usize::MAX);
    Extent { number, last: String::new() }
}

/// A fresh id for a client, whom nothing about it tells apart but the moment it was made.
fn new_id() -> Id {
    let millis = u64::try_from(clock::now().timestamp_millis()).unwrap_or(0);
    let id = EventId::after(None, millis, random::ten_bytes()).to_string().to_lowercase();
    Id::new(&id).unwrap_or_else(|_too_long| unreachable!())
}
