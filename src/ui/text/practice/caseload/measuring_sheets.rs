//! What the measuring sheets ask for.

use crate::domain::visit::measure::Under;

pub const MEASURE_HELP: &str = "Measure the help with a bathroom scale";
pub const MEASURE_BAND: &str = "Measure how far a band is stretched";

pub const UNIT: &str = "Unit";
pub const WHERE_SCALE_IS: &str = "Where the scale is";
pub const BODY: &str = "Body, nothing helping";
pub const WITH_HELP: &str = "With the help";

pub const fn place(of: Under) -> &'static str {
    match of {
        Under::Feet => "Under the feet",
        Under::Hands => "Under the hands",
    }
}

pub const WHICH_BAND: &str = "Which band, in your own words";
/// What a band is called that was given no words.
pub const THE_BAND: &str = "the band";
pub const AT_REST: &str = "Length at rest";
pub const STRETCHED: &str = "Length when stretched";

/// Why the readings say nothing.
pub fn not_read(why: &str) -> String {
    format!("Not read: {why}.")
}
