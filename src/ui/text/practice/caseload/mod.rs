//! What the caseload's screens say.

pub mod client;

pub mod intake;

pub mod list;

pub mod measuring_sheets;

pub mod unclaimed;
