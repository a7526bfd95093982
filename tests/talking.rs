//! Talking points, each by a log written out by hand: what gives one, what just does not, and in what order.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use carryover::domain::dose::Days as OnDays;
use carryover::domain::event::{Ending, Fact, SetRef};
use carryover::domain::pain::HalfPoints;
use carryover::domain::review::Review;
use carryover::domain::talking::{
    BELOW_DOSE_IN_A_ROW, Ratings, Source, TalkingPoint, What, talking_points,
};
use carryover::domain::trend::{
    Amount, Heading, MEASUREMENT_ERROR, Trend, is_noticed_in_points, is_noticed_in_share,
};
use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
use chrono::{Days, NaiveDate};
use serde_json::Value;
use support::*;

fn points_of(story: &Story) -> Vec<TalkingPoint> {
    let history = story.history();
    let from = history.accepted[0].at.date_naive();
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
    let session = story.history().sessions.last().unwrap().id;
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
