//! How a newer version of the app is offered.

pub const TITLE: &str = "A newer version is ready";
pub const WHAT_HAPPENS: &str = "It opens in a moment. Everything you entered stays.";
pub const USE_IT: &str = "Use the newer version";
