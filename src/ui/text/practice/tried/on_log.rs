//! What other limits would have said of the days of a log.

use chrono::NaiveDate;

use crate::domain::log::rule::{Order, Verdict};
use crate::domain::plan::ladder::Ladder;
use crate::domain::tried::replay::{Day, Follows, Replay, Why};
use crate::ui::text::dose::count;
use crate::ui::text::{dates, verdict};

pub const TITLE: &str = "On this client's own days";
pub const AS_IT_WAS: &str = "As it was";
pub const AS_TRIED: &str = "Under these limits";
/// What nobody can know.
pub const WHAT_IS_KNOWN: &str = "The days are read again as they were rated. What the client would have felt is not known: another light leads to another next day. Up to the first day that differs, these limits would have said this. After it, only how they read each day's own answers is certain, and it is drawn paler.";
pub const EACH_BY_ITSELF: &str = "Each day by itself: ";
pub const NO_DAYS: &str = "No day of this log has a light yet.";

/// "The same on all 21 days.", or how many differ and from when on.
pub fn how_many(replay: &Replay) -> String {
    let all = days_long(replay.days.len());
    let differ = replay.days.iter().filter(|day| day.why().is_some()).count();
    match (differ, replay.first) {
        (0, None) => format!("The same on all of {all}."),
        (0, Some(first)) => {
            format!(
                "The same lights on {all}. What follows differs from {} on.",
                dates::short_day(first)
            )
        }
        (_, first) => {
            let since = first.map_or_else(String::new, |first| {
                format!(" The first is {}.", dates::short_day(first))
            });
            let differ =
                if differ == 1 { "1 differs".to_owned() } else { format!("{differ} differ") };
            format!("Of {all}, {differ}.{since}")
        }
    }
}

/// "Tue 3 Mar: Keep, would be Ease. The next morning counts as up by 2 or more, not as up by less than 2."
pub fn differing(day: &Day, why: Why) -> String {
    let (was, would) = (&day.was.verdict, day.would.verdict());
    format!("{}: {}. {}", dates::short_day(day.was.day), change(was, would), reason(why))
}

fn change(was: &Verdict, would: &Verdict) -> String {
    if was.order == would.order {
        return format!("{} both times", order(was.order));
    }
    let is_one_light = was.order.light() == would.order.light();
    let name = |of: Order| if is_one_light { order(of) } else { verdict::light(of.light()) };
    format!("{}, would be {}", name(was.order), name(would.order))
}

const fn order(order: Order) -> &'static str {
    match order {
        Order::KeepAndCount => "Keep that counts",
        Order::KeepNotCounted => "Keep that does not count",
        Order::KeepAndStay => "Keep, stay here",
        Order::Ease => "Ease",
        Order::HoldUntilRested => "Hold with days off",
        Order::HoldUntilAnswered => "Hold until someone qualified has answered",
    }
}

fn reason(why: Why) -> String {
    match why {
        Why::Zone { was, is } => format!(
            "The pain during is {} under these limits, and was {}.",
            verdict::zone(is),
            verdict::zone(was)
        ),
        Why::Morning { was, is } => format!(
            "The next morning is read as {}, and was read as {}.",
            verdict::settling(is),
            verdict::settling(was)
        ),
        Why::Cell((zone, settling)) => format!(
            "The table has another answer for {} pain with the next morning {}.",
            verdict::zone(zone),
            verdict::settling(settling)
        ),
        Why::Around => "A choice beside the table makes the difference.".to_owned(),
    }
}

/// "1 day", "21 days".
fn days_long(days: usize) -> String {
    count(u16::try_from(days).unwrap_or(u16::MAX), "day")
}

pub fn and_more(days: usize) -> String {
    format!("And {} more.", days_long(days))
}

/// What the lights led to, as it was and as it would have been.
pub fn follows(was: &Follows, would: &Follows, ladder: &Ladder) -> Vec<String> {
    let said = |was: String, would: String, what: &str| {
        if was == would {
            format!("{what}: {was}, the same.")
        } else {
            format!("{what}: {was}, would be {would}.")
        }
    };
    let days = |of: &Follows| match of.left_out.len() {
        0 => "no day".to_owned(),
        days => days_long(days),
    };
    let steps = |of: &Follows| match of.step_ups.as_slice() {
        [] => "none".to_owned(),
        all => {
            let on: Vec<String> = all.iter().map(|(day, _)| short(*day)).collect();
            on.join(", ")
        }
    };
    let stands = |of: &Follows| verdict::help(of.stands, ladder);
    vec![
        said(days(was), days(would), "Left out"),
        said(steps(was), steps(would), "Steps up"),
        said(stands(was), stands(would), "Stands at the end on"),
    ]
}

fn short(day: NaiveDate) -> String {
    dates::day_and_month(day)
}
