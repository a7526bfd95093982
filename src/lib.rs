//! Carryover: what a physiotherapist and a client carry over from one visit to the next.
//!
//! The modules stand in reading order, which is also the order of dependency:
//! each may use those above it, never those below.

pub mod domain;

pub mod exchange;

pub mod store;

#[cfg(target_arch = "wasm32")]
pub mod platform;

pub mod ui;
