//! What a physiotherapist would recognise: values and total functions.
//!
//! Nothing here knows a browser, a clock or a place to store things; time comes in as a value.
//! The modules stand in reading order, and each may use those above it, never those below: what is planned,
//! what was logged, and then, beside each other, a session, a visit and a rule that is tried.

pub mod letters;

pub mod refused;

pub mod words;

pub mod day;

pub mod event_id;

pub mod pain;

pub mod plan;

pub mod log;

pub mod session;

pub mod visit;

pub mod tried;
