//! Whether pain differed by the time of day, or by how hard the joint had worked that day.
//!
//! A difference is told only where all three hold: at least [`FEWEST`] sessions or mornings on either side
//! (common practice, no source); medians two points or more apart, which people notice (Farrar 2001, Pain
//! 94:149–158); and ratings that chance alone orders like this less than once in twenty, by the rank-sum
//! test (Mann and Whitney 1947, from memory), shared out over as many comparisons as are made (Bonferroni).
//! The sessions of one person depend on each other, so even that is a reason to ask and no proof.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate, Timelike};

use super::statistics::{rank_sum, spread};
use super::talking::Ratings;
use super::trend::NOTICED_POINTS;
use crate::domain::log::event::WorkedToday;
use crate::domain::log::history::{History, Session};
use crate::domain::log::mornings::Mornings;
use crate::domain::pain::PainRating;
use crate::domain::words::Id;

/// So many sessions or mornings on either side, at least.
pub const FEWEST: usize = 5;

/// The part of the day in which a session started, by the client's own clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DayPart {
    /// From 04:00 to before 12:00.
    Morning,
    /// From 12:00 to before 18:00.
    Afternoon,
    Evening,
}

impl DayPart {
    pub fn of(at: DateTime<FixedOffset>) -> Self {
        match at.hour() {
            4..=11 => Self::Morning,
            12..=17 => Self::Afternoon,
            0..=3 | 18.. => Self::Evening,
        }
    }
}

/// What tells two groups of sessions apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    Started(DayPart),
    Worked(WorkedToday),
}

/// One side of a difference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    pub group: Group,
    /// Sessions, or mornings after.
    pub count: usize,
    /// In points.
    pub median: f64,
}

/// A difference that the numbers show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    pub ratings: Ratings,
    pub lower: Side,
    pub higher: Side,
}

/// The differences that the ratings of one exercise show in a period: at most one for each of during and
/// next morning, by the time of day and by how hard the joint had worked.
pub fn differences(
    history: &History,
    exercise: &Id,
    from: NaiveDate,
    to: NaiveDate,
) -> Vec<Difference> {
    let was_done = |session: &&Session| session.sets_of(exercise).next().is_some();
    let trained: Vec<&Session> = history.sessions_on(from..=to).filter(was_done).collect();
    let started = |session: &Session| Some(Group::Started(DayPart::of(session.started_at)));
    let worked = |session: &Session| session.worked_today.map(Group::Worked);
    let mut found = Vec::new();
    for group in [&started as &dyn Fn(&Session) -> Option<Group>, &worked] {
        let during = trained.iter().filter_map(|session| {
            let rated = session.sets_of(exercise).filter_map(|set| set.rated.as_ref());
            Some((group(session)?, rated.map(|rated| rated.rating).max()?))
        });
        let mornings = mornings(history, exercise, &trained, group);
        found.extend(widest(Ratings::During, during));
        found.extend(widest(Ratings::NextMorning, mornings.into_iter()));
    }
    found
}

/// The mornings after days whose sessions all fall into one group.
fn mornings(
    history: &History,
    exercise: &Id,
    trained: &[&Session],
    group: impl Fn(&Session) -> Option<Group>,
) -> Vec<(Group, PainRating)> {
    let answered = Mornings::of(history);
    let mut days: BTreeMap<NaiveDate, Vec<Option<Group>>> = BTreeMap::new();
    for session in trained {
        days.entry(session.day()).or_default().push(group(session));
    }
    let morning = |(day, mut groups): (NaiveDate, Vec<Option<Group>>)| {
        groups.dedup();
        let [Some(group)] = groups[..] else { return None };
        Some((group, *answered.after(day)?.ratings.get(exercise)?))
    };
    days.into_iter().filter_map(morning).collect()
}

/// The widest difference between any two groups that are large enough.
fn widest(
    ratings: Ratings,
    rated: impl Iterator<Item = (Group, PainRating)>,
) -> Option<Difference> {
    let mut groups: BTreeMap<Group, Vec<f64>> = BTreeMap::new();
    for (group, rating) in rated {
        groups.entry(group).or_default().push(f64::from(rating.points()));
    }
    groups.retain(|_, points| FEWEST <= points.len());
    let limit = limit(groups.len())?;
    let mut found: Option<Difference> = None;
    for (one, lower) in &groups {
        for (other, higher) in &groups {
            let sides = (side(*one, lower)?, side(*other, higher)?);
            let apart = sides.1.median - sides.0.median;
            let is_wider =
                found.is_none_or(|known| known.higher.median - known.lower.median < apart);
            let is_shown = NOTICED_POINTS <= apart
                && rank_sum(lower, higher).is_some_and(|deviations| limit < deviations);
            if is_shown && is_wider {
                found = Some(Difference { ratings, lower: sides.0, higher: sides.1 });
            }
        }
    }
    found
}

fn side(group: Group, points: &[f64]) -> Option<Side> {
    Some(Side { group, count: points.len(), median: spread(points)?.median })
}

/// The two-sided quantile of the normal distribution at one in twenty, shared out over the comparisons
/// between so many groups, in standard deviations.
const fn limit(groups: usize) -> Option<f64> {
    match groups {
        2 => Some(1.959_963_984_540_054),
        // Three comparisons: one in sixty.
        3 => Some(2.393_979_799_818_509_5),
        _ => None,
    }
}
