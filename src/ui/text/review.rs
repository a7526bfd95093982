//! The lines of a visit review: what was done, what happened, and what waits for a decision.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::dose::{count, foothold, in_part, list};
use super::{dates, verdict, warning};
use crate::domain::log::course::{Availability, Stop};
use crate::domain::log::history::{History, Note};
use crate::domain::log::rule::Swelling;
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::limits::Light;
use crate::domain::plan::routine::Answer;
use crate::domain::visit::review::{DayDone, Done, ExerciseReview, Review};

/// What a diary is worth, beside every count.
pub const DIARIES: &str =
    "Diaries overstate: 220 exercises to a sensor's 176 in one study (Nicolson 2018).";

/// "6 of 7", "none prescribed": nought of nought is not a share.
pub fn of(done: Done) -> String {
    let extra = if done.extra == 0 { String::new() } else { format!(", {} extra", done.extra) };
    match done.prescribed {
        0 => format!("none prescribed{extra}"),
        prescribed => format!("{} of {prescribed}{extra}", done.done),
    }
}

/// "8 of 9, and 2 after days without training": the mornings that were owed, and the others.
pub fn mornings(done: Done) -> String {
    let owed = owed(done);
    match done.extra {
        0 => owed,
        others => format!("{owed}, and {others} after days without training"),
    }
}

/// "8 of 9", the mornings that were owed.
pub fn owed(done: Done) -> String {
    of(Done { extra: 0, ..done })
}

/// What stands below that number, in a narrow column: "Morning checks, and 2 on other days".
pub fn checks(done: Done) -> String {
    match done.extra {
        0 => "Morning checks".to_owned(),
        others => format!("Morning checks, and {others} on other days"),
    }
}

/// "3 of 3", "1 of 3 and 1 in part", the sets of a day; what was done without a plan is said as such.
pub fn sets(day: &DayDone) -> String {
    let planned = match day.planned_sets {
        0 => ", none planned".to_owned(),
        planned => format!(" of {planned}"),
    };
    format!("{}{planned}{}", day.sets, in_part(day.in_part))
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
    let in_part = match exercise.days_in_part() {
        0 => String::new(),
        days => format!(", {days} in part"),
    };
    of(exercise.done) + &in_part + &left_out
}

/// "1 note", "3 notes".
pub fn many(number: usize, thing: &str) -> String {
    count(u16::try_from(number).unwrap_or(u16::MAX), thing)
}

/// What must be answered before anything else: warning signs, and the exercises that wait, those that
/// wait for the same on one line.
pub fn waiting(history: &History, review: &Review) -> Vec<String> {
    let mut waits: BTreeMap<Stop, Vec<String>> = BTreeMap::new();
    for exercise in &review.exercises {
        if let Some(stop) = exercise.stop() {
            waits.entry(stop).or_default().push(exercise.exercise.name.to_string());
        }
    }
    let mut lines = warnings(history, review);
    lines.extend(waits.iter().map(|(stop, names)| verdict::waits_for_you(*stop, names)));
    lines
}

/// "1 note below has no answer yet.", of the period that begins on a day.
pub fn unanswered(history: &History, from: NaiveDate, answers: &[Answer]) -> Option<String> {
    let is_open = |note: &&Note| {
        from <= note.at.date_naive() && answers.iter().all(|answer| answer.to != note.id)
    };
    match history.notes().iter().filter(is_open).count() {
        0 => None,
        1 => Some("1 note below has no answer yet.".to_owned()),
        notes => Some(format!("{notes} notes below have no answer yet.")),
    }
}

/// Warning signs, and that someone qualified said to go on.
pub fn warnings(history: &History, review: &Review) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (at, signs) in history.warnings().iter().filter(|(at, _)| review.from <= at.date_naive()) {
        let signs: Vec<&str> = signs.iter().map(|&sign| warning::ask(sign)).collect();
        let day = dates::short_day(at.date_naive());
        lines.push(format!("Warning sign on {day}: {}.", signs.join("; ")));
    }
    for at in history.told_to_go_on().iter().filter(|at| review.from <= at.date_naive()) {
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
        .filter(|day| exercise.lights.get(&day.day) == Some(&Light::Hold))
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
            let back_on = exercise.exercise.dose.days.next_from(back_on);
            format!("on Hold, back {} at the earliest", dates::when(back_on, review.to))
        });
    }
    (!parts.is_empty()).then(|| format!("{}: {}.", exercise.exercise.name, parts.join("; ")))
}

/// The mornings after training days on which there was more swelling: "More swollen: clearly on Tue 2 Jun; a little on
/// Wed 3 Jun."
pub fn swelling(review: &Review) -> Option<String> {
    let on = |swelling: Swelling| {
        let days = review.exercises.iter().flat_map(|exercise| &exercise.days);
        let days = days.filter(|day| day.swelling == Some(swelling));
        let mornings: BTreeSet<NaiveDate> = days.filter_map(|day| day.day.succ_opt()).collect();
        let mornings: Vec<String> = mornings.into_iter().map(dates::short_day).collect();
        (!mornings.is_empty()).then(|| list(&mornings))
    };
    let clearly = on(Swelling::ClearlyMore).map(|days| format!("clearly on {days}"));
    let a_little = on(Swelling::ALittleMore).map(|days| format!("a little on {days}"));
    let both: Vec<String> = [clearly, a_little].into_iter().flatten().collect();
    (!both.is_empty()).then(|| format!("More swollen: {}.", both.join("; ")))
}

/// How many days have each light: "9 Keep, 3 Ease and 2 Hold".
pub fn lights(exercise: &ExerciseReview) -> Option<String> {
    let told = |light: Light| exercise.lights.values().filter(|other| **other == light).count();
    let parts: Vec<String> = [Light::Keep, Light::Ease, Light::Hold]
        .into_iter()
        .map(|light| (told(light), verdict::light(light)))
        .filter(|(number, _)| 0 < *number)
        .map(|(number, light)| format!("{number} {light}"))
        .collect();
    (!parts.is_empty()).then(|| list(&parts))
}
