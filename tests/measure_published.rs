//! The measuring sheets against `tests/fixtures/check_values.json`: the rows on unloading (common
//! practice; the formula is derived), on elongation (by definition) and on stretch limits (two
//! suppliers' guidance, read).

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use carryover::domain::plan::dose::WeightUnit;
use carryover::domain::visit::measure::{Band, LengthUnit, Reading, Stretch, Under, Unloading};
use carryover::domain::words::Words;
use serde::Deserialize;
use serde_json::Value;

#[derive(Deserialize)]
struct Row {
    id: String,
    inputs: Value,
    expected: Value,
}

fn rows(prefix: &str) -> Vec<Row> {
    let rows: Vec<Row> = serde_json::from_str(include_str!("fixtures/check_values.json")).unwrap();
    let rows: Vec<Row> = rows.into_iter().filter(|row| row.id.starts_with(prefix)).collect();
    assert!(!rows.is_empty(), "{prefix}");
    rows
}

fn reading(row: &Row, input: &str) -> Reading {
    Reading::read(&row.inputs[input].to_string()).unwrap()
}

fn band(row: &Row) -> Band {
    let level = Words::new("the loop band").unwrap();
    let (resting, stretched) = (reading(row, "rest_cm"), reading(row, "stretched_cm"));
    Band::new(level, LengthUnit::Cm, resting, stretched).unwrap()
}

#[test]
fn the_scale_tells_how_much_is_taken() {
    let rows = rows("unload-");
    for row in &rows {
        let under = if row.id.contains("hands") { Under::Hands } else { Under::Feet };
        let (body, shown) = (reading(row, "mass_kg"), reading(row, "reading_kg"));
        for unit in [WeightUnit::Kg, WeightUnit::Lb] {
            let sheet = Unloading::new(unit, body, shown, under).unwrap();
            let expected = row.expected.as_f64().unwrap();
            assert!((sheet.percent_taken() - expected).abs() < 1e-9, "{}", row.id);
        }
    }
    assert!(rows.iter().any(|row| row.id.contains("hands")));
    assert!(rows.iter().any(|row| row.id.contains("feet")));
}

#[test]
fn elongation_is_how_much_longer_than_at_rest() {
    for row in rows("band-elong-") {
        let expected = row.expected.as_f64().unwrap();
        assert!((band(&row).percent_elongation() - expected).abs() < 1e-9, "{}", row.id);
    }
}

#[test]
fn a_stretch_is_held_against_both_limits() {
    for row in rows("band-limit-") {
        let expected = match row.expected.as_str().unwrap() {
            "over 3x limit" => Stretch::Beyond,
            // On the stricter limit, not over it.
            "at 2.5x limit" => Stretch::Within,
            other => panic!("{}: {other}", row.id),
        };
        assert_eq!(band(&row).stretch(), expected, "{}", row.id);
    }
}
