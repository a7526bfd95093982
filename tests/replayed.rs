//! A log replayed under other limits: under its own it says what was told, under harsher ones never anything
//! milder, and after the first difference it claims no more than it knows.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeSet;

use carryover::domain::log::history::History;
use carryover::domain::log::rule::Order;
use carryover::domain::plan::limits::{
    Cell, Light, Limits, Preset, RestDays, Settling, Site, SiteCounts, Table, Zone,
};
use carryover::domain::plan::routine::Exercise;
use carryover::domain::tried::replay::{Day, Replay, Why, Would, replay};
use chrono::NaiveDate;
use chrono::Weekday::{Fri, Mon, Thu, Tue, Wed};
use proptest::prelude::*;
use proptest::sample::select;
use support::random_logs::random_log;
use support::*;

fn own(_exercise: &Exercise, limits: &Limits) -> Limits {
    limits.clone()
}

fn light(day: &Day) -> Light {
    day.would.verdict().order.light()
}

/// How one table is made harsher than another: zones that end earlier, and cells that order the next worse
/// thing, with whatever no accepted table can have milder beside them.
#[derive(Clone, Debug)]
struct Harsher {
    low_less: i64,
    middle_less: i64,
    cells: Vec<(usize, usize)>,
}

impl Harsher {
    fn any() -> impl Strategy<Value = Self> {
        let cells = prop::collection::vec((0_usize..3, 0_usize..4), 0..4);
        (0_i64..3, 0_i64..3, cells).prop_map(|(low_less, middle_less, cells)| Self {
            low_less,
            middle_less,
            cells,
        })
    }

    fn table(&self, than: &Table) -> Table {
        let mut rows =
            Zone::ALL.map(|zone| Settling::ALL.map(|settling| than.cell(zone, settling)));
        for (row, column) in &self.cells {
            let worse = rows[*row][*column] as usize + 1;
            rows[*row][*column] = Cell::ALL[worse.min(3)];
        }
        for row in 0..3 {
            for column in 0..4 {
                let above = if row == 0 { Cell::Counts } else { rows[row - 1][column] };
                let left = if column % 3 == 0 { Cell::Counts } else { rows[row][column - 1] };
                rows[row][column] = rows[row][column].max(above).max(left);
            }
        }
        let low = (i64::from(than.low_max().points()) - self.low_less).max(0);
        let middle = (i64::from(than.middle_max().points()) - self.middle_less).max(low + 1);
        Table::new(rating(low), rating(middle), rows).unwrap()
    }

    fn limits(&self, than: &Limits) -> Limits {
        Limits { table: self.table(&than.table), ..than.clone() }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn under_its_own_rule_a_log_says_what_was_told(number in any::<u64>()) {
        let events = random_log(number);
        let history = History::fold(&events);
        for (id, replay) in replay(&events, own) {
            let course = history.course(&id).unwrap();
            prop_assert_eq!(replay.first, None, "{:?}", id);
            prop_assert_eq!(&replay.was, &replay.would);
            prop_assert_eq!(replay.days.len(), course.judged().len());
            for (day, judged) in replay.days.iter().zip(course.judged()) {
                prop_assert_eq!(&day.was, judged);
                prop_assert_eq!(&day.would, &Would::Told(judged.clone()));
                prop_assert_eq!(day.why(), None);
            }
        }
    }

    #[test]
    fn harsher_limits_never_give_a_milder_light(number in any::<u64>(), harsher in Harsher::any()) {
        let events = random_log(number);
        for (id, replay) in replay(&events, |_, limits| harsher.limits(limits)) {
            for day in &replay.days {
                prop_assert!(day.was.verdict.order.light() <= light(day), "{:?} {:?}", id, day);
            }
            let is_told = |day: &Day| matches!(day.would, Would::Told(_));
            let known = replay.days.iter().take_while(|day| is_told(day)).count();
            prop_assert!(!replay.days[known..].iter().any(is_told), "{:?}", id);
        }
    }

    /// Whatever is changed, nothing differs before the first day that does, and all that is certain of a day
    /// after it is how its own answers read.
    #[test]
    fn nothing_differs_before_the_first_difference(
        number in any::<u64>(),
        preset in select(Preset::ALL.to_vec()),
        rest_days in 0_i64..5,
        keeps_table in any::<bool>(),
    ) {
        let events = random_log(number);
        let other = |_: &Exercise, limits: &Limits| Limits {
            table: if keeps_table { limits.table.clone() } else { preset.table() },
            rest_days: RestDays::new(rest_days).unwrap(),
            ..limits.clone()
        };
        for Replay { days, first, was, would } in replay(&events, other).into_values() {
            for day in days.iter().take_while(|day| first.is_none_or(|first| day.was.day < first)) {
                let Would::Told(told) = &day.would else { panic!("{day:?}") };
                prop_assert_eq!(told.verdict.order, day.was.verdict.order);
                prop_assert_eq!((told.from, told.next), (day.was.from, day.was.next));
                prop_assert_eq!(day.why(), None);
            }
            let until = |days: &BTreeSet<NaiveDate>| {
                days.iter().copied().take_while(|day| first.is_none_or(|first| *day < first)).collect::<Vec<_>>()
            };
            prop_assert_eq!(until(&was.left_out), until(&would.left_out));
        }
    }
}

/// A week with the heel drop: middle pain on Tuesday, a morning up by a point after Wednesday.
fn week() -> Story {
    let mut story = Story::with(&limits());
    for (day, during, next) in [(Mon, 1, 0), (Tue, 3, 0), (Wed, 1, 1), (Thu, 2, 0)] {
        story.train(first(day), &[during]);
        story.morning(first(day).succ_opt().unwrap(), next);
    }
    story.train(first(Fri), &[1]);
    story
}

fn replayed(story: &Story, other: impl Fn(&Limits) -> Limits) -> Replay {
    let mut all = replay(story.events(), |_, limits| other(limits));
    all.remove(&id("heel-drop")).unwrap()
}

fn orders(replay: &Replay) -> Vec<Order> {
    replay.days.iter().map(|day| day.would.verdict().order).collect()
}

#[test]
fn a_zone_that_ends_earlier_names_the_day_and_why() {
    use Order::{Ease, KeepAndCount, KeepAndStay, KeepNotCounted};
    let narrow =
        |limits: &Limits| Limits { table: Preset::NearlyPainFree.table(), ..limits.clone() };
    let replay = replayed(&week(), narrow);
    assert_eq!(orders(&replay), [KeepAndCount, Ease, KeepAndStay, Ease, KeepNotCounted]);
    assert_eq!(replay.first, Some(first(Tue)));
    let whys: Vec<_> = replay.days.iter().map(Day::why).collect();
    let middle = Some(Why::Cell((Zone::Middle, Settling::Settled)));
    let zone = Some(Why::Zone { was: Zone::Low, is: Zone::Middle });
    assert_eq!(whys, [None, middle, None, zone, None]);
    let certain: Vec<bool> =
        replay.days.iter().map(|day| matches!(day.would, Would::Told(_))).collect();
    assert_eq!(certain, [true, true, false, false, false]);
    let Would::Told(tuesday) = &replay.days[1].would else { panic!("{replay:?}") };
    assert_eq!((tuesday.from, tuesday.next), (on_rung(3), on_rung(2)));
}

/// What the client did on the days that would have been left out stands in the log; the days are named.
#[test]
fn a_hold_in_the_place_of_an_ease_names_the_days_left_out() {
    let mut story = Story::with(&limits());
    story.train(first(Mon), &[7]);
    story.morning(first(Tue), 0);
    story.morning(first(Wed), 0);
    story.morning(first(Thu), 0);
    story.train(first(Fri), &[1]);
    let held = |limits: &Limits| {
        let mut rows =
            Zone::ALL.map(|zone| Settling::ALL.map(|column| limits.table.cell(zone, column)));
        rows[2][0] = Cell::Hold;
        Limits { table: Table::new(rating(2), rating(5), rows).unwrap(), ..limits.clone() }
    };
    let replay = replayed(&story, held);
    assert_eq!(replay.first, Some(first(Mon)));
    assert_eq!(replay.days[0].why(), Some(Why::Cell((Zone::High, Settling::Settled))));
    assert!(
        replay.was.left_out.contains(&first(Mon)) && !replay.was.left_out.contains(&first(Tue))
    );
    assert!(replay.would.left_out.contains(&first(Wed)));
}

#[test]
fn a_site_to_be_noted_only_gives_the_day_back() {
    let named = |counts| Limits { sites: vec![Site { name: words(HEEL), counts }], ..limits() };
    let mut story = Story::with(&named(SiteCounts::OneZoneWorse));
    story.session(at(first(Mon), "18:00")).set_at_site(2, Some(HEEL));
    story.morning(first(Tue), 0);
    let replay = replayed(&story, |_| named(SiteCounts::NotedOnly));
    assert_eq!(orders(&replay), [Order::KeepAndCount]);
    assert_eq!(replay.days[0].was.verdict.order, Order::KeepAndStay);
    assert_eq!(replay.days[0].why(), Some(Why::Zone { was: Zone::Middle, is: Zone::Low }));
}

#[test]
fn another_usual_morning_reads_the_same_morning_otherwise() {
    let replay =
        replayed(&week(), |limits| Limits { usual_morning: Some(rating(1)), ..limits.clone() });
    let why = Why::Morning { was: Settling::UpALittle, is: Settling::Settled };
    assert_eq!(replay.days[2].why(), Some(why));
    assert_eq!(replay.first, Some(first(Wed)));
}

#[test]
fn steps_up_are_named_with_their_day() {
    let mut story = Story::with(&climbing_after(3));
    for day in [Mon, Tue, Wed] {
        story.train(first(day), &[0]);
        story.morning(first(day).succ_opt().unwrap(), 0);
    }
    let replay = replayed(&story, |_| climbing_after(2));
    assert_eq!(replay.was.step_ups, [(first(Wed), on_rung(4))]);
    assert_eq!(replay.would.step_ups, [(first(Tue), on_rung(4))]);
    assert_eq!(replay.first, Some(first(Tue)));
    assert_eq!(replay.days[1].why(), Some(Why::Around));
}

/// A log is never changed by being tried.
#[test]
fn trying_changes_nothing() {
    let story = week();
    let before = story.events().to_vec();
    replayed(&story, |limits| Limits { table: Preset::NearlyPainFree.table(), ..limits.clone() });
    assert_eq!(before, story.events());
}
