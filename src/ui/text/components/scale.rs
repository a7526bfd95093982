//! The ends of the pain scale in words.

pub const NO_PAIN: &str = "0 no pain";
pub const WORST: &str = "10 worst you can imagine";
