//! Whether a pose can stand: where its weight falls, and what a wall or a hand must bear where it
//! falls beside the feet.

use super::data::{Spot, Target, Touch};
use super::geometry::{Vec3, vec3};
use super::skeleton::{Bone, Part, Placed};

/// A point on the ground: forward, and to the right.
pub type Spread = (f64, f64);

/// The corners on which a pose rests, from above. What only leans against a wall is not among them.
pub fn base(placed: &Placed, touches: &[Touch]) -> Vec<Spread> {
    let mut corners = Vec::new();
    let bearing = touches.iter().filter(|touch| touch.spot.bears() && bears_weight(touch));
    for touch in bearing {
        let (back, ahead, aside) = reach(touch.spot);
        let turn = placed.turn(touch.bone());
        for own in [
            vec3(ahead, 0.0, aside),
            vec3(ahead, 0.0, -aside),
            vec3(back, 0.0, aside),
            vec3(back, 0.0, -aside),
        ] {
            let own = if matches!(touch.spot, Spot::Palm | Spot::Tips) {
                vec3(own.z, -own.x, 0.0)
            } else {
                own
            };
            let at = placed.point(touch.bone(), touch.on()) + turn.out(own);
            corners.push((at.x, at.z));
        }
    }
    corners
}

/// Whether what it stands on holds it up, rather than back.
fn bears_weight(touch: &Touch) -> bool {
    match touch.target {
        Target::Body(..) => false,
        Target::Room([_, up, _]) => {
            let to_the_side = touch.ways.first().is_some_and(|(_, way)| {
                let flat = if touch.spot == Spot::Tips { way.y < 0.5 } else { 0.5 < way.y.abs() };
                matches!(touch.spot, Spot::Palm | Spot::Tips) && !flat
            });
            up.is_some() && !to_the_side && touch.spot != Spot::Grip
        }
    }
}

/// How far a spot reaches back, ahead and to the side of where it is planted.
const fn reach(spot: Spot) -> (f64, f64, f64) {
    match spot {
        Spot::Sole => (-5.0, 18.0, 4.2),
        Spot::Ball => (-1.0, 6.0, 4.2),
        Spot::Palm => (-5.0, 9.0, 4.0),
        Spot::Seat => (-8.0, 22.0, 14.0),
        Spot::Sacrum | Spot::Belly | Spot::Flank | Spot::Back => (-10.0, 10.0, 16.0),
        Spot::Toe
        | Spot::Instep
        | Spot::Heel
        | Spot::Knee
        | Spot::HeadBack
        | Spot::Forehead
        | Spot::Shoulder
        | Spot::Elbow
        | Spot::Wrist
        | Spot::Tips
        | Spot::Grip
        | Spot::Hips
        | Spot::Breast => (-2.0, 2.0, 2.5),
    }
}

/// How far outside the area that the corners span a point lies; nought inside.
///
/// Outside, there is a direction in which no corner lies as far as the point: the distance is the most
/// that any of 72 directions shows.
pub fn outside(corners: &[Spread], at: Spread) -> f64 {
    if corners.is_empty() {
        return f64::INFINITY;
    }
    (0..72).fold(0.0, |most: f64, step| {
        let (sin, cos) = (f64::from(step) * std::f64::consts::TAU / 72.0).sin_cos();
        let along = |(x, z): Spread| x * cos + z * sin;
        let farthest =
            corners.iter().map(|corner| along(*corner)).fold(f64::NEG_INFINITY, f64::max);
        most.max(along(at) - farthest)
    })
}

/// The push, as a share of body weight, that something at a height must give so that a body does not
/// tip over an edge beyond which its weight falls: `weight × overhang = push × height`.
pub fn push(overhang: f64, height: f64) -> f64 {
    overhang / height
}

/// The share of body weight on a second support, where the first bears the rest: the lever's law.
pub fn share_on_second(first: f64, second: f64, weight: f64) -> f64 {
    (weight - first) / (second - first)
}

/// What holds a body that its base does not: hands on a rail, a back or palms on a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Holding {
    /// The share of body weight it must bear sideways.
    pub push: f64,
    /// Whether it can: a wall only pushes away from itself.
    pub can: bool,
}

/// How a pose stands: `None` where its weight falls on its base, which is what it is planted on and
/// where it lies.
pub fn holding(placed: &Placed, touches: &[Touch], lying: &[Spread]) -> Option<Holding> {
    let weight = placed.centre_of_mass();
    let mut corners = base(placed, touches);
    corners.extend(lying);
    let overhang = outside(&corners, (weight.x, weight.z));
    if overhang <= 0.0 {
        return None;
    }
    let middle =
        corners.iter().fold((0.0, 0.0), |sum, corner| (sum.0 + corner.0, sum.1 + corner.1));
    let count = f64::from(u32::try_from(corners.len().max(1)).unwrap_or(1));
    let ahead = middle.0 / count < weight.x;
    let ground = placed
        .joint(Bone::new(
            Part::Foot,
            touches.first().map_or(super::skeleton::Side::Right, |t| t.side),
        ))
        .y
        .min(10.0)
        - 7.0;
    let holds = touches.iter().filter_map(|touch| {
        let at: Vec3 = placed.point(touch.bone(), touch.on());
        match touch.spot {
            Spot::Grip => Some((at.y, true)),
            Spot::Palm | Spot::Tips if matches!(touch.target, Target::Room(_)) => {
                let faces = touch.ways.first().map_or(0.0, |(_, way)| way.x);
                Some((at.y, faces.abs() < 0.5 || (0.0 < faces) == ahead))
            }
            Spot::Back | Spot::Sacrum
                if matches!(touch.target, Target::Room([Some(_), None, _])) =>
            {
                Some((at.y, !ahead))
            }
            Spot::Back
            | Spot::Sacrum
            | Spot::Palm
            | Spot::Tips
            | Spot::Sole
            | Spot::Ball
            | Spot::Toe
            | Spot::Instep
            | Spot::Heel
            | Spot::Knee
            | Spot::Seat
            | Spot::Belly
            | Spot::Flank
            | Spot::HeadBack
            | Spot::Forehead
            | Spot::Shoulder
            | Spot::Elbow
            | Spot::Wrist
            | Spot::Hips
            | Spot::Breast => None,
        }
    });
    let best =
        holds.fold(
            (0.0_f64, false),
            |best, (height, can)| {
                if can && best.0 < height { (height, true) } else { best }
            },
        );
    Some(Holding { push: push(overhang, (best.0 - ground).max(1.0)), can: best.1 })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three postures worked by hand.
    #[test]
    fn statics_agree_with_what_is_worked_by_hand() {
        // Leaning on a wall: the weight falls 20 cm before the toes, the hands are at 130 cm:
        // 20 / 130 of the weight.
        assert!((push(20.0, 130.0) - 0.153_846).abs() < 1e-6);
        // A plank: toes at 0, elbows at 130, the weight over 78: the elbows bear 78 / 130.
        assert!((share_on_second(0.0, 130.0, 78.0) - 0.6).abs() < 1e-9);
        // Shifting onto a scale: feet at -15 and 15, the weight over 7.5: three quarters on the right.
        assert!((share_on_second(-15.0, 15.0, 7.5) - 0.75).abs() < 1e-9);
    }

    #[test]
    fn a_point_is_outside_by_its_distance_to_the_nearest_edge_or_corner() {
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (5.0, 5.0)];
        assert!(outside(&square, (5.0, 9.0)).abs() < 1e-9);
        assert!((outside(&square, (13.0, 5.0)) - 3.0).abs() < 1e-9);
        assert!((outside(&square, (13.0, 14.0)) - 5.0).abs() < 0.02);
        assert!(outside(&[], (0.0, 0.0)).is_infinite());
    }
}
