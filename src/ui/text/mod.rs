//! Every word shown, in plain language. Screens ask here; they write no sentence of their own beyond labels.

pub mod client;

pub mod components;

pub mod practice;

pub mod dates;

pub mod dose;

pub mod library;

pub mod spoken;

pub mod log;

pub mod intake;

pub mod link;

pub mod photo;

pub mod notices;

pub mod verdict;

pub mod tried;

pub mod trend;

pub mod talking;

pub mod glance;

pub mod review;

pub mod visit_note;

pub mod fhir;

pub mod measure;

pub mod completeness;

pub mod changes;

pub mod guide;

pub mod warning;

pub mod standing;

pub mod hand_over;

pub mod refusals;

pub mod fault;

use crate::domain::log::history::History;
use crate::domain::words::Words;

/// How the client knows the practitioner.
pub fn who(history: &History) -> String {
    let named = history.routine().and_then(|routine| routine.practitioner.as_ref());
    named.map_or_else(|| "your practitioner".to_owned(), Words::to_string)
}

/// Words with a full stop, where there is no mark at their end.
fn sentence(words: &Words) -> String {
    let words = words.as_str();
    if words.ends_with(['.', '!', '?']) { words.to_owned() } else { format!("{words}.") }
}

/// Words of which each is a sentence, in a row.
pub fn sentences(words: &[Words]) -> String {
    words.iter().map(sentence).collect::<Vec<_>>().join(" ")
}

/// Words at the beginning of a sentence.
pub fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Words within a sentence that could have begun one.
pub fn uncapitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
