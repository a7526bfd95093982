//! Whether the client did what a verdict said: read from the next training day alone.
//!
//! It is for asking, not for blame: a verdict may have been told too late, or misunderstood.

use chrono::NaiveDate;

use super::review::as_followed;
use crate::domain::log::history::{History, Session, Told};
use crate::domain::plan::ladder::RungNumber;
use crate::domain::words::Id;

/// What came after a verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Followed {
    /// It was done again on the rung that was told, with no more sets.
    AsTold {
        on: NaiveDate,
    },
    /// It was done again while it was to be left out.
    WhileLeftOut {
        on: NaiveDate,
    },
    /// It was done again with less help than was told.
    LessHelp {
        on: NaiveDate,
        rung: RungNumber,
    },
    /// It was done again with more help than was told.
    MoreHelp {
        on: NaiveDate,
        rung: RungNumber,
    },
    /// It was done again on that rung, with more sets than were told.
    MoreSets {
        on: NaiveDate,
        sets: u16,
    },
    /// A new routine version came in between, and says something of its own.
    NewVersion {
        on: NaiveDate,
    },
    NotDoneSince,
}

/// What the client was told last about a training day before the next one began, and what came of it.
/// `None` where nothing was told.
pub fn followed<'a>(
    history: &'a History,
    exercise: &Id,
    day: NaiveDate,
) -> Option<(&'a Told, Followed)> {
    let next = history.next_done(exercise, day);
    let in_time = |told: &&Told| next.is_none_or(|next| told.at <= next.started_at);
    let told = history.told_about(exercise, day).rfind(in_time)?;
    let Some(next) = next else { return Some((told, Followed::NotDoneSince)) };
    let on = next.day();
    let is_revised = history.accepted_any_between(told.at, next.started_at);
    let is_against = history.course(exercise).is_some_and(|course| course.was_done_against(on));
    let came = if is_revised {
        Followed::NewVersion { on }
    } else if is_against {
        Followed::WhileLeftOut { on }
    } else {
        on_the_rung(history, exercise, told, next)
    };
    Some((told, came))
}

/// How many of the verdicts told about some training days were followed, of those that could be: the next
/// day has come, and no new version came before it. More help than told is no less.
pub fn tally(history: &History, exercise: &Id, days: &[NaiveDate]) -> (usize, usize) {
    let came = days.iter().filter_map(|day| followed(history, exercise, *day));
    came.fold((0, 0), |(kept, of), (_, came)| match came {
        Followed::AsTold { .. } | Followed::MoreHelp { .. } => (kept + 1, of + 1),
        Followed::WhileLeftOut { .. } | Followed::LessHelp { .. } | Followed::MoreSets { .. } => {
            (kept, of + 1)
        }
        Followed::NewVersion { .. } | Followed::NotDoneSince => (kept, of),
    })
}

fn on_the_rung(history: &History, exercise: &Id, told: &Told, next: &Session) -> Followed {
    let on = next.day();
    let Some(first) = next.sets_of(exercise).next() else { return Followed::NotDoneSince };
    let sets = u16::try_from(next.sets_of(exercise).count()).unwrap_or(u16::MAX);
    let known = as_followed(history, next, exercise);
    let rounds = known.map(|exercise| told.next.dose(&exercise.dose, &exercise.ladder).rounds());
    if told.next.rung < first.rung {
        Followed::LessHelp { on, rung: first.rung }
    } else if first.rung < told.next.rung {
        Followed::MoreHelp { on, rung: first.rung }
    } else if rounds.is_some_and(|rounds| rounds < sets) {
        Followed::MoreSets { on, sets }
    } else {
        Followed::AsTold { on }
    }
}
