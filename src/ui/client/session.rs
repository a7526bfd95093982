//! The session: an exercise's set-up, the set itself, and the rating while the rest runs.

use std::time::Duration;

use leptos::prelude::*;

use super::before_session::{CareAdvice, SignList, TellSigns, Ticks};
use super::end::End;
use super::sites::SiteChoice;
use super::to_today::ToToday;
use crate::domain::log::event::Ending;
use crate::domain::log::warning::WarningSign;
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::Action;
use crate::domain::session::runner::{
    Clock, Input, MORE_REST, Means, Moment, Rest, Run, Stage, TAKE_BACK_WITHIN,
};
use crate::domain::session::timeline::{Beat, Segment};
use crate::domain::words::Words;
use crate::platform::{focus, screen};
use crate::ui::components::figure::{Figure, InRep, Shown};
use crate::ui::components::ladder::LadderDrawing;
use crate::ui::components::routine_page::ExerciseSteps;
use crate::ui::components::saved::{SavedMark, UnsavedNotice};
use crate::ui::components::scale::PainScale;
use crate::ui::components::screen::{PreviewNotice, Screen, TITLE, use_frame};
use crate::ui::live_log::use_log;
use crate::ui::text::client::session as text;
use crate::ui::text::{capitalised, dates, dose, sentences, standing, verdict, who};
use crate::ui::training::{Given, Training, use_ticker, use_training};

/// Which of the session's screens is shown; it changes far less often than the clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stands {
    Briefing { task: usize },
    Set { task: usize, number: u16 },
    AfterSet { task: usize, number: u16 },
    Finished,
    Nothing,
}

impl Stands {
    fn of(run: &Run) -> Self {
        let task = run.task_index();
        match run.stage() {
            Stage::Briefing => Self::Briefing { task },
            Stage::Set { number, .. } => Self::Set { task, number: *number },
            Stage::AfterSet { number, .. } => Self::AfterSet { task, number: *number },
            Stage::Finished => Self::Finished,
        }
    }
}

#[component]
pub fn Session() -> impl IntoView {
    let training = use_training();
    let ToToday(to_today) = expect_context();
    training.take_up();
    use_ticker(training);
    let shown = Memo::new(move |_| training.read(Stands::of).unwrap_or(Stands::Nothing));
    Effect::new(move |_| {
        if shown.get() == Stands::Nothing {
            to_today.run(());
        }
    });
    let signs = Signs { ticks: Ticks::use_here(), told: RwSignal::new(Vec::new()) };
    let is_told = Memo::new(move |_| signs.told.with(|told| !told.is_empty()));
    // Whoever does not look hears it, too.
    Effect::new(move |_| {
        if is_told.get() {
            let first = signs
                .told
                .with_untracked(|told| told.iter().min_by_key(|sign| sign.care()).copied());
            training.tell(&first.map(text::stop_here).unwrap_or_default());
        } else if signs.ticks.any() {
            training.tell(signs.ticks.in_short());
        }
    });
    view! {
        <p class="unseen" role="status">
            {move || training.heard()}
        </p>
        {move || match shown.get() {
            _ if is_told.get() => view! { <CareAdvice ticks=signs.ticks told=signs.told /> }.into_any(),
            Stands::Briefing { .. } => view! { <Briefing training /> }.into_any(),
            Stands::Set { .. } => view! { <SetScreen training /> }.into_any(),
            Stands::AfterSet { .. } => view! { <RatingScreen training signs /> }.into_any(),
            Stands::Finished => view! { <End training signs /> }.into_any(),
            Stands::Nothing => ().into_any(),
        }}
    }
}

/// The warning signs that were ticked in this session, and those whose care is shown.
#[derive(Clone, Copy)]
pub struct Signs {
    pub ticks: Ticks,
    pub told: RwSignal<Vec<WarningSign>>,
}

/// The warning signs, behind a tap. Once one is ticked, what to do about it takes the place of every other way on.
#[component]
pub fn SomethingWorse(
    signs: Signs,
    asks: &'static str,
    #[prop(optional)] injury_first: bool,
) -> impl IntoView {
    view! {
        <details>
            <summary>{asks}</summary>
            <SignList ticks=signs.ticks injury_first />
        </details>
    }
}

/// The device took the sound away: said where it matters, with the tap that brings it back.
#[component]
fn SoundNotice(training: Training) -> impl IntoView {
    view! {
        <Show when=move || training.sound_is_lost()>
            <button type="button" class="button sound-lost" on:click=move |_| training.bring_sound_back()>
                {text::SOUND_IS_OFF}
            </button>
        </Show>
    }
}

/// Asked once, where the device has a voice of its own. Without an answer it speaks from the first set on.
#[component]
fn VoiceQuestion(training: Training) -> impl IntoView {
    view! {
        <Show when=move || training.asks_about_voice()>
            <section class="card chalk stack" aria-labelledby="voice-question">
                <h2 id="voice-question">{text::SHALL_IT_SPEAK}</h2>
                <p class="small">
                    {text::WHY_SPEAK}
                </p>
                <div class="row">
                    <button type="button" class="button" on:click=move |_| training.speak(Given::On)>
                        {text::YES_SPEAK}
                    </button>
                    <button type="button" class="button" on:click=move |_| training.speak(Given::Off)>
                        {text::SOUNDS_ONLY}
                    </button>
                </div>
            </section>
        </Show>
    }
}

#[component]
fn Briefing(training: Training) -> impl IntoView {
    let Some(run) = training.read_now(Run::clone) else { return ().into_any() };
    let Some(task) = run.task().cloned() else { return ().into_any() };
    let above = text::exercise_of(run.task_index() + 1, run.tasks().len());
    let today = run.dose();
    let foothold = run.foothold();
    let exercise = task.exercise;
    let can_change = 0 < run.task_index();
    let cautions = sentences(&exercise.cautions);
    let one_hurt = use_log().history_untracked().has_hurt_too_much(run.session());
    let is_last = run.task_index() + 1 == run.tasks().len();
    let help = verdict::help(foothold, &exercise.ladder);
    let things: Vec<&str> =
        exercise.equipment_on(foothold.rung).iter().map(Words::as_str).collect();
    let things = dose::list(&things);
    view! {
        <Screen
            title=exercise.name.to_string()
            above
            columns=true
            is_full=true
            foot=Box::new(move || {
                view! {
                    <button type="button" class="button main" on:click=move |_| training.dispatch(Input::Start)>
                        {text::START_FIRST_SET}
                    </button>
                    <div class="row">
                        <button type="button" class="button quiet" on:click=move |_| training.dispatch(Input::LeaveOut)>
                            {text::leave_out(is_last)}
                        </button>
                        <button type="button" class="button quiet" on:click=move |_| training.dispatch(Input::EndSession)>
                            {text::END_SESSION}
                        </button>
                    </div>
                }
                    .into_any()
            })
        >
            <VoiceQuestion training />
            <p class="lead num"><strong>{dose::at_a_glance(&today)}</strong></p>
            {(!things.is_empty()).then(|| view! { <p>{text::needs(&things)}</p> })}
            <p class="help-today">{text::TODAY} <strong>{help}</strong></p>
            {one_hurt.then(|| view! { <p class="problem">{text::ONE_HURT}</p> })}
            {(!cautions.is_empty())
                .then(|| view! { <p class="small"><strong>{text::TAKE_CARE}</strong> " " {cautions}</p> })}
            <Figure exercise=exercise.clone() rung=foothold.rung shown=Shown::OverAndOver />
            <ExerciseSteps exercise=exercise.clone() rung=foothold.rung cautions=false />
            <details>
                <summary>{text::ladder(foothold, exercise.ladder.top())}</summary>
                <LadderDrawing exercise=exercise.clone() here=foothold says=text::HERE_TODAY />
            </details>
            <p class="tap-links">
                <a href="cues" aria-label=text::SOUND_AND_VOICE>{text::SOUND}</a>
                {can_change.then(|| view! { <a href="ratings">{standing::CHANGE_TITLE}</a> })}
            </p>
        </Screen>
    }
    .into_any()
}

/// What the set screen shows at one moment.
#[derive(Clone, Debug, PartialEq)]
struct Now {
    word: String,
    how: Option<String>,
    place: String,
    next: String,
    is_paused: bool,
    slept: Option<Duration>,
}

fn segment_of(run: &Run) -> Option<(&Segment, Option<&Segment>, Clock)> {
    let Stage::Set { timeline, segment, clock, .. } = run.stage() else { return None };
    let segments = timeline.segments();
    Some((segments.get(*segment)?, segments.get(segment + 1), *clock))
}

fn now_in_set(run: &Run) -> Option<Now> {
    let (segment, next, clock) = segment_of(run)?;
    let how = match &segment.beat {
        Beat::Work { how, .. } => how.as_ref().map(Words::to_string),
        Beat::GetReady => Some(text::GET_INTO_PLACE.to_owned()),
        Beat::ChangeSides => Some(text::change_sides(segment.side)),
    };
    let next = match next.map(|next| &next.beat) {
        Some(Beat::Work { action, word, how }) => {
            let phase = dose::phase(*action, word.as_ref(), how.as_ref());
            text::then(&phase)
        }
        Some(Beat::ChangeSides) => text::THEN_CHANGE_SIDES.to_owned(),
        Some(Beat::GetReady) => String::new(),
        None => text::then_done(&segment.beat).to_owned(),
    };
    let reps = run.dose().reps.get();
    let place = if reps == 1 { String::new() } else { text::rep_of(segment.rep, reps) };
    let side = segment.side.map(|side| dose::side(side).to_owned());
    // What names its side needs no other word for it.
    let says_side =
        |side: &String| how.as_ref().is_some_and(|how: &String| text::says_side(how, side));
    let side = side.filter(|side| !says_side(side));
    let how = [side, how].into_iter().flatten().reduce(|side, how| text::on_side(&side, &how));
    Some(Now {
        word: dose::phase_word(&segment.beat),
        how,
        place,
        next,
        is_paused: clock.is_paused(),
        slept: run.slept(),
    })
}

/// The share of a phase that is over, 0 to 1.
fn share_passed(segment: &Segment, left: Duration) -> f64 {
    (1.0 - left.as_secs_f64() / segment.length.as_secs_f64()).clamp(0.0, 1.0)
}

/// How full the screen stands, 0 to 1: it sinks while one lowers, rises while one lifts, is full in a hold, and
/// stands still before the first phase.
fn level(segment: &Segment, left: Duration) -> f64 {
    let passed = share_passed(segment, left);
    match &segment.beat {
        Beat::Work { action: Action::Lift, .. } => passed,
        Beat::Work { action: Action::Lower, .. } => 1.0 - passed,
        Beat::Work { action: Action::Hold, .. } => 1.0,
        Beat::Work { action: Action::Relax, .. } | Beat::GetReady | Beat::ChangeSides => 0.0,
    }
}

/// A word set as large as its room allows, to be read from across the room; all words of as many
/// `letters` in the same size, so that it does not jump.
#[component]
fn Poster(#[prop(into)] word: Signal<String>, letters: usize) -> impl IntoView {
    view! {
        <p class="poster" style:--letters=letters.to_string()>
            <span>{word}</span>
        </p>
    }
}

/// The letters of the longest of some words.
fn most_letters<T: AsRef<str>>(words: impl IntoIterator<Item = T>) -> usize {
    words.into_iter().map(|word| word.as_ref().chars().count()).max().unwrap_or_default()
}

/// A ground that stands so high, 0 to 1, and sinks and rises.
#[component]
fn Level(#[prop(into)] height: Signal<f64>) -> impl IntoView {
    let lowered = move || format!("translateY({:.2}%)", 100.0 * (1.0 - height.get()));
    view! { <div class="level" aria-hidden="true" style:transform=lowered></div> }
}

/// What else can be done with a set that stands still.
#[component]
fn OtherWays(
    training: Training,
    /// Called once one of them was chosen.
    chosen: Callback<()>,
) -> impl IntoView {
    const WAYS: [(&str, &str, Input); 5] = [
        (text::ONE_REP_BACK, text::ONE_REP_BACK_DOES, Input::OneRepBack),
        (text::SET_AGAIN, text::SET_AGAIN_DOES, Input::RepeatSet),
        (text::END_SET, text::END_SET_DOES, Input::CutSetShort),
        (text::LEAVE_SET_OUT, text::LEAVE_SET_OUT_DOES, Input::LeaveOutSet),
        (text::END_ALL, text::END_ALL_DOES, Input::EndSession),
    ];
    let way = |(label, says, input): (&'static str, &'static str, Input)| {
        view! {
            <li>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| {
                        training.dispatch(input.clone());
                        chosen.run(());
                    }
                >
                    {label}
                </button>
                <span class="small">{says}</span>
            </li>
        }
    };
    // Of a single rep, one back is the set again.
    let is_single = training.read_now(|run| run.dose().reps.get() == 1).unwrap_or(false);
    let skipped = usize::from(is_single);
    let ways = WAYS.into_iter().skip(skipped).map(way);
    view! { <ul class="bare other-ways">{ways.collect_view()}</ul> }
}

#[component]
fn SetScreen(training: Training) -> impl IntoView {
    let Some(run) = training.read_now(Run::clone) else { return ().into_any() };
    let Stage::Set { number, timeline, .. } = run.stage() else { return ().into_any() };
    let segments = timeline.segments();
    // The word while one gets ready is one of them in any case.
    let beats = segments.iter().map(|segment| &segment.beat).chain([&Beat::GetReady]);
    let letters = most_letters(beats.map(dose::phase_word));
    let longest = segments.iter().map(|segment| segment.length).max().unwrap_or_default();
    let digits = dates::whole_secs_left(longest).to_string().len().max(2);
    let name = run.task().map(|task| task.exercise.name.to_string());
    let help = run.task().map(|task| verdict::help(run.foothold(), &task.exercise.ladder));
    let set = text::set_of(*number, run.dose().rounds());
    let now = Memo::new(move |_| training.read(now_in_set).flatten());
    let of_now = move |get: fn(&Now) -> String| move || now.with(|now| now.as_ref().map(get));
    let word = of_now(|now| now.word.clone());
    let word = Signal::derive(move || word().unwrap_or_default());
    let is_paused =
        Memo::new(move |_| now.with(|now| now.as_ref().is_some_and(|now| now.is_paused)));
    let left = move || {
        let at = training.now();
        let here = |run: &Run| {
            segment_of(run).map(|(segment, _, clock)| (segment.clone(), clock.left(at)))
        };
        training.read(here).flatten()
    };
    let secs = Memo::new(move |_| left().map(|(_, left)| dates::whole_secs_left(left)));
    let less_motion = screen::less_motion_is_wanted();
    // With less motion, time still shows, a second at a time.
    let shown = move || {
        left().map(|(segment, left)| {
            let secs = Duration::from_secs(dates::whole_secs_left(left));
            (segment, if less_motion { secs } else { left })
        })
    };
    let posed = run.task().map(|task| (task.exercise.clone(), run.foothold().rung));
    let in_rep = Signal::derive(move || {
        let at = training.now();
        training.read(|run| run.in_rep(at)).flatten().map(|(phase, share, side)| InRep {
            phase,
            share,
            side,
        })
    });
    let height = move || shown().map_or(0.0, |(segment, left)| level(&segment, left));
    let passed = move || shown().map_or(0.0, |(segment, left)| share_passed(&segment, left));
    let slept = move || now.with(|now| now.as_ref().and_then(|now| now.slept));
    let go_on = text::go_on_with(&set);
    let more = RwSignal::new(false);
    let frame = use_frame();
    // Every button has another in its place then, so none of them keeps the focus.
    let begin_again = Callback::new(move |()| {
        more.set(false);
        if let Some(frame) = frame.get_untracked() {
            focus::on(&frame);
        }
    });
    Effect::new(move |was: Option<bool>| {
        let is = is_paused.get();
        if was.is_some_and(|was| was != is) {
            begin_again.run(());
        }
        is
    });
    view! {
        <main
            class="runner"
            class:paused=is_paused
            node_ref=frame
            tabindex="-1"
            aria-labelledby=TITLE
            on:keydown=move |event| {
                // On a button, the key is the button's own.
                let is_free = event.target() == event.current_target();
                if event.key() == " " && is_free && !event.repeat() {
                    event.prevent_default();
                    training.dispatch(if is_paused.get_untracked() { Input::Resume } else { Input::Pause });
                }
            }
        >
            <Level height=Signal::derive(height) />
            <div class="passed" aria-hidden="true" style:transform=move || format!("scaleY({:.4})", passed())></div>
            <div class="runner-scroll">
                <div class="runner-head">
                    <div class="grow">
                        <h1 id=TITLE>{name}</h1>
                        <p class="small" class:paused-words=is_paused>
                            {move || match (is_paused.get(), slept()) {
                                (true, Some(slept)) => text::slept(slept),
                                (true, None) => text::PAUSED.to_owned(),
                                (false, _) => help.clone().unwrap_or_default(),
                            }}
                        </p>
                    </div>
                    <p class="num set-count">{set}</p>
                </div>
                <PreviewNotice is_brief=true />
                <UnsavedNotice />
                <SoundNotice training />
                <Show
                    when=move || more.get()
                    fallback=move || {
                        view! {
                            <div class="runner-middle">
                                <Poster word letters />
                                <p class="secs num" role="timer" style:--letters=digits.to_string()>
                                    <span>{secs}</span>
                                </p>
                                <p class="how">{of_now(|now| now.how.clone().unwrap_or_default())}</p>
                                {posed
                                    .clone()
                                    .map(|(exercise, rung)| view! { <Figure exercise rung shown=Shown::With(in_rep) /> })}
                            </div>
                            <div class="runner-place num">
                                <p class="grow">{of_now(|now| now.place.clone())}</p>
                                <p class="small">{of_now(|now| now.next.clone())}</p>
                            </div>
                        }
                    }
                >
                    <OtherWays training chosen=begin_again />
                </Show>
            </div>
            <div class="session-foot">
                <Show when=move || is_paused.get()>
                    <button type="button" class="button main" on:click=move |_| training.dispatch(Input::Resume)>
                        {go_on.clone()}
                    </button>
                </Show>
                <div class="row">
                    <Show
                        when=move || is_paused.get()
                        fallback=move || {
                            view! {
                                <button type="button" class="button" on:click=move |_| training.dispatch(Input::Pause)>
                                    {text::PAUSE}
                                </button>
                                <button type="button" class="button" on:click=move |_| training.dispatch(Input::CutSetShort)>
                                    {text::END_SET}
                                </button>
                            }
                        }
                    >
                        <button
                            type="button"
                            class="button"
                            aria-expanded=move || more.get().to_string()
                            on:click=move |_| more.update(|more| *more = !*more)
                        >
                            {text::SOMETHING_ELSE}
                        </button>
                    </Show>
                    <button type="button" class="button stop" on:click=move |_| training.dispatch(Input::StopItHurts)>
                        {text::STOP_IT_HURTS}
                    </button>
                </div>
            </div>
        </main>
    }
    .into_any()
}

/// What the rating screen shows at one moment.
#[derive(Clone, Debug, PartialEq)]
struct AfterSet {
    rating: Option<PainRating>,
    site: Option<Words>,
    rest: Rest,
}

fn after_set(run: &Run) -> Option<AfterSet> {
    let Stage::AfterSet { rating, site, rest, .. } = run.stage() else { return None };
    Some(AfterSet { rating: *rating, site: site.clone(), rest: *rest })
}

/// A nought typed so soon after a one makes it a ten.
const TEN_WITHIN: Duration = Duration::from_millis(1500);

/// The digit that a key types.
fn digit(key: &str) -> Option<i64> {
    let mut letters = key.chars();
    let digit = letters.next()?.to_digit(10)?;
    letters.next().is_none().then_some(digit.into())
}

#[component]
fn RatingScreen(training: Training, signs: Signs) -> impl IntoView {
    let Some(run) = training.read_now(Run::clone) else { return ().into_any() };
    let Stage::AfterSet { ending, .. } = run.stage() else { return ().into_any() };
    let question = text::question(*ending);
    let site_names: Vec<Words> = run
        .task()
        .map(|task| task.limits.sites.iter().map(|site| site.name.clone()).collect())
        .unwrap_or_default();
    let after_set = Memo::new(move |_| training.read(after_set).flatten());
    let rating = Memo::new(move |_| after_set.with(|now| now.as_ref().and_then(|now| now.rating)));
    let site =
        Memo::new(move |_| after_set.with(|now| now.as_ref().and_then(|now| now.site.clone())));
    let rest = Memo::new(move |_| after_set.with(|now| now.as_ref().map(|now| now.rest)));
    let follows = Memo::new(move |_| training.read(Run::another_set_follows).unwrap_or(false));
    let can_take_back = Memo::new(move |_| {
        let now = training.now();
        training.read(|run| run.can_take_back_stop(now)).unwrap_or(false)
    });
    let left = Memo::new(move |_| match rest.get() {
        Some(Rest::On(clock)) if follows.get() => dates::countdown(clock.left(training.now())),
        Some(_) | None => String::new(),
    });
    let was_stopped = *ending == Ending::Pain;
    let rest_word = move || match rest.get() {
        Some(Rest::On(_)) if follows.get() => text::REST,
        Some(Rest::Over) if follows.get() => text::OVER,
        Some(_) | None if was_stopped => text::STOPPED,
        Some(_) | None => text::DONE,
    };
    let rest_word = Signal::derive(move || rest_word().to_owned());
    let rest_letters = if was_stopped {
        most_letters([text::STOPPED])
    } else {
        most_letters([text::REST, text::OVER, text::DONE])
    };
    let rest_is_over = move || follows.get() && rest.get() == Some(Rest::Over);
    let rest_is_paused = move || matches!(rest.get(), Some(Rest::On(clock)) if clock.is_paused());
    let rest_runs_or_waits = move || matches!(rest.get(), Some(Rest::On(_)));
    // A minute's digits, or two.
    let left_letters = if run.dose().rest_secs.get() < 600 { 4 } else { 5 };
    let rest_height = {
        let whole = Duration::from_secs(run.dose().rest_secs.get().into()).as_secs_f64().max(1.0);
        let less_motion = screen::less_motion_is_wanted();
        move || match rest.get() {
            Some(_) if less_motion || !follows.get() => 0.0,
            Some(Rest::On(clock)) => (clock.left(training.now()).as_secs_f64() / whole).min(1.0),
            Some(Rest::Over | Rest::NoneNeeded) | None => 0.0,
        }
    };
    let rate = Callback::new(move |rating: PainRating| {
        let site = if rating == PainRating::NONE { None } else { site.get_untracked() };
        training.dispatch(Input::Rate { rating, site });
    });
    let one_typed = StoredValue::new(None::<Moment>);
    let asks_site = move || rating.get().is_some_and(|rating| rating != PainRating::NONE);
    let has_sites = !site_names.is_empty();
    let choose_site = Callback::new(move |site: Option<Words>| {
        if let Some(rating) = rating.get_untracked() {
            training.dispatch(Input::Rate { rating, site });
        }
    });
    let go_on_label = move || text::go_on(follows.get(), rating.get().is_some());
    let frame = use_frame();
    view! {
        <main
            class="screen rating"
            node_ref=frame
            tabindex="-1"
            aria-labelledby=TITLE
            on:keydown=move |event| {
                let is_typed = !event.ctrl_key() && !event.meta_key() && !event.alt_key() && !event.repeat();
                if let Some(digit) = digit(&event.key()).filter(|_| is_typed) {
                    let now = training.now_untracked();
                    let ten = digit == 0 && one_typed.get_value().is_some_and(|at| now.since(at) <= TEN_WITHIN);
                    one_typed.set_value((digit == 1).then_some(now));
                    if let Ok(typed) = PainRating::new(if ten { 10 } else { digit }) {
                        rate.run(typed);
                    }
                }
            }
        >
            <div class="screen-body">
                <div class="rest-clock num">
                    <Level height=Signal::derive(rest_height) />
                    <Poster word=rest_word letters=rest_letters />
                    <Show when=move || left.with(|left| !left.is_empty())>
                        <div role="timer">
                            <Poster word=left letters=left_letters />
                        </div>
                    </Show>
                </div>
                // Its room is kept from the start: nothing moves under a thumb that is on its way to a number.
                <div class="after-rest">
                    <p class="soft grow" class:waits=move || !rest_is_over()>
                        {text::REST_IS_OVER}
                    </p>
                    <Show when=move || rating.get().is_some()>
                        <SavedMark />
                    </Show>
                </div>
                <h1 id=TITLE>{question}</h1>
                <PreviewNotice is_brief=true />
                <UnsavedNotice />
                <PainScale label=question.to_owned() chosen=rating on_rate=rate />
                // Where it hurt can change what it means, so it is asked first.
                <Show when=move || has_sites && asks_site()>
                    <SiteChoice names=site_names.clone() chosen=site on_choose=choose_site />
                </Show>
                <Show when=move || rating.get().is_some()>
                    <Meaning training />
                </Show>
                {was_stopped.then(|| view! { <SomethingWorse signs asks=text::DID_IT_POP injury_first=true /> })}
                <SoundNotice training />
                <Show when=move || follows.get()>
                    <button type="button" class="link" on:click=move |_| training.dispatch(Input::LeaveOutSet)>
                        {text::LEAVE_OUT_NEXT_SET}
                    </button>
                </Show>
            </div>
            <div class="session-foot">
                <Show
                    when=move || !signs.ticks.any()
                    fallback=move || view! { <TellSigns ticks=signs.ticks told=signs.told /> }
                >
                    <Show when=move || can_take_back.get()>
                        <button type="button" class="link" on:click=move |_| training.dispatch(Input::TakeBackStop)>
                            {standing::take_back_stop(TAKE_BACK_WITHIN)}
                        </button>
                    </Show>
                    <button
                        type="button"
                        class="button"
                        class:main=move || rating.get().is_some()
                        on:click=move |_| training.dispatch(Input::GoOn)
                    >
                        {go_on_label}
                    </button>
                    <div class="row">
                        <Show when=move || follows.get()>
                            {move || {
                                let (label, input) = if rest_is_paused() { (text::GO_ON_RESTING, Input::Resume) } else { (text::PAUSE, Input::Pause) };
                                rest_runs_or_waits().then(|| view! {
                                    <button type="button" class="button" on:click=move |_| training.dispatch(input.clone())>
                                        {label}
                                    </button>
                                })
                            }}
                            <button type="button" class="button" on:click=move |_| training.dispatch(Input::AddRest)>
                                {text::add(MORE_REST)}
                            </button>
                        </Show>
                        <button type="button" class="button" on:click=move |_| training.dispatch(Input::EndSession)>
                            {text::END_SESSION}
                        </button>
                    </div>
                </Show>
            </div>
        </main>
    }
    .into_any()
}

/// How an exercise goes on after a set. No light: those are given for a day, once its morning is known.
#[derive(Clone, Copy)]
enum GoesOn {
    Same,
    Down,
    Ends,
}

/// An equals sign, an arrow down, a full square.
#[component]
fn GoesOnShape(goes_on: GoesOn) -> impl IntoView {
    let (path, fill) = match goes_on {
        GoesOn::Same => ("M4 9h16M4 15h16", "none"),
        GoesOn::Down => ("M12 3v17M5 13l7 7 7-7", "none"),
        GoesOn::Ends => ("M5 5h14v14H5z", "currentColor"),
    };
    view! { <svg class="shape goes-on" viewBox="0 0 24 24" aria-hidden="true"><path d=path fill=fill /></svg> }
}

/// What the rating means for the next set, with the practitioner's limit beside it.
#[component]
fn Meaning(training: Training) -> impl IntoView {
    let log = use_log();
    let who = capitalised(&who(&log.history_untracked()));
    let card = move || {
        let run = training.read(Run::clone)?;
        let task = run.task()?;
        let Stage::AfterSet { ending, rating, site, .. } = run.stage() else { return None };
        let rating = (*rating)?;
        let (goes_on, what) = match run.means() {
            Means::EndExercise => (GoesOn::Ends, text::EXERCISE_ENDS.to_owned()),
            Means::EaseNextSet { to } if run.another_set_follows() => {
                (GoesOn::Down, text::one_rung_down(&verdict::help(to, &task.exercise.ladder)))
            }
            Means::NothingEasier if run.another_set_follows() => {
                (GoesOn::Same, text::SAME_AGAIN_NOTHING_EASIER.to_owned())
            }
            Means::CarryOn if run.another_set_follows() => {
                (GoesOn::Same, text::SAME_AGAIN.to_owned())
            }
            Means::CarryOn | Means::NothingEasier | Means::EaseNextSet { .. } => {
                (GoesOn::Same, text::DONE_FOR_TODAY.to_owned())
            }
        };
        let why = verdict::set_against(&task.limits, *ending, rating, site.as_ref(), &who);
        let change_sides = run.changes_sides_next().map(|side| {
            view! { <p><strong>{text::change_to(side)}</strong></p> }
        });
        Some(view! {
            <div class="card meaning" role="group" aria-label=text::WHAT_IT_MEANS>
                <div class="row">
                    <GoesOnShape goes_on />
                    <strong>{what}</strong>
                </div>
                <p class="small">{why}</p>
                {change_sides}
            </div>
        })
    };
    view! { {card} }
}
