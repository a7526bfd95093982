//! Eight weeks of a made-up client, through the rule and the course that real logs go through.
//!
//! The client says what mornings are usually like when the routine is taken on, with the wobble of any
//! rating; rates one set a day, the worst; and is visited every seventh day, when a stop is lifted and days
//! off are left as they are. The ladder has twelve rungs, of which the fourth is the start. All of this is ours.

use chrono::{Days, NaiveDate};

use super::kinds::{Kind, Now};
use super::wobble::{Chance, Wobble};
use crate::domain::event_id::EventId;
use crate::domain::log::course::{Availability, Course, Judged, MorningGiven};
use crate::domain::log::rule::{RatedSet, Stopped, Swelling};
use crate::domain::pain::PainRating;
use crate::domain::plan::ladder::{Foothold, Ladder, RungNumber};
use crate::domain::plan::limits::{Light, Limits, Site, SiteCounts};
use crate::domain::plan::routine::{AnchorChange, Exercise, Version};
use crate::domain::words::Words;

/// Eight weeks.
pub const DAYS: u32 = 56;
/// Days from one visit to the next.
const VISIT_EVERY: u32 = 7;
/// The rung begun on, of twelve.
const START: u16 = 4;

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Life {
    /// The verdict of each training day, as it stood in the end.
    pub judged: Vec<Judged>,
    /// Days on which the exercise was left out, those on which it was stopped among them.
    pub left_out: u32,
    /// Days on which it waited for someone qualified.
    pub stopped: u32,
}

impl Life {
    /// How many training days had a light.
    pub fn days_of(&self, light: Light) -> u32 {
        self.count(|judged| judged.verdict.order.light() == light)
    }

    pub fn step_ups(&self) -> u32 {
        self.count(|judged| judged.from < judged.next)
    }

    fn count(&self, which: impl Fn(&Judged) -> bool) -> u32 {
        self.judged.iter().map(|judged| u32::from(which(judged))).sum()
    }

    /// The first training day that was no Keep, the day of taking on counted as the first.
    pub fn first_alarm(&self) -> Option<u32> {
        let judged =
            self.judged.iter().find(|judged| judged.verdict.order.light() != Light::Keep)?;
        u32::try_from((judged.day - first_day()).num_days() + 1).ok()
    }
}

/// Any day will do.
fn first_day() -> NaiveDate {
    NaiveDate::default()
}

/// Limits to be lived under.
#[derive(Clone, Debug)]
pub struct Trial {
    exercise: Exercise,
    limits: Limits,
    /// How the site that misleads is named, where the limits give it a meaning.
    site: Option<Words>,
}

impl Trial {
    /// A usual morning that was recorded is that of some client, and is left out.
    pub fn of(limits: &Limits) -> Self {
        let one = Ladder::of_one();
        let (start, top) = (RungNumber::nearest(START), RungNumber::MOST);
        let rung = one.rung(RungNumber::LEAST).clone();
        let name = rung.help.clone();
        let ladder = Ladder::new(vec![rung; top.get().into()], start, top).unwrap_or(one);
        let has_meaning = |site: &&Site| site.counts != SiteCounts::AsRated;
        Self {
            exercise: Exercise { ladder, ..Exercise::named(name) },
            limits: Limits { usual_morning: None, ..limits.clone() },
            site: limits.sites.iter().find(has_meaning).map(|site| site.name.clone()),
        }
    }

    /// So many days of one of many lives; the same number is the same chance under any limits.
    pub fn life(&self, kind: Kind, wobble: Wobble, number: u32, days: u32) -> Life {
        let seed = u64::from(number) << 8 | kind as u64;
        let course = Course::new(self.exercise.clone(), self.limits.clone(), Version::LEAST);
        let mut living = Living {
            trial: self,
            kind,
            wobble,
            chance: Chance::of(seed),
            course,
            last: None,
            step: None,
        };
        living.take_on();
        let (mut left_out, mut stopped) = (0, 0);
        for (day, date) in (0..days).zip(first_day().iter_days()) {
            living.morning(day, date);
            if 0 < day && day % VISIT_EVERY == 0 {
                living.course.go_ahead_if_stopped(date);
            }
            match living.course.availability(date) {
                Availability::Open => living.train(day, date),
                Availability::Held { .. } => left_out += 1,
                Availability::Stopped(_) => {
                    left_out += 1;
                    stopped += 1;
                }
            }
        }
        if let Some(after) = first_day().checked_add_days(Days::new(days.into())) {
            living.morning(days, after);
        }
        Life { judged: living.course.judged().to_vec(), left_out, stopped }
    }
}

struct Living<'a> {
    trial: &'a Trial,
    kind: Kind,
    wobble: Wobble,
    chance: Chance,
    course: Course,
    /// The last training day, and the rung it was done on.
    last: Option<(u32, Foothold)>,
    /// The last training day with less help than the one before.
    step: Option<u32>,
}

impl Living<'_> {
    fn rating(&mut self, truth: f64) -> PainRating {
        self.wobble.rating(truth, &mut self.chance)
    }

    fn take_on(&mut self) {
        let rating = self.rating(self.kind.usual());
        self.course.change_anchor(AnchorChange::Set { rating });
    }

    fn now(&self, day: u32, stands: Foothold) -> Now {
        Now {
            day,
            above_start: height(stands) - f64::from(START),
            rested: self.last.map_or(0, |(last, _)| day - last),
            since_step: self.step.map(|step| day - step),
        }
    }

    /// The morning of a day, where it is asked for and answered.
    fn morning(&mut self, day: u32, date: NaiveDate) {
        let Some((last, stood)) = self.last else { return };
        let is_after = last + 1 == day;
        let about = if is_after { date.pred_opt() } else { self.course.held_since(date) };
        let Some(about) = about.filter(|_| self.kind.answers(day)) else { return };
        let truth = self.kind.usual() + self.kind.rise(self.now(day, stood));
        let rating = Some(self.rating(truth));
        let (in_time, late) = if is_after { (rating, None) } else { (None, rating) };
        let given = MorningGiven { in_time, late, swelling: Swelling::NoMore };
        self.course.morning_answered(date, given, about, false);
    }

    fn train(&mut self, day: u32, date: NaiveDate) {
        let stands = self.course.start_on(date);
        if self.last.is_some_and(|(_, before)| before < stands) {
            self.step = Some(day);
        }
        self.last = Some((day, stands));
        let now = self.now(day, stands);
        let rating = self.rating(self.kind.during(now));
        let site = self.trial.site.clone().filter(|_| self.kind.is_elsewhere(now));
        let set = (EventId::LEAST, 1);
        self.course.set_ended(date, stands.rung, None, Stopped::No);
        self.course.set_rated(date, set, RatedSet { rating, site }, false);
    }
}

/// Rungs from the bottom; sets that were taken off count as rungs.
fn height(stands: Foothold) -> f64 {
    f64::from(stands.rung.get()) - f64::from(stands.fewer_sets)
}
