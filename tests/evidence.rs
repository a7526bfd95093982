//! The page of evidence is what the code says, and the exact shares of one day are what another program, and a
//! pencil, make of them.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use std::fs;
use std::path::Path;
use std::process::Command;

use carryover::domain::pain::PainRating;
use carryover::domain::plan::limits::{Cell, Limits, Preset, Settling, Table, Zone};
use carryover::domain::tried::doubts::{
    CAUGHT_WITHIN, Doubt, HELD_AT_MOST, MISSED_AT_MOST, creep_missed, doubts, steady_held,
};
use carryover::domain::tried::kinds::Kind;
use carryover::domain::tried::one_day::{OneDay, Truth, answered_places};
use carryover::domain::tried::outcomes::{LIVES, Pair, outcomes};
use carryover::domain::tried::presets::worked_out;
use carryover::domain::tried::wobble::Wobble;

#[path = "support/evidence.rs"]
mod evidence;

fn rating(points: i64) -> PainRating {
    PainRating::new(points).unwrap()
}

fn truth(during: f64, rise: f64) -> Truth {
    Truth { during, usual: rating(2), rise }
}

fn rows_of(table: &Table) -> [[Cell; 4]; 3] {
    Zone::ALL.map(|zone| Settling::ALL.map(|settling| table.cell(zone, settling)))
}

#[test]
fn the_committed_page_is_what_the_code_says() {
    let page = evidence::page();
    let committed = include_str!("../docs/what-the-rule-does.md");
    let differs = page.lines().zip(committed.lines()).find(|(said, stands)| said != stands);
    assert_eq!(differs, None, "`make evidence` writes it anew");
    assert_eq!(page.len(), committed.len(), "`make evidence` writes it anew");
}

#[test]
fn what_the_app_knows_of_the_presets_is_what_their_lives_come_to() {
    let committed = include_str!("../src/domain/tried/presets.json");
    assert!(evidence::presets() == committed, "`make evidence` writes it anew");
    let worked_out = worked_out();
    let steady = Kind::ALL.iter().position(|kind| *kind == Kind::SettlesQuickly).unwrap();
    for (known, preset) in worked_out.iter().zip(Preset::ALL) {
        let lived: Vec<Pair> = outcomes(&Limits::of(preset), LIVES).collect();
        let [of_lives, known] = [lived[steady], known[steady]].map(|pair| pair[0].lights[0].mean);
        assert!((of_lives - known).abs() <= 0.0005, "{preset:?}: {of_lives} {known}");
    }
}

#[test]
fn the_shares_of_one_day_are_what_another_program_sums() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("evidence");
    fs::create_dir_all(&folder).unwrap();
    let file = folder.join("one_day.json");
    fs::write(&file, evidence::one_day().to_string()).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/recount/one_day.py");
    let counted = Command::new("python3").arg(script).arg(&file).output();
    let counted = counted.unwrap_or_else(|error| panic!("python3 does not run: {error}"));
    let said = String::from_utf8_lossy(&counted.stdout);
    assert!(counted.status.success(), "{said}{}", String::from_utf8_lossy(&counted.stderr));
    assert_eq!(said.trim(), "108 rows");
}

/// With the normal table: a wobble of 0.5 puts a rating within half a point of the truth in 0.6827 of cases,
/// and on either side of it in 0.1587. So a pain of 2 is low (0 to 2) in 0.8413 and middle else; a morning of 2
/// is settled in 0.8413, 3 in 0.1573, and 4 or more, three standard deviations off, in 0.00135.
#[test]
fn a_steady_day_worked_by_hand() {
    let wobble = Wobble::of(0.5).unwrap();
    let day = OneDay::of(&Limits::of(Preset::PainMonitoring), truth(2.0, 0.0), wobble).shares;
    let (low, middle) = (0.841_344_746, 0.158_655_254);
    let (settled, little, clearly) = (0.841_344_746, 0.157_305_356, 0.001_349_898);
    for (found, by_hand) in [
        (day.counts, low * settled),
        (day.stay, low * little + middle * settled),
        (day.ease, low * clearly + middle * little),
        (day.hold, middle * clearly),
    ] {
        assert!((found - by_hand).abs() < 1e-8, "{found} {by_hand}");
    }
}

/// Without a wobble to speak of, a day is the cell that its truth lies in.
#[test]
fn a_day_that_does_not_wobble_is_one_cell_of_the_table() {
    let still = Wobble::of(1e-6).unwrap();
    for preset in Preset::ALL {
        let limits = Limits::of(preset);
        for during in PainRating::all() {
            let zone = limits.table.zone(during);
            let during = f64::from(during.points());
            for (rise, settling) in [(-1.0, 0), (0.0, 0), (1.0, 1), (2.0, 2), (5.0, 2)]
                .map(|(rise, of)| (rise, Settling::ALL[of]))
            {
                let cell = limits.table.cell(zone, settling);
                let day = OneDay::of(&limits, truth(during, rise), still);
                assert!((day.shares.of(cell) - 1.0).abs() < 1e-9, "{preset:?} {during} {rise}");
                assert!((day.at((zone, settling), cell) - 1.0).abs() < 1e-9);
            }
            let cell = limits.table.cell(zone, Settling::NotAnswered);
            let day = OneDay::unanswered(&limits, during, still);
            assert!((day.shares.of(cell) - 1.0).abs() < 1e-9, "{preset:?} {during}");
        }
    }
}

#[test]
fn the_places_of_a_day_come_to_its_shares() {
    let day = OneDay::of(&Limits::of(Preset::NearlyPainFree), truth(2.0, 1.0), Wobble::LARGER);
    for cell in Cell::ALL {
        let sum: f64 = answered_places().map(|place| day.at(place, cell)).sum();
        assert!((sum - day.shares.of(cell)).abs() < 1e-12);
    }
}

/// The table with one cell changed, and with it each cell that no accepted table can have beside it.
fn changed(table: &Table, zone: Zone, settling: Settling, cell: Cell) -> Table {
    let is_harsher = table.cell(zone, settling) < cell;
    let rows = Zone::ALL.map(|row| {
        Settling::ALL.map(|column| {
            let is = table.cell(row, column);
            let compared = (column == Settling::NotAnswered) == (settling == Settling::NotAnswered);
            match compared {
                true if is_harsher && zone <= row && settling <= column => is.max(cell),
                true if !is_harsher && row <= zone && column <= settling => is.min(cell),
                true | false => is,
            }
        })
    });
    Table::new(table.low_max(), table.middle_max(), rows).unwrap()
}

/// Each cell of each preset one step milder and one step harsher: what the page says of the table is something
/// else then, beside the table itself.
#[test]
fn a_cell_changed_one_step_changes_the_page() {
    let mut count = 0;
    for preset in Preset::ALL {
        let table = preset.table();
        let said = evidence::exact("", &evidence::climbing(table.clone()));
        for zone in Zone::ALL {
            for settling in Settling::ALL {
                let is = table.cell(zone, settling) as usize;
                let steps = [is.checked_sub(1), Some(is + 1)].into_iter().flatten();
                let never =
                    |cell: &&Cell| settling == Settling::NotAnswered && **cell == Cell::Counts;
                for cell in steps.filter_map(|step| Cell::ALL.get(step)).filter(|cell| !never(cell))
                {
                    let other = evidence::climbing(changed(&table, zone, settling, *cell));
                    let said_then = evidence::exact("", &other);
                    assert_ne!(said, said_then, "{preset:?} {zone:?} {settling:?} {cell:?}");
                    count += 1;
                }
            }
        }
    }
    assert_eq!(count, 51);
}

/// A limit moved by a point does, too.
#[test]
fn a_zone_moved_by_a_point_changes_the_page() {
    for preset in Preset::ALL {
        let table = preset.table();
        let said = evidence::exact("", &evidence::climbing(table.clone()));
        let (low, middle) =
            (i64::from(table.low_max().points()), i64::from(table.middle_max().points()));
        for (low, middle) in [(low - 1, middle), (low, middle + 1), (low, middle - 1)] {
            let Ok(other) = Table::new(rating(low), rating(middle), rows_of(&table)) else {
                continue;
            };
            assert_ne!(
                said,
                evidence::exact("", &evidence::climbing(other)),
                "{preset:?} {low} {middle}"
            );
        }
    }
}

#[test]
fn no_table_that_ships_is_doubted() {
    for preset in Preset::ALL {
        assert_eq!(doubts(&Limits::of(preset)), Vec::new(), "{preset:?}");
    }
}

fn limits(low_max: i64, middle_max: i64, rows: [[Cell; 4]; 3]) -> Limits {
    let table = Table::new(rating(low_max), rating(middle_max), rows).unwrap();
    Limits { table, ..Limits::of(Preset::PainMonitoring) }
}

/// Middle pain that ends at 2 holds a steady client with pain 2 whenever a rating strays by a point.
#[test]
fn a_table_that_holds_the_steady_is_doubted_at_the_cell_that_does_it() {
    let harsh = limits(1, 2, rows_of(&Preset::NearlyPainFree.table()));
    let found = doubts(&harsh);
    let [Doubt::SteadyHeld { share, wobble, at }] = found[..] else { panic!("{found:?}") };
    assert_eq!((wobble, at), (Wobble::LARGER, (Zone::High, Settling::Settled)));
    assert!(HELD_AT_MOST < share);
    assert_eq!(steady_held(&harsh, wobble), (share, at));
}

#[test]
fn a_table_that_lets_a_creeping_rise_pass_is_doubted_at_the_cell_that_does_it() {
    use Cell::{Counts, Ease, Hold, Stay};
    let mild = limits(
        4,
        8,
        [[Counts, Stay, Stay, Stay], [Stay, Stay, Ease, Stay], [Ease, Hold, Hold, Hold]],
    );
    let found = doubts(&mild);
    let [Doubt::CreepMissed { share, wobble, at }] = found[..] else { panic!("{found:?}") };
    assert_eq!(at, (Zone::Low, Settling::UpALittle));
    assert!(MISSED_AT_MOST < share);
    assert_eq!(creep_missed(&mild, wobble), (share, at));
}

/// A table that says Keep to everything misses every rise; one that says Ease to everything misses none.
#[test]
fn the_ends_of_missing_a_rise_are_all_and_none() {
    use Cell::{Ease, Hold, Stay};
    let (missed, _) = creep_missed(&limits(2, 5, [[Stay; 4]; 3]), Wobble::SMALLER);
    assert!((missed - 1.0).abs() < 1e-12);
    let (missed, _) =
        creep_missed(&limits(2, 5, [[Ease; 4], [Hold; 4], [Hold; 4]]), Wobble::SMALLER);
    assert!(missed < f64::from(CAUGHT_WITHIN) * 1e-12);
}
