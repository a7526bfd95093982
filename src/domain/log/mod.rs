//! What happened, fact by fact, and what follows from it: the rule, where each exercise stands, and the history
//! that a log folds into. Nothing here leads a session or reads a log for a practitioner.

pub mod warning;

pub mod rule;

pub mod event;

pub mod course;

pub mod history;

pub mod mornings;

pub mod belonging;

pub mod last_copy;
