//! The measuring sheets.

use super::InWords;
use crate::domain::plan::dose::WeightUnit;
use crate::domain::visit::measure::{LengthUnit, NotABand, NotAReading, NotUnloading, Reading};

impl InWords for NotAReading {
    fn in_words(&self) -> String {
        match self {
            Self::Blank => "nothing is written here; write a number such as 80 or 80.5".to_owned(),
            Self::NotANumber => {
                "this is not a number; write it like 80 or 80.5, without the unit".to_owned()
            }
            Self::TooFine => "two digits after the point are enough".to_owned(),
            Self::TooLarge => {
                format!("this number is too large; it goes up to {}", Reading::MOST.get())
            }
        }
    }
}

impl InWords for NotUnloading {
    fn in_words(&self) -> String {
        match self {
            Self::Body { least, most, unit } => {
                let unit = match unit {
                    WeightUnit::Kg => "kg",
                    WeightUnit::Lb => "lb",
                };
                format!("the body's weight goes from {least} to {most} {unit}")
            }
            Self::MoreThanBody => {
                "the scale shows more than the body's weight; use the same scale and the same unit for both, \
                 and wait until the number stands still"
                    .to_owned()
            }
        }
    }
}

impl InWords for NotABand {
    fn in_words(&self) -> String {
        match self {
            Self::Resting { least, most, unit } => {
                let unit = match unit {
                    LengthUnit::Cm => "cm",
                    LengthUnit::Inch => "in",
                };
                format!("the length at rest goes from {least} to {most} {unit}")
            }
            Self::Shorter => {
                "the stretched length is shorter than the length at rest; measure both again"
                    .to_owned()
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::visit::measure::{Band, Under, Unloading};
    use crate::domain::words::Words;

    #[test]
    fn what_is_no_reading_is_told_in_plain_words() {
        #[rustfmt::skip]
        let rows = [
            ("",           "nothing is written here; write a number such as 80 or 80.5"),
            ("80 kg",      "this is not a number; write it like 80 or 80.5, without the unit"),
            ("-3",         "this is not a number; write it like 80 or 80.5, without the unit"),
            ("80.",        "this is not a number; write it like 80 or 80.5, without the unit"),
            (".5",         "this is not a number; write it like 80 or 80.5, without the unit"),
            ("1.2.3",      "this is not a number; write it like 80 or 80.5, without the unit"),
            ("٨٠",         "this is not a number; write it like 80 or 80.5, without the unit"),
            ("80.125",     "two digits after the point are enough"),
            ("9999.01",    "this number is too large; it goes up to 9999"),
            ("99999",      "this number is too large; it goes up to 9999"),
            ("99999999999", "this number is too large; it goes up to 9999"),
        ];
        for (text, words) in rows {
            assert_eq!(Reading::read(text).unwrap_err().in_words(), words, "{text}");
        }
    }

    #[test]
    fn a_range_is_told_with_its_unit() {
        let (small, large) = (Reading::whole(4), Reading::whole(301));
        let heavy = Unloading::new(WeightUnit::Kg, large, small, Under::Feet);
        let told = heavy.unwrap_err().in_words();
        assert_eq!(told, "the body's weight goes from 20 to 300 kg");
        let level = Words::new("the thin loop").unwrap();
        let short = Band::new(level, LengthUnit::Cm, small, large);
        let told = short.unwrap_err().in_words();
        assert_eq!(told, "the length at rest goes from 5 to 500 cm");
    }
}
