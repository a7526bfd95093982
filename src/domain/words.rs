//! Short texts and names that people wrote, checked once where they enter.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::letters;
use super::refused::{Refusal, Refused};

/// A line or short paragraph of plain text: not blank, at most [`Words::LONGEST`] letters, no control characters,
/// and [tame](letters::tame).
///
/// It is only ever text: nothing in the app reads it as markup. What a file or a log holds stays there as it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Serialize)]
#[serde(try_from = "String", into = "String")]
pub struct Words(String);

impl Words {
    /// The most letters that fit.
    pub const LONGEST: usize = 1000;

    pub fn new(text: &str) -> Result<Self, NotWords> {
        plain(text, Self::LONGEST).map(Self)
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Words {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(&self.0)
    }
}

impl TryFrom<String> for Words {
    type Error = Refused<NotWords>;

    fn try_from(text: String) -> Result<Self, Refused<NotWords>> {
        Self::new(seen(&text)).map_err(Refused)
    }
}

impl From<Words> for String {
    fn from(words: Words) -> Self {
        words.0
    }
}

/// Plain text of many lines, such as the note of a whole visit: as [`Words`], but at most
/// [`Prose::LONGEST`] letters.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(try_from = "String", into = "String")]
pub struct Prose(String);

impl Prose {
    /// The most letters that fit.
    pub const LONGEST: usize = 100_000;

    pub fn new(text: &str) -> Result<Self, NotWords> {
        plain(text, Self::LONGEST).map(Self)
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for Prose {
    type Error = Refused<NotWords>;

    fn try_from(text: String) -> Result<Self, Refused<NotWords>> {
        Self::new(seen(&text)).map_err(Refused)
    }
}

impl From<Prose> for String {
    fn from(prose: Prose) -> Self {
        prose.0
    }
}

/// A text as it may be shown: something of it can be seen, it is no longer than it may be, and has no control
/// characters.
fn plain(text: &str, most: usize) -> Result<String, NotWords> {
    let letters = text.chars().count();
    if letters::is_blank(text) {
        Err(NotWords::Blank)
    } else if most < letters {
        Err(NotWords::TooLong { letters, most })
    } else if text.chars().any(|letter| letter.is_control() && letter != '\n') {
        Err(NotWords::Control)
    } else {
        Ok(letters::tame(text).into_owned())
    }
}

/// A text that was written down somewhere. One of which nothing can be seen is no reason to lose what it belongs
/// to: it reads as U+FFFD, the sign for what cannot be shown. Nobody can type one here.
fn seen(text: &str) -> &str {
    if letters::is_blank(text) && !text.trim().is_empty() { "\u{FFFD}" } else { text }
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum NotWords {
    Blank,
    TooLong { letters: usize, most: usize },
    Control,
}

impl Refusal for NotWords {
    const NAME: &'static str = "words";
}

/// A stable name for a routine or an exercise: 1 to 64 small letters, digits and hyphens.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Serialize)]
#[serde(try_from = "String", into = "String")]
pub struct Id(String);

impl Id {
    pub fn new(text: &str) -> Result<Self, NotAnId> {
        let fits = (1..=64).contains(&text.len())
            && text.bytes().all(|byte| matches!(byte, b'a'..=b'z' | b'0'..=b'9' | b'-'));
        if fits { Ok(Self(text.to_owned())) } else { Err(NotAnId) }
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Id {
    /// An id made of the letters and digits of a name: "Heel drop" is `heel-drop`.
    pub fn from_words(name: &Words) -> Self {
        let mut id = String::new();
        for letter in name.as_str().to_lowercase().chars() {
            if letter.is_ascii_alphanumeric() {
                id.push(letter);
            } else if !id.is_empty() && !id.ends_with('-') {
                id.push('-');
            }
        }
        id.truncate(64);
        Self::new(id.trim_end_matches('-'))
            .unwrap_or_else(|_nothing_left| Self("exercise".to_owned()))
    }
}

impl TryFrom<String> for Id {
    type Error = Refused<NotAnId>;

    fn try_from(text: String) -> Result<Self, Refused<NotAnId>> {
        Self::new(&text).map_err(Refused)
    }
}

impl From<Id> for String {
    fn from(id: Id) -> Self {
        id.0
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct NotAnId;

impl Refusal for NotAnId {
    const NAME: &'static str = "id";
}

/// Declares a whole number that is in its range if it exists; what it counts is in [`Counted`].
macro_rules! whole_number {
    ($(#[$doc:meta])* $name:ident, $least:literal ..= $most:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize, serde::Serialize)]
        #[serde(try_from = "i64", into = "i64")]
        pub struct $name(u16);

        impl $name {
            pub const LEAST: Self = Self($least);
            pub const MOST: Self = Self($most);

            pub const fn new(number: i64) -> Result<Self, $crate::domain::words::OutOfRange> {
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the range was checked")]
                if $least <= number && number <= $most {
                    Ok(Self(number as u16))
                } else {
                    let counted = $crate::domain::words::Counted::$name;
                    Err($crate::domain::words::OutOfRange { number, counted, least: $least, most: $most })
                }
            }

            /// The nearest number that there is.
            pub const fn nearest(number: u16) -> Self {
                match Self::new(number as i64) {
                    Ok(there) => there,
                    Err(_) if $most < number => Self::MOST,
                    Err(_) => Self::LEAST,
                }
            }

            pub const fn get(self) -> u16 {
                self.0
            }
        }

        impl TryFrom<i64> for $name {
            type Error = $crate::domain::refused::Refused<$crate::domain::words::OutOfRange>;

            fn try_from(number: i64) -> Result<Self, Self::Error> {
                Self::new(number).map_err($crate::domain::refused::Refused)
            }
        }

        impl From<$name> for i64 {
            fn from(number: $name) -> i64 {
                i64::from(number.0)
            }
        }
    };
}
pub(crate) use whole_number;

/// What a whole number counts, by the name of its type.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum Counted {
    Version,
    Revision,
    RungNumber,
    Sets,
    Reps,
    PhaseSecs,
    RestSecs,
    TimesADay,
    RestDays,
    DaysInARow,
    BreakDays,
    Pace,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct OutOfRange {
    pub number: i64,
    pub counted: Counted,
    pub least: i64,
    pub most: i64,
}

impl Refusal for OutOfRange {
    const NAME: &'static str = "range";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_neither_blank_nor_endless() {
        assert_eq!(Words::new("  "), Err(NotWords::Blank));
        assert!(Words::new(&"a".repeat(1000)).is_ok());
        assert_eq!(
            Words::new(&"é".repeat(1001)),
            Err(NotWords::TooLong { letters: 1001, most: 1000 })
        );
        assert_eq!(Words::new("a\u{0}b"), Err(NotWords::Control));
        assert_eq!(Words::new("<b>bold</b>").unwrap().as_str(), "<b>bold</b>");
    }

    /// A name that is written from right to left stays as it is.
    #[test]
    fn words_read_as_they_are_written() {
        assert_eq!(Words::new("tap \u{202E}pots\u{202C} now").unwrap().as_str(), "tap pots now");
        assert_eq!(Words::new("תרגיל 3").unwrap().as_str(), "תרגיל 3");
        assert_eq!(Words::new("\u{200B}"), Err(NotWords::Blank));
        let read = |text: &str| Words::try_from(text.to_owned()).map(String::from);
        assert_eq!(read("\u{200B}").as_deref(), Ok("\u{FFFD}"));
        assert_eq!(read("\u{202E}").as_deref(), Ok("\u{FFFD}"));
        assert_eq!(read(" "), Err(Refused(NotWords::Blank)));
    }

    #[test]
    fn a_name_gives_an_id_whatever_it_is_made_of() {
        let id = |name: &str| Id::from_words(&Words::new(name).unwrap()).as_str().to_owned();
        assert_eq!(id("Heel drop, on the stair!"), "heel-drop-on-the-stair");
        assert_eq!(id("Übung 2"), "bung-2");
        assert_eq!(id("…"), "exercise");
        assert_eq!(id(&"a ".repeat(100)).len(), 63);
    }

    #[test]
    fn ids_hold_small_letters_digits_and_hyphens() {
        assert!(Id::new("heel-drop-2").is_ok());
        for wrong in ["", "Heel", "a b", "ä", "a/b", &"a".repeat(65)] {
            assert_eq!(Id::new(wrong), Err(NotAnId), "{wrong}");
        }
    }
}
