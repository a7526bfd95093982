//! The statistics against values computed with scipy, statsmodels, pandas and numpy, in
//! `tests/fixtures/check_values.json`, to 1e-9; and against published figures.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use carryover::domain::visit::statistics::{
    Confidence, Interval, change, line, rank_sum, spread, wilson,
};
use proptest::prelude::*;
use serde::Deserialize;
use serde_json::Value;

#[derive(Deserialize)]
struct Row {
    id: String,
    inputs: Value,
    expected: Value,
}

fn rows(prefix: &str) -> Vec<Row> {
    let text = include_str!("fixtures/check_values.json");
    let rows: Vec<Row> = serde_json::from_str(text).unwrap();
    let rows: Vec<Row> = rows.into_iter().filter(|row| row.id.starts_with(prefix)).collect();
    assert!(!rows.is_empty(), "{prefix}");
    rows
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

/// The values are written with ten significant digits.
#[track_caller]
fn assert_near(found: f64, expected: &Value, what: &str) {
    let expected = expected.as_f64().unwrap();
    assert!(
        (found - expected).abs() <= 1e-9 * expected.abs().max(1.0),
        "{what}: {found} is not {expected}"
    );
}

#[track_caller]
fn assert_interval(found: Interval, low: &Value, high: &Value, what: &str) {
    assert_near(found.low, low, what);
    assert_near(found.high, high, what);
}

fn count(value: &Value) -> u32 {
    u32::try_from(value.as_u64().unwrap()).unwrap()
}

/// scipy `mannwhitneyu`, asymptotic, with its correction for continuity.
#[test]
fn the_rank_sum_test_agrees_with_scipy() {
    let rows = rows("stat-ranksum-");
    assert_eq!(rows.len(), 6);
    for Row { id, inputs, expected } in rows {
        let (first, second) = (numbers(&inputs["first"]), numbers(&inputs["second"]));
        assert_near(rank_sum(&first, &second).unwrap(), &expected["z"], &id);
        let swapped = rank_sum(&second, &first).unwrap();
        assert_near(-swapped, &expected["z"], &id);
    }
    assert_eq!(rank_sum(&[], &[1.0]), None);
    assert_eq!(rank_sum(&[3.0, 3.0], &[3.0]), None, "nothing differs");
}

/// statsmodels `proportion_confint`; the counts 81 of 263, 15 of 148, 0 of 20 and 1 of 29 are those
/// of Newcombe 1998, table I.
#[test]
fn the_wilson_interval_agrees_with_statsmodels() {
    let rows = rows("stat-wilson-");
    assert_eq!(rows.len(), 24);
    for Row { id, inputs, expected } in rows {
        let confidence = match inputs["conf"].as_f64().unwrap() {
            conf if (conf - Confidence::Ninety.level()).abs() < 1e-12 => Confidence::Ninety,
            conf if (conf - Confidence::NinetyFive.level()).abs() < 1e-12 => Confidence::NinetyFive,
            conf => panic!("{conf}"),
        };
        let found = wilson(count(&inputs["k"]), count(&inputs["n"]), confidence).unwrap();
        assert_interval(found, &expected["wilson_lo"], &expected["wilson_hi"], &id);
    }
    assert_eq!(wilson(0, 0, Confidence::NinetyFive), None);
}

/// Newcombe 1998, Stat Med 17:857–872, table I, method 3, to the four places printed there (from memory).
#[test]
fn the_wilson_interval_agrees_with_newcombe() {
    for (done, of, low, high) in [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ] {
        let found = wilson(done, of, Confidence::NinetyFive).unwrap();
        assert!(
            (found.low - low).abs() < 5e-5 && (found.high - high).abs() < 5e-5,
            "{done} of {of}: {found:?}"
        );
    }
}

/// scipy `theilslopes`; the first row is the worked example of Sen 1968, with its slope of 4.
#[test]
fn the_theil_sen_line_agrees_with_scipy() {
    let rows = rows("stat-theilsen-");
    assert_eq!(rows.len(), 4);
    for Row { id, inputs, expected } in rows {
        let points: Vec<(f64, f64)> =
            numbers(&inputs["x"]).into_iter().zip(numbers(&inputs["y"])).collect();
        let found = line(&points, Confidence::NinetyFive).unwrap();
        assert_near(found.slope, &expected["slope"], &id);
        assert_near(found.at_zero, &expected["intercept_separate"], &id);
        assert_interval(found.slope_interval, &expected["ci95_lo"], &expected["ci95_hi"], &id);
    }
}

/// R package catdata 1.2.4, data set `knee`: pain from 1 to 5 on days 0, 3, 7 and 10.
#[test]
fn the_theil_sen_line_of_each_person_agrees_with_scipy() {
    let rows = rows("data-knee-patient-");
    assert_eq!(rows.len(), 8);
    for Row { id, inputs, expected } in rows {
        let points: Vec<(f64, f64)> =
            numbers(&inputs["days"]).into_iter().zip(numbers(&inputs["y"])).collect();
        let found = line(&points, Confidence::NinetyFive).unwrap();
        assert_near(found.slope, &expected["slope"], &id);
        assert_near(found.at_zero, &expected["intercept_separate"], &id);
    }
}

#[test]
fn the_middle_and_the_spread_agree_with_numpy() {
    let rows = rows("stat-median-");
    assert_eq!(rows.len(), 3);
    for Row { id, inputs, expected } in rows {
        let found = spread(&numbers(&inputs["values"])).unwrap();
        assert_near(found.median, &expected["median"], &id);
        assert_interval(found.quartiles, &expected["q1_type7"], &expected["q3_type7"], &id);
        assert_near(found.typical_distance, &expected["mad_raw"], &id);
    }
}

/// scipy `ttest_rel`; the first row is Student's own table of 1908.
#[test]
fn a_paired_change_agrees_with_scipy() {
    let rows = rows("stat-paired-");
    assert_eq!(rows.len(), 2);
    for Row { id, inputs, expected } in rows {
        let pairs: Vec<(f64, f64)> =
            numbers(&inputs["before"]).into_iter().zip(numbers(&inputs["after"])).collect();
        let found = change(&pairs, Confidence::NinetyFive).unwrap();
        assert_eq!(found.pairs as u64, expected["n"].as_u64().unwrap(), "{id}");
        assert_near(found.mean, &expected["mean_diff"], &id);
        assert_near(found.median, &expected["median_diff"], &id);
        assert_near(found.deviation.unwrap(), &expected["sd_diff"], &id);
        assert_interval(found.interval.unwrap(), &expected["ci95_lo"], &expected["ci95_hi"], &id);
        assert_eq!(found.rose as u64, expected["n_up"].as_u64().unwrap(), "{id}");
        assert_eq!(found.fell as u64, expected["n_down"].as_u64().unwrap(), "{id}");
    }
}

/// The 127 people of `knee` are not in the table of check values, but 56 did not change, 71 improved,
/// and only one sum and one sum of squares give its mean and deviation. Two of the ways in which those
/// fit stand here; every one gives the same figures.
#[test]
fn the_change_of_all_127_people_agrees_with_scipy() {
    let [Row { expected, .. }] = rows("data-knee-summary").try_into().ok().unwrap();
    let whole = &expected["change_d10_minus_d0"];
    for improved in [[36, 28, 7, 0], [35, 31, 4, 1]] {
        let mut pairs = vec![(4.0, 4.0); 56];
        for (points, people) in [1.0, 2.0, 3.0, 4.0].into_iter().zip(improved) {
            pairs.extend(vec![(5.0, 5.0 - points); people]);
        }
        let found = change(&pairs, Confidence::NinetyFive).unwrap();
        assert_eq!(found.pairs as u64, expected["n"].as_u64().unwrap());
        assert_near(found.mean, &whole["mean"], "mean");
        assert_near(found.deviation.unwrap(), &whole["sd"], "deviation");
        assert_near(found.median, &whole["median"], "median");
        assert_eq!(found.fell as u64, whole["improved"].as_u64().unwrap());
        assert_eq!(found.rose as u64, whole["worse"].as_u64().unwrap());
        let interval = &expected["paired_t"]["ci"];
        assert_interval(found.interval.unwrap(), &interval[0], &interval[1], "interval");
    }
    for arm in ["improved_th1", "improved_th2"] {
        let arm = &expected[arm];
        let found = wilson(count(&arm["k"]), count(&arm["n"]), Confidence::NinetyFive).unwrap();
        assert_interval(found, &arm["wilson95"][0], &arm["wilson95"][1], "improved");
    }
}

#[test]
fn nothing_comes_of_too_little() {
    let confidence = Confidence::NinetyFive;
    assert_eq!(spread(&[]), None);
    assert_eq!(spread(&[f64::NAN]), None);
    assert_eq!(change(&[], confidence), None);
    assert_eq!(line(&[], confidence), None);
    assert_eq!(line(&[(1.0, 2.0)], confidence), None);
    assert_eq!(line(&[(1.0, 2.0), (1.0, 3.0)], confidence), None);
    let one = change(&[(3.0, 5.0)], confidence).unwrap();
    assert_eq!((one.mean, one.median, one.deviation, one.interval), (2.0, 2.0, None, None));
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![(-10_i8..=10).prop_map(f64::from), prop::num::f64::ANY]
}

proptest! {
    /// Days and ratings are whole numbers and are counted; half days are gone through pair by pair. Halving
    /// doubles every slope, and floating point does so exactly.
    #[test]
    fn a_long_line_through_ratings_is_the_same_however_it_is_found(
        ratings in prop::collection::vec(prop::option::weighted(0.9, 0_u8..=10), 60..200)
    ) {
        let days = (0_u16..).zip(&ratings).filter_map(|(day, rating)| Some((day, (*rating)?)));
        let whole: Vec<(f64, f64)> = days.map(|(day, rating)| (f64::from(day), f64::from(rating))).collect();
        let half: Vec<(f64, f64)> = whole.iter().map(|(day, rating)| (day / 2.0, *rating)).collect();
        let (whole, half) = (line(&whole, Confidence::NinetyFive), line(&half, Confidence::NinetyFive));
        prop_assert_eq!(
            whole.map(|line| (line.points, line.slope * 2.0, line.slope_interval.low * 2.0, line.slope_interval.high * 2.0, line.at_zero)),
            half.map(|line| (line.points, line.slope, line.slope_interval.low, line.slope_interval.high, line.at_zero))
        );
    }

    #[test]
    fn every_input_has_an_answer(points in prop::collection::vec((any_number(), any_number()), 0..20)) {
        for confidence in [Confidence::Ninety, Confidence::NinetyFive] {
            line(&points, confidence);
            change(&points, confidence);
            spread(&points.iter().map(|(x, _)| *x).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_wilson_interval_holds_its_share_and_stays_a_share(of in 1_u32..400, done in 0_u32..500) {
        let found = wilson(done, of, Confidence::NinetyFive).unwrap();
        let share = f64::from(done.min(of)) / f64::from(of);
        prop_assert!(0.0 <= found.low && found.high <= 1.0 && found.contains(share));
        let narrower = wilson(done, of, Confidence::Ninety).unwrap();
        prop_assert!(found.low <= narrower.low && narrower.high <= found.high);
    }

    #[test]
    fn a_line_does_not_depend_on_the_order_of_its_points(
        points in prop::collection::vec((0_i8..30, 0_i8..=10), 2..20),
        seed in any::<u64>(),
    ) {
        let points: Vec<(f64, f64)> = points.into_iter().map(|(x, y)| (x.into(), y.into())).collect();
        let mut other = points.clone();
        other.sort_by_key(|(x, y)| (x.to_bits() ^ seed).wrapping_mul(31) ^ y.to_bits());
        let ends = |points: &[(f64, f64)]| {
            let found = line(points, Confidence::NinetyFive)?;
            Some((found.slope, found.slope_interval.low, found.slope_interval.high, found.at_zero))
        };
        prop_assert_eq!(ends(&points), ends(&other));
        if let Some((slope, low, high, _)) = ends(&points) {
            prop_assert!(low <= slope && slope <= high);
        }
    }
}
