//! How the client is led: sound, voice, vibration, a slower count, and rests that wait; each cue can be tried.

use std::time::Duration;

use leptos::prelude::*;

use crate::domain::session::runner::AfterRest;
use crate::domain::session::timeline::{Cue, Pace, Tone};
use crate::platform::{sound, vibration, voice};
use crate::ui::components::screen::Screen;
use crate::ui::text::spoken;
use crate::ui::training::{Given, Training, use_training};

/// Slower counts to choose from, in per cent of the prescribed time.
const PACES: [(i64, &str); 6] =
    [(100, "1.0"), (110, "1.1"), (120, "1.2"), (130, "1.3"), (140, "1.4"), (150, "1.5")];

const TONES: [(Tone, &str); 7] = [
    (Tone::Lift, "Lift"),
    (Tone::Lower, "Lower"),
    (Tone::Hold, "Stay"),
    (Tone::Relax, "Relax"),
    (Tone::Count, "Counting down"),
    (Tone::ChangeSides, "Change sides"),
    (Tone::SetDone, "Set done"),
];

#[component]
pub fn Cues() -> impl IntoView {
    let training = use_training();
    let back = if training.read_now(|_| ()).is_some() {
        ("session", "Back to the session")
    } else {
        ("./", "Back to Today")
    };
    let paces = PACES.map(|(percent, label)| {
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
            title="Sound, voice and pace"
            columns=true
            foot=Box::new(move || view! { <a href=back.0 class="button main">{back.1}</a> }.into_any())
        >
            <section class="stack">
                <h2>"Cues"</h2>
                <Choice
                    label="Sound"
                    says="A tone at each change, and the last three seconds counted."
                    is_on=Signal::derive(move || training.lead().sound == Given::On)
                    turn=Callback::new(move |to| training.lead_so(|lead| lead.sound = to))
                />
                <VoiceChoice training />
                {vibration::is_there()
                    .then(|| {
                        view! {
                            <Choice
                                label="Vibration"
                                says="A short shake with each change. Some phones stay still all the same."
                                is_on=Signal::derive(move || training.lead().vibration == Given::On)
                                turn=Callback::new(move |to| training.lead_so(|lead| lead.vibration = to))
                            />
                        }
                    })}
            </section>
            <section class="stack">
                <h2>"Try the sounds"</h2>
                <div class="chips">{TONES.map(|(tone, label)| view! { <Try tone label /> })}</div>
            </section>
            <section class="stack">
                <h2>"Count"</h2>
                <p class="small soft">"1.0 is as prescribed. A slower count makes each phase longer; rests stay. It counts from the next session on."</p>
                <div class="chips" role="group" aria-label="Slower count">{paces}</div>
            </section>
            <section class="stack">
                <h2>"Rests"</h2>
                <Choice
                    label="Wait until I am ready"
                    says="After a rest the next set begins only when you tap. It counts from the next session on."
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
                        "Voice: this device has no voice of its own. Only such voices are used, so that nothing said leaves the device."
                    </p>
                }
            }
        >
            <Choice
                label="Voice"
                says="Says what a coach would say, from what to fetch to how long to rest."
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
fn Try(tone: Tone, label: &'static str) -> impl IntoView {
    let play = move |_| {
        sound::unlock();
        sound::silence();
        sound::add(&[Cue { at: Duration::ZERO, tone }]);
        vibration::shake(tone);
    };
    view! {
        <button type="button" class="chip" on:click=play>
            {label}
        </button>
    }
}
