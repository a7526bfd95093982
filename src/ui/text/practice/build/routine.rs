//! What the routine builder says, and what its other pages say alike.

use crate::domain::plan::draft::{Draft, SessionPlace};
use crate::domain::plan::limits::{Preset, Table};
use crate::domain::plan::routine::Exercise;
use crate::domain::words::Words;
use crate::ui::text::{capitalised, dates, dose, verdict};

pub const BACK_TO_CLIENT: &str = "Client";
pub const BACK_TO_ROUTINE: &str = "Routine";
pub const DONE: &str = "Done";
pub const TAKE_OUT: &str = "Take out";
pub const PUT_BACK: &str = "Put it back";
pub const HAND_OVER: &str = "Hand over";

pub const NOTHING_YET: &str = "Nothing in it yet. Two to four exercises are a good start: pick them from the library and change what you like.";
pub const MORE_THAN_FOUR: &str = "More than four: people did two exercises better than eight, with five in between (Henry 1999, Phys Ther 79:270). It is your call.";

pub const PUT_IN_ORDER: &str = "Warm-up first, crankiest last";
pub const IS_IN_ORDER: &str = "Put in order: warm-up first, crankiest last.";
pub const DRAG: &str = "Drag to another place";
pub const PLACE_IN_SESSION: &str = "Place in the session";
pub const DUPLICATE: &str = "Duplicate";

pub const WORDS_AROUND_IT: &str = "Words around it";
pub const WHAT_IT_IS_CALLED: &str = "Title";
pub const WHO_IT_IS_FROM: &str = "How the client knows you";
pub const YOUR_NUMBER: &str = "Your number to ring";
pub const CAUTIONS: &str = "Cautions for the whole routine";

pub const fn place(place: SessionPlace) -> &'static str {
    match place {
        SessionPlace::WarmUp => "Warm-up",
        SessionPlace::Middle => "Middle",
        SessionPlace::Crankiest => "Crankiest",
    }
}

/// Whose routine it is: "Routine: Postal round 7".
pub fn title(label: &Words) -> String {
    format!("Routine: {label}")
}

/// "3 exercises, about 14 min a session, 52 min a week without the rests".
pub fn in_all(draft: &Draft) -> String {
    let count = u16::try_from(draft.items.len()).unwrap_or(u16::MAX);
    format!(
        "{}, about {} a session, {} a week without the rests",
        dose::count(count, "exercise"),
        dates::minutes(draft.session_time()),
        dates::minutes(draft.work_a_week()),
    )
}

/// "Heel lowering is taken out."
pub fn taken_out(name: &Words) -> String {
    format!("{name} is taken out.")
}

/// "2. Heel lowering".
pub fn numbered(number: usize, name: &str) -> String {
    format!("{number}. {name}")
}

/// "Heel lowering is now number 2."
pub fn is_now_number(name: &str, number: usize) -> String {
    format!("{name} is now number {number}.")
}

/// "Heel lowering: earlier", on the button that puts it one place earlier.
pub fn earlier(name: &str) -> String {
    format!("{name}: earlier")
}

/// "Heel lowering: later", on the button that puts it one place later.
pub fn later(name: &str) -> String {
    format!("{name}: later")
}

/// "Every day. Starts on rung 2 of 4, up to 3: one hand on the banister."
pub fn starts_on(exercise: &Exercise) -> String {
    format!(
        "{}. Starts on rung {} of {}, up to {}: {}.",
        capitalised(&dose::how_often(&exercise.dose)),
        exercise.ladder.start().get(),
        exercise.ladder.top().get(),
        exercise.ladder.ceiling().get(),
        exercise.ladder.rung(exercise.ladder.start()).help,
    )
}

/// "Pain-monitoring: low up to 2, middle up to 5".
pub fn rule(table: &Table) -> String {
    format!(
        "{}: low up to {}, middle up to {}",
        match Preset::of(table) {
            Some(preset) => verdict::preset(Some(preset)),
            None => "Your own table",
        },
        table.low_max().points(),
        table.middle_max().points(),
    )
}

/// Why a list is not taken.
pub fn at_most_lines(most: usize) -> String {
    format!("at most {most} lines fit")
}
