//! One set laid out in time: which phase begins when, and which sound marks it.
//!
//! A timeline is a pure value, made from the dose before the set begins, so that the shell can
//! schedule every sound of a set up front.

use std::time::Duration;

use crate::domain::plan::dose::{Action, Dose, Phase, PhaseWord, Side, Sides};
use crate::domain::words::{Words, whole_number};

/// Time to get into place before the first set, once Start was tapped (common practice, no source).
pub const COUNT_IN: Duration = Duration::from_secs(8);
/// Time to get back into place when a set is taken up again in the middle (common practice, no source).
pub const SHORT_COUNT_IN: Duration = Duration::from_secs(4);
/// Time to change sides inside a set (common practice, no source).
pub const CHANGE_SIDES: Duration = Duration::from_secs(10);
/// The last seconds of a count-in, a rest or a long hold that are counted aloud.
const COUNTED: u64 = 3;
/// A hold at least this long has its last seconds counted.
const LONG_HOLD: Duration = Duration::from_secs(6);

whole_number!(
    /// A slower count for everything that is worked, in per cent of the prescribed time: 100 as prescribed.
    Pace, 100..=150
);

impl Pace {
    pub const AS_PRESCRIBED: Self = Self::LEAST;

    pub fn slow(self, time: Duration) -> Duration {
        time * u32::from(self.get()) / 100
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Beat {
    GetReady,
    Work { action: Action, word: Option<PhaseWord>, how: Option<Words> },
    ChangeSides,
}

/// One stretch of a set in which nothing changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Segment {
    pub beat: Beat,
    pub starts: Duration,
    pub length: Duration,
    /// The rep this belongs to, counted from 1 for each side.
    pub rep: u16,
    pub side: Option<Side>,
    /// Whether a rep is complete when this segment is.
    pub completes_rep: bool,
}

impl Segment {
    pub fn ends(&self) -> Duration {
        self.starts + self.length
    }

    /// The sound that marks its beginning; a count-in begins without one.
    pub const fn tone(&self) -> Tone {
        match &self.beat {
            Beat::GetReady => Tone::Count,
            Beat::ChangeSides => Tone::ChangeSides,
            Beat::Work { action: Action::Lift, .. } => Tone::Lift,
            Beat::Work { action: Action::Lower, .. } => Tone::Lower,
            Beat::Work { action: Action::Hold, .. } => Tone::Hold,
            Beat::Work { action: Action::Relax, .. } => Tone::Relax,
        }
    }
}

/// The sounds, one meaning each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// A second of the count toward the next change.
    Count,
    Lift,
    Lower,
    Hold,
    Relax,
    ChangeSides,
    SetDone,
}

/// A sound, and how long after the start of the timeline it begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cue {
    pub at: Duration,
    pub tone: Tone,
}

/// The segments of one set, each beginning where the one before ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Timeline(Vec<Segment>);

impl Timeline {
    /// Lays out set `number` (from 1) of a dose at a pace, beginning with `count_in` and the rep
    /// `from_rep`, counted from 0 over both sides. Only the work is slowed.
    pub fn of_set(dose: &Dose, number: u16, count_in: Duration, from_rep: u16, pace: Pace) -> Self {
        let sides: &[Option<Side>] = match dose.sides {
            Sides::Together => &[None],
            Sides::InTurn => &[Some(Side::Left), Some(Side::Right)],
            Sides::OneAfterTheOther if dose.sets.get() < number => &[Some(Side::Right)],
            Sides::Left | Sides::OneAfterTheOther => &[Some(Side::Left)],
            Sides::Right => &[Some(Side::Right)],
        };
        let mut segments = Segments { starts: Duration::ZERO, laid: Vec::new() };
        let reps = dose.reps.get();
        let first = from_rep.min(reps * if sides.len() == 1 { 1 } else { 2 } - 1);
        segments.push(
            Beat::GetReady,
            count_in,
            (first % reps + 1, sides[usize::from(first / reps)]),
            false,
        );
        for (turn, &side) in (0_u16..).zip(sides) {
            for rep in 0..reps {
                let overall = turn * reps + rep;
                if overall < first {
                    continue;
                }
                if 0 < turn && rep == 0 && first < overall {
                    segments.push(Beat::ChangeSides, CHANGE_SIDES, (1, side), false);
                }
                let phases = dose.tempo.phases();
                for (index, phase) in phases.iter().enumerate() {
                    let Phase { action, word, how, .. } = phase.clone();
                    let beat = Beat::Work { action, word, how };
                    let length = pace.slow(Duration::from_secs(phase.secs.get().into()));
                    segments.push(beat, length, (rep + 1, side), index + 1 == phases.len());
                }
            }
        }
        Self(segments.laid)
    }

    pub fn segments(&self) -> &[Segment] {
        &self.0
    }

    pub fn length(&self) -> Duration {
        self.0.last().map_or(Duration::ZERO, Segment::ends)
    }

    /// Every sound of the set, in order.
    pub fn cues(&self) -> Vec<Cue> {
        let mut cues = Vec::new();
        for segment in &self.0 {
            if segment.beat != Beat::GetReady {
                cues.push(Cue { at: segment.starts, tone: segment.tone() });
            }
            let counted = match &segment.beat {
                Beat::GetReady | Beat::ChangeSides => true,
                Beat::Work { action, .. } => *action == Action::Hold && LONG_HOLD <= segment.length,
            };
            if counted {
                cues.extend(count_down(segment.ends(), segment.length));
            }
        }
        cues.push(Cue { at: self.length(), tone: Tone::SetDone });
        cues
    }
}

/// The sounds of a rest of that length: time to change sides, where the next set is on the other one,
/// and its last seconds, counted.
pub fn rest_cues(rest: Duration, other_side: Option<Side>) -> Vec<Cue> {
    let change = other_side.and_then(|_| rest.checked_sub(CHANGE_SIDES));
    let change = change.map(|at| Cue { at, tone: Tone::ChangeSides });
    change.into_iter().chain(count_down(rest, rest)).collect()
}

fn count_down(end: Duration, length: Duration) -> impl Iterator<Item = Cue> {
    (1..=COUNTED)
        .rev()
        .map(Duration::from_secs)
        .filter(move |before| *before <= length)
        .map(move |before| Cue { at: end.saturating_sub(before), tone: Tone::Count })
}

struct Segments {
    starts: Duration,
    laid: Vec<Segment>,
}

impl Segments {
    fn push(
        &mut self,
        beat: Beat,
        length: Duration,
        (rep, side): (u16, Option<Side>),
        completes_rep: bool,
    ) {
        if length.is_zero() {
            return;
        }
        self.laid.push(Segment { beat, starts: self.starts, length, rep, side, completes_rep });
        self.starts += length;
    }
}
