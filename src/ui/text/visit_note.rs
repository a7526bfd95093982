//! The note of a visit as plain text, for any record: what was reported, reviewed, changed and agreed.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::dose::list;
use super::{capitalised, changes, dates, review as said, talking, verdict};
use crate::domain::log::history::History;
use crate::domain::plan::changes::{Change, RoutineChange, between};
use crate::domain::plan::routine::Routine;
use crate::domain::visit::following::tally;
use crate::domain::visit::review::{DayDone, ExerciseReview, Review};
use crate::domain::visit::talking::TalkingPoint;
use crate::domain::words::Words;

const SOURCE: &str = "From the client's own log; diaries tend to say more than was done (Nicolson 2018). No diagnosis.";

/// All that a visit note is made from.
pub struct AtVisit<'a> {
    /// The label of the client.
    pub label: &'a str,
    pub day: NaiveDate,
    pub history: &'a History,
    /// What the log gives to read; none where none was handed back.
    pub review: Option<&'a Review>,
    pub points: &'a [TalkingPoint],
    /// Ids of the points that were put aside.
    pub put_aside: &'a BTreeSet<String>,
    /// The routine as it is to go on.
    pub next: Option<&'a Routine>,
    /// What was seen and agreed, in the practitioner's own words.
    pub agreed: Option<&'a Words>,
}

/// The whole note. The same visit gives the same text.
pub fn visit_note(at: &AtVisit) -> String {
    let mut lines = vec![format!("Visit on {}: {}", dates::full_day(at.day), at.label)];
    lines.extend(at.history.routine().zip(at.review).map(|(routine, review)| {
        format!(
            "Routine: {}, version {}. Log read from {} to {}.",
            routine.title,
            routine.version.get(),
            dates::full_day(review.from),
            dates::full_day(review.to)
        )
    }));
    let sections = [
        ("REPORTED", reported(at), "No log was read."),
        ("REVIEWED", reviewed(at), "Nothing to review."),
        ("CHANGED", changed(at), "The routine stays as it is."),
        ("AGREED", agreed(at), "Nothing was written down."),
    ];
    for (title, section, none) in sections {
        lines.extend([String::new(), title.to_owned()]);
        if section.is_empty() {
            lines.push(none.to_owned());
        }
        // A text of several lines stays one entry.
        lines.extend(section.iter().map(|entry| format!("- {}", entry.replace('\n', "\n  "))));
    }
    if at.review.is_some() {
        lines.extend([String::new(), SOURCE.to_owned()]);
    }
    lines.push(String::new());
    lines.join("\n")
}

/// What a visit came to, on a line.
pub fn headline(at: &AtVisit) -> String {
    let changed = match changed(at).len() {
        0 => "routine unchanged",
        _ => "routine changed",
    };
    match at.review {
        Some(review) => format!("Log read to {}, {changed}", dates::day(review.to)),
        None => format!("No log was read, {changed}"),
    }
}

fn reported(at: &AtVisit) -> Vec<String> {
    let Some(review) = at.review else { return Vec::new() };
    let mut section = vec![format!(
        "Sessions: {}. Morning checks answered: {}.",
        said::of(review.sessions),
        said::mornings(review.mornings)
    )];
    section.extend(review.exercises.iter().map(exercise));
    section.extend(said::warnings(at.history, review));
    let notes = at.history.notes().iter().filter(|note| review.from <= note.at.date_naive());
    section.extend(notes.map(|note| {
        format!("Wrote on {}: \"{}\"", dates::short_day(note.at.date_naive()), note.text)
    }));
    section
}

/// "Heel lowering: 14 of 17; worst pain during 7 of 10 (heel 7, calf 3); next morning usually 1."
fn exercise(exercise: &ExerciseReview) -> String {
    let mut parts = vec![said::done(exercise)];
    if let Some(worst) = exercise.worst {
        let sites = worst_by_site(&exercise.days);
        let sites = if sites.is_empty() { String::new() } else { format!(" ({})", list(&sites)) };
        parts.push(format!("worst pain during {} of 10{sites}", worst.points()));
    }
    if let Some(usual) = exercise.typical_morning {
        parts.push(format!("next morning usually {}", verdict::half_points(usual)));
    }
    format!("{}: {}.", exercise.exercise.name, parts.join("; "))
}

/// "heel 7", the worst at each site that was named.
pub fn worst_by_site(days: &[DayDone]) -> Vec<String> {
    let named: BTreeSet<&Words> =
        days.iter().flat_map(|day| day.sites.keys()).filter_map(Option::as_ref).collect();
    let worst = |site: &Words| {
        let site = Some(site.clone());
        days.iter().filter_map(|day| day.sites.get(&site)).max().map(|worst| worst.points())
    };
    named.into_iter().filter_map(|site| Some(format!("{site} {}", worst(site)?))).collect()
}

fn reviewed(at: &AtVisit) -> Vec<String> {
    let Some(review) = at.review else { return Vec::new() };
    let mut section = Vec::new();
    for exercise in &review.exercises {
        let days: Vec<NaiveDate> = exercise.days.iter().map(|day| day.day).collect();
        let (kept, of) = tally(at.history, &exercise.exercise.id, &days);
        let mut parts = vec![said::rungs(exercise)];
        parts.extend(said::lights(exercise));
        if 0 < of {
            parts.push(format!("{kept} of {of} verdicts followed"));
        }
        section.push(format!("{}: {}.", exercise.exercise.name, parts.join("; ")));
        section.extend(said::happened(exercise, review));
        section.extend(exercise.stop().map(|stop| {
            let why = verdict::why_it_waits(stop);
            format!("{}: left out until answered, because {why}.", exercise.exercise.name)
        }));
    }
    let (aside, standing): (Vec<_>, Vec<_>) =
        at.points.iter().partition(|point| at.put_aside.contains(&point.id));
    section.extend(standing.into_iter().map(|point| {
        let of = point.exercise.as_ref().and_then(|id| {
            let of = review.exercises.iter().find(|of| of.exercise.id == *id)?;
            Some(of.exercise.name.to_string())
        });
        let about = of.unwrap_or_else(|| "The routine".to_owned());
        format!("{about}: {}", talking::sentence(&point.what))
    }));
    if !aside.is_empty() {
        section.push(format!("Put aside: {}.", aside.len()));
    }
    section
}

/// What the next version changes, a line for each subject; its number and date are no change.
fn changed(at: &AtVisit) -> Vec<String> {
    let (Some(followed), Some(next)) = (at.history.routine(), at.next) else { return Vec::new() };
    let is_told = |change: &Change| {
        !matches!(
            change,
            Change::Routine(
                RoutineChange::Version(_)
                    | RoutineChange::Issued(_)
                    | RoutineChange::Client(_)
                    | RoutineChange::Answers(_)
            )
        )
    };
    let changes: Vec<Change> = between(followed, next).into_iter().filter(is_told).collect();
    let line = |about: changes::About| format!("{}: {}.", about.title, about.lines.join("; "));
    changes::told(&changes).into_iter().map(line).collect()
}

fn agreed(at: &AtVisit) -> Vec<String> {
    let mut section: Vec<String> = at.agreed.map(Words::to_string).into_iter().collect();
    let known: Vec<_> = at.history.answers().collect();
    let new = at.next.into_iter().flat_map(|next| &next.answers);
    section.extend(new.filter(|answer| !known.contains(answer)).map(|answer| {
        let day = dates::short_day(answer.asked);
        capitalised(&format!("answered \"{}\" of {day}: {}", answer.question, answer.answer))
    }));
    section
}
