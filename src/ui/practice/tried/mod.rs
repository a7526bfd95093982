//! Limits that are tried before they are trusted: on the days of a log, and on known kinds of client.

pub mod kinds;

pub mod on_log;

pub mod other_limits;

pub mod trial;
