//! How much pain is acceptable: the practitioner's table, and the choices around it.

use serde::{Deserialize, Serialize};

use super::ladder::OnLowestRung;
use crate::domain::pain::{HalfPoints, PainRating};
use crate::domain::refused::{Refusal, Refused};
use crate::domain::words::{Words, whole_number};

/// The verdict for one exercise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Light {
    Keep,
    Ease,
    Hold,
}

/// How pain during a training day counts, from the practitioner's limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Zone {
    Low,
    Middle,
    High,
}

impl Zone {
    pub const ALL: [Self; 3] = [Self::Low, Self::Middle, Self::High];

    #[must_use]
    pub const fn one_worse(self) -> Self {
        match self {
            Self::Low => Self::Middle,
            Self::Middle | Self::High => Self::High,
        }
    }
}

/// How the next morning compares with a usual one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Settling {
    /// No worse than usual.
    Settled,
    /// Worse by less than two points: inside or near measurement error (MDC 1.33, Alghadir 2018).
    UpALittle,
    /// Worse by two points or more: the clinically important change (Farrar 2001).
    UpClearly,
    NotAnswered,
}

impl Settling {
    pub const ALL: [Self; 4] = [Self::Settled, Self::UpALittle, Self::UpClearly, Self::NotAnswered];

    /// Reads a rise over the usual morning.
    pub const fn of(rise: HalfPoints) -> Self {
        match rise.0 {
            ..=0 => Self::Settled,
            1..=3 => Self::UpALittle,
            4.. => Self::UpClearly,
        }
    }

    #[must_use]
    pub const fn one_worse(self) -> Self {
        match self {
            Self::Settled => Self::UpALittle,
            Self::UpALittle | Self::UpClearly => Self::UpClearly,
            Self::NotAnswered => Self::NotAnswered,
        }
    }
}

/// What one cell of the table orders, mildest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cell {
    /// Keep, and the day counts toward a step up.
    Counts,
    /// Keep, stay here.
    Stay,
    Ease,
    Hold,
}

impl Cell {
    pub const ALL: [Self; 4] = [Self::Counts, Self::Stay, Self::Ease, Self::Hold];

    pub const fn light(self) -> Light {
        match self {
            Self::Counts | Self::Stay => Light::Keep,
            Self::Ease => Light::Ease,
            Self::Hold => Light::Hold,
        }
    }
}

/// The practitioner's table: where the zones end, and what each cell orders.
///
/// A `Table` that exists is monotone: no worse input gets a milder verdict.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(try_from = "WireTable", into = "WireTable")]
pub struct Table {
    low_max: PainRating,
    middle_max: PainRating,
    rows: [[Cell; 4]; 3],
}

#[derive(Deserialize, Serialize)]
struct WireTable {
    low_max: PainRating,
    middle_max: PainRating,
    low: [Cell; 4],
    middle: [Cell; 4],
    high: [Cell; 4],
}

/// Where a cell stands in a table.
pub type CellPlace = (Zone, Settling);

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum NotATable {
    Zones { low_max: u8, middle_max: u8 },
    NotMonotone { better: CellPlace, harsher: Cell, worse: CellPlace, milder: Cell },
    UnansweredCounts { zone: Zone },
}

impl Refusal for NotATable {
    const NAME: &'static str = "table";
}

impl Table {
    /// The columns of `rows` are settled, up a little, up clearly, not answered; its rows low, middle, high.
    ///
    /// "Not answered" is compared with the rows above and below only, and never counts toward a step up.
    pub fn new(
        low_max: PainRating,
        middle_max: PainRating,
        rows: [[Cell; 4]; 3],
    ) -> Result<Self, NotATable> {
        if middle_max <= low_max {
            return Err(NotATable::Zones {
                low_max: low_max.points(),
                middle_max: middle_max.points(),
            });
        }
        for (row, zone) in rows.iter().zip(Zone::ALL) {
            if row[3] == Cell::Counts {
                return Err(NotATable::UnansweredCounts { zone });
            }
        }
        let places = || {
            Zone::ALL
                .into_iter()
                .flat_map(|zone| Settling::ALL.into_iter().map(move |column| (zone, column)))
        };
        let at = |(zone, settling): CellPlace| rows[zone as usize][settling as usize];
        for better in places() {
            for worse in places() {
                let comparable =
                    (better.1 == Settling::NotAnswered) == (worse.1 == Settling::NotAnswered);
                let is_worse = better.0 <= worse.0 && better.1 <= worse.1;
                if comparable && is_worse && at(worse) < at(better) {
                    let (harsher, milder) = (at(better), at(worse));
                    return Err(NotATable::NotMonotone { better, harsher, worse, milder });
                }
            }
        }
        Ok(Self { low_max, middle_max, rows })
    }

    pub const fn low_max(&self) -> PainRating {
        self.low_max
    }

    pub const fn middle_max(&self) -> PainRating {
        self.middle_max
    }

    pub fn zone(&self, rating: PainRating) -> Zone {
        if rating <= self.low_max {
            Zone::Low
        } else if rating <= self.middle_max {
            Zone::Middle
        } else {
            Zone::High
        }
    }

    pub const fn cell(&self, zone: Zone, settling: Settling) -> Cell {
        self.rows[zone as usize][settling as usize]
    }
}

impl TryFrom<WireTable> for Table {
    type Error = Refused<NotATable>;

    fn try_from(wire: WireTable) -> Result<Self, Refused<NotATable>> {
        let rows = [wire.low, wire.middle, wire.high];
        Self::new(wire.low_max, wire.middle_max, rows).map_err(Refused)
    }
}

impl From<Table> for WireTable {
    fn from(table: Table) -> Self {
        let [low, middle, high] = table.rows;
        Self { low_max: table.low_max, middle_max: table.middle_max, low, middle, high }
    }
}

/// The tables that ship with the app.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Preset {
    /// Zones 0–2, 3–5, 6–10: Ageberg 2010, after Thomeé 1997.
    PainMonitoring,
    /// The same cells with low 0–3 and middle 4–5, as several public-service leaflets draw it.
    WiderGreen,
    /// Low 0–1 and middle 2–3: common practice where pain inhibits the muscle, no source.
    NearlyPainFree,
}

impl Preset {
    pub const ALL: [Self; 3] = [Self::PainMonitoring, Self::WiderGreen, Self::NearlyPainFree];

    pub const fn table(self) -> Table {
        use Cell::{Counts, Ease, Hold, Stay};
        let monitoring =
            [[Counts, Stay, Ease, Stay], [Stay, Ease, Hold, Stay], [Ease, Hold, Hold, Hold]];
        let nearly_pain_free =
            [[Counts, Stay, Ease, Stay], [Ease, Ease, Hold, Ease], [Hold, Hold, Hold, Hold]];
        let (low_max, middle_max, rows) = match self {
            Self::PainMonitoring => (PainRating::of(2), PainRating::of(5), monitoring),
            Self::WiderGreen => (PainRating::of(3), PainRating::of(5), monitoring),
            Self::NearlyPainFree => (PainRating::of(1), PainRating::of(3), nearly_pain_free),
        };
        Table { low_max, middle_max, rows }
    }

    /// The preset that a table equals, if any.
    pub fn of(table: &Table) -> Option<Self> {
        Self::ALL.into_iter().find(|preset| preset.table() == *table)
    }
}

/// How pain at a named place counts: two sites in one joint can mean two different things.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SiteCounts {
    #[default]
    AsRated,
    /// Pain here counts one zone worse.
    OneZoneWorse,
    /// Pain here does not count while it is low or middle; high is always high.
    NotedOnly,
}

/// A place where it may hurt, as the practitioner named it.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Site {
    pub name: Words,
    #[serde(default)]
    pub counts: SiteCounts,
}

whole_number!(
    /// Days off after a Hold.
    RestDays, 0..=14
);
whole_number!(
    /// Step-up days in a row before a step up.
    DaysInARow, 1..=30
);
whole_number!(
    /// Days without training, from one training day to the next, that make a break.
    BreakDays, 7..=60
);

/// What the app may give back or add by itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MayStepUp {
    /// Nothing: it only says when to talk about the next step.
    Nothing,
    /// Win back what was lost since the visit: sets first, then rungs, up to the starting rung.
    #[default]
    WinBack,
    /// Climb to the ceiling.
    ToTheCeiling,
}

/// What a set in the middle zone does to the next set of the same session.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AfterMiddleSet {
    #[default]
    Same,
    OneRungDown,
}

/// How the first day back from a break starts. The way back up is won like any lost rung.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AfterBreak {
    /// One rung lower; on the lowest one set fewer, never below one.
    #[default]
    OneRungLower,
    Same,
    /// Not before the practitioner, or someone else qualified, has answered.
    WaitForMe,
}

/// Everything the practitioner sets about how much pain is acceptable, and what follows.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Limits {
    pub table: Table,
    /// Where it may hurt; asked after a set only when at least one site is named.
    #[serde(default)]
    pub sites: Vec<Site>,
    /// What a morning is usually like, as recorded at the visit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub usual_morning: Option<PainRating>,
    #[serde(default = "two_days")]
    pub rest_days: RestDays,
    #[serde(default)]
    pub may_step_up: MayStepUp,
    #[serde(default = "three_days")]
    pub step_up_after: DaysInARow,
    #[serde(default)]
    pub on_lowest_rung: OnLowestRung,
    #[serde(default)]
    pub after_middle_set: AfterMiddleSet,
    #[serde(default = "two_weeks", skip_serializing_if = "is_two_weeks")]
    pub break_days: BreakDays,
    #[serde(default, skip_serializing_if = "is_one_rung_lower")]
    pub after_break: AfterBreak,
}

/// Two days off, after the published soreness rules (PMC6044585, table T5, row S3).
const fn two_days() -> RestDays {
    match RestDays::new(2) {
        Ok(days) => days,
        Err(_) => RestDays::LEAST,
    }
}

/// Detraining shows from the third week (from memory); that a break begins there is a convention.
const fn two_weeks() -> BreakDays {
    match BreakDays::new(14) {
        Ok(days) => days,
        Err(_) => BreakDays::LEAST,
    }
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
fn is_two_weeks(days: &BreakDays) -> bool {
    *days == two_weeks()
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
fn is_one_rung_lower(after: &AfterBreak) -> bool {
    *after == AfterBreak::OneRungLower
}

const fn three_days() -> DaysInARow {
    match DaysInARow::new(3) {
        Ok(days) => days,
        Err(_) => DaysInARow::LEAST,
    }
}

impl Limits {
    /// The defaults around a preset table.
    pub const fn of(preset: Preset) -> Self {
        Self {
            table: preset.table(),
            sites: Vec::new(),
            usual_morning: None,
            rest_days: two_days(),
            may_step_up: MayStepUp::WinBack,
            step_up_after: three_days(),
            on_lowest_rung: OnLowestRung::OneSetFewer,
            after_middle_set: AfterMiddleSet::Same,
            break_days: two_weeks(),
            after_break: AfterBreak::OneRungLower,
        }
    }

    fn counting_of(&self, site: Option<&Words>) -> SiteCounts {
        site.and_then(|name| self.sites.iter().find(|site| site.name == *name))
            .map_or(SiteCounts::AsRated, |site| site.counts)
    }

    /// The zone of one rated set. No pain has no site.
    pub fn zone_of_set(&self, rating: PainRating, site: Option<&Words>) -> Zone {
        let zone = self.table.zone(rating);
        match self.counting_of(site) {
            SiteCounts::OneZoneWorse if rating != PainRating::NONE => zone.one_worse(),
            SiteCounts::NotedOnly if zone != Zone::High => Zone::Low,
            SiteCounts::AsRated | SiteCounts::OneZoneWorse | SiteCounts::NotedOnly => zone,
        }
    }
}
