//! Letters that would show a text other than it is read: what turns its direction, what cannot be seen, and
//! marks piled on top of one another.
//!
//! The tables are those of the Unicode Character Database, version 16.

use std::borrow::Cow;

/// The most marks on one letter (UTS 39, Unicode Security Mechanisms, section 5.4, which forbids more than four
/// nonspacing marks in a row; from memory). Hebrew and Vietnamese need up to four.
const MOST_MARKS: usize = 4;

/// A text as it may stand among others: it keeps every letter, and the marks of right-to-left text that only say
/// where a letter belongs (LRM, RLM, ALM), but not what reverses the letters around it, nor a fifth mark on
/// one letter.
pub fn tame(text: &str) -> Cow<'_, str> {
    if text.is_ascii() || kept(text).eq(text.chars()) {
        text.into()
    } else {
        kept(text).collect::<String>().into()
    }
}

/// Whether there is nothing in a text that can be seen.
pub fn is_blank(text: &str) -> bool {
    text.chars().all(|letter| letter.is_whitespace() || is_unseen(letter))
}

fn kept(text: &str) -> impl Iterator<Item = char> {
    let mut marks = 0;
    text.chars().filter(move |&letter| {
        if is_mark(letter) {
            marks += 1;
        } else if !is_unseen(letter) {
            marks = 0;
        }
        !turns(letter) && marks <= MOST_MARKS
    })
}

/// The explicit embeddings, overrides and isolates of UAX 9, Unicode Bidirectional Algorithm, sections 2.1 to
/// 2.5. UTR 36, Unicode Security Considerations, shows how they make one text look like another; markup does
/// what they are for. The implicit marks of section 2.6 are none of them.
const fn turns(letter: char) -> bool {
    matches!(letter, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

/// What has the property `Default_Ignorable_Code_Point` (`DerivedCoreProperties.txt`), and the Braille pattern
/// without dots.
const fn is_unseen(letter: char) -> bool {
    matches!(
        letter,
        '\u{AD}' | '\u{34F}' | '\u{61C}' | '\u{115F}' | '\u{1160}' | '\u{17B4}' | '\u{17B5}'
            | '\u{180B}'..='\u{180F}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}' | '\u{2800}' | '\u{3164}' | '\u{FE00}'..='\u{FE0F}'
            | '\u{FEFF}' | '\u{FFA0}' | '\u{FFF0}'..='\u{FFF8}' | '\u{1BCA0}'..='\u{1BCA3}'
            | '\u{1D173}'..='\u{1D17A}' | '\u{E0000}'..='\u{E0FFF}'
    )
}

/// Nonspacing and enclosing marks (general categories Mn and Me in `UnicodeData.txt`) of the scripts in which
/// they are drawn above and below one another without end. In others each takes a place of its own in the line.
const fn is_mark(letter: char) -> bool {
    matches!(
        letter,
        // For any letter.
        '\u{300}'..='\u{36F}' | '\u{1AB0}'..='\u{1ACE}' | '\u{1DC0}'..='\u{1DFF}'
            | '\u{20D0}'..='\u{20F0}' | '\u{FE20}'..='\u{FE2F}'
            // Cyrillic.
            | '\u{483}'..='\u{489}' | '\u{2DE0}'..='\u{2DFF}' | '\u{A66F}'..='\u{A672}'
            | '\u{A674}'..='\u{A67D}' | '\u{A69E}'..='\u{A69F}'
            // Hebrew.
            | '\u{591}'..='\u{5BD}' | '\u{5BF}' | '\u{5C1}'..='\u{5C2}' | '\u{5C4}'..='\u{5C5}'
            | '\u{5C7}' | '\u{FB1E}'
            // Arabic, Syriac, N'Ko.
            | '\u{610}'..='\u{61A}' | '\u{64B}'..='\u{65F}' | '\u{670}' | '\u{6D6}'..='\u{6DC}'
            | '\u{6DF}'..='\u{6E4}' | '\u{6E7}'..='\u{6E8}' | '\u{6EA}'..='\u{6ED}' | '\u{711}'
            | '\u{730}'..='\u{74A}' | '\u{7EB}'..='\u{7F3}' | '\u{8CA}'..='\u{8E1}'
            | '\u{8E3}'..='\u{8FF}'
            // Thai, Lao, Tibetan.
            | '\u{E31}' | '\u{E34}'..='\u{E3A}' | '\u{E47}'..='\u{E4E}' | '\u{EB1}'
            | '\u{EB4}'..='\u{EBC}' | '\u{EC8}'..='\u{ECE}' | '\u{F71}'..='\u{F7E}'
            | '\u{F80}'..='\u{F84}' | '\u{F8D}'..='\u{F97}' | '\u{F99}'..='\u{FBC}'
            // Ethiopic, Vedic, Chinese, Japanese.
            | '\u{135D}'..='\u{135F}' | '\u{1CD0}'..='\u{1CD2}' | '\u{1CD4}'..='\u{1CE0}'
            | '\u{302A}'..='\u{302D}' | '\u{3099}'..='\u{309A}'
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// UAX 9, table 4, "Bidirectional Character Types": LRE, RLE, PDF, LRO, RLO, LRI, RLI, FSI and PDI go; LRM,
    /// RLM and ALM stay.
    #[test]
    fn what_turns_a_text_around_is_left_out_and_nothing_else_is() {
        for turner in
            "\u{202A}\u{202B}\u{202C}\u{202D}\u{202E}\u{2066}\u{2067}\u{2068}\u{2069}".chars()
        {
            assert_eq!(tame(&format!("Heel{turner} drop")), "Heel drop", "{turner:?}");
        }
        for text in [
            "Heel drop",
            "Übung 2: Fußspitze",
            "שלום כיתה א׳",
            "تمرين الكعب ٣ مرات\u{200F}",
            "نمی\u{200C}خواهم",
            "क्षत्रिय",
            "階段\u{3099}",
            "👨\u{200D}👩\u{200D}👧 1\u{FE0F}\u{20E3} 🏴\u{E0067}\u{E0062}\u{E007F}",
            "a\u{200E}b\u{61C}",
        ] {
            assert!(matches!(tame(text), Cow::Borrowed(same) if same == text), "{text}");
        }
    }

    #[test]
    fn marks_pile_up_four_high_at_most() {
        for mark in ['\u{301}', '\u{489}', '\u{5B0}', '\u{651}', '\u{E49}', '\u{F90}', '\u{20DD}'] {
            let piled = format!("H{}eel", mark.to_string().repeat(40));
            let four = format!("H{}eel", mark.to_string().repeat(4));
            assert_eq!(tame(&piled), four, "{mark:?}");
            assert_eq!(tame(&four), four);
            // What cannot be seen between them does not begin a new pile.
            let hidden = format!("H{}eel", format!("{mark}\u{200D}").repeat(40));
            assert_eq!(tame(&hidden).matches(mark).count(), 4, "{mark:?}");
        }
        // Hebrew with its shin dot, dagesh, vowel and accent; Vietnamese, taken apart.
        for text in ["שׁ\u{5BC}\u{5B8}\u{594}", "e\u{323}\u{302}", "ก\u{E37}\u{E48}"] {
            assert_eq!(tame(text), text);
        }
    }

    /// The standard library writes what extends a letter as an escape (its own tables are made from
    /// `DerivedCoreProperties.txt`), and most of what cannot be printed, too.
    #[test]
    fn every_mark_extends_a_letter() {
        let is_escaped = |letter: char| 1 < letter.escape_debug().count();
        let marks = || ('\u{80}'..=char::MAX).filter(|letter| is_mark(*letter));
        for mark in marks() {
            assert!(is_escaped(mark) && !is_escaped('e'), "{mark:?}");
        }
        assert!(500 < marks().count());
    }

    #[test]
    fn a_text_of_what_cannot_be_seen_is_blank() {
        for text in ["", " \n", "\u{200B}", "\u{2060}\u{FEFF} \u{AD}", "\u{3164}\u{2800}\u{E0041}"]
        {
            assert!(is_blank(text), "{text:?}");
        }
        for text in ["a", "\u{200F}א", ".", "\u{301}", "👟"] {
            assert!(!is_blank(text), "{text:?}");
        }
    }
}
