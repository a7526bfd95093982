//! The course of one exercise from day to day: what each verdict does to the rung, the count toward
//! a step up, and the days off.
//!
//! A [`Course`] takes facts in the order in which they happened and recomputes only the training days
//! that are still open: the last one and the one before. A day on which a later one has begun can
//! still bring an Ease or a Hold, and nothing milder.

mod days_off;
mod judging;
mod mornings;
mod versions;

use std::collections::BTreeSet;

use chrono::{DateTime, Days, FixedOffset, NaiveDate, Timelike};
use serde::{Deserialize, Serialize};

use self::days_off::DaysOff;
use super::rule::{
    Footing, RatedSet, Reason, Stopped, Swelling, SwellingRead, Usual, Verdict, Warning, Weeks,
};
use crate::domain::event_id::EventId;
use crate::domain::pain::PainRating;
use crate::domain::plan::ladder::{Foothold, OnLowestRung, RungNumber};
use crate::domain::plan::limits::{Cell, Light, Limits, MayStepUp, Settling, Zone};
use crate::domain::plan::routine::{Exercise, OnHold, Version};

/// A morning begins at 04:00; anything before it still belongs to the night, and to the day before.
pub const MORNING_FROM: u32 = 4;
/// How long a Hold waits for a settled morning before the practitioner is asked for.
const WAIT_FOR_SETTLED: u64 = 7;
/// No second step up, and a second Hold counts, within this many days.
const WEEK: u64 = 7;
/// So many mornings make a usual one, and no more than so many are looked at.
const USUAL_OF: std::ops::RangeInclusive<usize> = 3..=7;
/// "A little more" on so many mornings within seven days reads as clearly more.
const ADDS_UP: usize = 3;

/// The training day of a moment: the local day from 04:00 to 04:00.
pub fn training_day(at: DateTime<FixedOffset>) -> NaiveDate {
    let date = at.date_naive();
    if at.hour() < MORNING_FROM { date.pred_opt().unwrap_or(date) } else { date }
}

/// An answered morning, as one exercise reads it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct AnsweredMorning {
    pub date: NaiveDate,
    pub rating: PainRating,
    /// Whether that day's own session had begun when it was first answered.
    after_training: bool,
    /// Whether the exercise was held that day.
    was_held: bool,
    /// Whether it is one of those that a usual morning is made of: the exercise was not held that day,
    /// it brought no Hold, and it was not itself up clearly.
    pub counts: bool,
}

/// What the answers given on one morning come to for one exercise, the worst of each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MorningGiven {
    /// Given on the morning after the training day that was asked about.
    pub in_time: Option<PainRating>,
    /// Given about an earlier day: read only while a Hold waits for a settled morning.
    pub late: Option<PainRating>,
    pub swelling: Swelling,
}

/// Why an exercise is left out until someone qualified has answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
pub enum Stop {
    WarningSign,
    TwoHolds,
    /// Seven days after a Hold without a settled morning.
    NotSettled,
    /// A Hold that lies in the days to come: it was noted by a clock that ran ahead.
    ClockRanAhead,
    /// A break after which the practitioner wants to be asked.
    TimeOff,
}

fn add_days(date: NaiveDate, days: u64) -> NaiveDate {
    date.checked_add_days(Days::new(days)).unwrap_or(NaiveDate::MAX)
}

fn days_before(date: NaiveDate, days: u64) -> NaiveDate {
    date.checked_sub_days(Days::new(days)).unwrap_or(NaiveDate::MIN)
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

/// What a new version says of one exercise, beside what it prescribes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VersionTaken {
    pub issued: NaiveDate,
    pub taken_on: NaiveDate,
    /// Whether it opens an exercise that is on Hold or stopped, where it says so.
    pub on_hold: Option<OnHold>,
    /// A version no newer than the highest one known answers nothing.
    pub answers: Answers,
}

/// Whether a version that is taken on answers what waits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answers {
    Yes,
    Nothing,
}

/// A step up that nobody has trained on yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
enum NewStep {
    /// Dated by the training day whose morning brought it.
    Dated,
    /// Brought about by a correction: dated by the day on which it is first used.
    DatedThen,
}

/// Where an exercise stands between two training days.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
struct CourseState {
    foothold: Foothold,
    /// Step-up days in a row.
    count: u16,
    last_step_up: Option<NaiveDate>,
    new_step: Option<NewStep>,
    days_off: Option<DaysOff>,
    /// The day of a warning sign that stands. Only someone's word lifts it.
    sign: Option<NaiveDate>,
    /// Another stop, and the day of the verdict that brought it.
    stop: Option<(Stop, NaiveDate)>,
    /// Days that ended in a Hold and that nobody has answered yet.
    holds: Vec<NaiveDate>,
}

/// An exercise as one version of its routine prescribes it.
#[derive(Clone, Debug, Deserialize, Serialize)]
struct Plan {
    exercise: Exercise,
    limits: Limits,
    version: Version,
}

impl Plan {
    /// What the dose prescribes on the lowest rung.
    fn least_sets(&self) -> u16 {
        let lowest = self.exercise.ladder.rung(RungNumber::LEAST);
        self.exercise.dose.with(&lowest.dose).sets.get()
    }

    fn easier(&self, from: Foothold) -> Option<Foothold> {
        from.easier(self.limits.on_lowest_rung, self.least_sets())
    }

    fn footing(&self, from: Foothold, on_lowest: OnLowestRung) -> Footing {
        match from.easier(on_lowest, self.least_sets()) {
            Some(_) => Footing::CanEase,
            None => Footing::NothingEasier,
        }
    }

    fn down(&self, from: Foothold) -> Foothold {
        from.down(self.least_sets())
    }

    /// The highest foothold that the app may give by itself.
    fn reach(&self) -> Option<Foothold> {
        match self.limits.may_step_up {
            MayStepUp::Nothing => None,
            MayStepUp::WinBack => Some(Foothold::on(self.exercise.ladder.start())),
            MayStepUp::ToTheCeiling => Some(Foothold::on(self.exercise.ladder.ceiling())),
        }
    }

    /// Whether both prescribe the same under the same limits.
    fn is_like(&self, other: &Self) -> bool {
        self.exercise.ladder == other.exercise.ladder
            && self.exercise.dose == other.exercise.dose
            && self.limits == other.limits
    }
}

/// The light that a day had when somebody answered, where it had one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
struct LightThen(Option<Light>);

/// One training day, as far as it has gone.
#[derive(Clone, Debug, Deserialize, Serialize)]
struct Day {
    date: NaiveDate,
    version: Version,
    /// The plan under which it was trained, where another was taken on since.
    plan: Option<Box<Plan>>,
    /// What stood before this day, from which it is judged anew with each fact.
    before: CourseState,
    /// Where it started; what is known later does not move it.
    start: Foothold,
    /// The Hold that was over when this day began.
    hold_over: Option<NaiveDate>,
    /// Why the exercise was to be left out when this day began, where only the calendar said so.
    stop: Option<(Stop, NaiveDate)>,
    /// Whether it is the first day back from a break.
    after_break: bool,
    /// Somebody has answered since. Only a worse light than it had then still does anything.
    answered: Option<LightThen>,
    /// Whether anything of it was corrected.
    corrected: bool,
    /// Its place among the verdicts, once it has one.
    place: Option<usize>,
    first_rung: RungNumber,
    last_rung: RungNumber,
    sets: Vec<(EventId, u16, RatedSet)>,
    stopped: Stopped,
    at_rest: Option<PainRating>,
    usual: Usual,
    morning: Option<(PainRating, bool)>,
    /// The worst of its own morning and of those on which a late answer was about it.
    swelling: Option<SwellingRead>,
    told_on: BTreeSet<NaiveDate>,
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

/// What is known of usual mornings from when the routine was taken on.
#[derive(Clone, Debug, Default, Deserialize, Serialize)]
struct Anchor {
    /// The client's own answer, or the practitioner's.
    said: Option<PainRating>,
    /// The last morning that it is not made of, where it was cleared.
    after: Option<NaiveDate>,
    /// The first mornings that counted: seven, and a few more for those that turn out not to count.
    first: Vec<(NaiveDate, PainRating)>,
}

/// One exercise, folded from the log so far.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct Course {
    plan: Plan,
    standing: CourseState,
    /// The training days that are still open, oldest first: the last two.
    open: Vec<Day>,
    anchor: Anchor,
    mornings: Vec<AnsweredMorning>,
    /// The swelling of each morning on which it was asked, while the question reaches this exercise.
    swellings: Vec<(NaiveDate, Swelling)>,
    /// Each morning that was answered, and whether the exercise was left out when it first was.
    waited: Vec<(NaiveDate, bool)>,
    /// Days on which pain at rest before a session was in the high zone.
    high_at_rest: Vec<NaiveDate>,
    judged: Vec<Judged>,
    last_trained: Option<NaiveDate>,
    /// The day from which a break counts, where someone answered after the last training day.
    answered_on: Option<NaiveDate>,
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
        let standing = CourseState {
            foothold: Foothold::on(exercise.ladder.start()),
            count: 0,
            last_step_up: None,
            new_step: None,
            days_off: None,
            sign: None,
            stop: None,
            holds: Vec::new(),
        };
        Self {
            plan: Plan { exercise, limits, version },
            standing,
            open: Vec::new(),
            anchor: Anchor::default(),
            mornings: Vec::new(),
            swellings: Vec::new(),
            waited: Vec::new(),
            high_at_rest: Vec::new(),
            judged: Vec::new(),
            last_trained: None,
            answered_on: None,
            days_left_out: BTreeSet::new(),
            days_against: BTreeSet::new(),
        }
    }

    /// All of it that the days after `last_day` ask for, of which every fact is known.
    #[must_use]
    pub fn brought_forward(&self, last_day: NaiveDate) -> Self {
        let is_recent = |date: NaiveDate| days_before(last_day, 2 * WEEK) < date;
        let mut course = self.clone();
        let standings = course.open.iter_mut().map(|day| &mut day.before);
        let mut held_since = NaiveDate::MAX;
        for standing in standings.chain([&mut course.standing]) {
            standing.holds.retain(|held| is_recent(*held));
            held_since =
                held_since.min(standing.days_off.map_or(NaiveDate::MAX, |off| off.held_on));
        }
        // A usual morning is the median of the last seven that count.
        let counted = course.mornings.iter().rev().filter(|morning| morning.counts);
        let seventh = counted.map(|morning| morning.date).take(*USUAL_OF.end()).last();
        let is_asked = |date: NaiveDate| {
            is_recent(date) || held_since < date || seventh.is_some_and(|seventh| seventh <= date)
        };
        course.mornings.retain(|morning| is_asked(morning.date));
        course.swellings.retain(|(date, _)| is_recent(*date) || held_since < *date);
        course.waited.retain(|(date, _)| is_recent(*date));
        course.high_at_rest.retain(|date| is_recent(*date));
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

    pub const fn exercise(&self) -> &Exercise {
        &self.plan.exercise
    }

    pub const fn limits(&self) -> &Limits {
        &self.plan.limits
    }

    /// Where the exercise stands after the last training day.
    pub const fn foothold(&self) -> Foothold {
        self.standing.foothold
    }

    /// Where a session on that day starts: after a break it is not where the last one ended.
    pub fn start_on(&self, date: NaiveDate) -> Foothold {
        if self.open_on(date).is_some() {
            return self.standing.foothold;
        }
        self.opened(self.standing.clone(), date, None, self.is_break(date)).foothold
    }

    /// The rung below which no set of that day is eased: one below where the day started.
    pub fn least_on(&self, date: NaiveDate) -> RungNumber {
        let start = self.open_on(date).map_or_else(|| self.start_on(date), |day| day.start);
        self.plan.down(start).rung
    }

    /// Step-up days in a row so far.
    pub const fn count(&self) -> u16 {
        self.standing.count
    }

    /// Whether enough step-up days stand in a row, and only the practitioner can give the next rung.
    pub fn ready_for_next_step(&self) -> bool {
        let top = Foothold::on(self.plan.exercise.ladder.top());
        self.plan.limits.step_up_after.get() <= self.standing.count
            && self.standing.foothold < top
            && self.plan.reach().is_none_or(|reach| reach <= self.standing.foothold)
    }

    /// Every verdict so far, one a training day, oldest first.
    pub fn judged(&self) -> &[Judged] {
        &self.judged
    }

    /// The last two training days, where both were of middle pain and neither morning was answered.
    pub fn middle_days_unanswered(&self, today: NaiveDate) -> Option<[NaiveDate; 2]> {
        let is_silent = |judged: &Judged| {
            let reasons = &judged.verdict.reasons;
            let is_middle =
                |reason: &Reason| matches!(reason, Reason::During { zone: Zone::Middle, .. });
            add_days(judged.day, 1) < today
                && reasons.iter().any(is_middle)
                && reasons.contains(&Reason::MorningNotAnswered)
        };
        let [.., before, last] = self.judged.as_slice() else { return None };
        (is_silent(before) && is_silent(last)).then_some([before.day, last.day])
    }

    /// Whether what it waits for may be over with the next morning: the second of two Holds was told before its
    /// morning, and one as usual makes it milder.
    pub fn stop_hangs_on_morning(&self, today: NaiveDate) -> bool {
        let Some((Stop::TwoHolds, date)) = self.standing.stop else { return false };
        let Some(judged) = self.judged.last().filter(|judged| judged.day == date) else {
            return false;
        };
        let reasons = &judged.verdict.reasons;
        let zone = if reasons.contains(&Reason::Stopped) {
            Some(Zone::High)
        } else {
            reasons.iter().find_map(Reason::zone_during)
        };
        let table = &self.plan.limits.table;
        today <= add_days(date, 1)
            && reasons.contains(&Reason::MorningNotAnswered)
            && zone.is_some_and(|zone| table.cell(zone, Settling::Settled) < Cell::Hold)
    }

    /// Whether three mornings in a row were each worse than the one answered before it, the last of them today or
    /// yesterday. Common practice, no source.
    pub fn is_worse_in_a_row(&self, today: NaiveDate) -> bool {
        let [.., before, first, second, last] = self.mornings.as_slice() else { return false };
        let ratings = [before.rating, first.rating, second.rating, last.rating];
        today <= add_days(last.date, 1) && ratings.is_sorted_by(|earlier, later| earlier < later)
    }

    /// Every morning answered in time, oldest first, those of a Hold included.
    pub fn mornings(&self) -> &[AnsweredMorning] {
        &self.mornings
    }

    /// What an earlier edition of the rule told about a day stays as it was told.
    pub fn was_told(&mut self, day: NaiveDate, verdict: Verdict, next: Foothold) {
        if let Some(judged) = self.judged.iter_mut().rfind(|judged| judged.day == day) {
            judged.verdict = verdict;
            judged.next = next;
        }
    }

    /// The day of a warning sign that stands.
    pub const fn sign_since(&self) -> Option<NaiveDate> {
        self.standing.sign
    }

    /// A warning sign stands already on the day the exercise is taken on.
    pub fn begin_under_sign(&mut self, since: NaiveDate) {
        self.standing.sign = Some(since);
    }
}
