//! What a client reads of an exercise, and how many years of school it asks for.

#![allow(dead_code, reason = "each test file uses its own part")]

use carryover::domain::plan::dose::{Load, Tempo};
use carryover::domain::plan::routine::Exercise;
use carryover::domain::words::Words;

/// Everything in an exercise that its client may read, but for its source.
pub fn lines_of(exercise: &Exercise) -> Vec<&Words> {
    let mut lines = vec![&exercise.name];
    lines.extend(&exercise.purpose);
    for list in [&exercise.equipment, &exercise.steps, &exercise.watch_for, &exercise.cautions] {
        lines.extend(list);
    }
    for rung in exercise.ladder.rungs() {
        lines.extend(rung.words.lists().flatten());
    }
    lines.extend(parts_of(exercise));
    lines
}

/// What is shown within a sentence: what helps, what is moved, and the words beside a phase.
pub fn parts_of(exercise: &Exercise) -> Vec<&Words> {
    let mut parts: Vec<&Words> = phase_words(&exercise.dose.tempo).collect();
    parts.extend(load_words(exercise.dose.load.as_ref()));
    for rung in exercise.ladder.rungs() {
        parts.push(&rung.help);
        parts.extend(rung.dose.tempo.iter().flat_map(phase_words));
        parts.extend(load_words(rung.dose.load.as_ref()));
    }
    parts
}

fn phase_words(tempo: &Tempo) -> impl Iterator<Item = &Words> {
    tempo.phases().iter().filter_map(|phase| phase.how.as_ref())
}

fn load_words(load: Option<&Load>) -> Option<&Words> {
    match load? {
        Load::Described(words) => Some(words),
        Load::Weight { .. } => None,
    }
}

/// The Flesch-Kincaid grade of some lines, each at least one sentence. An approximation, since
/// syllables are counted as groups of vowels.
pub fn reading_grade<T: AsRef<str>>(lines: &[T]) -> f64 {
    let mut counts = [0; 3];
    for line in lines {
        for (count, more) in counts.iter_mut().zip(counted(line.as_ref())) {
            *count += more;
        }
    }
    grade(counts)
}

/// The grade of a text from its sentences, words and syllables: about the years of school that a
/// reader needs. Kincaid, Fishburne, Rogers and Chissom 1975 (Research Branch Report 8-75), as
/// readabilityformulas.com gives it.
pub fn grade(counts: [usize; 3]) -> f64 {
    let [sentences, words, syllables] =
        counts.map(|count| f64::from(u32::try_from(count).expect("a short text")));
    0.39 * words / sentences + 11.8 * syllables / words - 15.59
}

/// Sentences, words and syllables.
pub fn counted(line: &str) -> [usize; 3] {
    let sentences = line.split(['.', '?', '!', ':']).filter(|part| !part.trim().is_empty()).count();
    let words: Vec<&str> = line
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let syllables = words.iter().map(|word| syllables(word)).sum();
    [sentences, words.len(), syllables]
}

/// Groups of vowels, less a silent e at the end; at least one.
pub fn syllables(word: &str) -> usize {
    let word = word.to_lowercase();
    let is_vowel = |letter: char| "aeiouy".contains(letter);
    let groups = word.split(|letter| !is_vowel(letter)).filter(|group| !group.is_empty()).count();
    let silent = word.ends_with('e') && !word.ends_with("le") && !word.ends_with("ee");
    (groups - usize::from(silent && 1 < groups)).max(1)
}
