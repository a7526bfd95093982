//! The session under way: hands taps and time to the runner, its facts to the log, its sounds to the device.

use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::live_log::{LiveLog, use_log};
use crate::domain::log::event::WorkedToday;
use crate::domain::pain::PainRating;
use crate::domain::session::coach::{self, SoFar};
use crate::domain::session::effects::{self, Effect, Heard};
use crate::domain::session::runner::{Bookmark, Input, Manner, Moment, Run, Stage};
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
    log: LiveLog,
    run: RwSignal<Option<Run>, LocalStorage>,
    now: RwSignal<Moment>,
    lead: RwSignal<Lead>,
    /// Where the last line was said, so that it is said once.
    said: StoredValue<Option<coach::LinePlace>>,
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
        training.dispatch(Input::LookAway);
        screen::let_sleep();
        sound::silence();
        voice::hush();
    });
}

impl Training {
    /// No session is under way yet.
    pub fn idle() -> Self {
        Self {
            log: use_log(),
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

    /// Starts a session of what there is to do today.
    pub fn begin(self, at_rest: Option<PainRating>, worked_today: Option<WorkedToday>) {
        let history = self.log.history_untracked();
        let Some(routine) = history.routine() else { return };
        let said = (at_rest, worked_today);
        let (started, tasks) = effects::to_start(&history, routine, clock::today(), said);
        preferences::forget(BOOKMARK);
        if let Some(session) = self.log.append(vec![started]) {
            self.run.set(Some(Run::begin(session, tasks, self.lead.get_untracked().manner)));
        }
    }

    /// Takes up the session that was left open, if there is one and none is under way.
    pub fn take_up(self) {
        if self.run.with_untracked(Option::is_some) {
            return;
        }
        let history = self.log.history_untracked();
        let bookmark: Option<Bookmark> = preferences::get(BOOKMARK);
        let run = Run::left_open(
            &history,
            (clock::now(), clock::moment()),
            preferences::get(JUST_ENDED),
            bookmark.as_ref(),
            self.lead.get_untracked().manner,
        );
        if run.is_some() {
            self.run.set(run);
        }
    }

    /// Whether a session was left open and can be gone on with.
    pub fn is_open(self) -> bool {
        self.log.history_untracked().open_session(clock::now()).is_some()
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
        let history = self.log.history_untracked();
        let due = self.run.with_untracked(|run| {
            let run = run.as_ref()?;
            // Where a warning sign ended it, nothing is gone on with.
            if run.is_old(&history, clock::now()) {
                return None;
            }
            let hurt = *run.stage() == Stage::Briefing && history.has_hurt_too_much(run.session());
            let so_far = if hurt { SoFar::OneHurt } else { SoFar::Well };
            let line = coach::line(run, so_far, now, said)?;
            let is_new = said != Some(line.place);
            is_new
                .then(|| (line.place, line.tone, spoken::words(&line), spoken::for_a_reader(&line)))
        });
        let Some((place, tone, words, for_a_reader)) = due else { return };
        let is_set_up = matches!(place, coach::LinePlace::SetUp { .. });
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

    /// Says something at once, aloud or by a screen reader, over whatever is being said.
    pub fn tell(self, words: &str) {
        if self.speaks() {
            voice::hush();
            voice::say(words);
        } else {
            self.heard.set(words.to_owned());
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

    /// Hands one input to the session, and does what comes of it.
    pub fn dispatch(self, input: Input) {
        let now = clock::moment();
        let heard = Heard { now, before: self.now.get_untracked(), at: clock::now() };
        self.now.set(now);
        if input.is_tap() {
            // Browsers let sound begin from a tap only.
            sound::unlock();
        }
        let history = self.log.history_untracked();
        let hear = |run: &mut Option<Run>| run.as_mut()?.hear(input, heard, &history);
        let Some(effects) = self.run.try_update_untracked(hear).flatten() else { return };
        for effect in effects {
            self.carry_out(effect);
        }
        self.run.notify();
    }

    fn carry_out(self, effect: Effect) {
        match effect {
            Effect::Note(facts) => {
                self.log.append(facts);
            }
            Effect::AskToKeepStorage => spawn_local(async {
                // Refused or not: the page about keeping the log says so.
                lasting::ask_for_promise().await;
            }),
            Effect::LookAtEnd(session) => preferences::set(JUST_ENDED, session),
            Effect::Silence => sound::silence(),
            Effect::Sound(cues) => {
                if self.lead.get_untracked().sound == Given::On {
                    sound::add(&cues);
                }
            }
            Effect::LayBookmark(mark) => preferences::set(BOOKMARK, mark),
            Effect::TakeBookmarkAway => preferences::forget(BOOKMARK),
            Effect::Leave => self.leave(),
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
