//! The practitioner's screens: opening logs and routines, and the visit review.

pub mod bench;

pub mod home;

pub mod review;

pub mod tempo;
