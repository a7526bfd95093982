//! What the device is asked to do for a session, besides showing it: facts, sounds, a bookmark, a promise.

#![expect(clippy::unwrap_used, reason = "a story that cannot be told must fail its test")]
#![expect(clippy::wildcard_enum_match_arm, reason = "a test looks at the effects it is about")]

mod support;

use std::time::Duration;

use carryover::domain::log::event::{Ending, Fact};
use carryover::domain::session::effects::{Effect, Heard, to_start};
use carryover::domain::session::runner::{
    Bookmark, Clock, Input, Manner, Moment, Rest, Run, SLEPT, Stage,
};
use carryover::domain::session::timeline::COUNT_IN;
use chrono::Weekday::{Mon, Tue};
use chrono::{DateTime, FixedOffset, TimeDelta};
use support::{Story, at, chair_rise, first, heel_drop, id, limits, rating, routine};

/// An app with a session under way, whose clocks go on together.
struct App {
    story: Story,
    run: Run,
    /// What a clock that cannot be set says, in milliseconds.
    clock: u64,
    begun: DateTime<FixedOffset>,
}

impl App {
    fn begun() -> Self {
        Self::begin(Story::of(&routine(1, &limits(), &[heel_drop(), chair_rise()])))
    }

    fn begin(mut story: Story) -> Self {
        let history = story.history();
        let last = history.sessions().last().map(|session| session.started_at);
        let begun = last.map_or(at(first(Mon), "18:00"), |last| last + TimeDelta::hours(24));
        let routine = history.routine().unwrap();
        let (started, tasks) = to_start(&history, routine, begun.date_naive(), (None, None));
        let session = story.note(begun, started);
        let run = Run::begin(session, tasks, Manner::default());
        Self { story, run, clock: 0, begun }
    }

    /// What is to be done after so long in which the app was not heard of. Whoever shows the run looks at it again
    /// where it has changed, and nowhere else.
    fn hear(&mut self, input: Input, after: Duration) -> Vec<Effect> {
        let before = self.moment();
        self.clock += u64::try_from(after.as_millis()).unwrap();
        let heard = Heard { now: self.moment(), before, at: self.now() };
        let was = self.run.clone();
        let effects = self.run.hear(input, heard, &self.story.history());
        assert!(effects.is_some() || self.run == was, "a change that nobody is told of");
        let effects = effects.unwrap_or_default();
        for effect in &effects {
            if let Effect::Note(facts) = effect {
                for fact in facts {
                    self.story.note(self.now(), fact.clone());
                }
            }
        }
        effects
    }

    fn tap(&mut self, input: Input) -> Vec<Effect> {
        self.hear(input, Duration::ZERO)
    }

    /// Ticks until one of them asks for something, and what it asks for.
    fn wait(&mut self) -> Vec<Effect> {
        for _ in 0..10_000 {
            let effects = self.hear(Input::Tick, Duration::from_millis(100));
            let notes = effects.iter().any(|effect| matches!(effect, Effect::Note(_)));
            if notes {
                return effects;
            }
            assert!(
                effects.iter().all(|effect| matches!(effect, Effect::LayBookmark(_))),
                "{effects:?}"
            );
        }
        panic!("nothing came");
    }

    /// Into the first set, and so far.
    fn in_the_first_set(mut self, so_far: u64) -> Self {
        self.tap(Input::Start);
        for _ in 0..10 * (COUNT_IN.as_secs() + so_far) {
            self.hear(Input::Tick, Duration::from_millis(100));
        }
        assert!(matches!(self.run.stage(), Stage::Set { .. }));
        self
    }

    fn moment(&self) -> Moment {
        Moment(Duration::from_millis(self.clock))
    }

    fn now(&self) -> DateTime<FixedOffset> {
        self.begun + TimeDelta::milliseconds(i64::try_from(self.clock).unwrap())
    }

    fn mark(&self, exercise: &str, set: u16, reps: u16) -> Bookmark {
        Bookmark { session: self.run.session(), exercise: id(exercise), set, reps }
    }
}

/// What kind each effect is of.
fn kinds(effects: &[Effect]) -> Vec<&'static str> {
    let kind = |effect: &Effect| match effect {
        Effect::Note(_) => "note",
        Effect::AskToKeepStorage => "ask",
        Effect::LookAtEnd(_) => "look at the end",
        Effect::Silence => "silence",
        Effect::Sound(_) => "sound",
        Effect::LayBookmark(_) => "bookmark",
        Effect::TakeBookmarkAway => "no bookmark",
        Effect::Leave => "leave",
    };
    effects.iter().map(kind).collect()
}

const DAY: Duration = Duration::from_hours(24);

#[test]
fn a_tap_schedules_all_sounds_anew_and_lays_a_bookmark() {
    let mut app = App::begun();
    let effects = app.tap(Input::Start);
    let [Effect::Silence, Effect::Sound(cues), Effect::LayBookmark(mark)] = &effects[..] else {
        panic!("{effects:?}")
    };
    assert_eq!(*cues, app.run.cues(app.moment()));
    assert!(!cues.is_empty());
    assert_eq!(*mark, app.mark("heel-drop", 1, 0));
}

#[test]
fn a_tick_before_anything_is_due_and_a_tap_that_changes_nothing_ask_for_nothing() {
    let mut app = App::begun();
    assert_eq!(app.hear(Input::Tick, Duration::from_millis(100)), []);
    assert_eq!(app.tap(Input::AddRest), []);
    app.tap(Input::Start);
    assert_eq!(app.hear(Input::Tick, Duration::from_millis(100)), []);
}

#[test]
fn a_rest_that_begins_by_itself_adds_its_sounds_and_silences_none() {
    let mut app = App::begun();
    app.tap(Input::Start);
    let effects = app.wait();
    let [Effect::Note(facts), Effect::Sound(cues), Effect::TakeBookmarkAway] = &effects[..] else {
        panic!("{effects:?}")
    };
    assert!(matches!(&facts[..], [Fact::SetEnded { ending: Ending::Complete, .. }]));
    assert_eq!(*cues, app.run.cues(app.moment()));
}

#[test]
fn each_rep_moves_the_bookmark_on_and_touches_no_sound() {
    let mut app = App::begun();
    app.tap(Input::Start);
    let mut marks = Vec::new();
    while !matches!(app.run.stage(), Stage::AfterSet { .. }) {
        for effect in app.hear(Input::Tick, Duration::from_millis(100)) {
            match effect {
                Effect::LayBookmark(mark) => marks.push(mark.reps),
                Effect::Note(_) | Effect::Sound(_) | Effect::TakeBookmarkAway => {}
                other => panic!("{other:?}"),
            }
        }
    }
    assert_eq!(marks, (1..10).collect::<Vec<u16>>(), "the tenth ends the set");
}

#[test]
fn a_device_that_slept_in_a_set_goes_silent_where_it_fell_asleep() {
    let mut app = App::begun().in_the_first_set(7);
    let before = app.run.bookmark();
    let slept = Duration::from_mins(10);
    let effects = app.hear(Input::Tick, slept);
    assert_eq!(kinds(&effects), ["silence", "sound"]);
    assert_eq!(app.run.slept(), Some(slept));
    assert_eq!(app.run.bookmark(), before, "no rep was done asleep");
    assert!(app.run.cues(app.moment()).is_empty());
    // A tick that is a little late is none of that.
    let mut app = App::begun().in_the_first_set(7);
    app.hear(Input::Tick, SLEPT.saturating_sub(Duration::from_millis(1)));
    assert_eq!(app.run.slept(), None);
}

#[test]
fn a_tap_that_wakes_the_device_wakes_it_before_it_counts() {
    let mut app = App::begun().in_the_first_set(7);
    let effects = app.hear(Input::CutSetShort, Duration::from_mins(10));
    let [Effect::Note(facts), ..] = &effects[..] else { panic!("{effects:?}") };
    assert!(matches!(&facts[..], [Fact::SetEnded { work_secs: 7, .. }]), "{facts:?}");
}

#[test]
fn a_session_of_another_day_is_left_by_what_would_do_more_and_can_still_be_rated_and_ended() {
    let rate = || Input::Rate { rating: rating(4), site: None };
    let of_yesterday = || {
        let mut app = App::begun();
        app.tap(Input::Start);
        app.wait();
        app
    };
    for input in [Input::GoOn, Input::AddRest, Input::Resume, Input::TakeBackStop] {
        let mut app = of_yesterday();
        assert_eq!(app.hear(input.clone(), DAY), [Effect::Leave], "{input:?}");
    }
    let mut app = of_yesterday();
    let effects = app.hear(rate(), DAY);
    assert!(matches!(&effects[0], Effect::Note(facts) if facts.len() == 1), "{effects:?}");
    let ended = app.tap(Input::EndSession);
    assert!(kinds(&ended).contains(&"look at the end"), "{ended:?}");
    // Less than a day: the same session.
    let mut app = of_yesterday();
    app.hear(rate(), Duration::from_hours(1));
    assert_ne!(app.tap(Input::GoOn), [Effect::Leave]);
}

/// The clock of the calendar was put forward by days, and nobody slept.
#[test]
fn a_set_of_a_session_that_became_old_does_not_run_on() {
    let mut app = App::begun().in_the_first_set(7);
    app.begun += TimeDelta::days(3);
    let mut effects = Vec::new();
    while effects.is_empty() {
        effects = app.hear(Input::Tick, Duration::from_millis(100));
    }
    assert_eq!(kinds(&effects), ["silence", "sound"]);
    assert!(matches!(app.run.stage(), Stage::Set { clock: Clock::Paused { .. }, .. }));
    assert_eq!(app.tap(Input::Resume), [Effect::Leave]);
}

#[test]
fn the_browser_is_asked_to_keep_what_is_stored_once_the_first_session_is_over() {
    let end = |mut app: App| {
        app.tap(Input::Start);
        app.wait();
        let effects = app.tap(Input::EndSession);
        let session = app.run.session();
        assert!(effects.contains(&Effect::LookAtEnd(session)));
        (app.story, effects.contains(&Effect::AskToKeepStorage))
    };
    let (story, asked) = end(App::begun());
    assert!(asked);
    let (_, asked) = end(App::begin(story));
    assert!(!asked);
}

#[test]
fn looking_away_stops_a_set_and_no_rest() {
    let mut app = App::begun().in_the_first_set(7);
    app.tap(Input::LookAway);
    assert!(matches!(app.run.stage(), Stage::Set { clock: Clock::Paused { .. }, .. }));
    assert_eq!(app.run.slept(), None);
    assert_eq!(app.tap(Input::LookAway), []);
    app.tap(Input::Resume);
    app.wait();
    assert_eq!(app.tap(Input::LookAway), []);
    assert!(matches!(
        app.run.stage(),
        Stage::AfterSet { rest: Rest::On(Clock::Running { .. }), .. }
    ));
}

#[test]
fn a_session_is_taken_up_on_its_day_at_its_bookmark_and_after_its_end_only_to_be_looked_at() {
    let app = App::begun().in_the_first_set(7);
    let open = |app: &App, at: DateTime<FixedOffset>, just_ended, mark: Option<&Bookmark>| {
        Run::left_open(
            &app.story.history(),
            (at, Moment(Duration::ZERO)),
            just_ended,
            mark,
            Manner::default(),
        )
    };
    let mark = app.run.bookmark();
    let run = open(&app, app.now(), None, mark.as_ref()).unwrap();
    assert!(matches!(run.stage(), Stage::Set { number: 1, clock: Clock::Paused { .. }, .. }));
    assert_eq!(run.bookmark(), mark);
    assert!(open(&app, app.now() + TimeDelta::hours(24), None, mark.as_ref()).is_none());

    let mut app = app;
    app.tap(Input::EndSession);
    assert_eq!(open(&app, app.now(), None, None), None);
    let run = open(&app, app.now(), Some(app.run.session()), None).unwrap();
    assert_eq!((run.session(), run.stage()), (app.run.session(), &Stage::Finished));
}

#[test]
fn a_session_is_of_what_is_left_to_do_and_of_everything_once_all_is_done() {
    let planned = |story: &Story, day| {
        let history = story.history();
        let (started, tasks) = to_start(&history, history.routine().unwrap(), day, (None, None));
        let Fact::SessionStarted { plan, .. } = started else { panic!("{started:?}") };
        assert_eq!(plan.len(), tasks.len());
        plan.into_iter().map(|planned| planned.exercise.as_str().to_owned()).collect::<Vec<_>>()
    };
    let mut story = Story::of(&routine(1, &limits(), &[heel_drop(), chair_rise()]));
    let all = ["heel-drop", "chair-rise"];
    assert_eq!(planned(&story, first(Mon)), all);
    story.train(first(Mon), &[1]);
    assert_eq!(planned(&story, first(Mon)), ["chair-rise"]);
    story.train_other("chair-rise", first(Mon), &[1]);
    assert_eq!(planned(&story, first(Mon)), all);
    story.warning(at(first(Mon), "20:00"));
    assert_eq!(planned(&story, first(Tue)), [""; 0]);
}
