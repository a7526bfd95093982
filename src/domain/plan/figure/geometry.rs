//! Points, directions and turns in space: x is forward, y is up, z is to the right.

use std::ops::{Add, Mul, Neg, Sub};

#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vec3 {
    pub x: f64,
    pub y: f64,
    pub z: f64,
}

pub const fn vec3(x: f64, y: f64, z: f64) -> Vec3 {
    Vec3 { x, y, z }
}

pub const FORWARD: Vec3 = vec3(1.0, 0.0, 0.0);
pub const UP: Vec3 = vec3(0.0, 1.0, 0.0);
pub const RIGHT: Vec3 = vec3(0.0, 0.0, 1.0);

impl Vec3 {
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    #[must_use]
    pub fn cross(self, other: Self) -> Self {
        vec3(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The same direction with length 1; what has no direction stays as it is.
    #[must_use]
    pub fn unit(self) -> Self {
        let length = self.length();
        if length < 1e-9 { self } else { self * (1.0 / length) }
    }

    /// The point a share of the way to another.
    #[must_use]
    pub fn toward(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }

    /// As seen in a mirror that stands between left and right.
    #[must_use]
    pub fn mirrored(self) -> Self {
        vec3(self.x, self.y, -self.z)
    }

    pub const fn coordinates(self) -> [f64; 3] {
        [self.x, self.y, self.z]
    }
}

impl Add for Vec3 {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        vec3(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl Sub for Vec3 {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        vec3(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl Mul<f64> for Vec3 {
    type Output = Self;

    fn mul(self, by: f64) -> Self {
        vec3(self.x * by, self.y * by, self.z * by)
    }
}

impl Neg for Vec3 {
    type Output = Self;

    fn neg(self) -> Self {
        self * -1.0
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    X,
    Y,
    Z,
}

/// How a body is turned: where its own forward, up and right point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    pub forward: Vec3,
    pub up: Vec3,
    pub right: Vec3,
}

impl Turn {
    pub const NONE: Self = Self { forward: FORWARD, up: UP, right: RIGHT };

    /// Turned further about one of its own axes, counter-clockwise as seen from the axis' tip.
    #[must_use]
    pub fn about(self, axis: Axis, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        let swap =
            |first: Vec3, second: Vec3| (first * cos + second * sin, second * cos - first * sin);
        match axis {
            Axis::X => {
                let (up, right) = swap(self.up, self.right);
                Self { up, right, ..self }
            }
            Axis::Y => {
                let (right, forward) = swap(self.right, self.forward);
                Self { forward, right, ..self }
            }
            Axis::Z => {
                let (forward, up) = swap(self.forward, self.up);
                Self { forward, up, ..self }
            }
        }
    }

    pub const fn axis(self, axis: Axis) -> Vec3 {
        match axis {
            Axis::X => self.forward,
            Axis::Y => self.up,
            Axis::Z => self.right,
        }
    }

    /// A direction of the body's own, out in the room.
    pub fn out(self, own: Vec3) -> Vec3 {
        self.forward * own.x + self.up * own.y + self.right * own.z
    }

    /// A direction in the room, as the body's own.
    pub fn own(self, out: Vec3) -> Vec3 {
        vec3(out.dot(self.forward), out.dot(self.up), out.dot(self.right))
    }
}
