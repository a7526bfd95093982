//! Flat shapes: smooth paths with the role that each plays on paper, and the room seen from a place.

use super::data::View;
use super::geometry::{Vec3, vec3};

/// A point of the picture in centimetres, x to the right and y down.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Dot {
    pub x: f64,
    pub y: f64,
}

pub const fn dot(x: f64, y: f64) -> Dot {
    Dot { x, y }
}

impl Dot {
    #[must_use]
    pub fn plus(self, other: Self, by: f64) -> Self {
        dot(self.x + other.x * by, self.y + other.y * by)
    }

    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        self.plus(other, -1.0)
    }

    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    #[must_use]
    pub fn unit(self) -> Self {
        let length = self.length();
        if length < 1e-9 { dot(1.0, 0.0) } else { dot(self.x / length, self.y / length) }
    }

    /// A quarter turn.
    #[must_use]
    pub const fn across(self) -> Self {
        dot(-self.y, self.x)
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    To(Dot),
    Line(Dot),
    Curve(Dot, Dot, Dot),
    Close,
}

/// What a stroke or a fill stands for; the paper decides its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The floor's line, a wall's edge and its hatching.
    Ground,
    PropLine,
    PropTop,
    PropFace,
    PropSide,
    FarLine,
    Far,
    /// Trunk, head and the near limbs.
    BodyLine,
    Body,
    /// Collar and hems.
    Detail,
    /// The working part, and the same on a far limb.
    Work,
    FarWork,
    Band,
    /// The way that a part goes.
    Path,
}

impl Role {
    pub const ALL: [Self; 14] = [
        Self::Ground,
        Self::PropLine,
        Self::PropTop,
        Self::PropFace,
        Self::PropSide,
        Self::FarLine,
        Self::Far,
        Self::BodyLine,
        Self::Body,
        Self::Detail,
        Self::Work,
        Self::FarWork,
        Self::Band,
        Self::Path,
    ];

    /// The name of its colour among the tokens of the style.
    pub const fn token(self) -> &'static str {
        match self {
            Self::Ground | Self::Detail => "soft",
            Self::PropLine | Self::FarLine => "edge",
            Self::PropTop | Self::Body | Self::Band => "card",
            Self::PropFace => "prop",
            Self::PropSide => "prop-side",
            Self::Far => "far",
            Self::BodyLine => "ink",
            Self::Work | Self::Path => "chalk",
            Self::FarWork => "chalk-far",
        }
    }
}

/// One thing to draw.
#[derive(Clone, Debug, PartialEq)]
pub enum Ink {
    Fill(Role),
    /// Full from the second to the third of four places along a line, gone at the first and the fourth.
    Wash {
        role: Role,
        from: Dot,
        to: Dot,
        full: [f64; 2],
    },
    Stroke {
        role: Role,
        width: f64,
    },
}

#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    pub path: Vec<Step>,
    pub ink: Ink,
}

/// A closed smooth path through the points (Catmull-Rom).
pub fn smooth(points: &[Dot]) -> Vec<Step> {
    curve(points, true)
}

/// An open smooth path through the points.
pub fn open(points: &[Dot]) -> Vec<Step> {
    curve(points, false)
}

fn curve(points: &[Dot], closed: bool) -> Vec<Step> {
    let count = points.len();
    if count < 2 {
        return Vec::new();
    }
    let at = |place: usize, by: usize, back: bool| {
        if closed {
            points[(place + by + if back { count - 1 } else { 0 }) % count]
        } else if back {
            points[(place + by).saturating_sub(1)]
        } else {
            points[(place + by).min(count - 1)]
        }
    };
    let mut path = vec![Step::To(points[0])];
    let last = if closed { count } else { count - 1 };
    for (place, &from) in points.iter().enumerate().take(last) {
        let before = at(place, 0, true);
        let (to, after) = (at(place, 1, false), at(place, 2, false));
        path.push(Step::Curve(
            from.plus(to.minus(before), 1.0 / 6.0),
            to.plus(after.minus(from), -1.0 / 6.0),
            to,
        ));
    }
    if closed {
        path.push(Step::Close);
    }
    path
}

/// A path of straight lines.
pub fn lines(points: &[Dot], closed: bool) -> Vec<Step> {
    let mut path: Vec<Step> = points.iter().map(|point| Step::Line(*point)).collect();
    if let Some(first) = path.first_mut() {
        *first = Step::To(points[0]);
    }
    if closed {
        path.push(Step::Close);
    }
    path
}

/// The room as seen from a far place.
#[derive(Clone, Copy, Debug)]
pub struct Camera {
    right: Vec3,
    up: Vec3,
    /// From the room toward the eye.
    pub eye: Vec3,
}

impl Camera {
    pub fn of(view: View) -> Self {
        let (sin, cos) = view.yaw.to_radians().sin_cos();
        let (rise, level) = view.pitch.to_radians().sin_cos();
        let right = vec3(sin, 0.0, -cos);
        let eye = vec3(cos * level, rise, sin * level);
        Self { right, up: vec3(-cos * rise, level, -sin * rise), eye }
    }

    pub fn sees(&self, at: Vec3) -> Dot {
        dot(at.dot(self.right), -at.dot(self.up))
    }

    /// How near to the eye a point is.
    pub fn nearness(&self, at: Vec3) -> f64 {
        at.dot(self.eye)
    }

    /// A direction of the picture, out in the room.
    pub fn out(&self, way: Dot) -> Vec3 {
        self.right * way.x - self.up * way.y
    }
}

/// How far shapes reach: left, top, right, bottom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    pub least: Dot,
    pub most: Dot,
}

impl Bounds {
    pub fn of<'a>(shapes: impl IntoIterator<Item = &'a Shape>) -> Option<Self> {
        let points =
            shapes.into_iter().flat_map(|shape| &shape.path).filter_map(|step| match step {
                Step::To(to) | Step::Line(to) | Step::Curve(_, _, to) => Some(*to),
                Step::Close => None,
            });
        points.fold(None, |bounds: Option<Self>, point| {
            let Self { least, most } = bounds.unwrap_or(Self { least: point, most: point });
            Some(Self {
                least: dot(least.x.min(point.x), least.y.min(point.y)),
                most: dot(most.x.max(point.x), most.y.max(point.y)),
            })
        })
    }

    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            least: dot(self.least.x.min(other.least.x), self.least.y.min(other.least.y)),
            most: dot(self.most.x.max(other.most.x), self.most.y.max(other.most.y)),
        }
    }

    #[must_use]
    pub fn wider(self, by: f64) -> Self {
        Self {
            least: dot(self.least.x - by, self.least.y - by),
            most: dot(self.most.x + by, self.most.y + by),
        }
    }

    pub fn width(&self) -> f64 {
        self.most.x - self.least.x
    }

    pub fn height(&self) -> f64 {
        self.most.y - self.least.y
    }
}
