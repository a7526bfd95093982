//! A written tempo that cannot be read.

use super::InWords;
use crate::domain::plan::tempo_notation::NotRead;

impl InWords for NotRead {
    fn in_words(&self) -> String {
        match self {
            Self::Blank => "no tempo is written here; it looks like 3-1-2-0".to_owned(),
            Self::Count { numbers } => format!(
                "a written tempo has three numbers or four, such as 2-1-2 or 3-1-2-0; this has {numbers}"
            ),
            Self::Gap => "a number is missing; write 0 for a phase that is left out".to_owned(),
            Self::NotSeconds { part } => {
                format!("\"{part}\" is not a number of whole seconds; a tempo looks like 3-1-2-0")
            }
            Self::Word { part } => format!(
                "\"{part}\" does not say how long that phase is; write its seconds, such as 1"
            ),
            Self::TooLong(out_of_range) => out_of_range.in_words(),
            Self::XWithoutSeconds => {
                "X means as fast as possible, and pages that use it do not agree how long that is; \
                 say how many seconds X takes"
                    .to_owned()
            }
            Self::XLowers => "X would be the lowering here, and a load is never dropped; \
                              if X is the lift, the numbers are in the other order"
                .to_owned(),
            Self::XPauses => {
                "X would be a pause here; write its seconds, or 0 for no pause".to_owned()
            }
            Self::NothingTakesTime => "every number is 0; a rep takes at least a second".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::domain::plan::dose::PhaseSecs;
    use crate::domain::plan::tempo_notation::{Order, read};

    #[test]
    fn what_cannot_be_read_is_told_in_plain_words() {
        #[rustfmt::skip]
        let rows = [
            ("",          "no tempo is written here; it looks like 3-1-2-0"),
            ("  ",        "no tempo is written here; it looks like 3-1-2-0"),
            ("3",         "a written tempo has three numbers or four, such as 2-1-2 or 3-1-2-0; this has 1"),
            ("3-1",       "a written tempo has three numbers or four, such as 2-1-2 or 3-1-2-0; this has 2"),
            ("3-1-2-0-1", "a written tempo has three numbers or four, such as 2-1-2 or 3-1-2-0; this has 5"),
            ("3--2-0",    "a number is missing; write 0 for a phase that is left out"),
            ("3-1-2-",    "a number is missing; write 0 for a phase that is left out"),
            ("-3-1-2",    "a number is missing; write 0 for a phase that is left out"),
            ("2.5-0-2-0", "\"2.5\" is not a number of whole seconds; a tempo looks like 3-1-2-0"),
            ("3,1,2,0",   "\"3,1,2,0\" is not a number of whole seconds; a tempo looks like 3-1-2-0"),
            ("3-1/2-2-0", "\"1/2\" is not a number of whole seconds; a tempo looks like 3-1-2-0"),
            ("3s-1s-2s",  "\"3s\" is not a number of whole seconds; a tempo looks like 3-1-2-0"),
            ("٣-١-٢-٠",   "\"٣\" is not a number of whole seconds; a tempo looks like 3-1-2-0"),
            ("expl-1-2",  "\"expl\" does not say how long that phase is; write its seconds, such as 1"),
            ("slow",      "\"slow\" does not say how long that phase is; write its seconds, such as 1"),
            ("9999-0-2-0", "9999 is not a number of seconds in a phase this app takes; it goes from 1 to 3600"),
            ("0000",      "every number is 0; a rep takes at least a second"),
            ("0-0-0",     "every number is 0; a rep takes at least a second"),
            ("30X0",      "X means as fast as possible, and pages that use it do not agree how long that is; \
                           say how many seconds X takes"),
            ("X-0-2-0",   "X would be the lowering here, and a load is never dropped; \
                           if X is the lift, the numbers are in the other order"),
            ("3-X-2-0",   "X would be a pause here; write its seconds, or 0 for no pause"),
        ];
        for (text, words) in rows {
            let told = read(text, Order::LoweringFirst, None).unwrap_err().in_words();
            assert_eq!(told, words, "{text}");
        }
    }

    proptest! {
        #[test]
        fn nothing_that_is_typed_makes_it_fall_over(text in "\\PC*|[0-9xX/ –-]*", x in 0..3_i64) {
            for order in [Order::LoweringFirst, Order::LiftingFirst] {
                if let Err(told) = read(&text, order, PhaseSecs::new(x).ok()) {
                    prop_assert!(told.in_words().chars().count() < 160);
                }
            }
        }
    }
}
