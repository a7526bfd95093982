//! The figure in time: which pose belongs to which moment of a rep.

use std::cell::OnceCell;
use std::time::Duration;

use super::data::{Figure, HandShape, Move, Spot, Touch};
use super::flesh::skin;
use super::geometry::{FORWARD, RIGHT, UP, Vec3};
use super::props::{Give, Kind, Prop};
use super::skeleton::{Bone, Placed, Pose};
use super::solver::{Firm, Goal, shift, solve};
use crate::domain::plan::dose::{Action, Tempo};

/// How long the way into a hold takes, at most; what is left of the phase nothing moves.
const INTO_A_HOLD: f64 = 1.0;

/// A moment of a figure, ready to be drawn.
#[derive(Clone, Debug)]
pub struct Moment<'a> {
    pub pose: Pose,
    pub works: &'a [Bone],
    pub hands: [HandShape; 2],
}

/// A figure whose keys are solved, each when it is first asked for.
#[derive(Clone, Debug)]
pub struct Motion {
    pub figure: Figure,
    /// One for each key.
    solved: Vec<OnceCell<Pose>>,
}

impl Motion {
    pub fn of(figure: Figure) -> Self {
        let solved = figure.keys.iter().map(|_| OnceCell::new()).collect();
        Self { figure, solved }
    }

    /// The pose of a key.
    pub fn solved(&self, place: usize) -> &Pose {
        self.solved[place].get_or_init(|| {
            let key = &self.figure.keys[place];
            settle(&key.rough, &key.goals(), &key.firm, &self.figure.props)
        })
    }

    /// The move behind each phase of a tempo; a pause that the figure does not know stays where the
    /// phase before it ended.
    pub fn moves<'a>(&'a self, tempo: &Tempo) -> Vec<Option<&'a Move>> {
        let mut met: Vec<(Action, usize)> = Vec::new();
        tempo
            .phases()
            .iter()
            .map(|phase| {
                let times = met.iter().filter(|(action, _)| *action == phase.action).count();
                met.push((phase.action, times));
                let fitting: Vec<&Move> =
                    self.figure.moves.iter().filter(|one| one.action == phase.action).collect();
                if fitting.is_empty() { None } else { Some(fitting[times % fitting.len()]) }
            })
            .collect()
    }

    /// What is seen once a part of a phase of a rep is over.
    pub fn at(&self, tempo: &Tempo, phase: usize, into: Duration) -> Moment<'_> {
        match self.step(tempo, phase, into) {
            Some((one, share)) => self.along(one, share),
            None => self.resting(tempo, phase),
        }
    }

    /// The move of a phase, and the share of it that is over once a part of the phase is; none, where the figure
    /// does not know the phase and rests.
    pub fn step(&self, tempo: &Tempo, phase: usize, into: Duration) -> Option<(&Move, f64)> {
        let current = self.moves(tempo).get(phase).copied().flatten()?;
        let whole = tempo.phases().get(phase).map_or(1.0, |phase| f64::from(phase.secs.get()));
        let takes = match current.action {
            Action::Lift | Action::Lower => whole,
            Action::Hold | Action::Relax => whole.min(INTO_A_HOLD),
        };
        Some((current, (into.as_secs_f64() / takes).min(1.0)))
    }

    /// Where the last known move before a pause ended, or the first key.
    pub fn resting(&self, tempo: &Tempo, phase: usize) -> Moment<'_> {
        let moves = self.moves(tempo);
        let before = moves.get(..phase).unwrap_or_default();
        let last = before.iter().rev().copied().flatten().next();
        let place = last.or(self.figure.moves.first()).map_or(0, |one| match last {
            Some(_) => one.through[one.through.len() - 1],
            None => one.through[0],
        });
        let works = self.figure.moves.iter().find(|one| one.through.contains(&place));
        Moment {
            pose: self.solved(place).clone(),
            works: works.map_or(&[], |one| &one.works),
            hands: self.figure.keys[place].hands,
        }
    }

    /// A share of the way through a move, slower at both ends.
    pub fn along<'a>(&'a self, one: &'a Move, share: f64) -> Moment<'a> {
        let (from, to, within) = keys_along(one, share);
        let pose = self.between(from, to, within);
        Moment { pose, works: &one.works, hands: self.hands(from, to, within) }
    }

    /// How the hands are held a share of the way from one key to another.
    pub fn hands(&self, from: usize, to: usize, within: f64) -> [HandShape; 2] {
        self.figure.keys[if within < 0.5 { from } else { to }].hands
    }

    /// Between two keys: angles are interpolated, then put back on what both keys stand on.
    pub fn between(&self, from: usize, to: usize, share: f64) -> Pose {
        if from == to || share <= 0.0 {
            return self.solved(from).clone();
        }
        if 1.0 <= share {
            return self.solved(to).clone();
        }
        let rough = self.solved(from).toward(self.solved(to), share);
        let mut goals = Vec::new();
        for touch in self.shared(from, to, share) {
            touch.goals(&mut goals);
        }
        settle(&rough, &goals, &self.figure.keys[to].firm, &self.figure.props)
    }

    /// What both keys stand on, a share of the way from one to the other. A sole that rises onto its
    /// ball keeps the ball where it is.
    pub fn shared(&self, from: usize, to: usize, share: f64) -> Vec<Touch> {
        let (from, to) = (&self.figure.keys[from].touches, &self.figure.keys[to].touches);
        let parts = |touches: &[Touch]| -> Vec<Touch> {
            let of_soles = touches.iter().flat_map(Touch::parts);
            let mut all = touches.to_vec();
            for part in of_soles {
                if !all.iter().any(|touch| touch.is_of(&part)) {
                    all.push(part);
                }
            }
            all
        };
        let (from, to) = (parts(from), parts(to));
        let soles = |touch: &Touch| {
            let sole = |all: &[Touch]| {
                all.iter().any(|one| one.spot == Spot::Sole && one.side == touch.side)
            };
            // Where both keys stand on the sole, it says all that its parts would.
            matches!(touch.spot, Spot::Ball | Spot::Heel) && sole(&from) && sole(&to)
        };
        let both = from.iter().filter(|touch| !soles(touch));
        let both =
            both.filter_map(|touch| Some((touch, to.iter().find(|other| other.is_of(touch))?)));
        both.filter_map(|(from, to)| from.toward(to, share)).collect()
    }
}

/// Between which keys a move is a share of the way through, and how far from the one to the other.
pub fn keys_along(one: &Move, share: f64) -> (usize, usize, f64) {
    let share = share.clamp(0.0, 1.0);
    let eased = share * share * (3.0 - 2.0 * share);
    let legs = one.through.len() - 1;
    // The last key, and the first of a move that stays there.
    let mut leg = 0;
    let mut within = eased * f64::from(u32::try_from(legs).unwrap_or(u32::MAX));
    while 1.0 < within {
        within -= 1.0;
        leg += 1;
    }
    (one.through[leg], one.through[(leg + 1).min(legs)], within)
}

/// How deep anything may be in what is hard and in what is soft, before it is pushed out.
const TOUCHING: f64 = 0.2;
const SUNK: f64 = 2.5;
/// How much being pushed out weighs beside what is planted.
const PUSH: f64 = 0.14;
/// How often a pose is looked over for what is inside something.
const ROUNDS: usize = 5;

/// The pose that meets the goals, with nothing inside the floor, the furniture or a wall.
fn settle(rough: &Pose, goals: &[Goal], firm: &Firm, props: &[Prop]) -> Pose {
    let mut rough = rough.clone();
    for (freedom, by) in shift(&rough, goals).into_iter().enumerate() {
        rough.0[freedom] += by;
    }
    let mut pose = solve(&rough, &rough, goals, firm);
    let mut pushed: Vec<(Bone, Vec3, Goal)> = Vec::new();
    for _ in 0..ROUNDS {
        let placed = Placed::of(&pose);
        let mut deepest: Vec<(Bone, Vec3, Sunk)> = Vec::new();
        for (bone, at) in skin(&placed) {
            let Some(sunk) = sunk(at, props) else { continue };
            match deepest.iter_mut().find(|(other, _, was)| *other == bone && was.out == sunk.out) {
                Some(before) if before.2.depth < sunk.depth => *before = (bone, at, sunk),
                Some(_) => {}
                None => deepest.push((bone, at, sunk)),
            }
        }
        if deepest.is_empty() {
            break;
        }
        for (bone, at, sunk) in deepest {
            let on = placed.turn(bone).own(at - placed.joint(bone));
            let at = at + sunk.out * sunk.depth;
            pushed.retain(|(other, out, _)| *other != bone || *out != sunk.out);
            let goal = Goal::Point { bone, on, at, along: sunk.out, weight: PUSH };
            pushed.push((bone, sunk.out, goal));
        }
        let all: Vec<Goal> =
            goals.iter().copied().chain(pushed.iter().map(|(_, _, goal)| *goal)).collect();
        pose = solve(&rough, &pose, &all, firm);
    }
    pose
}

/// How far, and which way, a point has to go to be out of something.
struct Sunk {
    depth: f64,
    out: Vec3,
}

fn sunk(at: Vec3, props: &[Prop]) -> Option<Sunk> {
    let mut deepest: Option<Sunk> = None;
    let mut add = |depth: f64, allowed: f64, out: Vec3| {
        let deeper = deepest.as_ref().is_none_or(|before| before.depth < depth - allowed);
        if allowed < depth && deeper {
            deepest = Some(Sunk { depth: depth - allowed * 0.8, out });
        }
    };
    let soft = props
        .iter()
        .any(|prop| prop.is_ground && prop.blocks().iter().any(|block| block.give == Give::Soft));
    add(-at.y, if soft { SUNK } else { TOUCHING }, UP);
    for prop in props.iter().filter(|prop| !prop.is_ground) {
        for block in prop.blocks() {
            let allowed = if block.give == Give::Soft { SUNK } else { TOUCHING };
            let ways = [
                (at.x - block.least.x, -FORWARD),
                (block.most.x - at.x, FORWARD),
                (block.most.y - at.y, UP),
                (at.y - block.least.y, -UP),
                (at.z - block.least.z, -RIGHT),
                (block.most.z - at.z, RIGHT),
            ];
            if allowed < block.depth(at) {
                // What lies on top goes up; only what is far from the top goes out at a side.
                let [back, ahead, up, ..] = ways;
                let shortest =
                    ways.into_iter().reduce(|one, other| if other.0 < one.0 { other } else { one });
                let way = if up.0 < 6.0 {
                    up
                } else {
                    shortest.unwrap_or(if back.0 < ahead.0 { back } else { ahead })
                };
                add(way.0, allowed, way.1);
            }
        }
        if let Kind::Wall { x, faces } = prop.kind {
            add((x - at.x) * faces, TOUCHING, FORWARD * faces);
        }
    }
    deepest
}
