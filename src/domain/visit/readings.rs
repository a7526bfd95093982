//! What the ratings of one exercise come to over a period: the middle of a series, where it is heading,
//! each site by itself, and what a session costs. Numbers only; `ui::text::trend` says them.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::review::ExerciseReview;
use super::statistics::{Confidence, PairedChange, Spread, change, spread};
use super::trend::Trend;
use crate::domain::pain::PainRating;
use crate::domain::plan::limits::Limits;
use crate::domain::words::Words;

/// Fewer days are told one by one: no middle of them, no direction and no interval (common practice, no source).
pub const ONE_BY_ONE: u8 = 10;
/// What a session costs is told from so many days on.
const FEWEST_PAIRS: usize = ONE_BY_ONE as usize;

/// A rating on each of some days.
pub type Series = Vec<(NaiveDate, PainRating)>;

/// The worst during each training day that was rated.
pub fn during(exercise: &ExerciseReview) -> Series {
    exercise.days.iter().filter_map(|day| Some((day.day, day.worst?))).collect()
}

/// The next morning of each training day, under the date of that morning, where it was answered in time.
pub fn next_mornings(exercise: &ExerciseReview) -> Series {
    let morning = |day: NaiveDate, rating: PainRating| Some((day.succ_opt()?, rating));
    exercise.days.iter().filter_map(|day| morning(day.day, day.morning?)).collect()
}

/// The middle of a series and where it is heading; `None` of fewer than two days.
pub fn reading(series: &[(NaiveDate, PainRating)]) -> Option<(Spread, Trend)> {
    let points: Vec<f64> = series.iter().map(|(_, rating)| f64::from(rating.points())).collect();
    Some((spread(&points)?, Trend::of(series)?))
}

/// The sites that ratings name, in the order in which the practitioner set them; no site comes last.
pub fn sites(exercise: &ExerciseReview, limits: Option<&Limits>) -> Vec<Option<Words>> {
    let named: BTreeSet<&Option<Words>> =
        exercise.days.iter().flat_map(|day| day.sites.keys()).collect();
    let set = limits.map(|limits| &limits.sites[..]).unwrap_or_default();
    let place = |site: &Option<Words>| {
        let known = |name: &Words| set.iter().position(|known| known.name == *name);
        site.as_ref().map_or(usize::MAX, |name| known(name).unwrap_or(set.len()))
    };
    let mut named: Vec<Option<Words>> = named.into_iter().cloned().collect();
    named.sort_by_key(place);
    named
}

/// The middle of the worst ratings at one site, and on how many days it was named.
pub fn at_site(exercise: &ExerciseReview, site: &Option<Words>) -> Option<(f64, usize)> {
    let ratings = exercise.days.iter().filter_map(|day| day.sites.get(site));
    let points: Vec<f64> = ratings.map(|rating| f64::from(rating.points())).collect();
    Some((spread(&points)?.median, points.len()))
}

/// From pain at rest before to the worst during, where there are days enough.
pub fn cost(exercise: &ExerciseReview) -> Option<PairedChange> {
    let points = |rating: PainRating| f64::from(rating.points());
    let pairs: Vec<(f64, f64)> = exercise
        .days
        .iter()
        .filter_map(|day| Some((points(day.at_rest?), points(day.worst?))))
        .collect();
    change(&pairs, Confidence::NinetyFive).filter(|change| FEWEST_PAIRS <= change.pairs)
}
