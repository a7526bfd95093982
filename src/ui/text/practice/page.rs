//! What a practitioner's page says whose client is not there.

pub const NOT_IN_CASELOAD: &str = "Not in your caseload";
pub const MAY_BE_ERASED: &str =
    "What this address names is not on this device. It may have been erased.";
