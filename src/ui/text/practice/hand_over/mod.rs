//! What the screens of handing over say.

pub mod handing_over;

pub mod link_codes;
