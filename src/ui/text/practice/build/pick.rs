//! What the picking of an exercise says.

use crate::domain::plan::library::{StandIn, Thing};
use crate::domain::words::Words;
use crate::ui::text::{dose, library};

pub const ADD_AN_EXERCISE: &str = "Add an exercise";
pub const PART_OF_THE_BODY: &str = "Part of the body";
pub const ALL_PARTS: &str = "All";
pub const FIND: &str = "Find by a word";
pub const NEAREST: &str =
    "Nothing here has all of these words. Write it yourself, or take what comes nearest.";
pub const ELSEWHERE: &str = "It is there for another part of the body.";
pub const NOTHING_FOUND: &str =
    "Nothing here has these words. Write it yourself, or try another word.";
pub const ONLY_DOABLE_HERE: &str = "Only what can be done in this home";
pub const OPENING: &str = "Opening the library…";
pub const TRY_AGAIN: &str = "Try again";
pub const ADD: &str = "Add";
pub const LOOK_AT_IT: &str = "Look at it";
pub const OF_YOUR_OWN: &str = "Or an exercise of your own, by name";
pub const WRITE_IT: &str = "Write it";

/// Makes an exercise of one's own from what was looked for: `Write "piano stool squat"`.
pub fn write_named(name: &str) -> String {
    format!("Write \"{name}\"")
}

/// Why the library is not there, before the way to try again.
pub fn not_opened(why: &str) -> String {
    format!("The exercises could not be opened: {why}. ")
}

/// "Needs a sturdy chair and a mat or carpet."
pub fn needs(things: &[Thing]) -> String {
    format!("Needs {}.", list(things))
}

/// "With a rucksack for a hand weight."
pub fn with_stand_ins(stand_ins: &[StandIn]) -> String {
    let swap = |stand_in: &StandIn| {
        format!("{} for {}", library::thing(stand_in.instead), library::thing(stand_in.usual))
    };
    format!("With {}.", dose::list(&stand_ins.iter().map(swap).collect::<Vec<_>>()))
}

/// "Missing here: a sturdy chair and a mat or carpet."
pub fn missing(things: &[Thing]) -> String {
    format!("Missing here: {}.", list(things))
}

fn list(things: &[Thing]) -> String {
    dose::list(&things.iter().map(|&thing| library::thing(thing)).collect::<Vec<_>>())
}

/// "Add Heel lowering".
pub fn add_named(name: &str) -> String {
    format!("Add {name}")
}

/// Where the dose of an exercise is from.
pub fn dose_from(source: &Words) -> String {
    format!("Dose: {source}.")
}

pub fn name_it_first(why: &str) -> String {
    format!("Give it a name first: {why}.")
}
