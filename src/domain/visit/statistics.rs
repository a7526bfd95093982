//! The statistics that a handful of ratings bears: shares with their interval, medians and their spread,
//! robust slopes, and changes between pairs.
//!
//! Every function is total: what few or odd numbers cannot give is `None`. Numbers that are not finite
//! are left out. All of it is plain arithmetic, so that the same log gives the same figures anywhere.

use std::cmp::Ordering;

/// How sure an interval is: so often would one drawn this way hold the true value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Confidence {
    Ninety,
    NinetyFive,
}

impl Confidence {
    /// The share of cases, from 0 to 1.
    pub const fn level(self) -> f64 {
        match self {
            Self::Ninety => 0.9,
            Self::NinetyFive => 0.95,
        }
    }

    /// The two-sided quantile of the normal distribution, in standard deviations.
    pub const fn normal(self) -> f64 {
        match self {
            Self::Ninety => 1.644_853_626_951_472_2,
            Self::NinetyFive => 1.959_963_984_540_054,
        }
    }
}

/// An interval from `low` to `high`, in the unit of what it is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    pub low: f64,
    pub high: f64,
}

impl Interval {
    pub fn contains(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

/// The Wilson score interval of `done` out of `of`, as shares from 0 to 1; `None` of nought.
///
/// Newcombe 1998, Stat Med 17:857–872, method 3. `done` counts as at most `of`. The days of one
/// person are not independent of each other: it is a reminder of small numbers, not a forecast.
pub fn wilson(done: u32, of: u32, confidence: Confidence) -> Option<Interval> {
    if of == 0 {
        return None;
    }
    let count = f64::from(of);
    let share = f64::from(done.min(of)) / count;
    let squared = confidence.normal() * confidence.normal();
    let middle = share + squared / (2.0 * count);
    let reach = confidence.normal()
        * (share * (1.0 - share) / count + squared / (4.0 * count * count)).sqrt();
    let scale = 1.0 + squared / count;
    // At the ends the exact bounds are 0 and 1; the arithmetic misses them by a rounding.
    let low = if done == 0 { 0.0 } else { (middle - reach) / scale };
    let high = if of <= done { 1.0 } else { (middle + reach) / scale };
    Some(Interval { low, high })
}

/// A sample in one unit: its middle and how far it spreads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    pub count: usize,
    pub median: f64,
    /// Half of the values lie between these: quartiles by linear interpolation between neighbours
    /// (type 7 of Hyndman and Fan 1996, Am Stat 50:361–365, from memory).
    pub quartiles: Interval,
    /// The median of the distances from the median.
    pub typical_distance: f64,
}

/// The middle and the spread of some numbers; `None` of none.
pub fn spread(values: &[f64]) -> Option<Spread> {
    let values = sorted(values.iter().copied());
    let median = quantile(&values, 0.5)?;
    let distances = sorted(values.iter().map(|value| (value - median).abs()));
    Some(Spread {
        count: values.len(),
        median,
        quartiles: Interval { low: quantile(&values, 0.25)?, high: quantile(&values, 0.75)? },
        typical_distance: quantile(&distances, 0.5)?,
    })
}

fn sorted(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut values: Vec<f64> = values.filter(|value| value.is_finite()).collect();
    values.sort_unstable_by(f64::total_cmp);
    values
}

/// A quantile of sorted numbers, `share` from 0 to 1, half way between two where it falls there.
fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = share * as_f64(last);
    let below = as_index(place.floor(), last);
    let above = as_index(place.ceil(), last);
    Some(sorted[below] + (place - place.floor()) * (sorted[above] - sorted[below]))
}

#[expect(clippy::cast_precision_loss, reason = "counts lie far below 2^52")]
const fn as_f64(count: usize) -> f64 {
    count as f64
}

/// A place among numbers of which the last has the index `last`.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast from a float stops at the ends of the range"
)]
fn as_index(place: f64, last: usize) -> usize {
    (place as usize).min(last)
}

/// A straight line that single odd values hardly move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Distinct points it was drawn through.
    pub points: usize,
    /// The unit of y for each unit of x.
    pub slope: f64,
    pub slope_interval: Interval,
    /// Its height at x = 0, in the unit of y.
    pub at_zero: f64,
}

impl Line {
    pub fn at(&self, x: f64) -> f64 {
        self.at_zero + self.slope * x
    }
}

/// The Theil–Sen line through points (x, y): the median of the slopes between every two points of
/// different x, through the median of x and of y; `None` where no two points differ in x.
///
/// The interval is that of Sen 1968, J Am Stat Assoc 63:1379–1389, corrected for ties. With fewer
/// than five points it cannot reach a confidence of 95 %: even a perfect order of four comes up by
/// chance once in twelve times.
pub fn line(points: &[(f64, f64)], confidence: Confidence) -> Option<Line> {
    let points: Vec<(f64, f64)> =
        points.iter().copied().filter(|(x, y)| x.is_finite() && y.is_finite()).collect();
    let mut slopes = tally(&points).unwrap_or_else(|| one_by_one(&points));
    slopes.sort_unstable_by(|one, other| one.0.total_cmp(&other.0));
    let found: usize = slopes.iter().map(|(_, times)| times).sum();
    let last = found.checked_sub(1)?;
    let xs = sorted(points.iter().map(|(x, _)| *x));
    let ys = sorted(points.iter().map(|(_, y)| *y));
    let reach = confidence.normal() * (variance_of_order(&xs, &ys) / 18.0).max(0.0).sqrt();
    let pairs = as_f64(found);
    let low = as_index(((pairs - reach) / 2.0).round_ties_even() - 1.0, last);
    let high = as_index(f64::midpoint(pairs, reach).round_ties_even(), last);
    let slope = f64::midpoint(ranked(&slopes, last / 2)?, ranked(&slopes, last.div_ceil(2))?);
    let slope_interval = Interval { low: ranked(&slopes, low)?, high: ranked(&slopes, high)? };
    let at_zero = quantile(&ys, 0.5)? - slope * quantile(&xs, 0.5)?;
    Some(Line { points: points.len(), slope, slope_interval, at_zero })
}

/// The slopes between every two points of different x, each found once.
fn one_by_one(points: &[(f64, f64)]) -> Vec<(f64, usize)> {
    let mut slopes = Vec::with_capacity(points.len() * points.len().saturating_sub(1) / 2);
    for (index, (x, y)) in points.iter().enumerate() {
        for (earlier_x, earlier_y) in &points[..index] {
            #[expect(clippy::float_cmp, reason = "the same x is the same place")]
            if x != earlier_x {
                slopes.push(((y - earlier_y) / (x - earlier_x), 1));
            }
        }
    }
    slopes
}

/// The same slopes, each with how often it was found, where all points are whole numbers that lie close
/// together: the ratings of years have millions of pairs and few thousand slopes. `None` elsewhere.
fn tally(points: &[(f64, f64)]) -> Option<Vec<(f64, usize)>> {
    let pairs = points.len() * points.len().saturating_sub(1) / 2;
    let least = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).fold(f64::INFINITY, f64::min);
    let (least_x, least_y) = (least(|point| point.0), least(|point| point.1));
    let whole = |number: f64| {
        let place = as_index(number, pairs);
        #[expect(clippy::float_cmp, reason = "a whole number is its own place")]
        (as_f64(place) == number).then_some(place)
    };
    let points: Vec<(usize, usize)> = points
        .iter()
        .map(|(x, y)| Some((whole(x - least_x)?, whole(y - least_y)?)))
        .collect::<Option<_>>()?;
    let runs = points.iter().map(|(x, _)| x + 1).max()?;
    let rises = points.iter().map(|(_, y)| *y).max()?;
    let size = runs.checked_mul(2 * rises + 1).filter(|size| *size <= pairs)?;
    let mut found = vec![0_usize; size];
    for (index, (x, y)) in points.iter().enumerate() {
        for (other_x, other_y) in &points[..index] {
            let ((x, y), (to_x, to_y)) = if x < other_x {
                ((x, y), (other_x, other_y))
            } else {
                ((other_x, other_y), (x, y))
            };
            found[(rises + to_y - y) * runs + (to_x - x)] += 1;
        }
    }
    let slope = |(place, times): (usize, usize)| {
        let (rise, run) = (as_f64(place / runs) - as_f64(rises), as_f64(place % runs));
        (0 < times && 0.0 < run).then(|| (rise / run, times))
    };
    Some(found.into_iter().enumerate().filter_map(slope).collect())
}

/// The value that would stand at `index` if each stood as often as it was found.
fn ranked(values: &[(f64, usize)], index: usize) -> Option<f64> {
    let mut before = 0;
    let holds = |(_, times): &&(f64, usize)| {
        before += times;
        index < before
    };
    values.iter().find(holds).map(|(value, _)| *value)
}

/// Eighteen times the variance of Kendall's S under no trend, less what ties take from it.
fn variance_of_order(xs: &[f64], ys: &[f64]) -> f64 {
    let term = |count: usize| {
        let count = as_f64(count);
        count * (count - 1.0) * (2.0 * count + 5.0)
    };
    #[expect(clippy::float_cmp, reason = "a tie is the very same value")]
    let ties = |sorted: &[f64]| -> f64 {
        sorted.chunk_by(|one, next| one == next).map(|tied| term(tied.len())).sum()
    };
    term(xs.len()) - ties(xs) - ties(ys)
}

/// How pairs of values changed, in their unit; a rise is positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairedChange {
    pub pairs: usize,
    pub mean: f64,
    pub median: f64,
    /// The standard deviation of the changes (n − 1); none of a single pair.
    pub deviation: Option<f64>,
    /// The interval of the mean by Student's t; none of a single pair.
    pub interval: Option<Interval>,
    pub rose: usize,
    pub fell: usize,
}

/// The change from the first to the second value of each pair; `None` of no pair.
pub fn change(pairs: &[(f64, f64)], confidence: Confidence) -> Option<PairedChange> {
    let changes = sorted(pairs.iter().map(|(before, after)| after - before));
    let median = quantile(&changes, 0.5)?;
    let count = as_f64(changes.len());
    let mean = changes.iter().sum::<f64>() / count;
    let squares: f64 = changes.iter().map(|change| (change - mean) * (change - mean)).sum();
    let deviation = (1 < changes.len()).then(|| (squares / (count - 1.0)).sqrt());
    let interval = deviation.map(|deviation| {
        let reach = student(changes.len() - 1, confidence) * deviation / count.sqrt();
        Interval { low: mean - reach, high: mean + reach }
    });
    Some(PairedChange {
        pairs: changes.len(),
        mean,
        median,
        deviation,
        interval,
        rose: changes.iter().filter(|change| 0.0 < **change).count(),
        fell: changes.iter().filter(|change| **change < 0.0).count(),
    })
}

/// How far the second sample lies above the first in rank, in standard deviations of what chance alone
/// would give: the rank-sum test with its corrections for ties and for continuity. `None` where a sample
/// is empty, or where nothing differs.
///
/// Mann and Whitney 1947, Ann Math Stat 18:50–60, from memory. With fewer than about five values in a
/// sample the normal distribution that it is held against is a rough guide only.
pub fn rank_sum(first: &[f64], second: &[f64]) -> Option<f64> {
    let (first, second) = (sorted(first.iter().copied()), sorted(second.iter().copied()));
    let (few, more) = (as_f64(first.len()), as_f64(second.len()));
    let above_one = |one: &f64| {
        let below = second.partition_point(|other| other.total_cmp(one) == Ordering::Less);
        let level = second.partition_point(|other| other.total_cmp(one) != Ordering::Greater);
        as_f64(second.len() - level) + 0.5 * as_f64(level - below)
    };
    let above: f64 = first.iter().map(above_one).sum();
    let all = sorted(first.iter().chain(&second).copied());
    #[expect(clippy::float_cmp, reason = "a tie is the very same value")]
    let ties: f64 = all
        .chunk_by(|one, next| one == next)
        .map(|tied| as_f64(tied.len()))
        .map(|tied| tied * tied * tied - tied)
        .sum();
    let count = few + more;
    let variance = few * more / 12.0 * (count + 1.0 - ties / (count * (count - 1.0)));
    let apart = above - few * more / 2.0;
    (0.0 < variance).then(|| (apart.abs() - 0.5).max(0.0).copysign(apart) / variance.sqrt())
}

/// The two-sided quantile of Student's t with so many degrees of freedom, found by halving.
fn student(freedom: usize, confidence: Confidence) -> f64 {
    // The widest of all, with one degree of freedom, is 12.7.
    let (mut low, mut high) = (0.0, 13.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if student_within(middle, freedom) < confidence.level() {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// The probability that Student's t lies within `t` of nought: the finite series for whole degrees
/// of freedom (Abramowitz and Stegun 1964, 26.7.3 and 26.7.4, from memory).
fn student_within(t: f64, freedom: usize) -> f64 {
    let angle = (t / as_f64(freedom).sqrt()).atan();
    let (sin, cos) = angle.sin_cos();
    let is_odd = freedom % 2 == 1;
    let mut term = if is_odd { cos } else { 1.0 };
    let mut sum = 0.0;
    let mut next = if is_odd { 3 } else { 2 };
    while next <= freedom {
        sum += term;
        term *= cos * cos * as_f64(next - 1) / as_f64(next);
        next += 2;
    }
    if is_odd { (angle + sin * sum) / std::f64::consts::FRAC_PI_2 } else { sin * sum }
}
