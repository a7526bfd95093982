//! The bones and joints: lengths as shares of height, masses and where they lie, and where each bone
//! is for a set of angles.
//!
//! Lengths: Drillis & Contini 1966 as in Winter 2009, figure 4.1 (second-hand). Masses and centres of
//! mass: Dempster 1955 as in Winter 2009 (second-hand). How the trunk's length is shared among its
//! joints, and how far the hips and shoulders stand apart inside the body's breadth, is ours.

use super::geometry::{Axis, Turn, Vec3, vec3};

/// The height of the figure in centimetres.
pub const HEIGHT: f64 = 170.0;

pub const UPPER_ARM: f64 = 0.186 * HEIGHT;
pub const FOREARM: f64 = 0.146 * HEIGHT;
pub const HAND: f64 = 0.108 * HEIGHT;
pub const THIGH: f64 = 0.245 * HEIGHT;
pub const SHANK: f64 = 0.246 * HEIGHT;
pub const FOOT: f64 = 0.152 * HEIGHT;
pub const FOOT_WIDTH: f64 = 0.055 * HEIGHT;
pub const ANKLE_HEIGHT: f64 = 0.039 * HEIGHT;
/// Hip to shoulder.
pub const TRUNK: f64 = 0.288 * HEIGHT;
/// Over the outside of both hips, and of both shoulders.
pub const HIP_WIDTH: f64 = 0.191 * HEIGHT;
pub const SHOULDER_WIDTH: f64 = 0.259 * HEIGHT;

/// From the middle to a hip joint, and to a shoulder joint.
pub const HIP_OUT: f64 = 8.5;
pub const SHOULDER_OUT: f64 = SHOULDER_WIDTH / 2.0 - 4.6;
/// From the heel's end to below the ankle, and on to the ball of the foot.
pub const HEEL_BACK: f64 = 5.6;
pub const BALL_AHEAD: f64 = 12.6;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    Right,
    Left,
}

impl Side {
    pub const BOTH: [Self; 2] = [Self::Right, Self::Left];

    /// 1 on the right, -1 on the left.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }

    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
}

/// A rigid part of the body. Those from the girdle on are there twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    Pelvis,
    Loin,
    Chest,
    Neck,
    Head,
    Girdle,
    UpperArm,
    Forearm,
    Hand,
    Thigh,
    Shank,
    Foot,
    Toes,
}

impl Part {
    pub const ALL: [Self; 13] = [
        Self::Pelvis,
        Self::Loin,
        Self::Chest,
        Self::Neck,
        Self::Head,
        Self::Girdle,
        Self::UpperArm,
        Self::Forearm,
        Self::Hand,
        Self::Thigh,
        Self::Shank,
        Self::Foot,
        Self::Toes,
    ];

    /// The part that data calls so.
    pub fn named(name: &str) -> Option<Self> {
        const NAMES: [&str; 13] = [
            "pelvis", "loin", "chest", "neck", "head", "girdle", "upper", "fore", "hand", "thigh",
            "shank", "foot", "toes",
        ];
        NAMES.iter().position(|known| *known == name).map(|place| Self::ALL[place])
    }

    const fn parent(self) -> Self {
        match self {
            Self::Pelvis | Self::Loin | Self::Thigh => Self::Pelvis,
            Self::Chest => Self::Loin,
            Self::Neck | Self::Girdle => Self::Chest,
            Self::Head => Self::Neck,
            Self::UpperArm => Self::Girdle,
            Self::Forearm => Self::UpperArm,
            Self::Hand => Self::Forearm,
            Self::Shank => Self::Thigh,
            Self::Foot => Self::Shank,
            Self::Toes => Self::Foot,
        }
    }

    /// Where its joint sits on the bone it hangs from, on the right.
    pub const fn joint_at(self) -> Vec3 {
        match self {
            Self::Pelvis => vec3(0.0, 0.0, 0.0),
            Self::Loin => vec3(-2.0, 0.05 * HEIGHT, 0.0),
            Self::Chest => vec3(0.0, 0.10 * HEIGHT, 0.0),
            // The neck springs a little behind the shoulders, which lie below its root.
            Self::Neck => vec3(0.5, 0.138 * HEIGHT + 4.5, 0.0),
            Self::Head => vec3(1.5, 13.0, 0.0),
            Self::Girdle => vec3(2.5, 0.138 * HEIGHT, 2.5),
            Self::UpperArm => vec3(-0.5, 0.0, SHOULDER_OUT - 2.5),
            Self::Forearm => vec3(0.0, -UPPER_ARM, 0.0),
            Self::Hand => vec3(0.0, -FOREARM, 0.0),
            Self::Thigh => vec3(0.0, 0.0, HIP_OUT),
            Self::Shank => vec3(0.0, -THIGH, 0.0),
            Self::Foot => vec3(0.0, -SHANK, 0.0),
            Self::Toes => vec3(BALL_AHEAD, 1.6 - ANKLE_HEIGHT, 0.0),
        }
    }

    /// Share of the body's mass, and where it lies on the bone; the trunk's parts as one of them each.
    ///
    /// Dempster/Winter: head and neck at the ear, pelvis, abdomen and thorax each along its own stretch.
    pub const fn mass(self) -> (f64, Vec3) {
        match self {
            Self::Pelvis => (0.142, vec3(-0.5, 0.895 * 0.05 * HEIGHT, 0.0)),
            Self::Loin => (0.139, vec3(1.0, 0.56 * 0.10 * HEIGHT, 0.0)),
            Self::Chest => (0.216, vec3(1.0, 0.45 * 0.138 * HEIGHT, 0.0)),
            Self::Head => (0.081, vec3(0.5, 1.5, 0.0)),
            Self::Neck | Self::Girdle | Self::Toes => (0.0, vec3(0.0, 0.0, 0.0)),
            Self::UpperArm => (0.028, vec3(0.0, -0.436 * UPPER_ARM, 0.0)),
            Self::Forearm => (0.016, vec3(0.0, -0.43 * FOREARM, 0.0)),
            Self::Hand => (0.006, vec3(0.0, -0.506 * HAND, 0.0)),
            Self::Thigh => (0.1, vec3(0.0, -0.433 * THIGH, 0.0)),
            Self::Shank => (0.0465, vec3(0.0, -0.433 * SHANK, 0.0)),
            Self::Foot => (0.0145, vec3(0.5 * FOOT - HEEL_BACK, -0.5 * ANKLE_HEIGHT, 0.0)),
        }
    }

    const fn is_central(self) -> bool {
        (self as usize) < Self::Girdle as usize
    }
}

/// One bone: a part, and on which side. The side of a central part says nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bone {
    pub part: Part,
    pub side: Side,
}

pub const BONES: usize = 21;

impl Bone {
    pub const fn new(part: Part, side: Side) -> Self {
        Self { part, side }
    }

    pub const fn index(self) -> usize {
        match self.side {
            Side::Left if !self.part.is_central() => self.part as usize + 8,
            Side::Left | Side::Right => self.part as usize,
        }
    }

    pub fn all() -> impl Iterator<Item = Self> {
        let left = Part::ALL.into_iter().filter(|part| !part.is_central());
        Part::ALL
            .into_iter()
            .map(|part| Self::new(part, Side::Right))
            .chain(left.map(|part| Self::new(part, Side::Left)))
    }

    /// What it hangs from.
    pub fn parent(self) -> Option<Self> {
        (self.part != Part::Pelvis).then(|| Self::new(self.part.parent(), self.side))
    }

    /// A point given for the right, on this side.
    pub const fn on_side(self, at: Vec3) -> Vec3 {
        vec3(at.x, at.y, at.z * self.side.sign())
    }
}

/// One direction in which a joint moves.
#[derive(Clone, Copy, Debug)]
pub struct Movement {
    /// The joint's name in data, and the place in its list of angles.
    pub joint: &'static str,
    pub place: usize,
    pub part: Part,
    axis: Axis,
    /// Which way is positive on the right; mirrored on the left unless the axis is the lateral one.
    sign: f64,
    /// How readily the solver leaves the angle it was given, in degrees.
    pub loose: f64,
    /// What the solver keeps to of itself, in degrees; the tests hold the outcome to a published table.
    pub least: f64,
    pub most: f64,
    /// The share of the named angle that this one takes: the spine bends in two places.
    pub share: f64,
}

#[rustfmt::skip]
const fn movement(
    joint: &'static str, place: usize, part: Part, axis: Axis, sign: f64, loose: f64, (least, most): (f64, f64),
) -> Movement {
    let share = if matches!(part, Part::Loin | Part::Chest) { 0.5 } else { 1.0 };
    Movement { joint, place, part, axis, sign, loose, least, most, share }
}

/// The movements of the middle, then those of one side; each list runs from the root outwards.
#[rustfmt::skip]
const MIDDLE: [Movement; 13] = [
    movement("turn", 0, Part::Pelvis, Axis::Y, -1.0, 3.0, (-360.0, 360.0)),
    movement("lean", 0, Part::Pelvis, Axis::Z, -1.0, 4.0, (-180.0, 180.0)),
    movement("roll", 0, Part::Pelvis, Axis::X, 1.0, 3.0, (-180.0, 180.0)),
    movement("spine", 0, Part::Loin, Axis::Z, -1.0, 3.0, (-14.0, 40.0)),
    movement("spine", 1, Part::Loin, Axis::X, 1.0, 3.0, (-16.0, 16.0)),
    movement("spine", 2, Part::Loin, Axis::Y, -1.0, 2.5, (-20.0, 20.0)),
    movement("spine", 0, Part::Chest, Axis::Z, -1.0, 3.0, (-14.0, 40.0)),
    movement("spine", 1, Part::Chest, Axis::X, 1.0, 3.0, (-16.0, 16.0)),
    movement("spine", 2, Part::Chest, Axis::Y, -1.0, 2.5, (-20.0, 20.0)),
    movement("neck", 0, Part::Neck, Axis::Z, -1.0, 6.0, (-40.0, 40.0)),
    movement("neck", 1, Part::Neck, Axis::X, 1.0, 4.0, (-40.0, 40.0)),
    movement("neck", 2, Part::Neck, Axis::Y, -1.0, 4.0, (-75.0, 75.0)),
    movement("nod", 0, Part::Head, Axis::Z, -1.0, 6.0, (-20.0, 25.0)),
];
#[rustfmt::skip]
const LIMB: [Movement; 17] = [
    movement("blade", 0, Part::Girdle, Axis::X, -1.0, 3.0, (-10.0, 30.0)),
    movement("blade", 1, Part::Girdle, Axis::Y, 1.0, 3.0, (-25.0, 25.0)),
    movement("shoulder", 0, Part::UpperArm, Axis::Z, 1.0, 40.0, (-50.0, 170.0)),
    movement("shoulder", 1, Part::UpperArm, Axis::X, -1.0, 25.0, (-40.0, 170.0)),
    movement("shoulder", 2, Part::UpperArm, Axis::Y, -1.0, 30.0, (-65.0, 85.0)),
    movement("elbow", 0, Part::Forearm, Axis::Z, 1.0, 50.0, (0.0, 138.0)),
    movement("fore", 0, Part::Forearm, Axis::Y, 1.0, 40.0, (-78.0, 78.0)),
    movement("wrist", 0, Part::Hand, Axis::X, 1.0, 25.0, (-82.0, 68.0)),
    movement("wrist", 1, Part::Hand, Axis::Z, 1.0, 10.0, (-28.0, 18.0)),
    movement("hip", 0, Part::Thigh, Axis::Z, 1.0, 40.0, (-14.0, 122.0)),
    movement("hip", 1, Part::Thigh, Axis::X, -1.0, 15.0, (-25.0, 42.0)),
    movement("hip", 2, Part::Thigh, Axis::Y, -1.0, 15.0, (-40.0, 42.0)),
    movement("knee", 0, Part::Shank, Axis::Z, -1.0, 50.0, (0.0, 132.0)),
    movement("ankle", 0, Part::Foot, Axis::Z, 1.0, 30.0, (-49.0, 24.0)),
    movement("ankle", 1, Part::Foot, Axis::X, 1.0, 10.0, (-18.0, 30.0)),
    movement("ankle", 2, Part::Foot, Axis::Y, -1.0, 6.0, (-30.0, 30.0)),
    movement("toes", 0, Part::Toes, Axis::Z, 1.0, 40.0, (-25.0, 65.0)),
];

/// The three coordinates of the root, then every movement: of the middle, the right, the left.
pub const FREEDOMS: usize = 3 + MIDDLE.len() + 2 * LIMB.len();
const FIRST_OF_LIMB: usize = 3 + MIDDLE.len();

/// The movement behind a freedom and its side; `None` for the coordinates of the root.
pub const fn movement_of(freedom: usize) -> Option<(&'static Movement, Side)> {
    if freedom < 3 {
        None
    } else if freedom < FIRST_OF_LIMB {
        Some((&MIDDLE[freedom - 3], Side::Right))
    } else if freedom < FIRST_OF_LIMB + LIMB.len() {
        Some((&LIMB[freedom - FIRST_OF_LIMB], Side::Right))
    } else if freedom < FREEDOMS {
        Some((&LIMB[freedom - FIRST_OF_LIMB - LIMB.len()], Side::Left))
    } else {
        None
    }
}

/// The freedom of a joint by its name in data; the side of a central joint says nothing.
pub fn freedoms_of(joint: &str, side: Side) -> impl Iterator<Item = (usize, &'static Movement)> {
    (3..FREEDOMS).filter_map(move |freedom| {
        let (movement, of_side) = movement_of(freedom)?;
        let here = movement.joint == joint && (movement.part.is_central() || of_side == side);
        here.then_some((freedom, movement))
    })
}

/// Where the root is, in centimetres, and every angle, in radians.
#[derive(Clone, Debug, PartialEq)]
pub struct Pose(pub [f64; FREEDOMS]);

impl Pose {
    /// Standing on the floor, arms hanging.
    pub fn standing() -> Self {
        let mut pose = Self([0.0; FREEDOMS]);
        pose.0[1] = ANKLE_HEIGHT + SHANK + THIGH;
        pose
    }

    /// The angles a share of the way to another pose.
    #[must_use]
    pub fn toward(&self, other: &Self, share: f64) -> Self {
        let mut between = self.clone();
        for (angle, end) in between.0.iter_mut().zip(other.0) {
            *angle += (end - *angle) * share;
        }
        between
    }

    /// As seen in a mirror: left is right, and turns to the side go the other way.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mut mirrored = self.clone();
        mirrored.0[2] = -self.0[2];
        for freedom in 3..FIRST_OF_LIMB {
            if MIDDLE[freedom - 3].axis != Axis::Z {
                mirrored.0[freedom] = -self.0[freedom];
            }
        }
        let (middle, left) = (FIRST_OF_LIMB, FIRST_OF_LIMB + LIMB.len());
        mirrored.0[middle..left].copy_from_slice(&self.0[left..]);
        mirrored.0[left..].copy_from_slice(&self.0[middle..left]);
        mirrored
    }

    /// An angle of a joint, in degrees, all its shares together.
    pub fn degrees(&self, joint: &str, place: usize, side: Side) -> f64 {
        freedoms_of(joint, side)
            .filter(|(_, movement)| movement.place == place)
            .map(|(freedom, _)| self.0[freedom].to_degrees())
            .sum()
    }
}

/// Where everything is.
#[derive(Clone, Debug)]
pub struct Placed {
    at: [Vec3; BONES],
    turn: [Turn; BONES],
    /// For each freedom, the axis it turns about and a point on it.
    axes: [(Vec3, Vec3); FREEDOMS],
}

impl Placed {
    pub fn of(pose: &Pose) -> Self {
        let root = vec3(pose.0[0], pose.0[1], pose.0[2]);
        let nowhere = (vec3(0.0, 0.0, 0.0), vec3(0.0, 0.0, 0.0));
        let mut placed =
            Self { at: [root; BONES], turn: [Turn::NONE; BONES], axes: [nowhere; FREEDOMS] };
        let mut freedom = 3;
        for bone in Bone::all() {
            let (at, mut turn) = match bone.parent() {
                None => (root, Turn::NONE),
                Some(parent) => {
                    let on = bone.on_side(bone.part.joint_at());
                    (placed.point(parent, on), placed.turn(parent))
                }
            };
            while let Some((movement, side)) = movement_of(freedom) {
                if movement.part != bone.part || (side != bone.side && !bone.part.is_central()) {
                    break;
                }
                let mirror = if movement.axis == Axis::Z { 1.0 } else { side.sign() };
                let sign = movement.sign * mirror;
                placed.axes[freedom] = (turn.axis(movement.axis) * sign, at);
                turn = turn.about(movement.axis, sign * pose.0[freedom]);
                freedom += 1;
            }
            placed.at[bone.index()] = at;
            placed.turn[bone.index()] = turn;
        }
        placed
    }

    /// A point given on a bone, in its own directions from its joint, out in the room.
    pub fn point(&self, bone: Bone, on: Vec3) -> Vec3 {
        self.at[bone.index()] + self.turn[bone.index()].out(on)
    }

    pub const fn joint(&self, bone: Bone) -> Vec3 {
        self.at[bone.index()]
    }

    pub const fn turn(&self, bone: Bone) -> Turn {
        self.turn[bone.index()]
    }

    /// The axis of a freedom and a point on it.
    pub const fn axis(&self, freedom: usize) -> (Vec3, Vec3) {
        self.axes[freedom]
    }

    pub fn centre_of_mass(&self) -> Vec3 {
        Bone::all().fold(vec3(0.0, 0.0, 0.0), |sum, bone| {
            let (share, at) = bone.part.mass();
            sum + self.point(bone, at) * share
        })
    }
}

/// The freedoms that move a bone, besides the root's coordinates.
pub fn chain(bone: Bone) -> impl Iterator<Item = usize> {
    let above = std::iter::successors(Some(bone), |bone| bone.parent());
    above.flat_map(|bone| {
        (3..FREEDOMS).filter(move |&freedom| {
            movement_of(freedom).is_some_and(|(movement, side)| {
                movement.part == bone.part && (bone.part.is_central() || side == bone.side)
            })
        })
    })
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "rounded to hundredths")]
mod tests {
    use super::*;

    fn placed(angles: &[(&str, usize, f64)]) -> Placed {
        let mut pose = Pose::standing();
        for &(joint, place, degrees) in angles {
            for side in Side::BOTH {
                for (freedom, movement) in freedoms_of(joint, side) {
                    if movement.place == place {
                        pose.0[freedom] = degrees.to_radians() * movement.share;
                    }
                }
            }
        }
        Placed::of(&pose)
    }

    fn ahead(placed: &Placed, part: Part) -> [f64; 3] {
        let seen = |side| placed.turn(Bone::new(part, side)).up;
        let (right, left) = (seen(Side::Right), seen(Side::Left));
        assert!(
            (right - left.mirrored()).length() < 1e-9,
            "{part:?} is not the same on both sides"
        );
        right.coordinates().map(|share| (share * 100.0).round() / 100.0 + 0.0)
    }

    /// Flexion, abduction and outward turning are positive, as a goniometer is read.
    #[test]
    fn positive_angles_go_the_anatomical_way() {
        #[rustfmt::skip]
        let rows = [
            // The far end of a limb lies along its own minus-up.
            ("hip", 0, 90.0, Part::Thigh, [-1.0, 0.0, 0.0]),
            ("hip", 1, 90.0, Part::Thigh, [0.0, 0.0, -1.0]),
            ("knee", 0, 90.0, Part::Shank, [1.0, 0.0, 0.0]),
            ("shoulder", 0, 90.0, Part::UpperArm, [-1.0, 0.0, 0.0]),
            ("shoulder", 1, 90.0, Part::UpperArm, [0.0, 0.0, -1.0]),
            ("elbow", 0, 90.0, Part::Forearm, [-1.0, 0.0, 0.0]),
            ("wrist", 0, 90.0, Part::Hand, [0.0, 0.0, 1.0]),
            ("spine", 0, 60.0, Part::Chest, [0.87, 0.5, 0.0]),
            ("neck", 0, 90.0, Part::Neck, [1.0, 0.0, 0.0]),
            ("lean", 0, 90.0, Part::Pelvis, [1.0, 0.0, 0.0]),
        ];
        for (joint, place, degrees, part, expected) in rows {
            assert_eq!(
                ahead(&placed(&[(joint, place, degrees)]), part),
                expected,
                "{joint} {place}"
            );
        }
        let toes_out = placed(&[("hip", 2, 30.0)]);
        assert!(0.4 < toes_out.turn(Bone::new(Part::Foot, Side::Right)).forward.z);
        let toes_up = placed(&[("ankle", 0, 20.0)]);
        assert!(0.3 < toes_up.turn(Bone::new(Part::Foot, Side::Left)).forward.y);
    }

    /// Drillis & Contini in Winter 2009, figure 4.1, for a height of 170 cm: the heights of the joints
    /// above the floor, as shares of height.
    #[test]
    fn joints_stand_at_their_published_heights() {
        let placed = Placed::of(&Pose::standing());
        let right = |part| placed.joint(Bone::new(part, Side::Right)).y / HEIGHT;
        #[rustfmt::skip]
        let rows = [
            ("A1-ankle_height", right(Part::Foot), 0.039),
            ("A1-knee_height", right(Part::Shank), 0.285),
            ("A1-hip_height", right(Part::Thigh), 0.53),
            ("A1-shoulder_height", right(Part::UpperArm), 0.818),
            ("A1-upper_arm", right(Part::UpperArm) - right(Part::Forearm), 0.186),
            ("A1-forearm", right(Part::Forearm) - right(Part::Hand), 0.146),
        ];
        for (row, found, expected) in rows {
            assert!((found - expected).abs() < 1e-9, "{row}: {found}, not {expected}");
        }
    }

    /// Dempster/Winter (second-hand): shares of body mass, and centres as shares of length from the
    /// near end. The trunk's parts, the head and both limbs make up the whole.
    #[test]
    fn masses_and_their_centres_are_the_published_ones() {
        #[rustfmt::skip]
        let rows = [
            ("A2-demp-upper_arm", Part::UpperArm, 0.028, 0.436, UPPER_ARM),
            ("A2-demp-forearm", Part::Forearm, 0.016, 0.43, FOREARM),
            ("A2-demp-hand", Part::Hand, 0.006, 0.506, HAND),
            ("A2-demp-thigh", Part::Thigh, 0.1, 0.433, THIGH),
            ("A2-demp-leg(shank)", Part::Shank, 0.0465, 0.433, SHANK),
        ];
        for (row, part, share, centre, length) in rows {
            let (mass, at) = part.mass();
            assert!((mass - share).abs() < 1e-9, "{row}: {mass}");
            assert!((-at.y / length - centre).abs() < 1e-9, "{row}: {}", -at.y / length);
        }
        #[rustfmt::skip]
        let masses = [
            ("A2-demp-foot", Part::Foot, 0.0145),
            ("A2-demp-head_neck", Part::Head, 0.081),
            ("A2-demp-thorax", Part::Chest, 0.216),
            ("A2-demp-abdomen", Part::Loin, 0.139),
            ("A2-demp-pelvis", Part::Pelvis, 0.142),
        ];
        for (row, part, share) in masses {
            assert!((part.mass().0 - share).abs() < 1e-9, "{row}");
        }
        let all: f64 = Bone::all().map(|bone| bone.part.mass().0).sum();
        assert!((all - 1.0).abs() < 0.001, "{all}");
    }

    /// A4-bmc-limb (read): the printed centre of mass of foot, leg and thigh from four joints in space.
    #[test]
    fn the_worked_limb_has_the_published_centre_of_mass() {
        let [mt2, ankle, knee, hip] =
            [(1.011, 0.013), (0.849, 0.11), (0.864, 0.549), (0.721, 0.928)];
        let along = |from: (f64, f64), to: (f64, f64), share: f64| {
            (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
        };
        let share = |part: Part, length: f64| -part.mass().1.y / length;
        let foot = along(ankle, mt2, 0.5);
        let leg = along(knee, ankle, share(Part::Shank, SHANK));
        let thigh = along(hip, knee, share(Part::Thigh, THIGH));
        let parts = [(Part::Foot, foot), (Part::Shank, leg), (Part::Thigh, thigh)];
        let mass: f64 = parts.iter().map(|(part, _)| part.mass().0).sum();
        let sum = |pick: fn((f64, f64)) -> f64| {
            parts.iter().map(|(part, at)| part.mass().0 * pick(*at)).sum::<f64>() / mass
        };
        for (found, expected) in [
            (foot, (0.93, 0.062)),
            (leg, (0.858, 0.359)),
            (thigh, (0.783, 0.764)),
            ((sum(|at| at.0), sum(|at| at.1)), (0.818, 0.584)),
        ] {
            assert!((found.0 - expected.0).abs() < 0.001 && (found.1 - expected.1).abs() < 0.001);
        }
    }

    /// A4-stand-lit (second-hand): 55 to 57 % of height in standing; A4-stand, from the same two tables
    /// with head and arms on the trunk's line: 58 %.
    #[test]
    fn the_weight_of_a_standing_body_lies_where_it_is_said_to() {
        let centre = Placed::of(&Pose::standing()).centre_of_mass();
        assert!((0.55..=0.585).contains(&(centre.y / HEIGHT)), "{}", centre.y / HEIGHT);
        assert!(centre.x.abs() < 3.0 && centre.z.abs() < 1e-9, "{centre:?}");
    }

    #[test]
    fn the_mirror_of_a_pose_is_the_mirror_of_where_everything_is() {
        let mut pose = Pose::standing();
        for (freedom, angle) in pose.0.iter_mut().enumerate() {
            *angle += f64::from(u8::try_from(freedom * 37 % 23).unwrap_or(0)) * 0.03 - 0.3;
        }
        let (placed, mirrored) = (Placed::of(&pose), Placed::of(&pose.mirrored()));
        for bone in Bone::all() {
            let opposite = Bone::new(bone.part, bone.side.other());
            let apart = placed.joint(bone) - mirrored.joint(opposite).mirrored();
            assert!(apart.length() < 1e-9, "{bone:?}");
        }
        assert_eq!(pose.mirrored().mirrored(), pose);
    }
}
