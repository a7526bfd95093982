//! What is said of entries that could not be read.

use crate::ui::text::dose;

pub const TITLE: &str = "Some entries could not be read";

/// "2 stored texts could not be read. …", and what to do with them.
pub fn how_many(texts: usize) -> String {
    format!(
        "{} could not be read. Nothing was changed or thrown away. Save them as a file for your practitioner; everything else works as before.",
        dose::count(u16::try_from(texts).unwrap_or(u16::MAX), "stored text")
    )
}

pub const SAVE: &str = "Save what could not be read";
