//! A table that is tried: the kinds of client that it is tried on, and what there is to doubt about it.

use super::verdict;
use crate::domain::plan::limits::CellPlace;
use crate::domain::tried::doubts::{CAUGHT_WITHIN, Doubt};
use crate::domain::tried::kinds::Kind;

pub const fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::SettlesQuickly => "Settles quickly",
        Kind::StiffAtDawn => "Always stiff at dawn",
        Kind::Irritable => "Irritable, settles in two days",
        Kind::CreepingUp => "Creeping up a point a week",
        Kind::FlaresAfterSteps => "Flares after each step up",
        Kind::NeverHurts => "Never hurts",
        Kind::AnswersEveryThird => "Answers every third morning",
        Kind::MisleadingSite => "One site that misleads",
    }
}

/// What is true of the pain of a kind of client, before it wobbles.
pub const fn model(kind: Kind) -> &'static str {
    match kind {
        Kind::SettlesQuickly => {
            "Pain 2 during, mornings 2 as usual, on every rung. The steady client."
        }
        Kind::StiffAtDawn => "Pain 2 during, mornings 4, which is usual.",
        Kind::Irritable => {
            "Pain 3 during on the rung begun on. The next morning is 2 above the usual 2, the second one 1 above, \
             the third as usual. Each rung down takes a point off all of it, each rung up adds one."
        }
        Kind::CreepingUp => {
            "Pain 2 during and mornings 2 at first. Both rise by a point a week, whatever rung is trained on."
        }
        Kind::FlaresAfterSteps => {
            "As the steady client. With less help than the time before, pain is 3 higher for three days, \
             during and in the morning."
        }
        Kind::NeverHurts => "No pain, neither during nor in the morning.",
        Kind::AnswersEveryThird => {
            "As the steady client, but only every third morning is answered."
        }
        Kind::MisleadingSite => {
            "The joint: pain 1 during, mornings 1 as usual. Every other day the worst pain is 4, at a site that \
             says nothing about the joint. Where the limits give a site a meaning, it is that one."
        }
    }
}

/// What there is to doubt, and the cell that it lies at.
pub fn doubt(doubt: Doubt) -> String {
    match doubt {
        Doubt::SteadyHeld { share, at, .. } => format!(
            "A steady client with pain 2 is on Hold {} days in 100 by wobble alone. Most of it comes from {}.",
            in_hundred(share),
            place(at)
        ),
        Doubt::CreepMissed { share, at, .. } => format!(
            "Pain that creeps up a point a week is missed for {CAUGHT_WITHIN} days in {} clients of 100. Most \
             of it passes at {}.",
            in_hundred(share),
            place(at)
        ),
    }
}

/// "middle pain, next morning up by less than 2".
fn place((zone, settling): CellPlace) -> String {
    format!("{} pain, next morning {}", verdict::zone(zone), verdict::settling(settling))
}

fn in_hundred(share: f64) -> String {
    format!("{:.0}", share * 100.0)
}
