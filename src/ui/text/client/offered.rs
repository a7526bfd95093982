//! What is said of a routine that was opened, before it is accepted.

/// Above a routine that does not say whose it is.
pub const A_ROUTINE: &str = "A routine";

/// "From Anna Berg".
pub fn from_whom(who: &str) -> String {
    format!("From {who}")
}

pub const USE_THIS_ROUTINE: &str = "Use this routine";
pub const NOT_NOW: &str = "Not now";
/// Where there is nothing to take on.
pub const BACK: &str = "Back";
pub const PLAN_NOT_DIAGNOSIS: &str = "A plan, not a diagnosis.";
