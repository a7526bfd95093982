//! When an exercise may be done: days off after a Hold, stops, and breaks.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Availability, Course, CourseState, Day, Stop, add_days};
use crate::domain::log::rule::{RatedSet, Stopped, SwellingRead, Usual};
use crate::domain::pain::HalfPoints;
use crate::domain::plan::limits::{AfterBreak, Settling, Zone};

/// Days off after a Hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub(super) struct DaysOff {
    pub held_on: NaiveDate,
    pub back_on: NaiveDate,
    /// The last day on which a settled morning brings it back. A Hold on top of one that waits still does
    /// not put that day off.
    pub last_chance: NaiveDate,
    pub usual: Usual,
}

enum DaysOffNow {
    Over,
    Waiting,
    GivenUp,
    ClockRanAhead,
}

impl Course {
    pub fn availability(&self, today: NaiveDate) -> Availability {
        let left_out = self.left_out(today);
        if left_out == Availability::Open && self.is_ended_on(today) {
            return Availability::Held { back_on: add_days(today, 1) };
        }
        left_out
    }

    /// As [`availability`](Self::availability), whatever was done on the day itself.
    pub(super) fn left_out(&self, today: NaiveDate) -> Availability {
        self.left_out_under(&self.standing, today)
    }

    /// As [`left_out`](Self::left_out), if the client stood like this.
    pub(super) fn left_out_under(&self, standing: &CourseState, today: NaiveDate) -> Availability {
        if standing.sign.is_some() {
            return Availability::Stopped(Stop::WarningSign);
        }
        if let Some((stop, _)) = standing.stop {
            return Availability::Stopped(stop);
        }
        if let Some(days_off) = standing.days_off {
            match self.days_off_now(&days_off, today) {
                DaysOffNow::Over => {}
                DaysOffNow::Waiting => return Availability::Held { back_on: days_off.back_on },
                DaysOffNow::GivenUp => return Availability::Stopped(Stop::NotSettled),
                DaysOffNow::ClockRanAhead => return Availability::Stopped(Stop::ClockRanAhead),
            }
        }
        if self.plan.limits.after_break == AfterBreak::WaitForMe && self.is_break(today) {
            return Availability::Stopped(Stop::TimeOff);
        }
        Availability::Open
    }

    /// The exercise comes back on the first day, from `back_on` on, on which the latest answer is of that
    /// day or the day before, settled, and not clearly more swollen.
    fn days_off_now(&self, days_off: &DaysOff, today: NaiveDate) -> DaysOffNow {
        // A flight to the west alone sets the calendar back by a day.
        if add_days(today, 1) < days_off.held_on {
            return DaysOffNow::ClockRanAhead;
        }
        let settled_on = |date: NaiveDate| {
            let until = self.mornings.partition_point(|morning| morning.date <= date);
            let is_fresh = |morning: &&super::AnsweredMorning| {
                days_off.held_on < morning.date && (date - morning.date).num_days() <= 1
            };
            self.mornings[..until].last().filter(is_fresh).is_some_and(|morning| {
                let rise = HalfPoints::from(morning.rating).above(days_off.usual.half_points);
                let since = morning.date.iter_days().take_while(|day| *day <= date);
                let swollen = since.filter_map(|day| self.swelling_read(day)).max();
                Settling::of(rise) == Settling::Settled
                    && swollen.is_none_or(|read| read < SwellingRead::AddedUp)
            })
        };
        let asked_until = today.min(days_off.last_chance);
        if days_off.back_on.iter_days().take_while(|date| *date <= asked_until).any(settled_on) {
            DaysOffNow::Over
        } else if days_off.last_chance < today {
            DaysOffNow::GivenUp
        } else {
            DaysOffNow::Waiting
        }
    }

    /// A set in the high zone, or one that pain ended, ends an exercise for the day, whatever the table
    /// orders.
    fn is_ended_on(&self, today: NaiveDate) -> bool {
        let is_high = |set: &RatedSet| {
            self.plan.limits.zone_of_set(set.rating, set.site.as_ref()) == Zone::High
        };
        let ended = |day: &Day| {
            day.stopped == Stopped::BecauseOfPain || day.sets.iter().any(|(_, _, set)| is_high(set))
        };
        self.open_on(today).is_some_and(ended)
    }

    /// The day since which the exercise is left out, for which mornings are asked: from the one after
    /// it on.
    pub fn held_since(&self, today: NaiveDate) -> Option<NaiveDate> {
        if self.left_out(today) == Availability::Open {
            return None;
        }
        let since = [
            self.standing.sign,
            self.standing.stop.map(|(_, since)| since),
            self.standing.days_off.map(|days_off| days_off.held_on),
        ];
        since.into_iter().flatten().max().filter(|since| *since < today)
    }

    /// The Hold, or the stop that only the calendar tells of, that a day begins with.
    pub(super) fn waits_since(&self) -> Option<NaiveDate> {
        self.standing.days_off.map(|days_off| days_off.held_on)
    }

    /// How many days there are between the last training day and `today`, or someone's answer since, less
    /// the days off after a Hold; none where there was no training day yet.
    pub fn days_away(&self, today: NaiveDate) -> Option<i64> {
        let trained = self.last_trained?;
        if let Some(answered) = self.answered_on.filter(|answered| trained < *answered) {
            return Some((today - answered).num_days());
        }
        let days_off = self.standing.days_off.filter(|days_off| trained <= days_off.held_on);
        let off = days_off.map_or(0, |off| (off.back_on - off.held_on).num_days() - 1);
        Some((today - trained).num_days() - off)
    }

    /// Whether a day would be the first one back from a break.
    pub fn is_break(&self, today: NaiveDate) -> bool {
        let least = i64::from(self.plan.limits.break_days.get());
        self.days_away(today).is_some_and(|away| least <= away)
    }
}
