//! The session as a pure state machine: `step` takes an input and the time, and gives the facts to log.
//!
//! Time is awake time: a [`Moment`] never goes back, and a moment that comes much later than the
//! runner asked for means that the device slept. Sleep is never credited as work.

use std::time::Duration;

use chrono::NaiveDate;

use super::timeline::{Beat, COUNT_IN, Cue, Pace, SHORT_COUNT_IN, Segment, Timeline, rest_cues};
use crate::domain::event_id::EventId;
use crate::domain::log::event::{Ending, Fact, Planned, SetRef};
use crate::domain::log::history::{History, Session};
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::{Dose, Side, Sides};
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::plan::limits::{AfterMiddleSet, Limits, Zone};
use crate::domain::plan::routine::{Exercise, Routine};
use crate::domain::words::{Id, Words};

/// A point in time of this run of the app, measured from its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub Duration);

impl Moment {
    /// How long after `earlier` this is; nothing when it is not.
    pub fn since(self, earlier: Self) -> Duration {
        self.0.saturating_sub(earlier.0)
    }

    fn plus(self, time: Duration) -> Self {
        Self(self.0 + time)
    }

    fn before(self, time: Duration) -> Self {
        Self(self.0.saturating_sub(time))
    }
}

/// A tick this late means that the device slept: the set is paused where it was, not run through.
pub const SLEPT: Duration = Duration::from_secs(2);
/// How long a stop can be taken back.
pub const TAKE_BACK_WITHIN: Duration = Duration::from_secs(10);
/// What one tap adds to a rest.
pub const MORE_REST: Duration = Duration::from_secs(15);

/// What happens when a rest is over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub enum AfterRest {
    /// The next set begins by itself, once the last one was rated.
    #[default]
    GoOn,
    /// The next set waits until the client is ready (WCAG 2.2, 2.2.1).
    WaitUntilReady,
}

/// How this client likes to be led.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub struct Manner {
    pub pace: Pace,
    pub after_rest: AfterRest,
}

impl Default for Manner {
    fn default() -> Self {
        Self { pace: Pace::AS_PRESCRIBED, after_rest: AfterRest::GoOn }
    }
}

/// One exercise of the session: what to do, and from which foothold.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    pub exercise: Exercise,
    pub limits: Limits,
    pub from: Foothold,
    /// The rung below which no set is eased: one below where the day started, however many sessions it has.
    pub least: RungNumber,
}

impl Task {
    /// The tasks of a plan, as a routine prescribes them, for a day that starts where they start.
    pub fn of_plan(plan: &[Planned], routine: &Routine) -> Vec<Self> {
        let task = |planned: &Planned| {
            let exercise = routine.exercise(&planned.exercise)?;
            let limits = routine.limits_for(exercise).clone();
            let least = RungNumber::nearest(planned.from.rung.get() - 1);
            Some(Self { exercise: exercise.clone(), limits, from: planned.from, least })
        };
        plan.iter().filter_map(task).collect()
    }

    /// The tasks of a plan, for a training day of which the log may have sets already.
    pub fn on_day(
        plan: &[Planned],
        routine: &Routine,
        history: &History,
        day: NaiveDate,
    ) -> Vec<Self> {
        let mut tasks = Self::of_plan(plan, routine);
        for task in &mut tasks {
            if let Some(course) = history.course(&task.exercise.id) {
                task.least = course.least_on(day);
            }
        }
        tasks
    }
}

/// A countdown that can stand still.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    Running { until: Moment },
    Paused { left: Duration },
}

impl Clock {
    pub fn left(self, now: Moment) -> Duration {
        match self {
            Self::Running { until } => until.since(now),
            Self::Paused { left } => left,
        }
    }

    fn paused(self, now: Moment) -> Self {
        Self::Paused { left: self.left(now) }
    }

    fn resumed(self, now: Moment) -> Self {
        Self::Running { until: now.plus(self.left(now)) }
    }

    pub const fn is_paused(self) -> bool {
        matches!(self, Self::Paused { .. })
    }
}

/// What the rating of a set means for what comes next in this session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Means {
    CarryOn,
    /// The next set is done one rung down, at most one below where the day started.
    EaseNextSet {
        to: Foothold,
    },
    /// It would be, were there a rung to go down to today.
    NothingEasier,
    /// High zone: this exercise ends for the day.
    EndExercise,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Stage {
    /// The set-up of an exercise is shown, nothing runs.
    Briefing,
    /// A set is being worked.
    Set { number: u16, timeline: Timeline, segment: usize, clock: Clock },
    /// A set was worked; its rating is asked for while the rest runs.
    AfterSet {
        number: u16,
        ending: Ending,
        rating: Option<PainRating>,
        site: Option<Words>,
        rest: Rest,
    },
    /// Every exercise was done or left out.
    Finished,
}

/// The rest after a set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    On(Clock),
    /// The rest is over, and the rating is still missing.
    Over,
    /// No further set of this exercise follows.
    NoneNeeded,
}

/// What the client, or the clock, did.
#[derive(Clone, Debug, PartialEq)]
pub enum Input {
    Tick,
    /// Nothing was heard of the app for that long: the device slept, whatever was under way.
    Woke {
        after: Duration,
    },
    /// Another page is looked at: that is no sleep, and no time of the set.
    LookAway,
    /// Start the first set of this exercise.
    Start,
    Pause,
    Resume,
    /// End this set here, by choice.
    CutSetShort,
    /// Stop, it hurts.
    StopItHurts,
    /// That stop was a slip.
    TakeBackStop,
    /// Go back to the beginning of the last complete rep.
    OneRepBack,
    /// Start this set again from its beginning.
    RepeatSet,
    /// Leave this set, or the next one while resting, out.
    LeaveOutSet,
    Rate {
        rating: PainRating,
        site: Option<Words>,
    },
    AddRest,
    /// End the rest, or go on without a rating, or go to the next exercise.
    GoOn,
    /// Leave this exercise out today.
    LeaveOut,
    /// End the session here.
    EndSession,
}

impl Input {
    /// Whether the client tapped it.
    pub const fn is_tap(&self) -> bool {
        !matches!(self, Self::Tick | Self::Woke { .. } | Self::LookAway)
    }
}

/// A session under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    session: EventId,
    tasks: Vec<Task>,
    task: usize,
    /// Where the next set of this exercise is done.
    foothold: Foothold,
    stage: Stage,
    manner: Manner,
    /// How long the device slept in the middle of a set, until the client goes on.
    slept: Option<Duration>,
    /// The last set that was stopped because of pain, as it stood.
    stopped: Option<StoppedSet>,
}

/// A set as it stood when it was stopped, to be gone on with should that have been a slip.
#[derive(Clone, Debug, PartialEq)]
struct StoppedSet {
    at: Moment,
    timeline: Timeline,
    segment: usize,
    left: Duration,
}

/// Where a session was when the page was last seen, so that a reload can go on from there.
#[derive(Clone, Debug, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub struct Bookmark {
    pub session: EventId,
    pub exercise: Id,
    /// 0 where the exercise was about to begin.
    pub set: u16,
    /// Reps that were complete, over both sides.
    pub reps: u16,
}

impl Run {
    pub fn begin(session: EventId, tasks: Vec<Task>, manner: Manner) -> Self {
        let foothold = tasks.first().map_or(Foothold::on(RungNumber::LEAST), |task| task.from);
        let stage = if tasks.is_empty() { Stage::Finished } else { Stage::Briefing };
        Self { session, tasks, task: 0, foothold, stage, manner, slept: None, stopped: None }
    }

    /// A session that is over, to be looked at once more.
    pub fn finished(session: EventId, tasks: Vec<Task>) -> Self {
        let mut run = Self::begin(session, tasks, Manner::default());
        run.task = run.tasks.len();
        run.stage = Stage::Finished;
        run
    }

    /// Takes up a session from what the log says of it; `since_last_set` is the time since its last set ended.
    pub fn take_up(
        done: &Session,
        tasks: Vec<Task>,
        bookmark: Option<&Bookmark>,
        manner: Manner,
        (since_last_set, now): (Duration, Moment),
    ) -> Self {
        let mut run = Self::begin(done.id, tasks, manner);
        while let Some(task) = run.tasks.get(run.task) {
            let id = task.exercise.id.clone();
            let left_out = done.left_out.contains(&id);
            let sets: Vec<_> = done.sets.iter().filter(|set| set.exercise == id).collect();
            if left_out && run.next_task() {
                continue;
            }
            if left_out || sets.is_empty() {
                break;
            }
            for set in sets {
                run.foothold = run.foothold.min(Foothold::on(set.rung));
                let rating = set.rated.as_ref().map(|rated| rated.rating);
                let site = set.rated.as_ref().and_then(|rated| rated.site.clone());
                let (number, ending) = (set.number, set.ending);
                run.stage =
                    Stage::AfterSet { number, ending, rating, site, rest: Rest::NoneNeeded };
            }
            let has_later_task = run.tasks[run.task + 1..].iter().any(|later| {
                done.sets_of(&later.exercise.id).next().is_some()
                    || done.left_out.contains(&later.exercise.id)
            });

            if has_later_task {
                run.next_task();
                continue;
            }
            if run.another_set_follows() {
                let whole = run.rest_length();
                let left = whole.saturating_sub(since_last_set);
                if let Stage::AfterSet { rest, .. } = &mut run.stage {
                    *rest = if left.is_zero() {
                        Rest::Over
                    } else {
                        Rest::On(Clock::Running { until: now.plus(left) })
                    };
                }
            }
            break;
        }
        if let Some(mark) = bookmark {
            run.open_at(mark);
        }
        run
    }

    /// Goes to where a bookmark lies: the set-up of the next exercise, or a set, paused before its next rep.
    fn open_at(&mut self, mark: &Bookmark) {
        let follows =
            self.tasks.get(self.task + 1).is_some_and(|task| task.exercise.id == mark.exercise);
        if mark.set == 0
            && mark.session == self.session
            && follows
            && matches!(self.stage, Stage::AfterSet { .. })
        {
            self.next_task();
            return;
        }
        let next = match &self.stage {
            Stage::Briefing => 1,
            Stage::AfterSet { number, .. } if self.another_set_follows() => number + 1,
            Stage::AfterSet { .. } | Stage::Set { .. } | Stage::Finished => return,
        };
        let here = self.task().is_some_and(|task| task.exercise.id == mark.exercise);
        if here && mark.session == self.session && mark.set == next {
            self.foothold = self.next_foothold();
            self.open_set(next, SHORT_COUNT_IN, mark.reps);
        }
    }

    /// The place to come back to, in a set or before the first of an exercise.
    pub fn bookmark(&self) -> Option<Bookmark> {
        let (set, reps) = match &self.stage {
            Stage::Set { number, timeline, segment, .. } => {
                (*number, self.reps_before(*number, timeline, *segment))
            }
            Stage::Briefing => (0, 0),
            Stage::AfterSet { .. } | Stage::Finished => return None,
        };
        let exercise = self.task()?.exercise.id.clone();
        Some(Bookmark { session: self.session, exercise, set, reps })
    }

    /// Reps of this set that were complete before a segment, those before a reload included.
    fn reps_before(&self, number: u16, timeline: &Timeline, segment: usize) -> u16 {
        let whole = self.whole_set(number);
        let complete =
            |segments: &[Segment]| segments.iter().filter(|one| one.completes_rep).count();
        let skipped = complete(whole.segments()) - complete(timeline.segments());
        u16::try_from(skipped + complete(&timeline.segments()[..segment])).unwrap_or(u16::MAX)
    }

    pub const fn session(&self) -> EventId {
        self.session
    }

    pub fn tasks(&self) -> &[Task] {
        &self.tasks
    }

    /// The exercise under way, counted from 0.
    pub const fn task_index(&self) -> usize {
        self.task
    }

    pub fn task(&self) -> Option<&Task> {
        self.tasks.get(self.task)
    }

    pub const fn stage(&self) -> &Stage {
        &self.stage
    }

    pub const fn foothold(&self) -> Foothold {
        self.foothold
    }

    pub const fn slept(&self) -> Option<Duration> {
        self.slept
    }

    /// The dose of the exercise under way, at the present foothold. Sets taken off before the session
    /// stay off when a set is eased.
    pub fn dose(&self) -> Dose {
        self.dose_at(self.foothold)
    }

    pub(super) fn dose_at(&self, foothold: Foothold) -> Dose {
        let task = &self.tasks[self.task.min(self.tasks.len() - 1)];
        foothold.dose(&task.exercise.dose, &task.exercise.ladder)
    }

    /// All of a set of this exercise, without a count-in.
    fn whole_set(&self, number: u16) -> Timeline {
        Timeline::of_set(&self.dose(), number, Duration::ZERO, 0, self.manner.pace)
    }

    fn rest_length(&self) -> Duration {
        Duration::from_secs(self.dose().rest_secs.get().into())
    }

    /// What the rating given so far means for the rest of this exercise.
    pub fn means(&self) -> Means {
        let (Stage::AfterSet { ending, rating, site, .. }, Some(task)) = (&self.stage, self.task())
        else {
            return Means::CarryOn;
        };
        if *ending == Ending::Pain {
            return Means::EndExercise;
        }
        let Some(rating) = rating else { return Means::CarryOn };
        match task.limits.zone_of_set(*rating, site.as_ref()) {
            Zone::Middle if task.limits.after_middle_set == AfterMiddleSet::OneRungDown => {
                match RungNumber::new(i64::from(self.foothold.rung.get()) - 1) {
                    Ok(rung) if task.least <= rung => Means::EaseNextSet { to: Foothold::on(rung) },
                    Ok(_) | Err(_) => Means::NothingEasier,
                }
            }
            Zone::Low | Zone::Middle => Means::CarryOn,
            Zone::High => Means::EndExercise,
        }
    }

    /// Whether another set of this exercise is to come after the one just rated.
    pub fn another_set_follows(&self) -> bool {
        match &self.stage {
            Stage::AfterSet { number, .. } => {
                *number < self.dose().rounds() && self.means() != Means::EndExercise
            }
            Stage::Briefing | Stage::Set { .. } | Stage::Finished => false,
        }
    }

    /// Where in a rep the set under way is: the phase of the tempo, from 0, the share of it that is over, and
    /// the side. Before the first rep and between two sides it is where the next one begins.
    pub fn in_rep(&self, now: Moment) -> Option<(usize, f64, Option<Side>)> {
        let Stage::Set { timeline, segment, clock, .. } = &self.stage else { return None };
        let (before, rest) = timeline.segments().split_at(*segment);
        let here = rest.first()?;
        match here.beat {
            Beat::GetReady => Some((0, 0.0, here.side)),
            Beat::ChangeSides => Some((0, 0.0, rest.get(1).and_then(|next| next.side))),
            Beat::Work { .. } => {
                let is_of_this_rep = |one: &&Segment| {
                    matches!(one.beat, Beat::Work { .. })
                        && one.rep == here.rep
                        && one.side == here.side
                };
                let phase = before.iter().rev().take_while(is_of_this_rep).count();
                let share = 1.0 - clock.left(now).as_secs_f64() / here.length.as_secs_f64();
                Some((phase, share.clamp(0.0, 1.0), here.side))
            }
        }
    }

    pub const fn after_rest(&self) -> AfterRest {
        self.manner.after_rest
    }

    /// The side to change to before the next set, where one side follows the other.
    pub fn changes_sides_next(&self) -> Option<Side> {
        let Stage::AfterSet { number, .. } = &self.stage else { return None };
        let dose = self.dose();
        let is_last_of_side = dose.sides == Sides::OneAfterTheOther && *number == dose.sets.get();
        (is_last_of_side && self.another_set_follows()).then_some(Side::Right)
    }

    /// The sounds still to come, each with its time from `now`: those of the set or rest under way,
    /// and after a rest whose set was rated, those of the next set too, since it begins by itself.
    pub fn cues(&self, now: Moment) -> Vec<Cue> {
        match &self.stage {
            Stage::Set { timeline, segment, clock: clock @ Clock::Running { .. }, .. } => {
                let elapsed = timeline.segments()[*segment].ends().saturating_sub(clock.left(now));
                let ahead = timeline.cues().into_iter().filter(|cue| elapsed <= cue.at);
                ahead
                    .map(|cue| Cue { at: cue.at.saturating_sub(elapsed), tone: cue.tone })
                    .collect()
            }
            Stage::AfterSet {
                number,
                rating,
                rest: Rest::On(clock @ Clock::Running { .. }),
                ..
            } => {
                let left = clock.left(now);
                let mut cues = rest_cues(left, self.changes_sides_next());
                let begins_by_itself =
                    self.manner.after_rest == AfterRest::GoOn && rating.is_some();
                if begins_by_itself && self.another_set_follows() {
                    let dose = self.dose_at(self.next_foothold());
                    let next =
                        Timeline::of_set(&dose, number + 1, Duration::ZERO, 0, self.manner.pace);
                    cues.extend(
                        next.cues()
                            .into_iter()
                            .map(|cue| Cue { at: left + cue.at, tone: cue.tone }),
                    );
                }
                cues
            }
            Stage::Set { .. } | Stage::AfterSet { .. } | Stage::Briefing | Stage::Finished => {
                Vec::new()
            }
        }
    }

    /// Where the next set of this exercise is done, as rated so far.
    pub fn next_foothold(&self) -> Foothold {
        match self.means() {
            Means::EaseNextSet { to } => to,
            Means::CarryOn | Means::NothingEasier | Means::EndExercise => self.foothold,
        }
    }

    /// When a tick next changes anything; none while nothing runs.
    pub const fn next_wakeup(&self) -> Option<Moment> {
        match &self.stage {
            Stage::Set { clock: Clock::Running { until }, .. }
            | Stage::AfterSet { rest: Rest::On(Clock::Running { until }), .. } => Some(*until),
            Stage::Set { .. } | Stage::AfterSet { .. } | Stage::Briefing | Stage::Finished => None,
        }
    }

    /// Takes one input at one moment; returns the facts to log, in order.
    pub fn step(&mut self, input: Input, now: Moment) -> Vec<Fact> {
        match input {
            Input::Tick => self.tick(now),
            Input::Woke { after } => self.wake(after, now),
            Input::LookAway => self.look_away(now),
            Input::Start => self.start(now),
            Input::Pause => self.pause(now),
            Input::Resume => self.go_on_with_set(now),
            Input::CutSetShort => self.end_set(Ending::Short, now),
            Input::StopItHurts => self.stop(now),
            Input::TakeBackStop => self.take_back_stop(now),
            Input::OneRepBack => self.one_rep_back(now),
            Input::RepeatSet => self.repeat_set(now),
            Input::LeaveOutSet => self.leave_out_set(),
            Input::Rate { rating, site } => self.rate(rating, site),
            Input::AddRest => self.add_rest(now),
            Input::GoOn => self.go_on(now),
            Input::LeaveOut => self.leave_out(),
            Input::EndSession => self.end_session(now),
        }
    }

    fn tick(&mut self, now: Moment) -> Vec<Fact> {
        loop {
            match &mut self.stage {
                Stage::Set { timeline, segment, clock, .. } => {
                    let Clock::Running { until } = *clock else { return Vec::new() };
                    let late = now.since(until);
                    if now < until {
                        return Vec::new();
                    }
                    if SLEPT <= late {
                        *clock = Clock::Paused { left: timeline.segments()[*segment].length };
                        self.slept = Some(late);
                        return Vec::new();
                    }
                    match timeline.segments().get(*segment + 1) {
                        Some(next) => {
                            *clock = Clock::Running { until: until.plus(next.length) };
                            *segment += 1;
                        }
                        None => return self.end_set(Ending::Complete, until),
                    }
                }
                Stage::AfterSet { rating, rest, .. } => {
                    let Rest::On(Clock::Running { until }) = *rest else { return Vec::new() };
                    if now < until {
                        return Vec::new();
                    }
                    let goes_on = rating.is_some() && self.manner.after_rest == AfterRest::GoOn;
                    *rest = Rest::Over;
                    if goes_on && now.since(until) < SLEPT {
                        self.next_set(Duration::ZERO, until);
                    }
                }
                Stage::Briefing | Stage::Finished => return Vec::new(),
            }
        }
    }

    /// A set that the device slept in stands still where it fell asleep; a rest runs on. The time to get
    /// into place is given again.
    fn wake(&mut self, after: Duration, now: Moment) -> Vec<Fact> {
        if let Stage::Set { timeline, segment, clock, .. } = &mut self.stage
            && !clock.is_paused()
        {
            let segment = &timeline.segments()[*segment];
            *clock = match segment.beat {
                Beat::Work { .. } => clock.paused(now.before(after)),
                Beat::GetReady | Beat::ChangeSides => Clock::Paused { left: segment.length },
            };
            self.slept = Some(after);
        }
        Vec::new()
    }

    /// A set waits; a rest runs on.
    fn look_away(&mut self, now: Moment) -> Vec<Fact> {
        match self.stage {
            Stage::Set { .. } => self.pause(now),
            Stage::Briefing | Stage::AfterSet { .. } | Stage::Finished => Vec::new(),
        }
    }

    fn start(&mut self, now: Moment) -> Vec<Fact> {
        if self.stage == Stage::Briefing {
            self.open_set(1, COUNT_IN, 0);
            self.resume(now);
        }
        Vec::new()
    }

    /// Lays a set out, standing still at its beginning.
    fn open_set(&mut self, number: u16, count_in: Duration, from_rep: u16) {
        let timeline = Timeline::of_set(&self.dose(), number, count_in, from_rep, self.manner.pace);
        let clock = Clock::Paused { left: timeline.segments()[0].length };
        self.stage = Stage::Set { number, timeline, segment: 0, clock };
    }

    fn pause(&mut self, now: Moment) -> Vec<Fact> {
        if let Stage::Set { clock, .. } | Stage::AfterSet { rest: Rest::On(clock), .. } =
            &mut self.stage
        {
            *clock = clock.paused(now);
        }
        Vec::new()
    }

    /// Goes on after a pause. A rep is begun anew after a short count: whoever stopped in the middle of it does not
    /// stand there any more. A single hold goes on with what is left of it.
    fn go_on_with_set(&mut self, now: Moment) -> Vec<Fact> {
        if let Stage::Set { number, timeline, segment, clock: Clock::Paused { .. } } = &self.stage {
            let is_work = matches!(timeline.segments()[*segment].beat, Beat::Work { .. });
            let is_one_hold = self.dose().reps.get() == 1 && self.dose().tempo.phases().len() == 1;
            if is_work && !is_one_hold {
                let (number, complete) = (*number, self.reps_before(*number, timeline, *segment));
                self.open_set(number, SHORT_COUNT_IN, complete);
            }
        }
        self.resume(now)
    }

    fn resume(&mut self, now: Moment) -> Vec<Fact> {
        self.slept = None;
        if let Stage::Set { clock, .. } | Stage::AfterSet { rest: Rest::On(clock), .. } =
            &mut self.stage
        {
            *clock = clock.resumed(now);
        }
        Vec::new()
    }

    /// Goes back to the beginning of the last complete rep, in the same set. The rep in hand is not
    /// counted, and neither is the one done again.
    fn one_rep_back(&mut self, now: Moment) -> Vec<Fact> {
        if let Stage::Set { number, timeline, segment, clock } = &self.stage {
            let (number, clock) = (*number, *clock);
            let complete = self.reps_before(number, timeline, *segment);
            self.open_set(number, SHORT_COUNT_IN, complete.saturating_sub(1));
            if !clock.is_paused() {
                self.resume(now);
            }
        }
        Vec::new()
    }

    /// Starts the set in hand again. What was done of it so far is not counted.
    fn repeat_set(&mut self, now: Moment) -> Vec<Fact> {
        if let Stage::Set { number, .. } = self.stage {
            self.open_set(number, SHORT_COUNT_IN, 0);
            self.resume(now);
        }
        Vec::new()
    }

    /// Leaves out the set in hand, or the next one while resting; what was worked of it is not counted. The
    /// set after it waits until the client goes on.
    fn leave_out_set(&mut self) -> Vec<Fact> {
        let number = match &self.stage {
            Stage::Set { number, .. } => *number,
            Stage::AfterSet { number, .. } if self.another_set_follows() => number + 1,
            Stage::AfterSet { .. } | Stage::Briefing | Stage::Finished => return Vec::new(),
        };
        self.foothold = self.next_foothold();
        let Some(set) = self.set_ref(number) else { return Vec::new() };
        let left_out = Fact::SetEnded {
            set,
            rung: self.foothold.rung,
            reps: 0,
            work_secs: 0,
            ending: Ending::LeftOut,
        };
        self.slept = None;
        if number < self.dose().rounds() {
            self.open_set(number + 1, SHORT_COUNT_IN, 0);
        } else {
            self.next_task();
        }
        std::iter::once(left_out).chain(self.finished_fact()).collect()
    }

    fn end_set(&mut self, ending: Ending, now: Moment) -> Vec<Fact> {
        let Stage::Set { number, timeline, segment, clock } = &self.stage else {
            return Vec::new();
        };
        let (number, at) = (*number, *segment);
        let complete_to = if ending == Ending::Complete { at + 1 } else { at };
        let reps = self.reps_before(number, timeline, complete_to);
        let is_work = |segment: &&Segment| matches!(segment.beat, Beat::Work { .. });
        let work = |segments: &[Segment]| -> Duration {
            segments.iter().filter(is_work).map(|segment| segment.length).sum()
        };
        let before_reload =
            work(self.whole_set(number).segments()).saturating_sub(work(timeline.segments()));
        let whole = before_reload + work(&timeline.segments()[..complete_to]);
        let part = match ending {
            Ending::Complete | Ending::LeftOut => Duration::ZERO,
            Ending::Short | Ending::Pain => {
                let current = timeline.segments().get(at).filter(is_work);
                current.map_or(Duration::ZERO, |segment| {
                    segment.length.saturating_sub(clock.left(now))
                })
            }
        };
        let Some(set) = self.set_ref(number) else { return Vec::new() };
        let work_secs = u32::try_from((whole + part).as_secs()).unwrap_or(u32::MAX);
        let rung = self.foothold.rung;
        self.slept = None;
        if ending == Ending::Short && reps == 0 && work_secs == 0 {
            return self.drop_set(number);
        }
        self.stage =
            Stage::AfterSet { number, ending, rating: None, site: None, rest: Rest::NoneNeeded };
        if self.another_set_follows() {
            let rest = Rest::On(Clock::Running { until: now.plus(self.rest_length()) });
            self.stage = Stage::AfterSet { number, ending, rating: None, site: None, rest };
        }
        vec![Fact::SetEnded { set, rung, reps, work_secs, ending }]
    }

    fn stop(&mut self, now: Moment) -> Vec<Fact> {
        if let Stage::Set { timeline, segment, clock, .. } = &self.stage {
            let (timeline, segment, left) = (timeline.clone(), *segment, clock.left(now));
            self.stopped = Some(StoppedSet { at: now, timeline, segment, left });
        }
        self.end_set(Ending::Pain, now)
    }

    /// Whether the set was stopped because of pain a moment ago, and not rated yet.
    pub fn can_take_back_stop(&self, now: Moment) -> bool {
        let is_unrated =
            matches!(self.stage, Stage::AfterSet { ending: Ending::Pain, rating: None, .. });
        is_unrated && self.stopped.as_ref().is_some_and(|set| now.since(set.at) < TAKE_BACK_WITHIN)
    }

    /// The set goes on where it was stopped, once the client is ready.
    fn take_back_stop(&mut self, now: Moment) -> Vec<Fact> {
        let Stage::AfterSet { number, .. } = self.stage else { return Vec::new() };
        if !self.can_take_back_stop(now) {
            return Vec::new();
        }
        let (Some(set), Some(StoppedSet { timeline, segment, left, .. })) =
            (self.set_ref(number), self.stopped.take())
        else {
            return Vec::new();
        };
        self.stage = Stage::Set { number, timeline, segment, clock: Clock::Paused { left } };
        vec![Fact::StopTakenBack { set }]
    }

    /// A set that was ended before any work is no set: back to the set-up, or left out where sets were
    /// done before it.
    fn drop_set(&mut self, number: u16) -> Vec<Fact> {
        if number == 1 {
            self.stage = Stage::Briefing;
            return Vec::new();
        }
        self.leave_out_set()
    }

    fn set_ref(&self, number: u16) -> Option<SetRef> {
        let exercise = self.task()?.exercise.id.clone();
        Some(SetRef { session: self.session, exercise, number })
    }

    fn rate(&mut self, given: PainRating, at_site: Option<Words>) -> Vec<Fact> {
        let Stage::AfterSet { number, rating, site, .. } = &mut self.stage else {
            return Vec::new();
        };
        *rating = Some(given);
        site.clone_from(&at_site);
        let number = *number;
        let Some(set) = self.set_ref(number) else { return Vec::new() };
        vec![Fact::SetRated { set, rating: given, site: at_site }]
    }

    fn add_rest(&mut self, now: Moment) -> Vec<Fact> {
        let follows = self.another_set_follows();
        if let Stage::AfterSet { rest, .. } = &mut self.stage {
            match rest {
                Rest::On(Clock::Running { until }) => *until = until.plus(MORE_REST),
                Rest::On(Clock::Paused { left }) => *left += MORE_REST,
                Rest::Over if follows => {
                    *rest = Rest::On(Clock::Running { until: now.plus(MORE_REST) });
                }
                Rest::Over | Rest::NoneNeeded => {}
            }
        }
        Vec::new()
    }

    fn go_on(&mut self, now: Moment) -> Vec<Fact> {
        if !matches!(self.stage, Stage::AfterSet { .. }) {
            return Vec::new();
        }
        if self.another_set_follows() {
            self.next_set(SHORT_COUNT_IN, now);
            return Vec::new();
        }
        self.next_task();
        self.finished_fact().into_iter().collect()
    }

    fn next_set(&mut self, count_in: Duration, now: Moment) {
        let Stage::AfterSet { number, .. } = self.stage else { return };
        if !self.another_set_follows() {
            return;
        }
        self.foothold = self.next_foothold();
        self.open_set(number + 1, count_in, 0);
        self.resume(now);
    }

    /// Goes to the next exercise; false when there is none.
    fn next_task(&mut self) -> bool {
        self.task += 1;
        if let Some(task) = self.tasks.get(self.task) {
            self.foothold = task.from;
            self.stage = Stage::Briefing;
            true
        } else {
            self.stage = Stage::Finished;
            false
        }
    }

    fn leave_out(&mut self) -> Vec<Fact> {
        if self.stage != Stage::Briefing {
            return Vec::new();
        }
        let left_out = self.left_out_fact();
        self.next_task();
        left_out.into_iter().chain(self.finished_fact()).collect()
    }

    fn left_out_fact(&self) -> Option<Fact> {
        let exercise = self.task()?.exercise.id.clone();
        Some(Fact::ExerciseLeftOut { session: self.session, exercise })
    }

    fn end_session(&mut self, now: Moment) -> Vec<Fact> {
        if self.stage == Stage::Finished {
            return Vec::new();
        }
        let mut facts = self.end_set(Ending::Short, now);
        if self.stage == Stage::Finished {
            return facts;
        }
        if self.stage == Stage::Briefing {
            facts.extend(self.left_out_fact());
        }
        while self.next_task() {
            facts.extend(self.left_out_fact());
        }
        facts.extend(self.finished_fact());
        facts
    }

    fn finished_fact(&self) -> Option<Fact> {
        (self.stage == Stage::Finished).then_some(Fact::SessionEnded { session: self.session })
    }
}
