//! Every reason is true of the numbers that stand beside it: all tables of limits, all ratings, all kinds of
//! sites, held to what the sentence claims.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::log::event::Ending;
use carryover::domain::log::rule::{
    AnsweredWhen, Findings, Footing, Morning, RatedSet, Reason, Stopped, Usual, UsualFrom, Warning,
    Weeks, decide,
};
use carryover::domain::pain::{HalfPoints, PainRating};
use carryover::domain::plan::limits::{Limits, Preset, Site, SiteCounts, Table, Zone};
use carryover::ui::text::verdict::{limits_set, reason, set_against};
use support::scripts::SITES;
use support::*;

/// Every pair of limits, with the cells of the preset and the sites of the scripts.
fn all_limits() -> impl Iterator<Item = Limits> {
    let limits = Limits {
        sites: SITES.map(|(name, counts)| Site { name: words(name), counts }).to_vec(),
        ..Limits::of(Preset::PainMonitoring)
    };
    let cell = |zone, settling| limits.table.cell(zone, settling);
    let row =
        |zone| carryover::domain::plan::limits::Settling::ALL.map(|settling| cell(zone, settling));
    let rows = Zone::ALL.map(row);
    (0..10).flat_map(|low| (low + 1..=10).map(move |middle| (low, middle))).map(
        move |(low, middle)| Limits {
            table: Table::new(rating(low), rating(middle), rows).unwrap(),
            ..limits.clone()
        },
    )
}

fn zone_word(word: &str) -> Zone {
    match word.trim_end_matches(['.', ',']) {
        "low" => Zone::Low,
        "middle" => Zone::Middle,
        "high" => Zone::High,
        other => panic!("{other} is no zone"),
    }
}

/// What "0 to 2", "4" or "above 5" claims of a rating.
fn holds(range: &str, points: u8) -> bool {
    let number = |text: &str| text.parse::<u8>().unwrap();
    if let Some(above) = range.strip_prefix("above ") {
        number(above) < points
    } else if let Some((from, to)) = range.split_once(" to ") {
        (number(from)..=number(to)).contains(&points)
    } else {
        number(range) == points
    }
}

/// Of each table: which ratings a range of it takes in, whatever the rating beside it.
fn is_the_zone(limits: &Limits, range: &str, zone: Zone) -> bool {
    PainRating::all()
        .all(|rating| holds(range, rating.points()) == (limits.table.zone(rating) == zone))
}

#[test]
fn what_a_set_was_held_against_is_true_of_its_rating() {
    let sites = SITES.map(|(name, counts)| (Some(name), counts));
    let sites = sites
        .into_iter()
        .chain([(None, SiteCounts::AsRated), (Some("elbow"), SiteCounts::AsRated)]);
    let sites: Vec<_> = sites.collect();
    let mut seen = std::collections::BTreeSet::new();
    for limits in all_limits() {
        for rating in PainRating::all() {
            for (site, counts) in &sites {
                let site = site.map(words);
                let ending = Ending::Complete;
                let said = set_against(&limits, ending, rating, site.as_ref(), "Your physio");
                let counts_as = limits.zone_of_set(rating, site.as_ref());
                let by_itself = limits.table.zone(rating);
                // "Your physio set RANGE as ZONE": the range is that zone, and has the rating in it.
                let claim = said.strip_prefix("Your physio set ").unwrap();
                let (range, rest) = claim.split_once(" as ").unwrap();
                let zone = zone_word(rest.split([' ', ',', '.']).next().unwrap());
                assert!(is_the_zone(&limits, range, zone), "{said}");
                assert!(holds(range, rating.points()), "{said}");
                assert!(said.contains(&format!("This was {}", rating.points())), "{said}");
                // Where the site changes the zone, it is named, with how it counts and as what.
                let changes = by_itself != counts_as;
                let as_what = said
                    .split_once("so it counts as ")
                    .map(|(_, rest)| zone_word(rest.split([',', '.']).next().unwrap()));
                assert_eq!(as_what, changes.then_some(counts_as), "{said}");
                assert_eq!(
                    said.contains("one zone worse"),
                    changes && *counts == SiteCounts::OneZoneWorse,
                    "{said}"
                );
                assert_eq!(
                    said.contains("noted only"),
                    changes && *counts == SiteCounts::NotedOnly,
                    "{said}"
                );
                assert_eq!(
                    changes,
                    site.as_ref().is_some_and(|site| said.contains(site.as_str())),
                    "{said}"
                );
                // Only what is high ends the exercise.
                assert_eq!(said.contains("ends the exercise"), counts_as == Zone::High, "{said}");
                seen.insert((by_itself, counts_as));
            }
        }
    }
    // Low as middle and as low, middle as each, high as high.
    assert_eq!(seen.len(), 6, "{seen:?}");
}

#[test]
fn a_set_that_pain_stopped_is_said_to_be_one() {
    let limits = Limits::of(Preset::PainMonitoring);
    let said = set_against(&limits, Ending::Pain, rating(0), None, "Your physio");
    assert_eq!(said, "A set stopped by pain ends the exercise for the day.");
}

/// The row beside the worst rating of a day, for each rating at each site.
#[test]
fn the_limit_beside_a_light_is_true_of_the_rating_beside_it() {
    for limits in all_limits() {
        for rating in PainRating::all() {
            for site in SITES.map(|(name, _)| Some(words(name))).into_iter().chain([None]) {
                let sets = vec![RatedSet { rating, site: site.clone() }];
                let verdict = decide(&limits, &findings(sets, None)).unwrap();
                let is_during = |one: &&Reason| matches!(one, Reason::During { .. });
                let during = verdict.reasons.iter().find(is_during).unwrap();
                let row = reason(during, &limits);
                assert_eq!(row.value, rating.points().to_string());
                let counts_as = limits.zone_of_set(rating, site.as_ref());
                let (zone, rest) = row.beside.split_once(": ").unwrap();
                let zone = zone_word(zone);
                assert_eq!(zone, limits.table.zone(rating), "{}", row.beside);
                let (range, as_what) = match rest.split_once(", counts as ") {
                    Some((range, rest)) => {
                        (range, Some(zone_word(rest.split(' ').next().unwrap())))
                    }
                    None => (rest, None),
                };
                assert_eq!(as_what, (counts_as != zone).then_some(counts_as), "{}", row.beside);
                let range = range.strip_suffix(" or stopped").unwrap_or(range);
                assert!(is_the_zone(&limits, range, zone), "{}", row.beside);
            }
        }
    }
}

fn findings(sets: Vec<RatedSet>, morning: Option<Morning>) -> Findings {
    Findings {
        at_rest: None,
        sets,
        stopped: Stopped::No,
        morning,
        swelling: None,
        warning: Warning::None,
        weeks: Weeks::Steady,
        earlier: carryover::domain::log::rule::Earlier::NoHold,
        footing: Footing::CanEase,
    }
}

/// Every morning against every usual one, in half points.
#[test]
fn how_a_morning_was_is_true_of_the_two_numbers() {
    let limits = Limits::of(Preset::PainMonitoring);
    for rating in PainRating::all() {
        for half_points in (0..=20).map(HalfPoints) {
            let usual = Usual { half_points, from: UsualFrom::Mornings };
            let morning = Morning { rating, usual, answered: AnsweredWhen::BeforeTraining };
            let said = Reason::Morning { rating, usual, settling: morning.settling() };
            let row = reason(&said, &limits);
            let rise = f64::from(rating.points()) - half_points.points();
            let claim = row.beside.split_once(": ").unwrap().1;
            let is_true = match claim {
                "as usual or better" => rise <= 0.0,
                "up by less than 2" => 0.0 < rise && rise < 2.0,
                "up by 2 or more" => 2.0 <= rise,
                other => panic!("{other} claims something new"),
            };
            assert!(is_true, "{} beside {}", row.beside, row.value);
        }
    }
}

/// An unanswered morning can mean Ease or Hold, so its row promises no more than it can keep.
#[test]
fn a_morning_without_an_answer_claims_only_that_nothing_goes_up() {
    let row = reason(&Reason::MorningNotAnswered, &Limits::of(Preset::NearlyPainFree));
    assert_eq!(row.beside, "no step up without it");
}

#[test]
fn the_limits_in_one_sentence_are_those_of_the_table() {
    for limits in all_limits() {
        let said = limits_set(&limits, "Your physio");
        let (low, middle) = (limits.table.low_max().points(), limits.table.middle_max().points());
        assert!(said.contains(&format!("up to {low} is low, up to {middle} is middle")), "{said}");
        assert_eq!(said.contains("more is high"), middle < 10, "{said}");
    }
}
