//! What a coach would say in a session, and when: for eyes that are shut, or on the knee. The words
//! themselves are `ui::text::spoken`'s.

use std::time::Duration;

use super::runner::{AfterRest, Clock, Means, Moment, Rest, Run, Stage};
use super::timeline::{Beat, Segment, Tone};
use crate::domain::log::event::Ending;
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::{Action, Dose, PhaseWord, Side, Sides};
use crate::domain::plan::ladder::{Foothold, Ladder};
use crate::domain::plan::routine::Exercise;
use crate::domain::words::Words;

/// A phase this long or shorter is counted down aloud, second by second; a longer one has its half and
/// its last seconds told.
const COUNTED_ALOUD: Duration = Duration::from_secs(6);
/// The last seconds of whatever is longer.
const LAST: u64 = 3;
/// A phase from this length on has its half told.
const HAS_A_HALF: Duration = Duration::from_secs(10);
/// So long before a rest is over, what comes next is told; halfway through a shorter rest.
const REST_NEARLY_OVER: Duration = Duration::from_secs(10);
/// From so many reps on, the one after the half is told.
const HAS_A_HALF_OF_REPS: u16 = 6;

/// One thing to say, and when it was due: the same is not said twice.
#[derive(Clone, Debug, PartialEq)]
pub struct Line<'a> {
    pub place: LinePlace,
    pub says: Says<'a>,
    /// How long there is to say it; whatever has no end can take its time.
    pub room: Option<Duration>,
    /// The sound that marks the same moment, where a new phase begins.
    pub tone: Option<Tone>,
}

/// How the exercises before this one went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SoFar {
    Well,
    /// One of them hurt too much.
    OneHurt,
}

/// A rating, and what it means: that can change with where it hurt.
type Answer = (PainRating, Means);

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LinePlace {
    SetUp {
        task: usize,
    },
    /// A second of a phase of a set, as the screen shows it.
    Phase {
        task: usize,
        set: u16,
        segment: usize,
        left: u64,
    },
    Paused {
        task: usize,
        set: u16,
        segment: usize,
    },
    /// A set is over and its rating is asked for.
    Asked {
        task: usize,
        set: u16,
    },
    Meant {
        task: usize,
        set: u16,
        answer: Answer,
    },
    /// What a rating means that came when the rest was over.
    MeantLate {
        task: usize,
        set: u16,
        answer: Answer,
    },
    RestEnds {
        task: usize,
        set: u16,
        answer: Option<Answer>,
        left: u64,
    },
    RestOver {
        task: usize,
        set: u16,
        answer: Option<Answer>,
    },
    Finished,
}

impl LinePlace {
    /// The answer that was known when something was said here.
    const fn answer(self) -> Option<Answer> {
        match self {
            Self::Meant { answer, .. } | Self::MeantLate { answer, .. } => Some(answer),
            Self::RestEnds { answer, .. } | Self::RestOver { answer, .. } => answer,
            Self::SetUp { .. }
            | Self::Phase { .. }
            | Self::Paused { .. }
            | Self::Asked { .. }
            | Self::Finished => None,
        }
    }
}

#[derive(Clone, Debug, PartialEq)]
pub enum Says<'a> {
    /// What to fetch, how to stand, and how much.
    SetUp {
        number: usize,
        of: usize,
        exercise: &'a Exercise,
        foothold: Foothold,
        dose: Dose,
        so_far: SoFar,
    },
    GetReady(Next<'a>),
    ChangeSides(Option<Side>),
    Phase(Opening<'a>),
    /// The seconds that are left, `since` the opening of the phase began.
    Count {
        left: u64,
        since: Duration,
        opening: Box<Line<'a>>,
    },
    HalfWay {
        since: Duration,
        opening: Box<Line<'a>>,
    },
    Paused,
    /// How much the set hurt is asked; `next` where another follows after a rest.
    Asked {
        ending: Ending,
        number: u16,
        of: u16,
        /// Seconds, as the countdown shows them.
        rest: Option<u64>,
        side: Option<Side>,
    },
    /// What a rating means for what comes next, and whether that waits for a tap.
    Meant {
        rating: PainRating,
        means: Means,
        next: Option<Next<'a>>,
        waits: Option<Waits>,
    },
    /// The rest is nearly over; `next` begins by itself, unless the rating is missing or it waits.
    RestEnds {
        left: u64,
        next: Next<'a>,
        waits: Option<Waits>,
    },
    RestOver(Waits),
    Finished,
}

/// The set that comes, and with how much help.
#[derive(Clone, Debug, PartialEq)]
pub struct Next<'a> {
    pub set: u16,
    pub of: u16,
    pub side: Option<Side>,
    pub foothold: Foothold,
    pub ladder: &'a Ladder,
}

/// A set of the exercise under way, as a coach would announce it.
fn next_set(run: &Run, set: u16) -> Option<Next<'_>> {
    let foothold = run.next_foothold();
    let dose = run.dose_at(foothold);
    let side = match dose.sides {
        Sides::OneAfterTheOther if dose.sets.get() < set => Some(Side::Right),
        // Where both are done in each set, it begins with the left one.
        Sides::OneAfterTheOther | Sides::InTurn | Sides::Left => Some(Side::Left),
        Sides::Right => Some(Side::Right),
        Sides::Together => None,
    };
    let ladder = &run.task()?.exercise.ladder;
    Some(Next { set, of: dose.rounds(), side, foothold, ladder })
}

/// What a set that does not begin by itself waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Waits {
    ForARating,
    ForATap,
}

/// The beginning of one phase.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening<'a> {
    pub action: Action,
    pub word: Option<&'a PhaseWord>,
    pub how: Option<&'a Words>,
    pub mark: Mark,
    /// In the first rep of a side, and again at half, it is told how the phase is done.
    pub is_first_rep: bool,
    /// How long it lasts, where it is too long to be counted through.
    pub secs: Option<u64>,
    /// The side that works, where nothing else has just named it.
    pub side: Option<Side>,
}

/// Which rep begins, where that is worth telling.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    None,
    HalfWay,
    Last,
}

/// What is to be said at this moment, `said` being where the last line was said; nothing where there is
/// nothing to say.
pub fn line<'a>(
    run: &'a Run,
    so_far: SoFar,
    now: Moment,
    said: Option<LinePlace>,
) -> Option<Line<'a>> {
    let task = run.task_index();
    let line = |place: LinePlace, says: Says<'a>| Line { place, says, room: None, tone: None };
    match run.stage() {
        Stage::Briefing => {
            let exercise = &run.task()?.exercise;
            let (number, of) = (task + 1, run.tasks().len());
            let (foothold, dose) = (run.foothold(), run.dose());
            let says = Says::SetUp { number, of, exercise, foothold, dose, so_far };
            Some(line(LinePlace::SetUp { task }, says))
        }
        Stage::Set { number, segment, clock: Clock::Paused { .. }, .. } => {
            let (set, segment) = (*number, *segment);
            Some(line(LinePlace::Paused { task, set, segment }, Says::Paused))
        }
        Stage::Set { number, timeline, segment, clock: clock @ Clock::Running { .. } } => {
            let here = Here { run, set: *number, segments: timeline.segments(), at: *segment };
            let goes_on = matches!(said, Some(LinePlace::Paused { .. }));
            here.line(clock.left(now), goes_on)
        }
        Stage::AfterSet { .. } => AfterSet::of(run, now)?.line(said),
        Stage::Finished => Some(line(LinePlace::Finished, Says::Finished)),
    }
}

/// A moment between two sets, or after the last one.
struct AfterSet<'a> {
    run: &'a Run,
    set: u16,
    ending: Ending,
    answer: Option<Answer>,
    rest: Rest,
    next: Option<Next<'a>>,
    /// What is left of a rest that is under way.
    left: Option<Duration>,
}

impl<'a> AfterSet<'a> {
    fn of(run: &'a Run, now: Moment) -> Option<Self> {
        let Stage::AfterSet { number, ending, rating, rest, .. } = run.stage() else { return None };
        let next = if run.another_set_follows() { next_set(run, number + 1) } else { None };
        let left = match rest {
            Rest::On(clock) if next.is_some() => Some(clock.left(now)),
            Rest::On(_) | Rest::Over | Rest::NoneNeeded => None,
        };
        let (set, ending, rest) = (*number, *ending, *rest);
        let answer = rating.map(|rating| (rating, run.means()));
        Some(Self { run, set, ending, answer, rest, next, left })
    }

    fn line(self, said: Option<LinePlace>) -> Option<Line<'a>> {
        let (task, set, answer) = (self.run.task_index(), self.set, self.answer);
        let is_new = answer.is_some() && answer != said.and_then(LinePlace::answer);
        if self.next.is_some() && matches!(self.rest, Rest::On(Clock::Paused { .. })) {
            let place = LinePlace::Paused { task, set, segment: 0 };
            return Some(Line { place, says: Says::Paused, room: None, tone: None });
        }
        match (&self.next, self.left) {
            (Some(next), None) if self.rest == Rest::Over && answer.is_some() => {
                let late = answer.map(|answer| LinePlace::MeantLate { task, set, answer });
                if is_new || said == late {
                    let ((rating, means), next) = (answer?, Some(next.clone()));
                    let waits = Some(Waits::ForATap);
                    let says = Says::Meant { rating, means, next, waits };
                    return Some(Line { place: late?, says, room: None, tone: None });
                }
                let place = LinePlace::RestOver { task, set, answer };
                Some(Line { place, says: Says::RestOver(Waits::ForATap), room: None, tone: None })
            }
            (Some(_), None) if self.rest == Rest::Over => {
                let place = LinePlace::RestOver { task, set, answer };
                let says = Says::RestOver(Waits::ForARating);
                Some(Line { place, says, room: None, tone: None })
            }
            (Some(next), Some(left)) if left <= self.nearly_over() && !is_new => {
                self.rest_ends(next, left)
            }
            (_, left) => Some(self.told(left)),
        }
    }

    /// The question, or what its answer means.
    fn told(&self, left: Option<Duration>) -> Line<'a> {
        let (task, set) = (self.run.task_index(), self.set);
        let last = Duration::from_secs(LAST);
        let room = left.map(|left| {
            let until = if left <= self.nearly_over() { last } else { self.nearly_over() };
            left.saturating_sub(until)
        });
        if let Some(answer @ (rating, means)) = self.answer {
            let says = Says::Meant { rating, means, next: self.next.clone(), waits: None };
            return Line { place: LinePlace::Meant { task, set, answer }, says, room, tone: None };
        }
        let says = Says::Asked {
            ending: self.ending,
            number: set,
            of: self.run.dose().rounds(),
            rest: left.map(shown),
            side: self.run.changes_sides_next(),
        };
        let tone = Some(Tone::SetDone);
        Line { place: LinePlace::Asked { task, set }, says, room, tone }
    }

    fn rest_ends(&self, next: &Next<'a>, left: Duration) -> Option<Line<'a>> {
        let (task, set, answer) = (self.run.task_index(), self.set, self.answer);
        let (from, waits) = (self.nearly_over(), self.waits());
        let last = Duration::from_secs(LAST);
        let place = |left| LinePlace::RestEnds { task, set, answer, left };
        let begins = shown(from);
        let room = if waits.is_none() { from.saturating_sub(last) } else { from };
        let opening = Line {
            place: place(begins),
            says: Says::RestEnds { left: begins, next: next.clone(), waits },
            room: Some(room),
            tone: None,
        };
        let shown = shown(left);
        if shown == begins {
            return Some(opening);
        }
        let is_counted = waits.is_none() && shown <= LAST;
        let since = from.saturating_sub(left);
        let says = Says::Count { left: shown, since, opening: Box::new(opening) };
        is_counted.then_some(Line { place: place(shown), says, room: Some(left), tone: None })
    }

    /// How long before its end the rest is nearly over.
    fn nearly_over(&self) -> Duration {
        REST_NEARLY_OVER.min(Duration::from_secs(self.run.dose().rest_secs.get().into()) / 2)
    }

    const fn waits(&self) -> Option<Waits> {
        match (self.answer, self.run.after_rest()) {
            (None, _) => Some(Waits::ForARating),
            (Some(_), AfterRest::WaitUntilReady) => Some(Waits::ForATap),
            (Some(_), AfterRest::GoOn) => None,
        }
    }
}

/// The seconds as a countdown shows them: 1 until the last moment.
fn shown(left: Duration) -> u64 {
    left.as_secs() + u64::from(0 < left.subsec_nanos())
}

/// A moment within a set.
struct Here<'a> {
    run: &'a Run,
    set: u16,
    segments: &'a [Segment],
    at: usize,
}

impl<'a> Here<'a> {
    fn line(&self, left: Duration, goes_on: bool) -> Option<Line<'a>> {
        let segment = self.segments.get(self.at)?;
        let length = segment.length;
        let left_shown = shown(left);
        let opening = self.opening(segment, if goes_on { left } else { length }, goes_on)?;
        if goes_on || left_shown == shown(length) {
            let place = self.place(left_shown);
            return Some(Line { place, ..opening });
        }
        let since = length.saturating_sub(left);
        let opening = Box::new(opening);
        let counts = match &segment.beat {
            Beat::Work { .. } if length <= COUNTED_ALOUD => true,
            Beat::Work { .. } | Beat::GetReady | Beat::ChangeSides => left_shown <= LAST,
        };
        let half = matches!(segment.beat, Beat::Work { .. })
            && HAS_A_HALF <= length
            && left_shown == shown(length / 2);
        let says = if counts {
            Says::Count { left: left_shown, since, opening }
        } else if half {
            Says::HalfWay { since, opening }
        } else {
            return None;
        };
        Some(Line { place: self.place(left_shown), says, room: Some(left), tone: None })
    }

    const fn place(&self, left: u64) -> LinePlace {
        LinePlace::Phase { task: self.run.task_index(), set: self.set, segment: self.at, left }
    }

    fn opening(&self, segment: &'a Segment, left: Duration, goes_on: bool) -> Option<Line<'a>> {
        let (says, room) = match &segment.beat {
            Beat::GetReady => {
                let next = Next { side: segment.side, ..next_set(self.run, self.set)? };
                let counted = left.saturating_sub(Duration::from_secs(LAST));
                let room = if COUNTED_ALOUD < left { counted } else { left };
                (Says::GetReady(next), room)
            }
            Beat::ChangeSides => {
                (Says::ChangeSides(segment.side), left.saturating_sub(Duration::from_secs(LAST)))
            }
            Beat::Work { action, word, how } => {
                let opening = Opening {
                    action: *action,
                    word: word.as_ref(),
                    how: how.as_ref(),
                    mark: self.mark(segment),
                    is_first_rep: self.is_first_rep(segment),
                    secs: (COUNTED_ALOUD < left).then(|| shown(left)),
                    side: segment.side.filter(|_| goes_on),
                };
                (Says::Phase(opening), left)
            }
        };
        let (place, tone) = (self.place(shown(left)), Some(segment.tone()));
        Some(Line { place, says, room: Some(room), tone })
    }

    fn is_first_rep(&self, segment: &Segment) -> bool {
        !self.segments[..self.at].iter().any(|earlier| {
            matches!(earlier.beat, Beat::Work { .. })
                && earlier.side == segment.side
                && earlier.rep != segment.rep
        })
    }

    fn mark(&self, segment: &Segment) -> Mark {
        let begins = self.at == 0
            || self.segments[self.at - 1].rep != segment.rep
            || self.segments[self.at - 1].completes_rep;
        let reps = self.run.dose().reps.get();
        if !begins || segment.rep == 1 {
            Mark::None
        } else if segment.rep == reps {
            Mark::Last
        } else if HAS_A_HALF_OF_REPS <= reps && segment.rep == reps / 2 + 1 {
            Mark::HalfWay
        } else {
            Mark::None
        }
    }
}
