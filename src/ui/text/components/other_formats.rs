//! What is said of a log in open formats, and of reminders in a calendar.

use crate::domain::plan::routine::Routine;
use crate::exchange::calendar::Captions;

pub const TITLE: &str = "Other formats";

pub const SPREADSHEET: &str = "Spreadsheet (CSV)";
pub const WHAT_A_SPREADSHEET_HAS: &str = ": a line for each set, and for each day that was missed or left out, to count and sort in a table of your own.";
pub const SAVE_FOR_A_SPREADSHEET: &str = "Save for a spreadsheet";

pub const CLINIC_RECORD: &str = "Clinic record (FHIR R4)";
pub const WHAT_A_CLINIC_RECORD_HAS: &str =
    ": for the record system of a clinic. It holds what was done and said, and no name.";
pub const SAVE_FOR_A_CLINIC: &str = "Save for a clinic";

pub const CALENDAR: &str = "Calendar";

/// After "Calendar": ": reminders for your sessions and the morning check, for 12 weeks. …".
pub fn what_a_calendar_has(whose: &str, weeks: u16) -> String {
    format!(
        ": reminders for {whose} and the morning check, for {weeks} weeks. A calendar may copy itself to other devices."
    )
}

/// Whose sessions a calendar reminds of, on the client's own device.
pub const YOUR_SESSIONS: &str = "your sessions";
pub const NO_ROUTINE_YET: &str = "There is no routine yet to be reminded of.";
/// What stands in the calendar itself.
pub const REMINDERS: Captions = Captions {
    session: "Exercises",
    morning: "Morning check",
    morning_question: "How is it this morning? Answer before you get going.",
};
pub const SAVE_FOR_A_CALENDAR: &str = "Save for a calendar";

/// "Heel lowering, version 3."
pub fn which_routine(routine: &Routine) -> String {
    format!("{}, version {}.", routine.title, routine.version.get())
}

pub const EXERCISES_AT: &str = "Exercises at";

/// One of several times a day: "Exercises, time 2, at".
pub fn exercises_at(time: usize) -> String {
    format!("Exercises, time {time}, at")
}

pub const MORNING_CHECK_AT: &str = "Morning check at";
pub const NO_TIME_OF_DAY: &str = "A time of day is written like 18:00.";

/// "Saved as carryover-2026-11-26.csv, with your downloads."
pub fn saved_as(file: &str) -> String {
    format!("Saved as {file}, with your downloads.")
}

pub const NOT_SAVED: &str = "This browser would not save the file. Try another browser.";

/// What LOINC's licence asks to be shown beside its codes; `docs/notices.md` has it too.
pub const LOINC_NOTICE: &str = "This material contains content from LOINC (http://loinc.org). LOINC is copyright © Regenstrief Institute, Inc. and the Logical Observation Identifiers Names and Codes (LOINC) Committee and is available at no cost under the license at http://loinc.org/license. LOINC® is a registered United States trademark of Regenstrief Institute, Inc.";
