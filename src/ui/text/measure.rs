//! The measuring sheets in the practitioner's words.

use crate::domain::plan::dose::WeightUnit;
use crate::domain::visit::measure::{Band, LengthUnit, Reading, Stretch, Under, Unloading};

/// What a bathroom scale is good for.
pub const STANDING_STILL_ONLY: &str = "Only a check while standing still, give or take 5 to 7 %. It says nothing about moving: people who practised on a scale still put down far more when they walked.";

/// Why a band gets no number of newtons.
pub const NO_NEWTONS: &str = "A band is not turned into newtons. Charts differ from maker to maker, and bands pull less than their charts say. Note the same two lengths each time, and compare like with like.";

/// "20 % of body weight is taken (80 kg, 64 kg under the feet, standing still)".
pub fn unloading(sheet: &Unloading) -> String {
    let (taken, unit) = (whole_percent(sheet.percent_taken()), weight_unit(sheet.unit()));
    let place = match sheet.under() {
        Under::Feet => "under the feet",
        Under::Hands => "under the hands",
    };
    let (body, shown) = (sheet.body().get(), sheet.shown().get());
    format!(
        "{taken} of body weight is taken ({body} {unit}, {shown} {unit} {place}, standing still)"
    )
}

/// "the thin loop: 30 cm stretched to 75 cm, 150 % longer".
pub fn band(band: &Band) -> String {
    let unit = length_unit(band.unit());
    let (resting, stretched) = (band.resting().get(), band.stretched().get());
    let longer = whole_percent(band.percent_elongation());
    format!("{}: {resting} {unit} stretched to {stretched} {unit}, {longer} longer", band.level())
}

/// What to say about how far a band is stretched, where there is something to say.
pub fn stretch(band: &Band) -> Option<String> {
    let at_most = |tenths: f64| {
        let length = (band.resting().get() * tenths).round() / 10.0;
        format!("{length} {}", length_unit(band.unit()))
    };
    match band.stretch() {
        Stretch::Within => None,
        Stretch::BeyondSome => Some(format!(
            "One supplier allows this, another stops at 2.5 times the length at rest: {} here.",
            at_most(25.0)
        )),
        Stretch::Beyond => Some(format!(
            "Too far. No limit we know goes beyond 3 times the length at rest: {} here. Take a longer or a stronger band, or stand closer.",
            at_most(30.0)
        )),
    }
}

fn whole_percent(percent: f64) -> String {
    format!("{percent:.0} %")
}

pub const fn weight_unit(unit: WeightUnit) -> &'static str {
    match unit {
        WeightUnit::Kg => "kg",
        WeightUnit::Lb => "lb",
    }
}

pub const fn length_unit(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Cm => "cm",
        LengthUnit::Inch => "in",
    }
}

/// A reading as it is shown again in its field.
pub fn reading(reading: Reading) -> String {
    reading.get().to_string()
}
