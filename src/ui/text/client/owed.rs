//! What Today says of a morning check that is owed.

pub const ANSWER: &str = "Answer the morning check";
