//! The exercises that ship with the app, held to their sources, to plain words and to caution.

#[path = "support/reading.rs"]
mod reading;

use std::collections::BTreeSet;
use std::fs;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

use carryover::domain::plan::dose::{Action, Dose, Sides};
use carryover::domain::plan::ladder::RungNumber;
use carryover::domain::plan::library::{Entry, Library, Region, Revision, Thing};
use carryover::domain::plan::routine::Exercise;
use carryover::domain::words::{Id, Words};
use reading::{counted, grade, lines_of, parts_of, reading_grade};
use serde_json::{Value, json};

const NO_SOURCE: &str = "Common practice, no source";

#[test]
fn every_part_of_the_body_has_exercises_to_choose_from() {
    let library = library();
    assert!(110 <= library.entries().count());
    for region in Region::ALL {
        let least = match region {
            Region::FootAndAnkle
            | Region::Knee
            | Region::Hip
            | Region::Trunk
            | Region::Shoulder => 6,
            Region::ElbowAndWrist | Region::Neck => 5,
        };
        let found = library.in_region(region).count();
        assert!(least <= found, "{region:?}: {found}");
    }
}

#[test]
fn every_entry_is_whole() {
    for entry in library().entries() {
        let Entry { needs, exercise, .. } = entry;
        let id = exercise.id.as_str();
        assert!(exercise.purpose.is_some(), "{id}");
        assert!(exercise.source.is_some(), "{id}");
        assert!(exercise.limits.is_none(), "{id}: limits are the practitioner's");
        let permitted = (1..=exercise.ladder.ceiling().get()).map(RungNumber::nearest);
        let fetched: BTreeSet<&Words> =
            permitted.flat_map(|rung| exercise.equipment_on(rung)).collect();
        assert!(!needs.is_empty() && needs.len() <= fetched.len(), "{id}");
        for rung in (1..=exercise.ladder.top().get()).map(RungNumber::nearest) {
            assert!((2..=5).contains(&exercise.steps_on(rung).len()), "{id}: steps");
            assert!((1..=3).contains(&exercise.watch_for_on(rung).len()), "{id}: watch for");
        }
        assert!((1..=3).contains(&exercise.cautions.len()), "{id}: cautions");
        assert!(exercise.dose.tempo.phases().iter().all(|phase| phase.how.is_some()), "{id}");
    }
}

/// Which side is sore is the practitioner's to say.
#[test]
fn no_entry_chooses_a_side() {
    for entry in library().entries() {
        let sides = entry.exercise.dose.sides;
        assert!(matches!(sides, Sides::Together | Sides::InTurn), "{}", entry.exercise.id.as_str());
    }
}

#[test]
fn every_ladder_starts_low_and_takes_one_kind_of_help_away_at_a_time() {
    for Entry { exercise, .. } in library().entries() {
        let (id, ladder) = (exercise.id.as_str(), &exercise.ladder);
        let rungs = ladder.rungs();
        assert!(3 <= rungs.len(), "{id}");
        assert!(ladder.start() <= ladder.ceiling() && ladder.start().get() <= 2, "{id}");
        assert!(ladder.ceiling() < ladder.top(), "{id}: the ceiling leaves something for later");
        let helps: BTreeSet<&Words> = rungs.iter().map(|rung| &rung.help).collect();
        assert_eq!(helps.len(), rungs.len(), "{id}: two rungs say the same");

        let doses: Vec<Dose> = rungs.iter().map(|rung| exercise.dose.with(&rung.dose)).collect();
        let start = usize::from(ladder.start().get()) - 1;
        assert_eq!(doses[start], exercise.dose, "{id}: the start has the dose");
        for pair in doses.windows(2) {
            assert!(parts_changed(&pair[0], &pair[1]) <= 1, "{id}: two changes at once");
        }
    }
}

type Range = RangeInclusive<u16>;
/// Exercise, source, sets, reps, seconds of its phases, seconds of rest, times a day, days a week.
/// What the source does not say is `None`, or has no phases.
type Row = (
    &'static str,
    &'static str,
    Range,
    Range,
    &'static [(Action, Range)],
    Option<Range>,
    Option<u16>,
    Option<usize>,
);

const TRIALS: &str = "Trials 2016 (s13063-016-1697-2), table 1";
const HEEL_DROPS: &str =
    "Heel drops after Alfredson, in a table of the Br J Sports Med (markup 85031)";
const SPORTS_HEALTH: &str = "Sports Health 2010;2:410–416 (PMC3445060), table 1";
const MENISCUS: &str = "Knee programme (PMC7534706), table T1b";
const TAYSIDE: &str = "NHS Tayside, six steps to stay steady (rightdecisions.scot.nhs.uk)";
const HOME_KNEE: &str = "Home knee programme (PMC7783996), table 2";

/// Each row as read in its source; the 15 reps of the heel drops from memory.
#[rustfmt::skip]
const PUBLISHED: [Row; 19] = {
    use Action::{Hold, Lift, Lower};
    const HEEL_RISE: &[(Action, Range)] = &[(Lift, 3..=3), (Lower, 3..=3)];
    [
        // Exercise,            source,        sets,   reps,     phases in s,         rest in s,       a day,   days a week
        ("standing-heel-raise", TRIALS,        3..=3,  10..=10,  HEEL_RISE,           None,            Some(3), None),
        ("one-leg-balance",     TRIALS,        3..=3,  1..=1,    &[(Hold, 30..=30)],  None,            None,    None),
        ("heel-drop-straight",  HEEL_DROPS,    3..=3,  15..=15,  &[],                 None,            Some(2), Some(7)),
        ("heel-drop-bent",      HEEL_DROPS,    3..=3,  15..=15,  &[],                 None,            Some(2), Some(7)),
        ("tandem-stand",        TAYSIDE,       1..=1,  1..=1,    &[(Hold, 10..=10)],  None,            None,    Some(3)),
        ("toe-lift",            TAYSIDE,       1..=1,  1..=10,   &[(Lift, 3..=3), (Lower, 5..=5)], None, None,  Some(3)),
        ("thigh-squeeze",       SPORTS_HEALTH, 4..=4,  25..=25,  &[],                 None,            None,    None),
        ("straight-leg-raise",  SPORTS_HEALTH, 3..=3,  10..=10,  &[],                 None,            None,    None),
        ("wall-slide-hold",     SPORTS_HEALTH, 1..=1,  15..=15,  &[(Hold, 10..=10)],  None,            None,    None),
        ("heel-dig",            MENISCUS,      1..=1,  10..=10,  &[(Hold, 3..=3)],    None,            Some(2), None),
        ("thigh-back-stretch",  MENISCUS,      3..=3,  1..=1,    &[(Hold, 30..=30)],  None,            None,    None),
        ("knee-push-hold",      "BMC Musculoskelet Disord 2019 (s12891-019-2993-2), table 1",
                                              3..=3,  1..=1,    &[(Hold, 45..=45)],  None,            None,    None),
        ("long-wall-sit",       "J Orthop Surg Res 2019 (s13018-019-1477-2), table 1",
                                              5..=5,  1..=1,    &[(Hold, 30..=40)],  Some(180..=180), None,    None),
        ("heel-up-squat",       "Purdam 2004 (Br J Sports Med 38:395–397)",
                                              3..=3,  15..=15,  &[],                 None,            Some(2), None),
        ("sit-to-stand",        HOME_KNEE,     2..=3,  8..=15,   &[],                 Some(120..=180), None,    Some(3)),
        ("step-up",             HOME_KNEE,     2..=3,  8..=15,   &[],                 Some(120..=180), None,    Some(3)),
        ("bridge",              HOME_KNEE,     2..=3,  8..=15,   &[],                 Some(120..=180), None,    Some(3)),
        // A hold of 30 to 60 s in all: three of 10 to 20 s.
        ("plank",               HOME_KNEE,     3..=3,  1..=1,    &[(Hold, 10..=20)],  Some(120..=180), None,    Some(3)),
        ("side-plank",          HOME_KNEE,     3..=3,  1..=1,    &[(Hold, 10..=20)],  Some(120..=180), None,    Some(3)),
    ]
};

#[test]
fn a_dose_that_names_a_source_is_the_dose_of_that_source() {
    let library = library();
    for (id, named, sets, reps, phases, rest_secs, times_a_day, days) in PUBLISHED {
        let dose = &newest(&library, id).exercise.dose;
        assert!(source(&newest(&library, id).exercise).starts_with(named), "{id}");
        assert!(sets.contains(&dose.sets.get()), "{id}: sets");
        assert!(reps.contains(&dose.reps.get()), "{id}: reps");
        for (action, secs) in phases {
            let held = dose.tempo.phases().iter().filter(|phase| phase.action == *action);
            let held: Vec<u16> = held.map(|phase| phase.secs.get()).collect();
            assert!(matches!(held[..], [one] if secs.contains(&one)), "{id}: {action:?} {held:?}");
        }
        if let Some(rest) = rest_secs {
            assert!(rest.contains(&dose.rest_secs.get()), "{id}: rest");
        }
        if let Some(times) = times_a_day {
            assert_eq!(dose.times_a_day.get(), times, "{id}");
        }
        if let Some(days) = days {
            assert_eq!(days_a_week(dose), days, "{id}");
        }
    }
}

#[test]
fn every_other_dose_says_that_it_has_no_source() {
    for Entry { exercise, .. } in library().entries() {
        let is_published = PUBLISHED.iter().any(|(id, ..)| *id == exercise.id.as_str());
        let text = source(exercise);
        assert_eq!(text != NO_SOURCE, is_published, "{}: {text}", exercise.id.as_str());
    }
}

#[test]
fn what_stands_in_is_another_thing_and_no_thing_is_needed_twice() {
    let mut used = BTreeSet::new();
    for Entry { needs, exercise, .. } in library().entries() {
        let mut seen = BTreeSet::new();
        for need in needs {
            for thing in need.stand_ins.iter().chain([&need.thing]) {
                assert!(seen.insert(*thing), "{}: {thing:?} twice", exercise.id.as_str());
            }
        }
        used.extend(seen);
    }
    assert_eq!(used, BTreeSet::from(Thing::ALL), "every thing is of use to some entry");
}

#[test]
fn what_the_steps_and_the_rungs_up_to_the_ceiling_name_is_a_need() {
    #[rustfmt::skip]
    let names = [
        ("loop band", Thing::LoopBand), ("long band", Thing::LongBand), ("banister", Thing::Banister),
        ("worktop", Thing::Worktop), ("cushion", Thing::Cushion), ("towel", Thing::Towel),
        ("rucksack", Thing::Rucksack), ("bottle", Thing::Bottle), ("stick", Thing::Broomstick),
        ("hammer", Thing::Hammer), ("the scale", Thing::BathroomScale), ("the ball", Thing::Ball),
        ("the book", Thing::Book), ("bottom step", Thing::Stair), ("the chair", Thing::Chair),
        ("the table", Thing::Table), ("door frame", Thing::DoorFrame), ("shut door", Thing::DoorAnchor),
    ];
    for Entry { needs, exercise, .. } in library().entries() {
        let ceiling = usize::from(exercise.ladder.ceiling().get());
        let rungs = exercise.ladder.rungs()[..ceiling].iter().map(|rung| &rung.help);
        let steps = (1..=exercise.ladder.ceiling().get())
            .flat_map(|rung| exercise.steps_on(RungNumber::nearest(rung)));
        for line in steps.chain(rungs) {
            for (name, thing) in names {
                if line.as_str().to_lowercase().contains(name) {
                    let id = exercise.id.as_str();
                    assert!(
                        needs.iter().any(|need| need.thing == thing),
                        "{id}: {name} in \"{line}\""
                    );
                }
            }
        }
    }
}

/// What may snap, swing open or be fallen from has its caution, on every rung.
#[test]
fn bands_doors_and_steps_come_with_their_cautions() {
    for Entry { needs, exercise, .. } in library().entries() {
        let warns = |word: &str| {
            exercise.cautions.iter().any(|line| line.as_str().to_lowercase().contains(word))
        };
        let id = exercise.id.as_str();
        let names_a_band = lines_of(exercise)
            .iter()
            .any(|line| line.as_str().split(|letter: char| !letter.is_alphabetic()).any(is_band));
        if names_a_band {
            assert!(warns("nicks"), "{id}: a band is looked at first");
        }
        let takes = |thing: Thing| needs.iter().any(|need| need.thing == thing);
        if takes(Thing::DoorAnchor) {
            assert!(warns("keeps the door shut") && warns("tug"), "{id}: the door and the anchor");
        }
        if takes(Thing::Stair) {
            assert!(warns("bottom step"), "{id}: the height of the step");
        }
        if takes(Thing::Banister) {
            assert!(warns("banister"), "{id}: what one holds on to");
        }
    }
}

#[test]
fn what_a_client_reads_needs_no_more_than_six_years_of_school() {
    for Entry { exercise, .. } in library().entries() {
        let lines: Vec<&str> = lines_of(exercise).into_iter().map(Words::as_str).collect();
        let grade = reading_grade(&lines);
        assert!(grade <= 6.0, "{}: grade {grade:.1}", exercise.id.as_str());
        for line in lines {
            let letters = line.chars().count();
            assert!(letters <= 90, "{letters} letters in \"{line}\"");
        }
    }
}

/// The counts by hand, syllables between bars.
#[test]
fn the_reading_grade_is_that_of_texts_counted_by_hand() {
    // The | cat | sat | on | the | mat. One sentence, 6 words, 6 syllables.
    assert_eq!(counted("The cat sat on the mat."), [1, 6, 6]);
    // Bend | your | knee | slow | ly. Hold | on | to | the | ban | is | ter.
    // Two sentences, 4 + 5 words, 5 + 7 syllables.
    assert_eq!(counted("Bend your knee slowly. Hold on to the banister."), [2, 9, 12]);

    let agree = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-9, "{found}");
    // 0.39 × 6 + 11.8 × 1 − 15.59
    agree(reading_grade(&["The cat sat on the mat."]), -1.45);
    // 0.39 × 4.5 + 11.8 × 12 / 9 − 15.59, as one line or as two.
    let by_hand = 1.755 + 141.6 / 9.0 - 15.59;
    agree(reading_grade(&["Bend your knee slowly. Hold on to the banister."]), by_hand);
    agree(reading_grade(&["Bend your knee slowly", "Hold on to the banister"]), by_hand);
    // The worked example in the manual of the npm package flesch-kincaid: 1 sentence, 13 words, 26
    // syllables.
    agree(grade([1, 13, 26]), 13.08);
}

/// Things to fetch are listed after a colon, help stands after a comma.
#[test]
fn what_is_shown_within_a_sentence_is_written_as_a_part_of_one() {
    for Entry { exercise, .. } in library().entries() {
        let of_rungs =
            exercise.ladder.rungs().iter().filter_map(|rung| rung.words.equipment.as_ref());
        for thing in exercise.equipment.iter().chain(of_rungs.flatten()) {
            assert!(!thing.as_str().contains(','), "{thing} in a list");
        }
        for part in parts_of(exercise).into_iter().chain(&exercise.equipment) {
            assert!(part.as_str().starts_with(char::is_lowercase), "{part}");
            assert!(!part.as_str().contains(['.', ':', ';', '?', '!']), "{part}");
        }
    }
}

#[test]
fn a_band_is_told_by_its_shape_and_strength_and_never_by_a_maker_or_a_colour() {
    let before = ["a", "band", "light", "long", "loop", "no", "the", "thicker"];
    let colours = [
        "black", "blue", "bronze", "brown", "gold", "gray", "green", "grey", "orange", "pink",
        "purple", "red", "silver", "tan", "violet", "white", "yellow",
    ];
    let text = text().to_lowercase();
    for banned in ["http", "www.", ".com", "™", "®", "©"] {
        assert!(!text.contains(banned), "{banned}");
    }
    let words: Vec<&str> = text
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    assert_eq!(words.iter().find(|word| colours.contains(word)), None);

    for Entry { exercise, .. } in library().entries() {
        for line in lines_of(exercise) {
            let line = line.as_str().to_lowercase();
            let words: Vec<&str> = line.split_whitespace().collect();
            for pair in words.windows(2).filter(|pair| is_band(pair[1].trim_matches(['.', ',']))) {
                assert!(before.contains(&pair[0]), "\"{} {}\"", pair[0], pair[1]);
            }
        }
    }
}

/// A field that serde passes over, because its name has a slip, would be missing on the way back.
#[test]
fn every_field_of_the_file_is_read_and_written_back() {
    let file: Value = serde_json::from_str(&text()).expect("JSON");
    let written = json!({ "format": "carryover-library", "version": 1, "entries": entries() });
    assert_eq!(written, file);
}

/// A hand-over link names an id and a revision, so a line of this list is never changed or removed.
#[test]
fn every_released_revision_is_still_there_and_every_entry_is_on_the_list() {
    let library = library();
    let list = fs::read_to_string(in_repository("tests/fixtures/library-entries.txt"))
        .expect("the list of entries");
    for line in list.lines() {
        let (id, revision) = line.split_once(' ').expect("an id and a revision");
        let id = Id::new(id).expect("an id");
        let revision = Revision::new(revision.parse().expect("a number")).expect("a revision");
        assert!(library.entry(&id, revision).is_some(), "{line}");
    }
    let listed: BTreeSet<&str> = list.lines().collect();
    for Entry { exercise, revision, .. } in entries() {
        let line = format!("{} {}", exercise.id.as_str(), revision.get());
        assert!(listed.contains(line.as_str()), "{line}");
    }
}

#[test]
fn the_page_about_the_library_names_every_source() {
    let page = fs::read_to_string(in_repository("docs/exercise-library.md")).expect("the page");
    for (id, ..) in PUBLISHED {
        assert!(page.contains(&format!("`{id}`")), "{id}");
    }
}

fn is_band(word: &str) -> bool {
    ["band", "bands"].contains(&word)
}

fn parts_changed(below: &Dose, above: &Dose) -> usize {
    let changed = [
        below.sets != above.sets,
        below.reps != above.reps,
        below.tempo != above.tempo,
        below.rest_secs != above.rest_secs,
        below.load != above.load,
    ];
    changed.into_iter().filter(|&part| part).count()
}

fn days_a_week(dose: &Dose) -> usize {
    match dose.days.named().len() {
        0 => 7,
        days => days,
    }
}

fn source(exercise: &Exercise) -> &str {
    exercise.source.as_ref().expect("a source").as_str()
}

fn newest<'a>(library: &'a Library, id: &str) -> &'a Entry {
    library.entries().find(|entry| entry.exercise.id.as_str() == id).expect(id)
}

fn library() -> Library {
    Library::parse(&text()).unwrap_or_else(|error| panic!("{error:?}"))
}

/// Every revision in the file.
fn entries() -> Vec<Entry> {
    let mut file: Value = serde_json::from_str(&text()).expect("JSON");
    serde_json::from_value(file["entries"].take()).expect("entries")
}

fn text() -> String {
    fs::read_to_string(in_repository("public/library.json")).expect("the library")
}

fn in_repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
