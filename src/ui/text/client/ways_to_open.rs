//! What the ways to a routine are called.

pub const OPEN_A_FILE: &str = "Open a routine file";
pub const SCAN_THE_CODES: &str = "Scan the codes";
pub const TRY_THE_DEMO: &str = "Try the demo";
