//! Whose a log is that comes in: told by the entries that it shares with a log that is kept, else by the
//! routine that it followed. Where that does not tell it plainly it is asked, never guessed.

use crate::domain::plan::routine::{Routine, Version};
use crate::domain::words::{Id, Words};

/// The ids of the routines that ship with the app. They are the same for everybody, so they tell nothing of
/// whose a log is.
pub const SHIPPED: [&str; 3] = ["demo-post-round", "heel-drop", "knee-days-5-12"];

/// Whether two clients who know nothing of each other can follow a routine of this id.
pub fn is_anyones(routine: &Id) -> bool {
    SHIPPED.contains(&routine.as_str())
}

/// What a log has in common with the log that is kept of a client.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InCommon {
    Nothing,
    Entries,
}

/// A client as far as a log can be told to be theirs.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownClient {
    pub client: Id,
    pub label: Words,
    /// The versions that were handed over, and those that the kept log followed.
    pub routines: Vec<Routine>,
    pub in_common: InCommon,
}

impl KnownClient {
    fn follows(&self, routine: &Id) -> bool {
        self.routines.iter().any(|known| known.id == *routine)
    }

    /// Whether the client goes by a label, or went by it when a routine was made.
    fn goes_by(&self, label: &Words) -> bool {
        let made_for = self.routines.iter().filter_map(|routine| routine.client.as_ref());
        made_for.chain([&self.label]).any(|known| known == label)
    }

    fn newest(&self, routine: &Id) -> Option<Version> {
        let versions = self.routines.iter().filter(|known| known.id == *routine);
        versions.map(|known| known.version).max()
    }
}

/// What is known of whose a log is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Belonging {
    /// It is plainly this client's.
    Plain(Id),
    Asked(Question),
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    pub why: Oddity,
    /// The clients with whom it may be kept, the likeliest first.
    pub may_be: Vec<Id>,
}

/// Why a log is asked about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Oddity {
    /// It does not say what it followed.
    NoRoutine,
    /// What it follows is not in the caseload.
    UnknownRoutine {
        title: Words,
        made_for: Option<Words>,
    },
    /// What it follows ships with the app, so that it can be anyone's.
    ShippedRoutine {
        title: Words,
    },
    /// It is another client's than the one who is visited.
    OtherClient {
        whose: Words,
        visited: Words,
    },
    /// Its routine is a client's, but it was made for another label than theirs.
    OtherLabel {
        made_for: Words,
        whose: Words,
    },
    /// It follows a later version than any that is known.
    NewerVersion {
        whose: Words,
        found: Version,
        newest: Version,
    },
    SeveralClients {
        labels: Vec<Words>,
    },
}

/// Whose a log is that followed these routines, the latest last. `visited` is the client at whose visit it was
/// opened.
pub fn belonging(followed: &[&Routine], known: &[KnownClient], visited: Option<&Id>) -> Belonging {
    let visited = visited.and_then(|id| known.iter().find(|known| known.client == *id));
    let last = followed.last().copied();
    let asked = |why, may_be: &[&KnownClient]| {
        let mut clients: Vec<Id> = Vec::new();
        for known in may_be {
            if !clients.contains(&known.client) {
                clients.push(known.client.clone());
            }
        }
        Belonging::Asked(Question { why, may_be: clients })
    };
    let fitting = fitting(followed, known);
    let [one] = fitting.as_slice() else {
        let may_be: Vec<&KnownClient> =
            visited.into_iter().chain(fitting.iter().copied()).collect();
        let Some(last) = last.filter(|_| fitting.is_empty()) else {
            let labels = fitting.iter().map(|known| known.label.clone()).collect();
            let several = Oddity::SeveralClients { labels };
            let why = if fitting.is_empty() { Oddity::NoRoutine } else { several };
            return asked(why, &may_be);
        };
        let also = known.iter().filter(|known| known.follows(&last.id));
        return asked(unknown(last), &may_be.into_iter().chain(also).collect::<Vec<_>>());
    };
    if let Some(visited) = visited.filter(|visited| visited.client != one.client) {
        let (whose, other) = (one.label.clone(), visited.label.clone());
        return asked(Oddity::OtherClient { whose, visited: other }, &[one, visited]);
    }
    match last.and_then(|last| oddity(last, one)) {
        Some(why) => asked(why, &[one]),
        None => Belonging::Plain(one.client.clone()),
    }
}

/// The clients whose log it can be. Logs with an entry in common are one; else those to whom the same routine
/// was given are told apart by its exact words, then by the label that it was made for.
fn fitting<'a>(followed: &[&Routine], known: &'a [KnownClient]) -> Vec<&'a KnownClient> {
    let sharing: Vec<&KnownClient> =
        known.iter().filter(|known| known.in_common == InCommon::Entries).collect();
    if !sharing.is_empty() {
        return sharing;
    }
    let is_theirs = |routine: &Routine, known: &KnownClient| {
        !is_anyones(&routine.id) && known.follows(&routine.id)
    };
    let by_id = known.iter().filter(|known| followed.iter().any(|one| is_theirs(one, known)));
    let by_words = |known: &KnownClient| followed.iter().any(|one| known.routines.contains(one));
    let made_for = followed.last().and_then(|last| last.client.as_ref());
    let by_label = |known: &KnownClient| made_for.is_some_and(|label| known.goes_by(label));
    narrowed(narrowed(by_id.collect(), by_words), by_label)
}

/// Those who fit better, if any do.
fn narrowed(clients: Vec<&KnownClient>, fits: impl Fn(&KnownClient) -> bool) -> Vec<&KnownClient> {
    let better: Vec<&KnownClient> = clients.iter().copied().filter(|known| fits(known)).collect();
    if better.is_empty() { clients } else { better }
}

fn unknown(routine: &Routine) -> Oddity {
    let title = routine.title.clone();
    if is_anyones(&routine.id) {
        Oddity::ShippedRoutine { title }
    } else {
        Oddity::UnknownRoutine { title, made_for: routine.client.clone() }
    }
}

/// What is odd about a log of this client's that follows a routine now.
fn oddity(routine: &Routine, of: &KnownClient) -> Option<Oddity> {
    let Some(newest) = of.newest(&routine.id) else { return Some(unknown(routine)) };
    let whose = of.label.clone();
    if newest < routine.version {
        return Some(Oddity::NewerVersion { whose, found: routine.version, newest });
    }
    let made_for = routine.client.as_ref().filter(|label| !of.goes_by(label))?;
    let is_new = of.in_common == InCommon::Nothing;
    is_new.then(|| Oddity::OtherLabel { made_for: made_for.clone(), whose })
}
