//! The session under way: hands taps and time to the runner, its facts to the diary, its sounds to the device.

use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::diary::{Diary, use_diary};
use crate::domain::log::event::{Fact, Planned, WorkedToday};
use crate::domain::log::history::Today;
use crate::domain::pain::PainRating;
use crate::domain::session::coach;
use crate::domain::session::runner::{Bookmark, Input, Manner, Moment, Run, SLEPT, Stage, Task};
use crate::platform::sound::{self, Health};
use crate::platform::{clock, lasting, preferences, screen, vibration, voice};
use crate::ui::text::spoken;

const BOOKMARK: &str = "carryover.bookmark";
/// The session whose end is still being looked at.
const JUST_ENDED: &str = "carryover.just-ended";
const LEAD: &str = "carryover.lead";
/// How often the screen follows the clock. Sounds do not wait for it.
const TICK: Duration = Duration::from_millis(100);
/// How often the sound's health is asked, in ticks.
const CHECK_SOUND: u32 = 10;

/// Whether one kind of cue is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub enum Given {
    On,
    Off,
}

/// Whether the client was asked if the device is to speak.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub enum Asked {
    #[default]
    NotYet,
    Once,
}

/// How this client is led on this device: which cues, and in what manner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub struct Lead {
    pub sound: Given,
    pub voice: Given,
    pub vibration: Given,
    pub manner: Manner,
    #[serde(default)]
    pub voice_asked: Asked,
}

impl Default for Lead {
    fn default() -> Self {
        Self {
            sound: Given::On,
            voice: Given::On,
            vibration: Given::On,
            manner: Manner::default(),
            voice_asked: Asked::NotYet,
        }
    }
}

#[derive(Clone, Copy)]
pub struct Training {
    diary: Diary,
    run: RwSignal<Option<Run>, LocalStorage>,
    now: RwSignal<Moment>,
    lead: RwSignal<Lead>,
    /// Where the last line was said, so that it is said once.
    said: StoredValue<Option<coach::Place>>,
    /// Whether the device has a voice of its own; voices may load only after the page.
    has_voice: RwSignal<bool>,
    /// What a screen reader is given to say, where the app's own voice is silent.
    heard: RwSignal<String>,
    sound_health: RwSignal<Health>,
    ticks: StoredValue<u32>,
}

/// The app itself, which outlives its screens.
#[derive(Clone)]
pub struct AppOwner(Owner);

impl AppOwner {
    pub fn here() -> Self {
        Self(Owner::current().unwrap_or_default())
    }
}

/// The session under way, if there is one: the same for every screen of the app, made when the first of
/// them asks.
pub fn use_training() -> Training {
    use_context().unwrap_or_else(|| {
        let AppOwner(app) = expect_context();
        app.with(|| {
            let training = Training::idle();
            provide_context(training);
            training
        })
    })
}

/// Follows the clock for as long as the screen that asks for it is shown.
pub fn use_ticker(training: Training) {
    let ticking = set_interval_with_handle(move || training.tick(), TICK);
    screen::keep_on();
    on_cleanup(move || {
        if let Ok(ticking) = ticking {
            ticking.clear();
        }
        // Another page is looked at: that is no sleep, and no time of the set.
        let in_a_set = training.read_now(|run| matches!(run.stage(), Stage::Set { .. }));
        if in_a_set == Some(true) {
            training.dispatch(Input::Pause);
        }
        screen::let_sleep();
        sound::silence();
        voice::hush();
    });
}

impl Training {
    /// No session is under way yet.
    pub fn idle() -> Self {
        Self {
            diary: use_diary(),
            run: RwSignal::new_local(None),
            now: RwSignal::new(clock::moment()),
            lead: RwSignal::new(preferences::get(LEAD).unwrap_or_default()),
            said: StoredValue::new(None),
            has_voice: RwSignal::new(voice::is_there()),
            heard: RwSignal::new(String::new()),
            sound_health: RwSignal::new(Health::Sounding),
            ticks: StoredValue::new(0),
        }
    }

    /// Starts a session of what is left to do today, or of everything once all of it is done.
    pub fn begin(self, at_rest: Option<PainRating>, worked_today: Option<WorkedToday>) {
        let history = self.diary.history_untracked();
        let Some(routine) = history.routine() else { return };
        let day = clock::today();
        let today = history.today(day);
        let open: Vec<&Today> = if today.iter().any(Today::is_left_to_do) {
            today.iter().filter(|line| line.is_left_to_do()).collect()
        } else {
            today.iter().filter(|line| line.can_be_done()).collect()
        };
        let planned =
            |line: &&Today| Planned { exercise: line.exercise.id.clone(), from: line.foothold };
        let plan: Vec<Planned> = open.iter().map(planned).collect();
        let tasks = Task::on_day(&plan, routine, &history, day);
        let started = Fact::SessionStarted {
            routine: routine.id.clone(),
            version: routine.version,
            at_rest,
            worked_today,
            plan,
        };
        preferences::forget(BOOKMARK);
        if let Some(session) = self.diary.append(vec![started]) {
            self.run.set(Some(Run::begin(session, tasks, self.lead.get_untracked().manner)));
        }
    }

    /// Takes up the session that was left open, if there is one and none is under way.
    pub fn take_up(self) {
        if self.run.with_untracked(Option::is_some) {
            return;
        }
        let history = self.diary.history_untracked();
        let now = clock::now();
        let just_ended = preferences::get(JUST_ENDED);
        let ended = || history.sessions().last().filter(|session| Some(session.id) == just_ended);
        let Some(session) = history.open_session(now).or_else(ended) else { return };
        let accepted = history.accepted().iter().rfind(|accepted| {
            accepted.routine.id == session.routine && accepted.routine.version == session.version
        });
        let Some(accepted) = accepted else { return };
        if session.ended_at.is_some() {
            let tasks = Task::of_plan(&session.plan, &accepted.routine);
            self.run.set(Some(Run::finished(session.id, tasks)));
            return;
        }
        let bookmark: Option<Bookmark> = preferences::get(BOOKMARK);
        let since_last_set = session
            .sets
            .last()
            .map_or(Duration::ZERO, |set| (now - set.ended_at).to_std().unwrap_or(Duration::ZERO));
        let manner = self.lead.get_untracked().manner;
        let since = (since_last_set, clock::moment());
        let tasks = Task::on_day(&session.plan, &accepted.routine, &history, session.day());
        let run = Run::take_up(session, tasks, bookmark.as_ref(), manner, since);
        self.run.set(Some(run));
    }

    /// Whether a session was left open and can be gone on with.
    pub fn is_open(self) -> bool {
        self.diary.history_untracked().open_session(clock::now()).is_some()
    }

    /// Whether the session under way began on another day, for which nothing more can be done: the phone
    /// slept for days, or its clock was put right. What was done before can still be noted and rated.
    fn is_old(self) -> bool {
        let is_finished = self.read_now(|run| *run.stage() == Stage::Finished);
        is_finished == Some(false) && !self.is_open()
    }

    fn tick(self) {
        self.dispatch(Input::Tick);
        self.ticks.update_value(|ticks| *ticks = ticks.wrapping_add(1));
        if self.ticks.get_value().is_multiple_of(CHECK_SOUND) {
            let has_voice = voice::is_there();
            if has_voice != self.has_voice.get_untracked() {
                self.has_voice.set(has_voice);
            }
            let health = sound::health();
            if health != self.sound_health.get_untracked() {
                self.sound_health.set(health);
                // It came back by itself: what was scheduled before is late by the time it was away.
                if health == Health::Sounding {
                    self.sound_anew();
                }
            }
        }
        self.coach();
    }

    /// Says and shakes what is due at this moment, where the client likes that. What the app does not say
    /// aloud is left for a screen reader, but for counting and for what stands on the page to be read.
    fn coach(self) {
        let (now, said) = (self.now.get_untracked(), self.said.get_value());
        let due = self.run.with_untracked(|run| {
            let line = coach::line(run.as_ref()?, now, said)?;
            let is_new = said != Some(line.place);
            is_new
                .then(|| (line.place, line.tone, spoken::words(&line), spoken::for_a_reader(&line)))
        });
        let Some((place, tone, words, for_a_reader)) = due else { return };
        let is_set_up = matches!(place, coach::Place::SetUp { .. });
        // The answer comes first.
        if is_set_up && untrack(|| self.asks_about_voice()) {
            return;
        }
        self.said.set_value(Some(place));
        let speaks = self.speaks();
        if let Some(words) = words.filter(|_| speaks) {
            voice::say(&words);
        }
        if speaks || is_set_up {
            self.heard.set(String::new());
        } else if let Some(words) = for_a_reader {
            self.heard.set(words);
        }
        let lead = self.lead.get_untracked();
        if let (Given::On, Some(tone)) = (lead.vibration, tone) {
            vibration::shake(tone);
        }
    }

    /// Whether the app says aloud what is due.
    fn speaks(self) -> bool {
        self.lead.get_untracked().voice == Given::On && self.has_voice.get_untracked()
    }

    /// Whether the client is still to be asked if the device is to speak.
    pub fn asks_about_voice(self) -> bool {
        self.has_voice.get() && self.lead.get().voice_asked == Asked::NotYet
    }

    /// The client's answer. What is to be done now is said at once, where the device is to speak.
    pub fn speak(self, given: Given) {
        self.lead_so(|lead| {
            lead.voice = given;
            lead.voice_asked = Asked::Once;
        });
        voice::hush();
        self.said.set_value(None);
    }

    /// What a screen reader says when something new begins; not every second.
    pub fn heard(self) -> String {
        self.heard.get()
    }

    /// Hands one input to the runner.
    pub fn dispatch(self, input: Input) {
        let now = clock::moment();
        let unheard = now.since(self.now.get_untracked());
        self.now.set(now);
        let by_tap = input != Input::Tick;
        let is_due = self.read_now(Run::next_wakeup).flatten().is_some_and(|due| due <= now);
        let is_old = (by_tap || is_due) && self.is_old();
        let woke = SLEPT <= unheard || (is_due && is_old);
        if !by_tap && !woke && !is_due {
            return;
        }
        let Some(mut run) = self.run.get_untracked() else { return };
        if is_old && goes_on(&input) {
            self.leave();
            return;
        }
        if by_tap {
            sound::unlock();
        }
        let before = run.clone();
        if woke {
            run.step(Input::Woke { after: unheard }, now);
        }
        let facts = run.step(input, now);
        if run == before && facts.is_empty() && !woke {
            return;
        }
        let ended = facts.iter().any(|fact| matches!(fact, Fact::SessionEnded { .. }));
        self.diary.append(facts);
        if ended {
            if self.diary.history_untracked().began_once() {
                spawn_local(async {
                    // Refused or not: the page about keeping the log says so.
                    lasting::ask_for_promise().await;
                });
            }
            preferences::set(JUST_ENDED, run.session());
        }
        self.sound_out(&before, &run, by_tap || woke, now);
        match run.bookmark() {
            Some(mark) if before.bookmark().as_ref() != Some(&mark) => {
                preferences::set(BOOKMARK, mark);
            }
            Some(_) => {}
            None => preferences::forget(BOOKMARK),
        }
        self.run.set(Some(run));
    }

    /// A tap changes what is to come, so everything is scheduled anew. The clock only moves along a
    /// schedule that stands: a set that begins by itself was scheduled when the one before was rated.
    /// The audio clock stands still while the device sleeps, so waking does the same.
    fn sound_out(self, before: &Run, run: &Run, anew: bool, now: Moment) {
        let rest_began = matches!(before.stage(), Stage::Set { .. })
            && matches!(run.stage(), Stage::Rated { .. });
        if anew || run.slept().is_some() {
            sound::silence();
        } else if !rest_began {
            return;
        }
        if self.lead.get_untracked().sound == Given::On {
            sound::add(&run.cues(now));
        }
    }

    /// Reads something of the run, and follows it.
    pub fn read<T>(self, what: impl FnOnce(&Run) -> T) -> Option<T> {
        self.run.with(|run| run.as_ref().map(what))
    }

    /// Reads something of the run as it is now, without following it.
    pub fn read_now<T>(self, what: impl FnOnce(&Run) -> T) -> Option<T> {
        self.run.with_untracked(|run| run.as_ref().map(what))
    }

    pub fn now(self) -> Moment {
        self.now.get()
    }

    /// The moment at hand, without following it.
    pub fn now_untracked(self) -> Moment {
        self.now.get_untracked()
    }

    /// The session was looked at to its end; there is none under way any more.
    pub fn leave(self) {
        preferences::forget(BOOKMARK);
        preferences::forget(JUST_ENDED);
        self.run.set(None);
    }

    pub fn lead(self) -> Lead {
        self.lead.get()
    }

    /// Leads differently from now on, also in a session under way but for its pace.
    pub fn lead_so(self, change: impl FnOnce(&mut Lead)) {
        self.lead.update(change);
        preferences::set(LEAD, self.lead.get_untracked());
        sound::unlock();
        self.sound_anew();
    }

    /// Whether sounds are heard, where they are to be.
    pub fn sound_is_lost(self) -> bool {
        self.lead.get().sound == Given::On && self.sound_health.get() == Health::Lost
    }

    /// Brings the sound back, from a tap.
    pub fn bring_sound_back(self) {
        sound::rebuild();
        self.sound_health.set(Health::Sounding);
        self.sound_anew();
    }

    fn sound_anew(self) {
        sound::silence();
        if self.lead.get_untracked().sound == Given::On
            && let Some(run) = self.run.get_untracked()
        {
            sound::add(&run.cues(clock::moment()));
        }
    }
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
        | Input::Pause
        | Input::CutSetShort
        | Input::StopItHurts
        | Input::LeaveOutSet
        | Input::Rate { .. }
        | Input::LeaveOut
        | Input::EndSession => false,
    }
}
