//! What people can read, found in the source of the program: string literals that are words.

#![allow(dead_code, reason = "each user takes its own part")]

use std::fs;
use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// One text that a person can read.
pub struct Said {
    /// The constant or function that it stands in.
    pub item: String,
    pub text: String,
}

/// Attributes of elements that nobody reads.
const UNREAD: [&str; 26] = [
    "autocomplete",
    "class",
    "d",
    "dominant",
    "download",
    "fill",
    "for",
    "form",
    "height",
    "href",
    "id",
    "inputmode",
    "key",
    "kind",
    "lang",
    "name",
    "points",
    "rel",
    "role",
    "scope",
    "src",
    "stroke",
    "style",
    "target",
    "transform",
    "type",
];
/// Calls whose texts are for whoever maintains the program.
const FOR_DEVELOPERS: [&str; 7] =
    ["expect", "panic", "unreachable", "assert", "assert_eq", "debug_assert", "include_str"];

/// Every text of a source file that is words, in order.
pub fn said_in(code: &str) -> Vec<Said> {
    let code = code.split("#[cfg(test)]").next().unwrap_or_default();
    let tokens: TokenStream = code.parse().expect("the source of a program that is built");
    let mut said = Vec::new();
    look(tokens, &mut String::new(), false, &mut said);
    said
}

/// What stands in an `impl` of a trait has the name of the type, since every type has the same functions there.
fn look(tokens: TokenStream, item: &mut String, is_of_a_trait: bool, said: &mut Vec<Said>) {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let at = |place: usize| place.checked_sub(1).and_then(|place| tokens.get(place));
    for (place, token) in tokens.iter().enumerate() {
        match token {
            TokenTree::Ident(name) => {
                let is_named =
                    |words: &[&str]| at(place).is_some_and(|before| is_word(before, words));
                let is_a_type = is_named(&["for"])
                    && matches!(tokens.get(place + 1), Some(TokenTree::Group(_)));
                if is_a_type || !is_of_a_trait && is_named(&["const", "fn", "static"]) {
                    *item = name.to_string();
                }
            }
            TokenTree::Group(group) => {
                let is_attribute = group.delimiter() == Delimiter::Bracket
                    && at(place).is_some_and(|before| is_sign(before, '#') || is_sign(before, '!'))
                    && !at(place - 1).is_some_and(|two| matches!(two, TokenTree::Ident(_)));
                let caller = at(place).filter(|before| !is_sign(before, '!'));
                let caller = caller.or_else(|| at(place.saturating_sub(1)));
                let is_for_developers =
                    caller.is_some_and(|caller| is_word(caller, &FOR_DEVELOPERS));
                if !is_attribute && !is_for_developers {
                    let is_impl =
                        at(place.saturating_sub(1)).is_some_and(|two| is_word(two, &["for"]));
                    let is_of_a_trait = is_of_a_trait || is_impl;
                    look(group.stream(), item, is_of_a_trait, said);
                }
            }
            TokenTree::Literal(literal) => {
                let text = literal.to_string();
                let Some(text) = text.strip_prefix('"').and_then(|text| text.strip_suffix('"'))
                else {
                    continue;
                };
                let is_unread = at(place).is_some_and(|before| is_sign(before, '='))
                    && at(place.saturating_sub(1)).is_some_and(|name| is_word(name, &UNREAD));
                if !is_unread && is_words(text) {
                    said.push(Said { item: item.clone(), text: text.replace("\\\"", "\"") });
                }
            }
            TokenTree::Punct(_) => {}
        }
    }
}

fn is_word(token: &TokenTree, any: &[&str]) -> bool {
    matches!(token, TokenTree::Ident(name) if any.iter().any(|one| *name == *one))
}

fn is_sign(token: &TokenTree, sign: char) -> bool {
    matches!(token, TokenTree::Punct(punct) if punct.as_char() == sign)
}

/// Two words with a space between them, or one that begins as a label does. Not a list of classes or a path.
pub fn is_words(text: &str) -> bool {
    let mut letters = text.chars();
    let is_label = letters.next().is_some_and(char::is_uppercase)
        && !letters.as_str().is_empty()
        && letters.all(char::is_lowercase);
    let words: Vec<&str> = text.split(' ').collect();
    let is_plain = |word: &&str| {
        let word = word.trim_matches(|sign: char| sign.is_ascii_punctuation());
        word.chars().count() > 1
            && word.chars().all(|letter| letter.is_alphabetic() || letter == '\'')
    };
    is_label || (words.len() > 1 && words.iter().filter(|word| is_plain(word)).count() > 0)
}

/// All files below a folder of the project, in the order of their names.
pub fn files_below(folder: &str) -> Vec<PathBuf> {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
    let mut files = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder of the project") {
            let path = entry.expect("an entry").path();
            if path.is_dir() { folders.push(path) } else { files.push(path) }
        }
    }
    assert!(!files.is_empty());
    files.sort();
    files
}
