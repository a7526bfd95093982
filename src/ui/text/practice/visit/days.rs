//! What one exercise of a review says, day by day.

use super::summary;
use crate::domain::log::event::WorkedToday;
use crate::domain::log::history::Told;
use crate::domain::log::rule::{Reason, Swelling};
use crate::domain::plan::limits::Limits;
use crate::domain::visit::following::Followed;
use crate::domain::visit::review::DayDone;
use crate::ui::text::{dates, dose, review, verdict};

pub const NOT_DONE: &str = "Not done in this period.";
pub const LADDER: &str = "Ladder";
/// At the rung on which the client is.
pub const NOW: &str = "now";

pub const DAY: &str = "Day";
pub const SETS: &str = "Sets";
pub const AT_REST: &str = "At rest";
pub const DURING: &str = "During";
pub const NEXT_MORNING: &str = "Next morning";
pub const SAID_AND_WHY: &str = "What the app said, and why";
/// The same where there is little room.
pub const SAID: &str = "The app said";

/// "The 12 days before", those that are not in the table.
pub fn days_before(count: usize) -> String {
    format!("The {count} days before")
}

/// "1 of 3 and 1 in part, 1 stopped".
pub fn sets(day: &DayDone) -> String {
    let stops = match day.stops {
        0 => String::new(),
        stops => format!(", {stops} stopped"),
    };
    review::sets(day) + &stops
}

/// "2, heavy day", before a session.
pub fn at_rest(day: &DayDone) -> String {
    let worked = match day.worked_today {
        Some(WorkedToday::Light) => ", light day",
        Some(WorkedToday::Heavy) => ", heavy day",
        Some(WorkedToday::AsUsual) | None => "",
    };
    summary::points(day.at_rest) + worked
}

/// "3, swelling a little more", or why there is no rating: after the last day the morning can be to come.
pub fn next_morning(day: &DayDone, is_last: bool) -> String {
    let unanswered = if is_last { "still to come" } else { "not answered" };
    let morning = day.morning.map_or(unanswered.to_owned(), |rating| rating.points().to_string());
    let swelling = day
        .swelling
        .filter(|swelling| *swelling != Swelling::NoMore)
        .map(|swelling| format!(", swelling {}", verdict::swelling(swelling).to_lowercase()))
        .unwrap_or_default();
    morning + &swelling
}

/// What the client knew when it was done again, and did: "Followed on Thu 26 Nov.", or, where it was not the
/// last that was told of the day, "By then it had said Ease. Followed on Thu 26 Nov."
pub fn came_of_it(told: &Told, came: Followed, is_last: bool) -> String {
    let light = told.order.light();
    let by_then = if is_last {
        String::new()
    } else if told.reasons.contains(&Reason::WarningSign) {
        "By then a warning sign meant Hold. ".to_owned()
    } else {
        format!("By then it had said {}. ", verdict::light(light))
    };
    by_then + &verdict::came_of_it(light, came)
}

/// "First told, Thu 26 Nov at 18:04: Keep.", of a verdict that another took the place of.
pub fn first_told(told: &Told) -> String {
    format!(
        "First told, {} at {}: {}.",
        dates::short_day(told.at.date_naive()),
        dates::time(told.at),
        verdict::light(told.order.light())
    )
}

/// A verdict in one line with its reasons: "during 4 (middle: 3 to 5). Next: rung 2."
pub fn told(told: &Told, limits: Option<&Limits>) -> String {
    let reasons = limits.map(|limits| {
        let reason = |reason| verdict::short_reason(reason, limits);
        told.reasons.iter().map(reason).collect::<Vec<_>>().join("; ")
    });
    format!("{}. Next: {}.", reasons.unwrap_or_default(), dose::foothold(told.next))
}
