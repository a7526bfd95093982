//! What was opened and does not plainly belong to a client: it lies here in memory only, until the
//! practitioner says whose it is. A log of a client in the caseload goes straight there.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use leptos::prelude::*;

use crate::domain::event_id::EventId;
use crate::domain::log::belonging::{Belonging, Question, is_anyones};
use crate::domain::log::history::History;
use crate::domain::plan::draft::Draft;
use crate::domain::plan::routine::Routine;
use crate::domain::words::{Id, Words};
use crate::exchange::copy;
use crate::exchange::file::{self, File};
use crate::exchange::record::{Record, followed, join};
use crate::exchange::sealed;
use crate::platform::files::Picked;
use crate::ui::components::passphrase::SealedFile;
use crate::ui::practice::live_caseload::LiveCaseload;
use crate::ui::text::intake;
use crate::ui::text::practice::caseload::unclaimed as text;
use crate::ui::text::refusals::InWords;

/// One client's log.
#[derive(Clone)]
pub struct ClientLog {
    pub records: Vec<Record>,
    pub history: History,
}

impl ClientLog {
    pub fn of(records: Vec<Record>) -> Self {
        let history = History::fold(records.iter().map(|record| &record.event));
        Self { records, history }
    }

    /// What to call it: the label that the practitioner gave the client, or the routine's title.
    pub fn label(&self) -> String {
        let Some(routine) = self.history.routine() else {
            return text::NO_ROUTINE.to_owned();
        };
        routine.client.as_ref().unwrap_or(&routine.title).to_string()
    }

    /// Whether both are of one client: they share an entry, or follow a routine that was made for one client.
    fn is_with(&self, other: &Self) -> bool {
        let ids: BTreeSet<EventId> = self.records.iter().map(Record::id).collect();
        let of =
            |log: &Self| log.history.routine().map(|last| (last.id.clone(), last.client.clone()));
        let is_made_for_one = of(self).is_some_and(|(routine, _)| !is_anyones(&routine));
        other.records.iter().any(|record| ids.contains(&record.id()))
            || (is_made_for_one && of(self) == of(other))
    }
}

fn days(records: &[Record]) -> Vec<NaiveDate> {
    records.iter().map(|record| record.event.at.date_naive()).collect()
}

/// A log, from one file or from several that belong together, that waits for the word.
#[derive(Clone)]
pub struct AskedLog {
    pub number: u32,
    pub log: ClientLog,
    pub question: Question,
    /// The client at whose visit it was opened.
    pub visited: Option<Id>,
    files: Vec<String>,
}

/// What came of opening one file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    pub name: String,
    pub what: Result<String, String>,
    /// What a damaged file lacks.
    pub missing: Option<String>,
    /// The client to whom it went.
    pub client: Option<Id>,
    /// The log that waits for the word.
    asked: Option<u32>,
}

impl Outcome {
    fn of(name: &str, what: Result<String, String>) -> Self {
        Self { name: name.to_owned(), what, missing: None, client: None, asked: None }
    }
}

/// A copy of a caseload that was opened and waits for the word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenCopy {
    pub name: String,
    pub documents: Vec<(String, String)>,
}

#[derive(Clone, Copy)]
pub struct Unclaimed {
    caseload: LiveCaseload,
    pub asked: RwSignal<Vec<AskedLog>, LocalStorage>,
    /// The number of the asked log that is looked at.
    pub shown: RwSignal<u32>,
    asked_before: StoredValue<u32>,
    pub routine: RwSignal<Option<Routine>, LocalStorage>,
    pub copy: RwSignal<Option<OpenCopy>>,
    pub sealed: RwSignal<Vec<SealedFile>>,
    pub outcomes: RwSignal<Vec<Outcome>>,
}

impl Unclaimed {
    /// Nothing lies open yet.
    pub fn beside(caseload: LiveCaseload) -> Self {
        Self {
            caseload,
            asked: RwSignal::new_local(Vec::new()),
            shown: RwSignal::new(0),
            asked_before: StoredValue::new(0),
            routine: RwSignal::new_local(None),
            copy: RwSignal::new(None),
            sealed: RwSignal::new(Vec::new()),
            outcomes: RwSignal::new(Vec::new()),
        }
    }

    /// Opens files by their content; one that cannot be read changes nothing. `visited` is the client at
    /// whose visit they are opened.
    pub fn open(self, files: Vec<Picked>, visited: Option<&Id>) {
        self.outcomes.set(Vec::new());
        for file in files {
            let outcome = match &file.text {
                Ok(content) => self.open_text(&file.name, content, visited),
                Err(why) => Self::refused(&file.name, &why.in_words()),
            };
            self.outcomes.update(|all| all.push(outcome));
        }
        self.caseload.save();
    }

    /// Opens what was in a sealed file, in whose place its outcome is told.
    pub fn open_unsealed(self, name: &str, content: &str, visited: Option<&Id>) {
        let outcome = self.open_text(name, content, visited);
        self.caseload.save();
        self.outcomes.update(|all| match all.iter_mut().find(|known| known.name == name) {
            Some(known) => *known = outcome,
            None => all.push(outcome),
        });
    }

    /// Tells of something that never came to be a text.
    pub fn refuse(self, name: &str, why: &str) {
        self.outcomes.set(vec![Self::refused(name, why)]);
    }

    fn refused(name: &str, why: &str) -> Outcome {
        Outcome::of(name, Err(text::could_not_open(why)))
    }

    fn open_text(self, name: &str, content: &str, visited: Option<&Id>) -> Outcome {
        if sealed::is_sealed(content) {
            let file = SealedFile { name: name.to_owned(), text: content.to_owned() };
            if self.sealed.with_untracked(|waiting| !waiting.contains(&file)) {
                self.sealed.update(|waiting| waiting.push(file));
            }
            return Outcome::of(name, Ok(text::SEALED.to_owned()));
        }
        if copy::is_copy(content) {
            return match copy::parse(content) {
                Ok(documents) => {
                    self.copy.set(Some(OpenCopy { name: name.to_owned(), documents }));
                    let said = match visited {
                        None => text::COPY,
                        Some(_) => text::COPY_AT_VISIT,
                    };
                    Outcome::of(name, Ok(said.to_owned()))
                }
                Err(error) => Self::refused(name, &error.in_words()),
            };
        }
        match file::parse(content) {
            Ok(File::Log(records)) => self.take_log(name, records, visited),
            Ok(File::DamagedLog { records, gaps }) => {
                let missing = Some(intake::missing(&gaps));
                Outcome { missing, ..self.take_log(name, records, visited) }
            }
            Ok(File::Routine(file)) => {
                let said = match visited {
                    None => text::routine_below(&file.routine.title),
                    Some(_) => text::routine_on_caseload_page(&file.routine.title),
                };
                self.routine.set(Some(file.routine));
                Outcome::of(name, Ok(said))
            }
            Err(error) => Self::refused(name, &error.in_words()),
        }
    }

    /// Joins a log with that of the client to whom it plainly belongs, or asks.
    fn take_log(self, name: &str, records: Vec<Record>, visited: Option<&Id>) -> Outcome {
        if records.is_empty() {
            return Self::refused(name, text::EMPTY_LOG);
        }
        match self.caseload.belonging(&records, visited) {
            Belonging::Plain(client) => self.keep(name, &records, &client),
            Belonging::Asked(question) => {
                self.ask(name, ClientLog::of(records), question, visited.cloned())
            }
        }
    }

    fn keep(self, name: &str, records: &[Record], client: &Id) -> Outcome {
        let label =
            self.caseload.read_now(|caseload| caseload.client(client)).map(|known| known.label);
        let joined = label
            .ok_or_else(|| text::NOT_IN_CASELOAD.to_owned())
            .and_then(|label| Ok((self.caseload.join_log(client, records)?, label)));
        match joined {
            Ok((new, label)) => {
                let said = intake::kept(&days(&new), &label);
                Outcome { client: Some(client.clone()), ..Outcome::of(name, Ok(said)) }
            }
            Err(why) => Outcome::of(name, Err(text::could_not_keep(&why))),
        }
    }

    fn ask(self, name: &str, log: ClientLog, question: Question, visited: Option<Id>) -> Outcome {
        let mut waiting = self.asked.get_untracked();
        let said = intake::waits(&days(&log.records));
        let number = match waiting.iter_mut().find(|known| known.log.is_with(&log)) {
            None => {
                self.asked_before.update_value(|number| *number += 1);
                let (number, files) = (self.asked_before.get_value(), vec![name.to_owned()]);
                waiting.push(AskedLog { number, log, question, visited, files });
                number
            }
            Some(known) => {
                let joined = match join(&known.log.records, &log.records) {
                    Ok(joined) => joined,
                    Err(altered) => return Self::refused(name, &altered.in_words()),
                };
                known.visited = visited.or(known.visited.take());
                // Together they may tell more.
                if let Belonging::Asked(question) =
                    self.caseload.belonging(&joined, known.visited.as_ref())
                {
                    known.question = question;
                }
                known.log = ClientLog::of(joined);
                known.files.push(name.to_owned());
                known.number
            }
        };
        self.asked.set(waiting);
        self.shown.set(number);
        Outcome { asked: Some(number), ..Outcome::of(name, Ok(said)) }
    }

    fn asked_log(self, number: u32) -> Option<AskedLog> {
        self.asked.with_untracked(|all| all.iter().find(|one| one.number == number).cloned())
    }

    /// Keeps a log that was asked about with a client.
    pub fn keep_with(self, number: u32, client: &Id) {
        let Some(asked) = self.asked_log(number) else { return };
        let outcome = self.keep(&asked.files.join(", "), &asked.log.records, client);
        if outcome.what.is_ok() {
            self.caseload.add_versions(client, &followed(&asked.log.records));
            self.caseload.save();
            self.settle(&asked, &outcome);
        } else {
            self.outcomes.update(|all| all.push(outcome));
        }
    }

    /// Keeps a log that was asked about as a new client's, with the routine that it followed.
    pub fn keep_as_new(self, number: u32) -> Option<Id> {
        let label = Words::new(&self.asked_log(number)?.log.label()).ok()?;
        let client = self.caseload.add_client(label);
        self.keep_with(number, &client);
        Some(client)
    }

    /// Puts away what came of files that went whole to a client whose page opens and shows it.
    pub fn put_away_whole(self, client: &Id) {
        self.outcomes.update(|all| {
            all.retain(|outcome| {
                outcome.client.as_ref() != Some(client) || outcome.missing.is_some()
            });
        });
    }

    /// Lets go of a log that was asked about.
    pub fn leave(self, number: u32) {
        let Some(asked) = self.asked_log(number) else { return };
        let name = asked.files.join(", ");
        self.settle(&asked, &Outcome::of(&name, Ok(text::NOT_KEPT.to_owned())));
    }

    /// Puts an answered question away, and tells of its files what came of them.
    fn settle(self, asked: &AskedLog, outcome: &Outcome) {
        self.asked.update(|all| all.retain(|one| one.number != asked.number));
        let next = self.asked.with_untracked(|all| all.first().map(|next| next.number));
        self.shown.set(next.unwrap_or_default());
        self.outcomes.update(|all| {
            let mut first = None::<String>;
            for known in all.iter_mut().filter(|known| known.asked == Some(asked.number)) {
                known.asked = None;
                known.client.clone_from(&outcome.client);
                known.what = match &first {
                    Some(first) => Ok(text::goes_with(first)),
                    None => outcome.what.clone(),
                };
                first.get_or_insert_with(|| known.name.clone());
            }
            if first.is_none() {
                all.push(outcome.clone());
            }
        });
    }

    /// Takes the routine that lies open on for a new client. It becomes a version, with an id of its own,
    /// when it is handed over: a log of somebody else's who was given the same routine is not this client's.
    pub fn keep_routine(self) -> Option<Id> {
        let routine = self.routine.get_untracked()?;
        let client =
            self.caseload.add_client(routine.client.clone().unwrap_or(routine.title.clone()));
        self.caseload.change_draft(&client, |draft| *draft = Draft::taken_from(&routine));
        self.routine.set(None);
        Some(client)
    }
}
