//! The rule: what one training day of one exercise says about the next.
//!
//! [`decide`] is total and pure, and can be read as the table in `docs/clinical-rule.md`.
//! It carries out the practitioner's own limits and never invents a dose.
//! What a verdict does to the ladder over days is [`super::history`]'s business.

use serde::{Deserialize, Serialize};

use crate::domain::pain::{HalfPoints, PainRating};
use crate::domain::plan::limits::{Cell, Light, Limits, Settling, SiteCounts, Zone};
use crate::domain::words::Words;

/// Swelling against the day before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Swelling {
    NoMore,
    ALittleMore,
    ClearlyMore,
}

/// Swelling as the rule reads it, with the mornings before in mind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
pub enum SwellingRead {
    NoMore,
    ALittleMore,
    /// "A little more" on a third morning within seven days: read as clearly more.
    AddedUp,
    ClearlyMore,
}

/// Where the usual morning that a rise is measured from was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UsualFrom {
    /// As the practitioner recorded it at the visit.
    Visit,
    /// As the client said when the routine was taken on, or the practitioner set since.
    Said,
    /// The median of the first mornings that counted since the routine was taken on, three to seven.
    FirstMornings,
    /// The median of the last mornings that counted before this day, three to seven of them.
    Mornings,
    /// Pain at rest just before the session.
    AtRest,
    /// Nothing is known: a morning is compared with no pain.
    Nothing,
}

/// A usual morning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Usual {
    pub half_points: HalfPoints,
    pub from: UsualFrom,
}

/// Whether a morning was answered before or after that day's own session of the exercise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AnsweredWhen {
    BeforeTraining,
    /// It can make the light worse, and never counts toward a step up.
    AfterTraining,
}

/// The answer of the morning after.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Morning {
    pub rating: PainRating,
    pub usual: Usual,
    pub answered: AnsweredWhen,
}

impl Morning {
    pub fn settling(self) -> Settling {
        Settling::of(HalfPoints::from(self.rating).above(self.usual.half_points))
    }
}

/// The rated sets of one training day.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct RatedSet {
    pub rating: PainRating,
    pub site: Option<Words>,
}

/// Everything the rule reads about one training day of one exercise. Each two-way answer is its own
/// enum so that a worse input is worse by its order, too.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Findings {
    /// The rated sets; none where sets were worked and not rated.
    pub sets: Vec<RatedSet>,
    pub stopped: Stopped,
    /// The worst pain at rest just before a session of the day.
    pub at_rest: Option<PainRating>,
    pub morning: Option<Morning>,
    pub swelling: Option<SwellingRead>,
    pub warning: Warning,
    pub weeks: Weeks,
    pub earlier: Earlier,
    pub footing: Footing,
}

/// Whether a set ended because of pain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
pub enum Stopped {
    No,
    BecauseOfPain,
}

/// Whether a warning sign was ticked, before or after.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
pub enum Warning {
    None,
    Ticked,
}

/// This week's median morning against last week's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
pub enum Weeks {
    Steady,
    /// A point or more above.
    Rising,
}

/// Whether another training day less than seven days ago already ended in a Hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Earlier {
    NoHold,
    HoldWithinSevenDays,
}

/// Whether there is anything easier to go to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Footing {
    CanEase,
    /// On the lowest rung, with one set left or where the practitioner chose Hold.
    NothingEasier,
}

/// Why a verdict is what it is; every reason that applied is listed.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    WarningSign,
    /// Sets were worked, and none was rated.
    NotRated,
    Stopped,
    /// The worst rated set, and the zone it counts in.
    During {
        rating: PainRating,
        zone: Zone,
    },
    /// Pain at this site counts one zone worse.
    SiteCountsMore {
        site: Words,
    },
    /// Pain at this site is noted only.
    SiteNotedOnly {
        site: Words,
    },
    Morning {
        rating: PainRating,
        usual: Usual,
        settling: Settling,
    },
    MorningNotAnswered,
    /// A morning in the high zone never counts, whatever is usual.
    MorningHigh {
        rating: PainRating,
    },
    /// Pain at rest in the high zone just before a session never counts.
    AtRestHigh {
        rating: PainRating,
    },
    /// The morning was answered after that day's session: it does not count.
    AnsweredAfterTraining,
    /// What the morning was compared with is pain at rest alone: it does not count.
    OnlyAtRestToCompare,
    WeeksRising,
    SwellingALittleMore,
    /// A little more on a third morning within seven days.
    SwellingAddedUp,
    SwellingClearlyMore,
    /// Ease, with nothing easier to go to.
    NothingEasier,
    SecondHoldWithinSevenDays,
}

impl Reason {
    /// The zone that the worst rated set counts in, where this says so.
    pub const fn zone_during(&self) -> Option<Zone> {
        if let Self::During { zone, .. } = self { Some(*zone) } else { None }
    }
}

/// Until when an exercise is left out after a Hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Until {
    /// The rest days are over and the latest morning was settled.
    Rested,
    /// The practitioner, or someone else qualified, has answered.
    SomeoneQualified,
}

/// What the rule orders, mildest first. [`Verdict`] carries it with its reasons.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Order {
    /// Keep, and the day counts toward a step up.
    KeepAndCount,
    /// Keep, not counted: the count is left as it is. The morning is not answered, or cannot count.
    #[serde(rename = "keep_unanswered")]
    KeepNotCounted,
    /// Keep, stay here.
    KeepAndStay,
    Ease,
    HoldUntilRested,
    HoldUntilAnswered,
}

impl Order {
    pub const fn light(self) -> Light {
        match self {
            Self::KeepAndCount | Self::KeepNotCounted | Self::KeepAndStay => Light::Keep,
            Self::Ease => Light::Ease,
            Self::HoldUntilRested | Self::HoldUntilAnswered => Light::Hold,
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Verdict {
    pub order: Order,
    pub reasons: Vec<Reason>,
}

/// Decides one training day of one exercise; `None` when no set was rated and none was stopped, and
/// the joint is not clearly more swollen, in which case the last verdict stands (a warning sign needs
/// no set).
///
/// The order is that of `docs/clinical-rule.md`: a warning sign settles it; otherwise the worst of
/// the table's cell and the overrides wins, and every reason that applied is listed.
pub fn decide(limits: &Limits, findings: &Findings) -> Option<Verdict> {
    if findings.warning == Warning::Ticked {
        return Some(Verdict {
            order: Order::HoldUntilAnswered,
            reasons: vec![Reason::WarningSign],
        });
    }
    let is_rated = !findings.sets.is_empty() || findings.stopped == Stopped::BecauseOfPain;
    let is_swollen = findings.swelling.is_some_and(|swelling| SwellingRead::AddedUp <= swelling);
    if !is_rated && !is_swollen {
        return None;
    }
    let mut reasons = Vec::new();
    if !is_rated {
        reasons.push(Reason::NotRated);
    }
    let zone = zone_of_day(limits, findings, &mut reasons);
    let settling = settling_of(findings, &mut reasons);

    let mut cell = limits.table.cell(zone, settling);
    if is_high_though_usual(limits, findings, &mut reasons) {
        cell = cell.max(Cell::Stay);
    }
    match findings.swelling {
        Some(SwellingRead::ClearlyMore) => {
            reasons.push(Reason::SwellingClearlyMore);
            cell = Cell::Hold;
        }
        Some(SwellingRead::AddedUp) => {
            reasons.push(Reason::SwellingAddedUp);
            cell = Cell::Hold;
        }
        Some(SwellingRead::ALittleMore) => {
            reasons.push(Reason::SwellingALittleMore);
            cell = cell.max(Cell::Stay);
        }
        Some(SwellingRead::NoMore) | None => {}
    }
    if cell == Cell::Ease && findings.footing == Footing::NothingEasier {
        reasons.push(Reason::NothingEasier);
        cell = Cell::Hold;
    }
    let order = match (cell, findings.morning) {
        (Cell::Counts, Some(morning)) => counted(morning, &mut reasons),
        (Cell::Counts | Cell::Stay, None) => Order::KeepNotCounted,
        (Cell::Stay, Some(_)) => Order::KeepAndStay,
        (Cell::Ease, _) => Order::Ease,
        (Cell::Hold, _) if findings.earlier == Earlier::HoldWithinSevenDays => {
            reasons.push(Reason::SecondHoldWithinSevenDays);
            Order::HoldUntilAnswered
        }
        (Cell::Hold, _) => Order::HoldUntilRested,
    };
    Some(Verdict { order, reasons })
}

/// A day that counts, unless its morning cannot: one answered after that day's own session, or one
/// that only pain at rest could be compared with.
fn counted(morning: Morning, reasons: &mut Vec<Reason>) -> Order {
    let after = morning.answered == AnsweredWhen::AfterTraining;
    let at_rest = morning.usual.from == UsualFrom::AtRest;
    if after {
        reasons.push(Reason::AnsweredAfterTraining);
    }
    if at_rest {
        reasons.push(Reason::OnlyAtRestToCompare);
    }
    if after || at_rest { Order::KeepNotCounted } else { Order::KeepAndCount }
}

/// Whether pain was in the high zone where nothing was asked of the joint: such a day never counts.
fn is_high_though_usual(limits: &Limits, findings: &Findings, reasons: &mut Vec<Reason>) -> bool {
    let high = |rating: &PainRating| limits.table.zone(*rating) == Zone::High;
    let morning = findings.morning.map(|morning| morning.rating).filter(high);
    let at_rest = findings.at_rest.filter(high);
    reasons.extend(morning.map(|rating| Reason::MorningHigh { rating }));
    reasons.extend(at_rest.map(|rating| Reason::AtRestHigh { rating }));
    morning.is_some() || at_rest.is_some()
}

fn zone_of_day(limits: &Limits, findings: &Findings, reasons: &mut Vec<Reason>) -> Zone {
    let zoned = |set: &RatedSet| (limits.zone_of_set(set.rating, set.site.as_ref()), set.rating);
    let worst = findings.sets.iter().max_by_key(|set| zoned(set));
    if findings.stopped == Stopped::BecauseOfPain {
        reasons.push(Reason::Stopped);
    }
    if let Some(set) = worst {
        let (zone, rating) = zoned(set);
        reasons.push(Reason::During { rating, zone });
    }
    for site in &limits.sites {
        let changed = findings.sets.iter().any(|set| {
            set.site.as_ref() == Some(&site.name) && limits.table.zone(set.rating) != zoned(set).0
        });
        match site.counts {
            SiteCounts::OneZoneWorse if changed => {
                reasons.push(Reason::SiteCountsMore { site: site.name.clone() });
            }
            SiteCounts::NotedOnly if changed => {
                reasons.push(Reason::SiteNotedOnly { site: site.name.clone() });
            }
            SiteCounts::AsRated | SiteCounts::OneZoneWorse | SiteCounts::NotedOnly => {}
        }
    }
    match (findings.stopped, worst) {
        (Stopped::BecauseOfPain, _) => Zone::High,
        (Stopped::No, Some(set)) => zoned(set).0,
        (Stopped::No, None) => Zone::Low,
    }
}

fn settling_of(findings: &Findings, reasons: &mut Vec<Reason>) -> Settling {
    let Some(morning) = findings.morning else {
        reasons.push(Reason::MorningNotAnswered);
        return Settling::NotAnswered;
    };
    let settling = morning.settling();
    reasons.push(Reason::Morning { rating: morning.rating, usual: morning.usual, settling });
    if findings.weeks == Weeks::Rising {
        reasons.push(Reason::WeeksRising);
        return settling.one_worse();
    }
    settling
}
