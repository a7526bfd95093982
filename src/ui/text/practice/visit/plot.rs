//! What the plot of an exercise says.

use chrono::NaiveDate;

use crate::domain::pain::PainRating;
use crate::domain::visit::review::ExerciseReview;
use crate::domain::words::Words;
use crate::ui::text::dose::list;
use crate::ui::text::{dates, review, trend};

/// "Plot of Heel lowering".
pub fn plot_of(exercise: &Words) -> String {
    format!("Plot of {exercise}")
}

/// "Heel lowering: pain and rung on each day".
pub fn title(exercise: &Words) -> String {
    format!("{exercise}: pain and rung on each day")
}

/// The picture in words, for those who do not see it.
pub fn described(exercise: &ExerciseReview, from: NaiveDate, to: NaiveDate) -> String {
    let worst = exercise.worst.map_or("none".to_owned(), |worst| worst.points().to_string());
    let days = |days: usize| review::many(days, "day");
    format!(
        "{} to {}: done on {}, missed on {}, left out by the rule on {}. Worst pain during: {worst}. The table of days below has every number.",
        dates::short_day(from),
        dates::short_day(to),
        days(exercise.days.len()),
        days(exercise.missed.len()),
        days(exercise.left_out.len()),
    )
}

/// Beside the lines of the picture.
pub const CEILING: &str = "ceiling";
pub const RUNG: &str = "rung";

/// "heel 5", the worst of a day at a site.
pub fn at_site(site: Option<&Words>, worst: PainRating) -> String {
    format!("{} {}", trend::site_name(site), worst.points())
}

pub const WORST_DURING: &str = "worst during";
pub const NEXT_MORNING: &str = "next morning";
pub const OTHER_MORNING: &str = "morning after a day without training";
pub const STOPPED: &str = "stopped by pain";

/// "worst during, heel".
pub fn worst_during_at(site: Option<&Words>) -> String {
    format!("{WORST_DURING}, {}", trend::site_name(site))
}

pub const HOW_DECIDED: &str = "How this is decided";

pub fn difference_rule() -> String {
    trend::difference_rule() + "."
}

pub const MISSED: &str = "Missed";
pub const LEFT_OUT: &str = "Left out by the rule";
pub const WARNED: &str = "Warning sign, so Hold for everything";

/// "Missed: Thu 26 Nov and Fri 27 Nov."
pub fn on_days(what: &str, days: &[NaiveDate]) -> String {
    let days: Vec<String> = days.iter().map(|day| dates::short_day(*day)).collect();
    format!("{what}: {}.", list(&days))
}
