//! What the library says where it is not there.

/// Why, after "could not be opened:".
pub const NOT_FETCHED: &str = "check the connection and try again";
