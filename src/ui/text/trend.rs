//! Changes of pain in plain words, never stronger than the numbers behind them.

use crate::domain::statistics::{Change, Interval};
use crate::domain::trend::{Amount, Heading, Trend};

/// "about the same", "up: worth noticing".
pub fn heading(heading: Heading) -> &'static str {
    match heading {
        Heading::TooFewDays => "too few days to tell",
        Heading::NoDirection => "no clear direction: the numbers leave it open",
        Heading::Steady
        | Heading::Down(Amount::WithinMeasurementError)
        | Heading::Up(Amount::WithinMeasurementError) => "about the same: within measurement error",
        Heading::Down(Amount::ALittle) => "a little lower, less than most people notice",
        Heading::Up(Amount::ALittle) => "a little higher, less than most people notice",
        Heading::Down(Amount::WorthNoticing) => "lower: worth noticing",
        Heading::Up(Amount::WorthNoticing) => "higher: worth noticing",
    }
}

/// The slope behind a reading, where there are days enough for one.
pub fn slope(trend: &Trend) -> Option<String> {
    if trend.heading == Heading::TooFewDays {
        return None;
    }
    let Interval { low, high } = trend.line.slope_interval;
    Some(format!(
        "{} points a week, likely {} to {}; {} days",
        signed(trend.a_week()),
        signed(low * 7.0),
        signed(high * 7.0),
        trend.line.points
    ))
}

/// What a session cost: "up 1.3 points on average, likely +0.6 to +2.0; 7 days".
pub fn cost(change: &Change) -> Option<String> {
    let Interval { low, high } = change.interval?;
    let days = change.pairs;
    let (mean, low, high) = (signed(change.mean), signed(low), signed(high));
    Some(format!("{mean} points on average, likely {low} to {high}; {days} days"))
}

/// A share as whole per cent: "49 to 97 %".
pub fn share(interval: Interval) -> String {
    format!("{:.0} to {:.0} %", interval.low * 100.0, interval.high * 100.0)
}

/// One decimal with its sign; a change of less than that is 0.
fn signed(points: f64) -> String {
    let text = format!("{points:+.1}").replace('-', "−");
    if text.ends_with("0.0") { "0".to_owned() } else { text }
}
