//! Every figure that ships, at every key and in between, on every rung: what is planted stays, nothing
//! goes through anything, no joint leaves its published range, and what stands can stand.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
#![expect(clippy::print_stderr, reason = "the worst values are told")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::time::Duration;

use carryover::domain::plan::dose::{Action, Tempo};
use carryover::domain::plan::figure::balance::holding;
use carryover::domain::plan::figure::data::{Figures, Spot, Target, Touch};
use carryover::domain::plan::figure::film::Film;
use carryover::domain::plan::figure::flesh::skin;
use carryover::domain::plan::figure::geometry::{Vec3, vec3};
use carryover::domain::plan::figure::motion::Moment;
use carryover::domain::plan::figure::motion::Motion;
use carryover::domain::plan::figure::props::{Give, Kind};
use carryover::domain::plan::figure::skeleton::{
    Bone, FOREARM, Part, Placed, Pose, SHANK, Side, THIGH, UPPER_ARM,
};
use serde_json::Value;

/// In-betweens of two keys.
const BETWEEN: u32 = 6;
const MM: f64 = 10.0;

struct Seen {
    id: String,
    motion: Motion,
}

/// A moment between two keys.
struct Sample<'a> {
    of: String,
    seen: &'a Seen,
    from: usize,
    to: usize,
    share: f64,
    pose: Pose,
    placed: Placed,
}

fn figures() -> Figures {
    Figures::parse(&fs::read_to_string("public/figures.json").unwrap()).unwrap()
}

fn all() -> Vec<Seen> {
    let figures = figures();
    let ids: Vec<String> = figures.ids().map(str::to_owned).collect();
    let mut all = Vec::new();
    for id in ids {
        for rung in figures.rungs(&id) {
            let figure =
                figures.figure(&id, rung).unwrap().unwrap_or_else(|wrong| panic!("{wrong:?}"));
            all.push(Seen { id: format!("{id} {rung}"), motion: Motion::of(figure) });
        }
    }
    all
}

fn samples(all: &[Seen]) -> Vec<Sample<'_>> {
    let mut samples = Vec::new();
    for seen in all {
        let mut done: Vec<(usize, usize)> = Vec::new();
        for one in &seen.motion.figure.moves {
            let legs = one.through.windows(2).map(|two| (two[0], two[1]));
            let still = (one.through.len() == 1).then(|| (one.through[0], one.through[0]));
            for (from, to) in legs.chain(still) {
                if done.contains(&(from, to)) || done.contains(&(to, from)) {
                    continue;
                }
                done.push((from, to));
                for step in 0..=BETWEEN {
                    let share = f64::from(step) / f64::from(BETWEEN);
                    let pose = seen.motion.between(from, to, share);
                    let placed = Placed::of(&pose);
                    let keys = &seen.motion.figure.keys;
                    let of =
                        format!("{} {}-{} {share:.2}", seen.id, keys[from].name, keys[to].name);
                    samples.push(Sample { of, seen, from, to, share, pose, placed });
                }
            }
        }
    }
    samples
}

/// What is planted at a moment: at a key all that the key says, in between what both keys share.
fn planted(sample: &Sample<'_>) -> Vec<Touch> {
    let keys = &sample.seen.motion.figure.keys;
    if sample.share <= 0.0 {
        keys[sample.from].touches.clone()
    } else if 1.0 <= sample.share {
        keys[sample.to].touches.clone()
    } else {
        sample.seen.motion.shared(sample.from, sample.to, sample.share)
    }
}

/// How far a planted spot is from where it was planted, in millimetres.
fn slip(placed: &Placed, touch: &Touch) -> f64 {
    let here = placed.point(touch.bone(), touch.on());
    let off = match touch.target {
        Target::Room(at) => {
            let along = |at: Option<f64>, here: f64| at.map_or(0.0, |at| here - at);
            vec3(along(at[0], here.x), along(at[1], here.y), along(at[2], here.z))
        }
        Target::Body(bone, on) => here - placed.point(bone, on),
    };
    // A foot or a palm that swivels slips at its ends, twelve centimetres away.
    let swivel = touch
        .ways
        .iter()
        .map(|(own, way)| (placed.turn(touch.bone()).out(*own) - *way).length() * 12.0 * MM);
    swivel.fold(off.length() * MM, f64::max)
}

/// The worst of some values, told and kept for the measurements.
fn tell(name: &str, worst: f64) {
    let path = "target/bench/results.json";
    fs::create_dir_all("target/bench").unwrap();
    let mut results: BTreeMap<String, Value> = fs::read_to_string(path)
        .ok()
        .and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or_default();
    results.insert(name.to_owned(), Value::from((worst * 1000.0).round() / 1000.0));
    fs::write(path, serde_json::to_string_pretty(&results).unwrap()).unwrap();
    eprintln!("{name}: {worst:.3}");
}

/// One after the other, since they share what they measure and where it is kept.
#[test]
fn every_figure_at_every_key_and_in_between() {
    let all = all();
    let samples = samples(&all);
    let mut wrong = Vec::new();
    keeps_its_bones(&samples, &mut wrong);
    stays_planted(&samples, &mut wrong);
    goes_through_nothing(&samples, &mut wrong);
    bends_no_joint_too_far(&samples, &mut wrong);
    can_stand(&samples, &mut wrong);
    is_itself_in_the_mirror(&samples, &mut wrong);
    let exercises = figures().ids().count();
    tell("figure.entries", f64::from(u32::try_from(exercises).unwrap()));
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

fn keeps_its_bones(samples: &[Sample<'_>], wrong: &mut Vec<String>) {
    for sample in samples {
        for side in Side::BOTH {
            let joint = |part| sample.placed.joint(Bone::new(part, side));
            let lengths = [
                (Part::Thigh, Part::Shank, THIGH),
                (Part::Shank, Part::Foot, SHANK),
                (Part::UpperArm, Part::Forearm, UPPER_ARM),
                (Part::Forearm, Part::Hand, FOREARM),
            ];
            for (from, to, length) in lengths {
                if 1e-6 < ((joint(from) - joint(to)).length() - length).abs() {
                    wrong.push(format!("{}: {from:?} is not as long as it was", sample.of));
                }
            }
        }
    }
}

/// Slip below 2 mm where it is declared; below 5 mm where a hand or foot lies on something unsaid.
fn stays_planted(samples: &[Sample<'_>], wrong: &mut Vec<String>) {
    let mut worst = 0.0_f64;
    for sample in samples {
        for touch in planted(sample) {
            let slip = slip(&sample.placed, &touch);
            worst = worst.max(slip);
            if 2.0 <= slip {
                wrong.push(format!(
                    "{}: {:?} {:?} is {slip:.1} mm off",
                    sample.of, touch.spot, touch.side
                ));
            }
        }
    }
    tell("figure.slip_mm", worst);
    let mut undeclared = 0.0_f64;
    for pair in samples.windows(2).filter(|pair| pair[0].share < pair[1].share) {
        let touches = planted(&pair[1]);
        for side in Side::BOTH {
            for spot in [Spot::Heel, Spot::Toe, Spot::Palm] {
                let (part, on) = spot.on();
                let bone = Bone::new(part, side);
                let limb: &[Spot] = if spot == Spot::Palm {
                    &[Spot::Palm, Spot::Tips, Spot::Grip, Spot::Wrist, Spot::Elbow]
                } else {
                    &[Spot::Sole, Spot::Ball, Spot::Heel, Spot::Toe, Spot::Instep, Spot::Knee]
                };
                if touches.iter().any(|touch| touch.side == side && limb.contains(&touch.spot)) {
                    continue;
                }
                let at = |sample: &Sample<'_>| sample.placed.point(bone, bone.on_side(on));
                let (before, after) = (at(&pair[0]), at(&pair[1]));
                if before.y.abs() < 0.1 && after.y.abs() < 0.1 {
                    let moved = (after - before).length() * MM;
                    undeclared = undeclared.max(moved);
                    if 5.0 <= moved {
                        wrong.push(format!(
                            "{}: {spot:?} {side:?} slides {moved:.1} mm",
                            pair[1].of
                        ));
                    }
                }
            }
        }
    }
    tell("figure.undeclared_slip_mm", undeclared);
}

/// Nothing is more than 5 mm inside the floor, a seat, a wall, a step or the other leg. What is soft
/// gives way by 3 cm (ours).
fn goes_through_nothing(samples: &[Sample<'_>], wrong: &mut Vec<String>) {
    let mut worst = 0.0_f64;
    for sample in samples {
        let mut deepest: Vec<(f64, String)> = Vec::new();
        let props = &sample.seen.motion.figure.props;
        let soft_ground = props.iter().any(|prop| {
            prop.is_ground && prop.blocks().iter().any(|block| block.give == Give::Soft)
        });
        for (bone, at) in skin(&sample.placed) {
            let ground = if soft_ground { -at.y - 3.0 } else { -at.y };
            deepest.push((ground, format!("{bone:?} in the floor")));
            for prop in props.iter().filter(|prop| !prop.is_ground) {
                for block in prop.blocks() {
                    let give = if block.give == Give::Soft { 3.0 } else { 0.0 };
                    deepest.push((block.depth(at) - give, format!("{bone:?} in a block")));
                }
                if let Kind::Wall { x, faces } = prop.kind {
                    deepest.push(((x - at.x) * faces, format!("{bone:?} in the wall")));
                }
            }
        }
        deepest.push((legs_overlap(&sample.placed), "one leg in the other".to_owned()));
        let (depth, what) =
            deepest.into_iter().max_by(|one, other| one.0.total_cmp(&other.0)).unwrap();
        let pressed = PRESSED.iter().find(|(id, ..)| *id == exercise(sample));
        if pressed.is_some_and(|(_, allowed, _)| depth * MM < *allowed) {
            continue;
        }
        worst = worst.max(depth * MM);
        if 5.0 < depth * MM {
            wrong.push(format!("{}: {what} by {:.1} mm", sample.of, depth * MM));
        }
    }
    tell("figure.through_mm", worst);
}

/// Where flesh is pressed further in, how far, and by what.
const PRESSED: [(&str, f64, &str); 1] =
    [("towel-slide", 13.0, "the forearm rests on the table's edge, which presses into it (ours)")];

/// How deep the bones of one leg below the knee, 3 cm thick, are in those of the other.
fn legs_overlap(placed: &Placed) -> f64 {
    let line = |side| {
        let joint = |part| placed.joint(Bone::new(part, side));
        let [knee, ankle, ball] = [joint(Part::Shank), joint(Part::Foot), joint(Part::Toes)];
        let shank = (0..=8).map(move |step| knee.toward(ankle, f64::from(step) / 8.0));
        shank.chain((1..=4).map(move |step| ankle.toward(ball, f64::from(step) / 4.0)))
    };
    let left: Vec<Vec3> = line(Side::Left).collect();
    let apart =
        line(Side::Right).flat_map(|one| left.iter().map(move |other| (one - *other).length()));
    6.0 - apart.fold(f64::INFINITY, f64::min)
}

/// The ranges of each movement in degrees, from the rows of `tests/fixtures/joint_ranges.json` by name.
fn ranges() -> Vec<(&'static str, usize, f64, f64)> {
    let text = fs::read_to_string("tests/fixtures/joint_ranges.json").unwrap();
    let table: Value = serde_json::from_str(&text).unwrap();
    let row = |id: &str, part: &str| {
        let row = table["rows"].as_array().unwrap().iter().find(|row| row["id"] == id);
        let expected = &row.unwrap_or_else(|| panic!("no row {id}"))["expected"];
        let value = if part.is_empty() { expected } else { &expected[part] };
        value.as_f64().unwrap_or_else(|| panic!("{id} has no {part}"))
    };
    vec![
        ("hip", 0, -row("A3-merck-hip-hyperextension", ""), row("A3-merck-hip-flexion", "")),
        // Hip abduction 45, adduction 30, lateral rotation 45; shoulder flexion and abduction 180:
        // AAOS, from memory.
        ("hip", 1, -30.0, 45.0),
        ("hip", 2, -row("A3-merck-hip-medial-rotation", ""), 45.0),
        ("knee", 0, -0.5, row("A3-cdc-20-44-knee-flexion", "F")),
        ("ankle", 0, -row("A3-cdc-20-44-ankle-plantarflexion", "F"), row("A3-wb-df", "knee0")),
        ("ankle", 1, -row("A3-merck-foot-eversion", ""), row("A3-merck-foot-inversion", "")),
        ("shoulder", 0, -row("A3-nw-shoulder-extension", "Boone_Azen"), 180.0),
        ("shoulder", 1, -45.0, 180.0),
        (
            "shoulder",
            2,
            -row("A3-nw-shoulder-medial-rotation", "AAOS"),
            row("A3-nw-shoulder-lateral-rotation", "AAOS"),
        ),
        ("elbow", 0, -0.5, row("A3-nw-elbow-flexion", "AMA_min")),
        ("fore", 0, -row("A3-nw-forearm-supination", "AAOS"), row("A3-cdc-20-44-pronation", "F")),
        (
            "wrist",
            0,
            -row("A3-nw-wrist-extension", "Boone_Azen"),
            row("A3-nw-wrist-flexion", "AAOS"),
        ),
        (
            "wrist",
            1,
            -row("A3-nw-wrist-ulnar-deviation", "AAOS"),
            row("A3-nw-wrist-radial-deviation", "Boone_Azen"),
        ),
        ("spine", 0, -row("A3-tl-rom", "ext"), row("A3-tl-rom", "flex")),
        ("spine", 1, -row("A3-tl-rom", "lat"), row("A3-tl-rom", "lat")),
        ("spine", 2, -row("A3-tl-rom", "rot"), row("A3-tl-rom", "rot")),
        ("neck", 0, -row("A3-neck-rom", "ext"), row("A3-neck-rom", "flex")),
        ("neck", 1, -row("A3-neck-rom", "lat"), row("A3-neck-rom", "lat")),
        ("neck", 2, -row("A3-neck-rom", "rot"), row("A3-neck-rom", "rot")),
    ]
}

/// Exercises in which a joint goes beyond the range, how far, and why.
const ON_THE_HAND: &str =
    "weight on a flat hand bends the wrist further than it bends by itself (ours)";
const BEYOND: [(&str, &str, usize, f64, &str); 19] = [
    ("side-plank", "wrist", 0, 8.0, ON_THE_HAND),
    ("arm-and-leg-reach", "wrist", 0, 8.0, ON_THE_HAND),
    ("leaning-nod", "wrist", 0, 8.0, ON_THE_HAND),
    ("round-and-arch", "wrist", 0, 8.0, ON_THE_HAND),
    ("push-up", "wrist", 0, 8.0, ON_THE_HAND),
    ("foot-press-band", "wrist", 0, 8.0, ON_THE_HAND),
    ("thigh-squeeze", "wrist", 0, 8.0, ON_THE_HAND),
    ("heel-slide", "wrist", 0, 8.0, ON_THE_HAND),
    ("wall-calf-hold", "wrist", 0, 8.0, ON_THE_HAND),
    ("knee-to-wall", "wrist", 0, 8.0, ON_THE_HAND),
    ("hand-lean-scale", "wrist", 0, 8.0, ON_THE_HAND),
    ("floor-rise", "wrist", 0, 8.0, ON_THE_HAND),
    ("upper-back-turn", "wrist", 0, 8.0, ON_THE_HAND),
    ("sole-stretch", "wrist", 0, 8.0, ON_THE_HAND),
    ("heel-prop", "wrist", 0, 8.0, ON_THE_HAND),
    ("ankle-pumps", "wrist", 0, 8.0, ON_THE_HAND),
    ("calf-stretch-straight", "wrist", 0, 8.0, ON_THE_HAND),
    ("calf-stretch-bent", "wrist", 0, 8.0, ON_THE_HAND),
    ("short-knee-straighten", "wrist", 0, 8.0, ON_THE_HAND),
];

fn bends_no_joint_too_far(samples: &[Sample<'_>], wrong: &mut Vec<String>) {
    for sample in samples {
        for (joint, place, least, most) in ranges() {
            for side in Side::BOTH {
                let mut most = most;
                // With the knee bent the foot comes further up under the body's weight.
                if joint == "ankle" && place == 0 && 20.0 < sample.pose.degrees("knee", 0, side) {
                    most = 39.0;
                }
                let angle = sample.pose.degrees(joint, place, side);
                let excused = BEYOND.iter().any(|(id, also, at, by, _)| {
                    sample.of.starts_with(id)
                        && *also == joint
                        && *at == place
                        && least - by <= angle
                        && angle <= most + by
                });
                if (angle < least - 0.5 || most + 0.5 < angle) && !excused {
                    wrong.push(format!(
                        "{}: {joint} {place} {side:?} at {angle:.0}, range {least:.0} to {most:.0}",
                        sample.of
                    ));
                }
            }
        }
    }
}

/// Rising from a chair carries the weight over the feet with momentum.
const MOMENTUM: [&str; 1] = ["sit-to-stand"];

fn moves(sample: &Sample<'_>) -> bool {
    0.0 < sample.share && sample.share < 1.0
}

fn exercise<'a>(sample: &'a Sample<'_>) -> &'a str {
    sample.seen.id.split(' ').next().unwrap()
}

fn can_stand(samples: &[Sample<'_>], wrong: &mut Vec<String>) {
    let (mut unbalanced, mut worst) = (0_u32, 0.0_f64);
    for sample in samples {
        // What is about to leave, or has just come, still bears as long as it is there.
        let keys = &sample.seen.motion.figure.keys;
        let ends = keys[sample.from].touches.iter().chain(&keys[sample.to].touches);
        let mut touches = planted(sample);
        touches.extend(ends.filter(|touch| slip(&sample.placed, touch) < 40.0).cloned());
        let lies = sample.seen.motion.figure.props.iter().any(|prop| prop.is_ground);
        let lying: Vec<(f64, f64)> = skin(&sample.placed)
            .into_iter()
            .filter(|(_, at)| lies && at.y < 2.5)
            .map(|(_, at)| (at.x, at.z))
            .collect();
        if let Some(holding) = holding(&sample.placed, &touches, &lying) {
            if holding.can && holding.push <= 0.35 {
                worst = worst.max(holding.push);
            } else if 0.005 < holding.push
                && !(moves(sample) && MOMENTUM.contains(&exercise(sample)))
            {
                unbalanced += 1;
                wrong.push(format!(
                    "{}: would fall, needs {:.2} of its weight (can: {})",
                    sample.of, holding.push, holding.can
                ));
            }
        }
    }
    tell("figure.unbalanced", f64::from(unbalanced));
    tell("figure.held_share", worst);
}

fn is_itself_in_the_mirror(samples: &[Sample<'_>], wrong: &mut Vec<String>) {
    for sample in samples {
        let mirrored = Placed::of(&sample.pose.mirrored());
        for touch in planted(sample) {
            if 2.0 <= slip(&mirrored, &touch.mirrored()) {
                wrong.push(format!(
                    "{}: {:?} is not where it was in the mirror",
                    sample.of, touch.spot
                ));
            }
        }
    }
}

/// The words of each rung of every exercise that ships.
fn helps_that_ship() -> Vec<(String, Vec<String>)> {
    let of = |exercise: Value| {
        let helps = exercise["ladder"]["rungs"].as_array().unwrap().iter();
        let helps = helps.map(|rung| rung["help"].as_str().unwrap().to_owned()).collect();
        (exercise["id"].as_str().unwrap().to_owned(), helps)
    };
    shipped().into_iter().map(of).collect()
}

/// Every exercise of the library and of the routines that ship.
fn shipped() -> Vec<Value> {
    let mut files = vec!["public/library.json".to_owned()];
    for entry in fs::read_dir("public/routines").unwrap() {
        files.push(entry.unwrap().path().to_string_lossy().into_owned());
    }
    let mut shipped = Vec::new();
    for file in files {
        let whole: Value = serde_json::from_str(&fs::read_to_string(&file).unwrap()).unwrap();
        match whole["entries"].as_array() {
            Some(entries) => shipped.extend(entries.iter().map(|entry| entry["exercise"].clone())),
            None => shipped.extend(whole["routine"]["exercises"].as_array().unwrap().clone()),
        }
    }
    shipped
}

/// An exercise of the library, or of a routine that ships, and the tempo on each of its rungs.
fn exercises() -> Vec<(String, Vec<(u16, Tempo)>)> {
    let mut exercises = Vec::new();
    for exercise in shipped() {
        let rungs = exercise["ladder"]["rungs"].as_array().unwrap();
        let tempos = (1..).zip(rungs).map(|(number, rung): (u16, &Value)| {
            let own = &rung["dose"]["tempo"];
            let tempo = if own.is_null() { &exercise["dose"]["tempo"] } else { own };
            (number, serde_json::from_value(tempo.clone()).unwrap())
        });
        exercises.push((exercise["id"].as_str().unwrap().to_owned(), tempos.collect()));
    }
    exercises
}

/// Exercises that no figure can show as it is now, and why; where one would be is an empty place.
const WITHOUT: [(&str, &str); 2] = [
    ("bed-sit-up", "the whole body rolls from the back over the side to the edge of the bed"),
    ("thumb-touch", "a hand is drawn in one piece, without fingers to touch"),
];

fn is_without(id: &str) -> bool {
    WITHOUT.iter().any(|(known, _)| *known == id)
}

#[test]
fn every_exercise_that_ships_has_a_figure() {
    let figures = figures();
    for (id, _) in exercises() {
        let has = figures.ids().any(|known| known == id);
        assert_eq!(has, !is_without(&id), "{id}");
    }
}

/// A figure shows the help of a rung only where the rung says so in the words that it was drawn for.
#[test]
fn a_rung_is_drawn_for_its_own_words() {
    let figures = figures();
    for (id, helps) in helps_that_ship().into_iter().filter(|(id, _)| !is_without(id)) {
        for (rung, help) in (1..).zip(&helps) {
            let drawn = figures.drawn_for(&id, help);
            let same = figures.rungs(&id).len() == 1;
            assert_eq!(drawn, Some(if same { 1 } else { rung }), "{id}: {help}");
            if !same {
                assert_eq!(figures.drawn_for(&id, &format!("{help}, or so")), None, "{id}");
            }
        }
    }
    assert_eq!(figures.drawn_for("nothing-of-the-kind", "both hands"), None);
}

/// Ways that begin where the last rep ended: a step further on, or a hold that is done once.
const GOES_ON: [&str; 3] = ["side-steps", "heel-to-toe-walk", "backward-walk"];

/// A phase takes the time that the dose gives it, to the frame: it begins at its first key in its first
/// frame, reaches its last key when it is over and not a frame before, and the next begins there.
#[test]
fn a_phase_takes_the_time_of_the_dose_to_the_frame() {
    const FRAME: Duration = Duration::from_micros(16_667);
    let figures = figures();
    let far = |one: &Moment<'_>, other: &Moment<'_>| {
        let (one, other) = (Placed::of(&one.pose), Placed::of(&other.pose));
        let joints = [Part::Pelvis, Part::Head, Part::Hand, Part::Foot, Part::Shank, Part::Forearm];
        let apart =
            joints.into_iter().flat_map(|part| Side::BOTH.map(|side| Bone::new(part, side)));
        apart.map(|bone| (one.joint(bone) - other.joint(bone)).length() * MM).fold(0.0, f64::max)
    };
    let mut wrong = Vec::new();
    for (id, tempos) in exercises().into_iter().filter(|(id, _)| !is_without(id)) {
        for (rung, tempo) in tempos {
            let motion = Motion::of(figures.figure(&id, rung).unwrap().unwrap());
            let moves = motion.moves(&tempo);
            let mut last: Option<Moment<'_>> = None;
            for (place, phase) in tempo.phases().iter().enumerate() {
                let whole = Duration::from_secs(phase.secs.get().into());
                let begins = motion.at(&tempo, place, Duration::ZERO);
                let ends = motion.at(&tempo, place, whole);
                if let Some(last) = &last {
                    let jump = far(last, &begins);
                    if 1.0 <= jump {
                        wrong.push(format!("{id} {rung}: phase {place} begins {jump:.1} mm away"));
                    }
                }
                if let Some(one) = moves[place] {
                    let [first, end] =
                        [0, one.through.len() - 1].map(|at| motion.solved(one.through[at]));
                    assert_eq!(&begins.pose, first, "{id} {rung}: phase {place}");
                    assert_eq!(&ends.pose, end, "{id} {rung}: phase {place}");
                    let moving = matches!(phase.action, Action::Lift | Action::Lower);
                    if moving && 1 < one.through.len() {
                        let almost = motion.at(&tempo, place, whole.saturating_sub(FRAME));
                        assert_ne!(
                            almost.pose, ends.pose,
                            "{id} {rung}: phase {place} is over early"
                        );
                    }
                } else {
                    assert_eq!(begins.pose, ends.pose, "{id} {rung}: a pause moves");
                }
                last = Some(ends);
            }
            let again = motion.at(&tempo, 0, Duration::ZERO);
            let once = tempo.phases().len() == 1 || GOES_ON.contains(&id.as_str());
            if let (Some(last), false) = (last, once) {
                let jump = far(&last, &again);
                if 1.0 <= jump {
                    wrong.push(format!("{id} {rung}: the next rep begins {jump:.1} mm away"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

/// Whoever watches a film sees no limb thrown about: in a sixtieth of a phase nothing goes farther than the whole
/// way would ask for three times over, and 3 cm (ours).
#[test]
fn a_film_has_no_jerk() {
    const FRAMES: u16 = 60;
    // A foot or a knee that has to get over an edge, or past the other, in little time (worst 76 mm).
    const HURRIED: [&str; 4] = ["step-up", "heel-up-squat", "arm-and-leg-reach", "floor-rise"];
    let figures = figures();
    let parts = [Part::Pelvis, Part::Head, Part::Hand, Part::Foot, Part::Shank, Part::Forearm];
    let bones: Vec<Bone> =
        parts.into_iter().flat_map(|part| Side::BOTH.map(|side| Bone::new(part, side))).collect();
    let (mut worst, mut wrong) = (0.0_f64, Vec::new());
    let mut seen = BTreeSet::new();
    for (id, tempos) in exercises() {
        let drawn = figures.rungs(&id);
        let tempos = tempos.into_iter().filter(|(rung, _)| drawn.contains(rung));
        for (rung, tempo) in tempos.filter(|(rung, _)| seen.insert((id.clone(), *rung))) {
            let film = Film::of(figures.figure(&id, rung).unwrap().unwrap());
            for place in 0..tempo.phases().len() {
                let at = |frame: u16| {
                    Placed::of(&film.at(&tempo, place, f64::from(frame) / f64::from(FRAMES)).pose)
                };
                let frames: Vec<Placed> = (0..=FRAMES).map(at).collect();
                for bone in &bones {
                    let steps: Vec<f64> = frames
                        .windows(2)
                        .map(|two| (two[1].joint(*bone) - two[0].joint(*bone)).length() * MM)
                        .collect();
                    let most = steps.iter().copied().fold(0.0, f64::max);
                    worst = worst.max(most);
                    // A hold is reached in a second of its own, however long it is.
                    let way: f64 = steps.iter().sum();
                    let moving = steps.iter().filter(|step| 0.01 < **step).count().max(1);
                    let even = way / f64::from(u32::try_from(moving).unwrap());
                    let allowed =
                        if HURRIED.contains(&id.as_str()) { 80.0 } else { 30.0 + 3.0 * even };
                    if allowed < most {
                        wrong.push(format!(
                            "{id} {rung}, phase {place}: {bone:?} {most:.0} mm at once"
                        ));
                    }
                }
            }
        }
    }
    tell("figure.farthest_in_a_frame_mm", worst);
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}
