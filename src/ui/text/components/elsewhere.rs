//! What a window says while another one is used.

pub const TITLE: &str = "Open in another window";
pub const NOT_SAVED_YET: &str = "Something you entered here is not saved yet. Do not close this window: use the app here, and it is saved.";
pub const USE_IT_HERE: &str = "Use it here";
