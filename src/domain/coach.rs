//! What a coach would say in a session, and no more: words for the eyes-shut moments, one line at a time.

use std::time::Duration;

use super::dose::{Action, Side};
use super::runner::{Clock, Moment, Rest, Run, Stage};
use super::timeline::{Beat, Segment, Tone};

/// A phase this long or shorter is counted aloud, second by second; a longer one is only named.
const COUNTED_ALOUD: Duration = Duration::from_secs(6);

/// One line, and when it was due: the same line is not said twice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub place: Place,
    pub words: String,
    /// The sound that marks the same moment, where a new phase begins.
    pub tone: Option<Tone>,
}

/// A second of a phase of a set, or the beginning of a rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    Phase { task: usize, set: u16, segment: usize, second: u64 },
    RestBegins { task: usize, set: u16 },
}

/// What is to be said at this moment; nothing while nothing runs.
pub fn line(run: &Run, now: Moment) -> Option<Line> {
    match run.stage() {
        Stage::Set { number, timeline, segment, clock: clock @ Clock::Running { .. } } => {
            let segments = timeline.segments();
            let current = segments.get(*segment)?;
            let second = current.length.saturating_sub(clock.left(now)).as_secs();
            let is_last_rep = !segments[segment + 1..]
                .iter()
                .any(|later| later.rep != current.rep || later.side != current.side);
            let begins_rep = *segment == 0
                || segments[segment - 1].rep != current.rep
                || segments[segment - 1].completes_rep;
            let last_one = is_last_rep && begins_rep && 1 < current.rep;
            let place =
                Place::Phase { task: run.task_index(), set: *number, segment: *segment, second };
            let words =
                if second == 0 { opening(current, last_one) } else { counted(current, second)? };
            let tone = if second == 0 { Some(current.tone()) } else { None };
            Some(Line { place, words, tone })
        }
        Stage::Rated { number, rest: Rest::On(clock @ Clock::Running { .. }), .. } => {
            let place = Place::RestBegins { task: run.task_index(), set: *number };
            let rest = seconds(clock.left(now).as_secs());
            let words = match run.changes_sides_next() {
                Some(Side::Left) => format!("Rest, {rest}. Then the left side"),
                Some(Side::Right) => format!("Rest, {rest}. Then the right side"),
                None => format!("Rest, {rest}"),
            };
            Some(Line { place, words, tone: Some(Tone::SetDone) })
        }
        Stage::Set { .. } | Stage::Rated { .. } | Stage::Briefing | Stage::Finished => None,
    }
}

fn opening(segment: &Segment, last_one: bool) -> String {
    let word = match &segment.beat {
        Beat::GetReady => "Get ready",
        Beat::ChangeSides => "Change sides",
        Beat::Work { action: Action::Lift, .. } => "Lift",
        Beat::Work { action: Action::Lower, .. } => "Lower",
        Beat::Work { action: Action::Hold, .. } => "Hold",
        Beat::Work { action: Action::Relax, .. } => "Relax",
    };
    let is_long_hold = matches!(&segment.beat, Beat::Work { action: Action::Hold, .. })
        && COUNTED_ALOUD < segment.length;
    match (last_one, is_long_hold) {
        (true, _) => format!("Last one. {word}"),
        (false, true) => format!("{word}, {}", seconds(segment.length.as_secs())),
        (false, false) => word.to_owned(),
    }
}

/// "two", "three": the seconds of a short phase that moves.
fn counted(segment: &Segment, second: u64) -> Option<String> {
    const NUMBERS: [&str; 6] = ["one", "two", "three", "four", "five", "six"];
    let moves = matches!(&segment.beat, Beat::Work { action: Action::Lift | Action::Lower, .. });
    let number = NUMBERS.get(usize::try_from(second).ok()?)?;
    (moves && segment.length <= COUNTED_ALOUD).then(|| (*number).to_owned())
}

fn seconds(count: u64) -> String {
    match count {
        1 => "one second".to_owned(),
        60 => "one minute".to_owned(),
        count if 60 < count && count % 60 == 0 => format!("{} minutes", count / 60),
        count => format!("{count} seconds"),
    }
}
