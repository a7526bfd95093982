//! Finding exercises by words, as they are typed: whole words, beginnings of words, and slips.
//!
//! Each word that was typed is worth what it tells exercises apart (the inverse document frequency of
//! Spärck Jones 1972, J Doc 28:11–21), times the place in which it was found, times how well it fits. Which
//! places weigh how much is ours, and held to `tests/search.rs`.

use std::collections::{BTreeMap, BTreeSet};

use super::routine::Exercise;

/// How much a place in which a word is found is worth.
const NAME: f64 = 4.0;
const FOUND_BY: f64 = 3.0;
const PURPOSE: f64 = 1.5;
const THINGS: f64 = 1.5;
const STEPS: f64 = 0.6;
/// How well a word fits that begins like another, and one that is a slip away.
const BEGINNING: f64 = 0.75;
const SLIP: f64 = 0.6;
/// What all the words in a row are worth beside each of them, where they are a whole name, or part of one.
const WHOLE_PHRASE: f64 = 2.0;
const PART_OF_PHRASE: f64 = 1.25;
/// A beginning has so many letters at least.
const LEAST_LETTERS: usize = 3;

/// What is known of an exercise beyond its own words.
#[derive(Clone, Copy, Debug, Default)]
pub struct Names<'a> {
    /// The part of the body.
    pub region: &'a str,
    /// Other names, muscles, movements, and what people call them, each a few words.
    pub found_by: &'a [&'a str],
}

/// One exercise that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// Its place among those that are searched.
    pub place: usize,
    /// Whether it has all that was typed.
    pub has_all: bool,
}

/// Exercises made ready to be searched.
#[derive(Clone, Debug, Default)]
pub struct Index {
    exercises: Vec<Indexed>,
    /// In how many exercises each word stands.
    counts: BTreeMap<String, u32>,
    /// Words that tell nothing apart.
    ignored: BTreeSet<String>,
}

#[derive(Clone, Debug)]
struct Indexed {
    /// Each word with the most that a place of it is worth.
    words: BTreeMap<String, f64>,
    /// Its names, each as words in a row.
    phrases: Vec<Vec<String>>,
}

impl Index {
    /// `ignored` are the words that tell nothing apart, such as "the", with a blank between them.
    pub fn of<'a>(
        exercises: impl Iterator<Item = (&'a Exercise, Names<'a>)>,
        ignored: &str,
    ) -> Self {
        let ignored = words(ignored).collect();
        let exercises: Vec<Indexed> =
            exercises.map(|(exercise, names)| indexed(exercise, names, &ignored)).collect();
        let mut counts = BTreeMap::new();
        for word in exercises.iter().flat_map(|one| one.words.keys()) {
            *counts.entry(word.clone()).or_default() += 1;
        }
        Self { exercises, counts, ignored }
    }

    /// Those that have any of what was typed, the best first; all of them, in their order, for no words.
    pub fn search(&self, typed: &str) -> Vec<Hit> {
        let typed: Vec<String> = words(typed).filter(|word| !self.ignored.contains(word)).collect();
        let meant: Vec<Meant> = typed.iter().map(|word| self.meant(word)).collect();
        let all: f64 = meant.iter().map(|meant| meant.worth).sum();
        let mut found: Vec<(f64, Hit)> = Vec::new();
        for (place, exercise) in self.exercises.iter().enumerate() {
            let fits: Vec<f64> = meant.iter().map(|meant| meant.fit(exercise)).collect();
            let had = meant.iter().zip(&fits).filter(|(_, fit)| 0.0 < **fit);
            let had: f64 = had.map(|(meant, _)| meant.worth).sum();
            let has_all = fits.iter().all(|fit| 0.0 < *fit);
            if !has_all && had <= 0.0 {
                continue;
            }
            let of_words: f64 = meant.iter().zip(&fits).map(|(meant, fit)| meant.worth * fit).sum();
            let share = if has_all { 1.0 } else { had / all };
            let score = of_words * share * share * in_a_row(exercise, &typed);
            found.push((score, Hit { place, has_all }));
        }
        found.sort_by(|(one, _), (other, _)| other.total_cmp(one));
        found.into_iter().map(|(_, hit)| hit).collect()
    }

    /// What a typed word can mean among the words that there are: itself and what begins with it; a slip only
    /// where there is neither.
    fn meant(&self, typed: &str) -> Meant {
        let begins =
            |known: &&String| LEAST_LETTERS <= typed.chars().count() && known.starts_with(typed);
        let mut fits: Vec<(String, f64)> = Vec::new();
        for known in self.counts.keys().filter(|known| *known == typed || begins(known)) {
            fits.push((known.clone(), if known == typed { 1.0 } else { BEGINNING }));
        }
        if fits.is_empty() {
            let most = slips_allowed(typed);
            let slip = |known: &String| {
                let slips = strsim::osa_distance(typed, known);
                (slips <= most && slips <= slips_allowed(known)).then(|| {
                    (known.clone(), SLIP / f64::from(u8::try_from(slips).unwrap_or(u8::MAX)))
                })
            };
            fits.extend(self.counts.keys().filter_map(slip));
        }
        let exercises: f64 = self.exercises.iter().map(|_| 1.0).sum();
        let most = fits.iter().filter_map(|(word, _)| self.counts.get(word)).max();
        let worth = most.map_or(1.0, |count| (1.0 + exercises / f64::from(*count)).ln());
        Meant { fits, worth }
    }
}

/// What a typed word can mean, and how much it tells apart.
struct Meant {
    fits: Vec<(String, f64)>,
    worth: f64,
}

impl Meant {
    fn fit(&self, exercise: &Indexed) -> f64 {
        let of = |(word, fit): &(String, f64)| Some(exercise.words.get(word)? * fit);
        self.fits.iter().filter_map(of).fold(0.0, f64::max)
    }
}

/// Two letters swapped, left out, doubled or mistaken: one such slip in a short word, two in a long one.
fn slips_allowed(word: &str) -> usize {
    match word.chars().count() {
        0..=3 => 0,
        4..=6 => 1,
        _ => 2,
    }
}

fn in_a_row(exercise: &Indexed, typed: &[String]) -> f64 {
    if typed.is_empty() {
        return 1.0;
    }
    let of = |phrase: &Vec<String>| {
        if phrase == typed {
            WHOLE_PHRASE
        } else if phrase.windows(typed.len()).any(|words| words == typed) {
            PART_OF_PHRASE
        } else {
            1.0
        }
    };
    exercise.phrases.iter().map(of).fold(1.0, f64::max)
}

fn indexed(exercise: &Exercise, names: Names, ignored: &BTreeSet<String>) -> Indexed {
    let kept = |text: &str| -> Vec<String> {
        words(text).filter(|word| !ignored.contains(word)).collect()
    };
    let name = kept(exercise.name.as_str());
    let found_by: Vec<Vec<String>> = names.found_by.iter().map(|phrase| kept(phrase)).collect();
    let mut of = BTreeMap::new();
    let mut put = |words: &[String], worth: f64| {
        for word in words {
            let known: &mut f64 = of.entry(word.clone()).or_default();
            *known = known.max(worth);
        }
    };
    put(&name, NAME);
    for phrase in &found_by {
        put(phrase, FOUND_BY);
    }
    // "pushup" for "push-up".
    for (phrase, worth) in found_by.iter().map(|phrase| (phrase, FOUND_BY)).chain([(&name, NAME)]) {
        let joined: Vec<String> = phrase.windows(2).map(<[String]>::concat).collect();
        put(&joined, worth);
    }
    put(&kept(names.region), PURPOSE);
    if let Some(purpose) = &exercise.purpose {
        put(&kept(purpose.as_str()), PURPOSE);
    }
    for (texts, worth) in
        [(&exercise.equipment, THINGS), (&exercise.steps, STEPS), (&exercise.watch_for, STEPS)]
    {
        for text in texts {
            put(&kept(text.as_str()), worth);
        }
    }
    let phrases = found_by.into_iter().chain([name]).collect();
    Indexed { words: of, phrases }
}

/// The words of a text, each without what its grammar adds.
fn words(text: &str) -> impl Iterator<Item = String> {
    let text: String = text.chars().filter(|letter| !matches!(letter, '\'' | '’')).collect();
    let text = text.to_lowercase();
    let each: Vec<String> = text
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(root)
        .collect();
    each.into_iter()
}

/// An English word without the endings of a plural or a verb: "raises", "raising" and "raise" are one word.
fn root(word: &str) -> String {
    let cut = |ending: &str, least: usize| {
        word.strip_suffix(ending).filter(|left| least <= left.chars().count())
    };
    let left = if let Some(left) = cut("ies", 3) {
        return format!("{left}y");
    } else if let Some(left) = cut("ing", 3).or_else(|| cut("ed", 3)) {
        let doubled = left.as_bytes().windows(2).last().is_some_and(|pair| pair[0] == pair[1]);
        let keeps = left.ends_with("ss") || left.ends_with("ll");
        if doubled && !keeps { &left[..left.len() - 1] } else { left }
    } else if word.ends_with("ss") || word.ends_with("us") || word.ends_with("is") {
        word
    } else if let Some(left) = cut("es", 4).filter(|left| left.ends_with(['s', 'x', 'z', 'h'])) {
        left
    } else {
        cut("s", 3).unwrap_or(word)
    };
    left.strip_suffix('e').filter(|left| 3 <= left.chars().count()).unwrap_or(left).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_of_a_word_are_one_word() {
        for forms in [
            ["raise", "raises", "raising"],
            ["squat", "squats", "squatting"],
            ["march", "marches", "marching"],
            ["curl", "curls", "curling"],
            ["press", "presses", "pressed"],
            ["bridge", "bridges", "bridging"],
        ] {
            let roots = forms.map(root);
            assert_eq!(roots[0], roots[1], "{forms:?}");
            assert_eq!(roots[0], roots[2], "{forms:?}");
        }
        for word in ["soleus", "pelvis", "abs", "gas"] {
            assert!(root(word).starts_with(&word[..3]), "{word}");
        }
    }
}
