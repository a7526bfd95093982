//! The practitioner's measuring sheets: how much weight a hand or a bench takes, and how far a band is
//! stretched.
//!
//! Both are for like compared with like on one client. A band's stretch is never turned into newtons:
//! published charts of force against length disagree from one maker to the next and overestimate what
//! was measured (Uchida 2016, PMC4868225; Shoepe 2019, Sports 7:21).

use crate::domain::plan::dose::WeightUnit;
use crate::domain::words::Words;

/// A number read off a scale or a tape, exact to a hundredth of its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Reading {
    hundredths: u32,
}

impl Reading {
    /// The largest that is taken, so that no sum of two can overflow.
    pub const MOST: Self = Self::whole(9999);

    pub const fn whole(number: u16) -> Self {
        Self { hundredths: number as u32 * 100 }
    }

    /// Reads what was typed, with a comma or a point: "80", "80.5", "80,25".
    pub fn read(text: &str) -> Result<Self, NotAReading> {
        let text = text.trim();
        if text.is_empty() {
            return Err(NotAReading::Blank);
        }
        let (whole, part) = text.split_once([',', '.']).unwrap_or((text, "0"));
        let is_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if whole.is_empty() || part.is_empty() || !is_digits(whole) || !is_digits(part) {
            return Err(NotAReading::NotANumber);
        }
        if 2 < part.trim_end_matches('0').len() {
            return Err(NotAReading::TooFine);
        }
        let padded: String = part.chars().chain("00".chars()).take(2).collect();
        let read = |text: &str| text.parse::<u32>().ok().filter(|number| *number <= 9999);
        let (Some(whole), Some(part)) = (read(whole), read(&padded)) else {
            return Err(NotAReading::TooLarge);
        };
        let reading = Self { hundredths: whole * 100 + part };
        if reading <= Self::MOST { Ok(reading) } else { Err(NotAReading::TooLarge) }
    }

    pub fn get(self) -> f64 {
        f64::from(self.hundredths) / 100.0
    }

    /// How much `self` is of `whole`, in per cent; `whole` is above zero.
    fn percent_of(self, whole: Self) -> f64 {
        f64::from(self.hundredths) * 100.0 / f64::from(whole.hundredths)
    }

    const fn less(self, other: Self) -> Self {
        Self { hundredths: self.hundredths.saturating_sub(other.hundredths) }
    }

    /// Whether this is more than `tenths` tenths of `other`.
    const fn is_beyond(self, tenths: u32, other: Self) -> bool {
        other.hundredths * tenths < self.hundredths * 10
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotAReading {
    Blank,
    NotANumber,
    TooFine,
    TooLarge,
}

/// Where the scale stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Under {
    /// Under the feet: it shows what is left on the legs.
    Feet,
    /// Under the hands: it shows what the arms take.
    Hands,
}

/// The bathroom-scale sheet: two readings in one unit, taken standing still.
///
/// It says nothing about moving: after training on a scale, 21 of 23 people on crutches put down more
/// than they meant to, by 35.3 % of body weight on average (Clin Orthop Relat Res 2004;421:282–286).
/// Two home scales side by side vary by 5 to 7 % (Hopkins 2013, J Rehabil Med 45(2)).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unloading {
    unit: WeightUnit,
    body: Reading,
    shown: Reading,
    under: Under,
}

impl Unloading {
    /// The lightest and the heaviest body the sheet takes (common practice, no source).
    pub const fn body_range(unit: WeightUnit) -> (Reading, Reading) {
        match unit {
            WeightUnit::Kg => (Reading::whole(20), Reading::whole(300)),
            WeightUnit::Lb => (Reading::whole(44), Reading::whole(660)),
        }
    }

    /// `body` is what the scale shows when nothing helps; both are in `unit`.
    pub fn new(
        unit: WeightUnit,
        body: Reading,
        shown: Reading,
        under: Under,
    ) -> Result<Self, NotUnloading> {
        let (least, most) = Self::body_range(unit);
        if body < least || most < body {
            return Err(NotUnloading::Body { least: least.get(), most: most.get(), unit });
        }
        if body < shown {
            return Err(NotUnloading::MoreThanBody);
        }
        Ok(Self { unit, body, shown, under })
    }

    /// How much of the body's weight is taken off the legs, in per cent from 0 to 100 (common practice,
    /// no validation found): (body − feet) / body, or hands / body.
    pub fn percent_taken(&self) -> f64 {
        let taken = match self.under {
            Under::Feet => self.body.less(self.shown),
            Under::Hands => self.shown,
        };
        taken.percent_of(self.body)
    }

    pub const fn unit(&self) -> WeightUnit {
        self.unit
    }

    pub const fn body(&self) -> Reading {
        self.body
    }

    pub const fn shown(&self) -> Reading {
        self.shown
    }

    pub const fn under(&self) -> Under {
        self.under
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NotUnloading {
    Body { least: f64, most: f64, unit: WeightUnit },
    MoreThanBody,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthUnit {
    Cm,
    Inch,
}

/// How far a band is stretched, against the limits that suppliers give.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stretch {
    /// Up to 2.5 times the resting length, the strictest limit met.
    Within,
    /// Beyond 2.5 times, up to three times: one supplier allows it, another does not.
    BeyondSome,
    /// Beyond three times the resting length: further than any limit met.
    Beyond,
}

/// The band sheet: which band, in the practitioner's own words, and two lengths in one unit.
///
/// Limits are asked for as lengths, since "300 %" can mean three times or four times as long.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Band {
    level: Words,
    unit: LengthUnit,
    resting: Reading,
    stretched: Reading,
}

impl Band {
    /// The shortest and the longest resting length the sheet takes (common practice, no source).
    pub const fn resting_range(unit: LengthUnit) -> (Reading, Reading) {
        match unit {
            LengthUnit::Cm => (Reading::whole(5), Reading::whole(500)),
            LengthUnit::Inch => (Reading::whole(2), Reading::whole(200)),
        }
    }

    pub fn new(
        level: Words,
        unit: LengthUnit,
        resting: Reading,
        stretched: Reading,
    ) -> Result<Self, NotABand> {
        let (least, most) = Self::resting_range(unit);
        if resting < least || most < resting {
            return Err(NotABand::Resting { least: least.get(), most: most.get(), unit });
        }
        if stretched < resting {
            return Err(NotABand::Shorter);
        }
        Ok(Self { level, unit, resting, stretched })
    }

    /// How much longer than at rest, in per cent: (stretched − resting) / resting. 100 is twice as long.
    pub fn percent_elongation(&self) -> f64 {
        self.stretched.less(self.resting).percent_of(self.resting)
    }

    /// Held against three times the resting length (one supplier) and 2.5 times (another).
    pub const fn stretch(&self) -> Stretch {
        if self.stretched.is_beyond(30, self.resting) {
            Stretch::Beyond
        } else if self.stretched.is_beyond(25, self.resting) {
            Stretch::BeyondSome
        } else {
            Stretch::Within
        }
    }

    pub const fn level(&self) -> &Words {
        &self.level
    }

    pub const fn unit(&self) -> LengthUnit {
        self.unit
    }

    pub const fn resting(&self) -> Reading {
        self.resting
    }

    pub const fn stretched(&self) -> Reading {
        self.stretched
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NotABand {
    Resting { least: f64, most: f64, unit: LengthUnit },
    Shorter,
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_reading_is_typed_with_a_comma_or_a_point() {
        for (text, number) in [
            ("80", 80.0),
            ("80.5", 80.5),
            ("80,25", 80.25),
            (" 7.10 ", 7.1),
            ("0", 0.0),
            ("1.500", 1.5),
        ] {
            assert!((Reading::read(text).unwrap().get() - number).abs() < 1e-9, "{text}");
        }
    }

    #[test]
    fn a_body_has_a_weight_and_no_scale_shows_more() {
        let sheet = |unit, body, shown| {
            Unloading::new(unit, Reading::whole(body), Reading::whole(shown), Under::Feet)
        };
        let range = NotUnloading::Body { least: 20.0, most: 300.0, unit: WeightUnit::Kg };
        assert_eq!(sheet(WeightUnit::Kg, 0, 0), Err(range));
        assert_eq!(sheet(WeightUnit::Kg, 301, 0), Err(range));
        assert!(sheet(WeightUnit::Lb, 400, 300).is_ok());
        assert_eq!(sheet(WeightUnit::Kg, 80, 176), Err(NotUnloading::MoreThanBody));
    }

    #[test]
    fn a_band_is_no_shorter_when_it_is_stretched() {
        let band = |resting, stretched| {
            let level = Words::new("the thin loop").unwrap();
            Band::new(level, LengthUnit::Cm, Reading::whole(resting), Reading::whole(stretched))
        };
        assert_eq!(band(30, 29), Err(NotABand::Shorter));
        let range = NotABand::Resting { least: 5.0, most: 500.0, unit: LengthUnit::Cm };
        assert_eq!(band(4, 9), Err(range));
        assert!(band(30, 30).unwrap().percent_elongation().abs() < 1e-9);
    }

    #[test]
    fn the_limits_of_a_stretch_are_exact() {
        let stretch = |resting: &str, stretched: &str| {
            let read = |text| Reading::read(text).unwrap();
            let level = Words::new("the thin loop").unwrap();
            Band::new(level, LengthUnit::Cm, read(resting), read(stretched)).unwrap().stretch()
        };
        assert_eq!(stretch("33.3", "83.25"), Stretch::Within);
        assert_eq!(stretch("33.3", "83.26"), Stretch::BeyondSome);
        assert_eq!(stretch("33.3", "99.9"), Stretch::BeyondSome);
        assert_eq!(stretch("33.3", "99.91"), Stretch::Beyond);
    }

    proptest! {
        /// What the feet lose, the hands take.
        #[test]
        fn both_places_of_the_scale_agree(body in 20_u16..=300, share in 0_u16..=100) {
            let hands = body * share / 100;
            let taken = |shown, under| {
                let (body, shown) = (Reading::whole(body), Reading::whole(shown));
                Unloading::new(WeightUnit::Kg, body, shown, under).unwrap().percent_taken()
            };
            let by_hands = taken(hands, Under::Hands);
            prop_assert!((by_hands - taken(body - hands, Under::Feet)).abs() < 1e-9);
            prop_assert!((0.0..=100.0).contains(&by_hands));
        }

        #[test]
        fn nothing_that_is_typed_makes_it_fall_over(text in "\\PC*|[0-9.,]*") {
            if let Ok(reading) = Reading::read(&text) {
                prop_assert!(reading <= Reading::MOST);
            }
        }
    }
}
