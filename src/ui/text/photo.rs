//! What is said of a photo.

use super::refusals::InWords;
use crate::domain::plan::photo::NotAPhoto;

/// In place of a photo that is not drawn.
pub fn not_shown(why: NotAPhoto) -> String {
    format!("The photo of the set-up is not shown: {}.", why.in_words())
}
