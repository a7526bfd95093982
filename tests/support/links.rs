//! Links made and read by a codec of their own: deflate by `miniz_oxide`, as the browser does it for the
//! app, and the exercises of the shipped demo as a library.

use std::sync::LazyLock;

use carryover::domain::routine::{Exercise, Routine};
use carryover::exchange::file::{self, File, RoutineFile};
use carryover::exchange::link::{self, Entries, LARGEST, LinkError, Origin, Packed, Packing};
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

pub fn library() -> &'static Entries {
    static LIBRARY: LazyLock<Entries> = LazyLock::new(|| Entries::parse(&library_text()));
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
