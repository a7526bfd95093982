//! What lies open on the practitioner's screen, in memory only: logs, joined where they belong together.

use leptos::prelude::*;

use crate::domain::event::Fact;
use crate::domain::history::History;
use crate::domain::routine::Routine;
use crate::domain::words::Id;
use crate::exchange::file::{self, File};
use crate::exchange::record::{Record, join};
use crate::platform::files::Picked;

/// One client's log, from one file or from several that belong together.
#[derive(Clone)]
pub struct OpenLog {
    /// Ids of the routines it followed: two logs that share one belong together.
    routines: Vec<Id>,
    pub records: Vec<Record>,
    pub history: History,
}

impl OpenLog {
    fn of(records: Vec<Record>) -> Self {
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
}

#[derive(Clone, Copy)]
pub struct Bench {
    pub logs: RwSignal<Vec<OpenLog>, LocalStorage>,
    /// Which log is looked at.
    pub shown: RwSignal<usize>,
    pub routine: RwSignal<Option<Routine>, LocalStorage>,
    pub outcomes: RwSignal<Vec<Outcome>>,
}

impl Bench {
    pub fn empty() -> Self {
        Self {
            logs: RwSignal::new_local(Vec::new()),
            shown: RwSignal::new(0),
            routine: RwSignal::new_local(None),
            outcomes: RwSignal::new(Vec::new()),
        }
    }

    /// Opens files by their content; one that cannot be read changes nothing.
    pub fn open(self, files: Vec<Picked>) {
        let outcomes = files.into_iter().map(|picked| {
            let what = match picked.text {
                Ok(text) => self.open_text(&text),
                Err(_) => Err("it could not be read from this device".to_owned()),
            };
            Outcome { name: picked.name, what }
        });
        self.outcomes.set(outcomes.collect());
    }

    fn open_text(self, text: &str) -> Result<String, String> {
        match file::parse(text) {
            Ok(File::Log(records)) => self.add_log(records),
            Ok(File::DamagedLog { records, gaps }) => {
                let said = self.add_log(records)?;
                let gaps: Vec<String> = gaps.iter().map(ToString::to_string).collect();
                Ok(format!("{said}, but the file is damaged ({})", gaps.join("; ")))
            }
            Ok(File::Routine(file)) => {
                let title = file.routine.title.to_string();
                self.routine.set(Some(file.routine));
                Ok(format!("routine \"{title}\", shown below"))
            }
            Err(error) => Err(error.to_string()),
        }
    }

    fn add_log(self, records: Vec<Record>) -> Result<String, String> {
        if records.is_empty() {
            return Err("the log is empty: nothing has been noted yet".to_owned());
        }
        let routines = routines_of(&records);
        let mut logs = self.logs.get_untracked();
        let known = logs.iter().position(|log| log.routines.iter().any(|id| routines.contains(id)));
        let entries = |number: usize| {
            if number == 1 { "1 entry".to_owned() } else { format!("{number} entries") }
        };
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
