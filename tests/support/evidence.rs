//! The page of evidence, `docs/what-the-rule-does.md`, and the rows of one day for another program to count
//! again. `make evidence` writes both; `tests/evidence.rs` holds the committed page to this.

use std::fmt::Write;

use carryover::domain::pain::PainRating;
use carryover::domain::plan::limits::{Limits, MayStepUp, Preset, Site, SiteCounts, Table, Zone};
use carryover::domain::tried::doubts::{creep_missed, doubts, steady_held};
use carryover::domain::tried::kinds::Kind;
use carryover::domain::tried::lives::Trial;
use carryover::domain::tried::one_day::{OneDay, Shares, Truth};
use carryover::domain::tried::outcomes::{Estimate, LIVES as WAITED_FOR, Outcome, Pair, outcomes};
use carryover::domain::tried::wobble::Wobble;
use carryover::domain::words::Words;
use carryover::ui::text::tried;
use carryover::ui::text::verdict::{preset, zone_range};
use serde_json::{Value, json};

/// Lives of each kind, wobble and table of the page.
const LIVES: u32 = 200;

/// A preset under which the app climbs by itself, so that the page can say how fast.
pub fn climbing(table: Table) -> Limits {
    Limits { table, may_step_up: MayStepUp::ToTheCeiling, ..Limits::of(Preset::PainMonitoring) }
}

/// The whole page.
pub fn page() -> String {
    let mut page = include_str!("evidence/begin.md").to_owned();
    for of in Preset::ALL {
        page += &exact(preset(Some(of)), &climbing(of.table()));
    }
    page += include_str!("evidence/kinds.md");
    for kind in Kind::ALL {
        writeln!(page, "| {} | {} |", tried::kind(kind), tried::model(kind)).unwrap();
    }
    page += &include_str!("evidence/lives.md").replace("LIVES", &LIVES.to_string());
    for of in Preset::ALL {
        page += &lived(preset(Some(of)), &climbing(of.table()));
    }
    page += include_str!("evidence/site.md");
    page += &misleading();
    page + include_str!("evidence/end.md")
}

/// What can be summed exactly of a table.
pub fn exact(name: &str, limits: &Limits) -> String {
    let mut text = format!("\n### {name}\n\n");
    let range = |zone| zone_range(&limits.table, zone);
    let [low, middle, high] = Zone::ALL.map(range);
    writeln!(text, "Low {low}, middle {middle}, high {high}.\n").unwrap();
    text += "| pain during | next morning | counts | stays | Ease | Hold |\n|---|---|---|---|---|---|\n";
    for points in [0, 1, 2, 3, 4, 5, 7] {
        let during = f64::from(points);
        for rise in [0.0, 1.0, 2.0] {
            let truth = Truth { during, usual: usual(), rise };
            let of = |wobble| OneDay::of(limits, truth, wobble).shares;
            let morning = if rise == 0.0 { "as usual".to_owned() } else { format!("up by {rise}") };
            text += &shares_row(points, &morning, Wobble::PUBLISHED.map(of));
        }
        let of = |wobble| OneDay::unanswered(limits, during, wobble).shares;
        text += &shares_row(points, "not answered", Wobble::PUBLISHED.map(of));
    }
    let of_both = |share: &dyn Fn(Wobble) -> f64| in_hundred(Wobble::PUBLISHED.map(share));
    let held = of_both(&|wobble| steady_held(limits, wobble).0);
    let missed = of_both(&|wobble| creep_missed(limits, wobble).0);
    writeln!(
        text,
        "\nHeld by wobble alone, with pain 2 and mornings as usual: {held} days in 100."
    )
    .unwrap();
    writeln!(
        text,
        "Neither Ease nor Hold in two weeks of a rise of a point a week: {missed} clients in 100."
    )
    .unwrap();
    for doubt in doubts(limits) {
        writeln!(text, "\n> {}", tried::doubt(doubt)).unwrap();
    }
    text
}

fn usual() -> PainRating {
    PainRating::new(2).unwrap()
}

fn shares_row(during: u32, morning: &str, shares: [Shares; 2]) -> String {
    let of = |share: fn(Shares) -> f64| in_hundred(shares.map(share));
    let [counts, stays, ease, hold] = [
        of(|shares| shares.counts),
        of(|shares| shares.stay),
        of(|shares| shares.ease),
        of(|shares| shares.hold),
    ];
    format!("| {during} | {morning} | {counts} | {stays} | {ease} | {hold} |\n")
}

/// Two shares of a hundred, as a range where they differ: "4.2", "1.0 to 4.2".
fn in_hundred(shares: [f64; 2]) -> String {
    range(shares.map(|share| share * 100.0))
}

fn range([one, other]: [f64; 2]) -> String {
    let [low, high] = [one.min(other), one.max(other)].map(|number| format!("{number:.1}"));
    if low == high { low } else { format!("{low} to {high}") }
}

/// What eight weeks under a table come to.
fn lived(name: &str, limits: &Limits) -> String {
    let mut text = format!("\n### {name}\n\n");
    text += LIVED_HEADING;
    let outcomes: Vec<Pair> = outcomes(limits, LIVES).collect();
    for (kind, of_kind) in Kind::ALL.into_iter().zip(&outcomes) {
        text += &lived_row(tried::kind(kind), of_kind);
    }
    let errors =
        outcomes.iter().flatten().flat_map(|outcome| outcome.lights).map(|light| light.error);
    let widest = errors.fold(0.0, f64::max);
    writeln!(text, "\nThe standard error of a share of lights is at most {widest:.1} in 100.")
        .unwrap();
    text
}

const LIVED_HEADING: &str = "| kind | Keep | Ease | Hold | first Ease or Hold, day | slowest tenth | Ease or Hold, days | step ups | left out, days | of them stopped |\n|---|---|---|---|---|---|---|---|---|---|\n";

fn lived_row(name: &str, outcomes: &Pair) -> String {
    let mean = |of: fn(Outcome) -> Estimate| range(outcomes.map(|outcome| of(outcome).mean));
    let [keep, ease, hold] = [
        mean(|outcome| outcome.lights[0]),
        mean(|outcome| outcome.lights[1]),
        mean(|outcome| outcome.lights[2]),
    ];
    let day = |of: fn(Outcome) -> Option<u32>| {
        let days =
            outcomes.map(|outcome| of(outcome).map_or("later".to_owned(), |day| day.to_string()));
        if days[0] == days[1] { days[0].clone() } else { format!("{} or {}", days[0], days[1]) }
    };
    let (median, slowest) = (
        day(|outcome| outcome.first_alarm.median),
        day(|outcome| outcome.first_alarm.slowest_tenth),
    );
    let (alarms, steps) = (mean(|outcome| outcome.alarms), mean(|outcome| outcome.step_ups));
    let (left_out, stopped) = (mean(|outcome| outcome.left_out), mean(|outcome| outcome.stopped));
    format!(
        "| {name} | {keep} | {ease} | {hold} | {median} | {slowest} | {alarms} | {steps} | {left_out} | {stopped} |\n"
    )
}

/// One site that misleads, under each meaning that a site can have.
fn misleading() -> String {
    let mut text = LIVED_HEADING.replace("kind", "the site counts");
    let site = |counts| Site { name: Words::new("skin").unwrap(), counts };
    for (name, counts) in [
        ("as rated", SiteCounts::AsRated),
        ("one zone worse", SiteCounts::OneZoneWorse),
        ("to be noted only", SiteCounts::NotedOnly),
    ] {
        let table = Preset::PainMonitoring.table();
        let limits = Limits { sites: vec![site(counts)], ..climbing(table) };
        let trial = Trial::of(&limits);
        let of = |wobble| Outcome::of(&trial, Kind::MisleadingSite, wobble, LIVES);
        text += &lived_row(name, &Wobble::PUBLISHED.map(of));
    }
    text
}

/// What the presets come to as they are, for the screen that compares limits with them.
pub fn presets() -> String {
    let of = |preset| outcomes(&Limits::of(preset), WAITED_FOR).collect::<Vec<_>>();
    let mut worked_out = serde_json::to_value(Preset::ALL.map(of)).unwrap();
    to_a_thousandth(&mut worked_out);
    format!("{worked_out}\n")
}

fn to_a_thousandth(value: &mut Value) {
    match value {
        Value::Array(items) => items.iter_mut().for_each(to_a_thousandth),
        Value::Object(fields) => fields.values_mut().for_each(to_a_thousandth),
        Value::Number(number) if number.is_f64() => {
            *value = json!((number.as_f64().unwrap() * 1000.0).round() / 1000.0);
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// The exact shares of one day: a row for each preset, true pain during, true rise and wobble.
pub fn one_day() -> Value {
    let mut rows = Vec::new();
    for of in Preset::ALL {
        let limits = Limits::of(of);
        for during in 0..=5 {
            for rise in [0, 1] {
                for wobble in Wobble::ALL {
                    let truth =
                        Truth { during: f64::from(during), usual: usual(), rise: f64::from(rise) };
                    let Shares { counts, stay, ease, hold } =
                        OneDay::of(&limits, truth, wobble).shares;
                    rows.push(json!({
                        "preset": preset(Some(of)),
                        "during": during,
                        "usual": usual(),
                        "rise": rise,
                        "sd": wobble.points(),
                        "counts": counts,
                        "stay": stay,
                        "ease": ease,
                        "hold": hold,
                    }));
                }
            }
        }
    }
    Value::Array(rows)
}
