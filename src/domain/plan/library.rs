//! The exercises that ship with the app: where to start from, never a prescription.
//!
//! A released entry is never changed: a hand-over link names its id and [`Revision`] and carries only
//! what the practitioner set otherwise, so every revision must stay readable for ever. A better text
//! or dose is a new entry with the same id and the next revision, added to the file beside the old one.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::routine::Exercise;
use crate::domain::refused::Complaint;
use crate::domain::words::{Id, whole_number};

whole_number!(
    /// Counts the revisions of one entry, from 1. A higher one supersedes, and never replaces, a lower one.
    Revision, 1..=9999
);

/// The part of the body that an exercise is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Region {
    FootAndAnkle,
    Knee,
    Hip,
    Trunk,
    Shoulder,
    ElbowAndWrist,
    Neck,
}

impl Region {
    /// From the ground up, the neck last.
    pub const ALL: [Self; 7] = [
        Self::FootAndAnkle,
        Self::Knee,
        Self::Hip,
        Self::Trunk,
        Self::Shoulder,
        Self::ElbowAndWrist,
        Self::Neck,
    ];
}

/// What may be found in a home or brought along.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Thing {
    Chair,
    Armchair,
    Table,
    Worktop,
    Workbench,
    Wall,
    DoorFrame,
    Stair,
    LowStep,
    Banister,
    Bed,
    Mat,
    Cushion,
    Towel,
    Book,
    Broomstick,
    Hammer,
    Bottle,
    Rucksack,
    BathroomScale,
    Ball,
    Weight,
    LoopBand,
    LongBand,
    DoorAnchor,
}

impl Thing {
    /// Furniture first, then what lies about a home, then what is brought along.
    pub const ALL: [Self; 25] = [
        Self::Chair,
        Self::Armchair,
        Self::Table,
        Self::Worktop,
        Self::Workbench,
        Self::Wall,
        Self::DoorFrame,
        Self::Stair,
        Self::LowStep,
        Self::Banister,
        Self::Bed,
        Self::Mat,
        Self::Cushion,
        Self::Towel,
        Self::Book,
        Self::Broomstick,
        Self::Hammer,
        Self::Bottle,
        Self::Rucksack,
        Self::BathroomScale,
        Self::Ball,
        Self::Weight,
        Self::LoopBand,
        Self::LongBand,
        Self::DoorAnchor,
    ];
}

/// One thing that an entry uses on its rungs up to the ceiling.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Need {
    /// The usual thing, which the steps and rungs name.
    pub thing: Thing,
    /// What may take its place, the best first.
    #[serde(default)]
    pub stand_ins: Vec<Thing>,
}

/// One revision of one exercise of the library.
///
/// Its stable id is `exercise.id`. A dose with sides works both in turn: which side is meant is the
/// practitioner's to say, as is everything else in it.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Entry {
    pub region: Region,
    pub revision: Revision,
    pub needs: Vec<Need>,
    pub exercise: Exercise,
}

/// Whether an entry can be done with what a home has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Every usual thing is there.
    Ready,
    /// It can be done, with these in place of the usual things.
    WithStandIns(Vec<StandIn>),
    /// Neither these things nor anything in their place is there.
    Missing(Vec<Thing>),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StandIn {
    pub usual: Thing,
    pub instead: Thing,
}

impl Entry {
    /// Whether the entry can be done in a home that has such things, as many of each as it takes.
    pub fn fit(&self, home: &BTreeSet<Thing>) -> Fit {
        let (mut stand_ins, mut missing) = (Vec::new(), Vec::new());
        for Need { thing: usual, stand_ins: others } in &self.needs {
            if home.contains(usual) {
                continue;
            }
            match others.iter().find(|other| home.contains(other)) {
                Some(&instead) => stand_ins.push(StandIn { usual: *usual, instead }),
                None => missing.push(*usual),
            }
        }
        if !missing.is_empty() {
            Fit::Missing(missing)
        } else if stand_ins.is_empty() {
            Fit::Ready
        } else {
            Fit::WithStandIns(stand_ins)
        }
    }
}

/// A library that exists has no revision of an entry twice.
#[derive(Clone, Debug, PartialEq)]
pub struct Library {
    entries: Vec<Entry>,
    newest: BTreeMap<Id, Revision>,
}

#[derive(Deserialize)]
struct Head {
    format: Option<String>,
    version: Option<i64>,
}

#[derive(Deserialize)]
struct Body {
    entries: Vec<Entry>,
}

impl Library {
    /// The newest version of the file that is read.
    pub const VERSION: i64 = 1;
    const FORMAT: &str = "carryover-library";

    /// Reads the file whole or not at all. The format is described in `docs/exercise-library.md`.
    pub fn parse(text: &str) -> Result<Self, NotALibrary> {
        let head: Head =
            serde_json::from_str(text).map_err(|error| NotALibrary::damaged(&error))?;
        if head.format.as_deref() != Some(Self::FORMAT) {
            return Err(NotALibrary::OtherFormat);
        }
        match head.version {
            Some(1..=Self::VERSION) => {}
            Some(found @ 2..) => return Err(NotALibrary::TooNew { found }),
            Some(..=0) | None => return Err(NotALibrary::OtherFormat),
        }
        let Body { entries } =
            serde_json::from_str(text).map_err(|error| NotALibrary::damaged(&error))?;
        Self::new(entries)
    }

    fn new(entries: Vec<Entry>) -> Result<Self, NotALibrary> {
        let mut seen = BTreeSet::new();
        let mut newest = BTreeMap::new();
        for Entry { revision, exercise, .. } in &entries {
            if !seen.insert((&exercise.id, *revision)) {
                let id = exercise.id.as_str().to_owned();
                return Err(NotALibrary::Repeated { id, revision: revision.get() });
            }
            let highest = newest.entry(exercise.id.clone()).or_insert(*revision);
            *highest = (*highest).max(*revision);
        }
        Ok(Self { entries, newest })
    }

    /// The newest revision of each entry, in the order of the file.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.entries
            .iter()
            .filter(|entry| self.newest.get(&entry.exercise.id) == Some(&entry.revision))
    }

    /// One revision of one entry, superseded or not.
    pub fn entry(&self, id: &Id, revision: Revision) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.exercise.id == *id && entry.revision == revision)
    }

    /// The newest revision of each entry for one part of the body.
    pub fn in_region(&self, region: Region) -> impl Iterator<Item = &Entry> {
        self.entries().filter(move |entry| entry.region == region)
    }
}

/// Why the library could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotALibrary {
    Damaged(Complaint),
    OtherFormat,
    TooNew { found: i64 },
    Repeated { id: String, revision: u16 },
}

impl NotALibrary {
    fn damaged(error: &serde_json::Error) -> Self {
        Self::Damaged(Complaint::of(error))
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;

    fn file(entries: &[Value]) -> String {
        json!({ "format": "carryover-library", "version": 1, "entries": entries }).to_string()
    }

    fn entry(id: &str, revision: u16, region: &str) -> Value {
        json!({
            "region": region,
            "revision": revision,
            "needs": [
                { "thing": "stair", "stand_ins": ["low_step"] },
                { "thing": "banister", "stand_ins": ["door_frame", "wall"] },
            ],
            "exercise": {
                "id": id,
                "name": "Heel drop",
                "steps": ["Lower the heel slowly."],
                "dose": {
                    "sets": 3,
                    "reps": 8,
                    "tempo": [{ "action": "lower", "secs": 3 }],
                    "rest_secs": 60,
                },
                "ladder": { "rungs": [{ "help": "a hand" }], "start": 1, "ceiling": 1 },
            },
        })
    }

    fn revision(number: i64) -> Revision {
        Revision::new(number).unwrap()
    }

    #[test]
    fn a_home_fits_as_it_is_or_with_stand_ins_or_lacks_something() {
        use Thing::{Banister, Chair, DoorFrame, LowStep, Stair, Wall};
        let library = Library::parse(&file(&[entry("heel-drop", 1, "foot_and_ankle")])).unwrap();
        let entry = library.entries().next().unwrap();
        let instead = |usual, instead| StandIn { usual, instead };
        #[rustfmt::skip]
        let rows = [
            (&[Stair, Banister, Wall][..],  Fit::Ready),
            (&[Stair, Wall, DoorFrame],     Fit::WithStandIns(vec![instead(Banister, DoorFrame)])),
            (&[LowStep, Wall],              Fit::WithStandIns(vec![instead(Stair, LowStep), instead(Banister, Wall)])),
            (&[LowStep, Chair],             Fit::Missing(vec![Banister])),
            (&[],                           Fit::Missing(vec![Stair, Banister])),
        ];
        for (home, fit) in rows {
            assert_eq!(entry.fit(&home.iter().copied().collect()), fit, "{home:?}");
        }
    }

    #[test]
    fn the_newest_revision_is_listed_and_every_older_one_stays_readable() {
        let text = file(&[
            entry("heel-drop", 2, "foot_and_ankle"),
            entry("bridge", 1, "hip"),
            entry("heel-drop", 1, "foot_and_ankle"),
        ]);
        let library = Library::parse(&text).unwrap();
        let listed: Vec<_> = library
            .entries()
            .map(|entry| (entry.exercise.id.as_str(), entry.revision.get()))
            .collect();
        assert_eq!(listed, [("heel-drop", 2), ("bridge", 1)]);
        assert_eq!(library.in_region(Region::FootAndAnkle).count(), 1);
        assert_eq!(library.in_region(Region::Neck).count(), 0);

        let id = Id::new("heel-drop").unwrap();
        for number in [1, 2] {
            assert_eq!(library.entry(&id, revision(number)).unwrap().revision, revision(number));
        }
        assert_eq!(library.entry(&id, revision(3)), None);
    }

    #[test]
    fn what_is_not_a_library_says_what_is_wrong() {
        let wrong = |text: &str| Library::parse(text).unwrap_err();
        assert_eq!(wrong("{}"), NotALibrary::OtherFormat);
        assert_eq!(
            wrong(r#"{"format":"carryover-routine","version":1}"#),
            NotALibrary::OtherFormat
        );
        assert_eq!(
            wrong(r#"{"format":"carryover-library","version":0}"#),
            NotALibrary::OtherFormat
        );
        assert_eq!(
            wrong(r#"{"format":"carryover-library","version":2}"#),
            NotALibrary::TooNew { found: 2 }
        );
        assert!(matches!(wrong("{"), NotALibrary::Damaged(_)));

        let twice = file(&[entry("bridge", 1, "hip"), entry("bridge", 1, "hip")]);
        let repeated = NotALibrary::Repeated { id: "bridge".to_owned(), revision: 1 };
        assert_eq!(wrong(&twice), repeated);
        let elsewhere = wrong(&file(&[entry("bridge", 1, "tail")]));
        assert!(matches!(elsewhere, NotALibrary::Damaged(_)), "{elsewhere:?}");
    }
}
