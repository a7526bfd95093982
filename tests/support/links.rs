//! Links made and read by a codec of their own: deflate by `miniz_oxide`, as the browser does it for the
//! app, and the exercises of the shipped demo as a library.

#![allow(dead_code, reason = "each test file uses its own part")]

use std::sync::LazyLock;

use carryover::domain::plan::limits::{Limits, Preset};
use carryover::domain::plan::routine::{Exercise, Routine};
use carryover::exchange::file::{self, File, RoutineFile};
use carryover::exchange::link::{
    self, LARGEST, LibraryEntries, LinkError, Origin, Packed, Packing,
};
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};
use serde_json::{Value, json};

pub const SITE: &str = "https://carryover.example";

pub fn demo() -> Routine {
    let text = include_str!("../../public/routines/demo.json");
    let Ok(File::Routine(file)) = file::parse(text) else { panic!("the demo is a routine") };
    file.routine
}

/// The text of a library with each of the demo's exercises, and an older revision of the first.
pub fn library_text() -> String {
    let text = include_str!("../../public/routines/demo.json");
    let demo: Value = serde_json::from_str(text).unwrap();
    let exercises = demo["routine"]["exercises"].as_array().unwrap();
    let entry = |exercise: &Value, revision| json!({"region": "heel", "revision": revision, "needs": [], "exercise": exercise});
    let mut entries: Vec<Value> = exercises.iter().map(|exercise| entry(exercise, 2)).collect();
    let mut older = exercises[0].clone();
    older["dose"]["sets"] = json!(2);
    entries.push(entry(&older, 1));
    json!({"format": "carryover-library", "version": 1, "entries": entries}).to_string()
}

pub fn library() -> &'static LibraryEntries {
    static LIBRARY: LazyLock<LibraryEntries> =
        LazyLock::new(|| LibraryEntries::parse(&library_text()));
    &LIBRARY
}

/// Every exercise with the id of an entry was made from it.
pub fn origin(exercise: &Exercise) -> Option<Origin> {
    let id = exercise.id.clone();
    library().exercise(id.as_str(), 2).map(|_| Origin { id, revision: 2 })
}

pub fn condense(routine: &Routine) -> String {
    let library = library();
    link::condense(routine, origin, |id, revision| library.exercise(id, revision)).unwrap()
}

pub fn deflate(text: &str) -> String {
    let bytes = compress_to_vec(text.as_bytes(), 9);
    link::print(&Packed { packing: Packing::Deflated, bytes })
}

pub fn fragment(routine: &Routine) -> String {
    deflate(&condense(routine))
}

/// Unpacks a fragment, no further than a link may go.
pub fn unpack(fragment: &str) -> Result<String, LinkError> {
    let packed = link::parse(fragment)?;
    let bytes = match packed.packing {
        Packing::Plain => packed.bytes,
        Packing::Deflated => {
            decompress_to_vec_with_limit(&packed.bytes, LARGEST).map_err(|error| {
                if error.status == TINFLStatus::HasMoreOutput {
                    LinkError::TooLarge
                } else {
                    LinkError::Damaged
                }
            })?
        }
    };
    String::from_utf8(bytes).map_err(|_not_utf8| LinkError::Damaged)
}

pub fn read(fragment: &str) -> Result<RoutineFile, LinkError> {
    let library = library();
    link::restore(&unpack(fragment)?, |id, revision| library.exercise(id, revision))
}

/// The library that ships with the app.
pub fn shipped() -> &'static LibraryEntries {
    static LIBRARY: LazyLock<LibraryEntries> =
        LazyLock::new(|| LibraryEntries::parse(include_str!("../../public/library.json")));
    &LIBRARY
}

/// The newest revision of an entry that ships.
fn newest(id: &str) -> u32 {
    (1..u32::MAX).take_while(|revision| shipped().exercise(id, *revision).is_some()).last().unwrap()
}

/// For knee and heel, the crankiest last: an order in which a practitioner might choose them.
const CHOSEN: [&str; 8] = [
    "seated-heel-raise",
    "wall-slide-hold",
    "sit-to-stand",
    "heel-drop-straight",
    "step-up",
    "one-leg-balance",
    "standing-leg-curl",
    "step-down",
];

/// A routine of 1 to 8 exercises of the shipped library.
pub fn typical(exercises: usize) -> Routine {
    set_for_client(&CHOSEN[..exercises])
}

/// A routine of such exercises of the shipped library, as a practitioner sets it for a client: side, sets,
/// rest, days and rungs of each, own cautions, sites and limits, and one ladder with a rung more.
pub fn set_for_client(entries: &[impl AsRef<str>]) -> Routine {
    let chosen = entries.iter().enumerate().map(|(index, id)| {
        let id = id.as_ref();
        let mut exercise = shipped().exercise(id, newest(id)).unwrap();
        let rungs = exercise["ladder"]["rungs"].as_array_mut().unwrap();
        if index == 0 {
            rungs.push(json!({"help": "no hands, a rucksack with 4 kg on your knees"}));
        }
        let ceiling = rungs.len().min(2 + index % 3);
        exercise["ladder"]["start"] = json!(1);
        exercise["ladder"]["ceiling"] = json!(ceiling);
        let dose = &mut exercise["dose"];
        dose["sets"] = json!(2 + index % 2);
        dose["rest_secs"] = json!([60, 90, 45, 120][index % 4]);
        if index % 3 == 0 {
            dose["days"] = json!(["mon", "wed", "fri", "sun"]);
        } else {
            dose["times_a_day"] = json!(2);
        }
        if dose["sides"] == "in_turn" {
            dose["sides"] = json!("left");
        }
        exercise
    });
    let mut limits = json!(Limits::of(Preset::PainMonitoring));
    limits["sites"] = json!([
        {"name": "heel tendon", "counts": "as_rated"},
        {"name": "front of the knee", "counts": "one_zone_worse"},
    ]);
    limits["usual_morning"] = json!(2);
    limits["may_step_up"] = json!("to_the_ceiling");
    let routine = json!({
        "id": "01m89s8ff0mndgsj809m00apm2",
        "version": 3,
        "title": "Back to the post round",
        "client": "Postal round, left heel",
        "practitioner": "your physio",
        "issued": "2026-11-25",
        "cautions": ["Not straight after the round: sit for half an hour first.", "Hold the banister on the stairs."],
        "limits": limits,
        "exercises": chosen.collect::<Vec<_>>(),
    });
    serde_json::from_value(routine).unwrap()
}

/// The fragment for a routine made from the shipped library.
pub fn fragment_of_shipped(routine: &Routine) -> String {
    let origin = |exercise: &Exercise| {
        Some(Origin { id: exercise.id.clone(), revision: newest(exercise.id.as_str()) })
    };
    let library = shipped();
    deflate(
        &link::condense(routine, origin, |id, revision| library.exercise(id, revision)).unwrap(),
    )
}
