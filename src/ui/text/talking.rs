//! Talking points in words: the sentence, the rule behind it, and where the rule comes from.

use chrono::NaiveDate;

use super::dates;
use super::dose::{count, foothold, list};
use super::verdict::half_points;
use crate::domain::pain::HalfPoints;
use crate::domain::visit::talking::{BELOW_DOSE_IN_A_ROW, Ratings, Source, WEEKDAYS_OVER, What};
use crate::domain::visit::trend::Amount;

/// What there is to talk about, about something that the line before names.
pub fn sentence(what: &What) -> String {
    match what {
        What::NothingEasier { days } => format!(
            "{} with nothing easier left, after {}. What could make it easier?",
            times(days.len(), "Hold"),
            on(days)
        ),
        What::HoldsInAWeek { days } => {
            format!(
                "{} within a week, after {}. What changed?",
                times(days.len(), "Hold"),
                on(days)
            )
        }
        What::AboveTheStart { this_week, anchor } => format!(
            "mornings are at {} this week, and were at {} when the routine began.",
            half_points(*this_week),
            half_points(*anchor)
        ),
        What::HighMornings { days } => format!(
            "pain was high in the morning, or at rest before a session, on {}. What is it like when nothing is asked of it?",
            on(days)
        ),
        What::SwellingAddedUp { on } => format!(
            "a little more swelling for the third time within a week, on {}: read as clearly more.",
            dates::short_day(*on)
        ),
        What::MiddleUnanswered { days } => format!(
            "middle pain on {}, and neither next morning was answered. How were they?",
            on(days)
        ),
        What::MorningsRising { this_week, last_week } => format!(
            "mornings are rising, from {} last week to {} this week.",
            half_points(*last_week),
            half_points(*this_week)
        ),
        What::BelowDose { days } => format!(
            "{} in a row below the dose: {}. Would something simpler fit better?",
            times(days.len(), "session"),
            on(days)
        ),
        What::ReadyForNextRung { at, days_in_a_row } => format!(
            "ready to talk about the next step, after {} in a row on {}.",
            count(*days_in_a_row, "step-up day"),
            foothold(*at)
        ),
        What::Changed { ratings, this_week, last_week, amount } => {
            changed(*ratings, *last_week, *this_week, *amount)
        }
        What::MorningsUnanswered { answered, owed } => format!(
            "{answered} of {owed} morning checks were answered. What would make them easier?"
        ),
        What::AlwaysNought { ratings, days } => format!(
            "all {ratings} ratings on {} are 0. Does the scale fit what is felt?",
            times(*days, "day")
        ),
        What::NeverOn { weekdays } => {
            let names: Vec<String> = weekdays
                .iter()
                .map(|(day, chances)| format!("{}s ({chances} came round)", dates::weekday(*day)))
                .collect();
            format!("never done on {}. Would other days fit better?", list(&names))
        }
    }
}

/// What is not printed of them.
pub fn quieter(number: usize) -> String {
    format!("{} that weigh less, on the screen.", times(number, "more point"))
}

fn changed(ratings: Ratings, before: HalfPoints, after: HalfPoints, amount: Amount) -> String {
    let which = match ratings {
        Ratings::During => "worst pain during",
        Ratings::NextMorning => "mornings",
    };
    let (from, to) = (half_points(before), half_points(after));
    let went = if after < before { "down" } else { "up" };
    let reading = match amount {
        Amount::WithinMeasurementError => "within measurement error, so about the same",
        Amount::ALittle => "more than measurement error, less than most people notice",
        Amount::WorthNoticing => "worth noticing",
    };
    format!("{which} went {went} from {from} last week to {to} this week: {reading}.")
}

fn times(number: usize, thing: &str) -> String {
    count(u16::try_from(number).unwrap_or(u16::MAX), thing)
}

fn on(days: &[NaiveDate]) -> String {
    let days: Vec<String> = days.iter().map(|day| dates::short_day(*day)).collect();
    list(&days)
}

/// The rule that made the point.
pub fn rule(what: &What) -> String {
    match what {
        What::NothingEasier { .. } => {
            "An Ease with nothing left to ease is a Hold: the lowest rung, and the last set or a Hold as you chose"
                .to_owned()
        }
        What::HoldsInAWeek { .. } => "Two Holds on days less than seven days apart".to_owned(),
        What::AboveTheStart { .. } => {
            "The middle morning of seven days, of two answered at least, a point or more above what mornings were like when the routine was taken on"
                .to_owned()
        }
        What::HighMornings { .. } => {
            "On two days or more within seven, a morning or pain at rest before a session above the end of middle pain"
                .to_owned()
        }
        What::SwellingAddedUp { .. } => {
            "A little more swelling on a third morning within seven days".to_owned()
        }
        What::MiddleUnanswered { .. } => {
            "The last two training days in the middle zone, and neither morning answered".to_owned()
        }
        What::MorningsRising { .. } => {
            "The middle morning of seven days, a point or more above that of the seven before"
                .to_owned()
        }
        What::BelowDose { .. } => {
            format!(
                "{BELOW_DOSE_IN_A_ROW} sessions in a row with fewer whole sets than the dose: simplify"
            )
        }
        What::ReadyForNextRung { .. } => {
            "As many step-up days in a row as you set, and only you can give the next rung"
                .to_owned()
        }
        What::Changed { .. } => {
            "2 points or 30 % is worth noticing; up to 1.33 points can be measurement error"
                .to_owned()
        }
        What::MorningsUnanswered { .. } => {
            "Fewer than half of the morning checks answered in time".to_owned()
        }
        What::AlwaysNought { .. } => "Three days or more, and every rating 0".to_owned(),
        What::NeverOn { .. } => {
            format!(
                "In the last {WEEKDAYS_OVER} days, a prescribed weekday came round twice or more and was never used"
            )
        }
    }
}

pub const fn source(source: Source) -> &'static str {
    match source {
        Source::Rule => "this app's own rule",
        Source::Silbernagel2007 => "Silbernagel 2007, from memory",
        Source::Pmc7783996 => "PMC7783996, table 2",
        Source::Farrar2001 => "Farrar 2001; Alghadir 2018",
        Source::CommonPractice => "common practice, no source",
    }
}
