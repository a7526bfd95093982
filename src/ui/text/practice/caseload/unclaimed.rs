//! What is told of files that were opened. It follows the name of the file, and ends without a full stop.

use crate::domain::words::Words;

/// What a log is called that follows no routine.
pub const NO_ROUTINE: &str = "A log without a routine";

pub const SEALED: &str = "sealed; its passphrase is asked for below";
pub const COPY: &str = "a copy of a caseload";
pub const COPY_AT_VISIT: &str = "a copy of a caseload; the caseload page asks what to do with it";
pub const EMPTY_LOG: &str = "the log is empty: nothing has been noted yet";
pub const NOT_IN_CASELOAD: &str = "this client is not in your caseload any more";
pub const NOT_KEPT: &str = "not kept";

pub fn routine_below(title: &Words) -> String {
    format!("routine \"{title}\", shown below")
}

pub fn routine_on_caseload_page(title: &Words) -> String {
    format!("routine \"{title}\", shown on the caseload page")
}

pub fn could_not_open(why: &str) -> String {
    format!("could not be opened: {why}")
}

pub fn could_not_keep(why: &str) -> String {
    format!("could not be kept: {why}")
}

/// Of a file whose outcome is told beside another one: `goes with "log.txt"`.
pub fn goes_with(file: &str) -> String {
    format!("goes with \"{file}\"")
}
