//! The hand-over by code: a routine on the practitioner's screen, read by the client's phone.
//!
//! Codes are read back by `rqrr`, a decoder of its own, from the picture that a narrow phone shows.
//! Deflate (RFC 1951) is `miniz_oxide`'s, and checksums are compared with `crc32fast`'s.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

#[path = "support/links.rs"]
mod links;

#[path = "support/video.rs"]
mod video;

use carryover::domain::plan::limits::{Limits, Preset};
use carryover::domain::plan::routine::{Exercise, Routine};
use carryover::exchange::frames::{self, Collector, Taken};
use carryover::exchange::link::{
    self, LARGEST, LONGEST, LibraryEntries, LinkError, Packed, Packing,
};
use carryover::exchange::qr::{Code, TooMuch};
use carryover::ui::text::refusals::InWords;
use links::{
    SITE, condense, deflate, demo, fragment, fragment_of_shipped, library, library_text, origin,
    read, set_for_client, shipped, typical, unpack,
};
use proptest::prelude::*;
use proptest::sample::{Index, select, subsequence};
use serde_json::{Value, json};
use support::scripts::{a_quarter, any_limits, climbs};

/// The width of a narrow phone's screen, less the margins of a screen of this app, in CSS pixels.
const WIDTH_SHOWN: usize = 360 - 2 * 16;

/// Reads a code from the grey picture that a narrow phone shows, each module a whole number of CSS pixels.
fn scanned(code: &Code) -> String {
    let module = WIDTH_SHOWN / code.side();
    let side = code.side() * module;
    let grey = |x, y| if code.is_dark(x / module, y / module) { 20 } else { 240 };
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, grey);
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "version {}", code.version());
    let (meta, text) = grids[0].decode().unwrap();
    assert_eq!(meta.version.0, usize::from(code.version()));
    text
}

// Random routines.

/// What a practitioner changes in an exercise, as a change of its JSON.
fn changes() -> impl Strategy<Value = Value> {
    let help = select(vec!["both hands on the banister", "one hand", "“light” touch, ½ weight"]);
    let some_limits = prop::option::weighted(0.1, any_limits());
    let change = (
        (1_i64..=5, 1_i64..=15, 0_i64..=120, prop::option::of(1_i64..=200_000)),
        select(vec!["together", "left", "right", "in_turn", "one_after_the_other"]),
        subsequence(vec!["mon", "tue", "wed", "thu", "fri", "sat", "sun"], 0..=7),
        prop::option::weighted(0.3, (climbs(), help)),
        prop::option::weighted(0.3, "[ -~\u{a0}-\u{2fff}]{0,40}[a-z]"),
        some_limits,
    );
    change.prop_map(|((sets, reps, rest, grams), sides, days, ladder, line, limits)| {
        let mut change = json!({"dose": {"sets": sets, "reps": reps, "rest_secs": rest, "sides": sides, "days": days}});
        change["dose"]["load"] = grams.map_or(Value::Null, |grams| {
            #[expect(clippy::cast_precision_loss, reason = "it is small")]
            let amount = grams as f64 / 1000.0;
            json!({"weight": {"amount": amount, "unit": "kg"}})
        });
        if let Some(((rungs, start, ceiling, sets), help)) = ladder {
            let rungs = (0..rungs).map(|_| json!({"help": help, "dose": {"sets": sets}}));
            change["ladder"] = json!({"rungs": rungs.collect::<Vec<_>>(), "start": start, "ceiling": ceiling});
        }
        if let Some(line) = line {
            change["cautions"] = json!([line]);
            change["source"] = Value::Null;
        }
        if let Some(limits) = limits {
            change["limits"] = json!(limits);
        }
        change
    })
}

/// Exercises of the library and others, each changed in its own way.
fn exercises() -> impl Strategy<Value = Vec<Value>> {
    let known: Vec<Value> = demo().exercises().iter().map(|exercise| json!(exercise)).collect();
    let one = (select(known), changes(), prop::bool::weighted(0.8)).prop_map(
        |(mut exercise, change, is_known)| {
            merge(&change, &mut exercise);
            if !is_known {
                exercise["id"] = json!("own");
            }
            exercise
        },
    );
    prop::collection::vec(one, 1..=8).prop_map(|mut exercises| {
        let mut seen = Vec::new();
        for (number, exercise) in exercises.iter_mut().enumerate() {
            if seen.contains(&exercise["id"]) {
                exercise["id"] = json!(format!("own-{number}"));
            }
            seen.push(exercise["id"].clone());
        }
        exercises
    })
}

/// Applies a change field by field, where the field may not be there yet.
fn merge(change: &Value, to: &mut Value) {
    match (change, to) {
        (Value::Object(change), Value::Object(to)) => {
            for (key, change) in change {
                // One kind of load takes the place of another.
                if change.is_null() || key == "load" {
                    to.remove(key);
                }
                if !change.is_null() {
                    merge(change, to.entry(key).or_insert(Value::Null));
                }
            }
        }
        (change, to) => *to = change.clone(),
    }
}

fn routines() -> impl Strategy<Value = Routine> {
    let label = prop::option::of("[a-zA-Zäöüß ]{0,30}[a-z]");
    (exercises(), any_limits(), label.clone(), label, 1_i64..=9999, 0_i64..=4000).prop_map(
        |(exercises, limits, client, practitioner, version, day)| {
            let first = chrono::NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
            serde_json::from_value(json!({
                "id": "stairs", "version": version, "title": "Stairs and chair",
                "client": client, "practitioner": practitioner,
                "issued": first + chrono::TimeDelta::days(day),
                "limits": limits, "exercises": exercises,
            }))
            .unwrap()
        },
    )
}

proptest! {
    #![proptest_config(a_quarter())]

    #[test]
    fn a_routine_comes_out_of_a_link_exactly_as_it_went_in(routine in routines()) {
        let file = read(&fragment(&routine)).unwrap();
        prop_assert_eq!(&file.routine, &routine);
        prop_assert_eq!(json!(file.routine).to_string(), json!(routine).to_string());
        // The text that the log will keep says the same.
        let filed: Routine = serde_json::from_str(file.as_filed.get()).unwrap();
        prop_assert_eq!(filed, routine);
    }

    #[test]
    fn a_link_is_read_back_from_the_screen(routine in routines()) {
        let fragment = fragment(&routine);
        let link = link::address(SITE, &fragment);
        let codes = frames::codes(&link, &fragment).unwrap();
        let read_back = if let [code] = &codes[..] {
            let read = scanned(code);
            prop_assert_eq!(&read, &link);
            link::fragment_of(&read).to_owned()
        } else {
            collect(codes.iter().rev().map(scanned))
        };
        prop_assert_eq!(read_back, fragment);
    }

    #[test]
    fn any_text_is_the_same_routine_or_a_plain_error(text in ".{0,60}", letters in "[RPC][A-Z2-7]{0,80}") {
        prop_assert!(read(&text).is_err());
        prop_assert!(read(&letters).is_err());
    }
}

// Links.

/// RFC 4648, section 10: test vectors for base 32, less their padding.
#[test]
fn a_fragment_is_base_32_after_one_letter() {
    let vectors = [
        ("", ""),
        ("f", "MY"),
        ("fo", "MZXQ"),
        ("foo", "MZXW6"),
        ("foob", "MZXW6YQ"),
        ("fooba", "MZXW6YTB"),
        ("foobar", "MZXW6YTBOI"),
    ];
    for (text, base32) in vectors {
        let packed = Packed { packing: Packing::Plain, bytes: text.as_bytes().to_vec() };
        assert_eq!(link::print(&packed), format!("P{base32}"));
        assert_eq!(link::parse(&format!("P{base32}")), Ok(packed));
    }
}

#[test]
fn a_link_that_could_not_be_compressed_is_read_as_well() {
    let bytes = condense(&demo()).into_bytes();
    let fragment = link::print(&Packed { packing: Packing::Plain, bytes });
    assert_eq!(read(&fragment).unwrap().routine, demo());
}

#[test]
fn four_exercises_of_the_library_fit_one_easy_code_and_eight_a_larger_one() {
    for (exercises, most) in [(4, 21), (8, Code::LARGEST_VERSION)] {
        let routine = typical(exercises);
        let fragment = fragment_of_shipped(&routine);
        let link = link::address(SITE, &fragment);
        let code = Code::of(&link).unwrap();
        assert!(code.version() <= most, "version {} for {exercises}", code.version());
        let scanned = scanned(&code);
        let text = unpack(link::fragment_of(&scanned)).unwrap();
        let file = link::restore(&text, |id, revision| shipped().exercise(id, revision)).unwrap();
        assert_eq!(file.routine, routine);
    }
}

/// Ids of the entries that ship, in routines of one size in which each entry stands once at least.
fn routines_of_shipped(exercises: usize) -> Vec<Vec<String>> {
    let library: Value = serde_json::from_str(include_str!("../public/library.json")).unwrap();
    let entries = library["entries"].as_array().unwrap();
    let id = |entry: &Value| entry["exercise"]["id"].as_str().unwrap().to_owned();
    let mut ids: Vec<String> = entries.iter().map(id).collect();
    ids.dedup();
    let mut routines: Vec<Vec<String>> =
        ids.chunks_exact(exercises).map(<[String]>::to_vec).collect();
    if !ids.len().is_multiple_of(exercises) {
        routines.push(ids[ids.len() - exercises..].to_vec());
    }
    routines
}

#[test]
fn every_shipped_exercise_comes_through_one_code_and_through_smaller_ones() {
    for exercises in 1..=8 {
        for ids in routines_of_shipped(exercises) {
            let routine = set_for_client(&ids);
            let fragment = fragment_of_shipped(&routine);
            let link = link::address(SITE, &fragment);
            let one = Code::of(&link).unwrap();
            let smaller = frames::smaller_codes(&fragment).unwrap();
            let largest = smaller.iter().map(Code::version).max().unwrap();
            assert!(largest <= 8 && largest < one.version(), "version {largest} of {ids:?}");
            let through_one = scanned(&one);
            let through_smaller = collect(smaller.iter().map(scanned));
            for read in [link::fragment_of(&through_one), &through_smaller] {
                let text = unpack(read).unwrap();
                let file = link::restore(&text, |id, revision| shipped().exercise(id, revision));
                assert_eq!(file.unwrap().routine, routine, "{ids:?}");
            }
        }
    }
}

/// A draft begun before an entry was bettered says what it said, and travels as shortly as before.
#[test]
fn an_exercise_is_told_from_the_revision_that_it_differs_from_least() {
    let library = shipped();
    let id = "thigh-squeeze";
    for revision in [1, 2] {
        let mut exercise = library.exercise(id, revision).unwrap();
        exercise["dose"]["sets"] = json!(2);
        let exercise: Exercise = serde_json::from_value(exercise).unwrap();
        let origin = library.nearest(id, &exercise).unwrap();
        assert_eq!((origin.id.as_str(), origin.revision), (id, revision));
    }
    let exercise: Exercise = serde_json::from_value(library.exercise("clam", 2).unwrap()).unwrap();
    assert_eq!(library.nearest("none", &exercise), None);
}

#[test]
fn an_exercise_without_an_entry_travels_whole() {
    let library = library();
    let text =
        link::condense(&demo(), |_| None, |id, revision| library.exercise(id, revision)).unwrap();
    assert_eq!(link::restore(&text, |_, _| None).unwrap().routine, demo());
    let text = link::condense(&demo(), origin, |_, _| None).unwrap();
    assert_eq!(link::restore(&text, |_, _| None).unwrap().routine, demo());
}

#[test]
fn an_older_revision_of_an_entry_is_read_by_its_number() {
    let library = library();
    let older =
        |exercise: &Exercise| origin(exercise).map(|origin| link::Origin { revision: 1, ..origin });
    let text =
        link::condense(&demo(), older, |id, revision| library.exercise(id, revision)).unwrap();
    let condensed: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        condensed["exercises"][0],
        json!({"from": "wall-calf-hold@1", "change": {"dose": {"sets": 3}}})
    );
    assert_eq!(read(&deflate(&text)).unwrap().routine, demo());
}

/// RFC 8785, section 3.2.2.3: a number has one way to be written.
#[test]
fn two_is_two_however_the_library_writes_it() {
    let text = condense(&demo());
    assert!(library_text().contains(r#""amount":4.0"#));
    let other = LibraryEntries::parse(&library_text().replace(r#""amount":4.0"#, r#""amount":4"#));
    let restored = link::restore(&text, |id, revision| other.exercise(id, revision)).unwrap();
    assert_eq!(restored.routine, demo());
    let from_other = link::condense(&demo(), origin, |id, revision| other.exercise(id, revision));
    assert_eq!(from_other.unwrap(), text);
}

#[test]
fn an_entry_that_is_missing_or_says_something_else_gives_no_routine() {
    let text = condense(&demo());
    assert_eq!(
        link::restore(&text, |_, _| None).unwrap_err(),
        LinkError::UnknownEntry { origin: "wall-calf-hold@2".to_owned() }
    );
    let other = LibraryEntries::parse(
        &library_text().replace("Stand one step away", "Stand two steps away"),
    );
    assert_eq!(
        link::restore(&text, |id, revision| other.exercise(id, revision)).unwrap_err(),
        LinkError::NotTheSame
    );
}

#[test]
fn every_cut_of_a_link_is_a_plain_error() {
    let fragment = fragment(&tuned(4));
    for end in 0..fragment.len() {
        let error = read(&fragment[..end]).unwrap_err();
        assert!(
            matches!(error, LinkError::Foreign | LinkError::Damaged),
            "cut at {end}: {error:?}"
        );
    }
}

#[test]
fn every_changed_character_is_a_plain_error_or_changes_nothing() {
    const ALPHABET: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
    let routine = tuned(4);
    let fragment = fragment(&routine).into_bytes();
    for place in 0..fragment.len() {
        let at = ALPHABET.iter().position(|letter| *letter == fragment[place]).unwrap();
        for flipped in [1, 2, 4, 8, 16].map(|bit| ALPHABET[at ^ bit]).into_iter().chain(*b"a0 #") {
            let mut changed = fragment.clone();
            changed[place] = flipped;
            match read(str::from_utf8(&changed).unwrap()) {
                Ok(file) => assert_eq!(file.routine, routine, "at {place}"),
                Err(error) => assert!(error.in_words().len() < 120, "{error:?}"),
            }
        }
    }
}

#[test]
fn two_letters_that_changed_places_are_noticed() {
    let fragment = fragment(&tuned(4)).into_bytes();
    for place in 1..fragment.len() - 1 {
        let mut changed = fragment.clone();
        changed.swap(place, place + 1);
        if let Ok(file) = read(str::from_utf8(&changed).unwrap()) {
            assert_eq!(file.routine, tuned(4), "at {place}");
        }
    }
}

#[test]
fn a_foreign_link_says_so() {
    let foreign = [
        "",
        "section-2",
        "https://carryover.example/take",
        "{}",
        &deflate("{}"),
        &deflate(r#"{"format":"carryover-log","version":1,"events":[]}"#),
        &deflate(r#"{"v":0}"#),
        &deflate("[1,2]"),
        &deflate("7"),
    ];
    for text in foreign {
        assert_eq!(read(text).unwrap_err(), LinkError::Foreign, "{text}");
    }
    for text in ["", "{\"v\":", "no JSON", "\u{0}", r#"{"v":1,"routine":[]}"#, r#"{"v":1}"#] {
        assert_eq!(read(&deflate(text)).unwrap_err(), LinkError::Damaged, "{text}");
    }
}

#[test]
fn a_newer_link_says_so_before_anything_else() {
    let newer = read(&deflate(r#"{"v":3,"routine":"as nobody knows yet"}"#)).unwrap_err();
    assert_eq!(newer, LinkError::TooNew { found: 3 });
}

#[test]
fn what_unpacks_to_too_much_is_refused_before_it_does() {
    let bomb = deflate(&"a".repeat(20_000_000));
    assert!(bomb.len() < LONGEST, "{}", bomb.len());
    assert_eq!(read(&bomb).unwrap_err(), LinkError::TooLarge);
    assert_eq!(
        link::restore(&" ".repeat(LARGEST + 1), |_, _| None).unwrap_err(),
        LinkError::TooLarge
    );
    assert_eq!(read(&"R".repeat(LONGEST + 1)).unwrap_err(), LinkError::TooLong);
    // A short text that names the same long entry ten thousand times.
    let named = vec![json!({"from": "wall-calf-hold@2"}); 10_000];
    let many = json!({"v": 1, "check": "", "routine": {}, "exercises": named}).to_string();
    assert!(many.len() < 2 * LARGEST);
    assert_eq!(read(&deflate(&many[..])).unwrap_err(), LinkError::TooLarge);
    let deep = format!("{{\"v\":1,\"routine\":{}", "[".repeat(LARGEST / 2));
    assert_eq!(read(&deflate(&deep)).unwrap_err(), LinkError::Damaged);
}

#[test]
fn a_routine_that_the_app_would_not_take_is_refused_with_the_reason() {
    let mut wrong: Value = serde_json::from_str(&condense(&demo())).unwrap();
    wrong["exercises"][0]["change"] = json!({"dose": {"sets": -3}});
    wrong["check"] = json!(checksum_of_wrong(&wrong));
    assert_eq!(
        read(&deflate(&wrong.to_string())).unwrap_err().in_words(),
        "-3 is not a number of sets this app takes; it goes from 1 to 20"
    );
}

/// The checksum that a forger would put in: `crc32fast`'s, over the demo with -3 sets.
fn checksum_of_wrong(condensed: &Value) -> String {
    let whole = json!(demo()).to_string().replace(".0,", ",");
    let mut whole: Value = serde_json::from_str(&whole).unwrap();
    assert_eq!(
        condensed["check"],
        format!("{:08x}", crc32fast::hash(whole.to_string().as_bytes()))
    );
    whole["exercises"][0]["dose"]["sets"] = json!(-3);
    format!("{:08x}", crc32fast::hash(whole.to_string().as_bytes()))
}

#[test]
fn what_most_routines_begin_with_are_the_defaults_of_the_first_preset() {
    let plain: Routine = serde_json::from_value(json!({
        "id": "plain", "version": 1, "title": "Plain", "issued": "2026-06-01",
        "limits": Limits::of(Preset::PainMonitoring), "exercises": [support::heel_drop()],
    }))
    .unwrap();
    let condensed: Value = serde_json::from_str(&condense(&plain)).unwrap();
    assert_eq!(
        condensed["routine"],
        json!({"id": "plain", "title": "Plain", "issued": "2026-06-01"})
    );
}

#[test]
fn what_is_no_library_has_no_entries() {
    for text in ["", "[]", r#"{"entries":[{"revision":1,"exercise":{"id":"A B"}}]}"#] {
        assert_eq!(LibraryEntries::parse(text).exercise("heel", 1), None);
    }
    assert_eq!(library().exercise("wall-calf-hold", 3), None);
    assert_eq!(library().exercise("not an id", 1), None);
}

// Codes.

/// ISO/IEC 18004, table 7: the most characters at level L, by version, in alphanumeric and in byte mode.
/// Read at qrcode.com, "Information capacity and versions of the QR Code".
#[test]
fn a_code_is_the_smallest_that_the_standard_allows() {
    let rows = [(5, 154, 106), (10, 395, 271), (15, 758, 520), (20, 1249, 858), (25, 1853, 1273)];
    for (version, alphanumeric, bytes) in rows {
        for (letter, most) in [("A", alphanumeric), ("a", bytes)] {
            let version_of =
                |letters: usize| Code::of(&letter.repeat(letters)).map(|code| code.version());
            assert_eq!(version_of(most), Ok(version), "{most} of {letter}");
            let next =
                if version == Code::LARGEST_VERSION { Err(TooMuch) } else { Ok(version + 1) };
            assert_eq!(version_of(most + 1), next, "{most} and one more of {letter}");
        }
    }
}

#[test]
fn a_path_draws_the_modules_and_nothing_else() {
    let code = Code::of("https://carryover.example/take#RMZXW6").unwrap();
    let mut drawn = vec![vec![false; code.side()]; code.side()];
    for run in code.path().split_terminator('z') {
        let numbers: Vec<usize> = run
            .split(|letter: char| !letter.is_ascii_digit())
            .filter(|digits| !digits.is_empty())
            .map(|digits| digits.parse().unwrap())
            .collect();
        let [column, row, length, 1, back] = numbers[..] else { panic!("{run}") };
        assert_eq!(length, back);
        drawn[row][column..column + length].fill(true);
    }
    for (row, modules) in drawn.iter().enumerate() {
        for (column, dark) in modules.iter().enumerate() {
            assert_eq!(*dark, code.is_dark(column, row), "{column} {row}");
            let edges = [column, row, code.side() - 1 - column, code.side() - 1 - row];
            // ISO/IEC 18004, 5.3.8: a quiet zone four modules wide.
            assert!(!dark || edges.iter().all(|distance| 4 <= *distance));
        }
    }
}

// Frames.

fn collect(codes: impl IntoIterator<Item = String>) -> String {
    let mut collector = Collector::default();
    let whole = codes.into_iter().find_map(|code| match collector.take(&code) {
        Taken::Whole(text) => Some(text),
        Taken::Seen { .. } | Taken::Foreign | Taken::Damaged => None,
    });
    whole.unwrap()
}

proptest! {
    #[test]
    fn frames_are_read_in_any_order_and_as_often_as_they_come(
        text in "[A-Z2-7é☂]{1,4000}",
        order in prop::collection::vec(any::<Index>(), 0..40),
    ) {
        let frames = frames::split(&text).unwrap();
        let shuffled = order.iter().map(|index| index.get(&frames)).chain(&frames);
        let mut collector = Collector::default();
        let mut seen = std::collections::BTreeSet::new();
        for frame in shuffled {
            seen.insert(frame);
            let taken = collector.take(frame);
            if seen.len() == frames.len() {
                prop_assert_eq!(taken, Taken::Whole(text));
                return Ok(());
            }
            prop_assert_eq!(taken, Taken::Seen { frames: seen.len(), of: frames.len() });
        }
        prop_assert!(false, "all frames were shown");
    }

    #[test]
    fn any_text_is_a_frame_or_changes_nothing(
        text in ".{0,40}",
        numbers in "C:[0-9]{0,3}:[0-9]{0,3}:[0-9A-F]{0,9}:.{0,9}",
    ) {
        let mut collector = Collector::default();
        for code in [text, numbers] {
            if let Taken::Whole(whole) = collector.take(&code) {
                prop_assert!(code.ends_with(&whole));
            }
        }
    }
}

/// Williams, "A painless guide to CRC error detection algorithms": the check value of CRC-32.
#[test]
fn a_frame_names_its_number_the_total_and_the_crc_32_of_the_whole() {
    assert_eq!(frames::split("123456789").unwrap(), ["C:1:1:CBF43926:123456789"]);
    let long = "CARRYOVER".repeat(300);
    let whole = format!("{:08X}", crc32fast::hash(long.as_bytes()));
    let frames = frames::split(&long).unwrap();
    assert_eq!(frames.len(), 5);
    for (frame, number) in frames.iter().zip(1..) {
        assert!(frame.starts_with(&format!("C:{number}:5:{whole}:")), "{frame}");
    }
}

#[test]
fn a_frame_is_a_code_that_a_phone_reads_easily() {
    for (letter, most) in [("A", 14), ("a", 16), ("é", 16)] {
        for letters in [1, 496, 497, 498, 641, 642, 643, 5_000] {
            for frame in frames::split(&letter.repeat(letters)).unwrap() {
                let code = Code::of(&frame).unwrap();
                assert!(code.version() <= most, "version {} of {letter}", code.version());
                assert_eq!(scanned(&code), frame);
            }
        }
    }
}

/// As a camera sees it that is held by hand: turned, in light from one side. One picture may fail, since
/// the next comes at once; phones read a link's larger code with readers of their own, ours helps out.
#[test]
fn a_frame_that_is_held_aslant_is_read_in_most_pictures_and_a_link_in_some() {
    let frame = frames::split(&fragment(&tuned(4)).repeat(9)).unwrap().swap_remove(0);
    let link = link::address(SITE, &fragment_of_shipped(&typical(4)));
    for (text, version, least_of_12) in [(frame, 14, 7), (link, 21, 3)] {
        let code = Code::of(&text).unwrap();
        assert_eq!(code.version(), version);
        let sides = [390.0, 410.0, 430.0];
        let places = sides.map(|side| [0.02, 0.05, 0.1, 0.3].map(|turned| (side, turned)));
        let is_read = |&(side, turned): &(f64, f64)| {
            let grey = |x, y| video::luma(&code, side, turned, x, y);
            let mut image =
                rqrr::PreparedImage::prepare_from_greyscale(video::WIDTH, video::HEIGHT, grey);
            let grids = image.detect_grids();
            grids.iter().any(|grid| grid.decode().is_ok_and(|(_, found)| found == text))
        };
        let read = places.as_flattened().iter().filter(|place| is_read(place)).count();
        assert!(least_of_12 <= read, "{read} of 12 with version {version}");
    }
}

#[test]
fn frames_of_two_sequences_never_mix() {
    let one = frames::split(&"ONE".repeat(600)).unwrap();
    let other = frames::split(&"TWO".repeat(600)).unwrap();
    assert_eq!(one.len(), other.len());
    let mut collector = Collector::default();
    assert_eq!(collector.take(&one[0]), Taken::Seen { frames: 1, of: 3 });
    assert_eq!(collector.take(&other[1]), Taken::Seen { frames: 1, of: 3 });
    assert_eq!(collector.take(&other[2]), Taken::Seen { frames: 2, of: 3 });
    assert_eq!(collector.take(&one[1]), Taken::Seen { frames: 2, of: 3 });
    assert_eq!(collector.take(&one[2]), Taken::Whole("ONE".repeat(600)));
    assert_eq!(collector.take(&other[0]), Taken::Whole("TWO".repeat(600)));
}

#[test]
fn a_frame_that_was_misread_starts_its_sequence_over() {
    let text = "CARRYOVER".repeat(100);
    let frames = frames::split(&text).unwrap();
    let mut collector = Collector::default();
    assert_eq!(
        collector.take(&frames[0].replace("VERC", "VEBC")),
        Taken::Seen { frames: 1, of: 2 }
    );
    assert_eq!(collector.take(&frames[1]), Taken::Damaged);
    assert_eq!(collector.take(&frames[1]), Taken::Seen { frames: 1, of: 2 });
    assert_eq!(collector.take(&frames[0]), Taken::Whole(text));
}

#[test]
fn what_is_no_frame_changes_nothing() {
    let frames = frames::split(&"CARRYOVER".repeat(100)).unwrap();
    let mut collector = Collector::default();
    assert_eq!(collector.take(&frames[0]), Taken::Seen { frames: 1, of: 2 });
    let foreign = [
        "",
        "C:",
        "https://carryover.example/take#R",
        "C:0:2:00000000:A",
        "C:3:2:00000000:A",
        "C:1:100:00000000:A",
        "C:1:2:XYZ:A",
        "C:1:2:00000000",
        "C:-1:2:00000000:A",
        &format!("C:1:2:00000000:{}", "A".repeat(646)),
    ];
    for code in foreign {
        assert_eq!(collector.take(code), Taken::Foreign, "{code}");
    }
    assert_eq!(collector.take(&frames[0]), Taken::Seen { frames: 1, of: 2 });
    assert!(matches!(collector.take(&frames[1]), Taken::Whole(_)));
}

#[test]
fn too_much_for_a_sequence_is_refused() {
    assert_eq!(frames::split(&"A".repeat(frames::MOST * 642)).unwrap().len(), frames::MOST);
    assert_eq!(frames::split(&"A".repeat(frames::MOST * 642 + 1)), Err(TooMuch));
}

/// So many exercises of the demo, tuned for a client as a practitioner does at a visit.
fn tuned(number: usize) -> Routine {
    let mut routine = json!(demo());
    let exercises = routine["exercises"].as_array_mut().unwrap();
    exercises.truncate(number);
    for exercise in exercises.iter_mut() {
        merge(
            &json!({"dose": {"sets": 2, "days": ["mon", "wed", "fri"]}, "ladder": {"start": 1, "ceiling": 2}}),
            exercise,
        );
    }
    serde_json::from_value(routine).unwrap()
}

// What the journeys in `e2e/` open.

/// The links and frames that `e2e/link.spec.ts` and `e2e/scan.spec.ts` open. Run with `REWRITE_LINKS` set
/// to write them anew.
#[test]
fn the_links_of_the_journeys_are_current() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/links.json");
    let whole = link::condense(&demo(), |_| None, |_, _| None).unwrap();
    let good = condense(&demo());
    let mut unknown: Value = serde_json::from_str(&good).unwrap();
    unknown["exercises"][1]["from"] = json!("chair-heel-lift@9");
    let mut other: Value = serde_json::from_str(&good).unwrap();
    other["check"] = json!("00000000");
    let texts = [
        ("good", good.clone()),
        ("second", condense(&tuned(2))),
        ("whole", whole),
        ("foreign", r#"{"hello":"world"}"#.to_owned()),
        ("newer", r#"{"v":3,"routine":{}}"#.to_owned()),
        ("bomb", "a".repeat(5_000_000)),
        ("unknown entry", unknown.to_string()),
        ("another library", other.to_string()),
    ];
    let plain = link::print(&Packed { packing: Packing::Plain, bytes: good.into_bytes() });
    if std::env::var_os("REWRITE_LINKS").is_some() {
        let mut links: Value = texts.iter().map(|(name, text)| (*name, deflate(text))).collect();
        links["cut"] = json!(deflate(&texts[0].1)[..400]);
        links["plain"] = json!(plain);
        let library: Value = serde_json::from_str(&library_text()).unwrap();
        let written = json!({"library": library, "links": links, "frames": frames::split(&deflate(&texts[2].1)).unwrap()});
        std::fs::write(path, format!("{written:#}\n")).unwrap();
    }
    let file: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    assert_eq!(
        file["library"].to_string(),
        serde_json::from_str::<Value>(&library_text()).unwrap().to_string()
    );
    let links = file["links"].as_object().unwrap();
    for (name, text) in &texts {
        match unpack(links[*name].as_str().unwrap()) {
            Ok(unpacked) => assert_eq!(unpacked, *text, "{name}"),
            Err(error) => assert_eq!((error, *name), (LinkError::TooLarge, "bomb")),
        }
    }
    assert_eq!(read(links["cut"].as_str().unwrap()).unwrap_err(), LinkError::Damaged);
    assert_eq!(links["plain"], plain);
    assert_eq!(links.len(), texts.len() + 2);
    let frames =
        file["frames"].as_array().unwrap().iter().map(|frame| frame.as_str().unwrap().to_owned());
    assert_eq!(collect(frames), links["whole"]);
}
