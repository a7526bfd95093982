//! Training days as they go: what a day is opened with, what is noted on it, and what its verdict does.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::days_off::DaysOff;
use super::{
    Availability, Course, CourseState, Day, Judged, LightThen, NewStep, Plan, Stop,
    WAIT_FOR_SETTLED, WEEK, add_days, days_before,
};
use crate::domain::event_id::EventId;
use crate::domain::log::rule::{
    self, AnsweredWhen, Earlier, Findings, Morning, Order, RatedSet, Reason, Stopped, Verdict,
    Warning, Weeks,
};
use crate::domain::pain::PainRating;
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::plan::limits::{AfterBreak, Light, Limits, Zone};
use crate::domain::plan::routine::Exercise;

impl Course {
    /// The training day of that date, while nobody has answered what came of it.
    pub(super) fn open_on(&self, date: NaiveDate) -> Option<&Day> {
        self.open.iter().find(|day| day.date == date && day.answered.is_none())
    }

    fn open_place(&self, date: NaiveDate) -> Option<usize> {
        self.open.iter().position(|day| day.date == date && day.answered.is_none())
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
        day.at_rest = day.at_rest.max(at_rest);
        let is_high =
            at_rest.is_some_and(|rating| self.plan.limits.table.zone(rating) == Zone::High);
        if is_high && !self.high_at_rest.contains(&date) {
            self.high_at_rest.push(date);
        }
        self.judge_from(index);
        self.note_whether_held(add_days(date, 1));
    }

    /// The place of a training day among the open ones. A day that begins closes every day but the one
    /// before it.
    fn open_day(
        &mut self,
        date: NaiveDate,
        rung: RungNumber,
        at_rest: Option<PainRating>,
    ) -> usize {
        if let Some(index) = self.open_place(date) {
            return index;
        }
        self.open.drain(..self.open.len().saturating_sub(1));
        let availability = self.left_out(date);
        if self.availability(date) != Availability::Open {
            self.days_against.insert(date);
        }
        let (hold_over, stop) = match availability {
            Availability::Open => (self.waits_since(), None),
            // Training regardless lifts nothing: what only the calendar told stands from now on.
            Availability::Stopped(stop @ (Stop::NotSettled | Stop::ClockRanAhead)) => {
                (None, Some((stop, self.waits_since().unwrap_or(date))))
            }
            Availability::Stopped(stop @ Stop::TimeOff) => (None, Some((stop, date))),
            Availability::Held { .. }
            | Availability::Stopped(Stop::WarningSign | Stop::TwoHolds) => (None, None),
        };
        let after_break = self.is_break(date);
        let mut before = self.opened(self.standing.clone(), date, hold_over, after_break);
        before.stop = before.stop.or(stop);
        let start = before.foothold.min(Foothold::on(rung));
        self.open.push(Day {
            date,
            version: self.plan.version,
            plan: None,
            before,
            start,
            hold_over,
            stop,
            after_break,
            answered: None,
            corrected: false,
            place: None,
            first_rung: rung,
            last_rung: rung,
            sets: Vec::new(),
            stopped: Stopped::No,
            at_rest,
            usual: self.usual(at_rest),
            morning: None,
            swelling: None,
            told_on: BTreeSet::new(),
            weeks: Weeks::Steady,
            warning: Warning::None,
        });
        self.last_trained = self.last_trained.max(Some(date));
        self.open.len() - 1
    }

    /// What a standing is once a training day has begun on it: a Hold that is over is gone, a step up is
    /// in use, and a break has had its effect.
    pub(super) fn opened(
        &self,
        mut standing: CourseState,
        date: NaiveDate,
        hold_over: Option<NaiveDate>,
        after_break: bool,
    ) -> CourseState {
        standing.days_off = standing.days_off.filter(|off| Some(off.held_on) != hold_over);
        let new_step = standing.new_step.take();
        if after_break {
            standing.count = 0;
            if new_step.is_some() {
                standing.foothold = self.plan.down(standing.foothold);
            }
            if self.plan.limits.after_break == AfterBreak::OneRungLower {
                standing.foothold = self.plan.down(standing.foothold);
            }
        } else if new_step == Some(NewStep::DatedThen) {
            standing.last_step_up = Some(date);
        }
        standing
    }

    /// A set of a session that started on `date` was rated; rating it again replaces the rating.
    pub fn set_rated(
        &mut self,
        date: NaiveDate,
        (session, number): (EventId, u16),
        rated: RatedSet,
        corrected: bool,
    ) {
        let has =
            |day: &Day| day.sets.iter().any(|(one, two, _)| (*one, *two) == (session, number));
        // A correction goes where the rating went, though somebody has answered since.
        let known = self.open.iter().position(|day| day.date == date && has(day));
        let Some(index) = known.or_else(|| self.open_place(date)) else { return };
        let day = &mut self.open[index];
        day.sets.retain(|(in_session, in_set, _)| (*in_session, *in_set) != (session, number));
        day.sets.push((session, number, rated));
        day.corrected |= corrected;
        let morning = add_days(day.date, 1);
        self.judge_from(index);
        self.note_whether_held(morning);
    }

    /// A warning sign was ticked on `date`. It settles the training day of that date; without one it is a
    /// Hold of its own.
    pub fn warning_ticked(&mut self, date: NaiveDate) {
        if let Some(index) = self.open_place(date) {
            self.open[index].warning = Warning::Ticked;
            self.judge_from(index);
            return;
        }
        if self.standing.sign.is_some() {
            return;
        }
        // Time off takes what it takes on the first day back, whatever came before.
        let from = self.standing.foothold;
        self.standing.foothold = self.plan.down(from);
        self.standing.count = 0;
        self.standing.new_step = None;
        self.standing.sign = Some(date);
        self.standing.holds.push(date);
        self.settle();
        self.judged.push(Judged {
            day: date,
            version: self.plan.version,
            verdict: Verdict {
                order: Order::HoldUntilAnswered,
                reasons: vec![Reason::WarningSign],
            },
            from,
            next: self.standing.foothold,
        });
    }

    /// Something has answered what came of the days so far: what is noted on them later can bring an Ease
    /// or a Hold where their light was milder, and nothing else.
    pub(super) fn settle(&mut self) {
        for index in 0..self.open.len() {
            let light = self.light_told(&self.open[index]);
            let day = &mut self.open[index];
            day.answered = Some(LightThen(light));
            day.before = self.standing.clone();
        }
    }

    fn light_told(&self, day: &Day) -> Option<Light> {
        let judged = self.judged.get(day.place?)?;
        Some(judged.verdict.order.light())
    }

    /// Judges the open days from `index` on, each from where the one before leads.
    pub(super) fn judge_from(&mut self, index: usize) {
        for index in index..self.open.len() {
            let standing = self.judge(index);
            let Some(next) = self.open.get(index + 1) else {
                self.standing = standing;
                return;
            };
            let before = if next.answered.is_some() {
                standing
            } else {
                let mut before = self.opened(standing, next.date, next.hold_over, next.after_break);
                before.stop = before.stop.or(next.stop);
                // A step up that was trained on was one, whatever is learnt of the day that brought it.
                before.last_step_up = before.last_step_up.max(next.before.last_step_up);
                before
            };
            self.open[index + 1].before = before;
        }
    }

    /// The plan under which a day was trained.
    fn plan_of<'a>(&'a self, day: &'a Day) -> &'a Plan {
        day.plan.as_deref().unwrap_or(&self.plan)
    }

    fn findings(day: &Day, plan: &Plan) -> Findings {
        let (least, most) = (days_before(day.date, WEEK), add_days(day.date, WEEK));
        let recent = |held: &NaiveDate| *held != day.date && least < *held && *held < most;
        let morning = day.morning.map(|(rating, after)| Morning {
            rating,
            usual: day.usual,
            answered: if after {
                AnsweredWhen::AfterTraining
            } else {
                AnsweredWhen::BeforeTraining
            },
        });
        Findings {
            sets: day.sets.iter().map(|(_, _, set)| set.clone()).collect(),
            stopped: day.stopped,
            at_rest: day.at_rest,
            morning,
            swelling: day.swelling,
            warning: day.warning,
            weeks: day.weeks,
            earlier: if day.before.holds.iter().any(recent) {
                Earlier::HoldWithinSevenDays
            } else {
                Earlier::NoHold
            },
            footing: plan.footing(day.start, plan.limits.on_lowest_rung),
        }
    }

    /// How each training day that is still open reads under its own limits and under others, all that came
    /// before it being as it was; with the place of its verdict among those of [`judged`](Self::judged).
    pub fn read_under(
        &self,
        other: impl Fn(&Exercise, &Limits) -> Limits,
    ) -> impl Iterator<Item = (usize, Verdict, Verdict)> {
        self.open.iter().filter_map(move |day| {
            let plan = self.plan_of(day);
            let limits = other(&plan.exercise, &plan.limits);
            let mut findings = Self::findings(day, plan);
            let own = rule::decide(&plan.limits, &findings)?;
            findings.footing = plan.footing(day.start, limits.on_lowest_rung);
            if let Some(morning) = &mut findings.morning
                && limits.usual_morning != plan.limits.usual_morning
            {
                morning.usual = self.usual_under(&limits, day.at_rest, day.date);
            }
            Some((day.place?, own, rule::decide(&limits, &findings)?))
        })
    }

    /// Judges one open day, keeps its verdict, and returns where it leads.
    fn judge(&mut self, index: usize) -> CourseState {
        let day = &self.open[index];
        let plan = self.plan_of(day);
        let verdict = rule::decide(&plan.limits, &Self::findings(day, plan)).or_else(|| {
            // What swelling alone had brought was a slip: nothing was rated, nothing is counted.
            let reasons = vec![Reason::NotRated];
            day.place.map(|_| Verdict { order: Order::KeepNotCounted, reasons })
        });
        let Some(verdict) = verdict else {
            let mut standing = day.before.clone();
            if day.answered.is_none() {
                // What was learnt of the day before once this one had begun gives nothing back.
                standing.foothold = standing.foothold.min(day.start);
            }
            return standing;
        };
        let last = day.start.min(Foothold::on(day.last_rung));
        let next = match verdict.order {
            Order::KeepAndCount | Order::KeepNotCounted | Order::KeepAndStay => last,
            Order::Ease => last.min(plan.easier(day.start).unwrap_or(day.start)),
            Order::HoldUntilRested | Order::HoldUntilAnswered => last.min(plan.down(day.start)),
        };
        let standing = match day.answered {
            None => self.after(index, &verdict, next),
            Some(LightThen(light)) if light.is_none_or(|light| light < verdict.order.light()) => {
                let next = self.carried_over(plan, next);
                self.after_late(index, &verdict, next)
            }
            // The answer was to this verdict, and nothing has made it worse since.
            Some(LightThen(light)) if self.light_told(day) == light => return day.before.clone(),
            Some(_) => day.before.clone(),
        };
        let next = standing.foothold;
        // Once the next day has begun, what was said of its start is made no higher: there it began.
        let said = day.place.and_then(|place| self.judged.get(place)).map(|judged| judged.next);
        let next = match (said, self.open.get(index + 1)) {
            (Some(said), Some(next_day)) => next.min(said.max(next_day.start)),
            (Some(_) | None, Some(_) | None) => next,
        };
        let judged = Judged { day: day.date, version: day.version, verdict, from: day.start, next };
        if let Some(place) = day.place {
            self.judged[place] = judged;
        } else {
            self.open[index].place = Some(self.judged.len());
            self.judged.push(judged);
        }
        standing
    }

    /// Where a day leads that nobody has answered yet.
    fn after(&self, index: usize, verdict: &Verdict, next: Foothold) -> CourseState {
        let day = &self.open[index];
        let mut standing = day.before.clone();
        // What was learnt of the day before once this one had begun: the lower of the two.
        standing.foothold =
            if day.before.foothold < day.start { next.min(day.before.foothold) } else { next };
        standing.new_step = None;
        match verdict.order {
            Order::KeepAndCount => {
                standing.count = standing.count.saturating_add(1);
                self.step_up(&mut standing, index);
            }
            Order::KeepNotCounted => {}
            Order::KeepAndStay | Order::Ease => standing.count = 0,
            Order::HoldUntilRested | Order::HoldUntilAnswered => {
                self.hold(&mut standing, day, verdict);
            }
        }
        standing
    }

    /// Where a day leads whose light grew worse after somebody had answered: an Ease or a Hold on top of
    /// what stands.
    fn after_late(&self, index: usize, verdict: &Verdict, next: Foothold) -> CourseState {
        let day = &self.open[index];
        let mut standing = day.before.clone();
        match verdict.order {
            Order::KeepAndCount | Order::KeepNotCounted | Order::KeepAndStay => {}
            Order::Ease => {
                standing.foothold = standing.foothold.min(next);
                standing.count = 0;
            }
            Order::HoldUntilRested | Order::HoldUntilAnswered => {
                standing.foothold = standing.foothold.min(next);
                self.hold(&mut standing, day, verdict);
            }
        }
        standing
    }

    fn hold(&self, standing: &mut CourseState, day: &Day, verdict: &Verdict) {
        let date = day.date;
        standing.count = 0;
        if day.warning == Warning::Ticked {
            standing.sign.get_or_insert(date);
            // What the day would be without the sign stands beneath it, and takes a word of its own.
            let plan = self.plan_of(day);
            let findings = Findings { warning: Warning::None, ..Self::findings(day, plan) };
            let beneath = rule::decide(&plan.limits, &findings);
            if let Some(beneath) = beneath.filter(|one| one.order.light() == Light::Hold) {
                self.hold_for_pain(standing, day, &beneath);
            } else {
                standing.holds.push(date);
            }
        } else {
            self.hold_for_pain(standing, day, verdict);
        }
    }

    fn hold_for_pain(&self, standing: &mut CourseState, day: &Day, verdict: &Verdict) {
        let date = day.date;
        let rest_days = self.plan_of(day).limits.rest_days;
        let back_on = add_days(date, u64::from(rest_days.get()) + 1);
        let last_chance = standing.days_off.map_or_else(
            || add_days(date, WAIT_FOR_SETTLED).max(back_on),
            |waiting| waiting.last_chance,
        );
        let days_off = DaysOff { held_on: date, back_on, last_chance, usual: day.usual };
        standing.days_off = Some(days_off);
        standing.holds.push(date);
        if verdict.order == Order::HoldUntilAnswered {
            standing.stop.get_or_insert((Stop::TwoHolds, date));
        }
    }

    /// Takes a step up where one is due. Where the next day already began below it, the count stands
    /// and that day may take it; a break alone takes nothing back of what was told.
    fn step_up(&self, standing: &mut CourseState, index: usize) {
        let day = &self.open[index];
        let next_day = self.open.get(index + 1).filter(|next| !next.after_break);
        let next_day = next_day.map(|next| next.start);
        let stepped_up = standing.foothold.harder();
        let due = self.plan.limits.step_up_after.get() <= standing.count;
        let room = self.plan.reach().is_some_and(|reach| standing.foothold < reach);
        let rested = standing.last_step_up.is_none_or(|last| last <= days_before(day.date, WEEK));
        let in_time = next_day.is_none_or(|began_on| stepped_up <= began_on);
        if due && room && rested && in_time {
            standing.foothold = stepped_up;
            standing.count = 0;
            if day.corrected {
                standing.new_step = Some(NewStep::DatedThen);
            } else {
                standing.last_step_up = Some(day.date);
                standing.new_step = Some(NewStep::Dated);
            }
        }
    }
}
