//! What was opened and belongs to nobody in the caseload yet: it lies open in memory only, until it is kept.
//! A log of a client in the caseload goes straight there.

use leptos::prelude::*;

use super::desk::Desk;
use crate::domain::draft::Draft;
use crate::domain::event::Fact;
use crate::domain::history::History;
use crate::domain::routine::Routine;
use crate::domain::words::{Id, Words};
use crate::exchange::copy;
use crate::exchange::file::{self, File};
use crate::exchange::record::{Record, join};
use crate::exchange::sealed;
use crate::platform::files::Picked;
use crate::ui::components::passphrase::SealedFile;

/// One client's log, from one file or from several that belong together.
#[derive(Clone)]
pub struct OpenLog {
    /// Ids of the routines it followed: two logs that share one belong together.
    routines: Vec<Id>,
    pub records: Vec<Record>,
    pub history: History,
}

impl OpenLog {
    pub fn of(records: Vec<Record>) -> Self {
        let history = History::fold(records.iter().map(|record| &record.event));
        let routines = routines_of(&records);
        Self { routines, records, history }
    }

    /// What to call it: the label that the practitioner gave the client, or the routine's title.
    pub fn label(&self) -> String {
        let Some(routine) = self.history.routine() else {
            return "A log without a routine".to_owned();
        };
        routine.client.as_ref().unwrap_or(&routine.title).to_string()
    }
}

fn routines_of(records: &[Record]) -> Vec<Id> {
    let mut ids = Vec::new();
    for record in records {
        if let Fact::RoutineAccepted { routine } = &record.event.what
            && !ids.contains(&routine.id)
        {
            ids.push(routine.id.clone());
        }
    }
    ids
}

/// What came of opening one file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    pub name: String,
    pub what: Result<String, String>,
    /// The client to whom it went.
    pub client: Option<Id>,
}

/// A copy of a caseload that was opened and waits for the word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenCopy {
    pub name: String,
    pub documents: Vec<(String, String)>,
}

#[derive(Clone, Copy)]
pub struct Bench {
    desk: Desk,
    pub logs: RwSignal<Vec<OpenLog>, LocalStorage>,
    /// Which log is looked at.
    pub shown: RwSignal<usize>,
    pub routine: RwSignal<Option<Routine>, LocalStorage>,
    pub copy: RwSignal<Option<OpenCopy>>,
    pub sealed: RwSignal<Vec<SealedFile>>,
    pub outcomes: RwSignal<Vec<Outcome>>,
}

impl Bench {
    /// Nothing lies open yet.
    pub fn beside(desk: Desk) -> Self {
        Self {
            desk,
            logs: RwSignal::new_local(Vec::new()),
            shown: RwSignal::new(0),
            routine: RwSignal::new_local(None),
            copy: RwSignal::new(None),
            sealed: RwSignal::new(Vec::new()),
            outcomes: RwSignal::new(Vec::new()),
        }
    }

    /// Opens files by their content; one that cannot be read changes nothing.
    pub fn open(self, files: Vec<Picked>) {
        let outcomes = files.into_iter().map(|picked| {
            let opened = match picked.text {
                Ok(text) => self.open_text(&picked.name, &text),
                Err(_) => Err("it could not be read from this device".to_owned()),
            };
            let (what, client) = match opened {
                Ok((said, client)) => (Ok(said), client),
                Err(why) => (Err(why), None),
            };
            Outcome { name: picked.name, what, client }
        });
        self.outcomes.set(outcomes.collect());
    }

    /// What came of it, and the client to whom it went.
    fn open_text(self, name: &str, text: &str) -> Result<(String, Option<Id>), String> {
        if sealed::is_sealed(text) {
            let file = SealedFile { name: name.to_owned(), text: text.to_owned() };
            if self.sealed.with_untracked(|waiting| !waiting.contains(&file)) {
                self.sealed.update(|waiting| waiting.push(file));
            }
            return Ok(("sealed; its passphrase is asked for below".to_owned(), None));
        }
        if copy::is_copy(text) {
            let documents = copy::parse(text).map_err(|error| error.to_string())?;
            self.copy.set(Some(OpenCopy { name: name.to_owned(), documents }));
            return Ok((
                "a copy of a caseload; the caseload page asks what to do with it".to_owned(),
                None,
            ));
        }
        match file::parse(text) {
            Ok(File::Log(records)) => self.take_log(records),
            Ok(File::DamagedLog { records, gaps }) => {
                let (said, client) = self.take_log(records)?;
                let gaps: Vec<String> = gaps.iter().map(ToString::to_string).collect();
                Ok((format!("{said}, but the file is damaged ({})", gaps.join("; ")), client))
            }
            Ok(File::Routine(file)) => {
                let title = file.routine.title.to_string();
                self.routine.set(Some(file.routine));
                Ok((format!("routine \"{title}\", shown below"), None))
            }
            Err(error) => Err(error.to_string()),
        }
    }

    /// Joins a log with that of the client it belongs to, or lays it open beside the caseload.
    fn take_log(self, records: Vec<Record>) -> Result<(String, Option<Id>), String> {
        let Some((id, client)) = self.desk.client_of(&records) else {
            return Ok((self.add_log(records)?, None));
        };
        let said = match self.desk.join_log(&id, &records)? {
            0 => format!("{}, nothing new in it", client.label),
            new => format!("{}, {} new", client.label, entries(new)),
        };
        Ok((said, Some(id)))
    }

    /// Keeps a log that lies open as a new client's, with the routines it followed.
    pub fn keep_log(self, index: usize) -> Option<Id> {
        let mut logs = self.logs.get_untracked();
        if logs.len() <= index {
            return None;
        }
        let log = logs.remove(index);
        let client = self.desk.add_client(Words::new(&log.label()).ok()?);
        for accepted in &log.history.accepted {
            self.desk.add_version(&client, &accepted.routine);
        }
        self.desk.join_log(&client, &log.records).ok()?;
        self.logs.set(logs);
        self.shown.set(0);
        Some(client)
    }

    /// Takes the routine that lies open on for a new client. It becomes a version, with an id of its own,
    /// when it is handed over: a log of somebody else's who was given the same routine is not this client's.
    pub fn keep_routine(self) -> Option<Id> {
        let routine = self.routine.get_untracked()?;
        let client = self.desk.add_client(routine.client.clone().unwrap_or(routine.title.clone()));
        self.desk.change_draft(&client, |draft| *draft = Draft::taken_from(&routine));
        self.routine.set(None);
        Some(client)
    }

    fn add_log(self, records: Vec<Record>) -> Result<String, String> {
        if records.is_empty() {
            return Err("the log is empty: nothing has been noted yet".to_owned());
        }
        let routines = routines_of(&records);
        let mut logs = self.logs.get_untracked();
        let known = logs.iter().position(|log| log.routines.iter().any(|id| routines.contains(id)));
        let said = match known {
            None => {
                let said = format!("{} opened", entries(records.len()));
                self.shown.set(logs.len());
                logs.push(OpenLog::of(records));
                said
            }
            Some(index) => {
                let before = logs[index].records.len();
                let joined =
                    join(&logs[index].records, &records).map_err(|altered| altered.to_string())?;
                let added = joined.len() - before;
                logs[index] = OpenLog::of(joined);
                self.shown.set(index);
                if added == 0 {
                    "already open, nothing new in it".to_owned()
                } else {
                    format!(
                        "joined with the log of {}, {} new",
                        logs[index].label(),
                        entries(added)
                    )
                }
            }
        };
        self.logs.set(logs);
        Ok(said)
    }
}

fn entries(number: usize) -> String {
    if number == 1 { "1 entry".to_owned() } else { format!("{number} entries") }
}
