//! What a table does to each kind of client: what many lives come to, with how sure that is.

use serde::{Deserialize, Serialize};

use super::kinds::Kind;
use super::lives::{DAYS, Life, Trial};
use super::wobble::Wobble;
use crate::domain::plan::limits::{Light, Limits};

/// So many lives of each kind and wobble where someone waits for them, and where what they waited for is
/// compared. Ours.
pub const LIVES: u32 = 40;

/// A mean over lives that know nothing of each other, with its standard error, both in the unit counted.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
pub struct Estimate {
    pub mean: f64,
    pub error: f64,
}

impl Estimate {
    fn of(counted: impl Iterator<Item = f64> + Clone) -> Self {
        let lives: f64 = counted.clone().map(|_| 1.0).sum();
        let mean = counted.clone().sum::<f64>() / lives.max(1.0);
        let squares: f64 = counted.map(|one| (one - mean) * (one - mean)).sum();
        Self { mean, error: (squares / (lives - 1.0).max(1.0) / lives.max(1.0)).sqrt() }
    }
}

/// The training day of the first light that was no Keep, the first day being 1; `None` where it did not come
/// in the eight weeks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct FirstAlarm {
    /// By then it had come in half of the lives.
    pub median: Option<u32>,
    /// By then in nine of ten.
    pub slowest_tenth: Option<u32>,
}

impl FirstAlarm {
    fn of(days: &[Option<u32>]) -> Self {
        let by = |day: u32| days.iter().filter(|alarm| alarm.is_some_and(|at| at <= day)).count();
        let first = |tenths: usize| (1..=DAYS).find(|day| tenths * days.len() <= 10 * by(*day));
        Self { median: first(5), slowest_tenth: first(9) }
    }
}

/// What eight weeks under some limits come to for one kind of client.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
pub struct Outcome {
    /// Lights of a hundred training days: Keep, Ease, Hold.
    pub lights: [Estimate; 3],
    /// Training days of the eight weeks that were Ease or Hold.
    pub alarms: Estimate,
    pub first_alarm: FirstAlarm,
    pub step_ups: Estimate,
    /// Days of the eight weeks on which the exercise was left out, and those of them on which it was stopped.
    pub left_out: Estimate,
    pub stopped: Estimate,
}

impl Outcome {
    pub fn of(trial: &Trial, kind: Kind, wobble: Wobble, lives: u32) -> Self {
        let lives: Vec<Life> =
            (0..lives).map(|number| trial.life(kind, wobble, number, DAYS)).collect();
        let mean = |count: &dyn Fn(&Life) -> f64| Estimate::of(lives.iter().map(count));
        let of_hundred = |light: Light| {
            mean(&|life| {
                let days = life.judged.iter().map(|_| 1.0).sum::<f64>();
                100.0 * f64::from(life.days_of(light)) / days.max(1.0)
            })
        };
        let alarms: Vec<Option<u32>> = lives.iter().map(Life::first_alarm).collect();
        Self {
            lights: [Light::Keep, Light::Ease, Light::Hold].map(of_hundred),
            alarms: mean(&|life| {
                f64::from(life.days_of(Light::Ease)) + f64::from(life.days_of(Light::Hold))
            }),
            first_alarm: FirstAlarm::of(&alarms),
            step_ups: mean(&|life| life.step_ups().into()),
            left_out: mean(&|life| life.left_out.into()),
            stopped: mean(&|life| life.stopped.into()),
        }
    }
}

/// What came of one kind with either of the wobbles that were published.
pub type Pair = [Outcome; 2];

/// Every kind under some limits, one after the other, from so many lives with either wobble.
pub fn outcomes(limits: &Limits, lives: u32) -> impl Iterator<Item = Pair> + use<> {
    let trial = Trial::of(limits);
    Kind::ALL
        .into_iter()
        .map(move |kind| Wobble::PUBLISHED.map(|wobble| Outcome::of(&trial, kind, wobble, lives)))
}
