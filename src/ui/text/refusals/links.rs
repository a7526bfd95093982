//! Links and codes.

use super::InWords;
use crate::exchange::link::{self, LinkError};
use crate::exchange::qr::TooMuch;

/// Each finishes the sentence "This link could not be opened:".
impl InWords for LinkError {
    fn in_words(&self) -> String {
        match self {
            Self::Foreign => "it holds no Carryover routine".to_owned(),
            Self::Damaged => "a part of it is missing or was changed on the way".to_owned(),
            Self::TooLong => "it is longer than any link this app makes".to_owned(),
            Self::TooLarge => format!("it unpacks to more than {} kB", link::LARGEST / 1024),
            Self::TooNew { found } => format!(
                "it was made by a newer version of this app (format {found}; this one reads up to {})",
                link::VERSION
            ),
            Self::UnknownEntry { origin } => {
                format!("it names an exercise that this app does not have ({origin})")
            }
            Self::NotTheSame => "what it unpacks to is not the routine that was put in".to_owned(),
            Self::Routine(complaint) => complaint.in_words(),
        }
    }
}

impl InWords for TooMuch {
    fn in_words(&self) -> String {
        "it is too much for one code".to_owned()
    }
}
