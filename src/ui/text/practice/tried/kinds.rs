//! What limits do to known kinds of client.

use crate::domain::tried::outcomes::{Estimate, FirstAlarm};

pub const TITLE: &str = "On known kinds of client";
pub const WHAT_THIS_IS: &str = "Eight made-up clients live eight weeks under these limits, on this device. Their ratings wobble as much as was measured in people; a range shows the smaller and the larger wobble. The presets stand beside them as they are, with nothing else changed. It says what the rule does to such a client, not what yours will do.";
pub const WHO_THEY_ARE: &str = "Who they are";
pub const WHAT_IS_SHOWN: &str = "Shown";
pub const KIND: &str = "Kind of client";
pub const THESE: &str = "These limits";

/// What is shown of the eight weeks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    Keep,
    Ease,
    Hold,
    FirstAlarm,
    Alarms,
    StepUps,
    Stopped,
}

impl Shown {
    pub const ALL: [Self; 7] = [
        Self::Keep,
        Self::Ease,
        Self::Hold,
        Self::FirstAlarm,
        Self::Alarms,
        Self::StepUps,
        Self::Stopped,
    ];
}

pub const fn shown(what: Shown) -> &'static str {
    match what {
        Shown::Keep => "Keep",
        Shown::Ease => "Ease",
        Shown::Hold => "Hold",
        Shown::FirstAlarm => "First alarm",
        Shown::Alarms => "Alarms",
        Shown::StepUps => "Step ups",
        Shown::Stopped => "Days stopped",
    }
}

/// The unit of what is shown, and how it is to be read.
pub const fn says(what: Shown) -> &'static str {
    match what {
        Shown::Keep => "Days of Keep in 100 days of training.",
        Shown::Ease => "Days of Ease in 100 days of training.",
        Shown::Hold => "Days of Hold in 100 days of training.",
        Shown::FirstAlarm => {
            "The day by which half had their first Ease or Hold, then the day by which nine in ten had it. For pain \
             that creeps up this is how late it is caught."
        }
        Shown::Alarms => {
            "Days of Ease or Hold in the eight weeks. For a client who settles quickly each is a false alarm."
        }
        Shown::StepUps => "Steps up in the eight weeks.",
        Shown::Stopped => {
            "Days in the eight weeks on which the exercise waited for someone qualified."
        }
    }
}

/// "12 of 16 worked out".
pub fn progress(done: usize, of: usize) -> String {
    format!("{done} of {of} worked out")
}

/// Two means as a range, in whole numbers, or with a tenth where they are small: "3", "3 to 5", "0.4 to 0.6".
pub fn range(one: Estimate, other: Estimate) -> String {
    let (low, high) = (one.mean.min(other.mean), one.mean.max(other.mean));
    let say = |number: f64| {
        if high < 9.95 { format!("{number:.1}") } else { format!("{number:.0}") }
    };
    let (low, high) = (say(low), say(high));
    if low == high { low } else { format!("{low} to {high}") }
}

/// "day 9, day 14", the later of the two wobbles.
pub fn first_alarm(one: FirstAlarm, other: FirstAlarm) -> String {
    let later = |a: Option<u32>, b: Option<u32>| match (a, b) {
        (Some(a), Some(b)) => format!("day {}", a.max(b)),
        (None, _) | (_, None) => "never".to_owned(),
    };
    let half = later(one.median, other.median);
    let most = later(one.slowest_tenth, other.slowest_tenth);
    if half == most { half } else { format!("{half}, {most}") }
}
