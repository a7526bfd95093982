//! What a table says of one day, exactly: a sum over the eleven ratings during and the eleven next morning.
//!
//! Both ratings are the true pain plus a wobble of their own. The usual morning is known, one set is rated,
//! nothing else was noted, and no other day is looked at.

use super::wobble::Wobble;
use crate::domain::log::rule::{
    AnsweredWhen, Earlier, Findings, Footing, Morning, Order, RatedSet, Stopped, Usual, UsualFrom,
    Warning, Weeks, decide,
};
use crate::domain::pain::{HalfPoints, PainRating};
use crate::domain::plan::limits::{Cell, CellPlace, Limits, Settling, Zone};

/// What is true of a day, in points of the scale; a rating strays from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Truth {
    /// The pain during the exercise.
    pub during: f64,
    /// What a morning is usually like, known for certain.
    pub usual: PainRating,
    /// How far the next morning is above it.
    pub rise: f64,
}

/// How often a day counts toward a step up, stays, eases and holds, as shares of one.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shares {
    pub counts: f64,
    pub stay: f64,
    pub ease: f64,
    pub hold: f64,
}

impl Shares {
    pub const fn of(self, cell: Cell) -> f64 {
        match cell {
            Cell::Counts => self.counts,
            Cell::Stay => self.stay,
            Cell::Ease => self.ease,
            Cell::Hold => self.hold,
        }
    }

    const fn of_mut(&mut self, cell: Cell) -> &mut f64 {
        match cell {
            Cell::Counts => &mut self.counts,
            Cell::Stay => &mut self.stay,
            Cell::Ease => &mut self.ease,
            Cell::Hold => &mut self.hold,
        }
    }

    /// How often a day is Ease or Hold.
    pub const fn alarms(self) -> f64 {
        self.ease + self.hold
    }
}

/// What one day comes to, as the rule itself says of every pair of ratings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OneDay {
    pub shares: Shares,
    /// How often a day falls into each place of the table, and what comes of it there: rows by zone, columns
    /// as in [`Settling::ALL`].
    places: [[Shares; 4]; 3],
}

impl OneDay {
    /// A day whose morning is answered.
    pub fn of(limits: &Limits, truth: Truth, wobble: Wobble) -> Self {
        let mornings = wobble.ratings(f64::from(truth.usual.points()) + truth.rise);
        let usual = Usual { half_points: HalfPoints::from(truth.usual), from: UsualFrom::Visit };
        let answered = AnsweredWhen::BeforeTraining;
        let mornings = PainRating::all().zip(mornings);
        let mornings =
            mornings.map(|(rating, share)| (Some(Morning { rating, usual, answered }), share));
        Self::sum(limits, truth.during, wobble, &mornings.collect::<Vec<_>>())
    }

    /// A day whose morning is not answered, as any is at the end of its last session.
    pub fn unanswered(limits: &Limits, during: f64, wobble: Wobble) -> Self {
        Self::sum(limits, during, wobble, &[(None, 1.0)])
    }

    fn sum(
        limits: &Limits,
        during: f64,
        wobble: Wobble,
        mornings: &[(Option<Morning>, f64)],
    ) -> Self {
        let mut day = Self { shares: Shares::default(), places: Default::default() };
        for (worst, during) in PainRating::all().zip(wobble.ratings(during)) {
            let zone = limits.zone_of_set(worst, None);
            for (morning, next) in mornings {
                let Some(verdict) = decide(limits, &findings(worst, *morning)) else { continue };
                let cell = match verdict.order {
                    Order::KeepAndCount => Cell::Counts,
                    Order::KeepAndStay | Order::KeepNotCounted => Cell::Stay,
                    Order::Ease => Cell::Ease,
                    Order::HoldUntilRested | Order::HoldUntilAnswered => Cell::Hold,
                };
                let column = morning.map_or(Settling::NotAnswered, Morning::settling);
                *day.shares.of_mut(cell) += during * next;
                *day.places[zone as usize][column as usize].of_mut(cell) += during * next;
            }
        }
        day
    }

    /// How often a day falls into a place of the table and this comes of it.
    pub const fn at(&self, (zone, settling): CellPlace, cell: Cell) -> f64 {
        self.places[zone as usize][settling as usize].of(cell)
    }
}

/// The answered places of a table, from mild to harsh.
pub fn answered_places() -> impl Iterator<Item = CellPlace> {
    let columns = [Settling::Settled, Settling::UpALittle, Settling::UpClearly];
    Zone::ALL.into_iter().flat_map(move |zone| columns.map(|column| (zone, column)))
}

/// A day with one rated set of which nothing else is to be said.
fn findings(worst: PainRating, morning: Option<Morning>) -> Findings {
    Findings {
        sets: vec![RatedSet { rating: worst, site: None }],
        stopped: Stopped::No,
        at_rest: None,
        morning,
        swelling: None,
        warning: Warning::None,
        weeks: Weeks::Steady,
        earlier: Earlier::NoHold,
        footing: Footing::CanEase,
    }
}
