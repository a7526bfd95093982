//! What the rule of a routine says while it is changed.

use crate::domain::plan::ladder::OnLowestRung;
use crate::domain::plan::limits::{AfterMiddleSet, MayStepUp, Settling, SiteCounts, Zone};
use crate::ui::text::verdict;

pub const TITLE: &str = "The rule";
pub const AS_THE_CLIENT_SEES_IT: &str = "As the client sees it:";

pub const PUT_OWN_BACK: &str = "Put my own cells back";
pub const START_FROM: &str = "Start from";
pub const LOW_UP_TO: &str = "Low pain goes up to";
pub const MIDDLE_UP_TO: &str = "Middle pain goes up to";
pub const PAIN_DURING: &str = "Pain during";
pub const NOT_MILDER_WHEN_WORSE: &str = "A table in which a worse day gets a milder answer is not taken; it says which two cells are at odds.";

pub const WHAT_FOLLOWS: &str = "What follows";
pub const USUAL_MORNING: &str = "Usual morning pain, 0 to 10, if you know it";
/// Why it is not taken.
pub const NOT_FROM_0_TO_10: &str = "this takes a number from 0 to 10";
pub const DAYS_OFF: &str = "Days off after a Hold";
pub const GOOD_DAYS: &str = "Good days in a row before a step up";
pub const BREAK_DAYS: &str = "Days without training that make a break";
pub const AFTER_GOOD_DAYS: &str = "After so many good days the app may";
pub const EASE_ON_LOWEST: &str = "Ease on the lowest rung means";
pub const AFTER_MIDDLE_SET: &str = "After a set in the middle zone the next set";
pub const AFTER_A_BREAK: &str = "The first day after a break";

pub const SWELLING: &str = "Swelling";
pub const WHICH_JOINT: &str = "The joint it is asked about, as in \"left knee\"";

pub const WHERE_IT_MAY_HURT: &str = "Where it may hurt";
pub const WHEN_ASKED: &str = "Asked after each set, once a place is named. Two places in one joint can mean two different things.";
pub const A_PLACE: &str = "A place, in words the client knows";
pub const NAME_IT: &str = "Name it";
/// Why a place is not taken.
pub const NAMED_ALREADY: &str = "this place is named already";

/// What the app may do after enough good days.
pub const fn may_step_up(may: MayStepUp) -> &'static str {
    match may {
        MayStepUp::Nothing => "Nothing by itself",
        MayStepUp::WinBack => "Win back what was lost",
        MayStepUp::ToTheCeiling => "Climb to the ceiling",
    }
}

pub const fn on_lowest_rung(means: OnLowestRung) -> &'static str {
    match means {
        OnLowestRung::OneSetFewer => "One set fewer",
        OnLowestRung::Hold => "Hold",
    }
}

/// What becomes of the next set.
pub const fn after_middle_set(after: AfterMiddleSet) -> &'static str {
    match after {
        AfterMiddleSet::Same => "Stays as it is",
        AfterMiddleSet::OneRungDown => "Goes one rung down",
    }
}

/// How pain at a place counts, after the name of the place.
pub const fn counts(counts: SiteCounts) -> &'static str {
    match counts {
        SiteCounts::AsRated => "counts as rated",
        SiteCounts::OneZoneWorse => "counts one zone worse",
        SiteCounts::NotedOnly => "is noted only",
    }
}

/// Which cell of the table it is: "low pain, morning up by 2 or more".
pub fn cell(zone: Zone, settling: Settling) -> String {
    format!("{} pain, morning {}", verdict::zone(zone), verdict::settling(settling))
}

/// Why a place is not taken.
pub fn at_most_places(most: usize) -> String {
    format!("at most {most} places fit")
}

/// "Pain at: calf".
pub fn pain_at(place: &str) -> String {
    format!("Pain at: {place}")
}

/// "Take out calf".
pub fn take_out(place: &str) -> String {
    format!("Take out {place}")
}
