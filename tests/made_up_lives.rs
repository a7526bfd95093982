//! Made-up lives against what can be said of them without any chance: exact shares, and waits of which the
//! distribution is known. Each comparison is within the interval that the number of lives gives.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use carryover::domain::log::rule::Order;
use carryover::domain::pain::PainRating;
use carryover::domain::plan::limits::{Cell, Limits, MayStepUp, Preset, Site, SiteCounts, Table};
use carryover::domain::tried::doubts::{CAUGHT_WITHIN, creep_missed};
use carryover::domain::tried::kinds::Kind;
use carryover::domain::tried::lives::{Life, Trial};
use carryover::domain::tried::one_day::{OneDay, Truth};
use carryover::domain::tried::outcomes::{Outcome, Pair, outcomes};
use carryover::domain::tried::wobble::Wobble;
use carryover::domain::words::Words;

fn rating(points: i64) -> PainRating {
    PainRating::new(points).unwrap()
}

/// Whether a count of `of` can come about by chance where each has this share: within four standard errors
/// (six in 100,000 are not) and a rounding.
#[track_caller]
fn assert_likely(count: usize, of: usize, share: f64, what: &str) {
    let (count, of) =
        (f64::from(u32::try_from(count).unwrap()), f64::from(u32::try_from(of).unwrap()));
    let error = (share * (1.0 - share) / of).sqrt();
    assert!(
        (count / of - share).abs() <= 4.0 * error + 1e-9,
        "{what}: {} of {of} is not likely for {share}",
        count / of
    );
}

fn lives(limits: &Limits, kind: Kind, wobble: Wobble, number: u32, days: u32) -> Vec<Life> {
    let trial = Trial::of(limits);
    (0..number).map(|one| trial.life(kind, wobble, one, days)).collect()
}

const fn cell(order: Order) -> Cell {
    match order {
        Order::KeepAndCount => Cell::Counts,
        Order::KeepNotCounted | Order::KeepAndStay => Cell::Stay,
        Order::Ease => Cell::Ease,
        Order::HoldUntilRested | Order::HoldUntilAnswered => Cell::Hold,
    }
}

/// What the client said of a usual morning wobbles, too: the exact shares are those of each usual morning that
/// can have been said, weighed by how often it is.
#[test]
fn first_days_come_as_often_as_the_exact_shares_say() {
    const LIVES: u32 = 4000;
    for preset in Preset::ALL {
        let limits = Limits::of(preset);
        for (kind, during) in
            [(Kind::SettlesQuickly, 2.0), (Kind::StiffAtDawn, 2.0), (Kind::NeverHurts, 0.0)]
        {
            let wobble = Wobble::LARGER;
            let said: Vec<(PainRating, f64)> =
                PainRating::all().zip(wobble.ratings(kind.usual())).collect();
            let exact = |cell: Cell| -> f64 {
                said.iter()
                    .map(|(usual, share)| {
                        let rise = kind.usual() - f64::from(usual.points());
                        let truth = Truth { during, usual: *usual, rise };
                        share * OneDay::of(&limits, truth, wobble).shares.of(cell)
                    })
                    .sum()
            };
            let lives = lives(&limits, kind, wobble, LIVES, 1);
            for of in Cell::ALL {
                let came = lives.iter().filter(|life| cell(life.judged[0].verdict.order) == of);
                assert_likely(
                    came.count(),
                    lives.len(),
                    exact(of),
                    &format!("{preset:?} {kind:?} {of:?}"),
                );
            }
        }
    }
}

/// A table that looks at the pain during alone: low is Keep, all else is Ease.
fn by_during_alone() -> Limits {
    use Cell::{Ease, Stay};
    let table = Table::new(rating(2), rating(9), [[Stay; 4], [Ease; 4], [Ease; 4]]).unwrap();
    Limits { table, ..Limits::of(Preset::PainMonitoring) }
}

/// The chance alarms of a steady client come with the same share on each day, whatever came before: the wait
/// for the first of them is geometric, P(later than day k) = (1 - p)^k.
#[test]
fn the_wait_for_a_chance_alarm_is_geometric() {
    let limits = by_during_alone();
    let truth = Truth { during: 2.0, usual: rating(2), rise: 0.0 };
    let share = OneDay::of(&limits, truth, Wobble::SMALLER).shares.alarms();
    let lives = lives(&limits, Kind::SettlesQuickly, Wobble::SMALLER, 1500, 21);
    for day in 1..=21_u32 {
        let later = lives.iter().filter(|life| life.first_alarm().is_none_or(|alarm| day < alarm));
        let days = i32::try_from(day).unwrap();
        assert_likely(later.count(), lives.len(), (1.0 - share).powi(days), &format!("day {day}"));
    }
}

/// The same for a rise that is missed: the product of what each day lets pass.
#[test]
fn a_creeping_rise_is_missed_as_often_as_the_product_of_its_days_says() {
    use Cell::{Ease, Stay};
    let late = Table::new(rating(4), rating(9), [[Stay; 4], [Ease; 4], [Ease; 4]]).unwrap();
    for (limits, wobble) in [
        (by_during_alone(), Wobble::SMALLER),
        (Limits { table: late, ..by_during_alone() }, Wobble::LARGER),
    ] {
        let (share, _) = creep_missed(&limits, wobble);
        let lives = lives(&limits, Kind::CreepingUp, wobble, 2000, CAUGHT_WITHIN);
        let missed = lives.iter().filter(|life| life.first_alarm().is_none());
        assert_likely(missed.count(), lives.len(), share, "missed");
    }
}

/// Without a wobble to speak of, someone who never hurts steps up as often as the rule allows: after three
/// days in a row, and then every seventh day.
#[test]
fn who_never_hurts_steps_up_once_a_week() {
    let still = Wobble::of(1e-6).unwrap();
    let limits =
        Limits { may_step_up: MayStepUp::ToTheCeiling, ..Limits::of(Preset::PainMonitoring) };
    let life = &lives(&limits, Kind::NeverHurts, still, 1, 56)[0];
    let days: Vec<i64> = life
        .judged
        .iter()
        .filter(|judged| judged.from < judged.next)
        .map(|judged| (judged.day - life.judged[0].day).num_days() + 1)
        .collect();
    assert_eq!(days, [3, 10, 17, 24, 31, 38, 45, 52]);
    assert_eq!((life.left_out, life.stopped, life.step_ups()), (0, 0, 8));
}

/// A rise of a point a week without a wobble: 2½ during rounds to 3 on the fifth day, when the morning after
/// is up by a point, and middle pain with such a morning is Ease.
#[test]
fn a_rise_that_does_not_wobble_is_caught_on_the_day_on_which_it_rounds_up() {
    let still = Wobble::of(1e-6).unwrap();
    let life = &lives(&Limits::of(Preset::PainMonitoring), Kind::CreepingUp, still, 1, 56)[0];
    assert_eq!(life.first_alarm(), Some(5));
    let wider = &lives(&Limits::of(Preset::WiderGreen), Kind::CreepingUp, still, 1, 56)[0];
    // Low ends at 3, where such a morning is Keep; on the ninth day the week's median, 3, is a point above that
    // of the week before, so that the morning counts one column worse.
    assert_eq!(wider.first_alarm(), Some(9));
}

/// A morning that is always stiff is no reason to ease: like is compared with like.
#[test]
fn who_is_always_stiff_at_dawn_is_kept_as_often_as_the_steady() {
    let trial = Trial::of(&Limits::of(Preset::PainMonitoring));
    let keep = |kind| Outcome::of(&trial, kind, Wobble::SMALLER, 60).lights[0];
    let (stiff, steady) = (keep(Kind::StiffAtDawn), keep(Kind::SettlesQuickly));
    assert!((stiff.mean - steady.mean).abs() < 4.0 * (stiff.error + steady.error));
}

/// Lights of training days come to a hundred, and days to eight weeks.
#[test]
fn every_day_of_a_life_is_accounted_for() {
    let trial = Trial::of(&Limits::of(Preset::NearlyPainFree));
    for kind in Kind::ALL {
        for number in 0..5 {
            let life = trial.life(kind, Wobble::LARGER, number, 56);
            let days = u32::try_from(life.judged.len()).unwrap() + life.left_out;
            assert_eq!(days, 56, "{kind:?} {number}");
            assert!(life.stopped <= life.left_out);
        }
    }
}

#[test]
fn the_same_table_always_gives_the_same_numbers() {
    let limits = Limits::of(Preset::WiderGreen);
    let once: Vec<Pair> = outcomes(&limits, 2).collect();
    let again: Vec<Pair> = outcomes(&limits, 2).collect();
    assert_eq!(once, again);
    assert_eq!(once.len(), 8);
}

/// Noting the misleading site only takes its alarms away.
#[test]
fn a_site_that_is_noted_only_misleads_no_more() {
    let alarms = |counts| {
        let site = Site { name: Words::new("skin").unwrap(), counts };
        let limits = Limits { sites: vec![site], ..Limits::of(Preset::PainMonitoring) };
        Outcome::of(&Trial::of(&limits), Kind::MisleadingSite, Wobble::SMALLER, 20).alarms.mean
    };
    let (noted, rated, worse) = (
        alarms(SiteCounts::NotedOnly),
        alarms(SiteCounts::AsRated),
        alarms(SiteCounts::OneZoneWorse),
    );
    assert!(noted < rated && rated < worse, "{noted} {rated} {worse}");
}

/// A recorded usual morning is that of some client, and not of the made-up ones.
#[test]
fn a_recorded_usual_morning_changes_no_made_up_life() {
    let limits = Limits::of(Preset::PainMonitoring);
    let recorded = Limits { usual_morning: Some(rating(7)), ..limits.clone() };
    let of = |limits| lives(limits, Kind::Irritable, Wobble::LARGER, 3, 56);
    assert_eq!(of(&limits), of(&recorded));
}
