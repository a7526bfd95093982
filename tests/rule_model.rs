//! The rule a second time, as one would do it with a pencil: day after day in a diary, each day
//! settled once, the next morning. Random diaries must end the same way in the app, which takes
//! events as they come and judges a day anew with each.
//!
//! Written from `docs/clinical-rule.md` alone; it shares the table and the zones with the app, and
//! nothing else.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeMap;

use carryover::domain::course::{Availability, Stop};
use carryover::domain::event::Fact;
use carryover::domain::ladder::OnLowestRung;
use carryover::domain::rule::{
    AfterMiddleSet, Cell, Limits, MayStepUp, Settling, SiteCounts, Swelling, Zone,
};
use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use proptest::sample::select;
use support::scripts::{
    Climb, Going, PlannedSet, SITES, a_quarter, any_limits, climbs, planned_sets, points,
    routine_of, train,
};
use support::*;

/// One page of the diary, in the order of the day.
#[derive(Clone, Debug)]
struct Page {
    /// Morning rating, if any, and swelling.
    morning: Option<(Option<i64>, Swelling)>,
    told_to_go_on: bool,
    warning: bool,
    /// Pain at rest, and the sets of a session; a second session where there is time.
    evenings: Vec<(Option<i64>, Vec<PlannedSet>)>,
}

fn pages(going: Going) -> impl Strategy<Value = Page> {
    let swelling = prop_oneof![
        12 => Just(Swelling::NoMore), 1 => Just(Swelling::ALittleMore), 1 => Just(Swelling::ClearlyMore)
    ];
    let rated = match going {
        Going::Well => (0_i64..=1).boxed(),
        Going::Anyhow => points().boxed(),
    };
    let morning = prop::option::weighted(0.85, (prop::option::weighted(0.95, rated), swelling));
    let evening = (prop::option::of(0_i64..=3), planned_sets(going));
    let times = select(vec![0, 1, 1, 1, 1, 1, 1, 2]);
    (
        morning,
        prop::bool::weighted(0.1),
        prop::bool::weighted(0.02),
        (times, prop::array::uniform2(evening)),
    )
        .prop_map(|(morning, told_to_go_on, warning, (times, evenings))| Page {
            morning,
            told_to_go_on,
            warning,
            evenings: evenings.into_iter().take(times).collect(),
        })
}

fn diaries() -> impl Strategy<Value = Vec<Page>> {
    let anyhow = prop::collection::vec(pages(Going::Anyhow), 0..14);
    let well = prop::collection::vec(pages(Going::Well), 0..26);
    (anyhow, well).prop_map(|(anyhow, well)| [anyhow, well].concat())
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Says {
    KeepAndCount,
    KeepUnanswered,
    KeepAndStay,
    Ease,
    Hold,
    HoldForSomeone,
}

/// Where the client stands. Heights count rungs from 1; below 1 they count sets taken off.
#[derive(Clone, Debug)]
struct Stands {
    height: i64,
    count: i64,
    stepped_up: Option<i64>,
    /// The day of a Hold, and what was a usual morning then, in half points.
    hold: Option<(i64, i64)>,
    holds: Vec<i64>,
    waits: Option<Stop>,
}

/// What was noted about a training day.
#[derive(Clone, Debug)]
struct Trained {
    day: i64,
    before: Stands,
    /// The zones of its rated sets.
    zones: Vec<Zone>,
    stopped: bool,
    last_rung: i64,
    usual: i64,
}

struct Pencil {
    limits: Limits,
    climb: Climb,
    stands: Stands,
    mornings: BTreeMap<i64, (i64, Swelling)>,
    /// Yesterday, or today once it has begun.
    open: Option<Trained>,
    said: Vec<(i64, Says, i64)>,
}

impl Pencil {
    fn easier(&self, height: i64) -> Option<i64> {
        let (.., sets) = self.climb;
        match (height, self.limits.on_lowest_rung) {
            (2.., _) => Some(height - 1),
            (_, OnLowestRung::Hold) => None,
            (_, OnLowestRung::OneSetFewer) => Some((height - 1).max(2 - sets)),
        }
    }

    fn zone(&self, points: i64, site: Option<&str>) -> Zone {
        let table = &self.limits.table;
        let zone = match points {
            points if points <= i64::from(table.low_max().points()) => 0,
            points if points <= i64::from(table.middle_max().points()) => 1,
            _ => 2,
        };
        let counts = site.and_then(|site| SITES.iter().find(|(name, _)| *name == site));
        let zone = match (counts.map(|(_, counts)| counts), zone) {
            (Some(SiteCounts::OneZoneWorse), zone) if 0 < points => (zone + 1).min(2),
            (Some(SiteCounts::NotedOnly), 0 | 1) => 0,
            (_, zone) => zone,
        };
        Zone::ALL[zone]
    }

    /// Twice the median of some ratings.
    fn half_points(mut points: Vec<i64>) -> i64 {
        points.sort_unstable();
        points[points.len() / 2] + points[(points.len() - 1) / 2]
    }

    fn usual(&self, at_rest: Option<i64>) -> i64 {
        let last: Vec<i64> = self.mornings.values().rev().take(7).map(|one| one.0).collect();
        match (self.limits.usual_morning, at_rest) {
            (Some(usual), _) => i64::from(usual.points()) * 2,
            (None, _) if 3 <= last.len() => Self::half_points(last),
            (None, at_rest) => at_rest.unwrap_or(0) * 2,
        }
    }

    fn weeks_rise(&self, today: i64) -> bool {
        let week = |from: i64| {
            let days = self.mornings.range(from - 6..=from);
            let points: Vec<i64> = days.map(|(_, one)| one.0).collect();
            (2 <= points.len()).then(|| Self::half_points(points))
        };
        matches!((week(today), week(today - 7)), (Some(this), Some(last)) if last + 2 <= this)
    }

    /// Settles a training day with what is known of the morning after it.
    fn settle(
        &self,
        trained: &Trained,
        morning: Option<i64>,
        swelling: Option<Swelling>,
        warning: bool,
    ) -> (Stands, Option<Says>) {
        let mut next = trained.before.clone();
        let start = next.height;
        let easier = self.easier(start);
        let worst = trained.zones.iter().max().copied();
        let says = if warning {
            Some(Says::HoldForSomeone)
        } else if worst.is_none() && !trained.stopped {
            None
        } else {
            let zone = if trained.stopped { Zone::High } else { worst.unwrap() };
            let rise = morning.map(|points| points * 2 - trained.usual);
            let mut column = match rise {
                None => 3,
                Some(..=0) => 0,
                Some(1..4) => 1,
                Some(_) => 2,
            };
            if column < 2 && self.weeks_rise(trained.day + 1) {
                column += 1;
            }
            let mut cell = self.limits.table.cell(zone, Settling::ALL[column]);
            if swelling == Some(Swelling::ClearlyMore) {
                cell = Cell::Hold;
            }
            let little = swelling == Some(Swelling::ALittleMore);
            let near = |day: &i64| (1..7).contains(&(trained.day - day));
            Some(match cell {
                Cell::Ease if easier.is_some() => Says::Ease,
                Cell::Ease | Cell::Hold if next.holds.iter().any(near) => Says::HoldForSomeone,
                Cell::Ease | Cell::Hold => Says::Hold,
                Cell::Counts | Cell::Stay if column == 3 => Says::KeepUnanswered,
                Cell::Counts if !little => Says::KeepAndCount,
                Cell::Counts | Cell::Stay => Says::KeepAndStay,
            })
        };
        let Some(says) = says else { return (next, None) };
        let last = start.min(trained.last_rung);
        match says {
            Says::KeepAndCount | Says::KeepUnanswered | Says::KeepAndStay => next.height = last,
            Says::Ease | Says::Hold | Says::HoldForSomeone => {
                next.height = last.min(easier.unwrap_or(start));
            }
        }
        match says {
            Says::KeepAndCount => next.count += 1,
            Says::KeepUnanswered => {}
            Says::KeepAndStay | Says::Ease | Says::Hold | Says::HoldForSomeone => next.count = 0,
        }
        if matches!(says, Says::Hold | Says::HoldForSomeone) {
            next.hold = Some((trained.day, trained.usual));
            next.holds.push(trained.day);
        }
        if says == Says::HoldForSomeone {
            next.waits = Some(if warning { Stop::WarningSign } else { Stop::TwoHolds });
        }
        let (_, start_rung, ceiling, _) = self.climb;
        let top = match self.limits.may_step_up {
            MayStepUp::Nothing => i64::MIN,
            MayStepUp::WinBack => start_rung,
            MayStepUp::ToTheCeiling => ceiling,
        };
        if says == Says::KeepAndCount
            && i64::from(self.limits.step_up_after.get()) <= next.count
            && next.height < top
            && next.stepped_up.is_none_or(|last| 7 <= trained.day - last)
        {
            next.height += 1;
            next.count = 0;
            next.stepped_up = Some(trained.day);
        }
        (next, Some(says))
    }

    /// Whether the exercise may be done, and why not.
    fn may(&self, today: i64) -> Result<(), Option<Stop>> {
        if let Some(stop) = self.stands.waits {
            return Err(Some(stop));
        }
        let Some((held, usual)) = self.stands.hold else { return Ok(()) };
        let back = held + i64::from(self.limits.rest_days.get()) + 1;
        let last = back.max(held + 7);
        let good = |day: i64| {
            let since = self.mornings.range(held + 1..=day).next_back();
            since.is_some_and(|(_, (points, swelling))| {
                points * 2 <= usual && *swelling != Swelling::ClearlyMore
            })
        };
        if (back..=last.min(today)).any(good) {
            Ok(())
        } else if last < today {
            Err(Some(Stop::NotSettled))
        } else {
            Err(None)
        }
    }

    /// Notes what the open day now says, in place of what it said before.
    fn note(&mut self, day: i64, (stands, says): (Stands, Option<Says>)) {
        if let Some(says) = says {
            self.said.retain(|(of, ..)| *of != day);
            self.said.push((day, says, stands.height));
        }
        self.stands = stands;
    }

    fn morning(&mut self, today: i64, morning: Option<(Option<i64>, Swelling)>) {
        if let Some((Some(points), swelling)) = morning {
            self.mornings.insert(today, (points, swelling));
        }
        if let Some(trained) = self.open.clone().filter(|trained| trained.day + 1 == today) {
            let points = morning.and_then(|(points, _)| points);
            let settled = self.settle(&trained, points, morning.map(|one| one.1), false);
            self.note(trained.day, settled);
        }
    }

    fn told_to_go_on(&mut self, today: i64) {
        if let Err(Some(_)) = self.may(today) {
            self.stands.waits = None;
            self.stands.hold = None;
            self.stands.holds.clear();
            self.open = None;
        }
    }

    fn warning(&mut self, today: i64) {
        if let Some(trained) = self.open.clone().filter(|trained| trained.day + 1 == today) {
            let settled = self.settle(&trained, None, None, true);
            self.note(trained.day, settled);
        } else if self.stands.waits != Some(Stop::WarningSign) {
            let mut stands = self.stands.clone();
            stands.height = self.easier(stands.height).unwrap_or(stands.height);
            stands.count = 0;
            stands.waits = Some(Stop::WarningSign);
            self.note(today, (stands, Some(Says::HoldForSomeone)));
            self.open = None;
        }
    }

    fn evening(&mut self, today: i64, at_rest: Option<i64>, sets: &[PlannedSet]) {
        let high = |trained: &Trained| trained.stopped || trained.zones.contains(&Zone::High);
        let again = self.open.clone().filter(|trained| trained.day == today);
        if self.may(today).is_err() || again.as_ref().is_some_and(high) {
            return;
        }
        let height = self.stands.height;
        let (.., prescribed) = self.climb;
        let mut rung = height.max(1);
        let mut trained = again.unwrap_or_else(|| {
            let before = Stands { hold: None, ..self.stands.clone() };
            let (zones, usual) = (Vec::new(), self.usual(at_rest));
            Trained { day: today, before, zones, stopped: false, last_rung: rung, usual }
        });
        for set in sets.iter().take(usize::try_from(prescribed + height.min(1) - 1).unwrap()) {
            trained.last_rung = rung;
            trained.stopped |= set.stopped;
            let Some(points) = set.points else { continue };
            let zone = self.zone(points, set.site);
            trained.zones.push(zone);
            if set.stopped || zone == Zone::High {
                break;
            }
            if zone == Zone::Middle && self.limits.after_middle_set == AfterMiddleSet::OneRungDown {
                rung = (rung - 1).max(1);
            }
        }
        let settled = self.settle(&trained, None, None, false);
        self.note(today, settled);
        self.open = Some(trained);
    }
}

fn says(order: carryover::domain::rule::Order) -> Says {
    use carryover::domain::rule::Order;
    match order {
        Order::KeepAndCount => Says::KeepAndCount,
        Order::KeepUnanswered => Says::KeepUnanswered,
        Order::KeepAndStay => Says::KeepAndStay,
        Order::Ease => Says::Ease,
        Order::HoldUntilRested => Says::Hold,
        Order::HoldUntilAnswered => Says::HoldForSomeone,
    }
}

fn may(availability: Availability) -> Result<(), Option<Stop>> {
    match availability {
        Availability::Open => Ok(()),
        Availability::Held { .. } => Err(None),
        Availability::Stopped(stop) => Err(Some(stop)),
    }
}

proptest! {
    #![proptest_config(a_quarter())]

    #[test]
    fn a_diary_kept_with_a_pencil_ends_as_in_the_app(
        limits in any_limits(),
        climb in climbs(),
        diary in diaries(),
    ) {
        let mut story = Story::of(&routine_of(1, &limits, climb));
        let stands = Stands {
            height: climb.1,
            count: 0,
            stepped_up: None,
            hold: None,
            holds: Vec::new(),
            waits: None,
        };
        let (mornings, said) = (BTreeMap::new(), Vec::new());
        let mut pencil = Pencil { limits, climb, stands, mornings, open: None, said };
        for (today, page) in (0_i64..).zip(&diary) {
            let date: NaiveDate = first(chrono::Weekday::Mon) + Days::new(today.unsigned_abs());
            if let Some((points, swelling)) = page.morning {
                let rated = points.map(|points| (id("heel-drop"), rating(points)));
                let (after, ratings) = (date.pred_opt().unwrap(), rated.into_iter().collect());
                story.note(at(date, "07:00"), Fact::MorningAnswered { after, ratings, swelling });
            }
            pencil.morning(today, page.morning);
            if page.told_to_go_on {
                story.told_to_go_on(at(date, "12:00"));
                pencil.told_to_go_on(today);
            }
            if page.warning {
                story.warning(at(date, "12:30"));
                pencil.warning(today);
            }
            prop_assert_eq!(may(story.availability(date)), pencil.may(today), "on {}", date);
            for (time, (at_rest, sets)) in ["18:00", "20:00"].iter().zip(&page.evenings) {
                train(&mut story, at(date, time), sets, *at_rest, false);
                pencil.evening(today, *at_rest, sets);
            }
        }
        let course = story.course();
        let height = |foothold: carryover::domain::ladder::Foothold| {
            i64::from(foothold.rung.get()) - i64::from(foothold.fewer_sets)
        };
        let judged: Vec<_> = course
            .judged()
            .iter()
            .map(|one| {
                let day = (one.day - first(chrono::Weekday::Mon)).num_days();
                (day, says(one.verdict.order), height(one.next))
            })
            .collect();
        prop_assert_eq!(&judged, &pencil.said);
        prop_assert_eq!(height(course.foothold()), pencil.stands.height);
        prop_assert_eq!(i64::from(course.count()), pencil.stands.count);
    }
}
