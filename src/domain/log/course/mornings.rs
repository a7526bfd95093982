//! Mornings, one after the other: which of them count as usual, week against week, and swelling that
//! adds up.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::{
    ADDS_UP, Anchor, AnsweredMorning, Availability, Course, Judged, MorningGiven, USUAL_OF, WEEK,
    add_days, days_before,
};
use crate::domain::log::rule::{Swelling, SwellingRead, Usual, UsualFrom, Weeks};
use crate::domain::pain::{HalfPoints, PainRating, median};
use crate::domain::plan::limits::{Light, Limits, Settling, Zone};
use crate::domain::plan::routine::{AnchorChange, SwellingReach};

/// The first seven, and those that take the place of the last of them if it turns out not to count: it
/// can be the morning after either open day, or the one that is answered.
const FIRST_KEPT: usize = *USUAL_OF.end() + 3;

/// How many of the latest verdicts are looked through for those of the day before.
const LINES_LOOKED_THROUGH: usize = 16;

impl Course {
    /// What a morning's answers come to, put in place of what they came to before. A rating that was
    /// given in time belongs to the training day before it; swelling also to an earlier one that a late
    /// answer was `about`.
    pub fn morning_answered(
        &mut self,
        date: NaiveDate,
        given: MorningGiven,
        about: NaiveDate,
        corrected: bool,
    ) {
        let waited = self.waited_on(date);
        let late = given.late.filter(|_| waited);
        let known = self.mornings.iter().position(|morning| morning.date == date);
        let began = self.open_on(date).is_some();
        let after_training = known.map_or(began, |place| self.mornings[place].after_training);
        if let Some(place) = known {
            self.mornings.remove(place);
        }
        if let Some(rating) = given.in_time.max(late) {
            let place = self.mornings.partition_point(|morning| morning.date < date);
            let (was_held, counts) = (false, false);
            let morning = AnsweredMorning { date, rating, after_training, was_held, counts };
            self.mornings.insert(place, morning);
        }
        if self.plan.exercise.swelling == SwellingReach::Reaches {
            let place = self.swellings.partition_point(|(day, _)| *day < date);
            match self.swellings.get_mut(place) {
                Some((day, known)) if *day == date => *known = given.swelling,
                Some(_) | None => self.swellings.insert(place, (date, given.swelling)),
            }
        }
        let weeks = self.weeks(date);
        if let Some(day) = self.open.iter_mut().rfind(|day| add_days(day.date, 1) == date) {
            day.morning = given.in_time.map(|rating| (rating, after_training));
            day.weeks = weeks;
        }
        if let Some(day) = self.open.iter_mut().rfind(|day| day.date == about) {
            day.told_on.insert(date);
        }
        for index in 0..self.open.len() {
            let day = &self.open[index];
            let own = add_days(day.date, 1);
            let is_last = self.open[index + 1..].iter().all(|later| later.date != day.date);
            if !is_last || (own != date && !day.told_on.contains(&date)) {
                continue;
            }
            let told = day.told_on.iter().chain([&own]);
            let swelling = told.filter_map(|morning| self.swelling_read(*morning)).max();
            let day = &mut self.open[index];
            day.swelling = swelling;
            day.corrected |= corrected;
        }
        self.judge_from(0);
        self.note_whether_held(date);
        for index in 0..self.open.len() {
            self.count_as_usual(add_days(self.open[index].date, 1));
        }
    }

    /// Whether the exercise was left out when a morning was first answered: only then is the rating of a
    /// late answer read.
    fn waited_on(&mut self, date: NaiveDate) -> bool {
        let known = self.waited.iter().find(|(morning, _)| *morning == date);
        if let Some((_, waited)) = known {
            return *waited;
        }
        let waits = self.left_out(date) != Availability::Open;
        self.waited.push((date, waits));
        waits
    }

    /// Whether a morning is one of those that a usual one is made of.
    fn is_usual(&self, morning: AnsweredMorning) -> bool {
        let day_before = days_before(morning.date, 1);
        let before = self.open.iter().rfind(|day| day.date == day_before);
        let usual = before.map_or_else(|| self.usual(None), |day| day.usual);
        let rise = HalfPoints::from(morning.rating).above(usual.half_points);
        let is_of_day_before = |judged: &&Judged| judged.day == day_before;
        let mut lines =
            self.judged.iter().rev().take(LINES_LOOKED_THROUGH).filter(is_of_day_before);
        let brought = lines.any(|judged| judged.verdict.order.light() == Light::Hold);
        Settling::of(rise) != Settling::UpClearly && !brought && !morning.was_held
    }

    /// Whether the exercise is held on a morning by what is known now, and whether that morning counts as
    /// usual.
    pub(super) fn note_whether_held(&mut self, date: NaiveDate) {
        let was_held = self.left_out(date) != Availability::Open;
        if let Some(morning) = self.mornings.iter_mut().find(|morning| morning.date == date) {
            morning.was_held = was_held;
        }
        self.count_as_usual(date);
    }

    /// Works out anew whether a morning counts as usual, once its day was judged.
    fn count_as_usual(&mut self, date: NaiveDate) {
        self.anchor.first.retain(|(known, _)| *known != date);
        let Some(place) = self.mornings.iter().position(|morning| morning.date == date) else {
            return;
        };
        self.mornings[place].counts = false;
        let counts = self.is_usual(self.mornings[place]);
        let morning = &mut self.mornings[place];
        morning.counts = counts;
        let place = self.anchor.first.partition_point(|(known, _)| *known < date);
        let is_since = self.anchor.after.is_none_or(|after| after < date);
        if counts && is_since && place < FIRST_KEPT {
            self.anchor.first.insert(place, (date, morning.rating));
            self.anchor.first.truncate(FIRST_KEPT);
        }
    }

    /// The practitioner's word about the anchor, or the client's own when a routine is taken on.
    pub fn change_anchor(&mut self, change: AnchorChange) {
        let said = match change {
            AnchorChange::Set { rating } => Some(rating),
            AnchorChange::Clear => None,
        };
        let after = self.mornings.last().map(|morning| morning.date);
        self.anchor = Anchor { said, after, first: Vec::new() };
    }

    /// What mornings were usually like when the routine was taken on, where it is known.
    pub fn anchor(&self) -> Option<Usual> {
        let first = self.anchor.first.iter().take(*USUAL_OF.end());
        let first: Vec<PainRating> = first.map(|(_, rating)| *rating).collect();
        let said = |rating: PainRating| Usual { half_points: rating.into(), from: UsualFrom::Said };
        let of_first = || {
            let half_points = median(&first).filter(|_| *USUAL_OF.start() <= first.len())?;
            Some(Usual { half_points, from: UsualFrom::FirstMornings })
        };
        self.anchor.said.map(said).or_else(of_first)
    }

    /// What a morning is usually like: as recorded at the visit; else the lower of the anchor and the
    /// median of the last seven mornings that count (three at least); else pain at rest before the
    /// session; else no pain.
    pub(super) fn usual(&self, at_rest: Option<PainRating>) -> Usual {
        self.usual_under(&self.plan.limits, at_rest, NaiveDate::MAX)
    }

    /// As [`usual`](Self::usual), under other limits and from the mornings up to a day.
    pub(super) fn usual_under(
        &self,
        limits: &Limits,
        at_rest: Option<PainRating>,
        until: NaiveDate,
    ) -> Usual {
        if let Some(rating) = limits.usual_morning {
            return Usual { half_points: rating.into(), from: UsualFrom::Visit };
        }
        let known = self.mornings.iter().rev().filter(|morning| morning.date <= until);
        let counted = known.filter(|morning| morning.counts);
        let last: Vec<PainRating> =
            counted.take(*USUAL_OF.end()).map(|morning| morning.rating).collect();
        let lately = median(&last)
            .filter(|_| *USUAL_OF.start() <= last.len())
            .map(|half_points| Usual { half_points, from: UsualFrom::Mornings });
        match (self.anchor(), lately) {
            (Some(anchor), Some(lately)) if lately.half_points <= anchor.half_points => lately,
            (Some(anchor), _) => anchor,
            (None, Some(lately)) => lately,
            (None, None) => at_rest
                .map_or(Usual { half_points: HalfPoints(0), from: UsualFrom::Nothing }, |rating| {
                    Usual { half_points: rating.into(), from: UsualFrom::AtRest }
                }),
        }
    }

    /// Swelling on a morning, with the mornings before in mind: "a little more" for the third time within
    /// seven days reads as clearly more. An earlier "clearly more" counts as one of them.
    pub fn swelling_read(&self, date: NaiveDate) -> Option<SwellingRead> {
        let place = self.swellings.binary_search_by_key(&date, |(day, _)| *day).ok()?;
        let (_, swelling) = self.swellings[place];
        let last_week = days_before(date, WEEK);
        let of_week = self.swellings[..=place].iter().rev();
        let times = of_week
            .take_while(|(day, _)| last_week < *day)
            .filter(|(_, swelling)| *swelling != Swelling::NoMore)
            .count();
        Some(match swelling {
            Swelling::NoMore => SwellingRead::NoMore,
            Swelling::ALittleMore if ADDS_UP <= times => SwellingRead::AddedUp,
            Swelling::ALittleMore => SwellingRead::ALittleMore,
            Swelling::ClearlyMore => SwellingRead::ClearlyMore,
        })
    }

    /// The last day on which a little more swelling was read as clearly more, since it came so often.
    pub fn swelling_added_up(&self) -> Option<NaiveDate> {
        let days = self.swellings.iter().rev().filter(|(_, told)| *told == Swelling::ALittleMore);
        days.map(|(day, _)| *day)
            .find(|day| self.swelling_read(*day) == Some(SwellingRead::AddedUp))
    }

    /// The mornings of the last seven days that were in the high zone, and the days of high pain at rest
    /// before a session, each day once.
    pub fn high_days(&self, today: NaiveDate) -> Vec<NaiveDate> {
        let in_week = |date: &NaiveDate| days_before(today, WEEK) < *date && *date <= today;
        self.all_high_days().into_iter().filter(in_week).collect()
    }

    /// Those of all weeks, in order.
    pub fn all_high_days(&self) -> BTreeSet<NaiveDate> {
        let high =
            |morning: &&AnsweredMorning| self.plan.limits.table.zone(morning.rating) == Zone::High;
        let mornings = self.mornings.iter().filter(high).map(|morning| morning.date);
        mornings.chain(self.high_at_rest.iter().copied()).collect()
    }

    /// The median of the seven mornings ending on `today`, and of those of the seven before that count
    /// as usual; each needs two answers.
    pub fn weekly_medians(&self, today: NaiveDate) -> (Option<HalfPoints>, Option<HalfPoints>) {
        let of_week = |end: NaiveDate, which: fn(&AnsweredMorning) -> bool| {
            let begin = days_before(end, WEEK);
            let known = self.mornings.iter().rev().skip_while(|morning| end < morning.date);
            let of_week = known.take_while(|morning| begin < morning.date);
            let ratings: Vec<_> =
                of_week.filter(|morning| which(morning)).map(|morning| morning.rating).collect();
            if ratings.len() < 2 { None } else { median(&ratings) }
        };
        let last_week = days_before(today, WEEK);
        (of_week(today, |_| true), of_week(last_week, |morning| morning.counts))
    }

    fn weeks(&self, today: NaiveDate) -> Weeks {
        match self.weekly_medians(today) {
            (Some(this), Some(last)) if HalfPoints(2) <= this.above(last) => Weeks::Rising,
            (Some(_) | None, Some(_) | None) => Weeks::Steady,
        }
    }
}
