//! The journal: open, append, try again; over a backend that only reads and writes.
//!
//! Stored text is never rewritten. What cannot be read is set aside and kept.

pub mod journal;
