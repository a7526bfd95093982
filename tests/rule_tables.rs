//! The rule against `docs/clinical-rule.md`, exhaustively: the tables are typed out here a second
//! time, row by row, and share nothing with the tables that ship.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use carryover::domain::log::rule::{
    AnsweredWhen, Earlier, Findings, Footing, Morning, Order, RatedSet, Reason, Stopped,
    SwellingRead, Usual, UsualFrom, Verdict, Warning, Weeks, decide,
};
use carryover::domain::pain::{HalfPoints, PainRating};
use carryover::domain::plan::ladder::OnLowestRung;
use carryover::domain::plan::limits::{
    AfterBreak, AfterMiddleSet, Cell, Light, Limits, MayStepUp, NotATable, Preset, Settling, Site,
    SiteCounts, Table, Zone,
};
use carryover::domain::words::Words;
use carryover::ui::text::refusals::InWords;
use proptest::prelude::*;

/// What a row of the document orders.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Orders {
    KeepCounts,
    KeepStay,
    Ease,
    Hold,
}
use Orders::{Ease, Hold, KeepCounts, KeepStay};

/// The columns of the document: settled, up a little, up clearly, not answered.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Column {
    Settled,
    Little,
    Clearly,
    Unanswered,
}
use Column::{Clearly, Little, Settled, Unanswered};

const AGEBERG: &str = "Ageberg 2010";
const MORNING: &str = "Silbernagel 2007, from memory";
const LEAFLETS: &str = "public-service leaflets";
const PRACTICE: &str = "common practice, no source";
const OURS: &str = "this app's convention";

type Row = (&'static str, std::ops::RangeInclusive<i64>, Column, Orders, &'static str);

/// Table 1 of the document, Pain-monitoring.
#[rustfmt::skip]
const PAIN_MONITORING: [Row; 12] = [
    // Row,                    pain,    next morning, orders,     source
    ("PM-low-settled",         0..=2,   Settled,      KeepCounts, AGEBERG),
    ("PM-low-little",          0..=2,   Little,       KeepStay,   OURS),
    ("PM-low-clearly",         0..=2,   Clearly,      Ease,       MORNING),
    ("PM-low-unanswered",      0..=2,   Unanswered,   KeepStay,   PRACTICE),
    ("PM-middle-settled",      3..=5,   Settled,      KeepStay,   AGEBERG),
    ("PM-middle-little",       3..=5,   Little,       Ease,       MORNING),
    ("PM-middle-clearly",      3..=5,   Clearly,      Hold,       OURS),
    ("PM-middle-unanswered",   3..=5,   Unanswered,   KeepStay,   PRACTICE),
    ("PM-high-settled",        6..=10,  Settled,      Ease,       AGEBERG),
    ("PM-high-little",         6..=10,  Little,       Hold,       OURS),
    ("PM-high-clearly",        6..=10,  Clearly,      Hold,       OURS),
    ("PM-high-unanswered",     6..=10,  Unanswered,   Hold,       PRACTICE),
];

/// Table 2 of the document, Wider green.
#[rustfmt::skip]
const WIDER_GREEN: [Row; 12] = [
    ("WG-low-settled",         0..=3,   Settled,      KeepCounts, LEAFLETS),
    ("WG-low-little",          0..=3,   Little,       KeepStay,   OURS),
    ("WG-low-clearly",         0..=3,   Clearly,      Ease,       MORNING),
    ("WG-low-unanswered",      0..=3,   Unanswered,   KeepStay,   PRACTICE),
    ("WG-middle-settled",      4..=5,   Settled,      KeepStay,   LEAFLETS),
    ("WG-middle-little",       4..=5,   Little,       Ease,       MORNING),
    ("WG-middle-clearly",      4..=5,   Clearly,      Hold,       OURS),
    ("WG-middle-unanswered",   4..=5,   Unanswered,   KeepStay,   PRACTICE),
    ("WG-high-settled",        6..=10,  Settled,      Ease,       LEAFLETS),
    ("WG-high-little",         6..=10,  Little,       Hold,       OURS),
    ("WG-high-clearly",        6..=10,  Clearly,      Hold,       OURS),
    ("WG-high-unanswered",     6..=10,  Unanswered,   Hold,       PRACTICE),
];

/// Table 3 of the document, Nearly pain-free.
#[rustfmt::skip]
const NEARLY_PAIN_FREE: [Row; 12] = [
    ("NP-low-settled",         0..=1,   Settled,      KeepCounts, PRACTICE),
    ("NP-low-little",          0..=1,   Little,       KeepStay,   PRACTICE),
    ("NP-low-clearly",         0..=1,   Clearly,      Ease,       PRACTICE),
    ("NP-low-unanswered",      0..=1,   Unanswered,   KeepStay,   PRACTICE),
    ("NP-middle-settled",      2..=3,   Settled,      Ease,       PRACTICE),
    ("NP-middle-little",       2..=3,   Little,       Ease,       PRACTICE),
    ("NP-middle-clearly",      2..=3,   Clearly,      Hold,       PRACTICE),
    ("NP-middle-unanswered",   2..=3,   Unanswered,   Ease,       PRACTICE),
    ("NP-high-settled",        4..=10,  Settled,      Hold,       PRACTICE),
    ("NP-high-little",         4..=10,  Little,       Hold,       PRACTICE),
    ("NP-high-clearly",        4..=10,  Clearly,      Hold,       PRACTICE),
    ("NP-high-unanswered",     4..=10,  Unanswered,   Hold,       PRACTICE),
];

const TABLES: [(Preset, &[Row; 12]); 3] = [
    (Preset::PainMonitoring, &PAIN_MONITORING),
    (Preset::WiderGreen, &WIDER_GREEN),
    (Preset::NearlyPainFree, &NEARLY_PAIN_FREE),
];

/// Where the high zone of each table begins, from the document: 6, 6 and 4.
const HIGH_FROM: [u8; 3] = [6, 6, 4];

/// A morning answered before that day's session, against what the practitioner recorded.
fn morning(rating: PainRating, half_points: i16) -> Morning {
    let usual = Usual { half_points: HalfPoints(half_points), from: UsualFrom::Visit };
    Morning { rating, usual, answered: AnsweredWhen::BeforeTraining }
}

/// Every morning there can be: no answer, and each rating against each usual morning in half points.
fn mornings() -> Vec<Option<Morning>> {
    let answered = PainRating::all()
        .flat_map(|rating| (0..=20).map(move |half_points| Some(morning(rating, half_points))));
    std::iter::once(None).chain(answered).collect()
}

/// The column a morning falls in, from the document: the rise over the usual morning is nought or
/// less; more than nought and less than two points; two points or more.
fn column(morning: Option<Morning>) -> Column {
    let Some(morning) = morning else { return Unanswered };
    let rise = f64::from(morning.rating.points()) - f64::from(morning.usual.half_points.0) / 2.0;
    if rise <= 0.0 {
        Settled
    } else if rise < 2.0 {
        Little
    } else {
        Clearly
    }
}

/// Rising weeks count a morning one column worse.
fn one_column_worse(column: Column) -> Column {
    match column {
        Settled => Little,
        Little | Clearly => Clearly,
        Unanswered => Unanswered,
    }
}

/// The document's section "The overrides, in order", for any day that gets a verdict. Pain that nobody
/// rated is low.
fn expected(rows: &[Row; 12], high_from: u8, findings: &Findings) -> (Order, Vec<&'static str>) {
    if findings.warning == Warning::Ticked {
        return (Order::HoldUntilAnswered, vec!["warning"]);
    }
    let mut reasons = Vec::new();
    let mut during = findings.sets.first().map_or(0, |set| i64::from(set.rating.points()));
    if !findings.sets.is_empty() {
        reasons.push("during");
    } else if findings.stopped == Stopped::No {
        reasons.push("not rated");
    }
    if findings.stopped == Stopped::BecauseOfPain {
        reasons.push("stopped");
        during = 10;
    }
    let mut column = column(findings.morning);
    reasons.push(if column == Unanswered { "not answered" } else { "morning" });
    if findings.weeks == Weeks::Rising && column != Unanswered {
        reasons.push("weeks");
        column = one_column_worse(column);
    }
    let row = rows.iter().find(|row| row.1.contains(&during) && row.2 == column);
    let mut orders = row.expect("the document has a row for every input").3;
    let is_high = |rating: PainRating| high_from <= rating.points();
    if findings.morning.is_some_and(|morning| is_high(morning.rating)) {
        reasons.push("high morning");
        orders = no_step_up(orders);
    }
    if findings.at_rest.is_some_and(is_high) {
        reasons.push("high at rest");
        orders = no_step_up(orders);
    }
    match findings.swelling {
        Some(SwellingRead::ClearlyMore) => {
            reasons.push("clearly more swelling");
            orders = Hold;
        }
        Some(SwellingRead::AddedUp) => {
            reasons.push("swelling that added up");
            orders = Hold;
        }
        Some(SwellingRead::ALittleMore) => {
            reasons.push("a little more swelling");
            orders = no_step_up(orders);
        }
        Some(SwellingRead::NoMore) | None => {}
    }
    if orders == Ease && findings.footing == Footing::NothingEasier {
        reasons.push("nothing easier");
        orders = Hold;
    }
    let order = match orders {
        KeepCounts => {
            let morning = findings.morning.expect("no answer never counts");
            let after = morning.answered == AnsweredWhen::AfterTraining;
            let at_rest = morning.usual.from == UsualFrom::AtRest;
            reasons.extend(after.then_some("answered after training"));
            reasons.extend(at_rest.then_some("only at rest"));
            if after || at_rest { Order::KeepNotCounted } else { Order::KeepAndCount }
        }
        KeepStay if column == Unanswered => Order::KeepNotCounted,
        KeepStay => Order::KeepAndStay,
        Ease => Order::Ease,
        Hold if findings.earlier == Earlier::HoldWithinSevenDays => {
            reasons.push("second hold");
            Order::HoldUntilAnswered
        }
        Hold => Order::HoldUntilRested,
    };
    (order, reasons)
}

/// A cell that counts becomes "stay here"; the others stay what they are.
fn no_step_up(orders: Orders) -> Orders {
    if orders == KeepCounts { KeepStay } else { orders }
}

fn name_of(reason: &Reason) -> &'static str {
    match reason {
        Reason::WarningSign => "warning",
        Reason::NotRated => "not rated",
        Reason::Stopped => "stopped",
        Reason::During { .. } => "during",
        Reason::SiteCountsMore { .. } => "site counts more",
        Reason::SiteNotedOnly { .. } => "site noted only",
        Reason::Morning { .. } => "morning",
        Reason::MorningNotAnswered => "not answered",
        Reason::MorningHigh { .. } => "high morning",
        Reason::AtRestHigh { .. } => "high at rest",
        Reason::AnsweredAfterTraining => "answered after training",
        Reason::OnlyAtRestToCompare => "only at rest",
        Reason::WeeksRising => "weeks",
        Reason::SwellingAddedUp => "swelling that added up",
        Reason::SwellingALittleMore => "a little more swelling",
        Reason::SwellingClearlyMore => "clearly more swelling",
        Reason::NothingEasier => "nothing easier",
        Reason::SecondHoldWithinSevenDays => "second hold",
    }
}

fn rated(points: PainRating) -> Vec<RatedSet> {
    vec![RatedSet { rating: points, site: None }]
}

/// A rated day on which nothing else was the matter.
fn calm(rating: PainRating, morning: Option<Morning>) -> Findings {
    Findings {
        sets: rated(rating),
        stopped: Stopped::No,
        at_rest: None,
        morning,
        swelling: None,
        warning: Warning::None,
        weeks: Weeks::Steady,
        earlier: Earlier::NoHold,
        footing: Footing::CanEase,
    }
}

/// Every combination of the two-way inputs and of swelling.
fn circumstances() -> Vec<Findings> {
    let mut all = Vec::new();
    let swellings = [
        None,
        Some(SwellingRead::NoMore),
        Some(SwellingRead::ALittleMore),
        Some(SwellingRead::AddedUp),
        Some(SwellingRead::ClearlyMore),
    ];
    for swelling in swellings {
        for stopped in [Stopped::No, Stopped::BecauseOfPain] {
            for warning in [Warning::None, Warning::Ticked] {
                for weeks in [Weeks::Steady, Weeks::Rising] {
                    for earlier in [Earlier::NoHold, Earlier::HoldWithinSevenDays] {
                        for footing in [Footing::CanEase, Footing::NothingEasier] {
                            all.push(Findings {
                                stopped,
                                swelling,
                                warning,
                                weeks,
                                earlier,
                                footing,
                                ..calm(PainRating::NONE, None)
                            });
                        }
                    }
                }
            }
        }
    }
    all
}

#[test]
fn every_row_of_the_document_holds_where_nothing_else_is_the_matter() {
    for ((preset, rows), high_from) in TABLES.into_iter().zip(HIGH_FROM) {
        let limits = Limits::of(preset);
        let is_high = |morning: &Option<Morning>| {
            morning.is_some_and(|morning| high_from <= morning.rating.points())
        };
        for (row, pain, in_column, orders, source) in rows {
            let mut met = 0;
            for rating in PainRating::all().filter(|one| pain.contains(&i64::from(one.points()))) {
                let of_column = mornings().into_iter().filter(|one| column(*one) == *in_column);
                // A morning in the high zone is something else that is the matter.
                for morning in of_column.filter(|one| *orders != KeepCounts || !is_high(one)) {
                    let verdict = decide(&limits, &calm(rating, morning)).unwrap();
                    let light = match orders {
                        KeepCounts | KeepStay => Light::Keep,
                        Ease => Light::Ease,
                        Hold => Light::Hold,
                    };
                    assert_eq!(verdict.order.light(), light, "{row} ({source}): {morning:?}");
                    let counts = verdict.order == Order::KeepAndCount;
                    assert_eq!(counts, *orders == KeepCounts, "{row} ({source}): {morning:?}");
                    met += 1;
                }
            }
            assert_ne!(met, 0, "{row} is met by some input");
        }
    }
}

#[track_caller]
fn is_as_the_document_says(
    (preset, rows, high_from): (Preset, &[Row; 12], u8),
    limits: &Limits,
    findings: &Findings,
) {
    let Verdict { order, reasons } = decide(limits, findings).unwrap();
    let (expected, mut because) = expected(rows, high_from, findings);
    assert_eq!(order, expected, "{preset:?}: {findings:?}");
    let mut given: Vec<_> = reasons.iter().map(name_of).collect();
    given.sort_unstable();
    because.sort_unstable();
    assert_eq!(given, because, "{preset:?}: {findings:?}");
}

fn tables() -> impl Iterator<Item = (Preset, &'static [Row; 12], u8)> {
    TABLES.into_iter().zip(HIGH_FROM).map(|((preset, rows), high_from)| (preset, rows, high_from))
}

#[test]
fn every_input_gets_the_verdict_of_the_document_with_every_reason_that_applied() {
    let mornings = mornings();
    for table in tables() {
        let limits = Limits::of(table.0);
        for mut findings in circumstances() {
            for rating in PainRating::all() {
                findings.sets = rated(rating);
                for &morning in &mornings {
                    findings.morning = morning;
                    is_as_the_document_says(table, &limits, &findings);
                }
            }
        }
    }
}

/// Pain at rest, an answer after that day's session, and every source of a usual morning: every
/// rating and every morning again, with each of them, on days of each swelling and both kinds of week.
#[test]
fn pain_at_rest_the_time_of_the_answer_and_where_usual_came_from_change_what_the_document_says() {
    use UsualFrom::{AtRest, FirstMornings, Mornings, Nothing, Said, Visit};
    let plain = |findings: &Findings| {
        findings.stopped == Stopped::No
            && findings.warning == Warning::None
            && findings.earlier == Earlier::NoHold
            && findings.footing == Footing::CanEase
    };
    let mut met = 0;
    for table in tables() {
        let limits = Limits::of(table.0);
        for mut findings in circumstances().into_iter().filter(plain) {
            for rating in PainRating::all() {
                findings.sets = rated(rating);
                for at_rest in std::iter::once(None).chain(PainRating::all().map(Some)) {
                    findings.at_rest = at_rest;
                    for from in [Visit, Said, FirstMornings, Mornings, AtRest, Nothing] {
                        for answered in [AnsweredWhen::BeforeTraining, AnsweredWhen::AfterTraining]
                        {
                            for (points, half_points) in [(0, 0), (2, 4), (3, 1), (6, 20), (9, 0)] {
                                let usual = Usual { half_points: HalfPoints(half_points), from };
                                let rating = PainRating::new(points).unwrap();
                                findings.morning = Some(Morning { rating, usual, answered });
                                is_as_the_document_says(table, &limits, &findings);
                                met += 1;
                            }
                        }
                    }
                }
            }
        }
    }
    assert_eq!(met, 3 * 5 * 2 * 11 * 12 * 6 * 2 * 5);
}

/// Section 6: sets that were worked and not rated give no verdict, unless the joint is clearly more
/// swollen next morning.
#[test]
fn without_a_rating_only_a_stop_a_warning_sign_or_clear_swelling_gives_a_verdict() {
    for table in tables() {
        let limits = Limits::of(table.0);
        for mut findings in circumstances() {
            findings.sets.clear();
            for morning in mornings() {
                findings.morning = morning;
                let is_swollen = matches!(
                    findings.swelling,
                    Some(SwellingRead::AddedUp | SwellingRead::ClearlyMore)
                );
                if findings.stopped == Stopped::BecauseOfPain
                    || findings.warning == Warning::Ticked
                    || is_swollen
                {
                    is_as_the_document_says(table, &limits, &findings);
                } else {
                    assert_eq!(decide(&limits, &findings), None, "{findings:?}");
                }
                if is_swollen {
                    let light = decide(&limits, &findings).unwrap().order.light();
                    assert_eq!(light, Light::Hold, "{findings:?}");
                }
            }
        }
    }
}

#[test]
fn a_reason_carries_the_numbers_it_was_read_from() {
    let limits = Limits::of(Preset::PainMonitoring);
    let usual = Usual { half_points: HalfPoints(3), from: UsualFrom::Mornings };
    let rating = PainRating::new(3).unwrap();
    let morning = Morning { rating, usual, answered: AnsweredWhen::BeforeTraining };
    let five = PainRating::new(5).unwrap();
    let verdict = decide(&limits, &calm(five, Some(morning))).unwrap();
    assert_eq!(
        verdict.reasons,
        [
            Reason::During { rating: five, zone: Zone::Middle },
            Reason::Morning { rating: morning.rating, usual, settling: Settling::UpALittle },
        ]
    );
}

#[test]
fn the_worst_of_all_sets_counts_whatever_their_order() {
    let limits = Limits::of(Preset::PainMonitoring);
    for one in PainRating::all() {
        for other in PainRating::all() {
            for morning in mornings() {
                let mut findings = calm(one.max(other), morning);
                let worst = decide(&limits, &findings);
                findings.sets = [rated(one), rated(other)].concat();
                assert_eq!(decide(&limits, &findings), worst);
            }
        }
    }
}

/// The document's section on sites, in points for the Pain-monitoring zones.
#[test]
fn a_site_counts_as_the_practitioner_said() {
    use Zone::{High, Low, Middle};
    let site = |name: &str, counts| Site { name: Words::new(name).unwrap(), counts };
    let limits = Limits {
        sites: vec![
            site("calf", SiteCounts::AsRated),
            site("heel bone", SiteCounts::OneZoneWorse),
            site("knee", SiteCounts::NotedOnly),
        ],
        ..Limits::of(Preset::PainMonitoring)
    };
    #[rustfmt::skip]
    let rows = [
        // Site,            0,   1,      2,      3,      4,      5,      6,    7,    8,    9,    10
        (None,              [Low, Low,    Low,    Middle, Middle, Middle, High, High, High, High, High]),
        (Some("calf"),      [Low, Low,    Low,    Middle, Middle, Middle, High, High, High, High, High]),
        (Some("elsewhere"), [Low, Low,    Low,    Middle, Middle, Middle, High, High, High, High, High]),
        (Some("heel bone"), [Low, Middle, Middle, High,   High,   High,   High, High, High, High, High]),
        (Some("knee"),      [Low, Low,    Low,    Low,    Low,    Low,    High, High, High, High, High]),
    ];
    for (name, zones) in rows {
        let name = name.map(|name| Words::new(name).unwrap());
        for (rating, zone) in PainRating::all().zip(zones) {
            assert_eq!(limits.zone_of_set(rating, name.as_ref()), zone, "{name:?} {rating:?}");
            let day = |rating, site: &Option<Words>| {
                let findings = Findings {
                    sets: vec![RatedSet { rating, site: site.clone() }],
                    ..calm(rating, None)
                };
                decide(&limits, &findings).unwrap()
            };
            let verdict = day(rating, &name);
            let plain = PainRating::new([0, 3, 6][zone as usize]).unwrap();
            assert_eq!(verdict.order, day(plain, &None).order, "{name:?} {rating:?}");
            let changed = limits.zone_of_set(rating, None) != zone;
            let named = verdict.reasons.iter().any(|reason| {
                matches!(reason, Reason::SiteCountsMore { .. } | Reason::SiteNotedOnly { .. })
            });
            assert_eq!(named, changed, "{name:?} {rating:?}");
        }
    }
}

#[test]
fn the_defaults_around_a_table_are_those_of_the_document() {
    for preset in Preset::ALL {
        let limits = Limits::of(preset);
        assert_eq!(limits.rest_days.get(), 2);
        assert_eq!(limits.step_up_after.get(), 3);
        assert_eq!(limits.may_step_up, MayStepUp::WinBack);
        assert_eq!(limits.on_lowest_rung, OnLowestRung::OneSetFewer);
        assert_eq!(limits.after_middle_set, AfterMiddleSet::Same);
        // Section 5: a break is 14 days, and the first day back starts one rung lower.
        assert_eq!(limits.break_days.get(), 14);
        assert_eq!(limits.after_break, AfterBreak::OneRungLower);
        let table = limits.table;
        let sparse = serde_json::json!({ "table": table });
        assert_eq!(serde_json::from_value::<Limits>(sparse).unwrap(), Limits::of(preset));
        assert_eq!(Preset::of(&table), Some(preset));
    }
}

type Rows = [[Cell; 4]; 3];

fn table(rows: Rows) -> Result<Table, NotATable> {
    Table::new(PainRating::new(2).unwrap(), PainRating::new(5).unwrap(), rows)
}

/// Each cell is compared with its neighbour below and, among the answered mornings, to the right.
fn is_monotone(rows: &Rows) -> bool {
    let downwards =
        (0..4).all(|column| (0..2).all(|row| rows[row][column] <= rows[row + 1][column]));
    let rightwards = rows.iter().all(|row| row[0] <= row[1] && row[1] <= row[2]);
    downwards && rightwards
}

fn counts_unanswered(rows: &Rows) -> bool {
    rows.iter().any(|row| row[3] == Cell::Counts)
}

/// Accepted exactly when it should be, and refused with cells that really break it.
fn check(rows: Rows) -> bool {
    let made = table(rows);
    assert_eq!(made.is_ok(), is_monotone(&rows) && !counts_unanswered(&rows), "{rows:?}");
    match made {
        Ok(table) => {
            for zone in Zone::ALL {
                for settling in Settling::ALL {
                    assert_eq!(table.cell(zone, settling), rows[zone as usize][settling as usize]);
                }
            }
            return true;
        }
        Err(NotATable::NotMonotone { better, harsher, worse, milder }) => {
            assert_eq!(rows[better.0 as usize][better.1 as usize], harsher);
            assert_eq!(rows[worse.0 as usize][worse.1 as usize], milder);
            assert!(milder < harsher, "{rows:?}");
            assert!(better.0 <= worse.0 && better.1 <= worse.1, "{rows:?}");
            let unanswered = |place: (Zone, Settling)| place.1 == Settling::NotAnswered;
            assert_eq!(unanswered(better), unanswered(worse), "downwards only: {rows:?}");
        }
        Err(NotATable::UnansweredCounts { zone }) => {
            assert_eq!(rows[zone as usize][3], Cell::Counts, "{rows:?}");
        }
        Err(NotATable::Zones { .. }) => panic!("the zones are in order"),
    }
    false
}

/// Every way to fill the nine answered cells, from a number below 4^9.
fn answered(mut number: usize, unanswered: [Cell; 3]) -> Rows {
    let mut rows = unanswered.map(|cell| [cell; 4]);
    for row in &mut rows {
        for cell in &mut row[..3] {
            *cell = Cell::ALL[number % 4];
            number /= 4;
        }
    }
    rows
}

/// 980 ways are monotone: the plane partitions in a box of 3 by 3 by 3 (980 by the formula for them), and
/// each goes with the 10 ways to fill the column for no answer.
#[test]
fn every_monotone_table_is_accepted_and_no_other() {
    let monotone: Vec<usize> =
        (0..4_usize.pow(9)).filter(|&number| check(answered(number, [Cell::Stay; 3]))).collect();
    assert_eq!(monotone.len(), 980);
    let mut accepted = 0;
    for number in monotone {
        for high in Cell::ALL {
            for middle in Cell::ALL {
                for low in Cell::ALL {
                    accepted += usize::from(check(answered(number, [low, middle, high])));
                }
            }
        }
    }
    assert_eq!(accepted, 9800);
}

proptest! {
    #[test]
    fn any_table_is_accepted_or_refused_for_what_is_in_it(
        answered_cells in 0..4_usize.pow(9),
        unanswered in prop::array::uniform3(prop::sample::select(&Cell::ALL[..])),
    ) {
        check(answered(answered_cells, unanswered));
    }
}

#[test]
fn a_refusal_says_which_two_cells_in_plain_words() {
    use Cell::{Counts, Ease, Hold, Stay};
    let upside_down =
        table([[Counts, Stay, Ease, Stay], [Stay, Ease, Hold, Ease], [Ease, Hold, Hold, Stay]]);
    let message = upside_down.unwrap_err().in_words();
    assert!(message.contains("high pain with no morning answer"), "{message}");
    assert!(message.contains("middle pain with no morning answer"), "{message}");
    let counting = table([[Counts, Stay, Ease, Counts], [Stay, Ease, Hold, Stay], [Hold; 4]]);
    assert!(counting.unwrap_err().in_words().contains("not answered never counts"));
}

#[test]
fn low_pain_ends_below_the_end_of_middle_pain() {
    for low in PainRating::all() {
        for middle in PainRating::all() {
            let made = Table::new(low, middle, [[Cell::Stay; 4]; 3]);
            assert_eq!(made.is_ok(), low < middle);
            let Ok(table) = made else { continue };
            for rating in PainRating::all() {
                let zone = match rating {
                    rating if rating <= low => Zone::Low,
                    rating if rating <= middle => Zone::Middle,
                    _ => Zone::High,
                };
                assert_eq!(table.zone(rating), zone);
            }
        }
    }
}

#[test]
fn a_table_from_a_file_goes_through_the_same_gate() {
    let text = |low: &str| {
        format!(
            r#"{{"low_max":2,"middle_max":5,"low":[{low}],
            "middle":["stay","ease","hold","stay"],"high":["ease","hold","hold","hold"]}}"#
        )
    };
    let good = text(r#""counts","stay","ease","stay""#);
    assert_eq!(serde_json::from_str::<Table>(&good).unwrap(), Preset::PainMonitoring.table());
    for bad in [r#""hold","stay","ease","stay""#, r#""counts","stay","ease","counts""#] {
        assert!(serde_json::from_str::<Table>(&text(bad)).is_err(), "{bad}");
    }
}
