//! What the caseload calls things that have no name yet.

/// The title of a routine that was just begun.
pub const HOME_ROUTINE: &str = "Home routine";
