//! Talking points: what a log gives two people to talk about at the visit, each by a stated rule.
//!
//! They are values; the words stand in `ui::text::talking`. A point is a reason to ask, never a verdict
//! on the client: the rule's own orders are in [`super::review`].

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, Days, NaiveDate, Weekday};

use super::review::{ExerciseReview, Review, as_followed, is_of_another_days_sign, is_prescribed};
use super::trend::Amount;
use crate::domain::log::course::{AnsweredMorning, Course, Judged, training_day};
use crate::domain::log::history::{History, Session};
use crate::domain::log::rule::Reason;
use crate::domain::pain::{HalfPoints, PainRating, median};
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::limits::Light;
use crate::domain::words::Id;

/// Two Holds fewer days apart than this count together, as in the rule.
const WEEK: i64 = 7;
const TWO_WEEKS: Days = Days::new(14);
/// So many sessions below the dose, one after the other: simplify (PMC7783996, table 2).
pub const BELOW_DOSE_IN_A_ROW: usize = 3;
/// Weekdays are looked at over so many days, whatever the period (common practice, no source).
pub const WEEKDAYS_OVER: u64 = 28;
/// A weekday must have come round so often before its being missed says anything (common practice, no source).
const FEWEST_CHANCES: usize = 2;
/// Ratings on so many days, all nought, are worth a question (common practice, no source).
const FEWEST_DAYS_AT_NOUGHT: usize = 3;
/// Fewer mornings owed than this say nothing about answering them (common practice, no source).
const FEWEST_MORNINGS: u32 = 3;
/// A rise of the weekly median morning by this much counts, as in the rule.
const RISE: HalfPoints = HalfPoints(2);
/// High pain in the morning, or at rest, on so many days within seven.
const HIGH_DAYS: usize = 2;

/// Which ratings a change is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ratings {
    /// The worst during each training day.
    During,
    NextMorning,
}

/// What there is to talk about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// Training days whose Ease became a Hold, because nothing was left to ease.
    NothingEasier {
        days: Vec<NaiveDate>,
    },
    /// Training days, each less than seven days after the one before, that ended in a Hold.
    HoldsInAWeek {
        days: Vec<NaiveDate>,
    },
    /// The median morning of the last seven days is a point or more above where the routine began.
    AboveTheStart {
        this_week: HalfPoints,
        anchor: HalfPoints,
    },
    /// Days within seven on which a morning, or pain at rest before a session, was in the high zone.
    HighMornings {
        days: Vec<NaiveDate>,
    },
    /// A little more swelling on a third morning within seven days, the last time on that one.
    SwellingAddedUp {
        on: NaiveDate,
    },
    /// The last two training days, both of middle pain, and neither morning answered.
    MiddleUnanswered {
        days: [NaiveDate; 2],
    },
    /// The median morning of the last seven days is a point or more above that of the seven before.
    MorningsRising {
        this_week: HalfPoints,
        last_week: HalfPoints,
    },
    /// The latest sessions, each with fewer whole sets than its dose.
    BelowDose {
        days: Vec<NaiveDate>,
    },
    /// Enough step-up days in a row, and only the practitioner can give the next rung.
    ReadyForNextRung {
        at: Foothold,
        days_in_a_row: u16,
    },
    /// The median of the last seven days against that of the seven before.
    Changed {
        ratings: Ratings,
        this_week: HalfPoints,
        last_week: HalfPoints,
        amount: Amount,
    },
    MorningsUnanswered {
        answered: u32,
        owed: u32,
    },
    /// Every rating of the period is nought.
    AlwaysNought {
        ratings: usize,
        days: usize,
    },
    /// Weekdays that were prescribed, so often, and never trained on while others were.
    NeverOn {
        weekdays: Vec<(Weekday, usize)>,
    },
}

/// How much something asks for a decision, the most first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    MayHarm,
    /// It may keep the routine from being done, or the numbers from being trusted.
    Hinders,
    /// The next step can be taken.
    NextStep,
    /// Good to know.
    None,
}

/// Where the rule of a talking point comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// This app's own rule, `docs/clinical-rule.md`.
    Rule,
    /// Silbernagel 2007, from memory.
    Silbernagel2007,
    /// PMC7783996, table 2.
    Pmc7783996,
    /// Farrar 2001, and Alghadir 2018 for the error of measurement.
    Farrar2001,
    /// Common practice, no source.
    CommonPractice,
}

/// One talking point. Its id is the same each time the same facts are read, and another one once
/// there is something new to say, so that a point can be put aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TalkingPoint {
    pub id: String,
    /// The exercise it is about; none for the whole routine.
    pub exercise: Option<Id>,
    pub what: What,
}

impl TalkingPoint {
    fn of(exercise: Option<&Id>, what: What, evidence: &str) -> Self {
        let about = exercise.map_or("routine", Id::as_str);
        let id = format!("{}/{about}/{evidence}", what.name());
        Self { id, exercise: exercise.cloned(), what }
    }

    pub const fn source(&self) -> Source {
        match self.what {
            What::NothingEasier { .. }
            | What::HoldsInAWeek { .. }
            | What::AboveTheStart { .. }
            | What::HighMornings { .. }
            | What::SwellingAddedUp { .. }
            | What::MiddleUnanswered { .. }
            | What::ReadyForNextRung { .. } => Source::Rule,
            What::MorningsRising { .. } => Source::Silbernagel2007,
            What::BelowDose { .. } => Source::Pmc7783996,
            What::Changed { .. } => Source::Farrar2001,
            What::MorningsUnanswered { .. } | What::AlwaysNought { .. } | What::NeverOn { .. } => {
                Source::CommonPractice
            }
        }
    }
}

impl What {
    const fn name(&self) -> &'static str {
        match self {
            Self::NothingEasier { .. } => "nothing-easier",
            Self::HoldsInAWeek { .. } => "holds-in-a-week",
            Self::AboveTheStart { .. } => "above-the-start",
            Self::HighMornings { .. } => "high-mornings",
            Self::SwellingAddedUp { .. } => "swelling-added-up",
            Self::MiddleUnanswered { .. } => "middle-unanswered",
            Self::MorningsRising { .. } => "mornings-rising",
            Self::BelowDose { .. } => "below-dose",
            Self::ReadyForNextRung { .. } => "ready-for-next-rung",
            Self::Changed { ratings: Ratings::During, .. } => "during-changed",
            Self::Changed { ratings: Ratings::NextMorning, .. } => "mornings-changed",
            Self::MorningsUnanswered { .. } => "mornings-unanswered",
            Self::AlwaysNought { .. } => "always-nought",
            Self::NeverOn { .. } => "never-on",
        }
    }

    pub const fn urgency(&self) -> Urgency {
        match self {
            Self::NothingEasier { .. }
            | Self::HoldsInAWeek { .. }
            | Self::AboveTheStart { .. }
            | Self::HighMornings { .. }
            | Self::SwellingAddedUp { .. }
            | Self::MiddleUnanswered { .. }
            | Self::MorningsRising { .. } => Urgency::MayHarm,
            Self::Changed { .. } if self.is_worth_noticing_as_worse() => Urgency::MayHarm,
            Self::BelowDose { .. }
            | Self::MorningsUnanswered { .. }
            | Self::NeverOn { .. }
            | Self::AlwaysNought { .. } => Urgency::Hinders,
            Self::ReadyForNextRung { .. } => Urgency::NextStep,
            Self::Changed { .. } => Urgency::None,
        }
    }

    const fn is_worth_noticing_as_worse(&self) -> bool {
        matches!(
            self,
            Self::Changed { this_week, last_week, amount: Amount::WorthNoticing, .. }
                if last_week.0 < this_week.0
        )
    }

    /// Its place in the list, the weightiest first: what may do harm, then what keeps the routine from
    /// being done, then what asks for a next step, then how far the numbers can be trusted.
    const fn place(&self) -> u8 {
        match self {
            Self::NothingEasier { .. } => 0,
            Self::HoldsInAWeek { .. } => 1,
            Self::AboveTheStart { .. } => 2,
            Self::HighMornings { .. } => 3,
            Self::SwellingAddedUp { .. } => 4,
            Self::MiddleUnanswered { .. } => 5,
            Self::MorningsRising { .. } => 6,
            Self::Changed { .. } if self.is_worth_noticing_as_worse() => 7,
            Self::BelowDose { .. } => 8,
            Self::ReadyForNextRung { .. } => 9,
            Self::MorningsUnanswered { .. } => 10,
            Self::NeverOn { .. } => 11,
            Self::AlwaysNought { .. } => 12,
            Self::Changed { amount: Amount::WorthNoticing, .. } => 13,
            Self::Changed { .. } => 14,
        }
    }
}

/// What a review gives to talk about, the weightiest first, then in the order of the routine.
pub fn talking_points(history: &History, review: &Review) -> Vec<TalkingPoint> {
    let mut points: Vec<TalkingPoint> = Vec::new();
    for exercise in &review.exercises {
        points.extend(nothing_easier(history, exercise, review));
        points.extend(holds_in_a_week(history, exercise, review));
        points.extend(above_the_start(history, exercise));
        points.extend(high_mornings(history, exercise, review));
        points.extend(middle_unanswered(history, exercise, review));
        points.extend(mornings_rising(history, exercise));
        points.extend(below_dose(history, exercise, review));
        points.extend(ready(history, exercise));
        points.extend(changes(history, exercise, review));
    }
    points.extend(swelling_added_up(history, review));
    points.extend(mornings_unanswered(review));
    points.extend(never_on(history, review));
    points.extend(always_nought(history, review));
    points.sort_by_key(|point| point.what.place());
    points
}

fn nothing_easier(
    history: &History,
    exercise: &ExerciseReview,
    review: &Review,
) -> Option<TalkingPoint> {
    let id = &exercise.exercise.id;
    let judged = last_of_each_day(history.course(id)?, review.from);
    let days: Vec<NaiveDate> = judged
        .filter(|judged| judged.verdict.reasons.contains(&Reason::NothingEasier))
        .map(|judged| judged.day)
        .collect();
    let evidence = days.last()?.to_string();
    Some(TalkingPoint::of(Some(id), What::NothingEasier { days }, &evidence))
}

/// What was judged last of each day since one, in order: what a correction or an answer that came late
/// took back is not told again.
fn last_of_each_day(course: &Course, from: NaiveDate) -> impl Iterator<Item = &Judged> {
    let judged = course.judged().iter().filter(move |judged| from <= judged.day);
    let last: BTreeMap<NaiveDate, &Judged> = judged.map(|judged| (judged.day, judged)).collect();
    last.into_values()
}

/// The latest Holds of the period that stand less than seven days apart.
fn holds_in_a_week(
    history: &History,
    exercise: &ExerciseReview,
    review: &Review,
) -> Option<TalkingPoint> {
    let id = &exercise.exercise.id;
    let held: Vec<NaiveDate> = last_of_each_day(history.course(id)?, review.from)
        .filter(|judged| judged.verdict.order.light() == Light::Hold)
        .filter(|judged| {
            !is_of_another_days_sign(&judged.verdict.reasons, judged.day, &review.warned)
        })
        .map(|judged| judged.day)
        .collect();
    let runs = held.chunk_by(|earlier, later| (*later - *earlier).num_days() < WEEK);
    let days = runs.rev().find(|run| 2 <= run.len())?.to_vec();
    let evidence = days.last()?.to_string();
    Some(TalkingPoint::of(Some(id), What::HoldsInAWeek { days }, &evidence))
}

fn above_the_start(history: &History, exercise: &ExerciseReview) -> Option<TalkingPoint> {
    let id = &exercise.exercise.id;
    let course = history.course(id)?;
    let (this_week, anchor) = (exercise.weekly_mornings.0?, course.anchor()?.half_points);
    let latest = course.mornings().last()?.date;
    (RISE <= this_week.above(anchor)).then(|| {
        let what = What::AboveTheStart { this_week, anchor };
        TalkingPoint::of(Some(id), what, &latest.to_string())
    })
}

/// The latest seven days with two high days or more among them.
fn high_mornings(
    history: &History,
    exercise: &ExerciseReview,
    review: &Review,
) -> Option<TalkingPoint> {
    let id = &exercise.exercise.id;
    let course = history.course(id)?;
    let high: Vec<NaiveDate> = course.all_high_days().range(..=review.to).copied().collect();
    let in_a_week = |days: &&[NaiveDate]| (days[HIGH_DAYS - 1] - days[0]).num_days() < WEEK;
    let first = high.windows(HIGH_DAYS).rev().find(in_a_week)?[0];
    let end = first.checked_add_days(Days::new(6)).unwrap_or(review.to).min(review.to);
    if end < review.from {
        return None;
    }
    let is_in_week = |day: &NaiveDate| (0..WEEK).contains(&(end - *day).num_days());
    let days: Vec<NaiveDate> = high.into_iter().filter(is_in_week).collect();
    let evidence = days.last()?.to_string();
    Some(TalkingPoint::of(Some(id), What::HighMornings { days }, &evidence))
}

/// Said once, though swelling is read for each exercise that it reaches.
fn swelling_added_up(history: &History, review: &Review) -> Option<TalkingPoint> {
    let courses = review.exercises.iter().filter_map(|one| history.course(&one.exercise.id));
    let on =
        courses.filter_map(Course::swelling_added_up).max().filter(|day| review.from <= *day)?;
    Some(TalkingPoint::of(None, What::SwellingAddedUp { on }, &on.to_string()))
}

fn middle_unanswered(
    history: &History,
    exercise: &ExerciseReview,
    review: &Review,
) -> Option<TalkingPoint> {
    let id = &exercise.exercise.id;
    let days = history.course(id)?.middle_days_unanswered(review.to)?;
    let what = What::MiddleUnanswered { days };
    (review.from <= days[1]).then(|| TalkingPoint::of(Some(id), what, &days[1].to_string()))
}

fn mornings_rising(history: &History, exercise: &ExerciseReview) -> Option<TalkingPoint> {
    let id = &exercise.exercise.id;
    let (Some(this_week), Some(last_week)) = exercise.weekly_mornings else { return None };
    let latest = history.course(id)?.mornings().last()?.date;
    (RISE <= this_week.above(last_week)).then(|| {
        let what = What::MorningsRising { this_week, last_week };
        TalkingPoint::of(Some(id), what, &latest.to_string())
    })
}

/// A session that was meant to hold the exercise, and whether it held the whole dose.
fn whole_dose(history: &History, exercise: &ExerciseReview, session: &Session) -> Option<bool> {
    let exercise = &exercise.exercise;
    let planned = session.plan.iter().find(|planned| planned.exercise == exercise.id)?;
    let known = as_followed(history, session, &exercise.id).unwrap_or(exercise);
    let rounds = planned.from.dose(&known.dose, &known.ladder).rounds();
    let whole = session.sets_of(&exercise.id).filter(|set| set.is_whole());
    Some(usize::from(rounds) <= whole.count())
}

fn below_dose(
    history: &History,
    exercise: &ExerciseReview,
    review: &Review,
) -> Option<TalkingPoint> {
    // A session under way may still get there.
    let is_over = |session: &&Session| session.ended_at.is_some() || session.day() < review.to;
    let in_period = history.sessions().iter().filter(|session| review.from <= session.day());
    let below: Vec<(NaiveDate, bool)> = in_period
        .filter(is_over)
        .filter_map(|session| Some((session.day(), !whole_dose(history, exercise, session)?)))
        .collect();
    let run = below.iter().rev().take_while(|(_, is_below)| *is_below);
    let mut days: Vec<NaiveDate> = run.map(|(day, _)| *day).collect();
    days.reverse();
    let latest = days.last()?.to_string();
    (BELOW_DOSE_IN_A_ROW <= days.len())
        .then(|| TalkingPoint::of(Some(&exercise.exercise.id), What::BelowDose { days }, &latest))
}

fn ready(history: &History, exercise: &ExerciseReview) -> Option<TalkingPoint> {
    let id = &exercise.exercise.id;
    let course = history.course(id)?;
    exercise.ready_for_next_step.then(|| {
        let at = exercise.now_at;
        let what = What::ReadyForNextRung { at, days_in_a_row: course.count() };
        TalkingPoint::of(Some(id), what, &format!("rung-{}", at.rung.get()))
    })
}

/// What this week's ratings say against last week's, unless the rising mornings say it already.
fn changes(history: &History, exercise: &ExerciseReview, review: &Review) -> Vec<TalkingPoint> {
    let mornings = exercise.weekly_mornings;
    let is_said = matches!(mornings, (Some(this), Some(last)) if RISE <= this.above(last));
    let both = [
        (Ratings::During, weekly_worst(history, &exercise.exercise.id, review.to)),
        (Ratings::NextMorning, if is_said { (None, None) } else { mornings }),
    ];
    let point = |(ratings, weeks)| {
        let (Some(this_week), Some(last_week)) = weeks else { return None };
        let (before, after): (HalfPoints, HalfPoints) = (last_week, this_week);
        let amount = Amount::of_change(before.points(), after.points());
        // A change of less than a point tempts nobody.
        let is_seen = 2 <= after.above(before).0.abs();
        let what = What::Changed { ratings, this_week, last_week, amount };
        let evidence = format!("{}-to-{}", before.0, after.0);
        is_seen.then(|| TalkingPoint::of(Some(&exercise.exercise.id), what, &evidence))
    };
    both.into_iter().filter_map(point).collect()
}

/// The median of the worst ratings of the last seven days, and of the seven before; each needs two days.
fn weekly_worst(
    history: &History,
    exercise: &Id,
    to: NaiveDate,
) -> (Option<HalfPoints>, Option<HalfPoints>) {
    let mut worst: BTreeMap<NaiveDate, PainRating> = BTreeMap::new();
    let first = to.checked_sub_days(TWO_WEEKS).unwrap_or(NaiveDate::MIN);
    for session in history.sessions_on(first..=to) {
        for rated in session.sets_of(exercise).filter_map(|set| set.rated.as_ref()) {
            let of_day = worst.entry(session.day()).or_insert(rated.rating);
            *of_day = rated.rating.max(*of_day);
        }
    }
    let week = |ages: std::ops::Range<i64>| {
        let of_week = worst.iter().filter(|(day, _)| ages.contains(&(to - **day).num_days()));
        let ratings: Vec<PainRating> = of_week.map(|(_, rating)| *rating).collect();
        if ratings.len() < 2 { None } else { median(&ratings) }
    };
    (week(0..WEEK), week(WEEK..2 * WEEK))
}

fn mornings_unanswered(review: &Review) -> Option<TalkingPoint> {
    let (answered, owed) = (review.mornings.done, review.mornings.prescribed);
    (FEWEST_MORNINGS <= owed && answered * 2 < owed).then(|| {
        let what = What::MorningsUnanswered { answered, owed };
        TalkingPoint::of(None, what, &review.to.to_string())
    })
}

fn never_on(history: &History, review: &Review) -> Option<TalkingPoint> {
    let began = training_day(history.accepted().first()?.at);
    let from = review
        .to
        .checked_sub_days(Days::new(WEEKDAYS_OVER - 1))
        .map_or(began, |day| day.max(began));
    let in_period = history.sessions_on(from..=review.to);
    let trained: BTreeSet<NaiveDate> =
        in_period.filter(|session| session.has_work()).map(Session::day).collect();
    if trained.is_empty() {
        return None;
    }
    let is_over = |day: &NaiveDate| *day < review.to;
    let asked: Vec<Weekday> = from
        .iter_days()
        .take_while(is_over)
        .filter(|day| is_prescribed(history, *day))
        .map(|day| day.weekday())
        .collect();
    let chances_of = |weekday: Weekday| asked.iter().filter(|asked| **asked == weekday).count();
    let is_trained_on = |weekday: Weekday| trained.iter().any(|day| day.weekday() == weekday);
    let weekdays: Vec<(Weekday, usize)> = (0..7)
        .filter_map(|number| Weekday::try_from(number).ok())
        .map(|weekday| (weekday, chances_of(weekday)))
        .filter(|(weekday, chances)| FEWEST_CHANCES <= *chances && !is_trained_on(*weekday))
        .collect();
    let names: Vec<String> =
        weekdays.iter().map(|(weekday, _)| weekday.to_string().to_lowercase()).collect();
    (!weekdays.is_empty())
        .then(|| TalkingPoint::of(None, What::NeverOn { weekdays }, &names.join("-")))
}

fn always_nought(history: &History, review: &Review) -> Option<TalkingPoint> {
    let sessions: Vec<&Session> =
        history.sessions().iter().filter(|session| review.from <= session.day()).collect();
    let sets = sessions.iter().flat_map(|session| &session.sets);
    let during: Vec<PainRating> = sets.filter_map(|set| Some(set.rated.as_ref()?.rating)).collect();
    let at_rest = sessions.iter().filter_map(|session| session.at_rest);
    let in_period = |morning: &&AnsweredMorning| review.from <= morning.date;
    let mornings = review
        .exercises
        .iter()
        .filter_map(|exercise| history.course(&exercise.exercise.id))
        .flat_map(|course| course.mornings().iter().filter(in_period))
        .map(|morning| morning.rating);
    let days: BTreeSet<NaiveDate> = sessions
        .iter()
        .filter(|session| session.sets.iter().any(|set| set.rated.is_some()))
        .map(|session| session.day())
        .collect();
    let mut all = during.iter().copied().chain(at_rest).chain(mornings);
    let is_nought = all.all(|rating| rating == PainRating::NONE);
    (is_nought && FEWEST_DAYS_AT_NOUGHT <= days.len()).then(|| {
        let what = What::AlwaysNought { ratings: during.len(), days: days.len() };
        TalkingPoint::of(None, what, &review.from.to_string())
    })
}
