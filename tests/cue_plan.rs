//! The sounds of a whole exercise: golden files for prescriptions from the literature, and properties
//! over random doses.
//!
//! A golden file holds every onset of `tests/fixtures/cues/`, from the count-in to the last set, rests
//! included. Its source stands in its first lines, and so does whatever the source does not give.
//! `REWRITE_CUES=1 cargo test --test cue_plan` writes the files anew, to be read before they are kept.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod support;

use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;
use std::{env, fs};

use carryover::domain::event_id::EventId;
use carryover::domain::log::event::Fact;
use carryover::domain::plan::dose::{
    Action, Dose, Phase, PhaseSecs, Reps, RestSecs, Sets, Side, Sides, Tempo,
};
use carryover::domain::plan::ladder::Foothold;
use carryover::domain::plan::routine::Exercise;
use carryover::domain::plan::tempo_notation::{NotRead, Order, read};
use carryover::domain::session::runner::{Input, Manner, Moment, Run, Stage, Task};
use carryover::domain::session::timeline::{
    Beat, CHANGE_SIDES, COUNT_IN, Cue, Pace, SHORT_COUNT_IN, Timeline, Tone, rest_cues,
};
use proptest::prelude::*;
use serde::Deserialize;
use serde_json::Value;
use support::{exercise, ladder, limits, rating, three_sets_of_ten};

/// One exercise as prescribed, laid out in a golden file of its own.
struct Prescription {
    file: &'static str,
    /// A row of the published check values; its source and its sums are held to.
    row: &'static str,
    dose: Dose,
    /// What stands in the dose without having been read in the source.
    not_published: &'static str,
}

fn prescriptions() -> [Prescription; 6] {
    [
        Prescription {
            file: "iso-rio15",
            row: "dose-iso-rio15",
            dose: dose(5, 1, &[(Action::Hold, 45)], 120, Sides::Together),
            not_published: "the dose, which is from memory",
        },
        Prescription {
            file: "hsr-alt-week-1",
            row: "dose-hsr-alt-w1-rest120",
            dose: dose(3, 15, &[(Action::Lift, 3), (Action::Lower, 3)], 120, Sides::Together),
            not_published: "that lifting comes first (common practice, no source)",
        },
        Prescription {
            file: "heel-rise",
            row: "dose-heelrise",
            dose: dose(3, 10, &[(Action::Lift, 3), (Action::Lower, 3)], 60, Sides::Together),
            not_published: "that 2x3 s is lifting, then lowering, and the rest (common practice, no source)",
        },
        Prescription {
            file: "balance",
            row: "dose-balance",
            dose: dose(3, 1, &[(Action::Hold, 30)], 30, Sides::InTurn),
            not_published: "the legs in turn, and the rest (common practice, no source)",
        },
        Prescription {
            file: "wall-squat",
            row: "dose-wall10",
            dose: dose(1, 15, &[(Action::Hold, 10)], 0, Sides::Together),
            not_published: "a pause between the holds, so there is none",
        },
        Prescription {
            file: "heel-drop",
            row: "dose-ecc-alf",
            dose: Dose {
                tempo: read("3-1-1-0", Order::LoweringFirst, None).unwrap(),
                ..dose(3, 15, &[(Action::Hold, 1)], 60, Sides::OneAfterTheOther)
            },
            not_published: "the 15 reps (from memory); the tempo 3-1-1-0 with lowering first, \
                            one leg after the other, and the rest (common practice, no source)",
        },
    ]
}

// Golden files.

#[test]
fn every_prescription_sounds_as_in_its_golden_file() {
    for one in prescriptions() {
        let text = print(&one);
        let path = golden(one.file);
        if env::var_os("REWRITE_CUES").is_some() {
            fs::write(&path, &text).unwrap();
        }
        let kept = fs::read_to_string(&path).unwrap_or_default();
        assert!(kept == text, "{} differs:\n{}", path.display(), difference(&kept, &text));
    }
}

#[test]
fn every_golden_file_belongs_to_a_prescription() {
    let kept: BTreeSet<PathBuf> = fs::read_dir(golden("any").parent().unwrap())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    assert_eq!(kept, prescriptions().iter().map(|one| golden(one.file)).collect());
}

#[test]
fn a_difference_shows_what_changed_and_nothing_else() {
    assert_eq!(difference("a\nb\nc\nd\n", "a\nx\nc\nd\n"), "line 2\n- b\n+ x\n");
    assert_eq!(difference("a\nb\nc\n", "a\nc\n"), "line 2\n- b\n");
    assert_eq!(difference("", "a\n"), "line 1\n+ a\n");
    assert_eq!(difference("a\na\n", "a\n"), "line 2\n- a\n");
}

#[test]
fn the_time_of_an_exercise_is_its_work_and_rests_with_the_count_in_and_side_changes_told_apart() {
    for one in prescriptions() {
        let (dose, times) = (&one.dose, Times::of(&whole_exercise(&one.dose)));
        assert_eq!(times.work, dose.time_under_tension(), "{}", one.file);
        assert_eq!(times.rests, dose.rest_time(), "{}", one.file);
        assert_eq!(times.work + times.rests, dose.exercise_time(), "{}", one.file);
        assert_eq!(times.count_in, COUNT_IN, "{}", one.file);
        let changes = if dose.sides == Sides::InTurn { dose.sets.get() } else { 0 };
        assert_eq!(times.side_changes, CHANGE_SIDES * changes.into(), "{}", one.file);
        let last = *cues(&whole_exercise(dose)).last().unwrap();
        assert_eq!(last, Cue { at: times.sum(), tone: Tone::SetDone }, "{}", one.file);
    }
}

/// A row counts one side; a dose for each side by itself takes the work twice.
#[test]
fn the_sums_of_a_prescription_are_those_of_its_row() {
    for one in prescriptions().iter().filter(|one| one.row != "dose-ecc-alf") {
        let (row, times) = (row(one.row), Times::of(&whole_exercise(&one.dose)));
        let sides = u32::from(one.dose.sides.count());
        assert_eq!(row.inputs["sides"], 1, "{}", row.id);
        assert_eq!(Some(times.work / sides), secs(&row.expected["tut_s"]), "{}", row.id);
        assert_eq!(row.expected["reps_total"], one.dose.total_reps() / sides, "{}", row.id);
        if let Some(rests) = secs(&row.expected["rest_total_s"]) {
            assert_eq!(times.rests, rests, "{}", row.id);
            let time = secs(&row.expected["time_s"]).unwrap();
            assert_eq!(times.sum(), COUNT_IN + time, "{}", row.id);
        }
    }
}

#[test]
fn the_reps_of_the_heel_drop_are_those_of_its_row() {
    let row = row("dose-ecc-alf");
    let drop = prescriptions().into_iter().find(|one| one.row == row.id).unwrap().dose;
    let one_side = drop.total_reps() / u32::from(drop.sides.count());
    let times = row.inputs["exercises"].as_u64().unwrap() * row.inputs["per_day"].as_u64().unwrap();
    assert_eq!(row.expected["day"], u64::from(one_side) * times);
    let completed: u32 = whole_exercise(&drop).iter().map(|(_, part)| reps_completed(part)).sum();
    assert_eq!(drop.total_reps(), completed);
}

#[test]
fn a_session_schedules_the_sounds_of_the_golden_files() {
    for one in prescriptions() {
        assert_eq!(heard(&one.dose), cues(&whole_exercise(&one.dose)), "{}", one.file);
    }
}

// Tempos as they are written.

#[test]
fn the_time_of_a_written_rep_is_that_of_its_source() {
    for row in rows("tempo-").iter().filter(|row| row.inputs["order"] == "ecc/pause/con/pause") {
        let tempo = read(text(&row.inputs["tempo"]), Order::LoweringFirst, None).unwrap();
        assert_eq!(row.expected, tempo.rep_time().as_secs(), "{}", row.id);
    }
}

#[test]
fn a_written_x_takes_the_seconds_that_it_is_given() {
    for row in rows("tempo-x-").iter().filter(|row| row.inputs.get("X").is_some()) {
        let written = text(&row.inputs["tempo"]);
        assert_eq!(read(written, Order::LoweringFirst, None), Err(NotRead::XWithoutSeconds));
        let reps = row.inputs["reps"].as_u64().unwrap();
        let x = row.inputs["X"].as_i64().unwrap();
        assert_eq!(row.expected, reps * rep_secs(written, x), "{}", row.id);
    }
}

/// Why X has no length of its own here: the times that one page prints need more than one.
#[test]
fn no_one_length_of_x_gives_the_times_that_a_page_prints() {
    let row = row("tempo-x-inconsistent");
    let printed = row.inputs.as_object().unwrap();
    assert_eq!(printed.len(), 3);
    for x in 0..=i64::from(PhaseSecs::MOST) {
        let agree = printed.iter().all(|(set, secs)| {
            let (written, reps) = set.rsplit_once('x').unwrap();
            *secs == reps.parse::<u64>().unwrap() * rep_secs(written, x)
        });
        assert!(!agree, "{x} s");
    }
}

/// A phase that is done as fast as possible is the lift, so the source that begins with one lifts first.
#[test]
fn an_explosive_first_phase_is_the_lift() {
    let row = row("tempo-order-b");
    let written = text(&row.inputs["example"]);
    let word = Err(NotRead::Word { part: "expl".to_owned() });
    assert_eq!(read(written, Order::LiftingFirst, None), word);
    let (written, x) = (written.replace("expl", "X"), PhaseSecs::new(1).ok());
    assert_eq!(read(&written, Order::LoweringFirst, x), Err(NotRead::XLowers));
    let tempo = read(&written, Order::LiftingFirst, x).unwrap();
    let names = tempo.phases().iter().map(|phase| match phase.action {
        Action::Lift => "concentric",
        Action::Lower => "eccentric",
        Action::Hold => "pause",
        Action::Relax => "rest",
    });
    assert_eq!(row.expected, names.collect::<Value>());
}

// Properties.

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn segments_stand_end_to_end(set in any_set()) {
        let mut end = Duration::ZERO;
        for segment in set.timeline().segments() {
            prop_assert_eq!(segment.starts, end);
            prop_assert!(segment.starts < segment.ends());
            end = segment.ends();
        }
        prop_assert_eq!(set.timeline().length(), end);
    }

    #[test]
    fn sounds_come_in_order_one_at_a_time_and_within_the_set(set in any_set()) {
        let cues = set.timeline().cues();
        prop_assert!(cues.windows(2).all(|pair| pair[0].at < pair[1].at), "{cues:?}");
        prop_assert_eq!(cues.last().unwrap().at, set.timeline().length());
    }

    #[test]
    fn every_phase_has_the_sound_of_its_action_at_its_start_and_no_other(set in any_set()) {
        let mut expected = Vec::new();
        for segment in set.timeline().segments() {
            let tone = match segment.beat {
                Beat::GetReady => continue,
                Beat::ChangeSides => Tone::ChangeSides,
                Beat::Work { action: Action::Lift, .. } => Tone::Lift,
                Beat::Work { action: Action::Lower, .. } => Tone::Lower,
                Beat::Work { action: Action::Hold, .. } => Tone::Hold,
                Beat::Work { action: Action::Relax, .. } => Tone::Relax,
            };
            expected.push(Cue { at: segment.starts, tone });
        }
        expected.push(Cue { at: set.timeline().length(), tone: Tone::SetDone });
        let mut onsets = set.timeline().cues();
        onsets.retain(|cue| cue.tone != Tone::Count);
        prop_assert_eq!(onsets, expected);
    }

    #[test]
    fn the_last_three_seconds_of_what_leads_to_a_change_are_counted_and_no_others(set in any_set()) {
        let timeline = set.timeline();
        let counted = timeline.segments().iter().filter(|segment| match &segment.beat {
            Beat::GetReady | Beat::ChangeSides => true,
            // Six seconds make a hold long.
            Beat::Work { action, .. } => *action == Action::Hold && 6_000 <= segment.length.as_millis(),
        });
        let expected: Vec<Duration> =
            counted.flat_map(|segment| last_three(segment.starts, segment.ends())).collect();
        prop_assert_eq!(counts(&timeline.cues()), expected);
    }

    #[test]
    fn the_last_three_seconds_of_a_rest_are_counted(millis in 0..=900_000_u64) {
        let rest = Duration::from_millis(millis);
        prop_assert_eq!(counts(&rest_cues(rest, None)), last_three(Duration::ZERO, rest));
        prop_assert!(rest_cues(rest, None).iter().all(|cue| cue.tone == Tone::Count));
    }

    /// A set laid out from a later rep has the reps that are left, and their work.
    #[test]
    fn a_set_has_its_share_of_the_reps_and_of_the_work_at_the_pace(set in any_set()) {
        let part = Part::Set(set.timeline());
        prop_assert_eq!(reps_completed(&part), u32::from(set.reps_of_all_sides() - set.from_rep));
        let (work, pace) = (Times::of(&[(Duration::ZERO, part)]).work, u128::from(set.pace.get()));
        let of_set = set.dose.time_under_tension() / set.dose.rounds().into();
        let skipped = set.dose.tempo.rep_time() * set.from_rep.into();
        prop_assert_eq!(work.as_millis() * 100 + skipped.as_millis() * pace, of_set.as_millis() * pace);
    }

    /// Sides change where the left is done and the right follows, never before the first rep.
    #[test]
    fn a_set_works_the_sides_of_its_number_and_changes_them_once(set in any_set()) {
        let timeline = set.timeline();
        let changes = timeline.segments().iter().filter(|one| one.beat == Beat::ChangeSides);
        let both = set.dose.sides == Sides::InTurn && set.from_rep < set.dose.reps.get();
        prop_assert_eq!(changes.count(), usize::from(both));
        let mut sides: Vec<_> = timeline.segments().iter().map(|one| one.side).collect();
        sides.dedup();
        let (left, right) = (Some(Side::Left), Some(Side::Right));
        let expected = match set.dose.sides {
            Sides::Together => vec![None],
            Sides::InTurn if both => vec![left, right],
            Sides::OneAfterTheOther if set.number <= set.dose.sets.get() => vec![left],
            Sides::Left => vec![left],
            Sides::Right | Sides::InTurn | Sides::OneAfterTheOther => vec![right],
        };
        prop_assert_eq!(sides, expected);
    }

    #[test]
    fn a_whole_exercise_sounds_in_order_nothing_twice_and_adds_up(dose in any_dose()) {
        let parts = whole_exercise(&dose);
        let cues = cues(&parts);
        prop_assert!(cues.windows(2).all(|pair| pair[0].at <= pair[1].at));
        for (place, cue) in cues.iter().enumerate() {
            let mut together = cues[place + 1..].iter().take_while(|later| later.at == cue.at);
            prop_assert!(together.all(|later| later.tone != cue.tone), "{cue:?} twice");
        }
        let times = Times::of(&parts);
        prop_assert_eq!(times.work + times.rests, dose.exercise_time());
        prop_assert_eq!(cues.last().unwrap().at, times.sum());
    }
}

/// A set, or what is left of it, as the session may lay it out.
#[derive(Clone, Debug)]
struct AnySet {
    dose: Dose,
    number: u16,
    count_in: Duration,
    from_rep: u16,
    pace: Pace,
}

impl AnySet {
    fn timeline(&self) -> Timeline {
        lay_out(&self.dose, self.number, self.count_in, self.from_rep, self.pace)
    }

    fn reps_of_all_sides(&self) -> u16 {
        self.dose.reps.get() * if self.dose.sides == Sides::InTurn { 2 } else { 1 }
    }
}

fn any_set() -> impl Strategy<Value = AnySet> {
    let count_ins = [Duration::ZERO, SHORT_COUNT_IN, COUNT_IN].map(|known| known.as_secs());
    let count_in = prop_oneof![prop::sample::select(count_ins.to_vec()), 0..20_u64];
    (any_dose(), any::<(prop::sample::Index, prop::sample::Index)>(), count_in, 100..=150_i64)
        .prop_map(|(dose, (number, from_rep), count_in, pace)| {
            let number = 1 + u16::try_from(number.index(dose.rounds().into())).unwrap();
            let (count_in, pace) = (Duration::from_secs(count_in), Pace::new(pace).unwrap());
            let mut set = AnySet { dose, number, count_in, from_rep: 0, pace };
            let reps = usize::from(set.reps_of_all_sides());
            // Half of all sets begin with their first rep.
            set.from_rep = u16::try_from(from_rep.index(2 * reps).saturating_sub(reps)).unwrap();
            set
        })
}

fn any_dose() -> impl Strategy<Value = Dose> {
    let action =
        prop::sample::select(vec![Action::Lift, Action::Lower, Action::Hold, Action::Relax]);
    let phases =
        prop::collection::vec((action, prop_oneof![4 => 1..=8_i64, 1 => 9..=60_i64]), 1..=8);
    let sides = prop::sample::select(vec![
        Sides::Together,
        Sides::Left,
        Sides::Right,
        Sides::InTurn,
        Sides::OneAfterTheOther,
    ]);
    let rest = prop_oneof![0..=4_i64, 5..=900_i64];
    (1..=4_i64, 1..=12_i64, phases, rest, sides)
        .prop_map(|(sets, reps, phases, rest, sides)| dose(sets, reps, &phases, rest, sides))
}

fn counts(cues: &[Cue]) -> Vec<Duration> {
    cues.iter().filter(|cue| cue.tone == Tone::Count).map(|cue| cue.at).collect()
}

/// Three, two and one second before an end, as far as there is time for them.
fn last_three(starts: Duration, ends: Duration) -> Vec<Duration> {
    let seconds = [3, 2, 1].map(Duration::from_secs).into_iter();
    seconds
        .filter(|before| starts + *before <= ends)
        .map(|before| ends.saturating_sub(before))
        .collect()
}

// An exercise from its first count-in to the end of its last set.

enum Part {
    Set(Timeline),
    Rest { length: Duration, other_side: Option<Side> },
}

/// The one place that lays a set out.
fn lay_out(dose: &Dose, number: u16, count_in: Duration, from_rep: u16, pace: Pace) -> Timeline {
    Timeline::of_set(dose, number, count_in, from_rep, pace)
}

/// Sets and rests, each with its start; a set after a rest needs no count-in of its own.
fn whole_exercise(dose: &Dose) -> Vec<(Duration, Part)> {
    let mut parts = Vec::new();
    let mut now = Duration::ZERO;
    let rest = Duration::from_secs(dose.rest_secs.get().into());
    for number in 1..=dose.rounds() {
        if 1 < number {
            let is_other = dose.sides == Sides::OneAfterTheOther && number == dose.sets.get() + 1;
            let other_side = is_other.then_some(Side::Right);
            parts.push((now, Part::Rest { length: rest, other_side }));
            now += rest;
        }
        let count_in = if number == 1 { COUNT_IN } else { Duration::ZERO };
        let set = lay_out(dose, number, count_in, 0, Pace::AS_PRESCRIBED);
        let ends = now + set.length();
        parts.push((now, Part::Set(set)));
        now = ends;
    }
    parts
}

fn cues(parts: &[(Duration, Part)]) -> Vec<Cue> {
    parts.iter().flat_map(|(starts, part)| cues_of(*starts, part)).collect()
}

fn cues_of(starts: Duration, part: &Part) -> Vec<Cue> {
    let cues = match part {
        Part::Set(timeline) => timeline.cues(),
        Part::Rest { length, other_side } => rest_cues(*length, *other_side),
    };
    cues.into_iter().map(|cue| Cue { at: starts + cue.at, ..cue }).collect()
}

fn reps_completed(part: &Part) -> u32 {
    match part {
        Part::Set(timeline) => {
            timeline.segments().iter().map(|segment| u32::from(segment.completes_rep)).sum()
        }
        Part::Rest { .. } => 0,
    }
}

#[derive(Default)]
struct Times {
    count_in: Duration,
    work: Duration,
    side_changes: Duration,
    rests: Duration,
}

impl Times {
    fn of(parts: &[(Duration, Part)]) -> Self {
        let mut times = Self::default();
        for (_, part) in parts {
            let timeline = match part {
                Part::Set(timeline) => timeline,
                Part::Rest { length: rest, .. } => {
                    times.rests += *rest;
                    continue;
                }
            };
            for segment in timeline.segments() {
                match segment.beat {
                    Beat::GetReady => times.count_in += segment.length,
                    Beat::Work { .. } => times.work += segment.length,
                    Beat::ChangeSides => times.side_changes += segment.length,
                }
            }
        }
        times
    }

    fn sum(&self) -> Duration {
        self.count_in + self.work + self.side_changes + self.rests
    }
}

/// What a session schedules for one exercise, each set rated the moment it ends.
fn heard(dose: &Dose) -> Vec<Cue> {
    let exercise = Exercise { dose: dose.clone(), ..exercise("exercise", ladder(1, 1, 1)) };
    let from = Foothold::on(exercise.ladder.start());
    let task = Task { exercise, limits: limits(), from, least: from.rung };
    let session = EventId::after(None, 0, [0; 10]);
    let mut run = Run::begin(session, vec![task], Manner::default());
    run.step(Input::Start, Moment(Duration::ZERO));
    let mut heard = run.cues(Moment(Duration::ZERO));
    for second in 1.. {
        let now = Moment(Duration::from_secs(second));
        if let [Fact::SetEnded { .. }] = run.step(Input::Tick, now)[..] {
            run.step(Input::Rate { rating: rating(0), site: None }, now);
            heard.extend(run.cues(now).into_iter().map(|cue| Cue { at: now.0 + cue.at, ..cue }));
            if !run.another_set_follows() {
                break;
            }
        }
        assert!(!matches!(run.stage(), Stage::Briefing | Stage::Finished));
    }
    heard
}

fn dose(sets: i64, reps: i64, phases: &[(Action, i64)], rest: i64, sides: Sides) -> Dose {
    let phase = |&(action, secs): &(Action, i64)| Phase::of(action, PhaseSecs::new(secs).unwrap());
    Dose {
        sets: Sets::new(sets).unwrap(),
        reps: Reps::new(reps).unwrap(),
        tempo: Tempo::new(phases.iter().map(phase).collect()).unwrap(),
        rest_secs: RestSecs::new(rest).unwrap(),
        sides,
        ..three_sets_of_ten()
    }
}

// Golden files as text.

fn golden(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/fixtures/cues/{file}.txt"))
}

fn print(one: &Prescription) -> String {
    let (dose, parts) = (&one.dose, whole_exercise(&one.dose));
    let phase = |phase: &Phase| format!("{} {} s", action_name(phase.action), phase.secs.get());
    let phases: Vec<String> = dose.tempo.phases().iter().map(phase).collect();
    let times = Times::of(&parts);
    let mut text = String::new();
    let mut line = |words: &str| writeln!(text, "{words}").unwrap();
    line(&format!("# {}: {}", one.row, row(one.row).source));
    line(&format!("# Not published: {}.", one.not_published));
    line(&format!(
        "# Inputs: sets {}, reps {}, {}; rest {} s; {}.",
        dose.sets.get(),
        dose.reps.get(),
        phases.join(", "),
        dose.rest_secs.get(),
        sides_name(dose.sides)
    ));
    line(&format!(
        "# Times: count-in {} s, work {} s, side changes {} s, rests {} s; in all {} s.",
        times.count_in.as_secs(),
        times.work.as_secs(),
        times.side_changes.as_secs(),
        times.rests.as_secs(),
        times.sum().as_secs()
    ));
    let mut number = 0;
    for (starts, part) in &parts {
        match part {
            Part::Set(timeline) => {
                number += 1;
                let sides: BTreeSet<&str> = timeline
                    .segments()
                    .iter()
                    .filter_map(|segment| segment.side.map(side_name))
                    .collect();
                let sides: String = sides.iter().flat_map(|side| [", ", side]).collect();
                line(&format!("\n# Set {number} of {}{sides}", dose.rounds()));
            }
            Part::Rest { .. } => line("\n# Rest"),
        }
        for cue in cues_of(*starts, part) {
            line(&format!("{}  {}", clock(cue.at), tone_name(cue.tone)));
        }
    }
    text
}

fn clock(at: Duration) -> String {
    let millis = at.as_millis();
    format!("{:02}:{:02}.{:03}", millis / 60_000, millis / 1000 % 60, millis % 1000)
}

const fn tone_name(tone: Tone) -> &'static str {
    match tone {
        Tone::Count => "count",
        Tone::Lift => "lift",
        Tone::Lower => "lower",
        Tone::Hold => "hold",
        Tone::Relax => "relax",
        Tone::ChangeSides => "change sides",
        Tone::SetDone => "set done",
    }
}

const fn action_name(action: Action) -> &'static str {
    match action {
        Action::Lift => "lift",
        Action::Lower => "lower",
        Action::Hold => "hold",
        Action::Relax => "relax",
    }
}

const fn side_name(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

const fn sides_name(sides: Sides) -> &'static str {
    match sides {
        Sides::Together => "both sides at once",
        Sides::Left => "left side",
        Sides::Right => "right side",
        Sides::InTurn => "left, then right, in each set",
        Sides::OneAfterTheOther => "all sets on the left, then all on the right",
    }
}

/// The lines that differ, without those before and after that agree.
fn difference(kept: &str, now: &str) -> String {
    let (kept, now): (Vec<&str>, Vec<&str>) = (kept.lines().collect(), now.lines().collect());
    let same = |pair: &(&&str, &&str)| pair.0 == pair.1;
    let before = kept.iter().zip(&now).take_while(same).count();
    let (kept, now) = (&kept[before..], &now[before..]);
    let after = kept.iter().rev().zip(now.iter().rev()).take_while(same).count();
    let mut text = format!("line {}\n", before + 1);
    for (sign, lines) in [('-', kept), ('+', now)] {
        for line in &lines[..lines.len() - after] {
            writeln!(text, "{sign} {line}").unwrap();
        }
    }
    text
}

// Published check values.

#[derive(Deserialize)]
struct Row {
    id: String,
    inputs: Value,
    expected: Value,
    source: String,
}

fn rows(prefix: &str) -> Vec<Row> {
    let texts =
        [include_str!("fixtures/check_values.json"), include_str!("fixtures/cues/rows.json")];
    let rows = texts.into_iter().flat_map(|text| serde_json::from_str::<Vec<Row>>(text).unwrap());
    let rows: Vec<Row> = rows.filter(|row| row.id.starts_with(prefix)).collect();
    assert!(!rows.is_empty(), "{prefix}");
    rows
}

fn row(id: &str) -> Row {
    rows(id).into_iter().find(|row| row.id == id).unwrap()
}

fn secs(value: &Value) -> Option<Duration> {
    value.as_f64().map(Duration::from_secs_f64)
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap()
}

/// The seconds of a rep whose X takes so many; an X of none is written as 0.
fn rep_secs(written: &str, x: i64) -> u64 {
    let tempo = match PhaseSecs::new(x) {
        Ok(secs) => read(written, Order::LoweringFirst, Some(secs)),
        Err(_) => read(&written.replace('X', "0"), Order::LoweringFirst, None),
    };
    tempo.unwrap().rep_time().as_secs()
}
