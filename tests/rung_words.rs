//! Words belong to the rung: no step, thing to fetch or phase of a rung uses what the rung says is not
//! there, or two where it says one. Read over the library's newest revisions, the shipped routines and a
//! draft that a practitioner makes of an entry.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use std::fs;
use std::path::{Path, PathBuf};

use carryover::domain::plan::ladder::{Ladder, RungNumber, WordsChange};
use carryover::domain::plan::library::Library;
use carryover::domain::plan::routine::{Exercise, Routine};
use carryover::domain::words::Words;
use carryover::exchange::file::{self, File};

/// What a rung may say, and what no line that holds for it may then say.
#[rustfmt::skip]
const CONTRARY: [(&str, &[&str]); 21] = [
    ("no band",                &["band"]),
    ("no towel",               &["towel"]),
    ("no cushion",             &["cushion"]),
    ("no hammer",              &["hammer"]),
    ("no weight",              &["rucksack", "bottle", "bags"]),
    ("nothing on your legs",   &["rucksack", "bags"]),
    ("no help from the towel", &["towel"]),
    ("no hand",                &["your hand", "your hands", "both hands", "fingertips", "hold on"]),
    ("no hands",               &["hold the", "hold on", "both hands", "hands on", "fingertips", "hands flat"]),
    ("fingertips",             &["both hands", "hold the banister", "hold on with", "hands on", "hands flat"]),
    ("arms crossed",           &["arms flat", "arms by your sides"]),
    ("both feet on the way down", &["left heel", "left foot", "that heel", "working leg", "sore leg", "the other foot"]),
    ("both legs on the way down", &["working leg", "that knee", "the other foot"]),
    ("no help",                &["other hand helps", "help of the other", "hand on top"]),
    ("away from the wall",     &["on the wall"]),
    ("worktop",                &["the wall.", "from the wall", "on the mat"]),
    ("on a mat",               &["worktop", "the wall"]),
    ("hands and knees",        &["worktop", "the wall"]),
    ("firm floor",             &["blanket", "cushion"]),
    ("no leg",                 &["both legs"]),
    ("legs straight",          &["knees bent", "knee bent"]),
];

/// What a rung may say, and what a line that holds for it must then say.
const NEEDED: [(&str, &str); 9] = [
    ("loop band", "loop band"),
    ("long band", "band"),
    ("rucksack", "rucksack"),
    ("a towel round the foot", "towel"),
    ("a cushion on the seat", "cushion"),
    ("the banister", "banister"),
    ("small bottle", "bottle"),
    ("the ball between the ankles", "ankles"),
    ("hands and knees", "knees"),
];

#[test]
fn no_line_of_a_rung_uses_what_the_rung_says_is_not_there() {
    let mut wrong = Vec::new();
    for (exercise, rung) in rungs_that_ship() {
        wrong.extend(contradictions(&exercise, rung));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_a_rung_names_is_fetched_or_stands_in_its_steps() {
    let mut wrong = Vec::new();
    for (exercise, rung) in rungs_that_ship() {
        let help = help(&exercise, rung);
        for (named, needed) in NEEDED.iter().filter(|(named, _)| says(&help, named)) {
            let is_absent = says(&help, &format!("no {named}"));
            let stands = lines(&exercise, rung).iter().any(|line| line.contains(needed));
            if !is_absent && !stands {
                wrong.push(format!("{} on \"{help}\": no {needed}", exercise.id.as_str()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The test tells an entry as it was before words belonged to the rung.
#[test]
fn the_first_revisions_contradict_themselves() {
    let library = library();
    let first = |id: &str| {
        let id = carryover::domain::words::Id::new(id).unwrap();
        library.entry(&id, 1.try_into().unwrap()).unwrap().exercise.clone()
    };
    let known = [
        ("foot-press-band", 1),
        ("foot-out-band", 1),
        ("heel-drop-straight", 1),
        ("heel-drop-bent", 1),
        ("thigh-squeeze", 3),
        ("straight-leg-raise", 2),
        ("straight-leg-raise", 3),
        ("bench-squat", 3),
        ("standing-leg-curl", 1),
        ("heel-up-squat", 1),
        ("clam", 1),
        ("clam", 2),
        ("side-steps", 1),
        ("forearm-turn", 1),
    ];
    for (id, rung) in known {
        let found = contradictions(&first(id), RungNumber::new(rung).unwrap());
        assert!(!found.is_empty(), "{id}, rung {rung}");
    }
}

#[test]
fn a_rung_without_words_of_its_own_has_those_of_the_exercise() {
    let words = |text: &str| Words::new(text).unwrap();
    let mut exercise = Exercise::named(words("Leg out"));
    exercise.equipment = vec![words("a loop band")];
    exercise.steps = vec![words("Put the band on.")];
    let two = exercise.ladder.with_one_above(RungNumber::LEAST).unwrap();
    let mut rungs = two.rungs().to_vec();
    rungs[0].words = WordsChange { equipment: Some(Vec::new()), ..WordsChange::default() };
    exercise.ladder = Ladder::new(rungs, two.start(), two.ceiling()).unwrap();
    let (low, high) = (RungNumber::LEAST, RungNumber::nearest(2));
    assert!(exercise.equipment_on(low).is_empty());
    assert_eq!(exercise.equipment_on(high), exercise.equipment);
    assert_eq!(exercise.steps_on(low), exercise.steps);
    let things = Routine::equipment([(&exercise, low)]);
    assert!(things.is_empty(), "{things:?}");
    assert_eq!(Routine::equipment([(&exercise, low), (&exercise, high)]).len(), 1);
}

fn contradictions(exercise: &Exercise, rung: RungNumber) -> Vec<String> {
    let help = help(exercise, rung);
    let mut wrong = Vec::new();
    for (said, contrary) in CONTRARY.iter().filter(|(said, _)| says(&help, said)) {
        for line in lines(exercise, rung) {
            // A point to watch may say that something is not done.
            let found =
                contrary.iter().find(|words| says(&line, words) && !line.contains("in reach"));
            if let Some(words) = found {
                wrong.push(format!(
                    "{} on \"{help}\" ({said}): \"{words}\" in \"{line}\"",
                    exercise.id.as_str()
                ));
            }
        }
    }
    wrong
}

/// Everything that holds for a rung, in small letters: things, steps, points to watch, and phases.
fn lines(exercise: &Exercise, rung: RungNumber) -> Vec<String> {
    let dose = exercise.dose.with(&exercise.ladder.rung(rung).dose);
    let phases = dose.tempo.phases().iter().filter_map(|phase| phase.how.clone());
    let words = [exercise.equipment_on(rung), exercise.steps_on(rung), exercise.watch_for_on(rung)];
    let words = words.into_iter().flatten().cloned().chain(phases);
    words.map(|line| line.as_str().to_lowercase()).collect()
}

fn help(exercise: &Exercise, rung: RungNumber) -> String {
    exercise.ladder.rung(rung).help.as_str().to_lowercase()
}

/// Whether a text says some words, as whole words.
fn says(text: &str, words: &str) -> bool {
    let is_letter = |letter: Option<char>| letter.is_some_and(char::is_alphabetic);
    text.match_indices(words).any(|(at, _)| {
        !is_letter(text[..at].chars().next_back())
            && !is_letter(text[at + words.len()..].chars().next())
    })
}

/// Every rung of every exercise that ships.
fn rungs_that_ship() -> Vec<(Exercise, RungNumber)> {
    let entries = library().entries().map(|entry| entry.exercise.clone()).collect::<Vec<_>>();
    let shipped = ["demo", "heel-drop", "knee-days-5-12"].map(routine);
    let shipped = shipped.iter().flat_map(|routine| routine.exercises().to_vec());
    let all = entries.into_iter().chain(shipped);
    all.flat_map(|exercise| {
        let top = exercise.ladder.top().get();
        (1..=top).map(move |rung| (exercise.clone(), RungNumber::nearest(rung)))
    })
    .collect()
}

fn library() -> Library {
    Library::parse(&text("public/library.json")).unwrap()
}

fn routine(name: &str) -> Routine {
    match file::parse(&text(&format!("public/routines/{name}.json"))) {
        Ok(File::Routine(file)) => file.routine,
        other => panic!("{name}: {other:?}"),
    }
}

fn text(path: &str) -> String {
    let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    fs::read_to_string(path).unwrap()
}
