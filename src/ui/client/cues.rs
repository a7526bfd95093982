//! How the client is led: sound, voice, vibration, a slower count, and rests that wait; each cue can be tried.

use std::time::Duration;

use leptos::prelude::*;

use crate::domain::session::runner::AfterRest;
use crate::domain::session::timeline::{Cue, Pace, Tone};
use crate::platform::{sound, vibration, voice};
use crate::ui::components::screen::Screen;
use crate::ui::text::client::cues as text;
use crate::ui::text::components::screen::BACK_TO_TODAY;
use crate::ui::text::spoken;
use crate::ui::training::{Given, Training, use_training};

const TONES: [Tone; 7] = [
    Tone::Lift,
    Tone::Lower,
    Tone::Hold,
    Tone::Relax,
    Tone::Count,
    Tone::ChangeSides,
    Tone::SetDone,
];

#[component]
pub fn Cues() -> impl IntoView {
    let training = use_training();
    let back = if training.read_now(|_| ()).is_some() {
        ("session", text::BACK_TO_SESSION)
    } else {
        ("./", BACK_TO_TODAY)
    };
    let paces = text::PACES.map(|(percent, label)| {
        let pace = Pace::new(percent).unwrap_or(Pace::AS_PRESCRIBED);
        let is_chosen = move || training.lead().manner.pace == pace;
        let choose = move |_| training.lead_so(|lead| lead.manner.pace = pace);
        view! {
            <button type="button" class="chip" aria-pressed=move || is_chosen().to_string() on:click=choose>
                {label}
            </button>
        }
    });
    view! {
        <Screen
            title=text::TITLE
            columns=true
            foot=Box::new(move || view! { <a href=back.0 class="button main">{back.1}</a> }.into_any())
        >
            <section class="stack">
                <h2>{text::CUES}</h2>
                <Choice
                    label=text::SOUND
                    says=text::WHAT_SOUNDS
                    is_on=Signal::derive(move || training.lead().sound == Given::On)
                    turn=Callback::new(move |to| training.lead_so(|lead| lead.sound = to))
                />
                <VoiceChoice training />
                {vibration::is_there()
                    .then(|| {
                        view! {
                            <Choice
                                label=text::VIBRATION
                                says=text::WHAT_SHAKES
                                is_on=Signal::derive(move || training.lead().vibration == Given::On)
                                turn=Callback::new(move |to| training.lead_so(|lead| lead.vibration = to))
                            />
                        }
                    })}
            </section>
            <section class="stack">
                <h2>{text::TRY_THE_SOUNDS}</h2>
                <div class="chips">{TONES.map(|tone| view! { <Try tone /> })}</div>
            </section>
            <section class="stack">
                <h2>{text::COUNT}</h2>
                <p class="small soft">{text::WHAT_COUNTS}</p>
                <div class="chips" role="group" aria-label=text::SLOWER_COUNT>{paces}</div>
            </section>
            <section class="stack">
                <h2>{text::RESTS}</h2>
                <Choice
                    label=text::WAIT_UNTIL_READY
                    says=text::HOW_IT_WAITS
                    is_on=Signal::derive(move || training.lead().manner.after_rest == AfterRest::WaitUntilReady)
                    turn=Callback::new(move |to| {
                        training.lead_so(|lead| {
                            lead.manner.after_rest = match to {
                                Given::On => AfterRest::WaitUntilReady,
                                Given::Off => AfterRest::GoOn,
                            };
                        });
                    })
                />
            </section>
        </Screen>
    }
}

#[component]
fn Choice(
    label: &'static str,
    says: &'static str,
    is_on: Signal<bool>,
    turn: Callback<Given>,
) -> impl IntoView {
    let toggle = move |_| turn.run(if is_on.get_untracked() { Given::Off } else { Given::On });
    view! {
        <label class="sign">
            <input type="checkbox" prop:checked=is_on on:change=toggle />
            <span>
                <strong>{label}</strong>
                <span class="block soft">{says}</span>
            </span>
        </label>
    }
}

/// The voice, where the device has one of its own; voices may load only after the page.
#[component]
fn VoiceChoice(training: Training) -> impl IntoView {
    let (is_there, set_is_there) = signal(voice::is_there());
    let asking = set_interval_with_handle(
        move || set_is_there.set(voice::is_there()),
        Duration::from_secs(1),
    );
    on_cleanup(move || {
        if let Ok(asking) = asking {
            asking.clear();
        }
    });
    view! {
        <Show
            when=move || is_there.get()
            fallback=|| {
                view! {
                    <p class="small soft">
                        {text::NO_VOICE}
                    </p>
                }
            }
        >
            <Choice
                label=text::VOICE
                says=text::WHAT_IS_SAID
                is_on=Signal::derive(move || training.lead().voice == Given::On)
                turn=Callback::new(move |to| {
                    training.speak(to);
                    if to == Given::On {
                        voice::say(spoken::SAMPLE);
                    }
                })
            />
        </Show>
    }
}

#[component]
fn Try(tone: Tone) -> impl IntoView {
    let play = move |_| {
        sound::unlock();
        sound::silence();
        sound::add(&[Cue { at: Duration::ZERO, tone }]);
        vibration::shake(tone);
    };
    view! {
        <button type="button" class="chip" on:click=play>
            {text::tone(tone)}
        </button>
    }
}
