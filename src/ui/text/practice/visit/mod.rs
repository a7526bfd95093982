//! What the review of a week says.

pub mod closing;

pub mod days;

pub mod door;

pub mod plot;

pub mod review;

pub mod review_sheet;

pub mod strip;

pub mod summary;

pub mod talking;

pub mod what_next;
