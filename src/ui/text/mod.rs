//! Every word shown, in plain language. Screens ask here; they write no sentence of their own beyond labels.

pub mod dates;

pub mod dose;

pub mod verdict;

pub mod warning;

/// Words at the beginning of a sentence.
pub fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
