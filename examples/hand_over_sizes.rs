//! How large a hand-over by code is, for routines of 1 to 8 exercises of the shipped library, as JSON.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a measurement that stops when it fails"
)]

#[path = "../tests/support/links.rs"]
mod links;

use carryover::exchange::{frames, link};
use serde_json::{Value, json};

fn main() {
    let rows = (1..=8).map(|exercises| {
        let fragment = links::fragment_of_shipped(&links::typical(exercises));
        let link = link::address(links::SITE, &fragment);
        let codes = frames::codes(&link, &fragment).unwrap();
        json!({
            "exercises": exercises,
            "link_bytes": link.len(),
            "codes_needed": codes.len(),
            "version": codes[0].version(),
        })
    });
    println!("{}", rows.collect::<Value>());
}
