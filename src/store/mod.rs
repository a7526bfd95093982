//! What is kept on a device: the client's journal, and the practitioner's caseload; over places that only
//! read and write.
//!
//! The journal's text is never rewritten. What cannot be read is set aside and kept.

pub mod backend;

pub mod second;

pub mod journal;

pub mod caseload;
