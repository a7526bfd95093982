//! The ways out where the app, or a part of it, could not start.

pub const TRY_AGAIN: &str = "Try again";
