//! Writes what the rule does: `docs/what-the-rule-does.md`, what the app knows of the presets beforehand, and
//! `target/evidence/one_day.json` with the exact shares of one day. `cargo run --example evidence` (`make evidence`).

#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a tool: what fails shall be seen")]

use std::fs;

#[path = "../tests/support/evidence.rs"]
mod evidence;

fn main() {
    fs::write("docs/what-the-rule-does.md", evidence::page()).unwrap();
    fs::write("src/domain/tried/presets.json", evidence::presets()).unwrap();
    fs::create_dir_all("target/evidence").unwrap();
    let rows = evidence::one_day();
    fs::write("target/evidence/one_day.json", format!("{rows:#}\n")).unwrap();
    println!(
        "docs/what-the-rule-does.md, src/domain/tried/presets.json, target/evidence/one_day.json"
    );
}
