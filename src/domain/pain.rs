//! The pain rating, the site it was felt at, and what a morning is compared with.

use serde::{Deserialize, Serialize};

use super::refused::{Refusal, Refused};

/// Pain on the numeric rating scale, in whole points from 0 (no pain) to 10 (worst imaginable pain).
///
/// Anchors and eleven whole numbers: Farrar 2001, Pain 94:149–158.
/// A `PainRating` that exists is in range, so nothing downstream checks again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(try_from = "i64", into = "i64")]
pub struct PainRating(u8);

impl PainRating {
    pub const NONE: Self = Self(0);
    pub const WORST: Self = Self(10);

    pub const fn new(points: i64) -> Result<Self, PainOutOfRange> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the range was checked"
        )]
        if 0 <= points && points <= 10 {
            Ok(Self(points as u8))
        } else {
            Err(PainOutOfRange { points })
        }
    }

    /// For the numbers written in this code; anything from outside goes through [`PainRating::new`].
    pub(super) const fn of(points: u8) -> Self {
        assert!(points <= Self::WORST.0);
        Self(points)
    }

    /// Every rating, from none to worst.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..=10).map(Self)
    }

    pub const fn points(self) -> u8 {
        self.0
    }
}

impl TryFrom<i64> for PainRating {
    type Error = Refused<PainOutOfRange>;

    fn try_from(points: i64) -> Result<Self, Refused<PainOutOfRange>> {
        Self::new(points).map_err(Refused)
    }
}

impl From<PainRating> for i64 {
    fn from(rating: PainRating) -> i64 {
        i64::from(rating.0)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct PainOutOfRange {
    pub points: i64,
}

impl Refusal for PainOutOfRange {
    const NAME: &'static str = "pain";
}

/// A number of half points: the median of whole ratings can lie between two of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
pub struct HalfPoints(pub i16);

impl HalfPoints {
    /// How many whole points `self` lies above `other`, in half points; negative when below.
    #[must_use]
    pub const fn above(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }

    pub fn points(self) -> f64 {
        f64::from(self.0) / 2.0
    }
}

impl From<PainRating> for HalfPoints {
    fn from(rating: PainRating) -> Self {
        Self(i16::from(rating.0) * 2)
    }
}

/// The median of some ratings: the middle one, or half way between the middle two; none of none.
pub fn median(ratings: &[PainRating]) -> Option<HalfPoints> {
    let up_to = |most: PainRating| ratings.iter().filter(|rating| **rating <= most).count();
    let nth = |n: usize| PainRating::all().find(|&rating| n < up_to(rating));
    let (lower, upper) = (nth(ratings.len().checked_sub(1)? / 2)?, nth(ratings.len() / 2)?);
    Some(HalfPoints(i16::from(lower.0) + i16::from(upper.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratings_outside_0_to_10_do_not_exist() {
        for points in [-1, 11, 255, i64::MIN, i64::MAX] {
            assert_eq!(PainRating::new(points), Err(PainOutOfRange { points }));
        }
        assert!(serde_json::from_str::<PainRating>("11").is_err());
        assert!(serde_json::from_str::<PainRating>("2.5").is_err());
        assert_eq!(PainRating::all().count(), 11);
    }

    #[test]
    fn the_median_of_an_even_count_can_be_a_half() {
        let ratings = |points: &[i64]| -> Vec<PainRating> {
            points.iter().map(|&point| PainRating::new(point).unwrap()).collect()
        };
        assert_eq!(median(&[]), None);
        assert_eq!(median(&ratings(&[3])), Some(HalfPoints(6)));
        assert_eq!(median(&ratings(&[5, 2])), Some(HalfPoints(7)));
        assert_eq!(median(&ratings(&[9, 0, 1])), Some(HalfPoints(2)));
    }
}
