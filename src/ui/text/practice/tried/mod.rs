//! What the trials of limits say.

pub mod kinds;

pub mod on_log;

pub mod other_limits;
