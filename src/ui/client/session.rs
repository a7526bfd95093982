//! The session: an exercise's set-up, the set itself, and the rating while the rest runs.

use std::time::Duration;

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;

use super::end::End;
use crate::domain::dose::Action;
use crate::domain::event::Ending;
use crate::domain::pain::PainRating;
use crate::domain::rule::{Light, Zone};
use crate::domain::runner::{Clock, Input, MORE_REST, Means, Rest, Run, Stage};
use crate::domain::timeline::{Beat, Segment};
use crate::domain::words::Words;
use crate::platform::{focus, screen};
use crate::ui::components::ladder::LadderDrawing;
use crate::ui::components::light::LightMark;
use crate::ui::components::routine_page::ExerciseSteps;
use crate::ui::components::saved::{SavedMark, UnsavedNotice};
use crate::ui::components::scale::PainScale;
use crate::ui::components::screen::{Screen, TITLE, use_frame};
use crate::ui::diary::use_diary;
use crate::ui::text::{capitalised, dates, dose, verdict, who};
use crate::ui::training::{Training, use_ticker, use_training};

/// Which of the session's screens is shown; it changes far less often than the clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shown {
    Briefing { task: usize },
    Set { task: usize, number: u16 },
    Rated { task: usize, number: u16 },
    Finished,
    Nothing,
}

impl Shown {
    fn of(run: &Run) -> Self {
        let task = run.task_index();
        match run.stage() {
            Stage::Briefing => Self::Briefing { task },
            Stage::Set { number, .. } => Self::Set { task, number: *number },
            Stage::Rated { number, .. } => Self::Rated { task, number: *number },
            Stage::Finished => Self::Finished,
        }
    }
}

#[component]
pub fn Session() -> impl IntoView {
    let training = use_training();
    let navigate = use_navigate();
    training.take_up();
    use_ticker(training);
    let shown = Memo::new(move |_| training.read(Shown::of).unwrap_or(Shown::Nothing));
    let milestone = Memo::new(move |_| training.read(milestone).unwrap_or_default());
    Effect::new(move |_| {
        if shown.get() == Shown::Nothing {
            navigate("/", NavigateOptions::default());
        }
    });
    view! {
        <p class="unseen" role="status">
            {milestone}
        </p>
        {move || match shown.get() {
            Shown::Briefing { .. } => view! { <Briefing training /> }.into_any(),
            Shown::Set { .. } => view! { <SetScreen training /> }.into_any(),
            Shown::Rated { .. } => view! { <RatingScreen training /> }.into_any(),
            Shown::Finished => view! { <End training /> }.into_any(),
            Shown::Nothing => ().into_any(),
        }}
    }
}

/// What a screen reader says when something new begins; not every second.
fn milestone(run: &Run) -> String {
    match run.stage() {
        Stage::Briefing => String::new(),
        Stage::Set { number, clock, .. } if clock.is_paused() => format!("Paused in set {number}"),
        Stage::Set { number, .. } => format!("Set {number} of {}", run.dose().rounds()),
        Stage::Rated { rest: Rest::On(_), .. } => "Set done. Rest.".to_owned(),
        Stage::Rated { rest: Rest::Over, .. } => "The rest is over.".to_owned(),
        Stage::Rated { rest: Rest::NoneNeeded, .. } => "Exercise done.".to_owned(),
        Stage::Finished => "Session done.".to_owned(),
    }
}

/// The device took the sound away: said where it matters, with the tap that brings it back.
#[component]
fn SoundNotice(training: Training) -> impl IntoView {
    view! {
        <Show when=move || training.sound_is_lost()>
            <button type="button" class="button sound-lost" on:click=move |_| training.bring_sound_back()>
                "Sound is off. Tap to bring it back"
            </button>
        </Show>
    }
}

#[component]
fn Briefing(training: Training) -> impl IntoView {
    let Some(run) = training.read_now(Run::clone) else { return ().into_any() };
    let Some(task) = run.task().cloned() else { return ().into_any() };
    let above = format!("Exercise {} of {}", run.task_index() + 1, run.tasks().len());
    let today = run.dose();
    let foothold = run.foothold();
    let exercise = task.exercise;
    let help = verdict::help(foothold, &exercise.ladder);
    view! {
        <Screen
            title=exercise.name.to_string()
            above
            foot=Box::new(move || {
                view! {
                    <button type="button" class="button main" on:click=move |_| training.dispatch(Input::Start)>
                        "Start the first set"
                    </button>
                    <div class="row">
                        <button type="button" class="button quiet" on:click=move |_| training.dispatch(Input::LeaveOut)>
                            "Leave out today"
                        </button>
                        <button type="button" class="button quiet" on:click=move |_| training.dispatch(Input::EndSession)>
                            "End the session"
                        </button>
                    </div>
                }
                    .into_any()
            })
        >
            <p class="lead num"><strong>{dose::whole(&today)}</strong></p>
            <p class="help-today">"Help today: " <strong>{help}</strong></p>
            <ExerciseSteps exercise=exercise.clone() />
            <h2>"Your ladder"</h2>
            <LadderDrawing ladder=exercise.ladder.clone() here=foothold says="today" />
            <p class="tap-links"><a href="/cues">"Sound, voice and pace"</a></p>
        </Screen>
    }
    .into_any()
}

/// What the set screen shows at one moment.
#[derive(Clone, Debug, PartialEq)]
struct Now {
    word: &'static str,
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
        Beat::GetReady => Some("get into place".to_owned()),
        Beat::ChangeSides => Some("change sides".to_owned()),
    };
    let next = match next.map(|next| &next.beat) {
        Some(Beat::Work { action, how }) => {
            let how = how.as_ref().map(|how| format!(", {how}")).unwrap_or_default();
            format!("then {}{how}", dose::action_word(*action).to_ascii_lowercase())
        }
        Some(Beat::ChangeSides) => "then change sides".to_owned(),
        Some(Beat::GetReady) => String::new(),
        None => "then this set is done".to_owned(),
    };
    let place = format!("rep {} of {}", segment.rep, run.dose().reps.get());
    let side = segment.side.map(|side| dose::side(side).to_owned());
    let how = [side, how].into_iter().flatten().reduce(|side, how| format!("{side}: {how}"));
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

/// How full the screen stands, 0 to 1: it sinks while one lowers, rises while one lifts, is full in a hold.
fn level(segment: &Segment, left: Duration) -> f64 {
    let passed = share_passed(segment, left);
    match &segment.beat {
        Beat::Work { action: Action::Lift, .. } | Beat::GetReady => passed,
        Beat::Work { action: Action::Lower, .. } => 1.0 - passed,
        Beat::Work { action: Action::Hold, .. } => 1.0,
        Beat::Work { action: Action::Relax, .. } | Beat::ChangeSides => 0.0,
    }
}

/// A word as tall as it is set, to be read from across the room; drawn narrower where there is less
/// room than `letters` and more of them need.
#[component]
fn Poster(#[prop(into)] text: Signal<String>, letters: usize) -> impl IntoView {
    let width = Memo::new(move |_| 69 * text.with(String::len).max(letters));
    view! {
        <svg
            class="poster"
            viewBox=move || format!("0 0 {} 100", width.get())
            style:--drawn=move || width.get().to_string()
            preserveAspectRatio="none"
            role="img"
            aria-label=text
        >
            <text x="-4" y="80">{text}</text>
        </svg>
    }
}

#[component]
fn SetScreen(training: Training) -> impl IntoView {
    let Some(run) = training.read_now(Run::clone) else { return ().into_any() };
    let Stage::Set { number, .. } = run.stage() else { return ().into_any() };
    let name = run.task().map(|task| task.exercise.name.to_string());
    let help = run.task().map(|task| verdict::help(run.foothold(), &task.exercise.ladder));
    let set = format!("set {number} of {}", run.dose().rounds());
    let now = Memo::new(move |_| training.read(now_in_set).flatten());
    let of_now = move |get: fn(&Now) -> String| move || now.with(|now| now.as_ref().map(get));
    let word = of_now(|now| now.word.to_owned());
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
    let height = move || shown().map_or(0.0, |(segment, left)| level(&segment, left));
    let passed = move || shown().map_or(0.0, |(segment, left)| share_passed(&segment, left));
    let slept = move || now.with(|now| now.as_ref().and_then(|now| now.slept));
    let go_on = format!("Go on with {set}");
    let frame = use_frame();
    // Every button has another in its place then, so none of them keeps the focus.
    Effect::new(move |was: Option<bool>| {
        let is = is_paused.get();
        if was.is_some_and(|was| was != is)
            && let Some(frame) = frame.get_untracked()
        {
            focus::on(&frame);
        }
        is
    });
    view! {
        <main class="runner" class:paused=is_paused node_ref=frame tabindex="-1" aria-labelledby=TITLE>
            <div class="level" aria-hidden="true" style:transform=move || format!("scaleY({:.4})", height())></div>
            <div class="passed" aria-hidden="true" style:transform=move || format!("scaleY({:.4})", passed())></div>
            <div class="runner-head">
                <div class="grow">
                    <h1 id=TITLE>{name}</h1>
                    <p class="small" class:paused-words=is_paused>
                        {move || match (is_paused.get(), slept()) {
                            (true, Some(slept)) => {
                                format!("The phone slept for about {}. That time was not counted.", dates::about(slept))
                            }
                            (true, None) => "Paused".to_owned(),
                            (false, _) => help.clone().unwrap_or_default(),
                        }}
                    </p>
                </div>
                <p class="num set-count">{set}</p>
            </div>
            <div class="runner-middle">
                <UnsavedNotice />
                <SoundNotice training />
                <Poster text=word letters=5 />
                <p class="secs num" role="timer">
                    {secs}
                </p>
                <p class="how">{of_now(|now| now.how.clone().unwrap_or_default())}</p>
            </div>
            <div class="runner-place num">
                <p class="grow">{of_now(|now| now.place.clone())}</p>
                <p class="small">{of_now(|now| now.next.clone())}</p>
            </div>
            <div class="runner-foot">
                <Show when=move || is_paused.get()>
                    <button type="button" class="button main" on:click=move |_| training.dispatch(Input::Resume)>
                        {go_on.clone()}
                    </button>
                    <div class="three">
                        <button type="button" class="button" on:click=move |_| training.dispatch(Input::OneRepBack)>
                            "One rep back"
                        </button>
                        <button type="button" class="button" on:click=move |_| training.dispatch(Input::RepeatSet)>
                            "Set again"
                        </button>
                        <button type="button" class="button" on:click=move |_| training.dispatch(Input::LeaveOutSet)>
                            "Leave it out"
                        </button>
                    </div>
                </Show>
                <div class="row">
                    <Show
                        when=move || is_paused.get()
                        fallback=move || {
                            view! {
                                <button type="button" class="button" on:click=move |_| training.dispatch(Input::Pause)>
                                    "Pause"
                                </button>
                            }
                        }
                    >
                        <button type="button" class="button" on:click=move |_| training.dispatch(Input::EndSession)>
                            "End all"
                        </button>
                    </Show>
                    <button type="button" class="button" on:click=move |_| training.dispatch(Input::CutSetShort)>
                        "End set"
                    </button>
                    <button type="button" class="button stop" on:click=move |_| training.dispatch(Input::StopItHurts)>
                        "Stop, it hurts"
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
    let Stage::Rated { rating, site, rest, .. } = run.stage() else { return None };
    Some(AfterSet { rating: *rating, site: site.clone(), rest: *rest })
}

#[component]
fn RatingScreen(training: Training) -> impl IntoView {
    let Some(run) = training.read_now(Run::clone) else { return ().into_any() };
    let Stage::Rated { ending, .. } = run.stage() else { return ().into_any() };
    let question = match ending {
        Ending::Pain => "How bad was it when you stopped?",
        Ending::Complete | Ending::Short | Ending::LeftOut => "How much did that set hurt?",
    };
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
    let left = Memo::new(move |_| match rest.get() {
        Some(Rest::On(clock)) if follows.get() => dates::countdown(clock.left(training.now())),
        Some(_) | None => String::new(),
    });
    let rest_word = move || match rest.get() {
        Some(Rest::On(_)) if follows.get() => "Rest",
        Some(Rest::Over) if follows.get() => "Over",
        Some(_) | None => "Done",
    };
    let rest_word = Signal::derive(move || rest_word().to_owned());
    let rest_is_over = move || follows.get() && rest.get() == Some(Rest::Over);
    let rest_height = {
        let whole = Duration::from_secs(run.dose().rest_secs.get().into()).as_secs_f64().max(1.0);
        let less_motion = screen::less_motion_is_wanted();
        move || match rest.get() {
            Some(Rest::On(_)) if less_motion => 0.0,
            Some(Rest::On(clock)) => (clock.left(training.now()).as_secs_f64() / whole).min(1.0),
            Some(Rest::Over | Rest::NoneNeeded) | None => 0.0,
        }
    };
    let rate = Callback::new(move |rating: PainRating| {
        let site = if rating == PainRating::NONE { None } else { site.get_untracked() };
        training.dispatch(Input::Rate { rating, site });
    });
    let asks_site = move || rating.get().is_some_and(|rating| rating != PainRating::NONE);
    let has_sites = !site_names.is_empty();
    let go_on_label = move || match (follows.get(), rating.get().is_some()) {
        (true, true) => "Next set now",
        (true, false) => "Next set, without a rating",
        (false, true) => "Go on",
        (false, false) => "Go on without a rating",
    };
    let frame = use_frame();
    view! {
        <main class="screen rating" node_ref=frame tabindex="-1" aria-labelledby=TITLE>
            <div class="screen-body">
                <div class="rest-clock num">
                    <div class="level" aria-hidden="true" style:transform=move || format!("scaleY({:.4})", rest_height())></div>
                    <Poster text=rest_word letters=4 />
                    <Show when=move || left.with(|left| !left.is_empty())>
                        <div role="timer">
                            <Poster text=left letters=4 />
                        </div>
                    </Show>
                </div>
                <Show when=rest_is_over>
                    <p class="soft">"The rest is over"</p>
                </Show>
                <h1 id=TITLE>{question}</h1>
                <UnsavedNotice />
                <PainScale label=question.to_owned() chosen=rating on_rate=rate />
                <Show when=move || has_sites && asks_site()>
                    <Sites training rating site names=site_names.clone() />
                </Show>
                <SoundNotice training />
                <Show when=move || rating.get().is_some()>
                    <div class="after-rating">
                        <Meaning training />
                        <SavedMark />
                    </div>
                </Show>
            </div>
            <div class="screen-foot">
                <div class="row">
                    <Show when=move || follows.get()>
                        <button type="button" class="button" on:click=move |_| training.dispatch(Input::AddRest)>
                            {format!("Add {} s", MORE_REST.as_secs())}
                        </button>
                    </Show>
                    <button
                        type="button"
                        class="button grow"
                        class:main=move || rating.get().is_some()
                        on:click=move |_| training.dispatch(Input::GoOn)
                    >
                        {go_on_label}
                    </button>
                </div>
            </div>
            <div class="spread">
                <button type="button" class="link" on:click=move |_| training.dispatch(Input::EndSession)>
                    "End the session here"
                </button>
                <Show when=move || follows.get()>
                    <button type="button" class="link" on:click=move |_| training.dispatch(Input::LeaveOutSet)>
                        "Leave out the next set"
                    </button>
                </Show>
            </div>
        </main>
    }
    .into_any()
}

/// Where it hurt, of the places that the practitioner named.
#[component]
fn Sites(
    training: Training,
    rating: Memo<Option<PainRating>>,
    site: Memo<Option<Words>>,
    names: Vec<Words>,
) -> impl IntoView {
    let chip = |name: Words| {
        let shown = name.to_string();
        let chosen_name = name.clone();
        let is_chosen = move || site.with(|site| site.as_ref() == Some(&chosen_name));
        let is_pressed = is_chosen.clone();
        let choose = move |_| {
            if let Some(rating) = rating.get_untracked() {
                let site = if is_chosen() { None } else { Some(name.clone()) };
                training.dispatch(Input::Rate { rating, site });
            }
        };
        view! {
            <button type="button" class="chip" aria-pressed=move || is_pressed().to_string() on:click=choose>
                {shown}
            </button>
        }
    };
    view! {
        <div class="chips" role="group" aria-label="Where did it hurt?">
            {names.into_iter().map(chip).collect_view()}
        </div>
    }
}

/// What the rating means for the next set, with the practitioner's limit beside it.
#[component]
fn Meaning(training: Training) -> impl IntoView {
    let diary = use_diary();
    let who = capitalised(&who(&diary.history_untracked()));
    let card = move || {
        let run = training.read(Run::clone)?;
        let task = run.task()?;
        let Stage::Rated { ending, rating, site, .. } = run.stage() else { return None };
        let rating = (*rating)?;
        let zone = task.limits.zone_of_set(rating, site.as_ref());
        let table = &task.limits.table;
        let (light, what) = match run.means() {
            Means::EndExercise => (
                Light::Hold,
                "This exercise ends here today. That is the plan, not a failure.".to_owned(),
            ),
            Means::EaseNextSet { to } if run.another_set_follows() => (
                Light::Ease,
                format!("Next set one rung down: {}", verdict::help(to, &task.exercise.ladder)),
            ),
            Means::CarryOn | Means::EaseNextSet { .. } if run.another_set_follows() => {
                (Light::Keep, "Next set: the same again".to_owned())
            }
            Means::CarryOn | Means::EaseNextSet { .. } => {
                (Light::Keep, "This exercise is done for today".to_owned())
            }
        };
        let why = match (ending, zone) {
            (Ending::Pain, _) => "A set stopped by pain ends the exercise for the day.".to_owned(),
            (Ending::Complete | Ending::Short | Ending::LeftOut, Zone::Low | Zone::Middle) => {
                format!(
                    "{who} set {} as {}. This was {}.",
                    verdict::zone_range(table, zone),
                    verdict::zone(zone),
                    rating.points()
                )
            }
            (Ending::Complete | Ending::Short | Ending::LeftOut, Zone::High) => {
                format!(
                    "{who} set above {} as high, which ends the exercise for the day. This was {}.",
                    table.middle_max().points(),
                    rating.points()
                )
            }
        };
        let change_sides = run.changes_sides_next().map(|side| {
            view! { <p><strong>{format!("Then change to the {} side.", dose::side(side))}</strong></p> }
        });
        let class = format!("card meaning {}", verdict::light(light).to_ascii_lowercase());
        Some(view! {
            <div class=class role="status">
                <div class="row">
                    <LightMark light />
                    <strong>{what}</strong>
                </div>
                <p class="small">{why}</p>
                {change_sides}
            </div>
        })
    };
    view! { {card} }
}
