//! By which words an exercise of the library is found, beyond its own: what the trade calls it, the muscles, the
//! movements, and what people say.

/// Words that tell no exercise from another.
pub const IGNORED: &str =
    "a an and at by do exercise exercises for from in is it my of on or out to the up with your";

/// A line for each exercise: its id, a colon, and names with commas between them.
const FOUND_BY: &str = include_str!("found_by.txt");

/// The names by which an exercise of the library is found.
pub fn found_by(id: &str) -> Vec<&'static str> {
    let of = |line: &'static str| line.split_once(": ").filter(|(known, _)| *known == id);
    let names = FOUND_BY.lines().find_map(of).map(|(_, names)| names);
    names.map(|names| names.split(", ").collect()).unwrap_or_default()
}
