//! The ladder of help: rungs from most help to none, and where a client stands on it.

use serde::{Deserialize, Serialize};

use super::dose::{Dose, DoseChange};
use crate::domain::refused::{Refusal, Refused};
use crate::domain::words::{Words, whole_number};

whole_number!(
    /// A rung, counted from 1, the one with most help.
    RungNumber, 1..=12
);

/// One level of help for an exercise.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Rung {
    /// What helps, in words: "both hands flat on the bench".
    pub help: Words,
    #[serde(default, skip_serializing_if = "DoseChange::is_empty")]
    pub dose: DoseChange,
    #[serde(default, skip_serializing_if = "WordsChange::is_empty")]
    pub words: WordsChange,
}

impl Rung {
    /// A rung that says what helps, and changes nothing else.
    pub fn of(help: Words) -> Self {
        Self { help, dose: DoseChange::default(), words: WordsChange::default() }
    }
}

/// What one rung says otherwise than the exercise, each list as a whole; what is not named stays.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
pub struct WordsChange {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equipment: Option<Vec<Words>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub steps: Option<Vec<Words>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watch_for: Option<Vec<Words>>,
}

impl WordsChange {
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The lists that it names.
    pub fn lists(&self) -> impl Iterator<Item = &Vec<Words>> {
        [&self.equipment, &self.steps, &self.watch_for].into_iter().flatten()
    }
}

/// The rungs of one exercise, with the one to start from and the highest allowed before the next visit.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(try_from = "WireLadder")]
pub struct Ladder {
    rungs: Vec<Rung>,
    start: RungNumber,
    ceiling: RungNumber,
}

#[derive(Deserialize)]
struct WireLadder {
    rungs: Vec<Rung>,
    start: RungNumber,
    ceiling: RungNumber,
}

impl Ladder {
    pub fn new(
        rungs: Vec<Rung>,
        start: RungNumber,
        ceiling: RungNumber,
    ) -> Result<Self, NotALadder> {
        if !(1..=usize::from(RungNumber::MOST.get())).contains(&rungs.len()) {
            return Err(NotALadder::Rungs { rungs: rungs.len() });
        }
        if rungs.len() < ceiling.get().into() {
            return Err(NotALadder::Ceiling { ceiling: ceiling.get(), rungs: rungs.len() });
        }
        if ceiling < start {
            return Err(NotALadder::Start { start: start.get(), ceiling: ceiling.get() });
        }
        Ok(Self { rungs, start, ceiling })
    }

    /// The ladder of an exercise for which no help is planned.
    pub fn of_one() -> Self {
        let help = Words::new("no help").unwrap_or_else(|_blank| unreachable!());
        Self { rungs: vec![Rung::of(help)], start: RungNumber::LEAST, ceiling: RungNumber::LEAST }
    }

    /// The ladder with another rung in one place; as it was where there is no such rung.
    #[must_use]
    pub fn with(&self, number: RungNumber, rung: Rung) -> Self {
        let mut ladder = self.clone();
        if let Some(place) = ladder.rungs.get_mut(usize::from(number.get()) - 1) {
            *place = rung;
        }
        ladder
    }

    /// The ladder with one rung more, above the one of that number and at first like it.
    pub fn with_one_above(&self, number: RungNumber) -> Result<Self, NotALadder> {
        let mut rungs = self.rungs.clone();
        let above = usize::from(number.get()).min(rungs.len());
        rungs.insert(above, self.rung(number).clone());
        let shifted = |mark: RungNumber| {
            if number < mark { RungNumber::nearest(mark.get() + 1) } else { mark }
        };
        Self::new(rungs, shifted(self.start), shifted(self.ceiling))
    }

    /// The ladder without one rung; the marks above it come down with the rest.
    pub fn without(&self, number: RungNumber) -> Result<Self, NotALadder> {
        let mut rungs = self.rungs.clone();
        if usize::from(number.get()) <= rungs.len() {
            rungs.remove(usize::from(number.get()) - 1);
        }
        let left = u16::try_from(rungs.len()).unwrap_or(u16::MAX);
        let lowered = |mark: RungNumber| {
            let mark = if number < mark { mark.get() - 1 } else { mark.get() };
            RungNumber::nearest(mark.min(left))
        };
        Self::new(rungs, lowered(self.start), lowered(self.ceiling))
    }

    /// The ladder begun on another rung; the ceiling is never below it.
    pub fn starting_on(&self, start: RungNumber) -> Result<Self, NotALadder> {
        Self::new(self.rungs.clone(), start, self.ceiling.max(start))
    }

    /// The ladder allowed up to another rung; the start is never above it.
    pub fn up_to(&self, ceiling: RungNumber) -> Result<Self, NotALadder> {
        Self::new(self.rungs.clone(), self.start.min(ceiling), ceiling)
    }

    /// How many things are different on a rung from the one below it: the help, and each part of the dose.
    ///
    /// One change at a time is the rule of the published home programme (PMC7783996, table 2).
    pub fn changes_at(&self, number: RungNumber, prescribed: &Dose) -> usize {
        if number == RungNumber::LEAST {
            return 0;
        }
        let below = self.rung(RungNumber::nearest(number.get() - 1));
        let here = self.rung(number);
        let (before, now) = (prescribed.with(&below.dose), prescribed.with(&here.dose));
        // A rung that changes the dose has to say so in its words: that is the same change, told twice.
        let of_dose = [
            before.sets != now.sets,
            before.reps != now.reps,
            before.tempo != now.tempo,
            before.rest_secs != now.rest_secs,
            before.load != now.load,
        ];
        of_dose
            .into_iter()
            .filter(|changed| *changed)
            .count()
            .max(usize::from(below.help != here.help))
    }

    pub fn rungs(&self) -> &[Rung] {
        &self.rungs
    }

    pub const fn start(&self) -> RungNumber {
        self.start
    }

    pub const fn ceiling(&self) -> RungNumber {
        self.ceiling
    }

    /// The rung with least help.
    pub fn top(&self) -> RungNumber {
        i64::try_from(self.rungs.len())
            .ok()
            .and_then(|rungs| RungNumber::new(rungs).ok())
            .unwrap_or(RungNumber::MOST)
    }

    /// The rung of that number, or the nearest one this ladder has.
    pub fn rung(&self, number: RungNumber) -> &Rung {
        &self.rungs[(usize::from(number.get()) - 1).min(self.rungs.len() - 1)]
    }

    /// Where a rung of an earlier form of this ladder stands on it now: the rung that offers the same
    /// help; of several, the one with the same dose, else the one with the same number.
    ///
    /// `None` where it is gone or cannot be told from others.
    pub fn find(&self, earlier: &Self, number: RungNumber) -> Option<RungNumber> {
        let reached = earlier.rung(number);
        let same_help: Vec<(RungNumber, &Rung)> = (1_i64..)
            .zip(&self.rungs)
            .filter(|(_, rung)| rung.help == reached.help)
            .filter_map(|(number, rung)| Some((RungNumber::new(number).ok()?, rung)))
            .collect();
        let same_dose = || same_help.iter().filter(|(_, rung)| rung.dose == reached.dose);
        match (&same_help[..], same_dose().count()) {
            ([(only, _)], _) => Some(*only),
            (_, 1) => same_dose().map(|(number, _)| *number).next(),
            _ => same_help.iter().map(|(number, _)| *number).find(|place| *place == number),
        }
    }
}

impl TryFrom<WireLadder> for Ladder {
    type Error = Refused<NotALadder>;

    fn try_from(wire: WireLadder) -> Result<Self, Refused<NotALadder>> {
        Self::new(wire.rungs, wire.start, wire.ceiling).map_err(Refused)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum NotALadder {
    Rungs { rungs: usize },
    Ceiling { ceiling: u16, rungs: usize },
    Start { start: u16, ceiling: u16 },
}

impl Refusal for NotALadder {
    const NAME: &'static str = "ladder";
}

/// What Ease means on the lowest rung: the practitioner's choice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OnLowestRung {
    /// One set fewer, never below one.
    #[default]
    OneSetFewer,
    /// Hold.
    Hold,
}

/// Where a client stands: the rung, and on the lowest one how many sets were taken off.
///
/// Footholds are ordered: more help and fewer sets come first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Foothold {
    pub rung: RungNumber,
    /// Above zero on rung 1 only.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub fewer_sets: u16,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
const fn is_zero(number: &u16) -> bool {
    *number == 0
}

impl Foothold {
    pub const fn on(rung: RungNumber) -> Self {
        Self { rung, fewer_sets: 0 }
    }

    const fn height(self) -> i32 {
        self.rung.get() as i32 - self.fewer_sets as i32
    }

    fn at_height(height: i32) -> Self {
        match u16::try_from(height) {
            Ok(above @ 1..) => Self::on(RungNumber::new(above.into()).unwrap_or(RungNumber::MOST)),
            Ok(0) | Err(_) => Self {
                rung: RungNumber::LEAST,
                fewer_sets: u16::try_from(1 - height).unwrap_or(u16::MAX),
            },
        }
    }

    /// One step towards more help; `None` where nothing is left to ease: on the lowest rung with one
    /// set left, or where the practitioner chose Hold instead of fewer sets.
    ///
    /// `sets` is what the dose prescribes on the lowest rung: one set always stays.
    pub fn easier(self, on_lowest: OnLowestRung, sets: u16) -> Option<Self> {
        let down = self.down(sets);
        let may = RungNumber::LEAST < self.rung || on_lowest == OnLowestRung::OneSetFewer;
        (may && down < self).then_some(down)
    }

    /// One rung down, or on the lowest one set fewer; one set always stays. Where a Hold comes back, and
    /// where a break ends.
    #[must_use]
    pub fn down(self, sets: u16) -> Self {
        let least = 2 - i32::from(sets.max(1));
        Self::at_height((self.height() - 1).max(least.min(self.height())))
    }

    /// One step towards less help: sets first, then rungs.
    #[must_use]
    pub fn harder(self) -> Self {
        Self::at_height(self.height() + 1)
    }

    /// The same place once its rung has another number: sets that were taken off are as many rungs
    /// down, where there are rungs below now.
    #[must_use]
    pub fn renumbered(self, rung: RungNumber) -> Self {
        Self::at_height(i32::from(rung.get()) - i32::from(self.fewer_sets))
    }

    /// The dose as prescribed, changed by the rung, less the sets that were taken off.
    pub fn dose(self, prescribed: &Dose, ladder: &Ladder) -> Dose {
        let mut dose = prescribed.with(&ladder.rung(self.rung).dose);
        let sets = dose.sets.get().saturating_sub(self.fewer_sets).max(1);
        dose.sets = super::dose::Sets::new(sets.into()).unwrap_or(dose.sets);
        dose
    }
}

impl PartialOrd for Foothold {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Foothold {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.height().cmp(&other.height())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rung(number: i64) -> RungNumber {
        RungNumber::new(number).unwrap()
    }

    #[test]
    fn easing_goes_down_the_rungs_and_then_takes_sets_off_down_to_one() {
        let mut stands = Foothold::on(rung(2));
        let mut seen = Vec::new();
        while let Some(easier) = stands.easier(OnLowestRung::OneSetFewer, 3) {
            stands = easier;
            seen.push((stands.rung.get(), stands.fewer_sets));
        }
        assert_eq!(seen, [(1, 0), (1, 1), (1, 2)]);
        assert_eq!(stands.down(3), stands);
    }

    #[test]
    fn on_the_lowest_rung_the_practitioner_may_choose_hold() {
        assert_eq!(Foothold::on(rung(1)).easier(OnLowestRung::Hold, 3), None);
        assert_eq!(
            Foothold::on(rung(2)).easier(OnLowestRung::Hold, 3),
            Some(Foothold::on(rung(1)))
        );
    }

    #[test]
    fn winning_back_gives_sets_first_and_then_rungs() {
        let stands = Foothold { rung: rung(1), fewer_sets: 1 };
        assert_eq!(stands.harder(), Foothold::on(rung(1)));
        assert_eq!(stands.harder().harder(), Foothold::on(rung(2)));
    }

    fn ladder(rungs: &[(&str, Option<i64>)]) -> Ladder {
        let rung_of = |&(help, reps): &(&str, Option<i64>)| Rung {
            help: Words::new(help).unwrap(),
            dose: DoseChange {
                reps: reps.map(|reps| reps.try_into().unwrap()),
                ..DoseChange::default()
            },
            words: WordsChange::default(),
        };
        Ladder::new(rungs.iter().map(rung_of).collect(), rung(1), rung(1)).unwrap()
    }

    #[test]
    fn a_rung_is_found_again_by_its_help() {
        let was = ladder(&[("both", None), ("one", None), ("one", Some(12)), ("none", None)]);
        #[rustfmt::skip]
        let rows = [
            // A rung was put in below, and one was taken out.
            (&[("wall", None), ("both", None), ("one", None), ("one", Some(12)), ("none", None)][..],
                [Some(2), Some(3), Some(4), Some(5)]),
            (&[("one", None), ("one", Some(12)), ("none", None)][..], [None, Some(1), Some(2), Some(3)]),
            // Reworded, or with another dose.
            (&[("both", Some(5)), ("one", None), ("one", Some(12)), ("free", None)][..],
                [Some(1), Some(2), Some(3), None]),
            // Two that say the same, neither with the same dose: the number decides, or nothing does.
            (&[("both", None), ("one", Some(6)), ("x", None), ("one", Some(7))][..],
                [Some(1), Some(2), None, None]),
        ];
        for (rungs, expected) in rows {
            let is = ladder(rungs);
            let found = [1, 2, 3, 4].map(|number| is.find(&was, rung(number)).map(RungNumber::get));
            assert_eq!(found, expected, "{rungs:?}");
        }
        let every = [1, 2, 3, 4].map(|number| was.find(&was, rung(number)).map(RungNumber::get));
        assert_eq!(every, [1, 2, 3, 4].map(Some));
    }

    #[test]
    fn sets_taken_off_become_rungs_down_where_there_are_rungs_below() {
        let stands = Foothold { rung: rung(1), fewer_sets: 1 };
        assert_eq!(stands.renumbered(rung(1)), stands);
        assert_eq!(stands.renumbered(rung(2)), Foothold::on(rung(1)));
        assert_eq!(stands.renumbered(rung(3)), Foothold::on(rung(2)));
        assert_eq!(Foothold::on(rung(3)).renumbered(rung(2)), Foothold::on(rung(2)));
    }

    #[test]
    fn marks_stay_with_their_rungs_when_rungs_come_and_go() {
        let help = |words: &str| Rung::of(Words::new(words).unwrap());
        let ladder = Ladder::new(vec![help("a"), help("b"), help("c")], rung(2), rung(3)).unwrap();
        let marks = |ladder: &Ladder| (ladder.start().get(), ladder.ceiling().get());
        assert_eq!(marks(&ladder.with_one_above(rung(1)).unwrap()), (3, 4));
        assert_eq!(marks(&ladder.with_one_above(rung(2)).unwrap()), (2, 4));
        assert_eq!(marks(&ladder.without(rung(1)).unwrap()), (1, 2));
        assert_eq!(marks(&ladder.without(rung(3)).unwrap()), (2, 2));
        assert_eq!(marks(&ladder.up_to(rung(1)).unwrap()), (1, 1));
        assert_eq!(marks(&ladder.starting_on(rung(3)).unwrap()), (3, 3));
        let one = Ladder::of_one();
        assert_eq!(one.without(rung(1)), Err(NotALadder::Rungs { rungs: 0 }));
    }

    #[test]
    fn a_ladder_starts_at_or_below_its_ceiling_and_has_that_rung() {
        let rungs = |count: usize| -> Vec<Rung> {
            (0..count).map(|_| Rung::of(Words::new("a hand").unwrap())).collect()
        };
        assert!(Ladder::new(rungs(3), rung(1), rung(3)).is_ok());
        assert_eq!(
            Ladder::new(rungs(3), rung(3), rung(2)),
            Err(NotALadder::Start { start: 3, ceiling: 2 })
        );
        assert_eq!(
            Ladder::new(rungs(3), rung(1), rung(4)),
            Err(NotALadder::Ceiling { ceiling: 4, rungs: 3 })
        );
        assert_eq!(Ladder::new(Vec::new(), rung(1), rung(1)), Err(NotALadder::Rungs { rungs: 0 }));
    }
}
