//! What is said about a link or code that brings no routine, each with the way out.

use super::refusals::InWords;
use crate::exchange::link::LinkError;

const AGAIN_OR_FILE: &str =
    "Scan the code again, or ask your practitioner for the routine as a file.";

/// Why there is no routine, and what to do.
pub fn refused(error: &LinkError) -> String {
    let way_out = match error {
        LinkError::TooNew { .. } | LinkError::UnknownEntry { .. } => {
            "Open the app with a connection, take its newer version and scan the code again. Or ask your practitioner for the routine as a file."
        }
        LinkError::Foreign
        | LinkError::Damaged
        | LinkError::TooLong
        | LinkError::TooLarge
        | LinkError::NotTheSame
        | LinkError::Routine(_) => AGAIN_OR_FILE,
    };
    format!("This link could not be opened: {}. {way_out}", error.in_words())
}

pub const TOO_OLD_A_BROWSER: &str = "This browser is too old to open the link. Update it, or ask your practitioner for the routine as a file.";

pub const NO_LIBRARY: &str = "The list of exercises could not be loaded. Check the connection and scan the code again, or ask your practitioner for the routine as a file.";

pub const NO_CAMERA: &str = "Or ask your practitioner for the routine as a file.";
