//! How thick the body is round its bones: cross-sections, and the three builds of the one skeleton.

use super::geometry::{Vec3, vec3};
use super::skeleton::{Bone, FOREARM, Part, Placed, SHANK, Side, THIGH, UPPER_ARM};

/// The three builds of the one skeleton.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Build {
    Lean,
    #[default]
    Average,
    Large,
}

impl Build {
    pub const ALL: [Self; 3] = [Self::Lean, Self::Average, Self::Large];

    /// How much thicker than the average: forward, backward, sideways. What a body rests on, its back
    /// and its seat, stays nearly where it is.
    const fn girth(self, part: Part) -> [f64; 3] {
        match (self, part) {
            (Self::Average, _) | (_, Part::Head | Part::Hand | Part::Foot | Part::Toes) => [1.0; 3],
            (Self::Lean, Part::Pelvis | Part::Loin | Part::Chest) => [0.88, 0.95, 0.9],
            (Self::Lean, _) => [0.86, 0.9, 0.86],
            (Self::Large, Part::Pelvis | Part::Loin) => [1.7, 1.08, 1.25],
            (Self::Large, Part::Chest) => [1.3, 1.05, 1.18],
            (Self::Large, _) => [1.22, 1.1, 1.22],
        }
    }
}

/// A cross-section: where its middle is on the bone, and how far it reaches forward, backward and to
/// either side.
pub struct Slice {
    pub part: Part,
    pub at: Vec3,
    pub reach: [f64; 3],
    /// Which own direction reads as forward: the foot lies along its own forward, so there it is up.
    pub lies: Lies,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Lies {
    Upright,
    Along,
}

pub const fn slice(part: Part, at: Vec3, reach: [f64; 3]) -> Slice {
    Slice { part, at, reach, lies: Lies::Upright }
}

pub const fn down(part: Part, down: f64, reach: [f64; 3]) -> Slice {
    slice(part, vec3(0.0, -down, 0.0), reach)
}

const fn along(part: Part, at: Vec3, reach: [f64; 3]) -> Slice {
    Slice { part, at, reach, lies: Lies::Along }
}

pub const TRUNK: [Slice; 9] = [
    slice(Part::Pelvis, vec3(0.0, -8.5, 0.0), [6.5, 8.0, 13.0]),
    slice(Part::Pelvis, vec3(0.0, -3.0, 0.0), [9.0, 11.0, 16.0]),
    slice(Part::Pelvis, vec3(0.0, 5.0, 0.0), [10.0, 10.4, 15.2]),
    slice(Part::Loin, vec3(0.0, 4.0, 0.0), [10.6, 7.6, 13.0]),
    slice(Part::Loin, vec3(0.0, 12.0, 0.0), [10.8, 8.4, 13.2]),
    slice(Part::Chest, vec3(0.0, 5.0, 0.0), [11.6, 10.2, 15.0]),
    slice(Part::Chest, vec3(0.0, 13.0, 0.0), [11.2, 10.6, 16.0]),
    slice(Part::Chest, vec3(0.0, 20.5, 0.0), [8.8, 9.8, 16.6]),
    slice(Part::Chest, vec3(0.0, 25.5, 0.0), [5.6, 7.4, 11.0]),
];
pub const NECK: [Slice; 3] = [
    slice(Part::Chest, vec3(0.5, 25.0, 0.0), [5.6, 6.0, 7.4]),
    slice(Part::Neck, vec3(0.0, 3.0, 0.0), [5.2, 5.2, 5.2]),
    slice(Part::Head, vec3(-1.2, -2.0, 0.0), [5.0, 5.4, 5.0]),
];
pub const THIGH_SLICES: [Slice; 5] = [
    down(Part::Thigh, -2.0, [8.0, 9.0, 7.4]),
    down(Part::Thigh, 9.0, [8.2, 8.3, 7.6]),
    down(Part::Thigh, 22.0, [7.3, 7.0, 6.8]),
    down(Part::Thigh, 34.0, [5.9, 5.4, 5.5]),
    down(Part::Thigh, THIGH, [5.6, 4.8, 5.2]),
];
pub const SHANK_SLICES: [Slice; 6] = [
    down(Part::Shank, 0.0, [5.4, 4.8, 5.1]),
    down(Part::Shank, 6.0, [4.8, 5.4, 5.1]),
    down(Part::Shank, 14.0, [4.0, 6.9, 5.6]),
    down(Part::Shank, 24.0, [3.6, 5.6, 4.6]),
    down(Part::Shank, 34.0, [3.3, 3.7, 3.4]),
    down(Part::Shank, SHANK, [3.6, 3.6, 3.3]),
];
pub const FOOT_SLICES: [Slice; 4] = [
    along(Part::Foot, vec3(-4.4, -4.0, 0.0), [2.4, 2.6, 3.0]),
    along(Part::Foot, vec3(1.0, -3.6, 0.0), [4.4, 3.0, 3.6]),
    along(Part::Foot, vec3(7.0, -4.2, 0.0), [2.8, 2.3, 4.2]),
    along(Part::Toes, vec3(0.0, 0.0, 0.0), [1.6, 1.6, 4.6]),
];
pub const TOE_SLICES: [Slice; 3] = [
    along(Part::Toes, vec3(-0.5, 0.0, 0.0), [1.6, 1.6, 4.6]),
    along(Part::Toes, vec3(3.5, -0.1, 0.0), [1.4, 1.5, 4.3]),
    along(Part::Toes, vec3(6.2, -0.3, 0.0), [1.1, 1.3, 3.4]),
];
pub const UPPER_SLICES: [Slice; 5] = [
    down(Part::UpperArm, -1.0, [5.0, 5.2, 4.4]),
    down(Part::UpperArm, 6.0, [4.9, 5.0, 4.6]),
    down(Part::UpperArm, 15.0, [4.4, 4.4, 4.1]),
    down(Part::UpperArm, 25.0, [3.7, 3.8, 3.6]),
    down(Part::UpperArm, UPPER_ARM, [3.5, 3.6, 3.5]),
];
pub const FORE_SLICES: [Slice; 4] = [
    down(Part::Forearm, 0.0, [3.6, 3.6, 3.5]),
    down(Part::Forearm, 6.0, [3.9, 3.9, 3.8]),
    down(Part::Forearm, 16.0, [3.1, 3.1, 3.0]),
    down(Part::Forearm, FOREARM, [2.7, 2.7, 2.3]),
];
/// A hand is wide the way its thumb points, and thin from palm to back.
pub const LOOSE_HAND: [Slice; 4] = [
    down(Part::Hand, 0.0, [2.6, 2.6, 2.2]),
    slice(Part::Hand, vec3(0.2, -6.0, -0.2), [3.6, 3.6, 1.9]),
    slice(Part::Hand, vec3(0.0, -11.0, -0.9), [3.2, 3.4, 1.6]),
    slice(Part::Hand, vec3(0.0, -15.8, -2.2), [1.9, 2.2, 1.2]),
];
pub const FLAT_HAND: [Slice; 4] = [
    down(Part::Hand, 0.0, [2.6, 2.6, 2.2]),
    slice(Part::Hand, vec3(0.2, -6.0, 0.0), [3.8, 3.6, 1.5]),
    slice(Part::Hand, vec3(0.0, -12.0, -0.2), [3.6, 3.5, 1.2]),
    slice(Part::Hand, vec3(0.0, -17.4, -0.3), [2.2, 2.2, 0.9]),
];
pub const FIST: [Slice; 3] = [
    down(Part::Hand, 0.0, [2.6, 2.6, 2.3]),
    slice(Part::Hand, vec3(0.2, -5.0, -1.0), [4.0, 3.9, 3.2]),
    slice(Part::Hand, vec3(0.2, -8.6, -1.6), [3.8, 3.7, 3.0]),
];
/// The palm as far as the knuckles, and the fingers from there on: bent at their own joints only, or at the
/// knuckles only.
pub const PALM: [Slice; 3] = [
    down(Part::Hand, 0.0, [2.6, 2.6, 2.2]),
    slice(Part::Hand, vec3(0.2, -6.0, 0.0), [3.8, 3.6, 1.5]),
    slice(Part::Hand, vec3(0.1, -10.0, -0.1), [3.6, 3.5, 1.3]),
];
pub const HOOK: [&[Slice]; 2] = [
    &[
        slice(Part::Hand, vec3(0.1, -9.0, -0.1), [3.5, 3.4, 1.3]),
        slice(Part::Hand, vec3(0.0, -14.0, -0.6), [3.2, 3.2, 1.2]),
    ],
    &[
        slice(Part::Hand, vec3(0.0, -13.8, -0.9), [3.2, 3.2, 1.2]),
        slice(Part::Hand, vec3(0.0, -13.2, -4.4), [3.0, 3.0, 1.1]),
        slice(Part::Hand, vec3(0.0, -10.2, -4.9), [2.6, 2.6, 1.0]),
    ],
];
pub const TABLE: [&[Slice]; 1] = [&[
    slice(Part::Hand, vec3(0.0, -10.2, -0.6), [3.4, 3.4, 1.3]),
    slice(Part::Hand, vec3(0.0, -10.4, -5.0), [3.3, 3.3, 1.2]),
    slice(Part::Hand, vec3(0.0, -10.4, -9.2), [2.4, 2.4, 0.9]),
]];
pub const THUMB: [Slice; 3] = [
    slice(Part::Hand, vec3(2.0, -3.2, -0.8), [1.4, 1.4, 1.2]),
    slice(Part::Hand, vec3(4.2, -6.4, -1.5), [1.2, 1.2, 1.1]),
    slice(Part::Hand, vec3(4.6, -9.4, -1.9), [0.9, 0.9, 0.9]),
];
/// Skull and jaw: a middle, and how far each reaches forward, up and to the side.
pub const HEAD: [(Vec3, [f64; 3]); 2] =
    [(vec3(-0.6, 4.0, 0.0), [9.7, 9.4, 7.5]), (vec3(3.4, -3.4, 0.0), [5.6, 5.4, 5.0])];

/// A cross-section out in the room.
#[derive(Clone, Copy, Debug)]
pub struct Ring {
    pub middle: Vec3,
    pub ahead: Vec3,
    pub aside: Vec3,
    pub reach: [f64; 3],
}

impl Ring {
    pub fn of(placed: &Placed, slice: &Slice, side: Side, build: Build) -> Self {
        let bone = Bone::new(slice.part, side);
        let turn = placed.turn(bone);
        let mut reach = slice.reach;
        for (reach, girth) in reach.iter_mut().zip(build.girth(slice.part)) {
            *reach *= girth;
        }
        let ahead = if slice.lies == Lies::Along { turn.up } else { turn.forward };
        Self { middle: placed.point(bone, bone.on_side(slice.at)), ahead, aside: turn.right, reach }
    }

    /// How far it reaches along a direction, from its middle.
    pub fn support(&self, way: Vec3) -> f64 {
        let (ahead, aside) = (way.dot(self.ahead), way.dot(self.aside));
        let along = if ahead < 0.0 { self.reach[1] } else { self.reach[0] };
        (along * ahead).hypot(self.reach[2] * aside)
    }

    /// The point of its edge at an angle: 0 is in front.
    pub fn edge(&self, angle: f64) -> Vec3 {
        let (sin, cos) = angle.sin_cos();
        let along = if cos < 0.0 { self.reach[1] } else { self.reach[0] };
        self.middle + self.ahead * (along * cos) + self.aside * (self.reach[2] * sin)
    }
}

/// Points of the skin of the average build all over the body, each with the bone that it is on.
pub fn skin(placed: &Placed) -> Vec<(Bone, Vec3)> {
    let mut points = Vec::new();
    let mut add = |slices: &[Slice], side: Side| {
        for slice in slices {
            let ring = Ring::of(placed, slice, side, Build::Average);
            let around = (0..12).map(|place| f64::from(place) * std::f64::consts::TAU / 12.0);
            points.extend(around.map(|angle| (Bone::new(slice.part, side), ring.edge(angle))));
        }
    };
    add(&TRUNK, Side::Right);
    for side in Side::BOTH {
        let limbs: [&[Slice]; 6] =
            [&THIGH_SLICES, &SHANK_SLICES, &FOOT_SLICES, &TOE_SLICES, &UPPER_SLICES, &FORE_SLICES];
        for slices in limbs {
            add(slices, side);
        }
    }
    let head = Bone::new(Part::Head, Side::Right);
    for way in [
        vec3(1.0, 0.0, 0.0),
        vec3(-1.0, 0.0, 0.0),
        vec3(0.0, 1.0, 0.0),
        vec3(0.0, 0.0, 1.0),
        vec3(0.0, 0.0, -1.0),
    ] {
        let (middle, [ahead, up, aside]) = HEAD[0];
        points.push((
            head,
            placed.point(head, middle + vec3(way.x * ahead, way.y * up, way.z * aside)),
        ));
    }
    points
}
