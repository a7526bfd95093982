//! What the practitioner's page says where it is not the one that is open.

/// What is kept here, within a sentence.
pub const CASELOAD: &str = "caseload";
pub const ELSEWHERE: &str = "Your clients are open in another window or tab. Only one at a time can be used, so that no change is lost.";
