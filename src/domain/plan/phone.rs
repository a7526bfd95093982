//! The number by which a client reaches the practitioner.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::domain::refused::{Refusal, Refused};

/// A telephone number as people write it: 3 to 15 digits (ITU-T E.164 has 15 at most), with a plus sign before
/// them if it is an international one, and between them spaces, slashes and the visual separators of RFC 3966:
/// hyphens, points and brackets.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(try_from = "String", into = "String")]
pub struct PhoneNumber(String);

impl PhoneNumber {
    /// The most letters that fit.
    pub const LONGEST: usize = 30;

    pub fn new(text: &str) -> Result<Self, NotAPhoneNumber> {
        let text = text.trim();
        let is_separator = |letter: char| matches!(letter, ' ' | '/' | '-' | '.' | '(' | ')');
        let fits = (3..=15).contains(&text.bytes().filter(u8::is_ascii_digit).count())
            && text.len() <= Self::LONGEST
            && text
                .strip_prefix('+')
                .unwrap_or(text)
                .chars()
                .all(|letter| letter.is_ascii_digit() || is_separator(letter));
        if fits { Ok(Self(text.to_owned())) } else { Err(NotAPhoneNumber) }
    }

    /// The URI that rings it (RFC 3966).
    pub fn uri(&self) -> String {
        let dialled = |letter: &char| matches!(letter, '0'..='9' | '+');
        format!("tel:{}", self.0.chars().filter(dialled).collect::<String>())
    }
}

impl fmt::Display for PhoneNumber {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str(&self.0)
    }
}

impl TryFrom<String> for PhoneNumber {
    type Error = Refused<NotAPhoneNumber>;

    fn try_from(text: String) -> Result<Self, Refused<NotAPhoneNumber>> {
        Self::new(&text).map_err(Refused)
    }
}

impl From<PhoneNumber> for String {
    fn from(number: PhoneNumber) -> Self {
        number.0
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct NotAPhoneNumber;

impl Refusal for NotAPhoneNumber {
    const NAME: &'static str = "phone";
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first two are examples of RFC 3966, section 6; the third is one of the numbers that Ofcom sets
    /// aside for drama.
    #[test]
    fn a_number_is_shown_as_it_was_written_and_rung_without_its_separators() {
        for (written, rung) in [
            ("+1-201-555-0123", "tel:+12015550123"),
            ("863-1234", "tel:8631234"),
            (" (01632) 960 123 ", "tel:01632960123"),
            ("112", "tel:112"),
        ] {
            let number = PhoneNumber::new(written).unwrap();
            assert_eq!(
                (number.to_string().as_str(), number.uri().as_str()),
                (written.trim(), rung)
            );
        }
    }

    #[test]
    fn what_cannot_be_rung_is_refused() {
        let many = "1".repeat(16);
        for wrong in
            ["", "12", "+", &many, "1+2345", "0660 CALL", "tel:112", "112;ext=1", "112\n113"]
        {
            assert_eq!(PhoneNumber::new(wrong), Err(NotAPhoneNumber), "{wrong}");
        }
    }
}
