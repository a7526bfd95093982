//! What the practitioner plans for a client: doses, ladders, limits, and the routine that holds them. Nothing
//! here knows what was done of it.

pub mod dose;

pub mod tempo_notation;

pub mod ladder;

pub mod limits;

pub mod picture;

pub mod photo;

pub mod phone;

pub mod routine;

pub mod library;

pub mod search;

pub mod draft;

pub mod figure;

pub mod completeness;

pub mod changes;
