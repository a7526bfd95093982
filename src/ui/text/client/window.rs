//! What the client's window says of itself.

/// What is kept in it, as part of a sentence.
pub const LOG: &str = "log";
pub const ELSEWHERE: &str = "Carryover is in use in another window or tab. Only one at a time can be used, so that nothing is noted twice.";
