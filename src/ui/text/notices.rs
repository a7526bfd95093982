//! The way to what others hold the rights of.

/// What `.ci/notices.mjs` writes at every build.
pub const PAGE: &str = "notices.txt";
pub const LINK: &str = "Licences and notices";
pub const WHAT: &str = "What this app is built from, and who made it:";
