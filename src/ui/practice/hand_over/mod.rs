//! A routine on its way to the client.

pub mod link_codes;

pub mod ways;
