//! The course of one exercise from day to day: what each verdict does to the rung, the count toward
//! a step up, and the days off.
//!
//! A [`Course`] takes facts in the order in which they happened and recomputes only the training days
//! that are still open: the last one and, until its morning is over, the one before. A verdict once
//! final is never changed by what comes later.

use std::collections::BTreeSet;

use chrono::{DateTime, Days, FixedOffset, NaiveDate, Timelike};
use serde::{Deserialize, Serialize};

use super::event::EventId;
use super::ladder::{Foothold, RungNumber};
use super::pain::{HalfPoints, PainRating, median};
use super::routine::{Exercise, Version};
use super::rule::{
    self, Earlier, Findings, Footing, Limits, MayStepUp, Morning, Order, RatedSet, Reason,
    Settling, Stopped, Swelling, Usual, UsualFrom, Verdict, Warning, Weeks, Zone,
};
use super::words::Words;

/// A morning begins at 04:00; anything before it still belongs to the night.
pub const MORNING_FROM: u32 = 4;
/// How long a Hold waits for a settled morning before the practitioner is asked for.
const WAIT_FOR_SETTLED: u64 = 7;
/// No second step up, and a second Hold counts, within this many days.
const WEEK: i64 = 7;

/// An answered morning, as one exercise reads it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct AnsweredMorning {
    pub date: NaiveDate,
    pub rating: PainRating,
    pub swelling: Swelling,
}

/// Why an exercise is left out until someone qualified has answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum Stop {
    WarningSign,
    TwoHolds,
    /// Seven days after a Hold without a settled morning.
    NotSettled,
    /// A Hold that lies in the days to come: it was noted by a clock that ran ahead.
    ClockRanAhead,
}

/// Days off after a Hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
struct DaysOff {
    held_on: NaiveDate,
    back_on: NaiveDate,
    /// The last day on which a settled morning brings it back. A Hold on top of one that waits still does
    /// not put that day off.
    last_chance: NaiveDate,
    usual: Usual,
}

enum DaysOffNow {
    Over,
    Waiting,
    GivenUp,
    ClockRanAhead,
}

impl DaysOff {
    /// The exercise comes back on the first day, from `back_on` on, on which the latest answer since
    /// the Hold was settled.
    fn now(&self, mornings: &[AnsweredMorning], today: NaiveDate) -> DaysOffNow {
        // A flight to the west alone sets the calendar back by a day.
        if add_days(today, 1) < self.held_on {
            return DaysOffNow::ClockRanAhead;
        }
        let settled_on = |date: NaiveDate| {
            let until = mornings.partition_point(|morning| morning.date <= date);
            let latest = mornings[..until].last().filter(|latest| self.held_on < latest.date);
            latest.is_some_and(|morning| {
                let settling = Morning { rating: morning.rating, usual: self.usual }.settling();
                settling == Settling::Settled && morning.swelling != Swelling::ClearlyMore
            })
        };
        let asked_until = today.min(self.last_chance);
        if self.back_on.iter_days().take_while(|date| *date <= asked_until).any(settled_on) {
            DaysOffNow::Over
        } else if self.last_chance < today {
            DaysOffNow::GivenUp
        } else {
            DaysOffNow::Waiting
        }
    }
}

fn add_days(date: NaiveDate, days: u64) -> NaiveDate {
    date.checked_add_days(Days::new(days)).unwrap_or(NaiveDate::MAX)
}

/// Whether an exercise may be done on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Availability {
    Open,
    /// Left out; back on that day at the earliest, and after a Hold once the latest morning was settled.
    Held {
        back_on: NaiveDate,
    },
    /// Left out until someone qualified has answered.
    Stopped(Stop),
}

/// Where an exercise goes on under a new version of its routine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GoesOn {
    /// With the help that was reached, whatever number its rung has now.
    Kept { was: Foothold, is: Foothold },
    /// On the new ceiling, which is below what was reached.
    AtTheCeiling { is: Foothold },
    /// On the starting rung: it was moved, or what was reached is not on the ladder any more.
    AtTheStart { is: Foothold },
    /// On the starting rung of an exercise that the client never had.
    New { is: Foothold },
}

impl GoesOn {
    pub const fn foothold(self) -> Foothold {
        match self {
            Self::Kept { is, .. }
            | Self::AtTheCeiling { is }
            | Self::AtTheStart { is }
            | Self::New { is } => is,
        }
    }
}

/// Where an exercise stands between two training days.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
struct Standing {
    foothold: Foothold,
    /// Step-up days in a row.
    count: u16,
    last_step_up: Option<NaiveDate>,
    days_off: Option<DaysOff>,
    stop: Option<Stop>,
    /// Training days that ended in a Hold and that nobody has answered yet.
    holds: Vec<NaiveDate>,
}

/// One training day, as far as it has gone.
#[derive(Clone, Debug, Deserialize, Serialize)]
struct Day {
    date: NaiveDate,
    /// What stood before this day, from which it is judged anew with each fact.
    before: Standing,
    /// The Hold that was over when this day began.
    hold_over: Option<NaiveDate>,
    /// Why the exercise was to be left out when this day began.
    stop: Option<Stop>,
    /// Its place among the verdicts, once it has one.
    place: Option<usize>,
    first_rung: RungNumber,
    last_rung: RungNumber,
    sets: Vec<(EventId, u16, RatedSet)>,
    stopped: Stopped,
    usual: Usual,
    morning: Option<PainRating>,
    swelling: Option<Swelling>,
    weeks: Weeks,
    warning: Warning,
}

/// The verdict of one training day, with what it led to.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Judged {
    pub day: NaiveDate,
    pub version: Version,
    pub verdict: Verdict,
    /// Where the day started, and where the next one starts.
    pub from: Foothold,
    pub next: Foothold,
}

/// One exercise, folded from the log so far.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct Course {
    exercise: Exercise,
    limits: Limits,
    version: Version,
    standing: Standing,
    /// The training days that are still open, oldest first.
    open: Vec<Day>,
    mornings: Vec<AnsweredMorning>,
    judged: Vec<Judged>,
    /// Days at whose end the rule left the exercise out.
    #[serde(skip)]
    days_left_out: BTreeSet<NaiveDate>,
    /// Training days that began while it was to be left out.
    #[serde(skip)]
    days_against: BTreeSet<NaiveDate>,
}

impl Course {
    /// An exercise on the day its routine was first accepted.
    pub fn new(exercise: Exercise, limits: Limits, version: Version) -> Self {
        let standing = Standing {
            foothold: Foothold::on(exercise.ladder.start()),
            count: 0,
            last_step_up: None,
            days_off: None,
            stop: None,
            holds: Vec::new(),
        };
        Self {
            exercise,
            limits,
            version,
            standing,
            open: Vec::new(),
            mornings: Vec::new(),
            judged: Vec::new(),
            days_left_out: BTreeSet::new(),
            days_against: BTreeSet::new(),
        }
    }

    /// All of it that the days after `last_day` ask for, of which every fact is known.
    #[must_use]
    pub fn brought_forward(&self, last_day: NaiveDate) -> Self {
        let is_recent = |date: NaiveDate| (last_day - date).num_days() < 2 * WEEK;
        let mut course = self.clone();
        let standings = course.open.iter_mut().map(|day| &mut day.before);
        let mut held_since = NaiveDate::MAX;
        for standing in standings.chain([&mut course.standing]) {
            standing.holds.retain(|held| is_recent(*held));
            held_since =
                held_since.min(standing.days_off.map_or(NaiveDate::MAX, |off| off.held_on));
        }
        // A usual morning is the median of the last seven.
        let counts =
            |morning: &AnsweredMorning| is_recent(morning.date) || held_since < morning.date;
        let older = course.mornings.partition_point(|morning| !counts(morning));
        course.mornings.drain(..older.min(course.mornings.len().saturating_sub(7)));
        let changeable = course.open.iter().filter_map(|day| day.place).min();
        let last_two = course.judged.len().saturating_sub(2);
        let settled = changeable.unwrap_or(last_two).min(last_two);
        course.judged.drain(..settled);
        for place in course.open.iter_mut().filter_map(|day| day.place.as_mut()) {
            *place -= settled;
        }
        course.days_left_out.clear();
        course.days_against.clear();
        course
    }

    /// A new routine version is the practitioner's answer: every Hold and stop is lifted. The rung
    /// reached is kept as [`goes_on`](Self::goes_on) says, the count only where ladder, dose and
    /// limits are the same. The history stays.
    pub fn revise(&mut self, exercise: Exercise, limits: Limits, version: Version) {
        self.standing.foothold = self.goes_on(&exercise).foothold();
        let same_ladder = self.exercise.ladder == exercise.ladder;
        let same_dose = self.exercise.dose == exercise.dose;
        if !(same_ladder && same_dose && self.limits == limits) {
            self.standing.count = 0;
        }
        self.exercise = exercise;
        self.limits = limits;
        self.version = version;
        self.lift();
    }

    /// Where the client would go on if a new version had the exercise like this. The rung reached is
    /// kept where its help still stands on the ladder and the practitioner did not move the start;
    /// sets taken off are given back where the dose changed; nothing is above the new ceiling.
    pub fn goes_on(&self, revised: &Exercise) -> GoesOn {
        let (before, after) = (&self.exercise, revised);
        let was = self.standing.foothold;
        let start = after.ladder.find(&before.ladder, before.ladder.start());
        let start_moved = start.unwrap_or(before.ladder.start()) != after.ladder.start();
        let found = after.ladder.find(&before.ladder, was.rung).filter(|_| !start_moved);
        let Some(rung) = found else {
            return GoesOn::AtTheStart { is: Foothold::on(after.ladder.start()) };
        };
        let same_dose = before.dose == after.dose
            && before.ladder.rung(was.rung).dose == after.ladder.rung(rung).dose;
        let kept = if same_dose { was.renumbered(rung) } else { Foothold::on(rung) };
        let ceiling = Foothold::on(after.ladder.ceiling());
        if ceiling < kept {
            GoesOn::AtTheCeiling { is: ceiling }
        } else {
            GoesOn::Kept { was, is: kept }
        }
    }

    /// Someone qualified said to go on: lifts what waits for such an answer, and nothing else.
    pub fn told_to_go_on(&mut self, today: NaiveDate) {
        if matches!(self.availability(today), Availability::Stopped(_)) {
            self.lift();
        }
    }

    fn lift(&mut self) {
        self.standing.stop = None;
        self.standing.days_off = None;
        self.standing.holds.clear();
        self.open.clear();
    }

    /// A day is over: notes whether the rule left the exercise out.
    pub fn end_of_day(&mut self, date: NaiveDate) {
        if self.availability(date) != Availability::Open {
            self.days_left_out.insert(date);
        }
    }

    /// Whether the rule left the exercise out at the end of a day that is over, or leaves it out now.
    pub fn was_left_out_on(&self, date: NaiveDate) -> bool {
        self.days_left_out.contains(&date)
    }

    /// Whether the client trained on a day that began while the exercise was to be left out.
    pub fn was_done_against(&self, date: NaiveDate) -> bool {
        self.days_against.contains(&date)
    }

    /// A set was worked on `rung` in a session that started on `date`; `at_rest` is the pain before it.
    pub fn set_ended(
        &mut self,
        date: NaiveDate,
        rung: RungNumber,
        at_rest: Option<PainRating>,
        stopped: Stopped,
    ) {
        let index = self.open_day(date, rung, at_rest);
        let day = &mut self.open[index];
        day.last_rung = rung;
        day.stopped = day.stopped.max(stopped);
        self.judge_from(index);
    }

    /// The place of a training day among the open ones. A day that begins closes every day whose
    /// morning it is not.
    fn open_day(
        &mut self,
        date: NaiveDate,
        rung: RungNumber,
        at_rest: Option<PainRating>,
    ) -> usize {
        if let Some(index) = self.open.iter().position(|day| day.date == date) {
            return index;
        }
        self.open.retain(|day| add_days(day.date, 1) == date);
        let held_on = self.standing.days_off.map(|days_off| days_off.held_on);
        let availability = self.availability(date);
        if availability != Availability::Open {
            self.days_against.insert(date);
        }
        let (hold_over, stop) = match availability {
            Availability::Open => (held_on, None),
            Availability::Held { .. } => (None, None),
            Availability::Stopped(stop) => (None, Some(stop)),
        };
        self.open.push(Day {
            date,
            before: self.standing.clone(),
            hold_over,
            stop,
            place: None,
            first_rung: rung,
            last_rung: rung,
            sets: Vec::new(),
            stopped: Stopped::No,
            usual: self.usual(at_rest),
            morning: None,
            swelling: None,
            weeks: Weeks::Steady,
            warning: Warning::None,
        });
        self.open.len() - 1
    }

    /// A set of a session that started on `date` was rated; rating it again replaces the rating.
    pub fn set_rated(
        &mut self,
        date: NaiveDate,
        (session, number): (EventId, u16),
        rating: PainRating,
        site: Option<Words>,
    ) {
        let Some(index) = self.open.iter().position(|day| day.date == date) else { return };
        let day = &mut self.open[index];
        day.sets.retain(|(in_session, in_set, _)| (*in_session, *in_set) != (session, number));
        day.sets.push((session, number, RatedSet { rating, site }));
        self.judge_from(index);
    }

    /// A morning was answered at `at`. It belongs to the training day before, whether or not the next
    /// one has begun, and is a morning of its own date in any case. Before 04:00 it is no morning yet.
    pub fn morning_answered(
        &mut self,
        at: DateTime<FixedOffset>,
        rating: Option<PainRating>,
        swelling: Swelling,
    ) {
        if at.hour() < MORNING_FROM {
            return;
        }
        let date = at.date_naive();
        if let Some(rating) = rating {
            match self.mornings.binary_search_by_key(&date, |morning| morning.date) {
                Ok(place) => {
                    let known = &mut self.mornings[place];
                    known.rating = known.rating.max(rating);
                    known.swelling = known.swelling.max(swelling);
                }
                Err(place) => {
                    self.mornings.insert(place, AnsweredMorning { date, rating, swelling });
                }
            }
        }
        let weeks = self.weeks(date);
        if let Some(index) = self.open.iter().position(|day| add_days(day.date, 1) == date) {
            let day = &mut self.open[index];
            day.swelling = day.swelling.max(Some(swelling));
            day.morning = day.morning.max(rating);
            day.weeks = weeks;
            self.judge_from(index);
        }
    }

    /// A warning sign was ticked on `date`. It settles the training day it belongs to, that day or
    /// the one before; without one it is a Hold of its own.
    pub fn warning_ticked(&mut self, date: NaiveDate) {
        let belongs = |day: &Day| day.date == date || add_days(day.date, 1) == date;
        if let Some(index) = self.open.iter().rposition(belongs) {
            self.open[index].warning = Warning::Ticked;
            self.judge_from(index);
            return;
        }
        if self.standing.stop == Some(Stop::WarningSign) {
            return;
        }
        let from = self.standing.foothold;
        self.standing.foothold = self.easier(from).unwrap_or(from);
        self.standing.count = 0;
        self.standing.stop = Some(Stop::WarningSign);
        self.open.clear();
        self.judged.push(Judged {
            day: date,
            version: self.version,
            verdict: Verdict {
                order: Order::HoldUntilAnswered,
                reasons: vec![Reason::WarningSign],
            },
            from,
            next: self.standing.foothold,
        });
    }

    /// What a morning is usually like: as recorded at the visit, else the median of the last seven
    /// answered mornings so far (three at least), else pain at rest before the session.
    fn usual(&self, at_rest: Option<PainRating>) -> Usual {
        if let Some(rating) = self.limits.usual_morning {
            return Usual { half_points: rating.into(), from: UsualFrom::Visit };
        }
        let last: Vec<PainRating> =
            self.mornings.iter().rev().take(7).map(|morning| morning.rating).collect();
        match (median(&last), at_rest) {
            (Some(half_points), _) if 3 <= last.len() => {
                Usual { half_points, from: UsualFrom::Mornings }
            }
            (_, Some(rating)) => Usual { half_points: rating.into(), from: UsualFrom::AtRest },
            (_, None) => Usual { half_points: HalfPoints(0), from: UsualFrom::Nothing },
        }
    }

    /// The median of the seven mornings ending on `today`, and of the seven before; each needs two answers.
    pub fn weekly_medians(&self, today: NaiveDate) -> (Option<HalfPoints>, Option<HalfPoints>) {
        let week = |ages: std::ops::Range<i64>| {
            let older_than = |days: i64| {
                self.mornings.partition_point(|morning| days <= (today - morning.date).num_days())
            };
            let of_week = &self.mornings[older_than(ages.end)..older_than(ages.start)];
            let ratings: Vec<_> = of_week.iter().map(|morning| morning.rating).collect();
            if ratings.len() < 2 { None } else { median(&ratings) }
        };
        (week(0..7), week(7..14))
    }

    fn weeks(&self, today: NaiveDate) -> Weeks {
        match self.weekly_medians(today) {
            (Some(this), Some(last)) if HalfPoints(2) <= this.above(last) => Weeks::Rising,
            (Some(_) | None, Some(_) | None) => Weeks::Steady,
        }
    }

    fn easier(&self, from: Foothold) -> Option<Foothold> {
        let lowest = self.exercise.dose.with(&self.exercise.ladder.rung(RungNumber::LEAST).dose);
        from.easier(self.limits.on_lowest_rung, lowest.sets.get())
    }

    /// Judges the open days from `index` on, each from where the one before leads.
    fn judge_from(&mut self, index: usize) {
        for index in index..self.open.len() {
            let standing = self.judge(index);
            match self.open.get_mut(index + 1) {
                Some(next) => next.before = standing,
                None => self.standing = standing,
            }
        }
    }

    /// Judges one open day, keeps its verdict, and returns where it leads.
    fn judge(&mut self, index: usize) -> Standing {
        let day = &self.open[index];
        let date = day.date;
        let mut standing = day.before.clone();
        standing.days_off = standing.days_off.filter(|off| Some(off.held_on) != day.hold_over);
        standing.stop = standing.stop.or(day.stop);
        let start = standing.foothold.min(Foothold::on(day.first_rung));
        let easier = self.easier(start);
        let recent = |held: &NaiveDate| (1..WEEK).contains(&(date - *held).num_days().abs());
        let findings = Findings {
            sets: day.sets.iter().map(|(_, _, set)| set.clone()).collect(),
            stopped: day.stopped,
            morning: day.morning.map(|rating| Morning { rating, usual: day.usual }),
            swelling: day.swelling,
            warning: day.warning,
            weeks: day.weeks,
            earlier: if standing.holds.iter().any(recent) {
                Earlier::HoldWithinSevenDays
            } else {
                Earlier::NoHold
            },
            footing: if easier.is_some() { Footing::CanEase } else { Footing::NothingEasier },
        };
        let Some(verdict) = rule::decide(&self.limits, &findings) else { return standing };
        let last = start.min(Foothold::on(day.last_rung));
        let eased = last.min(easier.unwrap_or(start));
        match verdict.order {
            Order::KeepAndCount => {
                standing.foothold = last;
                standing.count = standing.count.saturating_add(1);
                let next_day = self.open.get(index + 1);
                self.step_up(&mut standing, date, next_day.map(|day| day.first_rung));
            }
            Order::KeepUnanswered => standing.foothold = last,
            Order::KeepAndStay => {
                standing.foothold = last;
                standing.count = 0;
            }
            Order::Ease => {
                standing.foothold = eased;
                standing.count = 0;
            }
            Order::HoldUntilRested | Order::HoldUntilAnswered => {
                standing.foothold = eased;
                standing.count = 0;
                let back_on = add_days(date, u64::from(self.limits.rest_days.get()) + 1);
                let last_chance = standing.days_off.map_or_else(
                    || add_days(date, WAIT_FOR_SETTLED).max(back_on),
                    |waiting| waiting.last_chance,
                );
                let days_off = DaysOff { held_on: date, back_on, last_chance, usual: day.usual };
                standing.days_off = Some(days_off);
                standing.holds.push(date);
                if verdict.order == Order::HoldUntilAnswered {
                    let warned = verdict.reasons.contains(&Reason::WarningSign);
                    standing.stop = Some(if warned { Stop::WarningSign } else { Stop::TwoHolds });
                }
            }
        }
        let next = standing.foothold;
        let judged = Judged { day: date, version: self.version, verdict, from: start, next };
        if let Some(place) = day.place {
            self.judged[place] = judged;
        } else {
            self.open[index].place = Some(self.judged.len());
            self.judged.push(judged);
        }
        standing
    }

    /// The highest foothold that the app may give by itself.
    fn reach(&self) -> Option<Foothold> {
        match self.limits.may_step_up {
            MayStepUp::Nothing => None,
            MayStepUp::WinBack => Some(Foothold::on(self.exercise.ladder.start())),
            MayStepUp::ToTheCeiling => Some(Foothold::on(self.exercise.ladder.ceiling())),
        }
    }

    /// Takes a step up where one is due. Where the next day already began below it, the count stands
    /// and that day may take it.
    fn step_up(&self, standing: &mut Standing, date: NaiveDate, next_day: Option<RungNumber>) {
        let stepped_up = standing.foothold.harder();
        let due = self.limits.step_up_after.get() <= standing.count;
        let room = self.reach().is_some_and(|reach| standing.foothold < reach);
        let rested = standing.last_step_up.is_none_or(|last| WEEK <= (date - last).num_days());
        let in_time = next_day.is_none_or(|began_on| stepped_up <= Foothold::on(began_on));
        if due && room && rested && in_time {
            standing.foothold = stepped_up;
            standing.count = 0;
            standing.last_step_up = Some(date);
        }
    }

    pub const fn exercise(&self) -> &Exercise {
        &self.exercise
    }

    pub const fn limits(&self) -> &Limits {
        &self.limits
    }

    pub const fn foothold(&self) -> Foothold {
        self.standing.foothold
    }

    /// Step-up days in a row so far.
    pub const fn count(&self) -> u16 {
        self.standing.count
    }

    /// Whether enough step-up days stand in a row, and only the practitioner can give the next rung.
    pub fn ready_for_next_step(&self) -> bool {
        let top = Foothold::on(self.exercise.ladder.top());
        self.limits.step_up_after.get() <= self.standing.count
            && self.standing.foothold < top
            && self.reach().is_none_or(|reach| reach <= self.standing.foothold)
    }

    pub fn availability(&self, today: NaiveDate) -> Availability {
        if let Some(stop) = self.standing.stop {
            return Availability::Stopped(stop);
        }
        if let Some(days_off) = self.standing.days_off {
            match days_off.now(&self.mornings, today) {
                DaysOffNow::Over => {}
                DaysOffNow::Waiting => return Availability::Held { back_on: days_off.back_on },
                DaysOffNow::GivenUp => return Availability::Stopped(Stop::NotSettled),
                DaysOffNow::ClockRanAhead => return Availability::Stopped(Stop::ClockRanAhead),
            }
        }
        if self.open.iter().any(|day| day.date == today && self.is_ended(day)) {
            return Availability::Held { back_on: add_days(today, 1) };
        }
        Availability::Open
    }

    /// A set in the high zone ends an exercise for the day, whatever the table orders.
    fn is_ended(&self, day: &Day) -> bool {
        let is_high =
            |set: &RatedSet| self.limits.zone_of_set(set.rating, set.site.as_ref()) == Zone::High;
        day.stopped == Stopped::BecauseOfPain || day.sets.iter().any(|(_, _, set)| is_high(set))
    }

    /// The training day after which a Hold still asks for mornings on `today`.
    pub fn held_since(&self, today: NaiveDate) -> Option<NaiveDate> {
        match self.availability(today) {
            Availability::Held { .. } => self.standing.days_off.map(|days_off| days_off.held_on),
            Availability::Open | Availability::Stopped(_) => None,
        }
    }

    /// Every verdict so far, one a training day, oldest first.
    pub fn judged(&self) -> &[Judged] {
        &self.judged
    }

    /// Every answered morning, oldest first.
    pub fn mornings(&self) -> &[AnsweredMorning] {
        &self.mornings
    }
}
