//! What the practitioner's screens say, a file for each of them.

pub mod build;

pub mod caseload;

pub mod fields;

pub mod hand_over;

pub mod live_caseload;

pub mod page;

pub mod tried;

pub mod visit;

pub mod window;
