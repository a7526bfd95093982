//! A pose as shapes: paper and ink. Trunk and near legs are one outline, far limbs warm grey, the
//! working part a wash that fades at its ends. Collar and hems tell front from back; there is no face.

use super::data::{Figure, HandShape, View};
use super::flesh::{
    Build, FIST, FLAT_HAND, FOOT_SLICES, FORE_SLICES, HEAD, HOOK, LOOSE_HAND, NECK, PALM, Ring,
    SHANK_SLICES, Slice, TABLE, THIGH_SLICES, THUMB, TOE_SLICES, TRUNK, UPPER_SLICES, down, slice,
};
use super::geometry::{Turn, Vec3, vec3};
use super::motion::Moment;
use super::props::{Anchor, Block, Cord, Kind, Layer, Prop, Thing};
use super::shape::{Bounds, Camera, Dot, Ink, Role, Shape, Step, dot, lines, open, smooth};
use super::skeleton::{Bone, FOREARM, Part, Placed, SHANK, Side, THIGH, UPPER_ARM};

/// How thick the outlines are, in centimetres of the body.
const LINE: f64 = 1.7;
const FAR_LINE: f64 = 1.1;
const FINE: f64 = 0.7;

/// What a figure is looked at with.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    pub view: View,
    pub build: Build,
    /// The side that works: everything is drawn on the right and turned over for the left.
    pub side: Side,
    /// How thick lines are, 1 where the whole body is seen.
    pub line: f64,
}

impl Look {
    /// The first view of a figure, or another one.
    pub fn of(figure: &Figure, view: View, build: Build, side: Side) -> Self {
        let line = figure.near.map_or(1.0, |(_, reach)| (reach / 75.0).clamp(0.4, 1.0));
        Self { view, build, side, line }
    }
}

/// All shapes of a moment, in the order in which they are drawn.
pub fn draw(moment: &Moment<'_>, props: &[Prop], look: Look) -> Vec<Shape> {
    let placed = Placed::of(&moment.pose);
    let camera = Camera::of(look.view);
    let mut pen =
        Pen { placed: &placed, camera, build: look.build, line: look.line, shapes: Vec::new() };
    pen.props(props, Layer::Behind);
    pen.body(moment);
    pen.props(props, Layer::InFront);
    let mut shapes = pen.shapes;
    if look.side == Side::Left {
        turn_over(&mut shapes);
    }
    shapes
}

/// What all moments of a move reach over, so that the picture stays still while the figure moves.
pub fn bounds<'a>(
    moments: impl IntoIterator<Item = Moment<'a>>,
    figure: &Figure,
    look: Look,
) -> Option<Bounds> {
    let props = &figure.props;
    if let Some((bone, reach)) = figure.near {
        let middle = moments
            .into_iter()
            .next()
            .map(|moment| Camera::of(look.view).sees(Placed::of(&moment.pose).joint(bone)))?;
        let middle = if look.side == Side::Left { dot(-middle.x, middle.y) } else { middle };
        return Some(Bounds { least: middle, most: middle }.wider(reach));
    }
    let drawn = moments.into_iter().filter_map(|moment| Bounds::of(&draw(&moment, props, look)));
    drawn.reduce(Bounds::and).map(|bounds| bounds.wider(LINE))
}

fn turn_over(shapes: &mut [Shape]) {
    let over = |at: &mut Dot| at.x = -at.x;
    for shape in shapes {
        for step in &mut shape.path {
            match step {
                Step::To(to) | Step::Line(to) => over(to),
                Step::Curve(one, two, to) => [one, two, to].into_iter().for_each(over),
                Step::Close => {}
            }
        }
        if let Ink::Wash { from, to, .. } = &mut shape.ink {
            over(from);
            over(to);
        }
    }
}

/// A limb's outline: all of it, and the part that gets a line, which is open where it joins the body.
struct Outline {
    fill: Vec<Step>,
    line: Vec<Step>,
}

struct Group {
    outlines: Vec<Outline>,
    /// A working part: which outline, and its wash.
    washes: Vec<(usize, Ink)>,
    details: Vec<Vec<Step>>,
    /// Which outline lies over the wash of the first: a head over its neck.
    covers: Option<usize>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Start {
    Round,
    /// No line at the beginning: the limb comes out of the body there.
    Open,
}

struct Pen<'a> {
    placed: &'a Placed,
    camera: Camera,
    build: Build,
    line: f64,
    shapes: Vec<Shape>,
}

impl Pen<'_> {
    fn push(&mut self, path: Vec<Step>, ink: Ink) {
        let ink = match ink {
            Ink::Stroke { role, width } => Ink::Stroke { role, width: width * self.line },
            Ink::Fill(_) | Ink::Wash { .. } => ink,
        };
        self.shapes.push(Shape { path, ink });
    }

    fn ring(&self, slice: &Slice, side: Side) -> Ring {
        Ring::of(self.placed, slice, side, self.build)
    }

    /// The outline round a row of cross-sections.
    fn outline(&self, slices: &[Slice], side: Side, start: Start) -> Outline {
        let rings: Vec<Ring> = slices.iter().map(|slice| self.ring(slice, side)).collect();
        let seen: Vec<Dot> = rings.iter().map(|ring| self.camera.sees(ring.middle)).collect();
        let last = rings.len() - 1;
        let long: f64 = rings.windows(2).map(|two| (two[1].middle - two[0].middle).length()).sum();
        let short = seen[last].minus(seen[0]).length();
        if short < 0.42 * long {
            let hull = smooth(&self.hull(&rings));
            return Outline { fill: hull.clone(), line: hull };
        }
        let way =
            |place: usize| seen[(place + 1).min(last)].minus(seen[place.saturating_sub(1)]).unit();
        let edge = |place: usize, across: Dot| {
            let reach = rings[place].support(self.camera.out(across));
            seen[place].plus(across, reach)
        };
        let cap = |place: usize, sign: f64, points: &mut Vec<Dot>| {
            let (ahead, across) = (way(place), way(place).across());
            let ahead = dot(ahead.x * sign, ahead.y * sign);
            let across = dot(across.x * sign, across.y * sign);
            let ring = &rings[place];
            let left = ring.support(self.camera.out(across));
            let right = ring.support(self.camera.out(dot(-across.x, -across.y)));
            let out = ring.support(self.camera.out(ahead)).max(f64::midpoint(left, right) * 0.72);
            points.push(seen[place].plus(across, left * 0.7).plus(ahead, out * 0.72));
            points.push(seen[place].plus(ahead, out));
            points.push(seen[place].plus(across, -right * 0.7).plus(ahead, out * 0.72));
        };
        // Down the one side, round the end, up the other, round the beginning.
        let mut points: Vec<Dot> =
            (0..=last).map(|place| edge(place, way(place).across())).collect();
        cap(last, 1.0, &mut points);
        points.extend((0..=last).rev().map(|place| {
            let across = way(place).across();
            edge(place, dot(-across.x, -across.y))
        }));
        let line = open(&points);
        cap(0, -1.0, &mut points);
        let fill = smooth(&points);
        let line = if start == Start::Open { line } else { fill.clone() };
        Outline { fill, line }
    }

    /// The outermost edge of cross-sections that lie behind one another.
    fn hull(&self, rings: &[Ring]) -> Vec<Dot> {
        (0..20)
            .map(|place| {
                let (sin, cos) = (f64::from(place) * std::f64::consts::TAU / 20.0).sin_cos();
                let way = dot(cos, sin);
                let out = self.camera.out(way);
                let corner = |ring: &Ring| {
                    let seen = self.camera.sees(ring.middle);
                    let (ahead, aside) = (out.dot(ring.ahead), out.dot(ring.aside));
                    let along = if ahead < 0.0 { ring.reach[1] } else { ring.reach[0] };
                    let reach = ring.support(out).max(1e-6);
                    let on = ring.ahead * (along * along * ahead / reach)
                        + ring.aside * (ring.reach[2] * ring.reach[2] * aside / reach);
                    let thick = 0.35 * ring.reach[2].min(along);
                    let at = self.camera.sees(ring.middle + on).plus(way, thick);
                    (seen.x * cos + seen.y * sin + reach, at)
                };
                let farthest =
                    rings.iter().map(corner).max_by(|one, other| one.0.total_cmp(&other.0));
                farthest.map_or(dot(0.0, 0.0), |(_, at)| at)
            })
            .collect()
    }

    fn head(&self) -> Outline {
        let bone = Bone::new(Part::Head, Side::Right);
        let turn = self.placed.turn(bone);
        let points: Vec<Dot> = (0..24)
            .map(|place| {
                let (sin, cos) = (f64::from(place) * std::f64::consts::TAU / 24.0).sin_cos();
                let out = turn.own(self.camera.out(dot(cos, sin)));
                let farthest = HEAD
                    .iter()
                    .map(|(middle, [ahead, up, aside])| {
                        let (x, y, z) =
                            (ahead * ahead * out.x, up * up * out.y, aside * aside * out.z);
                        let reach = (x * out.x + y * out.y + z * out.z).sqrt().max(1e-6);
                        let on = *middle + vec3(x / reach, y / reach, z / reach);
                        (middle.dot(out) + reach, on)
                    })
                    .max_by(|one, other| one.0.total_cmp(&other.0));
                self.camera
                    .sees(self.placed.point(bone, farthest.map_or(vec3(0.0, 0.0, 0.0), |f| f.1)))
            })
            .collect();
        let fill = smooth(&points);
        Outline { fill: fill.clone(), line: fill }
    }

    /// The line of a hem round a cross-section: what of it faces the eye.
    fn hem(&self, slice: &Slice, side: Side, drop: f64) -> Vec<Step> {
        let ring = self.ring(slice, side);
        let up = self.placed.turn(Bone::new(slice.part, side)).up;
        let facing = |angle: f64| {
            let (sin, cos) = angle.sin_cos();
            (ring.ahead * (cos / ring.reach[0]) + ring.aside * (sin / ring.reach[2]))
                .dot(self.camera.eye)
        };
        let count = 24;
        let at = |place: usize| {
            f64::from(u8::try_from(place % count).unwrap_or(0)) * std::f64::consts::TAU / 24.0
        };
        let first = (0..count)
            .find(|&place| facing(at(place)) >= 0.0 && facing(at(place + count - 1)) < 0.0);
        let Some(first) = first else { return Vec::new() };
        let points: Vec<Dot> = (first..first + count)
            .take_while(|&place| facing(at(place)) >= 0.0)
            .map(|place| {
                let angle = at(place);
                let low = up * (-drop * angle.cos().max(0.0));
                let inside = ring.middle + (ring.edge(angle) - ring.middle) * 0.97;
                self.camera.sees(inside + low)
            })
            .collect();
        open(&points)
    }

    fn wash(&self, bone: Bone, far: bool) -> Ink {
        // Both girdles are one stretch across the shoulders.
        let on = if bone.part == Part::Girdle { Bone::new(Part::Chest, bone.side) } else { bone };
        let point = |at: Vec3| self.camera.sees(self.placed.point(on, on.on_side(at)));
        let (from, to, full) = match bone.part {
            Part::Thigh => (vec3(0.0, 3.0, 0.0), vec3(0.0, -THIGH - 1.0, 0.0), [0.3, 0.72]),
            Part::Shank => (vec3(0.0, -1.0, 0.0), vec3(0.0, -SHANK - 4.0, 0.0), [0.22, 0.75]),
            Part::Foot | Part::Toes => (vec3(-9.0, -3.0, 0.0), vec3(18.0, -6.0, 0.0), [0.2, 0.8]),
            Part::UpperArm => (vec3(0.0, 4.0, 0.0), vec3(0.0, -UPPER_ARM, 0.0), [0.2, 0.7]),
            Part::Forearm => (vec3(0.0, 1.0, 0.0), vec3(0.0, -FOREARM - 1.0, 0.0), [0.22, 0.75]),
            Part::Hand => (vec3(0.0, 2.0, 0.0), vec3(0.0, -22.0, 0.0), [0.3, 0.7]),
            Part::Pelvis => (vec3(0.0, -13.0, 0.0), vec3(0.0, 11.0, 0.0), [0.3, 0.6]),
            Part::Loin => (vec3(0.0, -6.0, 0.0), vec3(0.0, 26.0, 0.0), [0.3, 0.7]),
            Part::Chest => (vec3(0.0, -4.0, 0.0), vec3(0.0, 30.0, 0.0), [0.3, 0.7]),
            Part::Girdle => (vec3(0.0, 8.0, 0.0), vec3(0.0, 32.0, 0.0), [0.4, 0.7]),
            Part::Neck | Part::Head => (vec3(0.0, -5.0, 0.0), vec3(0.0, 16.0, 0.0), [0.3, 0.65]),
        };
        let role = if far { Role::FarWork } else { Role::Work };
        Ink::Wash { role, from: point(from), to: point(to), full }
    }

    fn leg(&self, side: Side, works: &[Bone]) -> Group {
        let outlines = vec![
            self.outline(&THIGH_SLICES, side, Start::Round),
            self.outline(&SHANK_SLICES, side, Start::Round),
            self.outline(&TOE_SLICES, side, Start::Round),
            self.outline(&FOOT_SLICES, side, Start::Round),
        ];
        let hem = self.hem(&down(Part::Thigh, 25.0, [7.0, 6.6, 6.5]), side, 0.0);
        self.group(
            outlines,
            &[(0, Part::Thigh), (1, Part::Shank), (3, Part::Foot), (2, Part::Foot)],
            vec![hem],
            side,
            works,
        )
    }

    fn upper_arm(&self, side: Side, start: Start, works: &[Bone]) -> Group {
        let outlines = vec![self.outline(&UPPER_SLICES, side, start)];
        let hem = self.hem(&down(Part::UpperArm, 17.0, [4.3, 4.3, 4.0]), side, 0.0);
        self.group(outlines, &[(0, Part::UpperArm)], vec![hem], side, works)
    }

    fn forearm(&self, side: Side, start: Start, hand: HandShape, works: &[Bone]) -> Group {
        let (slices, fingers): (&[Slice], &[&[Slice]]) = match hand {
            HandShape::Loose => (&LOOSE_HAND, &[]),
            HandShape::Flat => (&FLAT_HAND, &[]),
            HandShape::Fist => (&FIST, &[]),
            HandShape::Hook => (&PALM, &HOOK),
            HandShape::Table => (&PALM, &TABLE),
        };
        let mut outlines =
            vec![self.outline(&FORE_SLICES, side, start), self.outline(slices, side, Start::Round)];
        outlines.extend(fingers.iter().map(|finger| self.outline(finger, side, Start::Round)));
        if hand != HandShape::Fist {
            outlines.push(self.outline(&THUMB, side, Start::Round));
        }
        self.group(outlines, &[(0, Part::Forearm), (1, Part::Hand)], Vec::new(), side, works)
    }

    fn group(
        &self,
        outlines: Vec<Outline>,
        parts: &[(usize, Part)],
        details: Vec<Vec<Step>>,
        side: Side,
        works: &[Bone],
    ) -> Group {
        let far = self.is_far(side);
        let washes = parts
            .iter()
            .filter(|(_, part)| works.iter().any(|bone| bone.part == *part && bone.side == side))
            .map(|&(outline, part)| (outline, self.wash(Bone::new(part, side), far)))
            .collect();
        Group { outlines, washes, details, covers: None }
    }

    fn trunk(&self, works: &[Bone]) -> Group {
        let outlines = vec![
            self.outline(&NECK, Side::Right, Start::Open),
            self.outline(&TRUNK, Side::Right, Start::Round),
            self.head(),
        ];
        let mut washes = Vec::new();
        for part in [Part::Neck, Part::Pelvis, Part::Loin, Part::Chest, Part::Girdle, Part::Head] {
            if let Some(bone) = works.iter().find(|bone| bone.part == part) {
                let outline = if part == Part::Neck {
                    0
                } else if part == Part::Head {
                    2
                } else {
                    1
                };
                washes.push((outline, self.wash(*bone, false)));
            }
        }
        let details = vec![
            self.hem(&slice(Part::Chest, vec3(0.3, 26.5, 0.0), [6.2, 6.4, 7.4]), Side::Right, 3.6),
            self.hem(
                &slice(Part::Pelvis, vec3(0.0, 4.0, 0.0), [9.9, 10.3, 15.2]),
                Side::Right,
                0.0,
            ),
        ];
        Group { outlines, washes, details, covers: Some(2) }
    }

    fn is_far(&self, side: Side) -> bool {
        let across = self.placed.turn(Bone::new(Part::Pelvis, Side::Right)).right;
        across.dot(self.camera.eye) * side.sign() < -0.5
    }

    fn paint(&mut self, groups: Vec<Group>, far: bool) {
        let (line, fill, width) = if far {
            (Role::FarLine, Role::Far, FAR_LINE)
        } else {
            (Role::BodyLine, Role::Body, LINE)
        };
        for group in &groups {
            for outline in &group.outlines {
                // Half of the line lies under the fill.
                let ink = Ink::Stroke { role: line, width: width * 2.0 };
                self.push(outline.line.clone(), ink);
            }
        }
        for group in &groups {
            for outline in &group.outlines {
                self.push(outline.fill.clone(), Ink::Fill(fill));
            }
        }
        for group in groups {
            for (outline, ink) in group.washes {
                self.push(group.outlines[outline].fill.clone(), ink);
                if let (Some(head), 0) = (group.covers, outline) {
                    self.push(group.outlines[head].fill.clone(), Ink::Fill(fill));
                }
            }
            for path in group.details {
                let role = if far { Role::FarLine } else { Role::Detail };
                self.push(path, Ink::Stroke { role, width: FINE });
            }
        }
    }

    fn body(&mut self, moment: &Moment<'_>) {
        let works = moment.works;
        let hand = |side: Side| moment.hands[usize::from(side == Side::Left)];
        let (mut far, mut middle, mut near) = (Vec::new(), Vec::new(), Vec::new());
        let chest = self.placed.point(Bone::new(Part::Chest, Side::Right), vec3(0.0, 12.0, 0.0));
        let across = self.placed.turn(Bone::new(Part::Chest, Side::Right)).right;
        let frontal = across.dot(self.camera.eye).abs() < 0.5;
        for side in Side::BOTH {
            let leg = self.leg(side, works);
            if self.is_far(side) {
                far.push(leg);
            } else {
                middle.push(leg);
            }
            let wrist = self.placed.joint(Bone::new(Part::Hand, side));
            let elbow = self.placed.joint(Bone::new(Part::Forearm, side));
            let ahead =
                self.camera.nearness(wrist.toward(elbow, 0.5)) - self.camera.nearness(chest);
            // Seen from the front the upper arm goes into the trunk's outline; seen from the side it
            // lies over it.
            let start = if frontal { Start::Round } else { Start::Open };
            let upper = self.upper_arm(side, start, works);
            let start = if frontal { Start::Open } else { Start::Round };
            let fore = self.forearm(side, start, hand(side), works);
            if self.is_far(side) {
                far.splice(0..0, [upper, fore]);
            } else if ahead < -10.0 {
                // Behind the trunk though not on the far side: it is drawn first, in the near ink.
                self.paint(vec![upper, fore], false);
            } else if frontal {
                middle.push(upper);
                near.push(vec![fore]);
            } else {
                near.push(vec![upper, fore]);
            }
        }
        self.paint(far, true);
        middle.push(self.trunk(works));
        self.paint(middle, false);
        for arm in near {
            self.paint(arm, false);
        }
        self.ear();
    }

    /// A small curve where an ear is, on the side that is seen.
    fn ear(&mut self) {
        let bone = Bone::new(Part::Head, Side::Right);
        let turn = self.placed.turn(bone);
        for side in Side::BOTH {
            if turn.right.dot(self.camera.eye) * side.sign() < 0.2 {
                continue;
            }
            let z = 6.6 * side.sign();
            let points = [(-0.6, 2.6), (-2.4, 3.0), (-2.8, 0.6), (-1.4, -1.4), (-0.4, -0.6)];
            let seen =
                points.map(|(x, y)| self.camera.sees(self.placed.point(bone, vec3(x, y, z))));
            self.push(open(&seen), Ink::Stroke { role: Role::Detail, width: FINE });
        }
    }

    fn props(&mut self, props: &[Prop], layer: Layer) {
        if layer == Layer::Behind {
            self.ground(props);
        }
        let mut order: Vec<(f64, &Prop)> = Vec::new();
        for prop in props.iter().filter(|prop| prop.layer == layer) {
            let near = self.nearness(prop);
            let place = order.iter().take_while(|(other, _)| *other <= near).count();
            order.insert(place, (near, prop));
        }
        for (_, prop) in order {
            match &prop.kind {
                Kind::Blocks(blocks, legs) => {
                    for (from, to) in legs {
                        self.cord(Cord::Post, &[*from, *to]);
                    }
                    for block in blocks {
                        self.block(block);
                    }
                }
                Kind::Wall { .. } => {}
                Kind::Cord(cord, anchors) => {
                    let points: Vec<Vec3> = anchors.iter().map(|at| at.at(self.placed)).collect();
                    self.cord(*cord, &points);
                }
                Kind::Thing(thing, anchor, size) => self.thing(*thing, anchor, *size),
            }
        }
    }

    fn nearness(&self, prop: &Prop) -> f64 {
        match &prop.kind {
            Kind::Wall { .. } => f64::NEG_INFINITY,
            Kind::Blocks(blocks, _) => {
                let near =
                    |block: &Block| self.camera.nearness(block.least.toward(block.most, 0.5));
                let lies = if prop.is_ground { -1e6 } else { 0.0 };
                blocks.iter().map(near).fold(f64::NEG_INFINITY, f64::max) + lies
            }
            Kind::Cord(_, anchors) => anchors
                .iter()
                .map(|at| self.camera.nearness(at.at(self.placed)))
                .fold(f64::NEG_INFINITY, f64::max),
            Kind::Thing(_, anchor, _) => self.camera.nearness(anchor.at(self.placed)),
        }
    }

    fn ground(&mut self, props: &[Prop]) {
        let walls: Vec<(f64, f64)> = props
            .iter()
            .filter_map(|prop| match prop.kind {
                Kind::Wall { x, faces } => Some((x, faces)),
                Kind::Blocks(..) | Kind::Cord(..) | Kind::Thing(..) => None,
            })
            .collect();
        for &(x, faces) in &walls {
            self.wall(x, faces);
        }
        if props.iter().any(|prop| prop.is_ground) {
            return;
        }
        let behind = walls.iter().find(|wall| 0.0 < wall.1).map(|wall| wall.0);
        let ahead = walls.iter().find(|wall| wall.1 < 0.0).map(|wall| wall.0);
        let (from, to) = (behind.unwrap_or(-62.0), ahead.unwrap_or(82.0));
        let level = self.camera.sees(vec3(0.0, 0.0, 0.0));
        let ends = if self.camera.eye.x.abs() < 0.6 {
            [from, to].map(|x| self.camera.sees(vec3(x, 0.0, 0.0)).x)
        } else {
            [level.x - 58.0, level.x + 58.0]
        };
        let line = ends.map(|x| dot(x, level.y));
        self.push(lines(&line, false), Ink::Stroke { role: Role::Ground, width: 1.0 });
    }

    fn wall(&mut self, x: f64, faces: f64) {
        // Seen from in front there is nothing to see of it but what it hides.
        if 0.75 < self.camera.eye.x.abs() {
            return;
        }
        let (low, high) = (vec3(x, 0.0, 0.0), vec3(x, 172.0, 0.0));
        let deep = vec3(-7.0 * faces, 0.0, 0.0);
        let corners = [low, high, high + deep, low + deep].map(|at| self.camera.sees(at));
        self.push(lines(&corners, true), Ink::Fill(Role::PropFace));
        let mut hatch = Vec::new();
        let mut y: f64 = 4.0;
        while y < 166.0 {
            hatch.push(Step::To(self.camera.sees(vec3(x, y + 6.0, 0.0))));
            hatch.push(Step::Line(self.camera.sees(vec3(x, y, 0.0) + deep)));
            y += 9.0;
        }
        self.push(hatch, Ink::Stroke { role: Role::PropSide, width: 1.0 });
        let edge = [low, high].map(|at| self.camera.sees(at));
        self.push(lines(&edge, false), Ink::Stroke { role: Role::Ground, width: 1.2 });
    }

    fn block(&mut self, block: &Block) {
        let (least, most) = (block.least, block.most);
        let at = |x: bool, y: bool, z: bool| {
            let pick = |most_: bool, least: f64, most: f64| if most_ { most } else { least };
            vec3(pick(x, least.x, most.x), pick(y, least.y, most.y), pick(z, least.z, most.z))
        };
        let eye = self.camera.eye;
        let (x, y, z) = (0.0 < eye.x, 0.0 < eye.y, 0.0 < eye.z);
        let faces = [
            (
                [at(x, false, false), at(x, true, false), at(x, true, true), at(x, false, true)],
                Role::PropSide,
            ),
            (
                [at(false, false, z), at(true, false, z), at(true, true, z), at(false, true, z)],
                Role::PropFace,
            ),
            (
                [at(false, y, false), at(true, y, false), at(true, y, true), at(false, y, true)],
                Role::PropTop,
            ),
        ];
        for (corners, role) in faces {
            let path = lines(&corners.map(|at| self.camera.sees(at)), true);
            self.push(path.clone(), Ink::Fill(role));
            self.push(path, Ink::Stroke { role: Role::PropLine, width: 0.8 });
        }
    }

    fn cord(&mut self, cord: Cord, points: &[Vec3]) {
        let seen: Vec<Dot> = points.iter().map(|at| self.camera.sees(*at)).collect();
        let path = lines(&seen, false);
        let (thick, line, fill) = match cord {
            Cord::Band => (2.6, Role::BodyLine, Role::Band),
            Cord::Strap => (2.6, Role::PropLine, Role::PropTop),
            Cord::Rod => (3.4, Role::PropLine, Role::PropFace),
            Cord::Post => (2.6, Role::PropLine, Role::PropFace),
        };
        self.push(path.clone(), Ink::Stroke { role: line, width: thick });
        self.push(path, Ink::Stroke { role: fill, width: thick - 1.6 });
    }

    fn thing(&mut self, thing: Thing, anchor: &Anchor, size: f64) {
        let at = anchor.at(self.placed);
        let turn = match anchor {
            Anchor::Body(bone, _) => self.placed.turn(*bone),
            Anchor::Room(_) => Turn::NONE,
        };
        let camera = self.camera;
        let seen = |way: Vec3| camera.sees(at + way);
        let mut both = |path: Vec<Step>, role: Role| {
            self.push(path.clone(), Ink::Fill(role));
            self.push(path, Ink::Stroke { role: Role::PropLine, width: 1.0 });
        };
        match thing {
            Thing::Ball | Thing::Roll => {
                let middle = seen(vec3(0.0, 0.0, 0.0));
                let round = (0..12).map(|place| {
                    let (sin, cos) = (f64::from(place) * std::f64::consts::TAU / 12.0).sin_cos();
                    dot(middle.x + size * cos, middle.y + size * sin)
                });
                both(smooth(&round.collect::<Vec<_>>()), Role::PropTop);
            }
            Thing::Bottle => {
                // Along the thumb's way, through the fist.
                let (long, wide) = (turn.forward, turn.up);
                let outline = [(-9.0, 3.0), (7.0, 3.0), (10.0, 1.3), (13.0, 1.3)];
                let right = outline.map(|(along, out)| seen(long * along + wide * out));
                let left = outline.map(|(along, out)| seen(long * along - wide * out));
                let points: Vec<Dot> = right.into_iter().chain(left.into_iter().rev()).collect();
                both(lines(&points, true), Role::PropTop);
            }
            Thing::Hammer => {
                let (long, wide) = (turn.forward, turn.up);
                let handle = [seen(long * -size), seen(long * (28.0 - size))];
                both(lines(&handle, false), Role::PropFace);
                let top = 28.0 - size;
                let head = [(top, -6.0), (top + 4.0, -6.0), (top + 4.0, 6.0), (top, 6.0)];
                let points = head.map(|(along, out)| seen(long * along + wide * out));
                both(lines(&points, true), Role::PropSide);
            }
            Thing::Rucksack => {
                let (deep, high) = (size * 0.55, size);
                let outline = [
                    (-deep, -high),
                    (deep, -high),
                    (deep * 1.1, high * 0.4),
                    (deep * 0.5, high),
                    (-deep, high),
                ];
                let points = outline.map(|(x, y)| seen(turn.forward * x + turn.up * y));
                both(smooth(&points), Role::PropFace);
            }
        }
    }
}
