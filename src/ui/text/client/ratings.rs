//! What the screen says on which a rating is changed.

use crate::domain::pain::PainRating;
use crate::domain::words::Words;
use crate::ui::text::standing;

pub const BACK_TO_SESSION: &str = "Back to the session";

/// "3", or with the place where it hurt "3, heel".
pub fn rated(rating: PainRating, site: Option<&Words>) -> String {
    let points = rating.points();
    site.map_or_else(|| points.to_string(), |site| format!("{points}, {site}"))
}

/// "Change Set 2, Mon 2 Nov at 18:05".
pub fn change(set: &str) -> String {
    format!("{} {set}", standing::CHANGE)
}
