//! The lines of a visit review: what was done, what happened, and what waits for a decision.

use super::dose::{count, foothold, list};
use super::{dates, verdict, warning};
use crate::domain::course::Availability;
use crate::domain::history::History;
use crate::domain::ladder::Foothold;
use crate::domain::review::{Done, ExerciseReview, Review};
use crate::domain::rule::Light;

/// What a diary is worth, beside every count.
pub const DIARIES: &str = "Diaries tend to say too much: in one study 220 exercises, where a hidden sensor counted 176 (Nicolson 2018). Read them with the client.";

/// "6 of 7", "none prescribed": nought of nought is not a share.
pub fn of(done: Done) -> String {
    let extra = if done.extra == 0 { String::new() } else { format!(", {} extra", done.extra) };
    match done.prescribed {
        0 => format!("none prescribed{extra}"),
        prescribed => format!("{} of {prescribed}{extra}", done.done),
    }
}

/// "from rung 3 to rung 2", or the one rung it stayed on.
pub fn rungs(exercise: &ExerciseReview) -> String {
    let (from, to) = (foothold(exercise.started_at), foothold(exercise.now_at));
    if exercise.started_at == exercise.now_at { to } else { format!("from {from} to {to}") }
}

/// The same in a narrow column, under a heading that says rung: "3 → 1 (−2 sets)".
pub fn rungs_alone(exercise: &ExerciseReview) -> String {
    let short = |at: Foothold| match at.fewer_sets {
        0 => at.rung.get().to_string(),
        fewer => format!("{} (−{})", at.rung.get(), count(fewer, "set")),
    };
    if exercise.started_at == exercise.now_at {
        short(exercise.now_at)
    } else {
        format!("{} → {}", short(exercise.started_at), short(exercise.now_at))
    }
}

/// What was done, as a line of text: "14 of 17, 4 days left out by the rule".
pub fn done(exercise: &ExerciseReview) -> String {
    let left_out = match exercise.done.left_out {
        0 => String::new(),
        days => {
            let days = many(usize::try_from(days).unwrap_or(usize::MAX), "day");
            format!(", {days} left out by the rule")
        }
    };
    of(exercise.done) + &left_out
}

/// "1 note", "3 notes".
pub fn many(number: usize, thing: &str) -> String {
    count(u16::try_from(number).unwrap_or(u16::MAX), thing)
}

/// What must be answered before anything else: warning signs, and exercises that wait.
pub fn waiting(history: &History, review: &Review) -> Vec<String> {
    let waits = |exercise: &ExerciseReview| {
        let stop = exercise.stop()?;
        Some(format!("{}: {}", exercise.exercise.name, verdict::waits_for_you(stop)))
    };
    let mut lines = warnings(history, review);
    lines.extend(review.exercises.iter().filter_map(waits));
    lines
}

/// Warning signs, and that someone qualified said to go on.
pub fn warnings(history: &History, review: &Review) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (at, signs) in history.warnings.iter().filter(|(at, _)| review.from <= at.date_naive()) {
        let signs: Vec<&str> = signs.iter().map(|&sign| warning::ask(sign)).collect();
        let day = dates::short_day(at.date_naive());
        lines.push(format!("Warning sign on {day}: {}.", signs.join("; ")));
    }
    for at in history.told_to_go_on.iter().filter(|at| review.from <= at.date_naive()) {
        let day = dates::short_day(at.date_naive());
        lines.push(format!("The client noted on {day} that someone qualified said to go on."));
    }
    lines
}

/// What happened to an exercise on one line, where something did: Holds, stops, and that it is left out.
pub fn happened(exercise: &ExerciseReview, review: &Review) -> Option<String> {
    let mut parts = Vec::new();
    let held: Vec<String> = exercise
        .days
        .iter()
        .filter(|day| day.told.last().is_some_and(|told| told.order.light() == Light::Hold))
        .map(|day| dates::short_day(day.day))
        .collect();
    if !held.is_empty() {
        parts.push(format!("Hold after {}", list(&held)));
    }
    if 0 < exercise.stops {
        parts.push(format!("{} stopped because of pain", count(exercise.stops, "set")));
    }
    if let Availability::Held { back_on } = exercise.availability {
        parts.push(if back_on <= review.to {
            "on Hold until a morning is as usual".to_owned()
        } else {
            format!("on Hold, back {} at the earliest", dates::when(back_on, review.to))
        });
    }
    (!parts.is_empty()).then(|| format!("{}: {}.", exercise.exercise.name, parts.join("; ")))
}

/// How many of each light were told: "9 Keep, 3 Ease and 2 Hold".
pub fn lights(exercise: &ExerciseReview) -> Option<String> {
    let told = |light: Light| {
        let last = exercise.days.iter().filter_map(|day| day.told.last());
        last.filter(|told| told.order.light() == light).count()
    };
    let parts: Vec<String> = [Light::Keep, Light::Ease, Light::Hold]
        .into_iter()
        .map(|light| (told(light), verdict::light(light)))
        .filter(|(number, _)| 0 < *number)
        .map(|(number, light)| format!("{number} {light}"))
        .collect();
    (!parts.is_empty()).then(|| list(&parts))
}
