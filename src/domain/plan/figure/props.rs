//! What an exercise is done with: furniture as solid boxes, walls, rails, bands and what is held.

use serde_json::Value;

use super::data::numbers;
use super::geometry::{Vec3, vec3};
use super::skeleton::{Bone, Part, Placed, Side};

/// A place in the room or on a bone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Anchor {
    Room(Vec3),
    Body(Bone, Vec3),
}

impl Anchor {
    pub fn at(&self, placed: &Placed) -> Vec3 {
        match *self {
            Self::Room(at) => at,
            Self::Body(bone, on) => placed.point(bone, on),
        }
    }

    fn read(value: &Value) -> Result<Self, &'static str> {
        let at = numbers(value);
        let number = |place: usize| at.get(place).copied().flatten().unwrap_or(0.0);
        match value.as_array().and_then(|parts| parts.first()) {
            Some(Value::String(bone)) => {
                let (name, side) = match bone.rsplit_once('.') {
                    Some((name, "l")) => (name, Side::Left),
                    Some((name, _)) => (name, Side::Right),
                    None => (bone.as_str(), Side::Right),
                };
                let part = Part::named(name).ok_or("no such part of the body")?;
                Ok(Self::Body(Bone::new(part, side), vec3(number(1), number(2), number(3))))
            }
            Some(Value::Number(_)) => Ok(Self::Room(vec3(number(0), number(1), number(2)))),
            _ => Err("an anchor is a place, or a bone and a place on it"),
        }
    }
}

/// A box with its faces along the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    pub least: Vec3,
    pub most: Vec3,
    pub give: Give,
}

/// Whether what lies on it sinks in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Give {
    Hard,
    Soft,
}

impl Block {
    const fn new([x0, x1, y0, y1, z0, z1]: [f64; 6], give: Give) -> Self {
        Self { least: vec3(x0, y0, z0), most: vec3(x1, y1, z1), give }
    }

    /// How deep a point is inside; nought or less where it is outside.
    pub fn depth(&self, at: Vec3) -> f64 {
        let sides = at.coordinates().into_iter().zip(self.least.coordinates());
        let sides = sides.zip(self.most.coordinates());
        sides.fold(f64::INFINITY, |depth, ((at, least), most)| depth.min(at - least).min(most - at))
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cord {
    /// An elastic band.
    Band,
    /// A towel or strap.
    Strap,
    /// A stick or a rail.
    Rod,
    /// A leg of furniture or a post.
    Post,
}

/// A thing that goes along with a bone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thing {
    Ball,
    Roll,
    Bottle,
    Hammer,
    Rucksack,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    Behind,
    InFront,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    Blocks(Vec<Block>, Vec<(Vec3, Vec3)>),
    /// The plane of a wall: where it is, and which way it faces, 1 or -1 along x.
    Wall {
        x: f64,
        faces: f64,
    },
    /// What lies on the ground where no floor is drawn.
    Cord(Cord, Vec<Anchor>),
    Thing(Thing, Anchor, f64),
}

#[derive(Clone, Debug, PartialEq)]
pub struct Prop {
    pub kind: Kind,
    pub layer: Layer,
    /// Whether it takes the floor's place: a bed, a mat.
    pub is_ground: bool,
}

impl Prop {
    #[expect(clippy::too_many_lines, reason = "a row for each kind, as in a table")]
    pub fn read(_name: &str, value: &Value) -> Result<Self, &'static str> {
        let parts = value.as_array().ok_or("a prop is a list")?;
        let kind = parts.first().and_then(Value::as_str).ok_or("a prop begins with its kind")?;
        let in_front = parts.last().and_then(Value::as_str) == Some("front");
        let layer = if in_front { Layer::InFront } else { Layer::Behind };
        let rest = &parts[1..parts.len() - usize::from(in_front)];
        let number =
            |place: usize, else_: f64| rest.get(place).and_then(Value::as_f64).unwrap_or(else_);
        let anchors = || rest.iter().map(Anchor::read).collect::<Result<Vec<_>, _>>();
        let mut is_ground = false;
        let kind = match kind {
            "box" | "cushion" => {
                let give = if kind == "box" { Give::Hard } else { Give::Soft };
                let sides = [0, 1, 2, 3, 4, 5].map(|place| number(place, 0.0));
                Kind::Blocks(vec![Block::new(sides, give)], Vec::new())
            }
            "worktop" => {
                let (x, top, out) = (number(0, 40.0), number(1, 90.0), number(2, 40.0));
                Kind::Blocks(
                    vec![
                        Block::new(
                            [x + 8.0, x + 50.0, 0.0, top - 4.0, 4.0 - out, out - 4.0],
                            Give::Hard,
                        ),
                        Block::new([x, x + 54.0, top - 4.0, top, -out, out], Give::Hard),
                    ],
                    Vec::new(),
                )
            }
            "table" => {
                let (x, top, out) = (number(0, 40.0), number(1, 74.0), number(2, 42.0));
                let far = x + number(3, 60.0);
                let legs = [
                    (x + 4.0, 4.0 - out),
                    (x + 4.0, out - 4.0),
                    (far - 4.0, 4.0 - out),
                    (far - 4.0, out - 4.0),
                ];
                Kind::Blocks(
                    vec![Block::new([x, far, top - 4.0, top, -out, out], Give::Hard)],
                    legs.map(|(x, z)| (vec3(x, 0.0, z), vec3(x, top - 4.0, z))).to_vec(),
                )
            }
            "chair" => {
                // The front edge of the seat, its height, where its middle is, and which way it faces.
                let (x, seat, z, faces) =
                    (number(0, 24.0), number(1, 45.0), number(2, 0.0), number(3, 1.0));
                let span = |from: f64, to: f64| {
                    let (one, other) = (x - from * faces, x - to * faces);
                    (one.min(other), one.max(other))
                };
                let ((seat0, seat1), (back0, back1)) = (span(0.0, 43.0), span(40.0, 43.0));
                let legs = [seat0 + 2.0, seat1 - 2.0].into_iter().flat_map(|x| {
                    [z - 18.0, z + 18.0].map(|z| (vec3(x, 0.0, z), vec3(x, seat - 3.0, z)))
                });
                let posts = [z - 18.0, z + 18.0].map(|z| {
                    let x = f64::midpoint(back0, back1);
                    (vec3(x, seat, z), vec3(x, seat + 24.0, z))
                });
                Kind::Blocks(
                    vec![
                        Block::new(
                            [back0, back1, seat + 22.0, seat + 42.0, z - 20.0, z + 20.0],
                            Give::Hard,
                        ),
                        Block::new(
                            [seat0, seat1, seat - 3.5, seat, z - 20.0, z + 20.0],
                            Give::Hard,
                        ),
                    ],
                    legs.chain(posts).collect(),
                )
            }
            "bed" | "mat" => {
                is_ground = true;
                let (give, deep) =
                    if kind == "bed" { (Give::Soft, 14.0) } else { (Give::Hard, 2.0) };
                let sides = [
                    number(0, -100.0),
                    number(1, 100.0),
                    -deep,
                    0.0,
                    number(2, -32.0),
                    number(3, 32.0),
                ];
                Kind::Blocks(vec![Block::new(sides, give)], Vec::new())
            }
            "steps" => {
                // The front edge of the first step, its height, how many, and how far to either side.
                let (x, rise, count, out) =
                    (number(0, 0.0), number(1, 17.0), number(2, 2.0), number(3, 30.0));
                let mut blocks = Vec::new();
                let mut step = 0.0;
                while step < count {
                    let near = x + step * 27.0;
                    blocks.push(Block::new(
                        [near, x + count * 27.0, step * rise, (step + 1.0) * rise, -out, out],
                        Give::Hard,
                    ));
                    step += 1.0;
                }
                Kind::Blocks(blocks, Vec::new())
            }
            "wall" => Kind::Wall { x: number(0, 0.0), faces: number(1, 1.0) },
            "band" => Kind::Cord(Cord::Band, anchors()?),
            "strap" => Kind::Cord(Cord::Strap, anchors()?),
            "rod" => Kind::Cord(Cord::Rod, anchors()?),
            "post" => Kind::Cord(Cord::Post, anchors()?),
            "ball" | "roll" | "bottle" | "hammer" | "rucksack" => {
                let thing = match kind {
                    "ball" => Thing::Ball,
                    "roll" => Thing::Roll,
                    "bottle" => Thing::Bottle,
                    "hammer" => Thing::Hammer,
                    _ => Thing::Rucksack,
                };
                let anchor = Anchor::read(rest.first().ok_or("a thing has a place")?)?;
                Kind::Thing(thing, anchor, number(1, 6.0))
            }
            _ => return Err("no such prop"),
        };
        Ok(Self { kind, layer, is_ground })
    }

    pub fn blocks(&self) -> &[Block] {
        match &self.kind {
            Kind::Blocks(blocks, _) => blocks,
            Kind::Wall { .. } | Kind::Cord(..) | Kind::Thing(..) => &[],
        }
    }
}
