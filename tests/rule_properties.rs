//! What holds for every table that the app accepts, every limit and every log: section 7 of
//! `docs/clinical-rule.md`.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::cmp::Ordering::{Greater, Less};
use std::collections::BTreeMap;
use std::process::Command;

use carryover::domain::event_id::EventId;
use carryover::domain::log::course::{
    Availability, Course, Judged, MorningGiven, Stop, training_day,
};
use carryover::domain::log::event::{Ending, Event, Fact, Planned, SetRef};
use carryover::domain::log::history::{Accepted, History};
use carryover::domain::log::rule::{
    AnsweredWhen, Earlier, Findings, Footing, Morning, Order, RatedSet, Reason, Stopped, Swelling,
    SwellingRead, Usual, UsualFrom, Warning, Weeks, decide,
};
use carryover::domain::log::warning::WarningSign;
use carryover::domain::pain::{HalfPoints, PainRating};
use carryover::domain::plan::ladder::{Foothold, OnLowestRung};
use carryover::domain::plan::limits::{
    AfterMiddleSet, Cell, Light, Limits, Preset, Settling, Table, Zone,
};
use chrono::{DateTime, Days, FixedOffset, NaiveDate, Timelike};
use proptest::prelude::*;
use proptest::sample::{Index, select};
use proptest::test_runner::RngSeed;
use support::scripts::{
    Climb, Going, PlannedSet, SITES, Script, Wild, a_quarter, any_limits, calendar, climbs,
    planned_sets, points, routine_of, scripts, tables, train, write,
};
use support::*;

const QUIET: Wild = Wild { corrections: false, journeys: false };
const WILD: Wild = Wild { corrections: true, journeys: true };

// One day.

/// Everything but the table that one day can hold, each input in steps from good to bad.
const STEPS: [usize; 7] = [3, 3, 2, 2, 2, 2, 2];

fn findings(steps: [usize; 7], answered: bool, table: &Table) -> Findings {
    let [zone, settling, swelling, weeks, earlier, footing, stopped] = steps;
    let in_zone = [0, table.low_max().points() + 1, table.middle_max().points() + 1][zone].min(10);
    let usual = Usual { half_points: HalfPoints(0), from: UsualFrom::Visit };
    let in_time = AnsweredWhen::BeforeTraining;
    let morning = Morning { rating: rating([0, 1, 2][settling]), usual, answered: in_time };
    Findings {
        sets: vec![RatedSet { rating: rating(in_zone.into()), site: None }],
        stopped: [Stopped::No, Stopped::BecauseOfPain][stopped],
        morning: answered.then_some(morning),
        at_rest: None,
        swelling: Some([SwellingRead::NoMore, SwellingRead::ALittleMore][swelling]),
        warning: Warning::None,
        weeks: [Weeks::Steady, Weeks::Rising][weeks],
        earlier: [Earlier::NoHold, Earlier::HoldWithinSevenDays][earlier],
        footing: [Footing::CanEase, Footing::NothingEasier][footing],
    }
}

/// Every monotone filling of three rows and so many columns.
fn fillings(columns: usize, least: Cell) -> Vec<Vec<Cell>> {
    let mut all: Vec<Vec<Cell>> = vec![Vec::new()];
    for place in 0..3 * columns {
        all = all
            .into_iter()
            .flat_map(|cells| {
                let above = if place < columns { least } else { cells[place - columns] };
                let left = if place % columns == 0 { least } else { cells[place - 1] };
                let from = above.max(left);
                let next = Cell::ALL.into_iter().filter(move |cell| from <= *cell);
                next.map(move |cell| [&cells[..], &[cell]].concat()).collect::<Vec<_>>()
            })
            .collect();
    }
    all
}

#[test]
fn no_table_gives_a_worse_day_a_milder_order() {
    let unanswered = fillings(1, Cell::Stay);
    let place_of =
        |steps: [usize; 7]| steps.iter().zip(STEPS).fold(0, |place, (step, of)| place * of + step);
    let every_steps: Vec<[usize; 7]> = (0..STEPS.iter().product())
        .map(|mut place: usize| {
            let mut steps = [0; 7];
            for (step, of) in steps.iter_mut().zip(STEPS).rev() {
                *step = place % of;
                place /= of;
            }
            steps
        })
        .collect();
    for (number, cells) in fillings(3, Cell::Counts).iter().enumerate() {
        // The two parts of a table never meet in one day, so each filling needs one partner only.
        let silent = &unanswered[number % unanswered.len()];
        let row = |at: usize| [cells[at * 3], cells[at * 3 + 1], cells[at * 3 + 2], silent[at]];
        let table = Table::new(rating(2), rating(5), [row(0), row(1), row(2)]).unwrap();
        let limits = Limits { table, ..Limits::of(Preset::PainMonitoring) };
        for answered in [true, false] {
            let order =
                |steps| decide(&limits, &findings(steps, answered, &limits.table)).unwrap().order;
            let orders: Vec<Order> = every_steps.iter().map(|steps| order(*steps)).collect();
            for (steps, milder) in every_steps.iter().zip(&orders) {
                for (input, of) in STEPS.iter().enumerate() {
                    let mut worse = *steps;
                    worse[input] += 1;
                    if worse[input] < *of {
                        assert!(*milder <= orders[place_of(worse)], "{limits:?} {steps:?} {input}");
                    }
                }
            }
        }
    }
}

const READ: [SwellingRead; 4] = [
    SwellingRead::NoMore,
    SwellingRead::ALittleMore,
    SwellingRead::AddedUp,
    SwellingRead::ClearlyMore,
];

fn any_findings() -> impl Strategy<Value = Findings> {
    let site = prop::option::of(select(SITES.map(|(name, _)| name).to_vec()));
    let set = (points(), site)
        .prop_map(|(points, site)| RatedSet { rating: rating(points), site: site.map(words) });
    let from = select(vec![UsualFrom::Visit, UsualFrom::Mornings, UsualFrom::AtRest]);
    let answered = select(vec![AnsweredWhen::BeforeTraining, AnsweredWhen::AfterTraining]);
    let morning =
        (points(), 0_i16..=20, from, answered).prop_map(|(points, half_points, from, answered)| {
            Morning {
                rating: rating(points),
                usual: Usual { half_points: HalfPoints(half_points), from },
                answered,
            }
        });
    (
        prop::collection::vec(set, 1..4),
        select(vec![Stopped::No, Stopped::No, Stopped::BecauseOfPain]),
        prop::option::of(morning),
        prop::option::of(points().prop_map(rating)),
        prop::option::of(select(READ.to_vec())),
        select(vec![Weeks::Steady, Weeks::Rising]),
        select(vec![Earlier::NoHold, Earlier::HoldWithinSevenDays]),
        select(vec![Footing::CanEase, Footing::NothingEasier]),
    )
        .prop_map(|(sets, stopped, morning, at_rest, swelling, weeks, earlier, footing)| {
            Findings {
                sets,
                stopped,
                at_rest,
                morning,
                swelling,
                warning: Warning::None,
                weeks,
                earlier,
                footing,
            }
        })
}

/// The same day with one thing worse; nothing where it cannot get worse.
fn worse(findings: &Findings, what: usize, which: Index) -> Option<Findings> {
    let mut worse = findings.clone();
    let set = which.index(worse.sets.len());
    match what {
        0 => worse.sets[set].rating = more(worse.sets[set].rating)?,
        1 => worse.sets.push(worse.sets[set].clone()),
        2 => {
            let noted_only = words("knee");
            worse.sets[set].site.take_if(|site| *site == noted_only)?;
        }
        3 => {
            worse.sets[set].site.is_none().then_some(())?;
            worse.sets[set].site = Some(words("heel bone"));
        }
        4 => worse.stopped = Stopped::BecauseOfPain,
        5 => {
            let morning = worse.morning.as_mut()?;
            morning.rating = more(morning.rating)?;
        }
        6 => worse.morning.as_mut()?.usual.half_points.0 -= 1,
        7 => worse.swelling = worse.swelling.max(Some(SwellingRead::ALittleMore)),
        8 => worse.swelling = Some(READ[2 + which.index(2)]).max(worse.swelling),
        9 => worse.warning = Warning::Ticked,
        10 => worse.weeks = Weeks::Rising,
        11 => worse.earlier = Earlier::HoldWithinSevenDays,
        12 => worse.at_rest = worse.at_rest.max(Some(PainRating::WORST)),
        13 => worse.morning.as_mut()?.answered = AnsweredWhen::AfterTraining,
        14 => worse.morning.as_mut()?.usual.from = UsualFrom::AtRest,
        _ => worse.footing = Footing::NothingEasier,
    }
    Some(worse)
}

fn more(rating: PainRating) -> Option<PainRating> {
    PainRating::new(i64::from(rating.points()) + 1).ok()
}

proptest! {
    #[test]
    fn no_limits_give_a_worse_day_a_milder_order(
        limits in any_limits(),
        findings in any_findings(),
        what in 0_usize..16,
        which in any::<Index>(),
    ) {
        let Some(worse) = worse(&findings, what, which) else { return Ok(()) };
        let before = decide(&limits, &findings).unwrap();
        let after = decide(&limits, &worse).unwrap();
        prop_assert!(before.order <= after.order, "{before:?} then {after:?}");
    }

    #[test]
    fn where_nothing_is_left_to_ease_ease_is_hold(limits in any_limits(), findings in any_findings()) {
        let on = |footing| decide(&limits, &Findings { footing, ..findings.clone() }).unwrap();
        let (can, cannot) = (on(Footing::CanEase).order, on(Footing::NothingEasier).order);
        prop_assert_ne!(cannot, Order::Ease);
        let same = if can == Order::Ease { Light::Hold } else { can.light() };
        prop_assert_eq!(cannot.light(), same);
    }

    #[test]
    fn only_an_answered_morning_in_a_cell_that_counts_counts(
        limits in any_limits(),
        findings in any_findings(),
    ) {
        let verdict = decide(&limits, &findings).unwrap();
        if verdict.order == Order::KeepAndCount {
            let column = match (findings.morning.unwrap().settling(), findings.weeks) {
                (column, Weeks::Steady) => column,
                (Settling::Settled, Weeks::Rising) => Settling::UpALittle,
                (_, Weeks::Rising) => Settling::UpClearly,
            };
            let counts = |zone| limits.table.cell(zone, column) == Cell::Counts;
            prop_assert!(Zone::ALL.into_iter().any(counts));
            prop_assert!(findings.swelling.is_none_or(|swelling| swelling == SwellingRead::NoMore));
            let is_high = |rating| limits.table.zone(rating) == Zone::High;
            prop_assert!(!findings.at_rest.is_some_and(is_high));
            let morning = findings.morning.unwrap();
            prop_assert!(!is_high(morning.rating));
            prop_assert_eq!(morning.answered, AnsweredWhen::BeforeTraining);
            prop_assert_ne!(morning.usual.from, UsualFrom::AtRest);
        }
    }
}

// Whole logs.

/// Everything that a history says, as text.
fn told(history: &History) -> String {
    format!("{history:?}")
}

/// What a reader sees of the exercise: its verdicts, where it stands, and when it may be done.
fn seen(history: &History, script: &Script) -> String {
    let course = history.course(&id("heel-drop")).unwrap();
    let available: Vec<_> = calendar(script).map(|day| course.availability(day)).collect();
    let (stands, count) = (course.foothold(), course.count());
    format!("{:?} {stands:?} {count} {available:?}", course.judged())
}

/// An Ease or a Hold that is learnt late names a place on the ladder of the version taken on since.
fn is_step_up(judged: &Judged) -> bool {
    judged.from < judged.next && judged.verdict.order.light() == Light::Keep
}

fn dated(story: &Story, day: NaiveDate) -> impl Iterator<Item = &Event> {
    story.events().iter().filter(move |event| event.at.date_naive() == day)
}

proptest! {
    #![proptest_config(a_quarter())]

    #[test]
    fn the_order_and_the_number_of_copies_of_events_change_nothing(
        (script, shuffled) in scripts(WILD).prop_flat_map(|script| {
            let events = write(&script).events().to_vec();
            let twice = [&events[..], &events[events.len() / 2..]].concat();
            (Just(script), Just(twice).prop_shuffle())
        }),
    ) {
        let story = write(&script);
        prop_assert_eq!(told(&History::fold(&shuffled)), told(&story.history()));
    }

    #[test]
    fn where_the_next_session_starts_is_never_above_the_ceiling(script in scripts(WILD)) {
        let story = write(&script);
        for length in 1..=story.events().len() {
            let history = History::fold(&story.events()[..length]);
            let course = history.course(&id("heel-drop")).unwrap();
            let ceiling = Foothold::on(course.exercise().ladder.ceiling());
            prop_assert!(course.foothold() <= ceiling);
        }
        let mut ceilings = BTreeMap::new();
        for accepted in story.history().accepted() {
            let ceiling = accepted.routine.exercises()[0].ladder.ceiling();
            ceilings.insert(accepted.routine.version.get(), Foothold::on(ceiling));
        }
        for judged in story.course().judged() {
            prop_assert!(judged.from <= ceilings[&judged.version.get()]);
            prop_assert!(judged.next <= ceilings[&judged.version.get()]);
        }
    }

    #[test]
    fn a_step_up_is_one_step_after_a_day_that_counts_and_seven_days_after_the_last(
        script in scripts(WILD),
    ) {
        let story = write(&script);
        let mut last = None;
        for judged in story.course().judged() {
            if !is_step_up(judged) {
                continue;
            }
            prop_assert_eq!(judged.verdict.order, Order::KeepAndCount);
            prop_assert_eq!(judged.next, judged.from.harder());
            if let Some(last) = last.replace(judged.day) {
                prop_assert!(7 <= (judged.day - last).num_days(), "{last} and {}", judged.day);
            }
        }
    }

    #[test]
    fn no_step_up_without_a_morning_answered_on_the_next_day_in_a_cell_that_counts(
        script in scripts(Wild { corrections: false, journeys: true }),
    ) {
        let story = write(&script);
        let limits: BTreeMap<u16, Limits> = story
            .history()
            .accepted()
            .iter()
            .map(|accepted| (accepted.routine.version.get(), accepted.routine.limits.clone()))
            .collect();
        for judged in story.course().judged().iter().filter(|judged| is_step_up(judged)) {
            let is_answer = |event: &Event| {
                let Fact::MorningAnswered { ratings, .. } = &event.what else { return false };
                4 <= event.at.hour() && !ratings.is_empty()
            };
            let next_day = judged.day + Days::new(1);
            prop_assert!(dated(&story, next_day).any(is_answer), "{judged:?}");
            let answer = judged.verdict.reasons.iter().find_map(|reason| {
                let Reason::Morning { settling, .. } = reason else { return None };
                Some(*settling)
            });
            let counts = |zone| {
                limits[&judged.version.get()].table.cell(zone, answer.unwrap()) == Cell::Counts
            };
            prop_assert!(Zone::ALL.into_iter().any(counts), "{judged:?}");
        }
    }

    #[test]
    fn a_day_starts_no_higher_than_the_verdict_before_said(script in scripts(WILD)) {
        let story = write(&script);
        for (length, event) in story.events().iter().enumerate() {
            if !matches!(event.what, Fact::SessionStarted { .. }) {
                continue;
            }
            let history = History::fold(&story.events()[..length]);
            let course = history.course(&id("heel-drop")).unwrap();
            let version = history.routine().unwrap().version;
            if let Some(last) = course.judged().last().filter(|last| last.version == version) {
                prop_assert!(course.start_on(training_day(event.at)) <= last.next, "{last:?}");
            }
        }
    }

    #[test]
    fn a_day_that_is_over_keeps_its_verdict_whatever_is_noted_later(script in scripts(QUIET)) {
        let story = write(&script);
        let verdicts = story.course().judged().to_vec();
        for length in 1..=story.events().len() {
            let until = &story.events()[..length];
            let today = until.iter().map(|event| event.at.date_naive()).max().unwrap();
            let history = History::fold(until);
            let so_far = history.course(&id("heel-drop")).unwrap().judged();
            for (given, kept) in so_far.iter().zip(&verdicts) {
                if given.day + Days::new(1) < today {
                    prop_assert_eq!(given, kept);
                }
            }
        }
    }

    #[test]
    fn a_stop_waits_for_someone_qualified(script in scripts(QUIET)) {
        let story = write(&script);
        let mut stopped = None;
        for length in 1..=story.events().len() {
            let last = &story.events()[length - 1];
            let history = History::fold(&story.events()[..length]);
            let course = history.course(&id("heel-drop")).unwrap();
            let now = course.availability(last.at.date_naive());
            let answered = matches!(
                last.what,
                Fact::RoutineAccepted { .. } | Fact::ToldToGoOn | Fact::GoAhead { .. }
            );
            if let (Some(Stop::WarningSign | Stop::NotSettled), false) = (stopped, answered) {
                prop_assert!(matches!(now, Availability::Stopped(_)), "{now:?} after {last:?}");
            }
            stopped = match now {
                Availability::Stopped(stop) => Some(stop),
                Availability::Open | Availability::Held { .. } => None,
            };
        }
    }

    /// One worse thing on the last training day or the morning after it, everything else the same.
    #[test]
    fn a_worse_day_leads_to_no_higher_start_no_milder_order_and_no_earlier_return(
        script in scripts(QUIET),
        sets in planned_sets(Going::Anyhow),
        morning in prop::option::weighted(0.9, (points(), 0_usize..3)),
        what in 0_usize..6,
        which in any::<Index>(),
    ) {
        let mut story = write(&script);
        let day = first(chrono::Weekday::Mon) + Days::new(script.days.len() as u64 + 1);
        let before = story.events().len();
        train(&mut story, at(day, "18:00"), &sets, Some(1), true);
        if let Some((points, swelling)) = morning {
            let swelling = [Swelling::NoMore, Swelling::ALittleMore, Swelling::ClearlyMore][swelling];
            let ratings = [(id("heel-drop"), rating(points))].into();
            let answer = Fact::MorningAnswered { after: day, ratings, swelling };
            story.note(at(day + Days::new(1), "07:00"), answer);
        }
        let better = story.history();
        let mut events = story.events().to_vec();
        if what == 5 {
            story.warning(at(day + Days::new(1), "08:00"));
            events.extend(story.events().last().cloned());
        } else if !make_worse(&mut events[before..], what, which) {
            return Ok(());
        }
        let worse = History::fold(&events);
        let id = id("heel-drop");
        let (better, worse) = (better.course(&id).unwrap(), worse.course(&id).unwrap());
        let order = |course: &Course| {
            course.judged().iter().rfind(|judged| judged.day == day).map(|one| one.verdict.order)
        };
        prop_assert!(order(better) <= order(worse), "{:?} {:?}", order(better), order(worse));
        prop_assert!(worse.foothold() <= better.foothold());
        for later in day.iter_days().skip(1).take(30) {
            let open = |course: &Course| {
                course.availability(later) == Availability::Open
            };
            prop_assert!(open(better) || !open(worse), "{later}");
        }
    }
}

/// Makes one thing worse in the events of a day; false where there is nothing to make worse.
fn make_worse(events: &mut [Event], what: usize, which: Index) -> bool {
    let is_able = |event: &&mut Event| match what {
        0 | 1 => matches!(event.what, Fact::SetRated { .. }),
        2 => matches!(event.what, Fact::SetEnded { .. }),
        _ => matches!(event.what, Fact::MorningAnswered { .. }),
    };
    let mut able: Vec<&mut Event> = events.iter_mut().filter(is_able).collect();
    if able.is_empty() {
        return false;
    }
    let index = which.index(able.len());
    let fact = &mut able[index].what;
    if let Fact::SetRated { rating, .. } = fact
        && what == 0
    {
        *rating = more(*rating).unwrap_or(*rating);
    } else if let Fact::SetRated { site, .. } = fact {
        *site = Some(words("heel bone"));
    } else if let Fact::SetEnded { ending, .. } = fact {
        *ending = Ending::Pain;
    } else if let Fact::MorningAnswered { ratings, swelling, .. } = fact {
        if what == 3 {
            for rating in ratings.values_mut() {
                *rating = more(*rating).unwrap_or(*rating);
            }
        } else if *swelling == Swelling::NoMore {
            *swelling = Swelling::ALittleMore;
        } else {
            *swelling = Swelling::ClearlyMore;
        }
    }
    true
}

// Time zones.

/// The same local time on a clock of another zone.
fn on_another_clock(event: &Event, hours_east: i32) -> Event {
    let offset = FixedOffset::east_opt(hours_east * 3600).unwrap();
    let at = event.at.naive_local().and_local_timezone(offset).unwrap();
    Event { at, ..event.clone() }
}

proptest! {
    #![proptest_config(a_quarter())]

    #[test]
    fn only_the_local_calendar_and_clock_count_and_not_the_zone_they_are_in(
        script in scripts(WILD),
        hours_east in -12..=14,
    ) {
        let story = write(&script);
        let moved: Vec<_> =
            story.events().iter().map(|event| on_another_clock(event, hours_east)).collect();
        prop_assert_eq!(
            seen(&History::fold(&moved), &script),
            seen(&story.history(), &script)
        );
    }

    #[test]
    fn a_log_that_was_written_out_and_read_again_says_the_same(script in scripts(WILD)) {
        let story = write(&script);
        let text = serde_json::to_string(story.events()).unwrap();
        let events: Vec<Event> = serde_json::from_str(&text).unwrap();
        prop_assert_eq!(told(&History::fold(&events)), told(&story.history()));
    }
}

const STORY_IN_A_ZONE: &str = "a_log_read_in_this_zone_says_what_it_said_where_it_was_written";

#[test]
fn a_log_read_in_this_zone_says_what_it_said_where_it_was_written() {
    let mut story = Story::with(&limits());
    story.session(moment("2026-03-28T23:50:00+01:00")).sets(&[4, 1, 1]);
    story.morning_at(moment("2026-03-29T23:30:00+02:00"), 1, Swelling::NoMore);
    let text = serde_json::to_string(story.events()).unwrap();
    let events: Vec<Event> = serde_json::from_str(&text).unwrap();
    let history = History::fold(&events);
    let judged = history.course(&id("heel-drop")).unwrap().judged().to_vec();
    assert_eq!(judged.len(), 1);
    assert_eq!(judged[0].day, NaiveDate::from_ymd_opt(2026, 3, 28).unwrap());
    assert_eq!(judged[0].verdict.order, Order::Ease);
}

#[test]
fn the_zone_of_the_device_that_reads_a_log_changes_nothing() {
    let this_test = std::env::current_exe().unwrap();
    for zone in ["UTC", "Pacific/Kiritimati", "America/Los_Angeles", "Asia/Kathmandu"] {
        let mut reader = Command::new(&this_test);
        let read = reader.args(["--exact", STORY_IN_A_ZONE]).env("TZ", zone).output().unwrap();
        let said = String::from_utf8_lossy(&read.stdout);
        assert!(read.status.success() && said.contains("1 passed"), "{zone}: {said}");
    }
}

// Nonsense.

fn any_moment() -> impl Strategy<Value = DateTime<FixedOffset>> {
    let days = prop_oneof![6 => 0_u64..20, 1 => select(vec![2_900_000, 95_000_000])];
    (days, 0_u32..1440, -14..=14).prop_map(|(days, minute, hours_east)| {
        let date = first(chrono::Weekday::Mon) + Days::new(days);
        at_offset(date, &format!("{:02}:{:02}", minute / 60, minute % 60), hours_east)
    })
}

fn event_id(number: u64) -> EventId {
    EventId::after(None, number, [0; 10])
}

fn any_fact() -> impl Strategy<Value = Fact> {
    let session = || (0_u64..12).prop_map(event_id);
    let name = || select(vec!["heel-drop", "chair-rise", "never-heard-of"]).prop_map(id);
    let set = || {
        (session(), name(), 0_u16..4).prop_map(|(session, exercise, number)| SetRef {
            session,
            exercise,
            number,
        })
    };
    let foothold = || {
        (1_i64..=12, 0_u16..=u16::MAX)
            .prop_map(|(number, fewer_sets)| Foothold { rung: rung(number), fewer_sets })
    };
    let date = || any_moment().prop_map(|at| at.date_naive());
    let swelling = || select(vec![Swelling::NoMore, Swelling::ALittleMore, Swelling::ClearlyMore]);
    prop_oneof![
        2 => (1_i64..4, any_limits(), climbs()).prop_map(|(version, limits, climb)| {
            Fact::RoutineAccepted { routine: Box::new(routine_of(version, &limits, climb)) }
        }),
        3 => (prop::option::of(points()), name(), foothold()).prop_map(|(at_rest, exercise, from)| {
            Fact::SessionStarted {
                routine: id("stairs"),
                version: 1.try_into().unwrap(),
                at_rest: at_rest.map(rating),
                worked_today: None,
                plan: vec![Planned { exercise, from }],
            }
        }),
        5 => (set(), 1_i64..=12, select(vec![Ending::Complete, Ending::Short, Ending::Pain]))
            .prop_map(|(set, number, ending)| {
                Fact::SetEnded { set, rung: rung(number), reps: u16::MAX, work_secs: 0, ending }
            }),
        5 => (set(), points()).prop_map(|(set, points)| {
            Fact::SetRated { set, rating: rating(points), site: Some(words("heel bone")) }
        }),
        4 => (date(), prop::collection::btree_map(name(), points().prop_map(rating), 0..3), swelling())
            .prop_map(|(after, ratings, swelling)| {
                Fact::MorningAnswered { after, ratings, swelling }
            }),
        1 => prop::collection::vec(select(&WarningSign::ALL[..]), 0..2)
            .prop_map(|signs| Fact::WarningTicked { signs }),
        1 => Just(Fact::ToldToGoOn),
        1 => (session(), name()).prop_map(|(session, exercise)| {
            Fact::ExerciseLeftOut { session, exercise }
        }),
        1 => session().prop_map(|session| Fact::SessionEnded { session }),
        1 => (session(), prop::option::of(name()), points()).prop_map(|(of, exercise, points)| {
            Fact::Corrected { of, exercise, rating: rating(points), site: None }
        }),
        1 => (session(), swelling())
            .prop_map(|(of, swelling)| Fact::SwellingCorrected { of, swelling }),
        1 => (name(), date(), foothold()).prop_map(|(exercise, day, next)| {
            Fact::VerdictGiven { exercise, day, order: Order::Ease, reasons: Vec::new(), next }
        }),
    ]
}

proptest! {
    #[test]
    fn any_heap_of_events_is_read(
        mut heap in prop::collection::vec((0_u64..12, any_moment(), any_fact()), 0..60),
        now in any_moment(),
        routine_first in any::<bool>(),
        table in tables(),
    ) {
        let limits = Limits { table, ..limits() };
        if routine_first {
            let routine = Box::new(routine_of(1, &limits, (5, 2, 4, 3)));
            heap.push((0, at(first(chrono::Weekday::Mon), "06:00"), Fact::RoutineAccepted { routine }));
        }
        let events: Vec<Event> = heap
            .into_iter()
            .map(|(number, at, what)| Event { id: event_id(number), at, zone: None, what })
            .collect();
        let history = History::fold(&events);
        let date = now.date_naive();
        for line in history.today(date) {
            prop_assert!(line.foothold <= Foothold::on(line.exercise.ladder.ceiling()));
            prop_assert!(1 <= line.dose.sets.get());
        }
        for name in ["heel-drop", "chair-rise", "never-heard-of"] {
            if let Some(course) = history.course(&id(name)) {
                for day in [NaiveDate::MIN, date, NaiveDate::MAX] {
                    course.availability(day);
                    course.held_since(day);
                    course.weekly_medians(day);
                }
            }
        }
        history.owed_morning(now);
        history.open_session(now);
        history.untold_verdicts();
    }
}

#[test]
fn every_rise_there_can_be_falls_in_a_column() {
    for half_points in i16::MIN..=i16::MAX {
        let column = match f64::from(half_points) / 2.0 {
            rise if rise <= 0.0 => Settling::Settled,
            rise if rise < 2.0 => Settling::UpALittle,
            _ => Settling::UpClearly,
        };
        assert_eq!(Settling::of(HalfPoints(half_points)), column);
    }
}

// Worse inputs.

/// What happens on a day, if the exercise is open.
#[derive(Clone, Debug)]
struct Lived {
    morning: Option<(i64, Swelling)>,
    at_rest: Option<i64>,
    sets: Vec<PlannedSet>,
    sign: bool,
}

fn lived(going: Going) -> impl Strategy<Value = Lived> {
    let rated = match going {
        Going::Well => (0_i64..=1).boxed(),
        Going::Anyhow => points().boxed(),
    };
    let swelling = prop_oneof![
        14 => Just(Swelling::NoMore), 2 => Just(Swelling::ALittleMore), 1 => Just(Swelling::ClearlyMore)
    ];
    let morning = prop::option::weighted(0.9, (rated, swelling));
    let sets = prop_oneof![1 => Just(Vec::new()), 8 => planned_sets(going)];
    (morning, prop::option::weighted(0.3, 0_i64..=3), sets)
        .prop_map(|(morning, at_rest, sets)| Lived { morning, at_rest, sets, sign: false })
}

/// What a day of a history came to.
#[derive(Clone, Debug)]
struct Came {
    date: NaiveDate,
    start: Foothold,
    done: usize,
    /// Whether the exercise was open before anything was done.
    open: bool,
    is_break: bool,
}

/// A client who lives through some days and does what the app says.
fn live(limits: &Limits, climb: (i64, i64, i64, i64), days: &[Lived]) -> (Course, Vec<Came>) {
    let routine = routine_of(1, limits, climb);
    let exercise = routine.exercises()[0].clone();
    let mut course = Course::new(exercise, limits.clone(), routine.version);
    let mut came = Vec::new();
    for (number, (date, day)) in (0_u64..).zip(first(chrono::Weekday::Mon).iter_days().zip(days)) {
        if let Some((points, swelling)) = day.morning {
            let given = MorningGiven { in_time: Some(rating(points)), late: None, swelling };
            course.morning_answered(date, given, date.pred_opt().unwrap(), false);
        }
        let (start, least) = (course.start_on(date), course.least_on(date));
        let open = course.availability(date) == Availability::Open;
        let mut came_to = Came { date, start, done: 0, open, is_break: course.is_break(date) };
        if open {
            let mut rung = start.rung;
            let sets = start.dose(&course.exercise().dose, &course.exercise().ladder).sets.get();
            for (set_number, set) in (1..).zip(day.sets.iter().take(sets.into())) {
                let stopped = if set.stopped { Stopped::BecauseOfPain } else { Stopped::No };
                came_to.done += 1;
                course.set_ended(date, rung, day.at_rest.map(rating), stopped);
                let Some(points) = set.points else { continue };
                let rated = RatedSet { rating: rating(points), site: set.site.map(words) };
                let zone = limits.zone_of_set(rated.rating, rated.site.as_ref());
                course.set_rated(date, (event_id(number), set_number), rated, false);
                if set.stopped || zone == Zone::High {
                    break;
                }
                if zone == Zone::Middle && limits.after_middle_set == AfterMiddleSet::OneRungDown {
                    let below = rung.get().saturating_sub(1).max(least.get()).min(rung.get());
                    rung = support::rung(below.into());
                }
            }
        }
        if day.sign {
            course.warning_ticked(date);
        }
        came.push(came_to);
    }
    (course, came)
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Worse {
    Rating,
    Site,
    Stop,
    Morning,
    Swelling,
    Sign,
    /// A good answer is left out.
    Silence,
}

/// The same days with one thing of one day worse; nothing where it cannot get worse.
fn made_worse(days: &[Lived], at: usize, what: Worse, which: Index) -> Option<Vec<Lived>> {
    let mut days = days.to_vec();
    let sets = &mut days[at].sets;
    match what {
        Worse::Rating | Worse::Site | Worse::Stop => {
            let place = which.index(sets.len().max(1));
            let set = sets.get_mut(place)?;
            match what {
                Worse::Rating => *set.points.as_mut()? = (set.points? + 1..=10).next()?,
                Worse::Site => {
                    set.points?;
                    set.site = if set.site == Some("knee") { None } else { Some("heel bone") };
                }
                Worse::Stop | Worse::Morning | Worse::Swelling | Worse::Sign | Worse::Silence => {
                    set.stopped = true;
                }
            }
        }
        Worse::Morning => {
            let morning = days.get_mut(at + 1)?.morning.as_mut()?;
            morning.0 = (morning.0 + 1..=10).next()?;
        }
        Worse::Swelling => {
            let morning = days.get_mut(at + 1)?.morning.as_mut()?;
            morning.1 = match morning.1 {
                Swelling::NoMore => Swelling::ALittleMore,
                Swelling::ALittleMore => Swelling::ClearlyMore,
                Swelling::ClearlyMore => return None,
            };
        }
        Worse::Sign => days[at].sign = true,
        Worse::Silence => {
            days.get_mut(at + 1)?.morning.take()?;
        }
    }
    Some(days)
}

/// Two histories that differ in one input.
struct Pair<'a> {
    what: Worse,
    /// The day that was made worse.
    at: usize,
    better: (&'a Course, &'a [Came]),
    worse: (&'a Course, &'a [Came]),
}

/// The milder history without the sets that the worse one left out: what was not done cannot have hurt.
fn without_what_was_left_out(
    limits: &Limits,
    climb: Climb,
    days: &[Lived],
    worse: &[Came],
) -> (Course, Vec<Came>) {
    let mut days = days.to_vec();
    loop {
        let (course, came) = live(limits, climb, &days);
        let mut is_more = false;
        for ((day, came), worse) in days.iter_mut().zip(&came).zip(worse) {
            if worse.done < came.done {
                day.sets.truncate(worse.done);
                is_more = true;
            }
        }
        if !is_more {
            return (course, came);
        }
    }
}

fn judged_on(course: &Course, date: NaiveDate) -> Option<&Judged> {
    course.judged().iter().rfind(|judged| judged.day == date)
}

fn light_on(course: &Course, date: NaiveDate) -> Light {
    judged_on(course, date).map_or(Light::Keep, |judged| judged.verdict.order.light())
}

fn order_on(course: &Course, date: NaiveDate) -> Option<Order> {
    judged_on(course, date).map(|judged| judged.verdict.order)
}

fn step(course: &Course, date: NaiveDate) -> Option<std::cmp::Ordering> {
    judged_on(course, date).map(|judged| judged.next.cmp(&judged.from))
}

fn usual_on(course: &Course, date: NaiveDate) -> Option<HalfPoints> {
    judged_on(course, date)?.verdict.reasons.iter().find_map(|reason| {
        let Reason::Morning { usual, .. } = reason else { return None };
        Some(usual.half_points)
    })
}

/// A line a verdict.
fn told_in_short(course: &Course) -> String {
    let height = |at: Foothold| i32::from(at.rung.get()) - i32::from(at.fewer_sets);
    let line = |one: &Judged| {
        let day = (one.day - first(chrono::Weekday::Mon)).num_days();
        format!(
            "{day}: {:?} from {} to {}\n",
            one.verdict.order,
            height(one.from),
            height(one.next)
        )
    };
    course.judged().iter().map(line).collect()
}

impl Pair<'_> {
    /// The milder history stepped up earlier and lost that again: it waits for its seven days.
    fn waits_for_its_seven_days(&self, until: usize) -> bool {
        let stepped = |course, day: usize| step(course, self.better.1[day].date) == Some(Greater);
        (self.at..until).filter(|day| stepped(self.worse.0, *day)).any(|later| {
            (self.at..later).any(|earlier| {
                let lost = |day: usize| step(self.better.0, self.better.1[day].date) == Some(Less);
                later - earlier < 7
                    && stepped(self.better.0, earlier)
                    && !stepped(self.worse.0, earlier)
                    && (earlier + 1..until).any(lost)
            })
        })
    }

    /// The days off after a Hold are no part of a break: the milder history's begins earlier.
    fn is_away_for_longer(&self, until: usize) -> bool {
        (self.at + 1..=until).any(|day| {
            let held = (self.at..day)
                .any(|held| light_on(self.worse.0, self.worse.1[held].date) == Light::Hold);
            held && self.better.1[day].is_break && !self.worse.1[day].is_break
        })
    }

    /// A good morning lowers what is usual. The worse history has none: it was left unanswered, or was
    /// worse, or the exercise was held then, or it brought a Hold. So a day is held to less there.
    fn is_held_to_less(&self, until: usize) -> bool {
        let date = |day: usize| self.better.1[day].date;
        let counts = |course: &Course, day: usize| {
            course.mornings().iter().any(|one| one.date == date(day) && one.counts)
        };
        let is_lost = |day: usize| counts(self.better.0, day) && !counts(self.worse.0, day);
        let has_a_reason = |day: usize| {
            let is_own = day == self.at + 1 && matches!(self.what, Worse::Silence | Worse::Morning);
            let brought_hold = light_on(self.worse.0, date(day - 1)) == Light::Hold;
            is_own || !self.worse.1[day].open || brought_hold
        };
        let rises = |course, day: usize| {
            judged_on(course, date(day))
                .is_some_and(|one| one.verdict.reasons.contains(&Reason::WeeksRising))
        };
        let is_harsher =
            |day: usize| order_on(self.worse.0, date(day)) < order_on(self.better.0, date(day));
        (self.at + 1..=until).filter(|day| is_lost(*day)).all(has_a_reason)
            && (self.at..until).filter(|day| is_harsher(*day)).any(|day| {
                usual_on(self.better.0, date(day)) < usual_on(self.worse.0, date(day))
                    || (rises(self.better.0, day) && !rises(self.worse.0, day))
            })
    }
}

/// A history, and which of its days is made worse, and how.
type PairOf = (Limits, Climb, Vec<Lived>, usize, Worse, Index);

fn pairs() -> impl Strategy<Value = PairOf> {
    let what = select(vec![
        Worse::Rating,
        Worse::Site,
        Worse::Stop,
        Worse::Morning,
        Worse::Swelling,
        Worse::Sign,
        Worse::Silence,
    ]);
    let anyhow = prop::collection::vec(lived(Going::Anyhow), 0..6);
    let well = prop::collection::vec(lived(Going::Well), 2..9);
    let then = prop::collection::vec(lived(Going::Anyhow), 0..6);
    let after = prop::collection::vec(lived(Going::Well), 5..6);
    let days = (anyhow, well, then, after)
        .prop_map(|(anyhow, well, then, after)| [anyhow, well, then, after].concat());
    (any_limits(), climbs(), days, any::<Index>(), what, any::<Index>()).prop_map(
        |(limits, climb, days, at, what, which)| {
            let at = at.index(days.len() - 1);
            (limits, climb, days, at, what, which)
        },
    )
}

proptest! {
    // The same pairs every time.
    #![proptest_config(ProptestConfig { cases: 20_000, failure_persistence: None, rng_seed: RngSeed::Fixed(2), ..ProptestConfig::default() })]

    #[test]
    fn a_worse_input_brings_no_milder_light_and_no_higher_rung_within_a_week(
        (limits, climb, days, at, what, which) in pairs(),
    ) {
        let Some(worse_days) = made_worse(&days, at, what, which) else { return Ok(()) };
        let (better, milder_days) = live(&limits, climb, &days);
        let date = milder_days[at].date;
        let counted =
            judged_on(&better, date).is_some_and(|one| one.verdict.order == Order::KeepAndCount);
        if what == Worse::Silence && !counted {
            return Ok(());
        }
        let (worse, harder_days) = live(&limits, climb, &worse_days);
        prop_assert!(
            light_on(&better, date) <= light_on(&worse, date),
            "{:?}\nthen {:?}", judged_on(&better, date), judged_on(&worse, date)
        );
        let higher = |milder: &[Came]| {
            let mut week = (at + 1..days.len()).take(7);
            week.find(|day| milder[*day].start < harder_days[*day].start)
        };
        if higher(&milder_days).is_none() {
            return Ok(());
        }
        let (better, milder_days) = without_what_was_left_out(&limits, climb, &days, &harder_days);
        let pair = Pair { what, at, better: (&better, &milder_days), worse: (&worse, &harder_days) };
        if let Some(day) = higher(&milder_days) {
            let excused = pair.waits_for_its_seven_days(day)
                || pair.is_held_to_less(day)
                || pair.is_away_for_longer(day);
            prop_assert!(
                excused,
                "day {day} starts on {:?}, and on {:?} after {what:?} on day {at}\n{}\n{}",
                milder_days[day].start, harder_days[day].start, told_in_short(&better),
                told_in_short(&worse),
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4 * ProptestConfig::default().cases, failure_persistence: None, ..ProptestConfig::default() })]

    /// It is none of those that a usual morning is made of, so later ones are held to no less than they
    /// would be without it. Where it brought a Hold, the mornings of that Hold count no more either.
    #[test]
    fn a_morning_of_a_flare_never_makes_a_later_verdict_milder(
        (limits, climb, mut days, at, _, _) in pairs(),
    ) {
        days[at + 1].morning = Some((10, Swelling::NoMore));
        let (flared, with_it) = live(&limits, climb, &days);
        days[at + 1].morning = None;
        let (quiet, without) = without_what_was_left_out(&limits, climb, &days, &with_it);
        let counts = |course: &Course, date: NaiveDate| {
            course.mornings().iter().any(|one| one.date == date && one.counts)
        };
        let usual = usual_on(&flared, with_it[at].date);
        if usual.is_some_and(|usual| HalfPoints(16) < usual) {
            return Ok(());
        }
        prop_assert!(usual.is_none() || !counts(&flared, with_it[at + 1].date));
        let is_silence_held_to_more =
            light_on(&flared, with_it[at].date) < light_on(&quiet, with_it[at].date);
        if is_silence_held_to_more {
            return Ok(());
        }
        for day in at..days.len() {
            let date = with_it[day].date;
            if counts(&quiet, date) != counts(&flared, date) || without[day].done != with_it[day].done {
                break;
            }
            if let (Some(flared), Some(quiet)) = (usual_on(&flared, date), usual_on(&quiet, date)) {
                prop_assert!(day == at || flared <= quiet);
            }
            prop_assert!(
                light_on(&quiet, date) <= light_on(&flared, date) || day == at,
                "day {day} after a flare after day {at}\n{}\n{}",
                told_in_short(&quiet), told_in_short(&flared),
            );
        }
    }

    #[test]
    fn an_ease_in_a_log_has_something_to_ease(script in scripts(WILD)) {
        let story = write(&script);
        let history = story.history();
        for judged in story.course().judged().iter().filter(|one| one.verdict.order == Order::Ease) {
            let of = |accepted: &&Accepted| accepted.routine.version == judged.version;
            let routine = &history.accepted().iter().find(of).unwrap().routine;
            let sets = routine.exercises()[0].dose.sets.get();
            let sets_left = routine.limits.on_lowest_rung == OnLowestRung::OneSetFewer
                && judged.from.fewer_sets + 1 < sets;
            prop_assert!(1 < judged.from.rung.get() || sets_left, "{judged:?}");
        }
    }
}
