//! What a change in pain ratings amounts to, and where the days of an exercise are heading.
//!
//! A reading never says more than the numbers bear: a change within the error of measurement is read as
//! none, and a line whose interval holds a slope of nought has no direction, which is not the same as steady.

use chrono::NaiveDate;

use super::statistics::{Confidence, Line, line};
use crate::domain::pain::PainRating;

/// The smallest change in a rating that is more than the error of measurement, in points: the minimal
/// detectable change in people with knee arthritis, asked twice in 24 hours (Alghadir 2018, J Pain Res
/// 11:851–856).
pub const MEASUREMENT_ERROR: f64 = 1.33;
/// A fall of so many points is one that people notice (Farrar 2001, Pain 94:149–158).
pub const NOTICED_POINTS: f64 = 2.0;
/// So is a fall by this share of what it was before (Farrar 2001).
pub const NOTICED_SHARE: f64 = 0.3;
/// With fewer days even a perfect order comes up by chance more than one time in twenty.
const FEWEST_DAYS: usize = 5;

/// How much a change of pain amounts to. The published limits are for a fall; a rise is read by the
/// same ones (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Amount {
    WithinMeasurementError,
    /// More than the error of measurement, less than people notice.
    ALittle,
    /// Two points or 30 %, and more than the error of measurement.
    WorthNoticing,
}

impl Amount {
    /// Reads a change from one rating or median to another, in points.
    pub fn of_change(before: f64, after: f64) -> Self {
        let noticed =
            is_noticed_in_points(before, after) || is_noticed_in_share(before, after) == Some(true);
        if (after - before).abs() <= MEASUREMENT_ERROR {
            Self::WithinMeasurementError
        } else if noticed {
            Self::WorthNoticing
        } else {
            Self::ALittle
        }
    }
}

pub fn is_noticed_in_points(before: f64, after: f64) -> bool {
    NOTICED_POINTS <= (after - before).abs()
}

/// Whether the share of what it was before is enough to notice; `None` where it was nought before.
pub fn is_noticed_in_share(before: f64, after: f64) -> Option<bool> {
    (0.0 < before).then(|| NOTICED_SHARE <= (after - before).abs() / before)
}

/// Where a series of days is heading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heading {
    TooFewDays,
    /// Even the ends of the interval are a change within measurement error.
    Steady,
    /// The interval of the slope holds nought, and slopes that would matter, too.
    NoDirection,
    Down(Amount),
    Up(Amount),
}

/// A robust line through the days of a series, with its plain reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trend {
    pub first: NaiveDate,
    pub last: NaiveDate,
    /// Theil–Sen, 95 %: x in days after the first, y in points.
    pub line: Line,
    pub heading: Heading,
}

impl Trend {
    /// The trend of ratings by day; `None` unless at least two days were rated.
    pub fn of(series: &[(NaiveDate, PainRating)]) -> Option<Self> {
        let first = series.iter().map(|(day, _)| *day).min()?;
        let last = series.iter().map(|(day, _)| *day).max()?;
        let points: Vec<(f64, f64)> = series
            .iter()
            .map(|(day, rating)| (days_between(first, *day), f64::from(rating.points())))
            .collect();
        let line = line(&points, Confidence::NinetyFive)?;
        let span = days_between(first, last);
        let amount = Amount::of_change(line.at(0.0), line.at(span));
        let is_steady = [line.slope_interval.low, line.slope_interval.high]
            .into_iter()
            .all(|slope| (slope * span).abs() <= MEASUREMENT_ERROR);
        let heading = if series.len() < FEWEST_DAYS {
            Heading::TooFewDays
        } else if is_steady {
            Heading::Steady
        } else if line.slope_interval.contains(0.0) {
            Heading::NoDirection
        } else if line.slope < 0.0 {
            Heading::Down(amount)
        } else {
            Heading::Up(amount)
        };
        Some(Self { first, last, line, heading })
    }

    /// The slope in points a week.
    pub fn a_week(&self) -> f64 {
        self.line.slope * 7.0
    }
}

/// Days from one to another, a whole number.
fn days_between(from: NaiveDate, to: NaiveDate) -> f64 {
    i32::try_from((to - from).num_days()).map_or(f64::NAN, f64::from)
}
