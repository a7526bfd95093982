//! What the caseload says.

use chrono::NaiveDate;

use crate::domain::visit::caseload::ClientStatus;
use crate::domain::visit::glance::TakenOn;
use crate::domain::words::Words;
use crate::ui::text::dates;
use crate::ui::text::dose::count;

pub const TITLE: &str = "Caseload";
pub const CLIENTS_SIDE: &str = "Client's side";
/// The way to a copy, where the caseload is gone.
pub const OPEN_COPY: &str = "If you have a copy of your caseload, open it under \"Open a file\".";
pub const OPEN_FILE: &str = "Open a file";
pub const WHAT_FILE: &str = "A log that a client handed back, a routine, or a copy of a caseload. Opening a file twice changes nothing.";

pub const NOBODY_YET: &str = "Nobody here yet. Add a client by a label of your choosing; no name and no diagnosis is needed. Everything stays on this device.";
pub const FIND: &str = "Find by label";
pub const WHICH: &str = "Which clients";
pub const ALL: &str = "All";
pub const NONE: &str = "None.";
pub const SHOW_ARCHIVED: &str = "Show the archived";
pub const SHOW_CURRENT: &str = "Show the current";

/// "To act on: 3".
pub fn to_act_on(number: usize) -> String {
    format!("To act on: {number}")
}

/// The last log, the next visit and the version that is out, as far as there are any: "Log to Mon 1 Jun. Next visit
/// on Friday. Version 2 taken on."
pub fn facts(
    last_day: Option<NaiveDate>,
    next_visit: Option<NaiveDate>,
    out: Option<(u16, NaiveDate, TakenOn)>,
    today: NaiveDate,
) -> String {
    let log = last_day.map(|day| format!("Log to {}.", dates::short_day(day)));
    let visit = next_visit.map(|day| visit_on(day, today));
    let version = out.map(|(version, issued, taken_on)| match taken_on {
        TakenOn::Yes => format!("Version {version} taken on."),
        TakenOn::NotYet => format!("Version {version} not taken on."),
        TakenOn::Unknown => {
            format!("Version {version} handed over {}.", dates::short_day(issued))
        }
    });
    [log, visit, version].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// "Next visit on Friday.", "A visit was planned for Mon 1 Jun."
pub fn visit_on(day: NaiveDate, today: NaiveDate) -> String {
    if day < today {
        format!("A visit was planned for {}.", dates::short_day(day))
    } else {
        format!("Next visit {}.", dates::when(day, today))
    }
}

/// "Kit on loan: 3 things".
pub fn kit_on_loan(things: usize) -> String {
    format!("Kit on loan: {}", count(u16::try_from(things).unwrap_or(u16::MAX), "thing"))
}

pub const FIND_KIT: &str = "Find by thing or label";

/// "With Postal round 7 since Monday 1 June".
pub fn with_whom(label: &Words, standing: ClientStatus, since: NaiveDate) -> String {
    let archived = match standing {
        ClientStatus::Current => "",
        ClientStatus::Archived => " (archived)",
    };
    format!("With {label}{archived} since {}", dates::day(since))
}

/// "2 things on loan".
pub fn on_loan(things: u16) -> String {
    format!("{} on loan", count(things, "thing"))
}

pub const NEW_LABEL: &str = "A new client's label";
pub const ADD_CLIENT: &str = "Add client";
pub const WHO_READS_IT: &str =
    "The client reads the label, too: on the first screen, on the sheet and in the names of files.";
pub const LABEL_TAKEN: &str =
    "A client here has that label. Give this one another, so that you can tell them apart.";
pub const LABEL_FIRST: &str = "Give the client a label first, such as a street or a number.";

pub const BRING_BACK_TITLE: &str = "Bring back this copy?";
pub const BRING_BACK: &str = "Bring it back";
pub const ADD_MISSING: &str = "Add what is missing here";
pub const NOT_NOW: &str = "Not now";

/// `"caseload.txt" holds 12 records.`
pub fn copy_holds(name: &str, number: usize) -> String {
    format!("\"{name}\" holds {}.", records(number))
}

/// After what the copy holds.
pub fn unreadable_in_copy(number: usize) -> String {
    format!(" {number} of them cannot be read here; they are kept as they are.")
}

/// `12 records brought back from "caseload.txt".`
pub fn brought_back(number: usize, name: &str) -> String {
    format!("{} brought back from \"{name}\".", records(number))
}

pub const ASK_REPLACE: &str = "Use the copy instead of what is here…";
pub const REPLACE: &str = "Erase what is here and use the copy";
pub const KEEP_WHAT_IS_HERE: &str = "Keep what is here";

/// What goes if a copy takes the place of what is here: the clients whom the copy does not know, and so many
/// records.
pub fn what_replacing_takes(clients: &[Words], number: usize) -> String {
    let labels: Vec<String> = clients.iter().map(|label| format!("\"{label}\"")).collect();
    let clients = match labels.as_slice() {
        [] => "Every client here is in the copy, too, but not all that is kept here.".to_owned(),
        labels => format!("The copy does not have {}.", labels.join(", ")),
    };
    let records = records(number);
    format!(
        "{clients} This takes away {records} that the copy does not have, or has in another form. It cannot be undone; save a copy of everything first if you may want it back."
    )
}

fn records(number: usize) -> String {
    if number == 1 { "1 record".to_owned() } else { format!("{number} records") }
}

pub const OPEN_LOGS: &str = "Open logs";

pub const CLOSE: &str = "Close";
pub const USE_FOR_NEW: &str = "Use it for a new client";

pub const LOOK_AT_SHIPPED: &str = "Look at a routine that comes with the app:";
pub const DEMO_ROUTINE: &str = "The demo routine";
pub const HEEL_DROPS: &str = "Heel drops, as published";
pub const KNEE_DAYS: &str = "Knee, days 5 to 12, as published";

pub const SAVE_COPY: &str = "Save a copy of everything";
pub const SAVE_SEALED_COPY: &str = "Save a sealed copy of everything";
pub const SEALING: &str = "Sealing…";
pub const WHAT_COPY: &str = "One file with every client, routine, log and note of this device. Keep it where health notes belong. \"Open a file\" brings it back.";

/// Why no copy was saved.
pub fn no_copy(why: &str) -> String {
    format!("No copy was saved, because {why}.")
}

/// So many stored texts that were set aside.
pub fn set_aside(number: usize) -> String {
    format!(
        "{} set aside: not readable here, or changed in two windows. Kept as it is, also in the copy.",
        count(u16::try_from(number).unwrap_or(u16::MAX), "stored text"),
    )
}
