//! How much of an exercise: sets, reps, tempo, rests, sides, load and how often; and its arithmetic.

use std::fmt;
use std::time::Duration;

use chrono::{Datelike, NaiveDate, Weekday};
use serde::{Deserialize, Serialize};

use crate::domain::refused::{Refusal, Refused};
use crate::domain::words::{Words, whole_number};

whole_number!(
    /// Sets of one exercise in one session.
    Sets, 1..=20
);
whole_number!(
    /// Repetitions in one set.
    Reps, 1..=100
);
whole_number!(
    /// The length of one phase of a rep, or of a hold, in seconds.
    PhaseSecs, 1..=3600
);
whole_number!(
    /// The rest between two sets, in seconds.
    RestSecs, 0..=900
);
whole_number!(
    /// Sessions of an exercise in one day.
    TimesADay, 1..=6
);

/// What the muscle does in one phase. Phases are stored by name: the order of digits in a
/// written tempo is not the same everywhere (Wilk 2018 starts with lowering, PMC5471590 with lifting).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// Concentric: the muscle shortens against the load.
    Lift,
    /// Eccentric: the muscle gives way slowly under the load.
    Lower,
    /// Isometric: nothing moves.
    Hold,
    /// A pause without load.
    Relax,
}

/// One short word to be read from across the room: "Out", "Push". No space, at most
/// [`PhaseWord::LONGEST`] letters.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(try_from = "String", into = "String")]
pub struct PhaseWord(String);

impl PhaseWord {
    /// The most letters that can be set large on a narrow screen.
    pub const LONGEST: usize = 10;

    pub fn new(text: &str) -> Result<Self, NotAPhaseWord> {
        let is_a_word = |letter: char| letter.is_alphabetic() || letter == '-';
        let fits = (1..=Self::LONGEST).contains(&text.chars().count());
        if fits && text.chars().all(is_a_word) {
            Ok(Self(text.to_owned()))
        } else {
            Err(NotAPhaseWord)
        }
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for PhaseWord {
    type Error = Refused<NotAPhaseWord>;

    fn try_from(text: String) -> Result<Self, Refused<NotAPhaseWord>> {
        Self::new(&text).map_err(Refused)
    }
}

impl From<PhaseWord> for String {
    fn from(word: PhaseWord) -> Self {
        word.0
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct NotAPhaseWord;

impl Refusal for NotAPhaseWord {
    const NAME: &'static str = "phase_word";
}

/// One named part of a rep.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Phase {
    pub action: Action,
    pub secs: PhaseSecs,
    /// Its own word, where the action's would mislead: a leg that goes sideways is not lifted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub word: Option<PhaseWord>,
    /// A few words beside the phase, such as "both feet" where the good leg helps on the way up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub how: Option<Words>,
}

/// The phases of one rep, in the order in which they are done; one to eight of them.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(try_from = "Vec<Phase>", into = "Vec<Phase>")]
pub struct Tempo(Vec<Phase>);

impl Tempo {
    pub fn new(phases: Vec<Phase>) -> Result<Self, NotATempo> {
        if (1..=8).contains(&phases.len()) {
            Ok(Self(phases))
        } else {
            Err(NotATempo { phases: phases.len() })
        }
    }

    pub fn pair(first: Phase, second: Phase) -> Self {
        Self(vec![first, second])
    }

    pub fn phases(&self) -> &[Phase] {
        &self.0
    }

    /// The time of one rep: the sum of its phases.
    pub fn rep_time(&self) -> Duration {
        self.0.iter().map(|phase| Duration::from_secs(phase.secs.get().into())).sum()
    }
}

impl Phase {
    /// A phase that is called by its action.
    pub const fn of(action: Action, secs: PhaseSecs) -> Self {
        Self { action, secs, word: None, how: None }
    }
}

impl TryFrom<Vec<Phase>> for Tempo {
    type Error = Refused<NotATempo>;

    fn try_from(phases: Vec<Phase>) -> Result<Self, Refused<NotATempo>> {
        Self::new(phases).map_err(Refused)
    }
}

impl From<Tempo> for Vec<Phase> {
    fn from(tempo: Tempo) -> Self {
        tempo.0
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct NotATempo {
    pub phases: usize,
}

impl Refusal for NotATempo {
    const NAME: &'static str = "tempo";
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    Left,
    Right,
}

/// Which side works, and in what order when both do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sides {
    /// Both at once, or an exercise without sides.
    #[default]
    Together,
    Left,
    Right,
    /// Every set is done on the left, then on the right, before the rest.
    InTurn,
    /// All sets on the left, then all sets on the right.
    OneAfterTheOther,
}

impl Sides {
    /// How many times the prescribed sets are worked: twice where each side is trained by itself.
    pub const fn count(self) -> u16 {
        match self {
            Self::Together | Self::Left | Self::Right => 1,
            Self::InTurn | Self::OneAfterTheOther => 2,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WeightUnit {
    Kg,
    Lb,
}

/// What is moved: a weight, or in words what cannot be weighed (a band is never turned into newtons).
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Load {
    Weight { amount: Amount, unit: WeightUnit },
    Described(Words),
}

/// "4 kg", or the words.
impl fmt::Display for Load {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Weight { amount, unit: WeightUnit::Kg } => write!(to, "{} kg", amount.get()),
            Self::Weight { amount, unit: WeightUnit::Lb } => write!(to, "{} lb", amount.get()),
            Self::Described(words) => fmt::Display::fmt(words, to),
        }
    }
}

/// The number in front of a weight unit: above 0, at most 1000.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Amount(f64);

impl Amount {
    pub fn new(number: f64) -> Result<Self, NotAnAmount> {
        if 0.0 < number && number <= 1000.0 {
            Ok(Self(number))
        } else {
            Err(NotAnAmount { number })
        }
    }

    pub const fn get(self) -> f64 {
        self.0
    }
}

impl TryFrom<f64> for Amount {
    type Error = Refused<NotAnAmount>;

    fn try_from(number: f64) -> Result<Self, Refused<NotAnAmount>> {
        Self::new(number).map_err(Refused)
    }
}

impl From<Amount> for f64 {
    fn from(amount: Amount) -> f64 {
        amount.0
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
pub struct NotAnAmount {
    pub number: f64,
}

impl Refusal for NotAnAmount {
    const NAME: &'static str = "amount";
}

/// The days of the week on which an exercise is prescribed; no day named means every day.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(try_from = "Vec<String>", into = "Vec<String>")]
pub struct Days(Vec<Weekday>);

const DAY_NAMES: [(&str, Weekday); 7] = [
    ("mon", Weekday::Mon),
    ("tue", Weekday::Tue),
    ("wed", Weekday::Wed),
    ("thu", Weekday::Thu),
    ("fri", Weekday::Fri),
    ("sat", Weekday::Sat),
    ("sun", Weekday::Sun),
];

impl Days {
    pub const EVERY: Self = Self(Vec::new());

    pub fn on(days: &[Weekday]) -> Self {
        Self(days.to_vec())
    }

    pub fn contain(&self, day: Weekday) -> bool {
        self.0.is_empty() || self.0.contains(&day)
    }

    /// The first prescribed day that is not before a date.
    pub fn next_from(&self, date: NaiveDate) -> NaiveDate {
        date.iter_days().take(7).find(|day| self.contain(day.weekday())).unwrap_or(date)
    }

    /// The named days, Monday first; empty when every day is meant.
    pub fn named(&self) -> Vec<Weekday> {
        DAY_NAMES.iter().map(|&(_, day)| day).filter(|day| self.0.contains(day)).collect()
    }
}

impl TryFrom<Vec<String>> for Days {
    type Error = Refused<NotADay>;

    fn try_from(names: Vec<String>) -> Result<Self, Refused<NotADay>> {
        names
            .into_iter()
            .map(|name| {
                let known = DAY_NAMES.iter().find(|(known, _)| *known == name);
                known.map(|&(_, day)| day).ok_or(Refused(NotADay { name }))
            })
            .collect::<Result<_, _>>()
            .map(Self)
    }
}

impl From<Days> for Vec<String> {
    fn from(days: Days) -> Self {
        DAY_NAMES
            .iter()
            .filter(|(_, day)| days.0.contains(day))
            .map(|&(name, _)| name.to_owned())
            .collect()
    }
}

#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct NotADay {
    pub name: String,
}

impl Refusal for NotADay {
    const NAME: &'static str = "day";
}

/// The prescribed amount of one exercise.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Dose {
    pub sets: Sets,
    /// One for a hold: a hold is a single long phase.
    pub reps: Reps,
    pub tempo: Tempo,
    /// Between two sets; none follows the last.
    pub rest_secs: RestSecs,
    #[serde(default)]
    pub sides: Sides,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load: Option<Load>,
    #[serde(default = "once")]
    pub times_a_day: TimesADay,
    #[serde(default)]
    pub days: Days,
}

const fn once() -> TimesADay {
    TimesADay::LEAST
}

impl Dose {
    /// Sets as the client meets them, each with its own rating: twice the prescribed number where
    /// one side follows the other, as prescribed where both sides share a set.
    pub const fn rounds(&self) -> u16 {
        match self.sides {
            Sides::OneAfterTheOther => self.sets.get() * 2,
            Sides::Together | Sides::Left | Sides::Right | Sides::InTurn => self.sets.get(),
        }
    }

    /// Reps of a set as it is done: twice the prescribed number where both sides share it.
    pub const fn reps_in_a_set(&self) -> u16 {
        match self.sides {
            Sides::InTurn => self.reps.get() * 2,
            Sides::Together | Sides::Left | Sides::Right | Sides::OneAfterTheOther => {
                self.reps.get()
            }
        }
    }

    /// `sides × sets × reps`.
    pub fn total_reps(&self) -> u32 {
        u32::from(self.sides.count()) * u32::from(self.sets.get()) * u32::from(self.reps.get())
    }

    /// Time under tension, `sides × sets × reps × rep time`, pauses inside a rep included (common
    /// practice, no source).
    pub fn time_under_tension(&self) -> Duration {
        self.tempo.rep_time() * self.total_reps()
    }

    /// All rests of one session: one fewer than the sets, since none follows the last.
    pub fn rest_time(&self) -> Duration {
        Duration::from_secs(self.rest_secs.get().into()) * u32::from(self.rounds() - 1)
    }

    /// Work and rests of one session.
    pub fn exercise_time(&self) -> Duration {
        self.time_under_tension() + self.rest_time()
    }

    /// How often in a week: the prescribed days, each so many times.
    pub fn times_a_week(&self) -> u32 {
        let days = match self.days.named().len() {
            0 => 7,
            named => u32::try_from(named).unwrap_or(7),
        };
        days * u32::from(self.times_a_day.get())
    }

    /// The dose with some parts replaced.
    #[must_use]
    pub fn with(&self, change: &DoseChange) -> Self {
        let change = change.clone();
        Self {
            sets: change.sets.unwrap_or(self.sets),
            reps: change.reps.unwrap_or(self.reps),
            tempo: change.tempo.unwrap_or_else(|| self.tempo.clone()),
            rest_secs: change.rest_secs.unwrap_or(self.rest_secs),
            load: change.load.or_else(|| self.load.clone()),
            ..self.clone()
        }
    }
}

/// What one rung changes in the dose; what is not named stays.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
pub struct DoseChange {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sets: Option<Sets>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reps: Option<Reps>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tempo: Option<Tempo>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest_secs: Option<RestSecs>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load: Option<Load>,
}

impl DoseChange {
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Time to fetch things and get into place before an exercise (common practice, no source).
pub const SETTING_UP: Duration = Duration::from_secs(45);

/// The planned time of a session: the exercises and, before each, [`SETTING_UP`].
pub fn session_time<'a>(doses: impl IntoIterator<Item = &'a Dose>) -> Duration {
    doses.into_iter().map(|dose| dose.exercise_time() + SETTING_UP).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::words::{Counted, OutOfRange};

    #[test]
    fn a_negative_or_endless_dose_does_not_exist() {
        let refused = OutOfRange { number: 1_000_000, counted: Counted::Sets, least: 1, most: 20 };
        assert_eq!(Sets::new(1_000_000), Err(refused));
        assert!(Reps::new(-3).is_err());
        assert!(PhaseSecs::new(0).is_err());
        assert!(Amount::new(f64::NAN).is_err());
        assert!(Amount::new(0.0).is_err());
        for word in ["", "out to", "straightened", "3", "out."] {
            assert_eq!(PhaseWord::new(word), Err(NotAPhaseWord), "{word}");
        }
        assert!(PhaseWord::new("straighten").is_ok());
    }

    #[test]
    fn no_day_named_means_every_day() {
        assert!(Days::EVERY.contain(Weekday::Sun));
        let some: Days = serde_json::from_str(r#"["fri","mon"]"#).unwrap();
        assert!(some.contain(Weekday::Mon) && !some.contain(Weekday::Tue));
        assert_eq!(serde_json::to_string(&some).unwrap(), r#"["mon","fri"]"#);
        assert!(serde_json::from_str::<Days>(r#"["funday"]"#).is_err());
    }

    /// 2 March 2026 is a Monday.
    #[test]
    fn the_next_prescribed_day_is_that_day_or_a_later_one() {
        let march = |day| NaiveDate::from_ymd_opt(2026, 3, day).unwrap();
        let some = Days::on(&[Weekday::Mon, Weekday::Fri]);
        for (from, next) in [(2, 2), (3, 6), (6, 6), (7, 9)] {
            assert_eq!(some.next_from(march(from)), march(next));
        }
        assert_eq!(Days::EVERY.next_from(march(5)), march(5));
    }
}
