//! What the screens of handing over say.

pub mod link_codes;

pub mod ways;
