//! Eight described kinds of client: what is true of their pain, day by day. Every number is ours, made to
//! be told apart and not measured on anyone; `docs/what-the-rule-does.md` says so beside each.
//!
//! All of them train every day on which they may, on one exercise, and answer every morning that is asked
//! for, unless their kind says otherwise.

/// How a made-up client's pain behaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    SettlesQuickly,
    StiffAtDawn,
    Irritable,
    CreepingUp,
    FlaresAfterSteps,
    NeverHurts,
    AnswersEveryThird,
    MisleadingSite,
}

/// Where a made-up client stands on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Now {
    /// Days since the routine was taken on.
    pub day: u32,
    /// Rungs above the one that the routine started on; below nought with more help.
    pub above_start: f64,
    /// Days since the exercise was last done.
    pub rested: u32,
    /// Days since it was first done with less help than the time before.
    pub since_step: Option<u32>,
}

/// The pain that is felt at a site which says nothing about the joint, in points.
const MISLEADING: f64 = 4.0;
/// Days on which a step up is felt, that of the step included.
const FLARE_DAYS: u32 = 3;
/// What a flare adds, during and next morning, in points.
const FLARE: f64 = 3.0;

impl Kind {
    pub const ALL: [Self; 8] = [
        Self::SettlesQuickly,
        Self::StiffAtDawn,
        Self::Irritable,
        Self::CreepingUp,
        Self::FlaresAfterSteps,
        Self::NeverHurts,
        Self::AnswersEveryThird,
        Self::MisleadingSite,
    ];

    /// What a morning is usually like, in points.
    pub const fn usual(self) -> f64 {
        match self {
            Self::NeverHurts => 0.0,
            Self::MisleadingSite => 1.0,
            Self::SettlesQuickly
            | Self::Irritable
            | Self::CreepingUp
            | Self::FlaresAfterSteps
            | Self::AnswersEveryThird => 2.0,
            Self::StiffAtDawn => 4.0,
        }
    }

    /// The worst pain of a day's sets, in points.
    pub fn during(self, now: Now) -> f64 {
        match self {
            Self::NeverHurts => 0.0,
            Self::SettlesQuickly | Self::StiffAtDawn | Self::AnswersEveryThird => 2.0,
            Self::Irritable => 3.0 + now.above_start,
            Self::CreepingUp => 2.0 + weeks(now.day),
            Self::FlaresAfterSteps => 2.0 + flare(now),
            Self::MisleadingSite if self.is_elsewhere(now) => MISLEADING,
            Self::MisleadingSite => 1.0,
        }
    }

    /// How far a morning is above the usual one, in points.
    pub fn rise(self, now: Now) -> f64 {
        match self {
            Self::SettlesQuickly
            | Self::StiffAtDawn
            | Self::NeverHurts
            | Self::AnswersEveryThird
            | Self::MisleadingSite => 0.0,
            // Two points the first morning, half of it the second, gone by the third.
            Self::Irritable => {
                let first = (2.0 + now.above_start).max(0.0);
                first * (1.0 - f64::from(now.rested.saturating_sub(1)) / 2.0).max(0.0)
            }
            Self::CreepingUp => weeks(now.day),
            Self::FlaresAfterSteps => flare(now),
        }
    }

    /// Whether the worst pain of the day was at the site that misleads: every other day.
    pub fn is_elsewhere(self, now: Now) -> bool {
        self == Self::MisleadingSite && now.day % 2 == 1
    }

    /// Whether a morning that is asked for is answered.
    pub const fn answers(self, day: u32) -> bool {
        !matches!(self, Self::AnswersEveryThird) || day.is_multiple_of(3)
    }
}

/// A point a week.
fn weeks(day: u32) -> f64 {
    f64::from(day) / 7.0
}

fn flare(now: Now) -> f64 {
    if now.since_step.is_some_and(|days| days < FLARE_DAYS) { FLARE } else { 0.0 }
}
