//! Prints every sentence and label that the app can show or say: where it stands, its name, its text, and the
//! files that use it; at the end how many years of school the client's part asks for.
//! `cargo run --example words` (`make words`).

#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a tool that prints")]

use std::fs;
use std::path::Path;

#[path = "../tests/support/reading.rs"]
mod reading;
#[path = "../tests/support/sentences.rs"]
mod sentences;

use reading::reading_grade;
use sentences::{files_below, said_in};

/// What the client reads beside the words of the client's own screens.
const SHARED: [&str; 7] =
    ["dose.rs", "guide.rs", "hand_over.rs", "spoken.rs", "standing.rs", "verdict.rs", "warning.rs"];

/// A label of fewer words has no grade.
const FEWEST_WORDS: usize = 5;

fn main() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let short = |file: &Path| file.strip_prefix(&src).unwrap().display().to_string();
    let all: Vec<(String, String)> = files_below("src")
        .into_iter()
        .map(|file| (short(&file), fs::read_to_string(&file).unwrap()))
        .collect();
    let (mut texts, mut client) = (0, Vec::new());
    for (file, code) in all.iter().filter(|(file, _)| file.starts_with("ui/text/")) {
        let module =
            file.trim_end_matches(".rs").trim_end_matches("/mod").rsplit('/').next().unwrap();
        for said in said_in(code) {
            // The words of a refusal have the name of its type: whoever names that finds it, or tells it.
            let is_of_a_type = file.starts_with("ui/text/refusals/");
            let is_used_in = |other: &&(String, String)| {
                other.0 != *file
                    && names(&other.1, &said.item)
                    && (is_of_a_type || other.0.starts_with("ui/") && names(&other.1, module))
            };
            let users: Vec<&str> =
                all.iter().filter(is_used_in).map(|(name, _)| name.as_str()).collect();
            let users =
                if users.is_empty() { "the same file".to_owned() } else { users.join(", ") };
            println!("{file}: {}\n    {}\n    <- {users}", said.item, said.text);
            texts += 1;
            let place = file.trim_start_matches("ui/text/");
            let is_a_sentence = FEWEST_WORDS <= said.text.split(' ').count();
            if is_a_sentence && (place.starts_with("client/") || SHARED.contains(&place)) {
                client.push(said.text);
            }
        }
    }
    println!(
        "\n{texts} texts; the {} sentences among them that are the client's are of grade {:.1} (Flesch-Kincaid)",
        client.len(),
        reading_grade(&client)
    );
}

/// Does a text have this name as a word of its own?
fn names(code: &str, name: &str) -> bool {
    let is_of_a_name = |letter: char| letter.is_alphanumeric() || letter == '_';
    code.match_indices(name).any(|(at, _)| {
        !code[..at].ends_with(is_of_a_name) && !code[at + name.len()..].starts_with(is_of_a_name)
    })
}
