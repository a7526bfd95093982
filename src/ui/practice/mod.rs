//! The practitioner's screens: the caseload, a client's page, the routine builder, the hand-over and the
//! visit review.

pub mod app;

pub mod window;

pub mod desk;

pub mod bench;

pub mod intake;

pub mod shelf;

pub mod page;

pub mod fields;

pub mod glance;

pub mod caseload;

pub mod sealing;

pub mod client;

pub mod builder;

pub mod completeness;

pub mod pick;

pub mod exercise;

pub mod ladder;

pub mod sheets;

pub mod rule;

pub mod hand_over;

pub mod code;

pub mod visit;

pub mod plot;

pub mod talking;

pub mod strip;

pub mod closing;

pub mod review_sheet;

pub mod review;

pub mod tempo;
