//! A tempo as it is written on paper, "3-1-2-0" or "40X0": read into named phases, and written again.
//!
//! The same digits mean different phases to different authors, so the order is stated and never
//! guessed. A pause is read as a [`Action::Hold`], at the bottom and at the top: the movement stops and
//! the load stays in hand, so the pause belongs to the time of the rep (common practice, no source).
//! Letting go of the load inside a rep has no place in the notation; it is an [`Action::Relax`], and
//! is prescribed as a phase.

use super::dose::{Action, NotATempo, Phase, PhaseSecs, Tempo};
use crate::domain::words::OutOfRange;

/// Which movement the first number is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// Lowering, pause, lifting, pause: Wilk 2018 (PMC6006544; the order itself is from memory).
    LoweringFirst,
    /// Lifting, pause, lowering, pause: PMC5471590, table 1, whose first phase can be explosive.
    LiftingFirst,
}

impl Order {
    const BOTH: [Self; 2] = [Self::LoweringFirst, Self::LiftingFirst];

    /// What each of the four numbers stands for.
    pub const fn actions(self) -> [Action; 4] {
        match self {
            Self::LoweringFirst => [Action::Lower, Action::Hold, Action::Lift, Action::Hold],
            Self::LiftingFirst => [Action::Lift, Action::Hold, Action::Lower, Action::Hold],
        }
    }
}

/// Reads a written tempo, of three numbers or four: the last pause may be missing.
///
/// Numbers stand apart by hyphens, slashes or spaces, or are single digits side by side.
/// A phase of 0 seconds is left out. X, as fast as possible, takes `x_secs`.
pub fn read(text: &str, order: Order, x_secs: Option<PhaseSecs>) -> Result<Tempo, NotRead> {
    let parts: Vec<Part> =
        split(text.trim()).into_iter().map(Part::read).collect::<Result<_, _>>()?;
    if parts.is_empty() {
        return Err(NotRead::Blank);
    }
    if !(3..=4).contains(&parts.len()) {
        return Err(NotRead::Count { numbers: parts.len() });
    }
    let mut phases = Vec::new();
    for (part, action) in parts.into_iter().zip(order.actions()) {
        if let Some(secs) = part.secs(action, x_secs)? {
            phases.push(Phase::of(action, secs));
        }
    }
    Tempo::new(phases).map_err(|NotATempo { .. }| NotRead::NothingTakesTime)
}

/// The four numbers of a tempo and their order, where it can be written so: it moves, its phases
/// stand in one of the two orders, and no words stand beside them.
///
/// A tempo with one movement can fit both orders; then it is written in the first.
pub fn written(tempo: &Tempo) -> Option<(Order, String)> {
    let moves = |phase: &Phase| matches!(phase.action, Action::Lower | Action::Lift);
    if !tempo.phases().iter().any(moves) {
        return None;
    }
    Order::BOTH.into_iter().find_map(|order| Some((order, written_in(tempo, order)?)))
}

fn written_in(tempo: &Tempo, order: Order) -> Option<String> {
    let mut left = tempo.phases().iter().peekable();
    let numbers = order.actions().map(|action| {
        let phase = left.next_if(|phase| phase.action == action && phase.how.is_none());
        phase.map_or(0, |phase| phase.secs.get())
    });
    left.peek().is_none().then(|| numbers.map(|secs| secs.to_string()).join("-"))
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotRead {
    Blank,
    Count { numbers: usize },
    Gap,
    NotSeconds { part: String },
    Word { part: String },
    TooLong(OutOfRange),
    XWithoutSeconds,
    XLowers,
    XPauses,
    NothingTakesTime,
}

#[derive(Clone, Copy)]
enum Part {
    Secs(i64),
    X,
}

impl Part {
    fn read(text: &str) -> Result<Self, NotRead> {
        let part = || text.chars().take(20).collect();
        let is_whole = text.bytes().all(|byte| byte.is_ascii_digit());
        if text.is_empty() {
            Err(NotRead::Gap)
        } else if text.eq_ignore_ascii_case("x") {
            Ok(Self::X)
        } else if is_whole && let Ok(secs) = text.parse() {
            Ok(Self::Secs(secs))
        } else if text.chars().all(char::is_alphabetic) {
            Err(NotRead::Word { part: part() })
        } else {
            Err(NotRead::NotSeconds { part: part() })
        }
    }

    /// The seconds that this part gives to the action; none when it leaves it out.
    fn secs(self, action: Action, x_secs: Option<PhaseSecs>) -> Result<Option<PhaseSecs>, NotRead> {
        match (self, action) {
            (Self::Secs(0), _) => Ok(None),
            (Self::Secs(secs), _) => Ok(Some(PhaseSecs::new(secs).map_err(NotRead::TooLong)?)),
            (Self::X, Action::Lift) => x_secs.map(Some).ok_or(NotRead::XWithoutSeconds),
            (Self::X, Action::Lower) => Err(NotRead::XLowers),
            (Self::X, Action::Hold | Action::Relax) => Err(NotRead::XPauses),
        }
    }
}

fn split(text: &str) -> Vec<&str> {
    if let Some(between) = text.chars().find(|letter| ['-', '–', '/'].contains(letter)) {
        text.split(between).map(str::trim).collect()
    } else if text.contains(char::is_whitespace) {
        text.split_whitespace().collect()
    } else if text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'x' | b'X')) {
        (0..text.len()).map(|digit| &text[digit..=digit]).collect()
    } else {
        vec![text]
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Action::{Hold, Lift, Lower, Relax};
    use super::Order::{LiftingFirst, LoweringFirst};
    use super::*;
    use crate::domain::words::Words;

    #[test]
    fn the_order_says_what_a_number_stands_for() {
        let lowering_first = read("3-1-2-4", LoweringFirst, None).unwrap();
        assert_eq!(row(&lowering_first), [(Lower, 3), (Hold, 1), (Lift, 2), (Hold, 4)]);
        let lifting_first = read("3-1-2-4", LiftingFirst, None).unwrap();
        assert_eq!(row(&lifting_first), [(Lift, 3), (Hold, 1), (Lower, 2), (Hold, 4)]);
    }

    #[test]
    fn one_tempo_can_be_written_in_many_ways() {
        let tempo = read("3-1-2-0", LoweringFirst, None).unwrap();
        assert_eq!(row(&tempo), [(Lower, 3), (Hold, 1), (Lift, 2)]);
        for text in [
            "3/1/2/0",
            "3120",
            "312",
            "3-1-2",
            " 3 - 1 - 2 - 0 ",
            "3–1–2–0",
            "3 1 2 0",
            "03-1-2-00",
        ] {
            assert_eq!(read(text, LoweringFirst, None).as_ref(), Ok(&tempo), "{text}");
        }
    }

    #[test]
    fn more_than_nine_seconds_need_something_between_the_numbers() {
        let tempo = read("10-0-2-0", LoweringFirst, None).unwrap();
        assert_eq!(row(&tempo), [(Lower, 10), (Lift, 2)]);
        assert_eq!(read("10020", LoweringFirst, None), Err(NotRead::Count { numbers: 5 }));
    }

    #[test]
    fn as_fast_as_possible_has_no_length_until_it_is_given_one() {
        assert_eq!(read("40X0", LoweringFirst, None), Err(NotRead::XWithoutSeconds));
        for text in ["40X0", "4-0-x-0", "4/0/X"] {
            let tempo = read(text, LoweringFirst, secs(1)).unwrap();
            assert_eq!(row(&tempo), [(Lower, 4), (Lift, 1)], "{text}");
        }
        let lifting_first = read("X-1-2", LiftingFirst, secs(2)).unwrap();
        assert_eq!(row(&lifting_first), [(Lift, 2), (Hold, 1), (Lower, 2)]);
    }

    #[test]
    fn an_endless_text_is_refused() {
        let endless = read(&"9".repeat(5000), LoweringFirst, None).unwrap_err();
        assert_eq!(endless, NotRead::Count { numbers: 5000 });
        let endless = read(&format!("{}-0-2-0", "9".repeat(5000)), LoweringFirst, None);
        assert_eq!(endless, Err(NotRead::NotSeconds { part: "9".repeat(20) }));
    }

    #[test]
    fn an_order_that_would_drop_the_load_is_refused_even_when_x_has_seconds() {
        assert_eq!(read("40X0", LiftingFirst, secs(1)), Err(NotRead::XLowers));
        assert_eq!(read("4X20", LiftingFirst, secs(1)), Err(NotRead::XPauses));
    }

    #[test]
    fn a_tempo_is_written_in_the_order_of_its_phases() {
        #[rustfmt::skip]
        let rows = [
            (tempo(&[(Lower, 3), (Hold, 1), (Lift, 2)]),            LoweringFirst, "3-1-2-0"),
            (tempo(&[(Lift, 2), (Hold, 1), (Lower, 4)]),            LiftingFirst,  "2-1-4-0"),
            (tempo(&[(Lift, 2), (Hold, 1), (Lower, 4), (Hold, 9)]), LiftingFirst,  "2-1-4-9"),
            (tempo(&[(Lower, 12), (Lift, 2)]),                      LoweringFirst, "12-0-2-0"),
            (tempo(&[(Lower, 3)]),                                  LoweringFirst, "3-0-0-0"),
            (tempo(&[(Lift, 3), (Hold, 1)]),                        LoweringFirst, "0-0-3-1"),
            (tempo(&[(Hold, 1), (Lower, 3)]),                       LiftingFirst,  "0-1-3-0"),
        ];
        for (tempo, order, text) in rows {
            assert_eq!(written(&tempo), Some((order, text.to_owned())));
        }
    }

    #[test]
    fn what_does_not_fit_the_four_numbers_is_not_written() {
        for phases in [
            // Without a movement there is no order.
            &[(Hold, 45)][..],
            &[(Hold, 5), (Relax, 5)],
            &[(Lower, 3), (Lift, 2), (Relax, 2)],
            &[(Lower, 3), (Lower, 3)],
            &[(Hold, 1), (Lower, 3), (Lift, 2)],
        ] {
            assert_eq!(written(&tempo(phases)), None, "{phases:?}");
        }
    }

    #[test]
    fn words_beside_a_phase_cannot_be_written_in_numbers() {
        let mut phases = tempo(&[(Lower, 3), (Lift, 2)]).phases().to_vec();
        phases[1].how = Some(Words::new("both feet").unwrap());
        assert_eq!(written(&Tempo::new(phases).unwrap()), None);
    }

    #[test]
    fn every_tempo_of_single_digits_comes_back() {
        for digits in 1..10_000 {
            let text = format!("{digits:04}");
            for order in Order::BOTH {
                assert_comes_back(&text, order);
            }
        }
    }

    proptest! {
        #[test]
        fn every_tempo_that_is_read_comes_back(
            numbers in prop::collection::vec(prop_oneof![Just(0_u16), 1..=3600_u16], 3..=4),
            between in prop::sample::select(vec!["-", "/", "–", " ", " - "]),
            order in prop::sample::select(Order::BOTH.to_vec()),
        ) {
            prop_assume!(numbers.iter().any(|number| 0 < *number));
            let numbers: Vec<String> = numbers.iter().map(u16::to_string).collect();
            assert_comes_back(&numbers.join(between), order);
        }
    }

    /// What is read from a text is what is read from its own written form; and where both movements
    /// are there, the order and the numbers are those of the text.
    #[track_caller]
    fn assert_comes_back(text: &str, order: Order) {
        let tempo = read(text, order, None).unwrap();
        let has = |action| tempo.phases().iter().any(|phase| phase.action == action);
        let Some((in_order, again)) = written(&tempo) else {
            assert!(!has(Lower) && !has(Lift), "{text}");
            return;
        };
        assert_eq!(read(&again, in_order, None).as_ref(), Ok(&tempo), "{text}");
        if has(Lower) && has(Lift) {
            assert_eq!(in_order, order, "{text}");
            let mut numbers: Vec<&str> = split(text);
            numbers.resize(4, "0");
            assert_eq!(again, numbers.join("-"), "{text}");
        }
    }

    fn row(tempo: &Tempo) -> Vec<(Action, u16)> {
        tempo.phases().iter().map(|phase| (phase.action, phase.secs.get())).collect()
    }

    fn tempo(phases: &[(Action, i64)]) -> Tempo {
        let phase =
            |&(action, secs): &(Action, i64)| Phase::of(action, PhaseSecs::new(secs).unwrap());
        Tempo::new(phases.iter().map(phase).collect()).unwrap()
    }

    fn secs(number: i64) -> Option<PhaseSecs> {
        PhaseSecs::new(number).ok()
    }
}
