//! Finds the pose nearest to rough angles that keeps hands and feet where they are planted.
//!
//! Damped least squares over all freedoms, with the axes of the joints as the derivative. Joints have
//! limits of the solver's own here, as strong wishes; whether a figure keeps within what is normal is
//! for the tests to say, which read a published table.

use super::geometry::Vec3;
use super::skeleton::{Bone, FREEDOMS, Placed, Pose, chain, movement_of};

/// One number that should be nought.
#[derive(Clone, Copy, Debug)]
pub enum Goal {
    /// A point of a bone lies at a place in the room, along one direction. What is planted weighs 1.
    Point { bone: Bone, on: Vec3, at: Vec3, along: Vec3, weight: f64 },
    /// A point of a bone lies at a point of another bone, along one direction of that bone's own.
    Meet { bone: Bone, on: Vec3, other: Bone, there: Vec3, along: Vec3 },
    /// A direction of a bone points the way of one in the room, along one direction.
    Facing { bone: Bone, own: Vec3, toward: Vec3, along: Vec3 },
}

/// How many centimetres of slip one unit of a direction's error counts.
const LEVER: f64 = 12.0;
/// How strongly contacts outweigh angles, per centimetre.
const HOLD: f64 = 40.0;
/// How far any angle may go in one step, in radians, and the root, in centimetres.
const STEP: f64 = 0.35;
const ROOT_STEP: f64 = 12.0;
/// How readily the root leaves where it was put, in centimetres.
const ROOT_LOOSE: f64 = 25.0;
const STEPS: usize = 60;

/// Named joints that hardly leave their angles.
pub type Firm = [bool; FREEDOMS];

struct Row {
    value: f64,
    slope: [f64; FREEDOMS],
}

fn row(goal: &Goal, placed: &Placed) -> Row {
    let mut slope = [0.0; FREEDOMS];
    let mut add =
        |bone: Bone, moved: &dyn Fn(Vec3, Vec3) -> Vec3, along: Vec3, by: f64, root: bool| {
            for freedom in chain(bone) {
                let (axis, through) = placed.axis(freedom);
                slope[freedom] += moved(axis, through).dot(along) * by;
            }
            if root {
                for (freedom, share) in along.coordinates().into_iter().enumerate() {
                    slope[freedom] += share * by;
                }
            }
        };
    let value = match *goal {
        Goal::Point { bone, on, at, along, weight } => {
            let here = placed.point(bone, on);
            add(bone, &|axis, through| axis.cross(here - through), along, HOLD * weight, true);
            (here - at).dot(along) * HOLD * weight
        }
        Goal::Meet { bone, on, other, there, along } => {
            let (here, there) = (placed.point(bone, on), placed.point(other, there));
            let along = placed.turn(other).out(along);
            // The direction turns with the other bone; the gap is nearly nought, so that this is small.
            add(bone, &|axis, through| axis.cross(here - through), along, HOLD, true);
            add(other, &|axis, through| axis.cross(here - through), along, -HOLD, true);
            (here - there).dot(along) * HOLD
        }
        Goal::Facing { bone, own, toward, along } => {
            let way = placed.turn(bone).out(own);
            add(bone, &|axis, _| axis.cross(way), along, HOLD * LEVER, false);
            (way - toward).dot(along) * HOLD * LEVER
        }
    };
    Row { value, slope }
}

/// How far the whole body is from its places, on the average of what is planted.
pub fn shift(pose: &Pose, goals: &[Goal]) -> [f64; 3] {
    let placed = Placed::of(pose);
    let (mut sum, mut count) = ([0.0; 3], [0.0; 3]);
    for goal in goals {
        if let Goal::Point { bone, on, at, along, .. } = *goal {
            let off = at - placed.point(bone, on);
            for (axis, share) in along.coordinates().into_iter().enumerate() {
                sum[axis] += share * off.coordinates()[axis];
                count[axis] += share;
            }
        }
    }
    [0, 1, 2].map(|axis| if 0.0 < count[axis] { sum[axis] / count[axis] } else { 0.0 })
}

/// The pose nearest to `rough` that meets the goals, sought from `from` on.
pub fn solve(rough: &Pose, from: &Pose, goals: &[Goal], firm: &Firm) -> Pose {
    let mut pose = from.clone();
    let looseness: Vec<f64> = (0..FREEDOMS)
        .map(|freedom| match movement_of(freedom) {
            None => ROOT_LOOSE,
            Some(_) if firm[freedom] => 1.0_f64.to_radians(),
            Some((movement, _)) => movement.loose.to_radians(),
        })
        .collect();
    for _ in 0..STEPS {
        let placed = Placed::of(&pose);
        let mut square = vec![[0.0; FREEDOMS]; FREEDOMS];
        let mut pull = [0.0; FREEDOMS];
        for goal in goals {
            let row = row(goal, &placed);
            let moved: Vec<usize> = (0..FREEDOMS).filter(|&one| row.slope[one] != 0.0).collect();
            for &one in &moved {
                pull[one] -= row.slope[one] * row.value;
                for &other in moved.iter().take_while(|&&other| other <= one) {
                    square[one][other] += row.slope[one] * row.slope[other];
                }
            }
        }
        for freedom in 0..FREEDOMS {
            let weight = looseness[freedom].powi(-2);
            square[freedom][freedom] += weight;
            pull[freedom] += weight * (rough.0[freedom] - pose.0[freedom]);
            if let Some((movement, _)) = movement_of(freedom) {
                let (least, most) = (movement.least, movement.most);
                let bound = pose.0[freedom].clamp(least.to_radians(), most.to_radians());
                if (bound - pose.0[freedom]).abs() > 0.0 {
                    let weight = 0.4_f64.to_radians().powi(-2);
                    square[freedom][freedom] += weight;
                    pull[freedom] += weight * (bound - pose.0[freedom]);
                }
            }
        }
        let step = solved(&mut square, pull);
        let longest = step.iter().enumerate().fold(0.0_f64, |longest, (freedom, step)| {
            longest.max(step.abs() / if freedom < 3 { ROOT_STEP } else { STEP })
        });
        let by = if 1.0 < longest { longest.recip() } else { 1.0 };
        for (angle, step) in pose.0.iter_mut().zip(step) {
            *angle += step * by;
        }
        if longest < 2e-5 {
            break;
        }
    }
    pose
}

/// The solution of a symmetric positive system whose lower half is given (Cholesky).
fn solved(square: &mut [[f64; FREEDOMS]], mut pull: [f64; FREEDOMS]) -> [f64; FREEDOMS] {
    for column in 0..FREEDOMS {
        for before in 0..column {
            let share = square[column][before];
            if share != 0.0 {
                for line in square.iter_mut().skip(column) {
                    line[column] -= line[before] * share;
                }
            }
        }
        let root = square[column][column].max(1e-12).sqrt();
        for line in square.iter_mut().skip(column) {
            line[column] /= root;
        }
    }
    for line in 0..FREEDOMS {
        let known: f64 = (0..line).map(|before| square[line][before] * pull[before]).sum();
        pull[line] = (pull[line] - known) / square[line][line];
    }
    for line in (0..FREEDOMS).rev() {
        let known: f64 = (line + 1..FREEDOMS).map(|after| square[after][line] * pull[after]).sum();
        pull[line] = (pull[line] - known) / square[line][line];
    }
    pull
}
