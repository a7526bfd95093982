//! What the device is to do for a session: facts to note, sounds, a bookmark to leave. They come out as values;
//! whoever asked carries them out and decides nothing.

use std::time::Duration;

use chrono::{DateTime, FixedOffset};

use super::runner::{Bookmark, Input, Manner, Moment, Run, SLEPT, Stage, Task};
use super::timeline::Cue;
use crate::domain::event_id::EventId;
use crate::domain::log::event::{Fact, Planned, WorkedToday};
use crate::domain::log::history::{History, Today};
use crate::domain::pain::PainRating;
use crate::domain::plan::routine::Routine;

/// One thing for the device to do.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    Note(Vec<Fact>),
    /// Ask the browser to keep what is stored: the client has done a session, and would miss it.
    AskToKeepStorage,
    /// The session is over, and its end to be looked at, after a reload, too.
    LookAtEnd(EventId),
    /// Nothing of what was to sound sounds any more.
    Silence,
    Sound(Vec<Cue>),
    LayBookmark(Bookmark),
    TakeBookmarkAway,
    /// Let go of the session: nothing more can be done for it.
    Leave,
}

/// When an input came.
#[derive(Clone, Copy, Debug)]
pub struct Heard {
    pub now: Moment,
    /// When anything was heard of the app before.
    pub before: Moment,
    /// What the calendar says.
    pub at: DateTime<FixedOffset>,
}

impl Run {
    /// Takes one input, or a tick of the clock, and tells what is to be done; none, where it changes nothing. A set
    /// that goes on to its next phase has changed, though there is nothing to do.
    ///
    /// Where nothing was heard of the app for long, the device slept. A session that began on another day, for
    /// which nothing more can be done, is let go of by whatever would do more work; what was done before can still
    /// be noted and rated.
    pub fn hear(&mut self, input: Input, heard: Heard, history: &History) -> Option<Vec<Effect>> {
        let Heard { now, before, at } = heard;
        let unheard = now.since(before);
        let is_tick = input == Input::Tick;
        let is_due = self.next_wakeup().is_some_and(|due| due <= now);
        let is_old = (!is_tick || is_due) && self.is_old(history, at);
        let woke = SLEPT <= unheard || (is_due && is_old);
        if is_tick && !woke && !is_due {
            return None;
        }
        if is_old && goes_on(&input) {
            return Some(vec![Effect::Leave]);
        }
        let was = self.clone();
        if woke {
            self.step(Input::Woke { after: unheard }, now);
        }
        let facts = self.step(input, now);
        if *self == was && facts.is_empty() && !woke {
            return None;
        }
        let has_ended = facts.iter().any(|fact| matches!(fact, Fact::SessionEnded { .. }));
        let mut effects = Vec::new();
        if !facts.is_empty() {
            effects.push(Effect::Note(facts));
        }
        if has_ended {
            if history.began_once() {
                effects.push(Effect::AskToKeepStorage);
            }
            effects.push(Effect::LookAtEnd(self.session()));
        }
        effects.extend(self.sounds_since(&was, !is_tick || woke, now));
        effects.extend(match self.bookmark() {
            Some(mark) if was.bookmark().as_ref() == Some(&mark) => None,
            Some(mark) => Some(Effect::LayBookmark(mark)),
            None => Some(Effect::TakeBookmarkAway),
        });
        Some(effects)
    }

    /// Whether the log does not have it open any more: a day went by, or a warning sign ended it.
    pub fn is_old(&self, history: &History, at: DateTime<FixedOffset>) -> bool {
        *self.stage() != Stage::Finished && history.open_session(at).is_none()
    }

    /// A tap changes what is to come, so everything is scheduled anew. The clock only moves along a
    /// schedule that stands: a set that begins by itself was scheduled when the one before was rated.
    /// The audio clock stands still while the device sleeps, so waking does the same.
    fn sounds_since(&self, was: &Self, anew: bool, now: Moment) -> Vec<Effect> {
        let rest_began = matches!(was.stage(), Stage::Set { .. })
            && matches!(self.stage(), Stage::AfterSet { .. });
        if anew || self.slept().is_some() {
            vec![Effect::Silence, Effect::Sound(self.cues(now))]
        } else if rest_began {
            vec![Effect::Sound(self.cues(now))]
        } else {
            Vec::new()
        }
    }

    /// The session that the log has open at that moment, or the one whose end is still being looked at, as it was
    /// when the page was last seen.
    pub fn left_open(
        history: &History,
        (at, now): (DateTime<FixedOffset>, Moment),
        just_ended: Option<EventId>,
        bookmark: Option<&Bookmark>,
        manner: Manner,
    ) -> Option<Self> {
        let ended = || history.sessions().last().filter(|session| Some(session.id) == just_ended);
        let session = history.open_session(at).or_else(ended)?;
        let accepted = history.accepted().iter().rfind(|accepted| {
            accepted.routine.id == session.routine && accepted.routine.version == session.version
        })?;
        if session.ended_at.is_some() {
            return Some(Self::finished(
                session.id,
                Task::of_plan(&session.plan, &accepted.routine),
            ));
        }
        let since_last_set = session
            .sets
            .last()
            .map_or(Duration::ZERO, |set| (at - set.ended_at).to_std().unwrap_or(Duration::ZERO));
        let tasks = Task::on_day(&session.plan, &accepted.routine, history, session.day());
        Some(Self::take_up(session, tasks, bookmark, manner, (since_last_set, now)))
    }
}

/// A session of what is left to do on a day, or of everything once all of it is done: the fact that it started,
/// and its tasks.
pub fn to_start(
    history: &History,
    routine: &Routine,
    day: chrono::NaiveDate,
    (at_rest, worked_today): (Option<PainRating>, Option<WorkedToday>),
) -> (Fact, Vec<Task>) {
    let today = history.today(day);
    let open: Vec<&Today> = if today.iter().any(Today::is_left_to_do) {
        today.iter().filter(|line| line.is_left_to_do()).collect()
    } else {
        today.iter().filter(|line| line.can_be_done()).collect()
    };
    let planned =
        |line: &&Today| Planned { exercise: line.exercise.id.clone(), from: line.foothold };
    let plan: Vec<Planned> = open.iter().map(planned).collect();
    let tasks = Task::on_day(&plan, routine, history, day);
    let (id, version) = (routine.id.clone(), routine.version);
    (Fact::SessionStarted { routine: id, version, at_rest, worked_today, plan }, tasks)
}

/// Whether an input does more work, rather than noting what was done.
const fn goes_on(input: &Input) -> bool {
    match input {
        Input::Start
        | Input::Resume
        | Input::OneRepBack
        | Input::RepeatSet
        | Input::AddRest
        | Input::TakeBackStop
        | Input::GoOn => true,
        Input::Tick
        | Input::Woke { .. }
        | Input::LookAway
        | Input::Pause
        | Input::CutSetShort
        | Input::StopItHurts
        | Input::LeaveOutSet
        | Input::Rate { .. }
        | Input::LeaveOut
        | Input::EndSession => false,
    }
}
