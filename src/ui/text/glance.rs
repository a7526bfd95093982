//! What a client asks for, in the few words that a row of the caseload has room for.

use super::dates;
use super::dose::{count, list};
use crate::domain::visit::glance::Ask;
use crate::domain::visit::talking::{Ratings, What};

pub const NOTHING: &str = "Nothing to act on";

/// The weightiest in words, and how many more there are: "Two Holds within a week; 2 more points".
pub fn line(asks: &[Ask]) -> String {
    let Some((first, more)) = asks.split_first() else { return NOTHING.to_owned() };
    match more.len() {
        0 => ask(first),
        more => format!("{}; {}", ask(first), number(more, "more point")),
    }
}

fn ask(ask: &Ask) -> String {
    match ask {
        Ask::SignStands { since, signs } => {
            format!(
                "{} since {}",
                number((*signs).max(1), "warning sign"),
                dates::short_day(*since)
            )
        }
        Ask::WarningSign { on } => format!("Warning sign on {}", dates::short_day(*on)),
        Ask::Waits { exercises: 1 } => "1 exercise waits for your answer".to_owned(),
        Ask::Waits { exercises } => {
            format!("{} wait for your answer", number(*exercises, "exercise"))
        }
        Ask::Unticked { on, signs } => format!(
            "{} ticked and taken off again, {}",
            number(*signs, "warning sign"),
            dates::short_day(*on)
        ),
        Ask::Point(what) => point(what),
        Ask::Notes { notes } => format!("{} to answer", number(*notes, "note")),
        Ask::OnHold { exercises } => format!("{} on Hold", number(*exercises, "exercise")),
        Ask::Silent { since } => format!("Gone quiet since {}", dates::short_day(*since)),
        Ask::NoLogSince { since } => {
            format!("No log since it was handed over on {}", dates::short_day(*since))
        }
        Ask::NotTakenOn { version, since } => {
            format!("Version {} of {} not taken on", version.get(), dates::short_day(*since))
        }
        Ask::NoLogYet { since } => {
            format!("No log yet, handed over on {}", dates::short_day(*since))
        }
        Ask::NothingHandedOver => "No routine handed over yet".to_owned(),
    }
}

fn point(what: &What) -> String {
    match what {
        What::NothingEasier { .. } => "Hold with nothing easier left".to_owned(),
        What::HoldsInAWeek { days } => format!("{} within a week", number(days.len(), "Hold")),
        What::AboveTheStart { .. } => "Mornings above the start".to_owned(),
        What::HighMornings { .. } => "High mornings".to_owned(),
        What::SwellingAddedUp { .. } => "Swelling added up".to_owned(),
        What::MiddleUnanswered { .. } => "Middle pain, no answer".to_owned(),
        What::MorningsRising { .. } => "Mornings are rising".to_owned(),
        What::Changed { ratings, this_week, last_week, .. } => {
            let which = match ratings {
                Ratings::During => "Pain during",
                Ratings::NextMorning => "Morning pain",
            };
            format!("{which} went {}", if last_week < this_week { "up" } else { "down" })
        }
        What::BelowDose { days } => {
            format!("{} in a row below the dose", number(days.len(), "session"))
        }
        What::ReadyForNextRung { .. } => "Ready for the next step".to_owned(),
        What::MorningsUnanswered { answered, owed } => {
            format!("{answered} of {owed} morning checks answered")
        }
        What::NeverOn { weekdays } => {
            let names: Vec<String> =
                weekdays.iter().map(|(day, _)| format!("{}s", dates::weekday(*day))).collect();
            format!("Never done on {}", list(&names))
        }
        What::AlwaysNought { .. } => "Every rating is 0".to_owned(),
    }
}

fn number(number: usize, thing: &str) -> String {
    count(u16::try_from(number).unwrap_or(u16::MAX), thing)
}
