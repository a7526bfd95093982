//! The rule and the dose against published check values, copied with their sources into
//! `tests/fixtures/check_values.json`. Values marked "memory" there were not looked up, and rows
//! called DERIVED are arithmetic from published inputs: neither is a published value.
//!
//! Where the app deliberately differs from a source, [`DIFFERS`] says what it does instead, and
//! `docs/clinical-rule.md`, section 10, says why.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

use carryover::domain::log::event::{Ending, Fact, SetRef};
use carryover::domain::log::rule::{
    AnsweredWhen, Earlier, Findings, Footing, Morning, Order, RatedSet, Stopped, Swelling,
    SwellingRead, Usual, UsualFrom, Warning, Weeks, decide,
};
use carryover::domain::pain::{HalfPoints, PainRating, median};
use carryover::domain::plan::dose::{
    Action, Amount, Dose, Load, Phase, PhaseSecs, Reps, RestSecs, Sets, Tempo, TimesADay,
    WeightUnit,
};
use carryover::domain::plan::limits::{Limits, Preset, Settling, Zone};
use carryover::domain::session::timeline::{Beat, Pace, Timeline};
use chrono::Days;
use chrono::Weekday::{Mon, Tue};
use serde::Deserialize;
use serde_json::{Value, json};
use support::*;

#[derive(Deserialize)]
struct Row {
    id: String,
    inputs: Value,
    expected: Value,
    source: String,
}

/// Rows where the app does something else than the source, and what it does.
const DIFFERS: [(&str, &str); 16] = [
    ("pmm-nemex-2.1", "not a rating"),
    ("pmm-nemex-5.1", "not a rating"),
    ("pmm-freeze-4", "stay here"),
    ("pmm-freeze-5", "stay here"),
    ("pmm-trial-biernat2014", "middle pain at 5"),
    ("pmm-trial-breda2021", "stay here at 5"),
    ("tl-5", "hold"),
    ("tl-9", "keep"),
    ("sore-1", "0 days off, step 0"),
    ("sore-4", "0 days off, step -1"),
    ("sore-hosp-2", "0 days off, step -1"),
    ("sore-hosp-4", "0 days off, step 0"),
    ("eff-1+-1", "maintain_do_not_advance"),
    ("eff-1+-3", "maintain_do_not_advance"),
    ("ladder-a-rules", "1 in 7 days"),
    ("ladder-b-rules", "1 in 7 days"),
];

/// `tele-regress` differs too, and is told as a story of its own.
const DIFFERS_IN_A_STORY: &str = "tele-regress";

fn rows(prefix: &str) -> Vec<Row> {
    let text = include_str!("fixtures/check_values.json");
    let rows: Vec<Row> = serde_json::from_str(text).unwrap();
    let rows: Vec<Row> = rows.into_iter().filter(|row| row.id.starts_with(prefix)).collect();
    assert!(!rows.is_empty(), "{prefix}");
    rows
}

fn row(id: &str) -> Row {
    rows(id).into_iter().find(|row| row.id == id).unwrap()
}

/// Holds the app's reading of a row to the source, or to the way in which it differs.
fn check(row: &Row, app: &str, agrees: bool) {
    match DIFFERS.iter().find(|(id, _)| *id == row.id) {
        Some((id, differs)) => {
            assert!(!agrees, "{id} is said to differ, and agrees with {}", row.source);
            assert_eq!(app, *differs, "{id}");
        }
        None => assert!(agrees, "{}: {} expects {}, not {app}", row.id, row.source, row.expected),
    }
}

fn whole(value: &Value) -> PainRating {
    PainRating::new(value.as_i64().unwrap()).unwrap()
}

#[test]
fn the_document_names_every_row_that_differs_and_no_other() {
    let document = include_str!("../docs/clinical-rule.md");
    let (_, differences) = document.split_once("## 10. ").unwrap();
    let listed: BTreeSet<&str> = differences
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .flat_map(|line| line.split(" | ").next().unwrap().trim_end_matches('`').split("`, `"))
        .collect();
    let asserted = DIFFERS.iter().map(|(id, _)| *id).chain([DIFFERS_IN_A_STORY]).collect();
    assert_eq!(listed, asserted);
    for (id, _) in DIFFERS {
        row(id);
    }
}

#[test]
fn the_document_has_every_row_of_the_tables_once() {
    let document = include_str!("../docs/clinical-rule.md");
    for table in ["PM", "WG", "NP"] {
        for zone in ["low", "middle", "high"] {
            for morning in ["settled", "little", "clearly", "unanswered"] {
                let row = format!("| {table}-{zone}-{morning} |");
                assert_eq!(document.matches(&row).count(), 1, "{row}");
            }
        }
    }
}

// Zones.

#[test]
fn pain_monitoring_has_the_zones_of_ageberg_2010() {
    let table = Preset::PainMonitoring.table();
    for row in rows("pmm-nemex-") {
        let pain = &row.inputs["pain_after_0_10"];
        let app = match serde_json::from_value::<PainRating>(pain.clone()) {
            Ok(rating) => match table.zone(rating) {
                Zone::Low => "safe",
                Zone::Middle => "acceptable",
                Zone::High => "high_risk",
            },
            Err(_) => "not a rating",
        };
        check(&row, app, row.expected == app);
    }
}

#[test]
fn wider_green_has_the_zones_of_the_leaflets() {
    let table = Preset::WiderGreen.table();
    for row in rows("pmm-leaflet-") {
        let app = match table.zone(whole(&row.inputs["pain_0_10"])) {
            Zone::Low => "carry_on",
            Zone::Middle => "adjust",
            Zone::High => "stop",
        };
        check(&row, app, row.expected == app);
    }
}

/// A morning in time, before that day's session, against what was recorded at the visit.
fn morning(rating: PainRating, usual: PainRating) -> Morning {
    let usual = Usual { half_points: usual.into(), from: UsualFrom::Visit };
    Morning { rating, usual, answered: AnsweredWhen::BeforeTraining }
}

/// A rated day with a settled morning, under a preset.
fn settled_day(preset: Preset, rating: PainRating) -> Order {
    let findings = Findings {
        sets: vec![RatedSet { rating, site: None }],
        stopped: Stopped::No,
        at_rest: None,
        morning: Some(morning(PainRating::NONE, PainRating::NONE)),
        swelling: Some(SwellingRead::NoMore),
        warning: Warning::None,
        weeks: Weeks::Steady,
        earlier: Earlier::NoHold,
        footing: Footing::CanEase,
    };
    decide(&Limits::of(preset), &findings).unwrap().order
}

fn may_step_up(order: Order) -> &'static str {
    match order {
        Order::KeepAndCount => "progress_allowed",
        Order::KeepAndStay | Order::KeepNotCounted => "stay here",
        Order::Ease => "ease",
        Order::HoldUntilRested | Order::HoldUntilAnswered => "hold",
    }
}

#[test]
fn a_trial_that_freezes_the_load_above_4_is_met_with_stay_here() {
    for row in rows("pmm-freeze-") {
        let app = may_step_up(settled_day(Preset::WiderGreen, whole(&row.inputs["nrs"])));
        check(&row, app, row.expected == app);
    }
}

#[test]
fn trials_with_other_limits_are_not_followed() {
    let five = PainRating::new(5).unwrap();
    let biernat = match Preset::PainMonitoring.table().zone(five) {
        Zone::Middle => "middle pain at 5",
        Zone::Low | Zone::High => "stop if >4",
    };
    let row_of_biernat = row("pmm-trial-biernat2014");
    check(&row_of_biernat, biernat, row_of_biernat.expected == biernat);
    let breda = format!("{} at 5", may_step_up(settled_day(Preset::WiderGreen, five)));
    check(&row("pmm-trial-breda2021"), &breda, false);
}

// The truth table.

#[test]
fn the_derived_truth_table_holds() {
    let limits = Limits::of(Preset::PainMonitoring);
    for row in rows("tl-") {
        let inputs = &row.inputs;
        let morning = inputs["next_morning"]
            .as_i64()
            .map(|points| morning(rating(points), whole(&inputs["usual_morning"])));
        let rising = inputs["week_median_change"].as_i64().is_some_and(|change| 1 <= change);
        let findings = Findings {
            sets: vec![RatedSet { rating: whole(&inputs["worst_during"]), site: None }],
            stopped: Stopped::No,
            at_rest: None,
            morning,
            swelling: None,
            warning: Warning::None,
            weeks: if rising { Weeks::Rising } else { Weeks::Steady },
            earlier: Earlier::NoHold,
            footing: Footing::CanEase,
        };
        let (app, reads_as): (&str, &[&str]) = match decide(&limits, &findings).unwrap().order {
            Order::KeepAndCount => ("may progress", &["may_progress"]),
            Order::KeepNotCounted => ("wait", &["do not progress until answered"]),
            Order::KeepAndStay => ("keep", &["keep"]),
            Order::Ease => ("ease", &["ease", "ease_or_hold", "ease_or_stop"]),
            Order::HoldUntilRested | Order::HoldUntilAnswered => {
                ("hold", &["ease_or_hold", "ease_or_stop"])
            }
        };
        check(&row, app, reads_as.contains(&row.expected.as_str().unwrap()));
    }
}

// Soreness.

/// How many days the exercise is left out after the first Monday when every later morning is as
/// usual, and how the rung moved.
fn days_off_and_step(
    ratings: &[i64],
    stopped: bool,
    morning: i64,
    swelling: Swelling,
) -> (u64, i64) {
    let mut story = Story::with(&limits());
    let mut session = story.session(at(first(Mon), "18:00"));
    session.sets(ratings);
    if stopped {
        session.stopped();
    }
    story.swollen_morning(first(Tue), morning, swelling);
    for days in 0..7 {
        let day = first(Tue) + Days::new(days);
        if 0 < days {
            story.morning(day, 0);
        }
        if story.is_open(day) {
            let step = i64::from(story.stands().rung.get()) - i64::from(rung(3).get());
            return (days, step);
        }
    }
    panic!("the exercise never came back")
}

#[test]
fn soreness_leads_to_the_days_off_and_steps_of_the_tables_or_to_what_the_document_says() {
    // The source asks about the warm-up; the app reads what each set was rated.
    let read_as = |sore: &str| -> (&[i64], bool, i64, Swelling) {
        match sore {
            "none" => (&[0, 0, 0], false, 0, Swelling::NoMore),
            "warmup_then_gone" => (&[3, 1, 0], false, 0, Swelling::NoMore),
            "warmup" | "warmup_continues" => (&[4], true, 2, Swelling::NoMore),
            "over_1h_after_or_next_day" => (&[1, 1, 1], false, 2, Swelling::NoMore),
            "during_workout" => (&[1, 6], false, 0, Swelling::NoMore),
            "sore_or_swollen_after" => (&[1, 1, 1], false, 1, Swelling::ALittleMore),
            "muscle_soreness_only" => (&[4, 4, 4], false, 0, Swelling::NoMore),
            other => panic!("an unknown soreness: {other}"),
        }
    };
    for row in rows("sore-") {
        let (ratings, stopped, morning, swelling) = read_as(row.inputs["sore"].as_str().unwrap());
        let (days_off, step) = days_off_and_step(ratings, stopped, morning, swelling);
        let expected_step = row.expected.get("step").or_else(|| row.expected.get("phase")).unwrap();
        let agrees = row.expected["days_off"] == days_off && *expected_step == step;
        check(&row, &format!("{days_off} days off, step {step}"), agrees);
    }
}

// Swelling.

#[test]
fn swelling_holds_at_clearly_more_and_never_advances_at_a_little_more() {
    for row in rows("eff-") {
        let swelling = match row.inputs["grade"].as_str().unwrap() {
            "trace_or_none" => SwellingRead::NoMore,
            "1+" => SwellingRead::ALittleMore,
            "2+" => SwellingRead::ClearlyMore,
            other => panic!("an unknown grade: {other}"),
        };
        let earlier = if row.inputs["check_number"] == 1 || swelling != SwellingRead::ClearlyMore {
            Earlier::NoHold
        } else {
            Earlier::HoldWithinSevenDays
        };
        let findings = Findings {
            sets: vec![RatedSet { rating: PainRating::NONE, site: None }],
            stopped: Stopped::No,
            at_rest: None,
            morning: Some(morning(PainRating::NONE, PainRating::NONE)),
            swelling: Some(swelling),
            warning: Warning::None,
            weeks: Weeks::Steady,
            earlier,
            footing: Footing::CanEase,
        };
        let (app, reads_as): (_, &[&str]) =
            match decide(&Limits::of(Preset::PainMonitoring), &findings).unwrap().order {
                Order::KeepAndCount => ("progress_as_appropriate", &["progress_as_appropriate"]),
                Order::KeepAndStay => ("maintain_do_not_advance", &["maintain_do_not_advance"]),
                Order::HoldUntilRested => ("hold", &["hold_treat_review"]),
                // The source notifies at the third check, the app at the second.
                Order::HoldUntilAnswered => ("hold", &["hold_treat_review", "hold_treat_notify"]),
                Order::KeepNotCounted | Order::Ease => ("neither", &[]),
            };
        check(&row, app, reads_as.contains(&row.expected.as_str().unwrap()));
    }
}

// How fast, and how much at once.

/// Step-ups within the first seven days of a client for whom everything goes well.
fn step_ups_in_seven_days() -> u16 {
    let mut exercise = heel_drop();
    exercise.ladder = ladder(9, 1, 9);
    let mut story = Story::of(&routine(1, &climbing_after(1), &[exercise]));
    let lowest = story.stands().rung.get();
    for days in 0..7 {
        let day = first(Mon) + Days::new(days);
        story.train(day, &[0]);
        story.morning(day + Days::new(1), 0);
    }
    story.stands().rung.get() - lowest
}

#[test]
fn the_app_climbs_more_slowly_than_the_running_ladders() {
    let steps = step_ups_in_seven_days();
    let app = format!("{steps} in 7 days");
    let ladder_a = row("ladder-a-rules");
    check(&ladder_a, &app, ladder_a.expected["max_levels_per_7_days"] == steps);
    let ladder_b = row("ladder-b-rules");
    check(&ladder_b, &app, ladder_b.expected["max_phases_per_week"] == steps);
    let three_levels = row("ladder-a-bad");
    check(&three_levels, &app, steps < 3);
}

#[test]
fn one_thing_changes_at_a_time() {
    let mut story = Story::with(&climbing_after(1));
    let before = story.today(first(Mon));
    story.train(first(Mon), &[0]);
    story.morning(first(Tue), 0);
    let after = story.today(first(Tue));
    let rungs = after.foothold.rung.get() - before.foothold.rung.get();
    let row = row("tele-one-change");
    check(&row, &rungs.to_string(), row.expected == rungs && after.dose == before.dose);
}

#[test]
fn sets_cut_short_move_nothing() {
    for row in rows("tele-regress") {
        let sessions = row.inputs["sessions_below_dose_in_a_row"].as_u64().unwrap();
        let mut story = Story::with(&limits());
        for day in (0..sessions).map(|days| first(Mon) + Days::new(days)) {
            story.session(at(day, "18:00"));
            let session = story.events().last().unwrap().id;
            let set = SetRef { session, exercise: id("heel-drop"), number: 1 };
            let rung = story.stands().rung;
            let (reps, work_secs, ending) = (4, 16, Ending::Short);
            let ended = Fact::SetEnded { set: set.clone(), rung, reps, work_secs, ending };
            story.note(at(day, "18:02"), ended);
            let rated = Fact::SetRated { set, rating: PainRating::NONE, site: None };
            story.note(at(day, "18:03"), rated);
            story.morning(day + Days::new(1), 0);
        }
        let unchanged = story.stands() == on_rung(3);
        assert!(unchanged);
        let agrees = (row.expected == "no change") == unchanged;
        assert_eq!(agrees, row.id != DIFFERS_IN_A_STORY, "{}", row.id);
    }
}

// How much a morning must rise.

#[test]
fn a_rise_of_one_point_is_inside_the_error_of_measurement_and_a_rise_of_two_is_not() {
    for row in rows("mdc-") {
        let sem = row.inputs["sem"].as_f64().unwrap();
        let computed = 1.96 * f64::sqrt(2.0) * sem;
        assert!((computed - row.expected["computed"].as_f64().unwrap()).abs() < 1e-8, "{}", row.id);
        let printed = row.expected["printed"].as_f64().unwrap();
        for half_points in 1..=20 {
            let rise = HalfPoints(half_points);
            if Settling::of(rise) == Settling::UpClearly {
                assert!(printed < rise.points(), "{}: {rise:?}", row.id);
            }
        }
        assert!(1.0 < printed);
    }
    assert_eq!(Settling::of(HalfPoints(2)), Settling::UpALittle);
}

#[test]
fn a_rise_as_large_as_an_important_fall_is_up_clearly() {
    for row in rows("mcid-") {
        let change = HalfPoints::from(whole(&row.inputs["before"]))
            .above(whole(&row.inputs["after"]).into());
        let clearly = Settling::of(change) == Settling::UpClearly;
        assert_eq!(row.expected["points"], clearly, "{}: {}", row.id, row.source);
    }
}

#[test]
fn the_published_important_changes_lie_on_both_sides_of_two_points() {
    let points: BTreeMap<_, _> =
        rows("mid-nprs-").into_iter().map(|row| (row.id, row.expected.as_f64().unwrap())).collect();
    let clearly = (1..=20).map(HalfPoints).find(|rise| Settling::of(*rise) == Settling::UpClearly);
    let clearly = clearly.unwrap().points();
    assert!(points["mid-nprs-pfp"] < clearly && points["mid-nprs-small"] < clearly);
    assert!(clearly < points["mid-nprs-large"]);
}

#[test]
fn the_median_is_that_of_the_reference() {
    let of_ratings = |row: &Row| row.id != "stat-median-m7_float";
    for row in rows("stat-median-").into_iter().filter(of_ratings) {
        let ratings: Vec<_> = row.inputs["values"].as_array().unwrap().iter().map(whole).collect();
        let app = median(&ratings).unwrap().points();
        assert_eq!(row.expected["median"], app, "{}", row.id);
    }
}

// Dose arithmetic.

fn secs(value: &Value) -> Option<Duration> {
    value.as_f64().map(Duration::from_secs_f64)
}

fn phase(action: Action, secs: i64) -> Phase {
    Phase::of(action, PhaseSecs::new(secs).unwrap())
}

/// A dose of so many sets and reps, each rep one phase of that many seconds.
fn dose(sets: &Value, reps: &Value, rep_secs: i64, rest: &Value) -> Dose {
    Dose {
        sets: Sets::new(sets.as_i64().unwrap()).unwrap(),
        reps: Reps::new(reps.as_i64().unwrap()).unwrap(),
        tempo: Tempo::new(vec![phase(Action::Hold, rep_secs)]).unwrap(),
        rest_secs: RestSecs::new(rest.as_i64().unwrap_or(0)).unwrap(),
        ..three_sets_of_ten()
    }
}

#[test]
fn time_under_tension_rests_and_reps_are_those_of_the_worked_protocols() {
    for row in rows("dose-") {
        let Some(rep_secs) = row.inputs["sec_per_rep_or_hold"].as_i64() else { continue };
        let inputs = &row.inputs;
        assert_eq!(inputs["sides"], 1, "{}", row.id);
        let dose = dose(&inputs["sets"], &inputs["reps"], rep_secs, &inputs["rest_s"]);
        let expected = &row.expected;
        assert_eq!(Some(dose.time_under_tension()), secs(&expected["tut_s"]), "{}", row.id);
        assert_eq!(expected["reps_total"], dose.total_reps(), "{}", row.id);
        if let Some(rest) = secs(&expected["rest_total_s"]) {
            assert_eq!(dose.rest_time(), rest, "{}", row.id);
            assert_eq!(Some(dose.exercise_time()), secs(&expected["time_s"]), "{}", row.id);
        }
        let worked: Duration = (1..=dose.rounds())
            .flat_map(|number| {
                Timeline::of_set(&dose, number, Duration::ZERO, 0, Pace::AS_PRESCRIBED)
                    .segments()
                    .to_vec()
            })
            .filter(|segment| matches!(segment.beat, Beat::Work { .. }))
            .map(|segment| segment.length)
            .sum();
        assert_eq!(worked, dose.time_under_tension(), "{}: laid out in time", row.id);
    }
}

#[test]
fn twelve_weeks_of_heavy_slow_resistance_add_up() {
    let row = row("dose-hsr-total");
    let weekly: Vec<u32> = row.inputs["rm_by_week"]
        .as_array()
        .unwrap()
        .iter()
        .map(|reps| 3 * 3 * dose(&json!(4), reps, 6, &json!(120)).total_reps())
        .collect();
    assert_eq!(row.expected["per_week"], json!(weekly));
    assert_eq!(row.expected["total"], weekly.iter().sum::<u32>());
}

#[test]
fn eccentric_programmes_add_up() {
    for (id, exercises) in [("dose-ecc-alf", 2), ("dose-ecc-decline", 1)] {
        let row = row(id);
        let one = Dose {
            times_a_day: TimesADay::new(row.inputs["per_day"].as_i64().unwrap()).unwrap(),
            ..dose(&row.inputs["sets"], &row.inputs["reps"], 3, &json!(60))
        };
        let day = exercises * one.total_reps() * u32::from(one.times_a_day.get());
        let weeks = u32::try_from(row.inputs["weeks"].as_u64().unwrap()).unwrap();
        assert_eq!(row.expected["day"], day, "{id}");
        assert_eq!(row.expected["total"], day * 7 * weeks, "{id}");
        if let Some(week) = row.expected.get("week") {
            assert_eq!(*week, day * 7, "{id}");
        }
    }
}

#[test]
fn a_home_programme_lies_between_its_weekly_bounds() {
    let row = row("dose-tele");
    for end in [0, 1] {
        let one = dose(&row.inputs["sets"][end], &row.inputs["reps"][end], 4, &json!(120));
        let times =
            row.inputs["exercises"][end].as_u64().unwrap() * row.inputs["days"].as_u64().unwrap();
        assert_eq!(row.expected["sets"][end], times * u64::from(one.sets.get()));
        assert_eq!(row.expected["reps"][end], times * u64::from(one.total_reps()));
    }
}

#[test]
fn a_published_progression_multiplies_out() {
    for row in rows("case-a-") {
        for (when, volume, rests) in [
            ("before", "volume_before", "rest_total_before_s"),
            ("after", "volume_after", "rest_total_after_s"),
        ] {
            let inputs = &row.inputs[when];
            let pounds = inputs["load_lb"].as_f64();
            let load = pounds.map(|pounds| Load::Weight {
                amount: Amount::new(pounds).unwrap(),
                unit: WeightUnit::Lb,
            });
            let dose =
                Dose { load, ..dose(&inputs["sets"], &inputs["reps"], 4, &inputs["rest_s"]) };
            let factor = match dose.load {
                Some(Load::Weight { amount, .. }) => amount.get(),
                Some(Load::Described(_)) | None => 1.0,
            };
            let app = f64::from(dose.total_reps()) * factor;
            assert_eq!(row.expected[volume].as_f64(), Some(app), "{} {when}", row.id);
            assert_eq!(row.expected[rests], dose.rest_time().as_secs(), "{} {when}", row.id);
        }
    }
}

/// Digits in the order of Wilk 2018: lowering, pause, lifting, pause; nought is no phase at all.
fn tempo(digits: &str, x: u32) -> Tempo {
    let actions = [Action::Lower, Action::Hold, Action::Lift, Action::Relax];
    let secs = digits
        .chars()
        .filter(|digit| *digit != '/')
        .map(|digit| if digit == 'X' { x } else { digit.to_digit(10).unwrap() });
    let phases = actions.into_iter().zip(secs).filter(|(_, secs)| 0 < *secs);
    Tempo::new(phases.map(|(action, secs)| phase(action, secs.into())).collect()).unwrap()
}

#[test]
fn the_time_of_a_rep_is_the_sum_of_its_named_phases() {
    for row in rows("tempo-").into_iter().filter(|row| !row.id.starts_with("tempo-x")) {
        let tempo = tempo(row.inputs["tempo"].as_str().unwrap(), 0);
        assert_eq!(row.expected, tempo.rep_time().as_secs(), "{}", row.id);
    }
    for row in rows("tempo-x-") {
        let x = u32::try_from(row.inputs["X"].as_u64().unwrap()).unwrap();
        let dose = Dose {
            sets: Sets::LEAST,
            reps: Reps::new(row.inputs["reps"].as_i64().unwrap()).unwrap(),
            tempo: tempo(row.inputs["tempo"].as_str().unwrap(), x),
            ..three_sets_of_ten()
        };
        assert_eq!(row.expected, dose.time_under_tension().as_secs(), "{}", row.id);
    }
}
