//! What a review says at a glance.

use crate::domain::log::history::History;
use crate::domain::pain::{HalfPoints, PainRating};
use crate::domain::visit::review::Review;
use crate::domain::visit::statistics::Interval;
use crate::ui::text::{dates, trend, verdict};

pub const SESSIONS: &str = "Sessions";

pub const EXERCISE: &str = "Exercise";
pub const DONE: &str = "Done";
pub const RUNG: &str = "Rung";
pub const WORST_DURING: &str = "Worst during";
pub const TYPICAL_NEXT_MORNING: &str = "Typical next morning";
pub const STOPS: &str = "Stops";
pub const LIGHTS: &str = "Lights";
/// The same where there is little room.
pub const WORST: &str = "Worst";
pub const MORNING: &str = "Morning";

/// In place of a number that there is not.
const NO_NUMBER: &str = "–";

/// The routine and the period, on a line: "Calf, version 2. Monday 2 November to Sunday 8 November."
pub fn about(review: &Review, history: &History) -> String {
    let routine = history
        .routine()
        .map(|routine| format!("{}, version {}. ", routine.title, routine.version.get()))
        .unwrap_or_default();
    format!("{routine}{} to {}.", dates::day(review.from), dates::day(review.to))
}

/// "with so few, likely 49 to 97 %".
pub fn with_so_few(share: Interval) -> String {
    format!("with so few, likely {}", trend::share(share))
}

/// "●●●○", a dot for each: done, and not done.
pub fn dots(done: u32, of: u32) -> String {
    (0..of).map(|number| if number < done { '●' } else { '○' }).collect()
}

/// "3 in part", "2 left out", of the days: a line each.
pub fn beside_done(in_part: usize, left_out: u32) -> Vec<String> {
    let in_part = (0 < in_part).then(|| format!("{in_part} in part"));
    let left_out = (0 < left_out).then(|| format!("{left_out} left out"));
    [in_part, left_out].into_iter().flatten().collect()
}

/// "3", or a dash where nothing was rated.
pub fn points(rating: Option<PainRating>) -> String {
    rating.map_or(NO_NUMBER.to_owned(), |rating| rating.points().to_string())
}

/// Below a typical morning: "worst 5".
pub fn worst_of(rating: PainRating) -> String {
    format!("worst {}", rating.points())
}

/// "2½", or a dash where no morning was answered.
pub fn half_points(typical: Option<HalfPoints>) -> String {
    typical.map_or(NO_NUMBER.to_owned(), verdict::half_points)
}
