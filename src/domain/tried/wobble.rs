//! How far a rating strays from the pain that it is about, and numbers drawn at random that are the same on
//! every device.
//!
//! A rating is the true pain plus a normal wobble, rounded half up and cut to 0 to 10. Logarithms and the
//! error function come from `libm`, so that no device's own give another last digit.

use std::f64::consts::SQRT_2;

use crate::domain::pain::PainRating;

/// The standard deviation of a rating about the true pain, in points of the scale from 0 to 10; above nought.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Wobble(f64);

impl Wobble {
    /// The standard error of measurement of the numeric rating scale in osteoarthritis of the knee, 24 hours
    /// apart: Alghadir 2018, J Pain Res 11:851–856 (read).
    pub const SMALLER: Self = Self(0.48);
    /// That of pain on knee bends, one rater: Klokker 2015, Qual Life Res 24:2985–92 (read).
    pub const LARGER: Self = Self(0.70);
    /// The smaller one times 1.96: how far one rating in twenty strays. As a standard deviation it is ours,
    /// for someone who rates less surely than those who were measured.
    pub const UNSURE: Self = Self(0.94);

    /// Both figures that were read, as a range.
    pub const PUBLISHED: [Self; 2] = [Self::SMALLER, Self::LARGER];
    pub const ALL: [Self; 3] = [Self::SMALLER, Self::LARGER, Self::UNSURE];

    /// Another one; none of nought or less, or of no number.
    pub fn of(points: f64) -> Option<Self> {
        (points.is_finite() && 0.0 < points).then_some(Self(points))
    }

    pub const fn points(self) -> f64 {
        self.0
    }

    /// How often each rating from 0 to 10 is given for a true pain, as shares of one.
    pub fn ratings(self, truth: f64) -> [f64; 11] {
        let below = |cut: f64| libm::erfc((truth - cut) / (self.0 * SQRT_2)) / 2.0;
        let mut shares = [0.0; 11];
        for (share, rating) in shares.iter_mut().zip(PainRating::all()) {
            let points = f64::from(rating.points());
            let low = if rating == PainRating::NONE { 0.0 } else { below(points - 0.5) };
            let high = if rating == PainRating::WORST { 1.0 } else { below(points + 0.5) };
            *share = high - low;
        }
        shares
    }

    /// A rating of a true pain, drawn at random.
    pub fn rating(self, truth: f64, chance: &mut Chance) -> PainRating {
        rounded(truth + self.0 * chance.normal())
    }
}

/// The rating nearest to a pain, half points up.
fn rounded(pain: f64) -> PainRating {
    let reached = |rating: &PainRating| f64::from(rating.points()) - 0.5 <= pain;
    PainRating::all().skip(1).take_while(reached).last().unwrap_or(PainRating::NONE)
}

const TWO_TO_32: f64 = 4_294_967_296.0;

/// Random numbers from a seed: `SplitMix64` (Steele, Lea and Flood 2014, from memory).
#[derive(Clone, Debug)]
pub struct Chance {
    state: u64,
    /// Normal numbers come in pairs.
    spare: Option<f64>,
}

impl Chance {
    pub const fn of(seed: u64) -> Self {
        Self { state: seed, spare: None }
    }

    fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// Evenly from -1 up to 1.
    fn even(&mut self) -> f64 {
        let bits = self.bits();
        let half = |bits: u64| u32::try_from(bits & u64::from(u32::MAX)).unwrap_or(0);
        let (high, low) = (half(bits), half(bits >> 32));
        (f64::from(high) + f64::from(low) / TWO_TO_32) / (TWO_TO_32 / 2.0) - 1.0
    }

    /// From the standard normal distribution: Marsaglia's polar method (from memory).
    fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        loop {
            let (x, y) = (self.even(), self.even());
            let square = x * x + y * y;
            if 0.0 < square && square < 1.0 {
                let stretch = (-2.0 * libm::log(square) / square).sqrt();
                self.spare = Some(y * stretch);
                return x * stretch;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratings_are_rounded_half_up_and_cut_to_the_scale() {
        let rows = [(-3.0, 0), (0.49, 0), (0.5, 1), (2.49, 2), (2.5, 3), (9.5, 10), (31.0, 10)];
        for (pain, points) in rows {
            assert_eq!(rounded(pain).points(), points, "{pain}");
        }
    }

    #[test]
    fn the_shares_of_all_ratings_come_to_one() {
        for wobble in Wobble::ALL {
            for truth in [-1.0, 0.0, 2.0, 4.7, 10.0, 12.0] {
                let all: f64 = wobble.ratings(truth).iter().sum();
                assert!((all - 1.0).abs() < 1e-12, "{wobble:?} {truth}: {all}");
            }
        }
    }

    /// A pain of 2 with a wobble of 0.5: a rating of 2 is within one standard deviation, 68.27 % of the
    /// normal distribution, and 0 lies three below, 0.135 %.
    #[test]
    fn shares_are_those_of_the_normal_distribution() {
        let shares = Wobble(0.5).ratings(2.0);
        assert!((shares[2] - 0.682_689_492_137_086).abs() < 1e-12);
        assert!((shares[0] - 0.001_349_898_031_630_095).abs() < 1e-12);
    }

    #[test]
    fn ratings_drawn_come_as_often_as_their_shares_say() {
        let mut chance = Chance::of(7);
        let mut drawn = [0.0; 11];
        for _ in 0..100_000 {
            drawn[usize::from(Wobble::LARGER.rating(2.3, &mut chance).points())] += 1.0;
        }
        for (drawn, share) in drawn.iter().zip(Wobble::LARGER.ratings(2.3)) {
            let error = (share * (1.0 - share) / 100_000.0).sqrt();
            assert!((drawn / 100_000.0 - share).abs() <= 4.0 * error + 1e-6, "{drawn} {share}");
        }
    }
}
