//! The routines that ship with the app, held to their sources and to plain words; the published
//! format they are written in, held to the types that read it; and the cautions, held to the signs.

#[path = "support/reading.rs"]
mod reading;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use carryover::domain::log::event::{Ending, Fact, WorkedToday};
use carryover::domain::log::history::History;
use carryover::domain::log::rule::{Order, Reason, Swelling, Usual, UsualFrom};
use carryover::domain::log::warning::{Care, WarningSign};
use carryover::domain::pain::PainRating;
use carryover::domain::plan::dose::{
    Action, Dose, Load, PhaseSecs, Reps, RestSecs, Sets, Sides, TimesADay, WeightUnit, session_time,
};
use carryover::domain::plan::ladder::{Foothold, OnLowestRung, RungNumber};
use carryover::domain::plan::limits::{
    AfterBreak, AfterMiddleSet, BreakDays, Cell, DaysInARow, MayStepUp, Preset, RestDays, Settling,
    SiteCounts, Zone,
};
use carryover::domain::plan::routine::{Exercise, OnHold, Routine, SwellingReach, Version};
use carryover::domain::words::Words;
use carryover::exchange::file::{self, File};
use reading::{lines_of, parts_of, reading_grade, syllables};
use serde_json::{Value, json};

const DEMO: &str = "demo";
const HEEL_DROP: &str = "heel-drop";
const KNEE: &str = "knee-days-5-12";
const SHIPPED: [&str; 3] = [DEMO, HEEL_DROP, KNEE];

#[test]
fn every_shipped_file_says_what_it_is_and_is_nothing_else() {
    let folder = in_repository("public/routines");
    let mut found: Vec<String> = fs::read_dir(folder)
        .expect("the folder of routines")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    found.sort();
    assert_eq!(found, SHIPPED.map(|name| format!("{name}.json")));
    for name in SHIPPED {
        let file = shipped(name);
        assert_eq!(file["format"], "carryover-routine", "{name}");
        assert_eq!(file["version"], 1, "{name}");
    }
}

/// A field that serde passes over, because its name has a slip, would be missing on the way back.
#[test]
fn every_field_of_a_shipped_file_is_read() {
    for name in SHIPPED {
        let back = serde_json::to_value(routine(name)).expect("JSON");
        assert_eq!(back, shipped(name)["routine"], "{name}");
    }
}

#[test]
fn every_ladder_starts_in_reach_and_takes_one_kind_of_help_away_at_a_time() {
    for name in SHIPPED {
        for exercise in routine(name).exercises() {
            let ladder = &exercise.ladder;
            let place = format!("{name}, {}", exercise.id.as_str());
            assert!(ladder.start() <= ladder.ceiling(), "{place}");
            assert!(usize::from(ladder.ceiling().get()) <= ladder.rungs().len(), "{place}");
            let helps: Vec<&str> = ladder.rungs().iter().map(|rung| rung.help.as_str()).collect();
            let mut different = helps.clone();
            different.sort_unstable();
            different.dedup();
            assert_eq!(different.len(), helps.len(), "{place}: two rungs say the same");
        }
    }
    for name in [DEMO, HEEL_DROP] {
        for exercise in routine(name).exercises() {
            let doses: Vec<Dose> =
                exercise.ladder.rungs().iter().map(|rung| exercise.dose.with(&rung.dose)).collect();
            for pair in doses.windows(2) {
                let changed = parts_changed(&pair[0], &pair[1]);
                assert!(changed <= 1, "{name}, {}: {changed} at once", exercise.id.as_str());
            }
        }
    }
}

#[test]
fn the_demo_shows_every_kind_of_exercise_in_about_a_quarter_of_an_hour() {
    let demo = routine(DEMO);
    let exercises = demo.exercises();
    assert!((3..=4).contains(&exercises.len()));
    let does = |action: Action| {
        exercises
            .iter()
            .any(|one| one.dose.tempo.phases().iter().any(|phase| phase.action == action))
    };
    assert!(does(Action::Hold) && does(Action::Lift) && does(Action::Lower));
    assert!(exercises.iter().any(is_a_hold));
    assert!(exercises.iter().any(|one| one.dose.sides == Sides::InTurn));

    let time = session_time(&starting_doses(&demo));
    let minutes = Duration::from_mins(12)..=Duration::from_mins(15);
    assert!(minutes.contains(&time), "{time:?}");

    let crankiest = exercises.last().expect("exercises");
    assert_eq!(crankiest.id.as_str(), "stair-heel-lower");
    let ladder = &crankiest.ladder;
    assert!(4 <= ladder.rungs().len());
    assert!(1 < ladder.start().get());
    assert!(usize::from(ladder.ceiling().get()) < ladder.rungs().len());
    assert!(exercises.iter().all(|one| one.steps.len() <= 5));

    assert_eq!(demo.limits.usual_morning, PainRating::new(2).ok());
    assert_eq!(demo.limits.after_middle_set, AfterMiddleSet::OneRungDown);
    let counts: Vec<_> = demo.limits.sites.iter().map(|site| site.counts).collect();
    assert_eq!(counts, [SiteCounts::AsRated, SiteCounts::NotedOnly]);
}

/// Read in a table of the Br J Sports Med (markup 85031): two exercises, three sets, twice a day,
/// seven days a week, 10 to 12 weeks. From memory: 15 reps. Read second-hand: 180 reps a day.
#[test]
fn heel_drops_have_the_published_dose() {
    let routine = routine(HEEL_DROP);
    assert_eq!(routine.exercises().len(), 2);
    let mut reps_a_day = 0;
    for (exercise, dose) in routine.exercises().iter().zip(starting_doses(&routine)) {
        assert_eq!((dose.sets.get(), dose.reps.get(), dose.times_a_day.get()), (3, 15, 2));
        assert_eq!(dose.days.named(), [], "every day");
        assert_eq!(dose, exercise.dose);
        reps_a_day += dose.total_reps() * u32::from(dose.times_a_day.get());
    }
    assert_eq!((reps_a_day, reps_a_day * 7, reps_a_day * 7 * 12), (180, 1260, 15_120));
    assert_eq!(Preset::of(&routine.limits.table), Some(Preset::PainMonitoring));
}

/// PMC2953336, table T3, days 5 to 12, read in full: its two columns are rungs 1 and 2.
#[test]
fn the_knee_routine_has_the_doses_of_its_table() {
    #[rustfmt::skip]
    let rows: [(&str, Row, Row); 6] = [
        // Exercise,       first (sets, reps, rest, lb),  progressed to
        ("step-down",     (2,  8,  45, None),             (3, 12, 30, None)),
        ("squat",         (2, 12, 120, None),             (2, 14, 90, None)),
        ("leg-extension", (2,  8,  60, Some(48.0)),       (3, 14, 30, Some(60.0))),
        ("leg-press",     (2, 12, 120, Some(110.0)),      (2, 20, 90, Some(140.0))),
        ("leg-curl",      (2,  8,  60, Some(36.0)),       (3, 14, 30, Some(48.0))),
        // Held for 20 and 30 seconds.
        ("balance",       (2,  1, 120, None),             (3,  1, 90, None)),
    ];
    let routine = routine(KNEE);
    assert_eq!(routine.exercises().len(), rows.len());
    for (exercise, (id, first, progressed)) in routine.exercises().iter().zip(rows) {
        assert_eq!(exercise.id.as_str(), id);
        assert_eq!(row(&on_rung(exercise, 1)), first, "{id}");
        assert_eq!(row(&on_rung(exercise, 2)), progressed, "{id}");
        assert_eq!(exercise.ladder.start().get(), 2, "{id}");
        assert_eq!(exercise.ladder.ceiling().get(), 2, "{id}");
    }
    let balance = routine.exercises().last().expect("exercises");
    assert_eq!(on_rung(balance, 1).time_under_tension(), Duration::from_secs(40));
    assert_eq!(on_rung(balance, 2).time_under_tension(), Duration::from_secs(90));
    assert_eq!(Preset::of(&routine.limits.table), Some(Preset::NearlyPainFree));
}

/// Derived from the same table: reps times load before and after, and all rests of a session.
#[test]
fn the_knee_routine_agrees_with_the_derived_check_values() {
    #[rustfmt::skip]
    let rows = [
        // Exercise,       volume,            rests in seconds
        ("step-down",     (16.0, 36.0),       (45, 60)),
        ("squat",         (24.0, 28.0),       (120, 90)),
        ("leg-extension", (768.0, 2520.0),    (60, 60)),
        ("leg-press",     (2640.0, 5600.0),   (120, 90)),
        ("leg-curl",      (576.0, 2016.0),    (60, 60)),
        ("balance",       (2.0, 3.0),         (120, 180)),
    ];
    let routine = routine(KNEE);
    for (exercise, (id, volume, rests)) in routine.exercises().iter().zip(rows) {
        let (before, after) = (on_rung(exercise, 1), on_rung(exercise, 2));
        let volume_of = |dose: &Dose| f64::from(dose.total_reps()) * pounds(dose).unwrap_or(1.0);
        assert_eq!((volume_of(&before), volume_of(&after)), volume, "{id}");
        let rests_of = |dose: &Dose| dose.rest_time().as_secs();
        assert_eq!((rests_of(&before), rests_of(&after)), rests, "{id}");
    }
}

#[test]
fn a_shipped_file_says_where_its_doses_come_from() {
    for name in SHIPPED {
        let routine = routine(name);
        let sources = routine.exercises().iter().map(|one| &one.source).chain([&routine.source]);
        for source in sources {
            let source = source.as_ref().expect("a source").as_str();
            let marks = ["read in", "from memory", "common practice, no source"];
            assert!(marks.iter().any(|mark| source.contains(mark)), "{name}: {source}");
        }
    }
    let demo = routine(DEMO).source.expect("a source");
    assert!(demo.as_str().starts_with("An invented example"));
}

#[test]
fn what_a_client_reads_needs_no_more_than_six_years_of_school() {
    for name in SHIPPED {
        let routine = routine(name);
        let lines = client_lines(&routine);
        let grade = reading_grade(&lines);
        assert!(grade <= 6.0, "{name}: grade {grade:.1}");
        for line in lines {
            let letters = line.chars().count();
            assert!(letters <= 90, "{name}: {letters} letters in \"{line}\"");
        }
    }
}

/// Things to fetch are listed after a colon, help stands after a comma, a site after "pain at the".
#[test]
fn what_is_shown_within_a_sentence_is_written_as_a_part_of_one() {
    for name in SHIPPED {
        let routine = routine(name);
        let mut parts: Vec<&Words> = routine.limits.sites.iter().map(|site| &site.name).collect();
        for one in routine.exercises() {
            for thing in &one.equipment {
                assert!(!thing.as_str().contains(','), "{name}: {thing} in a list");
                parts.push(thing);
            }
            parts.extend(parts_of(one));
        }
        for part in parts {
            let text = part.as_str();
            assert!(text.starts_with(char::is_lowercase), "{name}: {text}");
            assert!(!text.contains(['.', ':', ';', '?', '!']), "{name}: {text}");
        }
    }
}

#[test]
fn no_text_names_a_maker_a_page_or_the_colour_of_a_band() {
    let banned = ["http", "www.", ".com", "™", "®", "©"];
    let colours = [
        "black", "blue", "bronze", "gold", "gray", "green", "grey", "orange", "pink", "purple",
        "red", "silver", "tan", "violet", "white", "yellow",
    ];
    for name in SHIPPED {
        let text = fs::read_to_string(path_of(name)).expect("a file").to_lowercase();
        for banned in banned {
            assert!(!text.contains(banned), "{name}: {banned}");
        }
        let mut words = text.split(|letter: char| !letter.is_alphabetic());
        assert_eq!(words.find(|word| colours.contains(word)), None, "{name}");
    }
}

#[test]
fn the_cautions_treat_every_sign_with_its_care_in_the_order_of_the_app() {
    let page = fs::read_to_string(in_repository("docs/cautions.md")).expect("the page");
    let headings: Vec<&str> = page.lines().filter(|line| line.starts_with("**`")).collect();
    let signs = WarningSign::ALL.map(|sign| {
        let care = match sign.care() {
            Care::Emergency => "emergency",
            Care::Today => "today",
            Care::BeforeTraining => "before training",
        };
        let word = json!(sign);
        format!("**`{}`: {care}.**", word.as_str().expect("a word"))
    });
    assert_eq!(headings, signs);
}

/// What `docs/file-format.md` promises of fields that it does not name.
#[test]
fn unknown_fields_survive_inside_a_routine_and_inside_an_event() {
    let mut file = shipped(DEMO);
    file["x-letter"] = json!("not kept");
    file["routine"]["limits"]["x-kept"] = json!("kept");
    let Ok(File::Routine(read)) = file::parse(&file.to_string()) else { panic!("not a routine") };
    let as_filed: Value = serde_json::from_str(read.as_filed.get()).expect("JSON");
    assert_eq!(as_filed, file["routine"]);

    let event = json!({
        "id": "01ARYZ6S410000000000000000", "at": "2026-11-25T18:04:05+01:00", "x-kept": 1,
        "what": { "routine_accepted": { "routine": as_filed, "x-kept": 2 } },
    });
    let bare = json!({ "format": "carryover-log", "version": file::VERSION, "events": [event] });
    let mut log = bare.clone();
    log["x-letter"] = json!("not kept");
    let Ok(File::Log(records)) = file::parse(&log.to_string()) else { panic!("not a log") };
    let written: Value = serde_json::from_str(&file::print_log_bare(&records)).expect("JSON");
    assert_eq!(written, bare);
}

/// `docs/file-format.md` shows a log with every kind of fact, as the app reads and writes it.
#[test]
fn the_example_of_the_format_is_a_log_that_the_app_reads_and_writes() {
    let page = fs::read_to_string(in_repository("docs/file-format.md")).expect("the page");
    let example = page.split("```json\n").nth(1).and_then(|rest| rest.split("```").next());
    let example = example.expect("an example");
    let Ok(File::Log(records)) = file::parse(example) else { panic!("not a log") };
    assert_eq!(file::print_log(&records), example);

    let told: BTreeSet<&str> = records.iter().map(|record| kind(&record.event.what)).collect();
    let facts = &schema()["$defs"]["fact"]["anyOf"];
    let named = facts[1]["properties"].as_object().expect("facts with fields").keys();
    let words = facts[0]["enum"].as_array().expect("facts in a word").iter();
    let known: BTreeSet<&str> =
        named.map(String::as_str).chain(words.filter_map(Value::as_str)).collect();
    assert_eq!(told, known);

    let history = History::fold(records.iter().map(|record| &record.event));
    assert_eq!(history.untold_verdicts(), [], "its verdicts are those of the rule");
}

const fn kind(fact: &Fact) -> &'static str {
    match fact {
        Fact::RoutineAccepted { .. } => "routine_accepted",
        Fact::SessionStarted { .. } => "session_started",
        Fact::SetEnded { .. } => "set_ended",
        Fact::StopTakenBack { .. } => "stop_taken_back",
        Fact::SetRated { .. } => "set_rated",
        Fact::ExerciseLeftOut { .. } => "exercise_left_out",
        Fact::SessionEnded { .. } => "session_ended",
        Fact::MorningAnswered { .. } => "morning_answered",
        Fact::WarningTicked { .. } => "warning_ticked",
        Fact::WarningUnticked { .. } => "warning_unticked",
        Fact::UsualMorning { .. } => "usual_morning",
        Fact::ToldToGoOn => "told_to_go_on",
        Fact::GoAhead { .. } => "go_ahead",
        Fact::RuleExplained { .. } => "rule_explained",
        Fact::Note { .. } => "note",
        Fact::HandedBack => "handed_back",
        Fact::Corrected { .. } => "corrected",
        Fact::SwellingCorrected { .. } => "swelling_corrected",
        Fact::VerdictGiven { .. } => "verdict_given",
    }
}

/// Every variant of an enum, as JSON. It does not compile while one is missing from the list.
macro_rules! words_of {
    ($name:ident: $($variant:ident),+) => {{
        const fn is_listed(value: &$name) {
            match value { $($name::$variant => ()),+ }
        }
        [$($name::$variant),+].iter().map(|value| { is_listed(value); json!(value) }).collect::<Vec<Value>>()
    }};
}

#[test]
fn the_schema_has_the_words_of_the_code() {
    let cells = words_of!(Cell: Counts, Stay, Ease, Hold);
    #[rustfmt::skip]
    let rows = [
        ("dose/properties/sides", words_of!(Sides: Together, Left, Right, InTurn, OneAfterTheOther)),
        ("phase/properties/action", words_of!(Action: Lift, Lower, Hold, Relax)),
        ("load/properties/weight/properties/unit", words_of!(WeightUnit: Kg, Lb)),
        ("cell", cells.clone()),
        ("table_row/prefixItems/3", cells[1..].to_vec()),
        ("limits/properties/sites/items/properties/counts", words_of!(SiteCounts: AsRated, OneZoneWorse, NotedOnly)),
        ("limits/properties/may_step_up", words_of!(MayStepUp: Nothing, WinBack, ToTheCeiling)),
        ("limits/properties/on_lowest_rung", words_of!(OnLowestRung: OneSetFewer, Hold)),
        ("limits/properties/after_middle_set", words_of!(AfterMiddleSet: Same, OneRungDown)),
        ("limits/properties/after_break", words_of!(AfterBreak: OneRungLower, Same, WaitForMe)),
        ("exercise/properties/swelling", words_of!(SwellingReach: Reaches, OutOfReach)),
        ("on_hold", words_of!(OnHold: Open, Leave)),
        ("warning_sign", json!(WarningSign::ALL).as_array().cloned().unwrap_or_default()),
        ("swelling", words_of!(Swelling: NoMore, ALittleMore, ClearlyMore)),
        ("zone", words_of!(Zone: Low, Middle, High)),
        ("order", words_of!(Order: KeepAndCount, KeepNotCounted, KeepAndStay, Ease, HoldUntilRested, HoldUntilAnswered)),
        ("fact/anyOf/1/properties/session_started/properties/worked_today", words_of!(WorkedToday: Light, AsUsual, Heavy)),
        ("fact/anyOf/1/properties/set_ended/properties/ending", words_of!(Ending: Complete, Short, Pain, LeftOut)),
        ("reason/anyOf/1/properties/morning/properties/usual/properties/from", words_of!(UsualFrom: Visit, Said, FirstMornings, Mornings, AtRest, Nothing)),
        ("reason/anyOf/1/properties/morning/properties/settling", words_of!(Settling: Settled, UpALittle, UpClearly, NotAnswered)),
    ];
    let schema = schema();
    for (place, words) in rows {
        let found = schema.pointer(&format!("/$defs/{place}/enum"));
        assert_eq!(found, Some(&Value::Array(words)), "{place}");
    }
}

#[test]
fn the_schema_has_the_reasons_of_the_code() {
    let words = Words::new("Heel").expect("words");
    let rating = PainRating::NONE;
    let usual = Usual { half_points: rating.into(), from: UsualFrom::Visit };
    let reasons = [
        Reason::WarningSign,
        Reason::NotRated,
        Reason::Stopped,
        Reason::MorningNotAnswered,
        Reason::AnsweredAfterTraining,
        Reason::OnlyAtRestToCompare,
        Reason::WeeksRising,
        Reason::SwellingALittleMore,
        Reason::SwellingAddedUp,
        Reason::SwellingClearlyMore,
        Reason::NothingEasier,
        Reason::SecondHoldWithinSevenDays,
        Reason::During { rating, zone: Zone::Low },
        Reason::SiteCountsMore { site: words.clone() },
        Reason::SiteNotedOnly { site: words },
        Reason::Morning { rating, usual, settling: Settling::Settled },
        Reason::MorningHigh { rating },
        Reason::AtRestHigh { rating },
    ];
    let (mut in_a_word, mut with_fields) = (BTreeSet::new(), BTreeMap::new());
    for reason in reasons {
        match (json!(reason), reason) {
            (
                Value::String(word),
                Reason::WarningSign
                | Reason::NotRated
                | Reason::Stopped
                | Reason::MorningNotAnswered
                | Reason::AnsweredAfterTraining
                | Reason::OnlyAtRestToCompare
                | Reason::WeeksRising
                | Reason::SwellingALittleMore
                | Reason::SwellingAddedUp
                | Reason::SwellingClearlyMore
                | Reason::NothingEasier
                | Reason::SecondHoldWithinSevenDays,
            ) => {
                in_a_word.insert(word);
            }
            (
                Value::Object(one),
                Reason::During { .. }
                | Reason::SiteCountsMore { .. }
                | Reason::SiteNotedOnly { .. }
                | Reason::Morning { .. }
                | Reason::MorningHigh { .. }
                | Reason::AtRestHigh { .. },
            ) => with_fields.extend(one),
            (other, _) => panic!("{other}"),
        }
    }
    let schema = schema();
    let known = &schema["$defs"]["reason"]["anyOf"];
    let words: Option<BTreeSet<String>> = serde_json::from_value(known[0]["enum"].clone()).ok();
    assert_eq!(words, Some(in_a_word));
    let named: Vec<&String> = known[1]["properties"].as_object().expect("reasons").keys().collect();
    assert_eq!(named, with_fields.keys().collect::<Vec<_>>());
}

#[test]
fn the_schema_has_the_bounds_of_the_code() {
    #[rustfmt::skip]
    let rows = [
        ("sets", Sets::LEAST.get(), Sets::MOST.get()),
        ("reps", Reps::LEAST.get(), Reps::MOST.get()),
        ("rest_secs", RestSecs::LEAST.get(), RestSecs::MOST.get()),
        ("phase/properties/secs", PhaseSecs::LEAST.get(), PhaseSecs::MOST.get()),
        ("dose/properties/times_a_day", TimesADay::LEAST.get(), TimesADay::MOST.get()),
        ("rung_number", RungNumber::LEAST.get(), RungNumber::MOST.get()),
        ("routine/properties/version", Version::LEAST.get(), Version::MOST.get()),
        ("fact/anyOf/1/properties/session_started/properties/version", Version::LEAST.get(), Version::MOST.get()),
        ("limits/properties/rest_days", RestDays::LEAST.get(), RestDays::MOST.get()),
        ("limits/properties/break_days", BreakDays::LEAST.get(), BreakDays::MOST.get()),
        ("limits/properties/step_up_after", DaysInARow::LEAST.get(), DaysInARow::MOST.get()),
        ("pain_rating", PainRating::NONE.points().into(), PainRating::WORST.points().into()),
    ];
    let schema = schema();
    let definitions = &schema["$defs"];
    for (place, least, most) in rows {
        let found = definitions.pointer(&format!("/{place}")).expect(place);
        assert_eq!(
            (&found["minimum"], &found["maximum"]),
            (&json!(least), &json!(most)),
            "{place}"
        );
    }
    let properties = |name: &str| definitions[name]["properties"].clone();
    assert_eq!(definitions["words"]["maxLength"], Words::LONGEST);
    assert_eq!(properties("routine")["exercises"]["maxItems"], Routine::MOST_EXERCISES);
    assert_eq!(properties("ladder")["rungs"]["maxItems"], RungNumber::MOST.get());
    assert_eq!(properties("log_file")["events"]["maxItems"], file::MOST_EVENTS);
    let versions: Vec<i64> = (1..=file::VERSION).collect();
    assert_eq!(definitions["format_version"]["enum"], json!(versions));
}

#[test]
fn syllables_are_counted_well_enough() {
    for (word, count) in
        [("knee", 1), ("slide", 1), ("table", 2), ("banister", 3), ("machine", 2), ("10", 1)]
    {
        assert_eq!(syllables(word), count, "{word}");
    }
    let grade = |line: &str| reading_grade(&[line.to_owned()]);
    assert!(grade("Lower the heel slowly.") < 6.0);
    assert!(10.0 < grade("Eccentric gastrocnemius rehabilitation necessitates deceleration."));
}

/// Sets, reps, rest in seconds, and pounds.
type Row = (u16, u16, u16, Option<f64>);

fn row(dose: &Dose) -> Row {
    (dose.sets.get(), dose.reps.get(), dose.rest_secs.get(), pounds(dose))
}

fn pounds(dose: &Dose) -> Option<f64> {
    match dose.load.as_ref()? {
        Load::Weight { amount, unit: WeightUnit::Lb } => Some(amount.get()),
        Load::Weight { unit: WeightUnit::Kg, .. } | Load::Described(_) => None,
    }
}

fn on_rung(exercise: &Exercise, number: i64) -> Dose {
    let rung = RungNumber::new(number).expect("a rung");
    Foothold::on(rung).dose(&exercise.dose, &exercise.ladder)
}

fn starting_doses(routine: &Routine) -> Vec<Dose> {
    routine.exercises().iter().map(|one| on_rung(one, one.ladder.start().get().into())).collect()
}

fn is_a_hold(exercise: &Exercise) -> bool {
    exercise.dose.tempo.phases().iter().all(|phase| phase.action == Action::Hold)
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

/// Everything in a routine that its client may read, but for the labels and the sources.
fn client_lines(routine: &Routine) -> Vec<String> {
    let mut lines: Vec<&Words> = vec![&routine.title];
    lines.extend(&routine.cautions);
    lines.extend(routine.limits.sites.iter().map(|site| &site.name));
    lines.extend(routine.exercises().iter().flat_map(lines_of));
    lines.into_iter().map(|words| words.as_str().to_owned()).collect()
}

fn routine(name: &str) -> Routine {
    serde_json::from_value(shipped(name)["routine"].clone())
        .unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn shipped(name: &str) -> Value {
    let text = fs::read_to_string(path_of(name)).expect("a shipped file");
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn path_of(name: &str) -> PathBuf {
    in_repository(&format!("public/routines/{name}.json"))
}

fn schema() -> Value {
    let text = fs::read_to_string(in_repository("docs/carryover-file.schema.json"));
    serde_json::from_str(&text.expect("the schema")).expect("JSON")
}

fn in_repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
