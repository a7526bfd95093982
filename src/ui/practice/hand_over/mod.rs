//! A routine on its way to the client.

pub mod handing_over;

pub mod link_codes;
