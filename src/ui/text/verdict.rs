//! Lights, the reasons behind them, the practitioner's limits, and what happens next.

use chrono::NaiveDate;

use super::dates;
use super::dose::{count, list};
use crate::domain::log::course::{Availability, Course, Judged, Stop};
use crate::domain::log::event::Ending;
use crate::domain::log::rule::{Order, Reason, Swelling, Usual, UsualFrom};
use crate::domain::pain::{HalfPoints, PainRating};
use crate::domain::plan::ladder::{Foothold, Ladder, OnLowestRung};
use crate::domain::plan::limits::{
    AfterBreak, Cell, Light, Limits, MayStepUp, Preset, Settling, Site, SiteCounts, Table, Zone,
};
use crate::domain::plan::routine::Exercise;
use crate::domain::visit::following::Followed;
use crate::domain::words::Words;

pub const fn light(light: Light) -> &'static str {
    match light {
        Light::Keep => "Keep",
        Light::Ease => "Ease",
        Light::Hold => "Hold",
    }
}

pub const fn zone(zone: Zone) -> &'static str {
    match zone {
        Zone::Low => "low",
        Zone::Middle => "middle",
        Zone::High => "high",
    }
}

/// The ratings of a zone: "0 to 2", "6 to 10".
pub fn zone_range(table: &Table, zone: Zone) -> String {
    let range =
        |from: u8, to: u8| if from == to { from.to_string() } else { format!("{from} to {to}") };
    let (low, middle) = (table.low_max().points(), table.middle_max().points());
    match zone {
        Zone::Low => range(0, low),
        Zone::Middle => range(low + 1, middle),
        Zone::High if middle == PainRating::WORST.points() => "stopped".to_owned(),
        Zone::High => format!("{} or stopped", range(middle + 1, 10)),
    }
}

pub const fn settling(settling: Settling) -> &'static str {
    match settling {
        Settling::Settled => "as usual or better",
        Settling::UpALittle => "up by less than 2",
        Settling::UpClearly => "up by 2 or more",
        Settling::NotAnswered => "not answered",
    }
}

pub const fn cell(cell: Cell) -> &'static str {
    match cell {
        Cell::Counts => "Keep, counts toward a step up",
        Cell::Stay => "Keep, stay here",
        Cell::Ease => "Ease",
        Cell::Hold => "Hold",
    }
}

pub const fn swelling(swelling: Swelling) -> &'static str {
    match swelling {
        Swelling::NoMore => "No more than the day before",
        Swelling::ALittleMore => "A little more",
        Swelling::ClearlyMore => "Clearly more",
    }
}

pub const fn preset(preset: Option<Preset>) -> &'static str {
    match preset {
        Some(Preset::PainMonitoring) => "Pain-monitoring",
        Some(Preset::WiderGreen) => "Wider green",
        Some(Preset::NearlyPainFree) => "Nearly pain-free",
        None => "Set by your practitioner",
    }
}

/// "2", "2½".
pub fn half_points(points: HalfPoints) -> String {
    let (whole, half) = (points.0 / 2, points.0 % 2 != 0);
    match (whole, half) {
        (0, true) => "½".to_owned(),
        (whole, true) => format!("{whole}½"),
        (whole, false) => whole.to_string(),
    }
}

pub const RATE_AGAIN: &str = "The worst pain in that set, as you meant it";

/// One row of the reasons: what, the value, and the limit beside it.
pub struct ReasonRow {
    pub what: String,
    pub value: String,
    pub beside: String,
}

fn row(what: &str, value: impl Into<String>, beside: impl Into<String>) -> ReasonRow {
    ReasonRow { what: what.to_owned(), value: value.into(), beside: beside.into() }
}

/// A reason with the limit that it was held against.
pub fn reason(reason: &Reason, limits: &Limits) -> ReasonRow {
    match reason {
        Reason::WarningSign => row("Warning sign", "ticked", "nothing else counts beside it"),
        Reason::NotRated => row("During", "not rated", "no set tells how it felt"),
        Reason::MorningHigh { rating } => {
            row("This morning", rating.points().to_string(), "high, whatever is usual: no step up")
        }
        Reason::AtRestHigh { rating } => row(
            "At rest before it",
            rating.points().to_string(),
            "high before anything was done: no step up",
        ),
        Reason::AnsweredAfterTraining => {
            row("Answered", "after training", "so the morning does not count toward a step up")
        }
        Reason::OnlyAtRestToCompare => row(
            "Usual morning",
            "not known yet",
            "pain at rest stands in for it, so the day does not count",
        ),
        Reason::SwellingAddedUp => {
            row("Swelling", "a little more, three times in 7 days", "read as clearly more: Hold")
        }
        Reason::Stopped => row("Stopped", "because of pain", "counts as high"),
        Reason::During { rating, zone: counts_as } => {
            let by_itself = limits.table.zone(*rating);
            let range = format!("{}: {}", zone(by_itself), zone_range(&limits.table, by_itself));
            let beside = if by_itself == *counts_as {
                range
            } else {
                format!("{range}, counts as {} there", zone(*counts_as))
            };
            row("During", rating.points().to_string(), beside)
        }
        Reason::SiteCountsMore { site } => {
            row("Where", site.to_string(), "counts one zone worse here")
        }
        Reason::SiteNotedOnly { site } => {
            row("Where", site.to_string(), "noted only, unless it is high")
        }
        Reason::Morning { rating, usual, settling: how } => {
            let usual_words = match usual.from {
                UsualFrom::Visit => "usual at the visit",
                UsualFrom::Said => "usual, as said at the start,",
                UsualFrom::FirstMornings => "usual at the start",
                UsualFrom::Mornings => "usual lately",
                UsualFrom::AtRest => "before the session",
                UsualFrom::Nothing => "no usual known, so",
            };
            let usual_points = half_points(usual.half_points);
            row(
                "Next morning",
                rating.points().to_string(),
                format!("{usual_words} {usual_points}: {}", settling(*how)),
            )
        }
        Reason::MorningNotAnswered => {
            row("Next morning", "no answer so far", "no step up without it")
        }
        Reason::WeeksRising => {
            row("This week", "up on last week", "the morning counts one step worse")
        }
        Reason::SwellingALittleMore => row("Swelling", "a little more", "no step up"),
        Reason::SwellingClearlyMore => row("Swelling", "clearly more", "always Hold"),
        Reason::NothingEasier => row("Nothing easier", "is left", "so Ease means Hold"),
        Reason::SecondHoldWithinSevenDays => {
            row("Second Hold", "within 7 days", "stop until someone qualified has answered")
        }
    }
}

/// What an exercise that is back was left out for, as it is read to a client.
pub fn why_it_was(judged: &Judged, limits: &Limits) -> String {
    format!(
        "It was left out on {}. {}",
        dates::day(judged.day),
        reasons_said(judged, limits).join(" ")
    )
}

fn reasons_said(judged: &Judged, limits: &Limits) -> Vec<String> {
    judged.verdict.reasons.iter().map(|reason| reason_said(reason, limits)).collect()
}

/// What led to a verdict, as it is read to a client: "During: 3, in the middle. Next morning: 3, one more than
/// usual. So: one rung down."
pub fn why(judged: &Judged, limits: &Limits) -> String {
    let mut said = reasons_said(judged, limits);
    let so = match (judged.verdict.order.light(), judged.next.cmp(&judged.from)) {
        (Light::Hold, _) => "leave it out for now".to_owned(),
        (Light::Keep | Light::Ease, _) => step(judged).to_owned(),
    };
    said.push(format!("So: {so}."));
    said.join(" ")
}

/// A reason as a sentence of its own.
fn reason_said(reason: &Reason, limits: &Limits) -> String {
    match reason {
        Reason::During { rating, zone: counts_as } => {
            let by_itself = limits.table.zone(*rating);
            let during = format!("During: {}, {}", rating.points(), zone_said(by_itself));
            if by_itself == *counts_as {
                format!("{during}.")
            } else {
                format!("{during}, counted as {} because of where it hurt.", zone(*counts_as))
            }
        }
        Reason::SiteCountsMore { site } => format!("Pain at the {site} counts one zone worse."),
        Reason::SiteNotedOnly { site } => {
            format!("Pain at the {site} is noted only, unless it is high.")
        }
        Reason::Morning { rating, usual, .. } => {
            format!("Next morning: {}, {}.", rating.points(), against_usual(*rating, *usual))
        }
        Reason::MorningHigh { .. } => "A high morning never counts toward a step up.".to_owned(),
        Reason::AtRestHigh { rating } => {
            format!("At rest before it: {}, high: no step up.", rating.points())
        }
        Reason::NotRated => "No set was rated.".to_owned(),
        Reason::Stopped => "A set was stopped by pain, which counts as high.".to_owned(),
        Reason::WarningSign => {
            "A warning sign was ticked, and nothing else counts beside it.".to_owned()
        }
        Reason::MorningNotAnswered => "The next morning has no answer so far.".to_owned(),
        Reason::AnsweredAfterTraining => {
            "The morning was answered after training, so it does not count toward a step up."
                .to_owned()
        }
        Reason::OnlyAtRestToCompare => {
            "What a usual morning is like is not known yet, so the day does not count.".to_owned()
        }
        Reason::WeeksRising => {
            "This week's mornings are up on last week's, so this one counts one step worse."
                .to_owned()
        }
        Reason::SwellingALittleMore => "A little more swelling: no step up.".to_owned(),
        Reason::SwellingAddedUp => {
            "A little more swelling, three times in seven days, counts as clearly more.".to_owned()
        }
        Reason::SwellingClearlyMore => "Clearly more swelling.".to_owned(),
        Reason::NothingEasier => "There is nothing easier left.".to_owned(),
        Reason::SecondHoldWithinSevenDays => "It is the second Hold within seven days.".to_owned(),
    }
}

const fn zone_said(zone: Zone) -> &'static str {
    match zone {
        Zone::Low => "low",
        Zone::Middle => "in the middle",
        Zone::High => "high",
    }
}

/// A morning beside the usual one: "as usual", "1½ more than usual", "2 less than before the session".
fn against_usual(rating: PainRating, usual: Usual) -> String {
    let (this, than) = (HalfPoints::from(rating), usual.half_points);
    let what = match usual.from {
        UsualFrom::Visit | UsualFrom::Said | UsualFrom::FirstMornings | UsualFrom::Mornings => {
            "usual"
        }
        UsualFrom::AtRest => "before the session",
        UsualFrom::Nothing => return "with no usual morning known yet".to_owned(),
    };
    let apart = HalfPoints((this.0 - than.0).abs());
    match this.cmp(&than) {
        std::cmp::Ordering::Equal => format!("as {what}"),
        std::cmp::Ordering::Greater => format!("{} more than {what}", half_points(apart)),
        std::cmp::Ordering::Less => format!("{} less than {what}", half_points(apart)),
    }
}

/// A reason on one line: "during 4 (middle: 3 to 5)".
pub fn short_reason(told: &Reason, limits: &Limits) -> String {
    let ReasonRow { what, value, beside } = reason(told, limits);
    format!("{} {value} ({beside})", what.to_ascii_lowercase())
}

/// What the client did with a verdict of that light.
pub fn came_of_it(told: Light, came: Followed) -> String {
    let day = dates::short_day;
    match came {
        Followed::AsTold { on } => format!("Followed on {}.", day(on)),
        Followed::WhileLeftOut { on } => {
            format!("Not followed: done on {}, when it was to be left out.", day(on))
        }
        Followed::LessHelp { on, rung } => {
            format!("Not followed: done on rung {} on {}, with less help.", rung.get(), day(on))
        }
        Followed::MoreHelp { on, rung } => {
            format!("Done on rung {} on {}, with more help than told.", rung.get(), day(on))
        }
        Followed::MoreSets { on, sets } => {
            format!("Not followed: {} on {}, more than told.", count(sets, "set"), day(on))
        }
        Followed::NewVersion { on } => {
            format!("A new version came before it was done again on {}.", day(on))
        }
        Followed::NotDoneSince => match told {
            Light::Keep | Light::Ease => "Not done since.",
            Light::Hold => "Left out since, as told.",
        }
        .to_owned(),
    }
}

/// What the practitioner set, in one sentence to stand beside a light.
pub fn limits_set(limits: &Limits, who: &str) -> String {
    let (low, middle) = (limits.table.low_max().points(), limits.table.middle_max().points());
    let high =
        if middle == PainRating::WORST.points() { "and a set that pain stopped" } else { "more" };
    format!("{who} set: pain up to {low} is low, up to {middle} is middle, {high} is high.")
}

/// Why a set that was just rated means what it means: the limit that it was held against.
pub fn set_against(
    limits: &Limits,
    ending: Ending,
    rating: PainRating,
    site: Option<&Words>,
    who: &str,
) -> String {
    if ending == Ending::Pain {
        return "A set stopped by pain ends the exercise for the day.".to_owned();
    }
    let table = &limits.table;
    let (by_itself, counts_as) = (table.zone(rating), limits.zone_of_set(rating, site));
    let ends = if counts_as == Zone::High { ", which ends the exercise for the day" } else { "" };
    let set = match by_itself {
        Zone::Low | Zone::Middle => zone_range(table, by_itself),
        Zone::High => format!("above {}", table.middle_max().points()),
    };
    let set = format!("{who} set {set} as {}", zone(by_itself));
    let this = rating.points();
    match site.filter(|_| by_itself != counts_as) {
        None => format!("{set}{ends}. This was {this}."),
        Some(site) => {
            let how = if by_itself < counts_as {
                "to count one zone worse"
            } else {
                "to be noted only, unless it is high"
            };
            let counts_as = zone(counts_as);
            format!(
                "{set}, and pain at the {site} {how}. This was {this} there, so it counts as {counts_as}{ends}."
            )
        }
    }
}

/// The help of a foothold, with what is left out: "one hand on the banister".
pub fn help(foothold: Foothold, ladder: &Ladder) -> String {
    let help = ladder.rung(foothold.rung).help.to_string();
    match foothold.fewer_sets {
        0 => help,
        fewer => format!("{help}, {} fewer", count(fewer, "set")),
    }
}

/// From where the day began to where the next one does. Under a Keep it is lower only where a set of the day
/// was eased: that is kept.
fn step(judged: &Judged) -> &'static str {
    let is_kept = judged.verdict.order.light() == Light::Keep;
    match (judged.next.cmp(&judged.from), judged.next.rung == judged.from.rung) {
        (std::cmp::Ordering::Less, false) if is_kept => "as in your last set, one rung down",
        (std::cmp::Ordering::Less, false) => "one rung down",
        (std::cmp::Ordering::Less, true) => "one set fewer",
        (std::cmp::Ordering::Equal, _) => "the same",
        (std::cmp::Ordering::Greater, false) => "one rung up",
        (std::cmp::Ordering::Greater, true) => "one set more",
    }
}

/// The rung that a verdict leads to, with its load where the words do not name it, and the sets that are left
/// where there are fewer. What is left out is said where the step does not say it already.
fn led_to(judged: &Judged, exercise: &Exercise) -> String {
    let (next, ladder) = (judged.next, &exercise.ladder);
    let rung = ladder.rung(next.rung);
    let is_said = next.rung == judged.from.rung && next.fewer_sets == 1 && next < judged.from;
    let left = next.dose(&exercise.dose, ladder).sets.get();
    let there = if next.fewer_sets == 0 || is_said {
        rung.help.to_string()
    } else {
        format!("{}, {}", rung.help, count(left, "set"))
    };
    exercise.load_not_named(rung).map_or(there.clone(), |load| format!("{there}, {load}"))
}

/// What a verdict does to the next session.
pub fn next(judged: &Judged, course: &Course, today: NaiveDate, who: &str) -> String {
    let there = led_to(judged, course.exercise());
    let step = step(judged);
    match (judged.verdict.order, course.availability(today)) {
        (_, Availability::Stopped(why)) => {
            let hangs = course.stop_hangs_on_morning(today);
            format!("{} {}", left_out(why, who, hangs, "it"), back_with(step, &there))
        }
        (Order::HoldUntilRested | Order::HoldUntilAnswered, Availability::Held { back_on }) => {
            format!(
                "Leave it out. Back {} at the earliest, once a morning is as usual again. {}",
                dates::when(course.exercise().dose.days.next_from(back_on), today),
                back_with(step, &there)
            )
        }
        (Order::HoldUntilRested | Order::HoldUntilAnswered, Availability::Open) => {
            format!("Back, {step}: {there}.")
        }
        (
            Order::KeepAndCount | Order::KeepNotCounted | Order::KeepAndStay | Order::Ease,
            Availability::Open | Availability::Held { .. },
        ) => format!("Next time: {step}, {there}."),
    }
}

fn back_with(step: &str, there: &str) -> String {
    format!("Then {step}: {there}.")
}

/// Why something waits for someone qualified; `it` is "them" for several exercises. What hangs on the next
/// morning is not said to be settled.
pub fn left_out(stop: Stop, who: &str, hangs_on_morning: bool, it: &str) -> String {
    let until_answered = format!("Leave {it} out until {who} has answered");
    match stop {
        Stop::WarningSign => {
            format!(
                "Leave {it} out until {who} or a doctor has said to go on, because a warning sign was ticked."
            )
        }
        Stop::TwoHolds if hangs_on_morning => {
            format!(
                "{until_answered}, unless the next morning is as usual: two Holds came within seven days."
            )
        }
        Stop::TwoHolds => format!("{until_answered}: two Holds came within seven days."),
        Stop::NotSettled => {
            format!("{until_answered}: seven days went by without a settled morning.")
        }
        Stop::TimeOff => format!("{until_answered}: there was a long break."),
        Stop::ClockRanAhead => {
            format!("{until_answered}: the last Hold was noted while this phone's clock ran ahead.")
        }
    }
}

/// The same with the exercises named, where others do not wait: "Clam and Bridge. Leave them out until…".
pub fn these_left_out(names: &[&str], left_out: &str) -> String {
    format!("{}. {left_out}", list(names))
}

/// Why an exercise waits, on its own.
pub const fn why_it_waits(stop: Stop) -> &'static str {
    match stop {
        Stop::WarningSign => "a warning sign was ticked",
        Stop::TwoHolds => "two Holds came within seven days",
        Stop::NotSettled => "seven days went by without a settled morning",
        Stop::TimeOff => "there was a break, and you asked to be waited for",
        Stop::ClockRanAhead => "its last Hold was noted while the phone's clock ran ahead",
    }
}

/// What the practitioner is asked for, about one exercise or some.
pub fn waits_for_you(stop: Stop, exercises: &[String]) -> String {
    let whose = match stop {
        Stop::WarningSign => "word, or a doctor's",
        Stop::TwoHolds | Stop::NotSettled | Stop::ClockRanAhead | Stop::TimeOff => "answer",
    };
    let waits = if exercises.len() == 1 { "waits" } else { "wait" };
    format!("{}: {waits} for your {whose}: {}.", list(exercises), why_it_waits(stop))
}

pub fn site_counts(site: &Site) -> String {
    match site.counts {
        SiteCounts::AsRated => format!("{}: counts as rated", site.name),
        SiteCounts::OneZoneWorse => format!("{}: counts one zone worse", site.name),
        SiteCounts::NotedOnly => format!("{}: noted only, unless it is high", site.name),
    }
}

/// The choices beside the table, one sentence each.
pub fn choices(limits: &Limits) -> Vec<String> {
    let mut lines = Vec::new();
    let rest = limits.rest_days.get();
    lines.push(format!(
        "Hold means {} off, then one rung down once a morning is settled.",
        count(rest, "day")
    ));
    lines.push("Ease means one rung down at once.".to_owned());
    lines.push(match limits.on_lowest_rung {
        OnLowestRung::OneSetFewer => {
            "On the lowest rung, Ease means one set fewer. With one set left it means Hold."
                .to_owned()
        }
        OnLowestRung::Hold => "On the lowest rung, Ease means Hold.".to_owned(),
    });
    let in_a_row = limits.step_up_after.get();
    lines.push(match limits.may_step_up {
        MayStepUp::Nothing => {
            format!("After {in_a_row} step-up days in a row it is time to talk about the next step.")
        }
        MayStepUp::WinBack => format!(
            "After {in_a_row} step-up days in a row the app gives back what was lost, up to the starting rung."
        ),
        MayStepUp::ToTheCeiling => {
            format!("After {in_a_row} step-up days in a row the app goes one rung up, never above the ceiling.")
        }
    });
    lines.push("There are never two steps up within seven days.".to_owned());
    if limits.after_middle_set == crate::domain::plan::limits::AfterMiddleSet::OneRungDown {
        lines.push("After a set in the middle zone the next set is done one rung down.".to_owned());
    }
    let break_days = limits.break_days.get();
    lines.push(match limits.after_break {
        AfterBreak::OneRungLower => {
            format!("After {break_days} days without it the first day is one rung lower.")
        }
        AfterBreak::Same => format!(
            "After {break_days} days without it the first day starts where the last one ended."
        ),
        AfterBreak::WaitForMe => format!(
            "After {break_days} days without it, it waits until your practitioner has answered."
        ),
    });
    if let Some(usual) = limits.usual_morning {
        lines.push(format!("A usual morning is {}, as noted at the visit.", usual.points()));
    }
    lines.extend(limits.sites.iter().map(|site| format!("Pain at the {}.", site_counts(site))));
    lines
}

/// What each light means, for a client who meets them for the first time.
pub const IN_THREE_LINES: [(Light, &str); 3] = [
    (Light::Keep, "As last time."),
    (Light::Ease, "One rung easier."),
    (Light::Hold, "Some days off."),
];

/// The overrides that hold for every table, worst first.
pub const OVERRIDES: [&str; 6] = [
    "A warning sign means Hold for everything.",
    "Clearly more swelling means Hold, and so does a little more on a third morning in seven days. A little more means no step up.",
    "A high morning, or high pain at rest, never counts toward a step up.",
    "Two Holds within seven days stop the exercise until someone qualified has answered.",
    "When this week's mornings are a point or more above last week's, the morning counts one column worse.",
    "A set in the high zone, or one stopped by pain, ends the exercise for the day.",
];
