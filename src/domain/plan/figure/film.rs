//! A figure laid out in poses, each found when it is first seen, so that a frame need not find one.
//!
//! A pose that is far from between its neighbours is the solver throwing a limb about: then the one between them
//! is taken. The whole way stays without a jerk, at the price of going a little through what it passes.

use std::cell::{OnceCell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;
use std::time::Duration;

use super::data::{Figure, Move};
use super::motion::{Moment, Motion, keys_along};
use super::skeleton::{Bone, Part, Placed, Pose, Side};
use crate::domain::plan::dose::Tempo;

/// The way from one key to the next is laid out in so many steps, a power of two; between two of them the joints
/// turn evenly.
const STEPS: usize = 8;
/// How far, in centimetres, any joint may be from between the poses before and after: so much, and this share of
/// how far apart those are.
const NEAR: f64 = 4.0;
const SHARE: f64 = 0.4;

/// The way between two keys.
type Way = Rc<[OnceCell<Pose>]>;

#[derive(Debug)]
pub struct Film {
    motion: Motion,
    ways: RefCell<BTreeMap<(usize, usize), Way>>,
}

impl Film {
    pub fn of(figure: Figure) -> Self {
        Self { motion: Motion::of(figure), ways: RefCell::default() }
    }

    pub const fn motion(&self) -> &Motion {
        &self.motion
    }

    /// What is seen once a share of a phase of a rep is over, 0 to 1.
    pub fn at(&self, tempo: &Tempo, phase: usize, share: f64) -> Moment<'_> {
        let whole = tempo.phases().get(phase).map_or(1.0, |phase| f64::from(phase.secs.get()));
        let into = Duration::from_secs_f64(whole * share.clamp(0.0, 1.0));
        match self.motion.step(tempo, phase, into) {
            Some((one, share)) => self.along(one, share),
            None => self.motion.resting(tempo, phase),
        }
    }

    fn along<'a>(&'a self, one: &'a Move, share: f64) -> Moment<'a> {
        let (from, to, within) = keys_along(one, share);
        let pose = self.between(from, to, within);
        Moment { pose, works: &one.works, hands: self.motion.hands(from, to, within) }
    }

    fn between(&self, from: usize, to: usize, share: f64) -> Pose {
        let way = {
            let mut ways = self.ways.borrow_mut();
            let new = || (0..=STEPS).map(|_| OnceCell::new()).collect();
            Rc::clone(ways.entry((from, to)).or_insert_with(new))
        };
        let steps = f64::from(u32::try_from(STEPS).unwrap_or(1));
        let at = share.clamp(0.0, 1.0) * steps;
        let place = |step: usize| f64::from(u32::try_from(step).unwrap_or(0));
        let before = (0..STEPS).rev().find(|step| place(*step) <= at).unwrap_or(0);
        let first = self.pose(&way, (from, to), before);
        let within = at - place(before);
        if within <= 0.0 {
            first.clone()
        } else {
            first.toward(self.pose(&way, (from, to), before + 1), within)
        }
    }

    fn pose<'a>(&self, way: &'a Way, (from, to): (usize, usize), step: usize) -> &'a Pose {
        way[step].get_or_init(|| match step {
            0 => self.motion.solved(from).clone(),
            STEPS => self.motion.solved(to).clone(),
            _ => {
                // Those halfway to both sides, as far as halving has come.
                let half = 1 << step.trailing_zeros();
                let before = self.pose(way, (from, to), step - half);
                let after = self.pose(way, (from, to), step + half);
                let share = f64::from(u32::try_from(step).unwrap_or(0))
                    / f64::from(u32::try_from(STEPS).unwrap_or(1));
                let found = self.motion.between(from, to, share);
                let even = before.toward(after, 0.5);
                let allowed = NEAR + SHARE * farthest(before, after);
                if farthest(&found, &even) <= allowed { found } else { even }
            }
        })
    }
}

/// How far apart two poses have any of the joints that show it, in centimetres.
fn farthest(one: &Pose, other: &Pose) -> f64 {
    let (one, other) = (Placed::of(one), Placed::of(other));
    let parts = [Part::Pelvis, Part::Head, Part::Hand, Part::Foot, Part::Shank, Part::Forearm];
    let bones = parts.into_iter().flat_map(|part| Side::BOTH.map(|side| Bone::new(part, side)));
    bones.map(|bone| (one.joint(bone) - other.joint(bone)).length()).fold(0.0, f64::max)
}
