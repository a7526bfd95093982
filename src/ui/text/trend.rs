//! Changes of pain in plain words, never stronger than the numbers behind them.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::dose::{count, list};
use super::{capitalised, verdict};
use crate::domain::log::event::WorkedToday;
use crate::domain::pain::PainRating;
use crate::domain::plan::limits::Limits;
use crate::domain::visit::differences::{DayPart, Difference, FEWEST, Group, Side};
use crate::domain::visit::readings::{self, ONE_BY_ONE, at_site, reading, sites};
use crate::domain::visit::review::ExerciseReview;
use crate::domain::visit::statistics::{Interval, PairedChange};
use crate::domain::visit::talking::Ratings;
use crate::domain::visit::trend::{Amount, Heading, Trend};
use crate::domain::words::Words;

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

/// What the numbers of an exercise bear, a line each: what it is about, and what they come to.
pub fn all_readings(
    exercise: &ExerciseReview,
    limits: Option<&Limits>,
) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    let (during, mornings) = (readings::during(exercise), readings::next_mornings(exercise));
    for (name, series) in [("During", during), ("Next morning", mornings)] {
        let Some((spread, trend)) = reading(&series) else { continue };
        if series.len() < ONE_BY_ONE.into() {
            lines.push((name, one_by_one(&series)));
            continue;
        }
        let middle = format!(
            "typically {}, half of them {} to {}",
            points(spread.median),
            points(spread.quartiles.low),
            points(spread.quartiles.high)
        );
        let slope = slope(&trend).map(|slope| format!(" ({slope})")).unwrap_or_default();
        lines.push((name, format!("{middle}. {}{slope}.", capitalised(heading(trend.heading)))));
    }
    let sites = sites(exercise, limits);
    if 1 < sites.len() {
        let lines_of = sites.iter().filter_map(|site| by_site(exercise, site.as_ref()));
        lines.push(("By site", format!("{}.", list(&lines_of.collect::<Vec<_>>()))));
    }
    if let (Some(this), Some(last)) = exercise.weekly_mornings {
        let weeks = format!(
            "{} this week, {} last week.",
            verdict::half_points(this),
            verdict::half_points(last)
        );
        lines.push(("All mornings by week", weeks));
    }
    if let Some(cost) = readings::cost(exercise).as_ref().and_then(cost) {
        lines.push(("From before to worst during", format!("{cost}.")));
    }
    if exercise.rung_changed() && !lines.is_empty() {
        lines.push((
            "Read with care",
            "the rung changed in this time, and pain with it.".to_owned(),
        ));
    }
    lines
}

/// "2 on 3 days, 5 on 1 day."
fn one_by_one(series: &[(NaiveDate, PainRating)]) -> String {
    let mut days: BTreeMap<PainRating, u16> = BTreeMap::new();
    for (_, rating) in series {
        *days.entry(*rating).or_default() += 1;
    }
    let said = days
        .into_iter()
        .map(|(rating, days)| format!("{} on {}", rating.points(), count(days, "day")));
    format!("{}.", said.collect::<Vec<_>>().join(", "))
}

/// "heel typically 3 on 8 days".
fn by_site(exercise: &ExerciseReview, site: Option<&Words>) -> Option<String> {
    let (middle, number) = at_site(exercise, &site.cloned())?;
    let days = count(u16::try_from(number).unwrap_or(u16::MAX), "day");
    Some(format!("{} typically {} on {days}", site_name(site), points(middle)))
}

pub fn site_name(site: Option<&Words>) -> String {
    site.map_or_else(|| "no place named".to_owned(), Words::to_string)
}

/// What a session cost: "up 1.3 points on average, likely +0.6 to +2.0; 7 days".
pub fn cost(change: &PairedChange) -> Option<String> {
    let Interval { low, high } = change.interval?;
    let days = change.pairs;
    let (mean, low, high) = (signed(change.mean), signed(low), signed(high));
    Some(format!("{mean} points on average, likely {low} to {high}; {days} days"))
}

/// A share as whole per cent: "49 to 97 %".
pub fn share(interval: Interval) -> String {
    format!("{:.0} to {:.0} %", interval.low * 100.0, interval.high * 100.0)
}

/// A number of points without needless decimals: "3", "2.5".
pub fn points(number: f64) -> String {
    let text = format!("{number:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// "the worst pain during was higher in the evening: typically 5 (9 sessions), against 2 (8 sessions) in
/// the morning."
pub fn difference(difference: &Difference) -> String {
    let Difference { ratings, lower, higher } = difference;
    let (which, of) = match ratings {
        Ratings::During => ("the worst pain during was higher", "sessions"),
        Ratings::NextMorning => ("the next morning was worse after sessions", "mornings"),
    };
    let side = |side: &Side| format!("{} ({} {of})", points(side.median), side.count);
    format!(
        "{which} {}: typically {}, against {} {}. The numbers do not say why.",
        group(higher.group),
        side(higher),
        side(lower),
        group(lower.group),
    )
}

const fn group(group: Group) -> &'static str {
    match group {
        Group::Started(DayPart::Morning) => "in the morning",
        Group::Started(DayPart::Afternoon) => "in the afternoon",
        Group::Started(DayPart::Evening) => "in the evening",
        Group::Worked(WorkedToday::Light) => "on light days",
        Group::Worked(WorkedToday::AsUsual) => "on days as usual",
        Group::Worked(WorkedToday::Heavy) => "on heavy days",
    }
}

/// How a difference is decided, and where that comes from.
pub fn difference_rule() -> String {
    format!(
        "Shown where there are {FEWEST} or more on each side (common practice, no source), 2 points or more lie between them (Farrar 2001), and chance alone orders ratings so less than once in twenty (rank-sum test, Mann and Whitney 1947, from memory)"
    )
}

/// One decimal with its sign; a change of less than that is 0.
fn signed(points: f64) -> String {
    let text = format!("{points:+.1}").replace('-', "−");
    if text == "+0.0" || text == "−0.0" { "0".to_owned() } else { text }
}
