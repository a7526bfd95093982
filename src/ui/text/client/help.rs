//! What the help page says around the signs and the guide.

pub const TITLE: &str = "Warning signs and how it works";
pub const BACK: &str = "Back";
pub const STOP_AND_GET_HELP: &str = "Warning signs: stop and get help";
pub const NOT_FOR_USE_ALONE: &str = "Local rules and your practitioner's own advice come first. Not for use alone soon after surgery or a break, with an unstable heart or lung illness, after recent falls or faints, or by children without an adult.";
pub const THE_LIGHTS: &str = "The lights";
pub const WHAT_THIS_APP_IS: &str = "What this app is";
