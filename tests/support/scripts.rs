//! Random logs, as the app would write them: each session is planned from where the log says the
//! client stands, and an exercise that is left out is left out.

use carryover::domain::log::course::{Availability, training_day};
use carryover::domain::log::event::{Ending, Event, Fact, SetRef};
use carryover::domain::log::rule::Swelling;
use carryover::domain::pain::PainRating;
use carryover::domain::plan::ladder::OnLowestRung;
use carryover::domain::plan::limits::{
    AfterBreak, AfterMiddleSet, BreakDays, Cell, DaysInARow, Limits, MayStepUp, Preset, RestDays,
    Site, SiteCounts, Table, Zone,
};
use carryover::domain::words::Words;
use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use proptest::sample::select;

use super::{
    Story, at_offset, chair_rise, exercise, first, id, ladder, rating, routine, rung, words,
};

pub const SITES: [(&str, SiteCounts); 3] = [
    ("calf", SiteCounts::AsRated),
    ("heel bone", SiteCounts::OneZoneWorse),
    ("knee", SiteCounts::NotedOnly),
];

/// Fewer cases than usual, since each is a whole log; `PROPTEST_CASES` raises both.
pub fn a_quarter() -> ProptestConfig {
    let usual = ProptestConfig::default();
    ProptestConfig { cases: usual.cases / 4, failure_persistence: None, ..usual }
}

/// Any table that the app accepts: nine cells made monotone, and a column for no answer.
pub fn tables() -> impl Strategy<Value = Table> {
    let cells = prop::array::uniform9(select(&Cell::ALL[..]));
    let unanswered = prop::array::uniform3(select(&Cell::ALL[1..]));
    let own = (0_i64..=9, cells, unanswered).prop_flat_map(|(low, cells, unanswered)| {
        (low + 1..=10).prop_map(move |middle| {
            let mut rows = [[Cell::Counts; 4]; 3];
            for row in 0..3 {
                for column in 0..3 {
                    let above = if row == 0 { Cell::Counts } else { rows[row - 1][column] };
                    let left = if column == 0 { Cell::Counts } else { rows[row][column - 1] };
                    rows[row][column] = cells[row * 3 + column].max(above).max(left);
                }
                let above = if row == 0 { Cell::Stay } else { rows[row - 1][3] };
                rows[row][3] = unanswered[row].max(above);
            }
            Table::new(rating(low), rating(middle), rows).unwrap()
        })
    });
    prop_oneof![select(&Preset::ALL[..]).prop_map(Preset::table), own]
}

pub fn any_limits() -> impl Strategy<Value = Limits> {
    (
        tables(),
        prop::option::of((0_i64..=4).prop_map(rating)),
        0_i64..=4,
        select(vec![MayStepUp::Nothing, MayStepUp::WinBack, MayStepUp::ToTheCeiling]),
        1_i64..=3,
        select(vec![OnLowestRung::OneSetFewer, OnLowestRung::Hold]),
        select(vec![AfterMiddleSet::Same, AfterMiddleSet::OneRungDown]),
        breaks(),
    )
        .prop_map(
            |(table, usual_morning, rest, may_step_up, row, on_lowest_rung, after, pause)| {
                let (break_days, after_break) = pause;
                Limits {
                    table,
                    sites: SITES.map(|(name, counts)| Site { name: words(name), counts }).to_vec(),
                    usual_morning,
                    rest_days: RestDays::new(rest).unwrap(),
                    may_step_up,
                    step_up_after: DaysInARow::new(row).unwrap(),
                    on_lowest_rung,
                    after_middle_set: after,
                    break_days,
                    after_break,
                }
            },
        )
}

/// When a break begins, and what it does: short ones, so that scripts have some.
fn breaks() -> impl Strategy<Value = (BreakDays, AfterBreak)> {
    let after = [AfterBreak::OneRungLower, AfterBreak::Same, AfterBreak::WaitForMe];
    (7_i64..=10).prop_flat_map(move |days| {
        select(after.to_vec()).prop_map(move |after| (BreakDays::new(days).unwrap(), after))
    })
}

/// A ladder as (rungs, start, ceiling), and the sets of the dose.
pub type Climb = (i64, i64, i64, i64);

pub fn climbs() -> impl Strategy<Value = Climb> {
    (1_i64..=5, 1_i64..=3).prop_flat_map(|(rungs, sets)| {
        (1..=rungs).prop_flat_map(move |ceiling| {
            (1..=ceiling).prop_map(move |start| (rungs, start, ceiling, sets))
        })
    })
}

/// How things go for the client of a script.
#[derive(Clone, Copy, Debug)]
pub enum Going {
    /// Little pain and good mornings, so that there are steps up.
    Well,
    Anyhow,
}

/// Ratings as they come: mostly low, sometimes anything.
pub fn points() -> impl Strategy<Value = i64> {
    prop_oneof![4 => 0_i64..=2, 2 => 2_i64..=5, 1 => 0_i64..=10]
}

fn points_when(going: Going) -> BoxedStrategy<i64> {
    match going {
        Going::Well => prop_oneof![30 => 0_i64..=1, 1 => points()].boxed(),
        Going::Anyhow => points().boxed(),
    }
}

#[derive(Clone, Debug)]
pub struct PlannedSet {
    pub points: Option<i64>,
    pub site: Option<&'static str>,
    pub stopped: bool,
}

#[derive(Clone, Debug)]
pub struct PlannedMorning {
    pub minute: u32,
    pub points: Option<i64>,
    pub swelling: Swelling,
}

/// What else can happen on a day.
#[derive(Clone, Debug)]
pub enum Else {
    Nothing,
    Warning,
    ToldToGoOn,
    NewVersion(Box<Limits>, Climb),
    /// The rating given so many events ago is corrected.
    Correction(usize, i64),
}

#[derive(Clone, Debug)]
pub struct PlannedDay {
    pub morning: Option<PlannedMorning>,
    /// A minute of the day, pain at rest, and the sets.
    pub sessions: Vec<(u32, Option<i64>, Vec<PlannedSet>)>,
    pub also: (u32, Else),
    /// The client trains although the exercise is left out.
    pub stubborn: bool,
    pub hours_east: i32,
}

fn swellings(going: Going) -> impl Strategy<Value = Swelling> {
    let no_more = match going {
        Going::Well => 60,
        Going::Anyhow => 8,
    };
    prop_oneof![
        no_more => Just(Swelling::NoMore),
        1 => Just(Swelling::ALittleMore),
        1 => Just(Swelling::ClearlyMore),
    ]
}

pub fn planned_sets(going: Going) -> impl Strategy<Value = Vec<PlannedSet>> {
    let (named, stopped) = match going {
        Going::Well => (0.02, 0.002),
        Going::Anyhow => (0.3, 0.03),
    };
    let site = prop::option::weighted(named, select(SITES.map(|(name, _)| name).to_vec()));
    let points = prop::option::weighted(0.95, points_when(going));
    let set = (points, site, prop::bool::weighted(stopped))
        .prop_map(|(points, site, stopped)| PlannedSet { points, site, stopped });
    prop::collection::vec(set, 1..=3)
}

fn planned_mornings(going: Going) -> impl Strategy<Value = Option<PlannedMorning>> {
    let minute = prop_oneof![8 => 300_u32..600, 1 => 0_u32..1440];
    let points = prop::option::weighted(0.95, points_when(going));
    let morning = (minute, points, swellings(going))
        .prop_map(|(minute, points, swelling)| PlannedMorning { minute, points, swelling });
    prop::option::weighted(0.85, morning)
}

fn elses(corrections: u32) -> impl Strategy<Value = Else> {
    prop_oneof![
        40 => Just(Else::Nothing),
        1 => Just(Else::Warning),
        3 => Just(Else::ToldToGoOn),
        1 => (any_limits(), climbs())
            .prop_map(|(limits, climb)| Else::NewVersion(Box::new(limits), climb)),
        corrections => (0_usize..12, points()).prop_map(|(ago, points)| Else::Correction(ago, points)),
    ]
}

/// A routine, and what happens on the days after it was accepted.
#[derive(Clone, Debug)]
pub struct Script {
    pub limits: Limits,
    pub climb: Climb,
    pub days: Vec<PlannedDay>,
}

/// What a script may hold besides the days of a quiet client.
#[derive(Clone, Copy, Debug)]
pub struct Wild {
    pub corrections: bool,
    pub journeys: bool,
}

fn planned_days(wild: Wild, going: Going) -> impl Strategy<Value = PlannedDay> {
    let minute = prop_oneof![1 => 360_u32..560, 4 => 1000_u32..1430];
    let session = (minute, prop::option::of(0_i64..=3), planned_sets(going));
    let times = select(vec![0, 0, 1, 1, 1, 1, 1, 1, 2]);
    let sessions = (times, prop::array::uniform2(session))
        .prop_map(|(times, sessions)| sessions.into_iter().take(times).collect());
    let hours_east = if wild.journeys { (-10..=13).boxed() } else { Just(2).boxed() };
    (
        planned_mornings(going),
        sessions,
        (700_u32..900, elses(u32::from(wild.corrections) * 3)),
        prop::bool::weighted(0.03),
        prop_oneof![9 => Just(2), 1 => hours_east],
    )
        .prop_map(|(morning, sessions, also, stubborn, hours_east)| PlannedDay {
            morning,
            sessions,
            also,
            stubborn,
            hours_east,
        })
}

/// Days on which anything may happen, then days that mostly go well.
pub fn scripts(wild: Wild) -> impl Strategy<Value = Script> {
    let anyhow = prop::collection::vec(planned_days(wild, Going::Anyhow), 0..12);
    let well = prop::collection::vec(planned_days(wild, Going::Well), 0..25);
    (any_limits(), climbs(), anyhow, well).prop_map(|(limits, climb, anyhow, well)| Script {
        limits,
        climb,
        days: [anyhow, well].concat(),
    })
}

pub fn routine_of(
    version: i64,
    limits: &Limits,
    climb: Climb,
) -> carryover::domain::plan::routine::Routine {
    let (rungs, start, ceiling, sets) = climb;
    let mut heel_drop = exercise("heel-drop", ladder(rungs, start, ceiling));
    heel_drop.dose.sets = sets.try_into().unwrap();
    routine(version, limits, &[heel_drop, chair_rise()])
}

enum Step<'a> {
    Morning(&'a PlannedMorning),
    Session(Option<i64>, &'a [PlannedSet]),
    Also(&'a Else),
}

/// Writes the log of a script about the first exercise of its routine.
pub fn write(script: &Script) -> Story {
    let mut story = Story::of(&routine_of(1, &script.limits, script.climb));
    let mut version = 1;
    for (number, day) in (0..).zip(&script.days) {
        let date = first(chrono::Weekday::Mon) + Days::new(number);
        let mut steps: Vec<(u32, Step)> = Vec::new();
        steps.extend(day.morning.iter().map(|morning| (morning.minute, Step::Morning(morning))));
        steps.extend(
            day.sessions.iter().map(|(minute, rest, sets)| (*minute, Step::Session(*rest, sets))),
        );
        steps.push((day.also.0, Step::Also(&day.also.1)));
        steps.sort_by_key(|(minute, _)| *minute);
        for (minute, step) in steps {
            let at =
                at_offset(date, &format!("{:02}:{:02}", minute / 60, minute % 60), day.hours_east);
            match step {
                Step::Morning(morning) => {
                    let rated = morning.points.map(|points| (id("heel-drop"), rating(points)));
                    let ratings = rated.into_iter().collect();
                    let after = date.pred_opt().unwrap();
                    let swelling = morning.swelling;
                    story.note(at, Fact::MorningAnswered { after, ratings, swelling });
                }
                Step::Session(at_rest, sets) => {
                    train(&mut story, at, sets, at_rest, day.stubborn);
                }
                Step::Also(Else::Nothing) => {}
                Step::Also(Else::Warning) => story.warning(at),
                Step::Also(Else::ToldToGoOn) => story.told_to_go_on(at),
                Step::Also(Else::NewVersion(limits, climb)) => {
                    version += 1;
                    story.accept(at, &routine_of(version, limits, *climb));
                }
                Step::Also(Else::Correction(ago, points)) => {
                    let is_rating = |event: &&Event| {
                        matches!(event.what, Fact::SetRated { .. } | Fact::MorningAnswered { .. })
                    };
                    let of = story.events().iter().rev().filter(is_rating).nth(*ago);
                    if let Some(of) = of.map(|event| event.id) {
                        story.correct(at, of, *points);
                    }
                }
            }
        }
    }
    story
}

/// One session, set by set, until pain ends it; none where the exercise is left out.
pub fn train(
    story: &mut Story,
    at: chrono::DateTime<chrono::FixedOffset>,
    sets: &[PlannedSet],
    at_rest: Option<i64>,
    stubborn: bool,
) {
    let today = story.today(training_day(at));
    if today.availability != Availability::Open && !stubborn {
        return;
    }
    let history = story.history();
    let limits = history.routine().unwrap().limits.clone();
    let started = Fact::SessionStarted {
        routine: id("stairs"),
        version: history.routine().unwrap().version,
        at_rest: at_rest.map(rating),
        worked_today: None,
        plan: Vec::new(),
    };
    let session = story.note(at, started);
    let mut stands = today.foothold.rung;
    for (number, set) in (1..).zip(sets.iter().take(today.dose.sets.get().into())) {
        let set_ref = SetRef { session, exercise: id("heel-drop"), number };
        let ending = if set.stopped { Ending::Pain } else { Ending::Complete };
        let at = at + chrono::TimeDelta::minutes(i64::from(number) * 3);
        let (reps, work_secs) = (10, 40);
        let ended = Fact::SetEnded { set: set_ref.clone(), rung: stands, reps, work_secs, ending };
        story.note(at, ended);
        let Some(points) = set.points else { continue };
        let (rating, site) = (rating(points), set.site.map(words));
        story.note(at, Fact::SetRated { set: set_ref, rating, site: site.clone() });
        let zone = zone_of(&limits, rating, site.as_ref());
        if set.stopped || zone == Zone::High {
            break;
        }
        if zone == Zone::Middle && limits.after_middle_set == AfterMiddleSet::OneRungDown {
            let below = rung((i64::from(stands.get()) - 1).max(1));
            stands = below.max(today.least).min(stands);
        }
    }
}

fn zone_of(limits: &Limits, rating: PainRating, site: Option<&Words>) -> Zone {
    limits.zone_of_set(rating, site)
}

/// The days of a script, and a few more.
pub fn calendar(script: &Script) -> impl Iterator<Item = NaiveDate> {
    first(chrono::Weekday::Mon).iter_days().take(script.days.len() + 20)
}
