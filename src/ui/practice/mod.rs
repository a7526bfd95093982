//! The practitioner's screens: the caseload, the routine in the making, the hand-over and the visit.

pub mod app;

pub mod window;

pub mod live_caseload;

pub mod page;

pub mod fields;

pub mod caseload;

pub mod build;

pub mod hand_over;

pub mod tried;

pub mod visit;
