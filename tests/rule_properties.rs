//! What holds for every table that the app accepts, every limit and every log: section 7 of
//! `docs/clinical-rule.md`.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeMap;
use std::process::Command;

use carryover::domain::course::{Availability, Course, Stop};
use carryover::domain::event::{Ending, Event, EventId, Fact, Planned, SetRef};
use carryover::domain::history::History;
use carryover::domain::ladder::Foothold;
use carryover::domain::pain::{HalfPoints, PainRating};
use carryover::domain::rule::{
    Cell, Earlier, Findings, Footing, Limits, Morning, Order, Preset, RatedSet, Reason, Settling,
    Stopped, Swelling, Table, Usual, UsualFrom, Warning, Weeks, Zone, decide,
};
use carryover::domain::warning::WarningSign;
use chrono::{DateTime, Days, FixedOffset, NaiveDate, Timelike};
use proptest::prelude::*;
use proptest::sample::{Index, select};
use support::scripts::{
    Going, SITES, Script, Wild, a_quarter, any_limits, calendar, climbs, planned_sets, points,
    routine_of, scripts, tables, train, write,
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
    let morning = Morning { rating: rating([0, 1, 2][settling]), usual };
    Findings {
        sets: vec![RatedSet { rating: rating(in_zone.into()), site: None }],
        stopped: [Stopped::No, Stopped::BecauseOfPain][stopped],
        morning: answered.then_some(morning),
        swelling: Some([Swelling::NoMore, Swelling::ALittleMore][swelling]),
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

fn any_findings() -> impl Strategy<Value = Findings> {
    let site = prop::option::of(select(SITES.map(|(name, _)| name).to_vec()));
    let set = (points(), site)
        .prop_map(|(points, site)| RatedSet { rating: rating(points), site: site.map(words) });
    let morning = (points(), 0_i16..=20).prop_map(|(points, half_points)| Morning {
        rating: rating(points),
        usual: Usual { half_points: HalfPoints(half_points), from: UsualFrom::Mornings },
    });
    (
        prop::collection::vec(set, 1..4),
        select(vec![Stopped::No, Stopped::No, Stopped::BecauseOfPain]),
        prop::option::of(morning),
        prop::option::of(select(vec![
            Swelling::NoMore,
            Swelling::ALittleMore,
            Swelling::ClearlyMore,
        ])),
        select(vec![Weeks::Steady, Weeks::Rising]),
        select(vec![Earlier::NoHold, Earlier::HoldWithinSevenDays]),
        select(vec![Footing::CanEase, Footing::NothingEasier]),
    )
        .prop_map(|(sets, stopped, morning, swelling, weeks, earlier, footing)| Findings {
            sets,
            stopped,
            morning,
            swelling,
            warning: Warning::None,
            weeks,
            earlier,
            footing,
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
        7 => worse.swelling = worse.swelling.max(Some(Swelling::ALittleMore)),
        8 => worse.swelling = Some(Swelling::ClearlyMore),
        9 => worse.warning = Warning::Ticked,
        10 => worse.weeks = Weeks::Rising,
        11 => worse.earlier = Earlier::HoldWithinSevenDays,
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
        what in 0_usize..13,
        which in any::<Index>(),
    ) {
        let Some(worse) = worse(&findings, what, which) else { return Ok(()) };
        let before = decide(&limits, &findings).unwrap();
        let after = decide(&limits, &worse).unwrap();
        prop_assert!(before.order <= after.order, "{before:?} then {after:?}");
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
            prop_assert!(findings.swelling.is_none_or(|swelling| swelling == Swelling::NoMore));
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
        for accepted in &story.history().accepted {
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
            if judged.next <= judged.from {
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
            .accepted
            .iter()
            .map(|accepted| (accepted.routine.version.get(), accepted.routine.limits.clone()))
            .collect();
        for judged in story.course().judged().iter().filter(|judged| judged.from < judged.next) {
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
        let judged = write(&script).course().judged().to_vec();
        for pair in judged.windows(2).filter(|pair| pair[0].version == pair[1].version) {
            prop_assert!(pair[1].from <= pair[0].next, "{pair:?}");
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
            let answered = matches!(last.what, Fact::RoutineAccepted { .. } | Fact::ToldToGoOn);
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
