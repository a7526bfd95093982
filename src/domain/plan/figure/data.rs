//! A figure as it is written: a view, props, key poses in degrees, what is planted where, and which
//! keys each phase of the tempo goes through.
//!
//! `docs/figures.md` says how `public/figures.json` is read. Each figure may begin from a stance
//! that others share; what a rung changes is merged into what stands below it.

use serde_json::{Map, Value};

use super::geometry::{FORWARD, RIGHT, UP, Vec3, vec3};
use super::props::Prop;
use super::skeleton::{
    ANKLE_HEIGHT, BALL_AHEAD, Bone, FOOT, FREEDOMS, HEEL_BACK, HIP_WIDTH, Part, Pose, Side,
    UPPER_ARM, freedoms_of,
};
use super::solver::{Firm, Goal};
use crate::domain::plan::dose::Action;

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAFigure {
    pub id: String,
    pub place: String,
    pub what: &'static str,
}

type Read<T> = Result<T, (String, &'static str)>;

/// Where the picture is taken from, in degrees: 0 faces the figure, 90 sees its working side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    pub yaw: f64,
    pub pitch: f64,
}

/// A place of the body that can be planted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    Sole,
    Ball,
    Toe,
    Instep,
    Heel,
    Knee,
    Seat,
    Sacrum,
    Belly,
    Flank,
    Back,
    HeadBack,
    Forehead,
    Shoulder,
    Elbow,
    Wrist,
    Palm,
    Tips,
    Grip,
    /// The middle between the hips: where the pelvis is pinned, which touches nothing.
    Hips,
    /// The middle between the shoulders, pinned likewise.
    Breast,
}

const SPOTS: [(&str, Spot, Part, Vec3); 21] = [
    ("sole", Spot::Sole, Part::Foot, vec3(0.0, -ANKLE_HEIGHT, 0.0)),
    ("ball", Spot::Ball, Part::Toes, vec3(0.0, -1.6, 0.0)),
    ("toe", Spot::Toe, Part::Toes, vec3(FOOT - HEEL_BACK - BALL_AHEAD - 1.0, -1.6, 0.0)),
    ("instep", Spot::Instep, Part::Toes, vec3(3.5, 1.3, 0.0)),
    ("heel", Spot::Heel, Part::Foot, vec3(-4.4, -ANKLE_HEIGHT, 0.0)),
    ("knee", Spot::Knee, Part::Shank, vec3(4.8, -5.0, 0.0)),
    ("seat", Spot::Seat, Part::Pelvis, vec3(-3.0, -9.4, 0.0)),
    ("sacrum", Spot::Sacrum, Part::Pelvis, vec3(-11.0, -2.0, 0.0)),
    ("belly", Spot::Belly, Part::Pelvis, vec3(9.8, 4.0, 0.0)),
    ("flank", Spot::Flank, Part::Pelvis, vec3(0.0, -2.0, HIP_WIDTH / 2.0)),
    ("back", Spot::Back, Part::Chest, vec3(-10.6, 12.0, 0.0)),
    ("headback", Spot::HeadBack, Part::Head, vec3(-9.8, 4.5, 0.0)),
    ("forehead", Spot::Forehead, Part::Head, vec3(9.2, 5.0, 0.0)),
    ("shoulder", Spot::Shoulder, Part::UpperArm, vec3(0.0, -2.0, 4.6)),
    ("elbow", Spot::Elbow, Part::UpperArm, vec3(-0.6, -UPPER_ARM - 3.2, 0.0)),
    ("wrist", Spot::Wrist, Part::Hand, vec3(0.0, 0.0, 0.0)),
    ("palm", Spot::Palm, Part::Hand, vec3(0.0, -8.5, -1.5)),
    ("tips", Spot::Tips, Part::Hand, vec3(0.0, -17.2, -0.9)),
    ("grip", Spot::Grip, Part::Hand, vec3(0.5, -8.0, -2.6)),
    ("hips", Spot::Hips, Part::Pelvis, vec3(0.0, 0.0, 0.0)),
    ("breast", Spot::Breast, Part::Chest, vec3(0.0, 23.0, 0.0)),
];

impl Spot {
    fn named(name: &str) -> Option<Self> {
        SPOTS.iter().find(|row| row.0 == name).map(|row| row.1)
    }

    /// The part it is on, and where, on the right.
    pub fn on(self) -> (Part, Vec3) {
        SPOTS
            .iter()
            .find(|row| row.1 == self)
            .map_or((Part::Pelvis, vec3(0.0, 0.0, 0.0)), |row| (row.2, row.3))
    }

    const fn is_central(self) -> bool {
        matches!(
            self,
            Self::Seat
                | Self::Sacrum
                | Self::Belly
                | Self::Back
                | Self::HeadBack
                | Self::Forehead
                | Self::Hips
                | Self::Breast
        )
    }

    /// Whether the body can rest its weight there.
    pub const fn bears(self) -> bool {
        !matches!(self, Self::Hips | Self::Breast | Self::Wrist)
    }

    /// The two own directions that a planted spot points somewhere: the first named way and the second.
    const fn ways(self) -> Option<[Vec3; 2]> {
        match self {
            Self::Sole | Self::Ball => Some([UP, FORWARD]),
            Self::Palm | Self::Tips => Some([vec3(0.0, 0.0, -1.0), vec3(0.0, -1.0, 0.0)]),
            Self::Grip => Some([FORWARD, vec3(0.0, 0.0, -1.0)]),
            Self::Toe
            | Self::Instep
            | Self::Heel
            | Self::Knee
            | Self::Seat
            | Self::Sacrum
            | Self::Belly
            | Self::Flank
            | Self::Back
            | Self::HeadBack
            | Self::Forehead
            | Self::Shoulder
            | Self::Elbow
            | Self::Wrist
            | Self::Hips
            | Self::Breast => None,
        }
    }
}

/// What a spot is planted on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// A place in the room; a coordinate that is not given is free.
    Room([Option<f64>; 3]),
    /// A point of another bone.
    Body(Bone, Vec3),
}

/// A spot of the body on what it is planted on.
#[derive(Clone, Debug, PartialEq)]
pub struct Touch {
    pub spot: Spot,
    pub side: Side,
    pub target: Target,
    /// Own directions, and where each points.
    pub ways: Vec<(Vec3, Vec3)>,
}

impl Touch {
    pub fn bone(&self) -> Bone {
        Bone::new(self.spot.on().0, self.side)
    }

    pub fn on(&self) -> Vec3 {
        self.bone().on_side(self.spot.on().1)
    }

    /// Whether it says the same about the same spot.
    pub fn is_of(&self, other: &Self) -> bool {
        self.spot == other.spot && self.side == other.side
    }

    /// The ball and the heel that a planted sole plants.
    pub fn parts(&self) -> Vec<Self> {
        let (Spot::Sole, Target::Room([Some(x), y, Some(z)])) = (self.spot, self.target) else {
            return Vec::new();
        };
        let Some(&(_, ahead)) = self.ways.get(1) else { return Vec::new() };
        let at =
            |along: f64| Target::Room([Some(x + ahead.x * along), y, Some(z + ahead.z * along)]);
        vec![
            Self { spot: Spot::Ball, target: at(BALL_AHEAD), ..self.clone() },
            Self { spot: Spot::Heel, target: at(-4.4), ways: Vec::new(), ..self.clone() },
        ]
    }

    /// Between two touches of the same spot, a share of the way; `None` where they cannot be joined.
    pub fn toward(&self, other: &Self, share: f64) -> Option<Self> {
        let mix = |from: f64, to: f64| from + (to - from) * share;
        let target = match (self.target, other.target) {
            (Target::Room(from), Target::Room(to)) => {
                let mut mixed = [None; 3];
                for ((mixed, from), to) in mixed.iter_mut().zip(from).zip(to) {
                    *mixed = from.zip(to).map(|(from, to)| mix(from, to));
                }
                Target::Room(mixed)
            }
            (Target::Body(bone, from), Target::Body(other, to)) if bone == other => {
                Target::Body(bone, from.toward(to, share))
            }
            (Target::Room(_) | Target::Body(..), Target::Room(_) | Target::Body(..)) => {
                return None;
            }
        };
        let ways = self.ways.iter().filter_map(|&(own, from)| {
            let &(_, to) = other.ways.iter().find(|(also, _)| *also == own)?;
            Some((own, from.toward(to, share).unit()))
        });
        Some(Self { spot: self.spot, side: self.side, target, ways: ways.collect() })
    }

    /// What the solver is to bring to nought.
    pub fn goals(&self, goals: &mut Vec<Goal>) {
        let (bone, on) = (self.bone(), self.on());
        match self.target {
            Target::Room(at) => {
                let place = vec3(at[0].unwrap_or(0.0), at[1].unwrap_or(0.0), at[2].unwrap_or(0.0));
                let given = at.into_iter().zip([FORWARD, UP, RIGHT]);
                goals.extend(given.filter(|(at, _)| at.is_some()).map(|(_, along)| Goal::Point {
                    bone,
                    on,
                    at: place,
                    along,
                    weight: 1.0,
                }));
            }
            Target::Body(other, there) => {
                goals.extend([FORWARD, UP, RIGHT].map(|along| Goal::Meet {
                    bone,
                    on,
                    other,
                    there,
                    along,
                }));
            }
        }
        for &(own, toward) in &self.ways {
            goals.extend([FORWARD, UP, RIGHT].map(|along| Goal::Facing {
                bone,
                own,
                toward,
                along,
            }));
        }
    }

    #[must_use]
    pub fn mirrored(&self) -> Self {
        let target = match self.target {
            Target::Room([x, y, z]) => Target::Room([x, y, z.map(|z| -z)]),
            Target::Body(bone, at) => {
                Target::Body(Bone::new(bone.part, bone.side.other()), at.mirrored())
            }
        };
        let ways = self.ways.iter().map(|(own, out)| (own.mirrored(), out.mirrored())).collect();
        Self { spot: self.spot, side: self.side.other(), target, ways }
    }
}

/// How a hand is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum HandShape {
    #[default]
    Loose,
    Flat,
    Fist,
    /// The end joints of the fingers bent, the knuckles straight.
    Hook,
    /// The knuckles bent, the fingers straight.
    Table,
}

/// One pose to pass through.
#[derive(Clone, Debug)]
pub struct Key {
    pub name: String,
    pub rough: Pose,
    pub touches: Vec<Touch>,
    pub firm: Firm,
    /// Right, left.
    pub hands: [HandShape; 2],
}

impl Key {
    pub fn goals(&self) -> Vec<Goal> {
        let mut goals = Vec::new();
        for touch in &self.touches {
            touch.goals(&mut goals);
        }
        goals
    }
}

/// What one phase of the tempo does.
#[derive(Clone, Debug)]
pub struct Move {
    pub action: Action,
    /// Places in the list of keys.
    pub through: Vec<usize>,
    /// The parts that work.
    pub works: Vec<Bone>,
}

/// One exercise as it is seen on one rung.
#[derive(Clone, Debug)]
pub struct Figure {
    pub view: View,
    /// A second view for what the first cannot show.
    pub also: Option<View>,
    /// What the picture is cut out around, and how far, where the movement is small.
    pub near: Option<(Bone, f64)>,
    pub props: Vec<Prop>,
    pub keys: Vec<Key>,
    pub moves: Vec<Move>,
}

/// All figures that ship, unread but for their names: each is read when it is asked for.
#[derive(Clone, Debug)]
pub struct Figures {
    stances: Map<String, Value>,
    figures: Map<String, Value>,
}

impl Figures {
    pub fn parse(text: &str) -> Result<Self, NotAFigure> {
        let refuse = |what| NotAFigure { id: "all".to_owned(), place: "the top".to_owned(), what };
        let Ok(Value::Object(mut all)) = serde_json::from_str(text) else {
            return Err(refuse("not a JSON object"));
        };
        let mut part = |name: &str| match all.remove(name) {
            Some(Value::Object(map)) => Ok(map),
            Some(_) | None => Err(refuse("stances and figures are missing")),
        };
        Ok(Self { stances: part("stances")?, figures: part("figures")? })
    }

    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.figures.keys().map(String::as_str)
    }

    /// The rungs on which what is seen changes, from 1, the lowest; empty where there is no such figure.
    pub fn rungs(&self, id: &str) -> Vec<u16> {
        let Some(figure) = self.figures.get(id) else { return Vec::new() };
        let later = figure.get("rungs").and_then(Value::as_object);
        let later = later.into_iter().flat_map(Map::keys).filter_map(|rung| rung.parse().ok());
        std::iter::once(1).chain(later).collect()
    }

    /// The rung that was drawn for a rung with these words, so that no other help is ever shown than the words
    /// say; `None` where the words are not those of the exercise that ships. Where all rungs look alike, any do.
    pub fn drawn_for(&self, id: &str, help: &str) -> Option<u16> {
        let helps = self.figures.get(id)?.get("helps");
        let Some(helps) = helps else { return Some(1) };
        let rung = helps.get(mark_of(help).as_str())?.as_u64()?;
        u16::try_from(rung).ok()
    }

    /// The figure of an exercise on a rung; `None` where there is none.
    pub fn figure(&self, id: &str, rung: u16) -> Option<Result<Figure, NotAFigure>> {
        let found = self.figures.get(id)?;
        let mut whole = found
            .get("on")
            .and_then(Value::as_str)
            .and_then(|stance| self.stances.get(stance))
            .cloned()
            .unwrap_or(Value::Null);
        merge(&mut whole, found);
        if let Some(rungs) = found.get("rungs").and_then(Value::as_object) {
            // Rungs are numbers of one or two digits: by value, not by their letters.
            for number in 2..=rung {
                if let Some(change) = rungs.get(number.to_string().as_str()) {
                    merge(&mut whole, change);
                }
            }
        }
        let refuse = |(place, what)| NotAFigure { id: format!("{id} on rung {rung}"), place, what };
        Some(figure(&whole).map_err(refuse))
    }
}

/// What stands for the words of a rung: their 32-bit FNV-1a hash (draft-eastlake-fnv, from memory), in eight digits.
fn mark_of(help: &str) -> String {
    let add = |hash: u32, byte: u8| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
    format!("{:08x}", help.bytes().fold(0x811c_9dc5, add))
}

/// Puts what changes into what stands: objects are merged, anything else replaces. A null stays, so
/// that what it takes away stays away; who reads skips it.
fn merge(into: &mut Value, change: &Value) {
    match (into, change) {
        (Value::Object(into), Value::Object(change)) => {
            for (name, value) in change {
                merge(into.entry(name).or_insert(Value::Null), value);
            }
        }
        (into, change) => *into = change.clone(),
    }
}

fn figure(whole: &Value) -> Read<Figure> {
    let base = whole.get("base").cloned().unwrap_or(Value::Null);
    let Some(written) = whole.get("keys").and_then(Value::as_object) else {
        return Err(("keys".to_owned(), "no key poses"));
    };
    let mut keys = Vec::new();
    for (name, change) in written {
        let mut all = base.clone();
        // A key may say what it is like, and then only what is different.
        if let Some(like) = change.get("like").and_then(Value::as_str) {
            merge(&mut all, written.get(like).unwrap_or(&Value::Null));
        }
        merge(&mut all, change);
        keys.push(key(name, &all)?);
    }
    let works = match whole.get("work") {
        Some(works) => bones("work", works)?,
        None => Vec::new(),
    };
    let mut moves = Vec::new();
    for written in list("moves", whole.get("moves"))? {
        moves.push(one_move(written, &keys, &works)?);
    }
    if moves.is_empty() {
        return Err(("moves".to_owned(), "no moves"));
    }
    let mut props = Vec::new();
    if let Some(written) = whole.get("props").and_then(Value::as_object) {
        for (name, value) in written.iter().filter(|(_, value)| !value.is_null()) {
            props.push(Prop::read(name, value).map_err(|what| (format!("props, {name}"), what))?);
        }
    }
    let view = |name: &str| match whole.get(name) {
        None | Some(Value::Null) => Ok(None),
        Some(value) => match numbers(value)[..] {
            [Some(yaw), Some(pitch)] => Ok(Some(View { yaw, pitch })),
            _ => Err((name.to_owned(), "a view is two angles")),
        },
    };
    let side = View { yaw: 78.0, pitch: 7.0 };
    let near = match whole.get("near") {
        None | Some(Value::Null) => None,
        Some(value) => {
            match (bones("near", &Value::Array(vec![value[0].clone()]))?.first(), value[1].as_f64())
            {
                (Some(bone), Some(reach)) => Some((*bone, reach)),
                _ => return Err(("near".to_owned(), "a part of the body and how far around it")),
            }
        }
    };
    let (view, also) = (view("view")?.unwrap_or(side), view("also")?);
    Ok(Figure { view, also, near, props, keys, moves })
}

fn list<'a>(name: &str, value: Option<&'a Value>) -> Read<&'a Vec<Value>> {
    value.and_then(Value::as_array).ok_or_else(|| (name.to_owned(), "a list is missing"))
}

/// A number, or a list of numbers in which null leaves one open.
pub fn numbers(value: &Value) -> Vec<Option<f64>> {
    match value {
        Value::Array(all) => all.iter().map(Value::as_f64).collect(),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) | Value::Object(_) => {
            vec![value.as_f64()]
        }
    }
}

fn one_move(written: &Value, keys: &[Key], works: &[Bone]) -> Read<Move> {
    let refuse = |what| ("moves".to_owned(), what);
    let parts = list("moves", Some(written))?;
    let action = match parts.first().and_then(Value::as_str) {
        Some("lift") => Action::Lift,
        Some("lower") => Action::Lower,
        Some("hold") => Action::Hold,
        Some("relax") => Action::Relax,
        _ => return Err(refuse("a move begins with lift, lower, hold or relax")),
    };
    let mut through = Vec::new();
    for name in list("moves", parts.get(1))? {
        let place = keys.iter().position(|key| Some(key.name.as_str()) == name.as_str());
        through.push(place.ok_or_else(|| refuse("a key that is not there"))?);
    }
    if through.is_empty() {
        return Err(refuse("a move goes through one key at least"));
    }
    let works = match parts.get(2) {
        Some(works) => bones("moves", works)?,
        None => works.to_vec(),
    };
    Ok(Move { action, through, works })
}

/// "thigh.r", or both where no side is given.
fn sided(name: &str) -> (&str, &'static [Side]) {
    match name.rsplit_once('.') {
        Some((name, "r")) => (name, &[Side::Right]),
        Some((name, "l")) => (name, &[Side::Left]),
        _ => (name, &Side::BOTH),
    }
}

fn bones(place: &str, value: &Value) -> Read<Vec<Bone>> {
    let mut bones = Vec::new();
    for name in list(place, Some(value))? {
        let (name, sides) = sided(name.as_str().unwrap_or_default());
        let part =
            Part::named(name).ok_or_else(|| (place.to_owned(), "no such part of the body"))?;
        bones.extend(sides.iter().map(|&side| Bone::new(part, side)));
    }
    Ok(bones)
}

fn key(name: &str, all: &Value) -> Read<Key> {
    let refuse = |place: &str, what| Err((format!("{name}, {place}"), what));
    let mut key = Key {
        name: name.to_owned(),
        rough: Pose::standing(),
        touches: Vec::new(),
        firm: [false; FREEDOMS],
        hands: [HandShape::Loose; 2],
    };
    let Some(all) = all.as_object() else { return refuse("the key", "not an object") };
    // What is said for one side stands over what is said for both, whichever comes first.
    let both = all.iter().filter(|(name, _)| !name.contains('.'));
    let single = all.iter().filter(|(name, _)| name.contains('.'));
    for (written, value) in both.chain(single).filter(|(_, value)| !value.is_null()) {
        let (joint, sides) = sided(written);
        match joint {
            "like" => {}
            "at" => {
                for (place, at) in numbers(value).into_iter().take(3).enumerate() {
                    key.rough.0[place] = at.unwrap_or(key.rough.0[place]);
                }
            }
            "hand" => {
                let shape = match value.as_str() {
                    Some("flat") => HandShape::Flat,
                    Some("fist") => HandShape::Fist,
                    Some("loose") => HandShape::Loose,
                    Some("hook") => HandShape::Hook,
                    Some("table") => HandShape::Table,
                    _ => return refuse(written, "a hand is flat, fist, loose, hook or table"),
                };
                for &side in sides {
                    key.hands[usize::from(side == Side::Left)] = shape;
                }
            }
            "firm" => {
                for name in list("firm", Some(value))? {
                    let (joint, sides) = sided(name.as_str().unwrap_or_default());
                    for (freedom, _) in sides.iter().flat_map(|&side| freedoms_of(joint, side)) {
                        key.firm[freedom] = true;
                    }
                }
            }
            "touch" => {
                let Some(touches) = value.as_object() else {
                    return refuse(written, "not an object");
                };
                let both = touches.iter().filter(|(name, _)| !name.contains('.'));
                let single = touches.iter().filter(|(name, _)| name.contains('.'));
                for (spot, value) in both.chain(single).filter(|(_, value)| !value.is_null()) {
                    touch(spot, value, &mut key.touches)
                        .map_err(|what| (format!("{name}, {spot}"), what))?;
                }
            }
            _ => {
                let given = numbers(value);
                let mut known = false;
                for (freedom, movement) in sides.iter().flat_map(|&side| freedoms_of(joint, side)) {
                    known = true;
                    if let Some(Some(degrees)) = given.get(movement.place) {
                        key.rough.0[freedom] = degrees.to_radians() * movement.share;
                    }
                }
                if !known {
                    return refuse(written, "no such joint");
                }
            }
        }
    }
    Ok(key)
}

fn way(name: &str, side: Side) -> Option<Vec3> {
    Some(match name {
        "up" => UP,
        "down" => -UP,
        "fwd" => FORWARD,
        "back" => -FORWARD,
        "out" => RIGHT * side.sign(),
        "in" => RIGHT * -side.sign(),
        "right" => RIGHT,
        "left" => -RIGHT,
        _ => return None,
    })
}

fn touch(written: &str, value: &Value, touches: &mut Vec<Touch>) -> Result<(), &'static str> {
    let (name, sides) = sided(written);
    let spot = Spot::named(name).ok_or("no such spot")?;
    if *value == Value::Bool(false) {
        touches.retain(|touch| touch.spot != spot || !sides.contains(&touch.side));
        return Ok(());
    }
    let parts = value.as_array().ok_or("a touch is a list")?;
    let sides = if spot.is_central() { &[Side::Right][..] } else { sides };
    for &side in sides {
        // A touch given for both sides is mirrored; given for one, it is where it says.
        let mirror = if sides.len() == 2 { side.sign() } else { 1.0 };
        let at = numbers(value);
        let coordinates =
            |from: usize| [from, from + 1, from + 2].map(|place| at.get(place).copied().flatten());
        let (target, rest) = if let Some(Value::String(bone)) = parts.first() {
            let (bone, bone_sides) = sided(bone);
            let part = Part::named(bone).ok_or("no such part of the body")?;
            let bone_side = if bone_sides.len() == 1 { bone_sides[0] } else { side };
            let [x, y, z] = coordinates(1).map(Option::unwrap_or_default);
            (Target::Body(Bone::new(part, bone_side), vec3(x, y, z * mirror)), parts.get(4..))
        } else {
            let [x, y, z] = coordinates(0);
            (Target::Room([x, y, z.map(|z| z * mirror)]), parts.get(3..))
        };
        let mut ways = Vec::new();
        let own = spot.ways().map(|own| own.map(|own| vec3(own.x, own.y, own.z * side.sign())));
        match (own, rest.unwrap_or_default()) {
            (Some([up, ahead]), rest @ ([] | [Value::Number(_)]))
                if matches!(spot, Spot::Sole | Spot::Ball) =>
            {
                let heading = rest.first().and_then(Value::as_f64).unwrap_or(6.0).to_radians();
                let way = vec3(heading.cos(), 0.0, heading.sin() * side.sign());
                ways.push((up, UP));
                ways.push((ahead, way));
            }
            (_, []) => {}
            (Some(own), names) => {
                for (own, name) in own.into_iter().zip(names) {
                    if let Some(name) = name.as_str() {
                        ways.push((own, way(name, side).ok_or("no such way")?));
                    }
                }
            }
            (None, _) => return Err("this spot points nowhere"),
        }
        let touch = Touch { spot, side, target, ways };
        touches.retain(|before| !before.is_of(&touch));
        touches.push(touch);
    }
    Ok(())
}
