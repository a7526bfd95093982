//! Talking points, each by a log written out by hand: what gives one, what just does not, and in what order.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::log::event::{Ending, Fact, SetRef};
use carryover::domain::log::rule::Swelling;
use carryover::domain::pain::HalfPoints;
use carryover::domain::plan::dose::Days as OnDays;
use carryover::domain::plan::limits::Limits;
use carryover::domain::visit::review::Review;
use carryover::domain::visit::talking::{
    BELOW_DOSE_IN_A_ROW, Ratings, Source, TalkingPoint, Urgency, What, talking_points,
};
use carryover::domain::visit::trend::{
    Amount, Heading, MEASUREMENT_ERROR, Trend, is_noticed_in_points, is_noticed_in_share,
};
use carryover::ui::text::talking::sentence;
use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
use chrono::{Days, NaiveDate};
use serde_json::Value;
use support::*;

fn points_of(story: &Story) -> Vec<TalkingPoint> {
    let history = story.history();
    let from = history.accepted()[0].at.date_naive();
    talking_points(&history, &Review::of(&history, from).unwrap())
}

fn whats(story: &Story) -> Vec<What> {
    points_of(story).into_iter().map(|point| point.what).collect()
}

/// Trains on so many days in a row from the first Monday, and answers each next morning.
fn train_days(story: &mut Story, days: &[(i64, i64)]) {
    for (number, (during, morning)) in (0..).zip(days) {
        let day = first(Mon) + Days::new(number);
        story.train(day, &[*during; 3]);
        story.morning(day + Days::new(1), *morning);
    }
}

/// Ends the log with a note, so that the day before is over.
fn note(story: &mut Story, day: NaiveDate) {
    story.note(at(day, "12:00"), Fact::Note { text: words("all well"), session: None });
}

/// A session of the heel drop in which so many sets were whole, the next one cut short.
fn cut_short(story: &mut Story, day: NaiveDate, whole: usize) {
    story.session(at(day, "18:00")).sets(&vec![1; whole]);
    let session = story.history().sessions().last().unwrap().id;
    let number = u16::try_from(whole + 1).unwrap();
    let set = SetRef { session, exercise: id("heel-drop"), number };
    let (rung, ending) = (story.stands().rung, Ending::Short);
    story.note(at(day, "18:30"), Fact::SetEnded { set, rung, reps: 4, work_secs: 16, ending });
    story.note(at(day, "18:31"), Fact::SessionEnded { session });
}

fn days_of(what: &What) -> Vec<NaiveDate> {
    let What::BelowDose { days } = what else { panic!("{what:?}") };
    days.clone()
}

fn holds(story: &Story) -> Vec<What> {
    whats(story).into_iter().filter(|what| matches!(what, What::HoldsInAWeek { .. })).collect()
}

fn below(story: &Story) -> Vec<What> {
    whats(story).into_iter().filter(|what| matches!(what, What::BelowDose { .. })).collect()
}

#[test]
fn a_quiet_week_gives_nothing_to_talk_about() {
    let mut story = Story::with(&limits());
    train_days(&mut story, &[(1, 0), (2, 0)]);
    assert_eq!(points_of(&story), []);
}

/// docs/clinical-rule.md: training days less than seven days apart.
#[test]
fn two_holds_in_a_week_are_talked_about_and_two_a_week_apart_are_not() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    story.morning(first(Tue), 1);
    assert_eq!(holds(&story), [], "one Hold");
    story.morning(first(Wed), 0);
    story.morning(first(Thu), 0);
    let mut late = story.clone();
    story.train(first(Sun), &[6]);
    story.morning(second(Mon), 1);
    assert_eq!(holds(&story), [What::HoldsInAWeek { days: vec![first(Mon), first(Sun)] }]);
    late.train(second(Mon), &[6]);
    late.morning(second(Tue), 1);
    assert_eq!(holds(&late), [], "seven days apart");
}

fn only(story: &Story, is_it: fn(&What) -> bool) -> Vec<What> {
    whats(story).into_iter().filter(is_it).collect()
}

/// docs/clinical-rule.md: an Ease with nothing left to ease is a Hold.
#[test]
fn a_hold_with_nothing_easier_left_is_talked_about_and_an_ease_is_not() {
    let nine = |sets: i64| {
        let mut drop = exercise("heel-drop", ladder(1, 1, 1));
        drop.dose.sets = sets.try_into().unwrap();
        let mut story = Story::of(&routine(1, &limits(), &[drop]));
        story.train(first(Mon), &[9]);
        story.morning(first(Tue), 0);
        whats(&story)
    };
    assert_eq!(nine(1), [What::NothingEasier { days: vec![first(Mon)] }]);
    assert_eq!(nine(2), []);
}

/// docs/clinical-rule.md: two mornings of a week at least, a point or more above the anchor.
#[test]
fn mornings_a_point_above_where_the_routine_began_are_talked_about_and_half_a_point_is_not() {
    let above = |mornings: &[i64]| {
        let mut story = Story::with(&Limits { usual_morning: None, ..limits() });
        story.usual_morning(at(first(Mon), "06:10"), 1);
        for (day, points) in (1..).zip(mornings) {
            story.morning(first(Mon) + Days::new(day), *points);
        }
        only(&story, |what| matches!(what, What::AboveTheStart { .. }))
    };
    let point = What::AboveTheStart { this_week: HalfPoints(4), anchor: HalfPoints(2) };
    assert_eq!(
        sentence(&point),
        "mornings are at 2 this week, and were at 1 when the routine began."
    );
    assert_eq!(above(&[2, 2]), [point]);
    assert_eq!(above(&[1, 2]), []);
    assert_eq!(above(&[5]), [], "one morning says nothing");
}

/// docs/clinical-rule.md: two days or more within seven, in the morning or at rest before a session.
#[test]
fn two_high_mornings_within_seven_days_are_talked_about_whatever_is_usual() {
    let high = |mornings: &[(NaiveDate, i64)], at_rest: Option<i64>| {
        let mut story = Story::with(&Limits { usual_morning: Some(rating(8)), ..limits() });
        for (day, points) in mornings {
            story.morning(*day, *points);
        }
        let evening = at(third(Mon), "18:00");
        story.session_of(&id("heel-drop"), evening, at_rest.map(rating)).sets(&[1]);
        only(&story, |what| matches!(what, What::HighMornings { .. }))
    };
    let days = vec![first(Tue), first(Thu)];
    let both = [(first(Tue), 6), (first(Thu), 7)];
    assert_eq!(high(&both, None), [What::HighMornings { days }], "weeks ago, in the period");
    assert_eq!(high(&[(first(Tue), 6), (first(Thu), 5)], None), []);
    assert_eq!(high(&[(first(Tue), 6), (second(Tue), 6)], None), [], "seven days apart");
    let days = vec![second(Wed), third(Mon)];
    assert_eq!(high(&[(second(Wed), 6)], Some(6)), [What::HighMornings { days }]);
    assert_eq!(high(&[(second(Wed), 6)], Some(5)), []);
}

/// docs/clinical-rule.md: the third morning of a little more within seven days. It is one joint, so it is
/// said once.
#[test]
fn swelling_that_added_up_is_talked_about_once_for_all_exercises() {
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop(), chair_rise()]));
    for day in [Tue, Thu] {
        story.swollen_morning(first(day), 0, Swelling::ALittleMore);
    }
    let added_up = |story: &Story| only(story, |what| matches!(what, What::SwellingAddedUp { .. }));
    assert_eq!(added_up(&story), []);
    story.swollen_morning(second(Mon), 0, Swelling::ALittleMore);
    assert_eq!(added_up(&story), [What::SwellingAddedUp { on: second(Mon) }]);
    let point = points_of(&story).into_iter().find(|point| point.exercise.is_none()).unwrap();
    assert_eq!(point.id, "swelling-added-up/routine/2026-06-08");
}

/// docs/clinical-rule.md: the last two training days, once the second morning is over.
#[test]
fn middle_pain_on_two_days_with_no_answer_is_talked_about() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[4]);
    story.train(first(Wed), &[4]);
    let unanswered =
        |story: &Story| only(story, |what| matches!(what, What::MiddleUnanswered { .. }));
    note(&mut story, first(Thu));
    assert_eq!(unanswered(&story), [], "it can still be answered");
    let mut answered = story.clone();
    note(&mut story, first(Fri));
    assert_eq!(unanswered(&story), [What::MiddleUnanswered { days: [first(Mon), first(Wed)] }]);
    answered.morning(first(Thu), 0);
    note(&mut answered, first(Fri));
    assert_eq!(unanswered(&answered), []);
}

/// The order of the table in docs/clinical-rule.md, section 11.
#[test]
fn what_may_harm_is_said_in_the_order_of_the_document() {
    let mut drop = exercise("heel-drop", ladder(1, 1, 1));
    drop.dose.sets = 1.try_into().unwrap();
    let usual = Limits { usual_morning: Some(rating(7)), ..limits() };
    let mut story = Story::of(&routine(1, &usual, &[drop]));
    story.usual_morning(at(first(Mon), "06:10"), 2);
    story.train(first(Mon), &[9]);
    for day in [Tue, Wed, Thu] {
        story.swollen_morning(first(day), 7, Swelling::ALittleMore);
    }
    story.train(first(Thu), &[9]);
    story.morning(first(Fri), 7);
    let points = points_of(&story);
    let names: Vec<&str> = points.iter().map(|point| point.id.split('/').next().unwrap()).collect();
    let expected = [
        "nothing-easier",
        "holds-in-a-week",
        "above-the-start",
        "high-mornings",
        "swelling-added-up",
    ];
    assert_eq!(names, expected);
    assert!(points.iter().all(|point| point.source() == Source::Rule));
    assert!(points.iter().all(|point| point.what.urgency() == Urgency::MayHarm));
}

/// Silbernagel 2007, from memory: pain must not rise from week to week. A point or more counts here.
#[test]
fn a_morning_median_up_by_a_point_is_talked_about_and_half_a_point_is_not() {
    let weeks = |this: [i64; 2]| {
        let mut story = Story::with(&limits());
        for (day, points) in
            [(first(Tue), 1), (first(Wed), 1), (second(Tue), this[0]), (second(Wed), this[1])]
        {
            story.morning(day, points);
        }
        whats(&story)
    };
    assert_eq!(weeks([1, 2]), []);
    let rising =
        |this| What::MorningsRising { this_week: HalfPoints(this), last_week: HalfPoints(2) };
    assert_eq!(weeks([2, 2]), [rising(4)], "said once, not again as a change");
    assert_eq!(weeks([4, 4]), [rising(8)]);
}

/// PMC7783996, table 2, in `check_values.json`: simplify at three sessions in a row, not at two.
#[test]
fn three_sessions_in_a_row_below_the_dose_are_talked_about() {
    let text = include_str!("fixtures/check_values.json");
    let rows: Vec<Value> = serde_json::from_str(text).unwrap();
    for (id, simplify) in [("tele-regress", true), ("tele-regress-2", false)] {
        let row = rows.iter().find(|row| row["id"] == id).unwrap();
        assert_eq!(row["expected"] == "simplify", simplify);
        let sessions = row["inputs"]["sessions_below_dose_in_a_row"].as_u64().unwrap();
        let mut story = Story::with(&limits());
        story.train(first(Mon), &[1, 1, 1]);
        let days: Vec<NaiveDate> =
            (1..=sessions).map(|days| first(Mon) + Days::new(days)).collect();
        for day in &days {
            cut_short(&mut story, *day, 2);
        }
        let found: Vec<Vec<NaiveDate>> = below(&story).iter().map(days_of).collect();
        assert_eq!(found, if simplify { vec![days] } else { Vec::new() }, "{id}");
        assert_eq!(simplify, BELOW_DOSE_IN_A_ROW <= usize::try_from(sessions).unwrap());
    }
}

#[test]
fn a_whole_session_ends_a_row_below_the_dose_and_one_under_way_neither_ends_nor_adds() {
    let mut story = Story::with(&limits());
    for day in [first(Mon), first(Tue), first(Wed)] {
        cut_short(&mut story, day, 1);
    }
    story.session(at(first(Thu), "18:00")).sets(&[1]);
    assert_eq!(days_of(&below(&story)[0]), [first(Mon), first(Tue), first(Wed)], "under way");
    let mut whole = story.clone();
    whole.train(first(Fri), &[1, 1, 1]);
    note(&mut whole, first(Sat));
    assert_eq!(below(&whole), []);
    note(&mut story, first(Fri));
    assert_eq!(days_of(&below(&story)[0]).len(), 4, "broken off, and over");
}

#[test]
fn a_session_on_a_rung_with_fewer_sets_is_held_to_those() {
    let mut story = Story::of(&routine(1, &limits(), &[exercise("heel-drop", ladder(3, 1, 1))]));
    train_days(&mut story, &[(3, 1)]);
    assert_eq!(story.stands(), fewer_sets(1));
    for day in [first(Tue), first(Wed), first(Thu)] {
        story.train(day, &[1, 1]);
    }
    note(&mut story, first(Fri));
    assert_eq!(below(&story), []);
}

#[test]
fn readiness_for_the_next_rung_is_talked_about_with_its_days() {
    let mut story = Story::with(&limits());
    train_days(&mut story, &[(1, 0), (2, 0), (1, 0)]);
    assert_eq!(whats(&story), [What::ReadyForNextRung { at: on_rung(3), days_in_a_row: 3 }]);
}

#[test]
fn a_prescribed_weekday_that_never_saw_training_is_named() {
    let mut drop = heel_drop();
    drop.dose.days = OnDays::on(&[Mon, Thu, Sat]);
    let mut story = Story::of(&routine(1, &limits(), &[drop]));
    for day in [first(Mon), first(Sat), second(Mon), second(Sat)] {
        story.train(day, &[1, 2, 1]);
        story.morning(day + Days::new(1), 0);
    }
    let never = |story: &Story| {
        whats(story).into_iter().find_map(|what| {
            let What::NeverOn { weekdays } = what else { return None };
            Some(weekdays)
        })
    };
    assert_eq!(never(&story), Some(vec![(Thu, 2)]));
    story.train(third(Thu), &[1]);
    assert_eq!(never(&story), None, "once is not never");
}

#[test]
fn a_weekday_that_came_once_or_on_which_the_rule_said_rest_is_not_named() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[6]);
    story.morning(first(Tue), 1);
    note(&mut story, second(Mon));
    assert_eq!(whats(&story), [], "left out by the rule until settled, then one chance each");
}

#[test]
fn ratings_that_are_always_nought_are_a_question() {
    let mut story = Story::with(&limits());
    train_days(&mut story, &[(0, 0), (0, 0)]);
    assert!(!whats(&story).iter().any(|what| matches!(what, What::AlwaysNought { .. })));
    story.train(first(Wed), &[0, 0, 0]);
    assert!(whats(&story).contains(&What::AlwaysNought { ratings: 9, days: 3 }));
    story.morning(first(Thu), 1);
    assert!(!whats(&story).iter().any(|what| matches!(what, What::AlwaysNought { .. })));
}

#[test]
fn fewer_than_half_of_the_mornings_answered_is_talked_about_and_half_is_not() {
    let mut story = Story::with(&limits());
    for day in [first(Mon), first(Tue), first(Wed), first(Thu)] {
        story.train(day, &[1, 2, 1]);
    }
    story.morning(first(Fri), 0);
    assert_eq!(whats(&story), [What::MorningsUnanswered { answered: 1, owed: 4 }]);
    let mut half = Story::with(&limits());
    for day in [first(Mon), first(Tue), first(Wed), first(Thu)] {
        half.train(day, &[1, 2, 1]);
        if [first(Mon), first(Thu)].contains(&day) {
            half.morning(day + Days::new(1), 0);
        }
    }
    assert_eq!(whats(&half), [], "2 of 4");
    let mut few = Story::with(&limits());
    few.train(first(Mon), &[1, 2, 1]);
    few.train(first(Tue), &[1, 2, 1]);
    note(&mut few, first(Wed));
    assert_eq!(whats(&few), [], "0 of 2: too few to say anything");
}

/// Farrar 2001: 2 points or 30 %. Alghadir 2018: a change of up to 1.33 points may be chance.
#[test]
fn a_change_worth_noticing_is_told_from_one_within_the_error_of_measurement() {
    let weeks = |last: i64, this: i64| {
        let mut story = Story::with(&limits());
        for (day, points) in
            [(first(Mon), last), (first(Tue), last), (second(Mon), this), (second(Tue), this)]
        {
            story.train(day, &[points]);
        }
        whats(&story).into_iter().find_map(|what| {
            let What::Changed { ratings: Ratings::During, amount, .. } = what else { return None };
            Some(amount)
        })
    };
    assert_eq!(weeks(5, 3), Some(Amount::WorthNoticing));
    assert_eq!(weeks(3, 5), Some(Amount::WorthNoticing));
    assert_eq!(weeks(3, 2), Some(Amount::WithinMeasurementError));
    assert_eq!(weeks(3, 3), None);
}

/// The pairs derived from Farrar 2001 in `check_values.json`.
#[test]
fn two_points_or_thirty_percent_are_worth_noticing() {
    let text = include_str!("fixtures/check_values.json");
    let rows: Vec<Value> = serde_json::from_str(text).unwrap();
    let rows: Vec<&Value> =
        rows.iter().filter(|row| row["id"].as_str().unwrap().starts_with("mcid-")).collect();
    assert_eq!(rows.len(), 5);
    for row in rows {
        let before = row["inputs"]["before"].as_f64().unwrap();
        let after = row["inputs"]["after"].as_f64().unwrap();
        assert_eq!(row["expected"]["points"], is_noticed_in_points(before, after), "{row}");
        assert_eq!(
            row["expected"]["percent"].as_bool(),
            is_noticed_in_share(before, after),
            "{row}"
        );
        let is_real = MEASUREMENT_ERROR < (after - before).abs();
        let noticed =
            is_noticed_in_points(before, after) || is_noticed_in_share(before, after) == Some(true);
        let amount = Amount::of_change(before, after);
        assert_eq!(amount == Amount::WorthNoticing, is_real && noticed, "{row}");
    }
    assert_eq!(Amount::of_change(8.0, 6.5), Amount::ALittle);
}

#[test]
fn a_trend_says_no_more_than_its_days_bear() {
    let series = |points: &[i64]| -> Vec<(NaiveDate, carryover::domain::pain::PainRating)> {
        (0..)
            .zip(points)
            .map(|(day, points)| (first(Mon) + Days::new(day), rating(*points)))
            .collect()
    };
    let heading = |points: &[i64]| Trend::of(&series(points)).map(|trend| trend.heading);
    assert_eq!(heading(&[]), None);
    assert_eq!(heading(&[4]), None);
    assert_eq!(heading(&[8, 6, 4, 2]), Some(Heading::TooFewDays));
    assert_eq!(heading(&[8, 6, 4, 2, 0]), Some(Heading::Down(Amount::WorthNoticing)));
    assert_eq!(heading(&[2, 3, 4, 6, 8]), Some(Heading::Up(Amount::WorthNoticing)));
    assert_eq!(heading(&[3, 2, 3, 2, 3, 3]), Some(Heading::NoDirection));
    assert_eq!(heading(&[3; 12]), Some(Heading::Steady));
    let slow = [[8; 5], [7; 5], [7; 5], [6; 5]].concat();
    assert_eq!(heading(&slow), Some(Heading::Down(Amount::ALittle)), "7.975 to 6.025");
    let trend = Trend::of(&series(&[8, 6, 4, 2, 0])).unwrap();
    assert!((trend.a_week() + 14.0).abs() < 1e-12);
}

#[test]
fn points_come_by_weight_and_keep_their_ids() {
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop(), chair_rise()]));
    for day in [first(Mon), first(Tue), first(Wed)] {
        story.train_other("chair-rise", day, &[1, 1, 1]);
        story.morning(day + Days::new(1), 0);
    }
    story.train(second(Mon), &[6]);
    story.morning(second(Tue), 1);
    story.morning(second(Wed), 0);
    story.morning(second(Thu), 0);
    story.train(second(Fri), &[7]);
    story.morning(second(Sat), 2);
    let points = points_of(&story);
    let ids: Vec<&str> = points.iter().map(|point| point.id.as_str()).collect();
    assert_eq!(
        ids,
        [
            "holds-in-a-week/heel-drop/2026-06-12",
            "ready-for-next-rung/chair-rise/rung-2",
            "never-on/routine/thu",
        ]
    );
    assert_eq!(points[0].source(), Source::Rule);
    assert_eq!(points, points_of(&story));
}
