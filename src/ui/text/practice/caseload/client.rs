//! What the page of one client says.

use chrono::NaiveDate;

use crate::domain::plan::routine::Routine;
use crate::domain::words::Words;
use crate::ui::text::dates;
use crate::ui::text::dose::count;

pub const ROUTINE: &str = "Routine";
pub const NOT_HANDED_OVER: &str = "There are changes that were not handed over yet.";
pub const BUILD_ROUTINE: &str = "Build the routine";
pub const CHANGE_ROUTINE: &str = "Change the routine";
/// Above the answers that travel with a version.
pub const ANSWERS: &str = "Answers in it";

/// "Version 2, Monday 1 June, 3 exercises".
pub fn version(routine: &Routine) -> String {
    let exercises = u16::try_from(routine.exercises().len()).unwrap_or(u16::MAX);
    format!(
        "Version {}, {}, {}",
        routine.version.get(),
        dates::day(routine.issued),
        count(exercises, "exercise"),
    )
}

pub const DONE: &str = "What was done";
pub const NO_LOG_YET: &str = "No log was opened yet.";
pub const OPEN_LOG: &str = "Open the log and read the week";

/// "The log reaches to Monday 1 June."
pub fn log_reaches(to: NaiveDate) -> String {
    format!("The log reaches to {}.", dates::day(to))
}

/// "The last visit was closed on Monday 1 June."
pub fn last_visit(on: NaiveDate) -> String {
    format!("The last visit was closed on {}.", dates::day(on))
}

pub const NEXT_VISIT: &str = "Next visit";

/// "What is in this home? 4 ticked".
pub fn home(ticked: usize) -> String {
    match ticked {
        0 => "What is in this home?".to_owned(),
        ticked => format!("What is in this home? {ticked} ticked"),
    }
}

pub const WHY_HOME: &str = "Tick what is there, or what you bring. The library then shows what can be done here, and what can stand in for what is missing.";
pub const THINGS: &str = "What is in this home";

pub const ON_LOAN: &str = "On loan";
pub const LENT_TODAY: &str = "What is lent today";
pub const LEND: &str = "Lend";
pub const CAME_BACK: &str = "Came back";

/// "since Monday 1 June", "Monday 1 June to Friday 5 June".
pub fn lent(since: NaiveDate, back: Option<NaiveDate>) -> String {
    match back {
        None => format!("since {}", dates::day(since)),
        Some(back) => format!("{} to {}", dates::day(since), dates::day(back)),
    }
}

pub const LABEL_ARCHIVE_ERASE: &str = "Label, archive, erase";
pub const LABEL: &str = "Label";
pub const ARCHIVE: &str = "Archive";
pub const TAKE_OUT_OF_ARCHIVE: &str = "Take out of the archive";

pub const ASK_ERASE: &str = "Erase for good…";
pub const ERASE: &str = "Erase for good";
pub const KEEP: &str = "Keep";

/// "This takes away Postal round 7 with …".
pub fn what_erasing_takes(label: &Words) -> String {
    format!(
        "This takes away {label} with every routine, log and note on this device. It cannot be undone."
    )
}
