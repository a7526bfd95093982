//! What a practitioner may want to know of a table before handing it over, with the cell that it lies at:
//! help, not a gate. Both are exact sums, so that they can be had with each change of a field.

use super::one_day::{OneDay, Truth, answered_places};
use super::wobble::Wobble;
use crate::domain::pain::PainRating;
use crate::domain::plan::limits::{Cell, CellPlace, Limits, Settling, Zone};

/// A steady client may be held on no more than this share of days. Ours.
pub const HELD_AT_MOST: f64 = 0.1;
/// A creeping rise may be missed in no more than this share of clients by the end of [`CAUGHT_WITHIN`]. Ours.
pub const MISSED_AT_MOST: f64 = 0.1;
/// Days within which a rise of a point a week is to be caught. Ours; by then it is the clinically important
/// change of two points (Farrar 2001).
pub const CAUGHT_WITHIN: u32 = 14;

/// What is true of the steady client on any day, and of the creeping one on the first, in points.
const DURING: f64 = 2.0;

/// Something about a table that may not be meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Doubt {
    /// Wobble alone holds a steady client with pain 2, who is as usual each morning, on this share of days.
    SteadyHeld { share: f64, wobble: Wobble, at: CellPlace },
    /// Pain that rises by a point a week, during and in the morning, brings neither Ease nor Hold within two
    /// weeks in this share of clients.
    CreepMissed { share: f64, wobble: Wobble, at: CellPlace },
}

impl Doubt {
    /// The cell that it lies at.
    pub const fn at(self) -> CellPlace {
        match self {
            Self::SteadyHeld { at, .. } | Self::CreepMissed { at, .. } => at,
        }
    }
}

/// What there is to be said of the limits, each at most once: by the wobble that makes it worse.
pub fn doubts(limits: &Limits) -> Vec<Doubt> {
    let held = worse(|wobble| steady_held(limits, wobble))
        .filter(|(share, ..)| HELD_AT_MOST < *share)
        .map(|(share, wobble, at)| Doubt::SteadyHeld { share, wobble, at });
    let missed = worse(|wobble| creep_missed(limits, wobble))
        .filter(|(share, ..)| MISSED_AT_MOST < *share)
        .map(|(share, wobble, at)| Doubt::CreepMissed { share, wobble, at });
    held.into_iter().chain(missed).collect()
}

fn worse(of: impl Fn(Wobble) -> (f64, CellPlace)) -> Option<(f64, Wobble, CellPlace)> {
    let each = Wobble::PUBLISHED.map(|wobble| (of(wobble), wobble));
    let worst = each.into_iter().max_by(|(one, _), (other, _)| one.0.total_cmp(&other.0));
    worst.map(|((share, at), wobble)| (share, wobble, at))
}

/// A day on which pain has risen by so many points, during and in the morning.
fn day(limits: &Limits, points: f64, wobble: Wobble) -> OneDay {
    let usual = PainRating::of(2);
    OneDay::of(limits, Truth { during: DURING + points, usual, rise: points }, wobble)
}

/// How often a steady client is held, and where in the table most of it happens.
pub fn steady_held(limits: &Limits, wobble: Wobble) -> (f64, CellPlace) {
    let day = day(limits, 0.0, wobble);
    (day.shares.hold, most(|place| day.at(place, Cell::Hold)))
}

/// How often a creeping rise is missed, and the place of the table that lets most of its second week pass.
/// The days are independent of each other while all of them are Keep, but for the week's median, which can
/// only catch it sooner.
pub fn creep_missed(limits: &Limits, wobble: Wobble) -> (f64, CellPlace) {
    let days: Vec<OneDay> =
        (0..CAUGHT_WITHIN).map(|n| day(limits, f64::from(n) / 7.0, wobble)).collect();
    let missed = days.iter().map(|day| 1.0 - day.shares.alarms()).product();
    let passed = |place: CellPlace| {
        let second = days.iter().skip(7);
        second.map(|day| day.at(place, Cell::Counts) + day.at(place, Cell::Stay)).sum()
    };
    (missed, most(passed))
}

/// The place of which there is most.
fn most(of: impl Fn(CellPlace) -> f64) -> CellPlace {
    let first = (Zone::Low, Settling::Settled);
    answered_places().fold(first, |most, place| if of(most) < of(place) { place } else { most })
}
