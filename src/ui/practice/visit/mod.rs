//! A visit: the log that was handed back, what it shows, and what follows from it.

pub mod strip;

pub mod plot;

pub mod talking;

pub mod summary;

pub mod days;

pub mod what_next;

pub mod review_sheet;

pub mod review;

pub mod closing;

pub mod door;
