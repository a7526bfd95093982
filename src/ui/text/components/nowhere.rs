//! What is said of an address that leads nowhere.

pub const TITLE: &str = "There is no such page";
pub const LEADS_NOWHERE: &str = "The address leads nowhere in this app.";
