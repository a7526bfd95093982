//! How long it takes to try a table, as JSON: on a log, as a multiple of folding that log once, and on the
//! eight kinds of client, for so many lives each.
//!
//!     cargo run --release --example review_speed log > year.txt
//!     cargo run --release --example tried_speed year.txt 40

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a measurement that stops when it fails, and that needs a clock"
)]

use std::hint::black_box;
use std::time::Instant;

use carryover::domain::log::event::Event;
use carryover::domain::log::history::History;
use carryover::domain::plan::limits::{Limits, Preset};
use carryover::domain::tried::doubts::doubts;
use carryover::domain::tried::outcomes::{LIVES, outcomes};
use carryover::domain::tried::replay::replay;
use carryover::exchange::file::{self, File};
use serde_json::json;

/// Times that each measurement is repeated; the middle one counts.
const REPEATS: usize = 7;

fn main() {
    let mut asked = std::env::args().skip(1);
    let log = std::fs::read_to_string(asked.next().unwrap()).unwrap();
    let lives: u32 = asked.next().map_or(LIVES, |lives| lives.parse().unwrap());
    let File::Log(records) = file::parse(&log).unwrap() else { panic!("a log") };
    let events: Vec<Event> = records.into_iter().map(|record| record.event).collect();
    let limits = Limits::of(Preset::NearlyPainFree);
    let folded = millis(|| drop(black_box(History::fold(&events))));
    let replayed = millis(|| drop(black_box(replay(&events, |_, _| limits.clone()))));
    let kinds = millis(|| drop(black_box(outcomes(&limits, lives).collect::<Vec<_>>())));
    let doubted = millis(|| drop(black_box(doubts(&limits))));
    println!(
        "{}",
        json!({
            "events": events.len(),
            "fold_ms": folded,
            "replay_ms": replayed,
            "year_ms_ratio": replayed / folded,
            "lives": lives,
            "kinds_ms": kinds,
            "doubts_ms": doubted,
        })
    );
}

fn millis(work: impl Fn()) -> f64 {
    let mut times = [(); REPEATS].map(|()| {
        let began = Instant::now();
        work();
        began.elapsed().as_secs_f64() * 1000.0
    });
    times.sort_unstable_by(f64::total_cmp);
    times[REPEATS / 2]
}
