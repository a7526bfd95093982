//! What stands above the changes of a newer version.

pub const TITLE: &str = "What changes";
