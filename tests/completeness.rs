//! Which rows of the published reporting template a routine answers. The count of items and rows is
//! held against row `cert-rows` of `tests/fixtures/check_values.json` (Slade 2016, read).

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeSet;

use carryover::domain::plan::completeness::{Answer, Elsewhere, How, Missing, Row, read};
use carryover::domain::plan::limits::MayStepUp;
use carryover::domain::plan::routine::Routine;
use serde_json::{Value, json};
use support::{chair_rise, heel_drop, ladder, limits, routine, words};

#[test]
fn the_template_has_as_many_items_and_rows_as_published() {
    let rows: Vec<Value> =
        serde_json::from_str(include_str!("fixtures/check_values.json")).unwrap();
    let published = rows.into_iter().find(|row| row["id"] == "cert-rows").unwrap();
    let items: BTreeSet<&str> =
        Row::ALL.iter().map(|row| row.number().trim_end_matches(['a', 'b'])).collect();
    let numbers: BTreeSet<&str> = Row::ALL.iter().map(|row| row.number()).collect();
    assert_eq!(published["expected"], json!({"items": items.len(), "rows": numbers.len()}));
    assert_eq!(
        items,
        (1..=16)
            .map(|item| item.to_string())
            .collect::<Vec<_>>()
            .iter()
            .map(String::as_str)
            .collect()
    );
    assert!(Row::ALL.is_sorted());
}

#[test]
fn every_row_is_read_once_and_in_order() {
    let routine = routine(1, &limits(), &[heel_drop()]);
    assert_eq!(read(&routine).map(|(row, _)| row), Row::ALL);
}

#[test]
fn a_bare_routine_says_what_to_add() {
    let mut bare = heel_drop();
    bare.steps.clear();
    bare.ladder = ladder(1, 1, 1);
    let mut limits = limits();
    limits.usual_morning = None;
    let routine = routine(1, &limits, &[bare, chair_rise()]);
    let (heel, both) = (vec![words("heel-drop")], vec![words("heel-drop"), words("chair-rise")]);
    assert_eq!(answer(&routine, Row::Equipment), missing(Missing::Equipment { exercises: both }));
    assert_eq!(
        answer(&routine, Row::Progression),
        missing(Missing::Rungs { exercises: heel.clone() })
    );
    assert_eq!(answer(&routine, Row::EachExercise), missing(Missing::Steps { exercises: heel }));
    assert_eq!(answer(&routine, Row::Tailored), missing(Missing::Client));
    assert_eq!(answer(&routine, Row::HowTailored), missing(Missing::Settings));
}

#[test]
fn a_full_routine_answers_all_that_a_routine_can() {
    let routine = shipped(include_str!("../public/routines/demo.json"));
    let answers = read(&routine);
    assert!(!answers.iter().any(|(_, answer)| matches!(answer, Answer::NotAnswered(_))));
    let answered = answers.iter().filter(|(_, answer)| matches!(answer, Answer::Answered(_)));
    assert_eq!(answered.count(), 9);
    let sites = routine.limits.sites.len();
    assert_eq!(
        answer(&routine, Row::HowTailored),
        Answer::Answered(How::Settings { usual_morning: true, sites })
    );
    let rule = How::StepUpRule { may_step_up: MayStepUp::ToTheCeiling, after_days: 3 };
    assert_eq!(answer(&routine, Row::ProgressionRule), Answer::Answered(rule));
}

#[test]
fn rules_that_differ_between_exercises_are_not_told_as_one() {
    let mut own = chair_rise();
    own.limits = Some(support::climbing_after(5));
    let routine = routine(1, &limits(), &[heel_drop(), own]);
    assert_eq!(answer(&routine, Row::ProgressionRule), Answer::Answered(How::StepUpRules));
}

/// What the client did, felt and was told is in the log, whatever the routine holds.
#[test]
fn what_happened_is_never_answered_by_the_plan() {
    let routine = shipped(include_str!("../public/routines/demo.json"));
    for row in [Row::Adherence, Row::Harms, Row::FidelityChecked, Row::AsPlanned] {
        let answer = answer(&routine, row);
        let in_the_log = matches!(answer, Answer::OutsideTheRoutine(Elsewhere::LogAndReview(_)));
        assert!(in_the_log, "{row:?}");
    }
}

fn answer(routine: &Routine, row: Row) -> Answer {
    read(routine).into_iter().find(|(read, _)| *read == row).unwrap().1
}

const fn missing(missing: Missing) -> Answer {
    Answer::NotAnswered(missing)
}

fn shipped(text: &str) -> Routine {
    let mut file: Value = serde_json::from_str(text).unwrap();
    serde_json::from_value(file["routine"].take()).unwrap()
}
