//! The clients of this device, one client, and whatever comes in by file, camera or hand.

pub mod unclaimed;

pub mod sealing;

pub mod intake;

pub mod glance;

pub mod list;

pub mod measuring_sheets;

pub mod next_visit;

pub mod client;
