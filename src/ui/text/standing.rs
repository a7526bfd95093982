//! What stands on Today beside the lights: stops, breaks, high pain, silence, and what is asked once.

use std::collections::BTreeMap;
use std::time::Duration;

use chrono::NaiveDate;

use super::dose::list;
use super::{capitalised, dates, who};
use crate::domain::log::history::{History, MorningsTell, Today};
use crate::domain::pain::PainRating;
use crate::domain::plan::limits::{AfterBreak, Zone};
use crate::domain::words::{Id, Words};

/// For a few seconds after "Stop, it hurts": "Tapped by mistake: back to the set (for 10 seconds)".
pub fn take_back_stop(within: Duration) -> String {
    format!("Tapped by mistake: back to the set (for {} seconds)", within.as_secs())
}

/// For a few seconds after the advice about a warning sign: "Ticked by mistake: take it back (for 10 seconds)".
pub fn take_back_sign(within: Duration) -> String {
    format!("Ticked by mistake: take it back (for {} seconds)", within.as_secs())
}

pub const NEW_EDITION: &str = "The rule behind your lights was made safer. What you were told before stays as it was; where you stand now was worked out anew, so a rung may be lower than you remember.";
pub const UNDERSTOOD: &str = "I have read it";

pub const ASK_USUAL: &str = "On a usual morning lately, how much does it hurt?";
pub const WHY_USUAL: &str = "Asked once. Later mornings are compared with it.";
pub const USUAL_NOT_KNOWN: &str = "I do not know";

pub const MORNING_PAIN: &str = "How much does it hurt this morning?";

/// Whose morning it is, and what the check takes: "After Mon 2 Nov. Two taps."
pub fn after_training(day: NaiveDate) -> String {
    format!("After {}. Two taps.", dates::short_day(day))
}

pub const SIGN_LOOKED_AT: &str = "Someone qualified has looked at this";
pub const ONLY_IF_LOOKED_AT: &str = "Only if your practitioner or a doctor knows about this sign and said to go on. This is noted in your log.";
pub const SAID_TO_GO_ON: &str = "Someone qualified said to go on";
pub const SAID_TO_GO_ON_WITH_THIS: &str = "Someone qualified said to go on with this one";
pub const ONLY_IF_SAID: &str = "Only if your practitioner or a doctor knows what happened and said to go on. This is noted in your log.";
pub const YES_THEY_SAID: &str = "Yes, they said to go on";
pub const NOT_YET: &str = "Not yet";

pub const LOOKED_AT_TITLE: &str = "Has someone qualified looked at this?";
pub const LOOKED_AT_YES: &str = "Yes. Use this routine, and go on";
pub const LOOKED_AT_NO: &str = "Not yet. Use it, and stay on Hold";
pub const LOOKED_AT_WHY: &str =
    "You ticked this warning sign. A new routine alone does not lift it.";

pub const HIGH_TITLE: &str = "It hurts a lot already";
/// Below what was tapped, before a session.
pub fn high_advice(who: &str) -> String {
    format!(
        "Going on is up to you. A day like this never counts toward a step up. If you are not sure, ring {who} first."
    )
}
pub const NOT_TODAY: &str = "Not today";
pub const GO_ON_ALL_THE_SAME: &str = "Go on all the same";

pub const CHANGE_TITLE: &str = "Change a rating";
pub const CHANGE_WHY: &str = "A slip is put right here until you next do that exercise. Both ratings stay in your log. What you have done stays as it was.";
pub const CHANGE: &str = "Change";
pub const NOTHING_TO_CHANGE: &str = "There is no rating to change now.";

/// The question about swelling, with the joint that it is about.
pub fn swelling(joint: Option<&Words>) -> String {
    joint.map_or_else(
        || "More swollen than the day before?".to_owned(),
        |joint| {
            let joint = joint.as_str();
            let joint = joint.strip_prefix("your ").unwrap_or(joint);
            format!("Is your {joint} more swollen than the day before?")
        },
    )
}

/// What there is to say before a session where pain is in the high zone though nothing was done yet. `begun` is
/// what was tapped in a check of this morning that is not complete.
pub fn high_before(
    history: &History,
    today: NaiveDate,
    at_rest: PainRating,
    begun: &BTreeMap<Id, PainRating>,
) -> Option<String> {
    let lines = history.today(today);
    let due = || lines.iter().filter(|line| line.can_be_done());
    let is_high = |line: &Today| {
        let course = history.course(&line.exercise.id);
        course.is_some_and(|course| course.limits().table.zone(at_rest) == Zone::High)
    };
    let who = who(history);
    let now = if due().any(is_high) {
        called_high(at_rest, "at rest", &who)
    } else {
        called_high(worst_high_morning(history, today, due(), begun)?, "this morning", &who)
    };
    let high_days = due().map(|line| line.high_days.len()).max().unwrap_or_default();
    let often = if 2 <= high_days { " It was high on more than one day this week." } else { "" };
    Some(format!("{now}{often} Do you want to go on?"))
}

/// What there is to say of a morning that was high, until everything that can be done today is done.
pub fn high_morning(
    history: &History,
    lines: &[Today],
    today: NaiveDate,
    begun: &BTreeMap<Id, PainRating>,
) -> Option<Notice> {
    let ahead = lines.iter().filter(|line| line.is_left_to_do() || !line.can_be_done());
    let who = who(history);
    let rating = worst_high_morning(history, today, ahead, begun)?;
    let high = called_high(rating, "this morning", &who);
    let words = if lines.iter().any(Today::is_left_to_do) {
        format!(
            "{high} Whether to train today is up to you. If you are not sure, ring {who} first."
        )
    } else {
        format!("{high} If it does not settle, or you are not sure, ring {who}.")
    };
    Some(Notice { words, asks_to_ring: true })
}

fn called_high(rating: PainRating, when: &str, who: &str) -> String {
    let who = capitalised(who);
    format!("You tapped {} {when}. {who}'s limits call that high.", rating.points())
}

/// The worst of this morning's ratings that are in the high zone of their exercise.
fn worst_high_morning<'a>(
    history: &History,
    today: NaiveDate,
    lines: impl Iterator<Item = &'a Today>,
    begun: &BTreeMap<Id, PainRating>,
) -> Option<PainRating> {
    let high = |line: &Today| {
        let course = history.course(&line.exercise.id)?;
        let answered = course.mornings().iter().rfind(|morning| morning.date == today);
        let tapped = begun.get(&line.exercise.id).copied();
        let rating = answered.map(|morning| morning.rating).or(tapped)?;
        (course.limits().table.zone(rating) == Zone::High).then_some(rating)
    };
    lines.filter_map(high).max()
}

/// Something said on Today beside the lights.
pub struct Notice {
    pub words: String,
    /// Whether the practitioner's number belongs to it.
    pub asks_to_ring: bool,
}

/// What Today says beside its lights: a high morning, a break, mornings that grow worse, or were never answered.
pub fn notices(
    history: &History,
    lines: &[Today],
    today: NaiveDate,
    begun: &BTreeMap<Id, PainRating>,
    who: &str,
) -> Vec<Notice> {
    let mut notices = Vec::new();
    notices.extend(high_morning(history, lines, today, begun));
    if let Some(days) = lines.iter().filter_map(|line| line.days_away).max() {
        notices.push(Notice { words: away(lines, days, who), asks_to_ring: LONG <= days });
    }
    let names = |tell: MorningsTell| -> Vec<String> {
        let named = lines.iter().filter(|line| line.mornings_tell == Some(tell));
        named.map(|line| line.exercise.name.to_string()).collect()
    };
    let worse = names(MorningsTell::WorseInARow);
    if !worse.is_empty() {
        let words = format!(
            "{}: worse on three mornings in a row. Ring {who} before you go on.",
            list(&worse)
        );
        notices.push(Notice { words, asks_to_ring: true });
    }
    let unanswered = names(MorningsTell::Unanswered);
    if !unanswered.is_empty() {
        let words = format!(
            "{}: two days in the middle zone, and no answer on either morning after. Without the mornings nobody sees whether it settled.",
            list(&unanswered)
        );
        notices.push(Notice { words, asks_to_ring: false });
    }
    notices
}

/// The longest that an app can be sure of nothing: from here on a word with the practitioner comes first.
const LONG: i64 = 42;

fn away(lines: &[Today], days: i64, who: &str) -> String {
    let is_lower = lines.iter().any(|line| line.days_away.is_some() && line.starts_lower);
    let first = format!("It is {days} days since you last trained.");
    let start = if is_lower { " The first day back starts one step easier." } else { "" };
    let talk = if LONG <= days { format!(" Talk with {who} first.") } else { String::new() };
    format!("{first}{start}{talk}")
}

/// What may still be changed of a set: "Set 2, Monday at 18:05".
pub fn set(number: u16, at: chrono::DateTime<chrono::FixedOffset>) -> String {
    format!("Set {number}, {} at {}", dates::short_day(at.date_naive()), dates::time(at))
}

/// What the first day after a break is like.
pub const fn after_break(after: AfterBreak) -> &'static str {
    match after {
        AfterBreak::OneRungLower => "One rung lower",
        AfterBreak::Same => "Where the last one ended",
        AfterBreak::WaitForMe => "Wait for me",
    }
}
