//! What the fields of a dose say.

use chrono::Weekday;

use crate::domain::plan::dose::Sides;

pub const TITLE: &str = "Dose";
pub const SETS: &str = "Sets";
pub const REPS: &str = "Reps in a set";
pub const REST: &str = "Rest between sets, seconds";
pub const TIMES_A_DAY: &str = "Times a day";
pub const DAYS: &str = "Days";
pub const WHICH_SIDES: &str = "Sides";
pub const LOAD_SUCH_AS: &str = "Load: a weight such as 4 kg, or words such as a light loop band";
pub const ONE_REP: &str = "One rep";

pub const PHASES: &str = "Phases of one rep";
pub const SECONDS: &str = "Seconds";
pub const ONE_WORD: &str = "One word instead, such as push";
pub const A_FEW_WORDS: &str = "A few words, such as both feet";
pub const ADD_A_PHASE: &str = "Add a phase";

pub const fn sides(sides: Sides) -> &'static str {
    match sides {
        Sides::Together => "Both at once, or no sides",
        Sides::Left => "Left only",
        Sides::Right => "Right only",
        Sides::InTurn => "Left, then right, in each set",
        Sides::OneAfterTheOther => "All sets left, then all right",
    }
}

pub const fn short_weekday(day: Weekday) -> &'static str {
    match day {
        Weekday::Mon => "Mon",
        Weekday::Tue => "Tue",
        Weekday::Wed => "Wed",
        Weekday::Thu => "Thu",
        Weekday::Fri => "Fri",
        Weekday::Sat => "Sat",
        Weekday::Sun => "Sun",
    }
}

/// "Phase 2".
pub fn phase(number: usize) -> String {
    format!("Phase {number}")
}

/// "Take out phase 2".
pub fn take_out_phase(number: usize) -> String {
    format!("Take out phase {number}")
}
