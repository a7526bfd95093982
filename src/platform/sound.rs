//! Sounds on the audio clock: a whole set is scheduled up front, so that a busy page cannot make one late.

use std::cell::{Cell, RefCell};
use std::time::Duration;

use wasm_bindgen::JsValue;
use web_sys::{AudioContext, GainNode, OscillatorType};

use super::reach;
use crate::domain::session::timeline::{Cue, Tone};

/// One note of a sound: when it begins after the sound does, how long it lasts (both in seconds), and
/// the pitch it glides from and to, in hertz.
struct Note {
    after: f64,
    lasts: f64,
    from: f32,
    to: f32,
}

const fn note(after: f64, lasts: f64, from: f32, to: f32) -> Note {
    Note { after, lasts, from, to }
}

/// Lifting rises, lowering falls, holding stands still on two notes, resting is low: each can be told
/// from the others without the screen.
const fn notes_of(tone: Tone) -> &'static [Note] {
    const COUNT: [Note; 1] = [note(0.0, 0.07, 880.0, 880.0)];
    const LIFT: [Note; 1] = [note(0.0, 0.26, 440.0, 880.0)];
    const LOWER: [Note; 1] = [note(0.0, 0.26, 880.0, 440.0)];
    const HOLD: [Note; 2] = [note(0.0, 0.12, 660.0, 660.0), note(0.16, 0.16, 660.0, 660.0)];
    const RELAX: [Note; 1] = [note(0.0, 0.3, 330.0, 330.0)];
    const CHANGE: [Note; 3] = [
        note(0.0, 0.14, 523.0, 523.0),
        note(0.18, 0.14, 392.0, 392.0),
        note(0.36, 0.2, 523.0, 523.0),
    ];
    const DONE: [Note; 3] = [
        note(0.0, 0.14, 523.0, 523.0),
        note(0.16, 0.14, 659.0, 659.0),
        note(0.32, 0.3, 784.0, 784.0),
    ];
    match tone {
        Tone::Count => &COUNT,
        Tone::Lift => &LIFT,
        Tone::Lower => &LOWER,
        Tone::Hold => &HOLD,
        Tone::Relax => &RELAX,
        Tone::ChangeSides => &CHANGE,
        Tone::SetDone => &DONE,
    }
}

/// The audio clock may lag behind by this much between two checks, in milliseconds.
const STALL: f64 = 500.0;
const LOUDNESS: f32 = 0.5;
/// Rise and fall of a note, in seconds, so that it does not click.
const EDGE: f64 = 0.012;

thread_local! {
    static CONTEXT: RefCell<Option<AudioContext>> = const { RefCell::new(None) };
    /// Every sound given to the audio clock, with the time at which it begins.
    static SCHEDULED: RefCell<Vec<(f64, GainNode)>> = const { RefCell::new(Vec::new()) };
    /// The page's timeline and the audio clock when the sound's health was last asked, in milliseconds.
    static CHECKED: Cell<Option<(f64, f64)>> = const { Cell::new(None) };
}

/// Makes sound possible; call it from a tap, since a browser allows it from nowhere else.
pub fn unlock() {
    CONTEXT.with_borrow_mut(|context| {
        if context.is_none() {
            *context = AudioContext::new().ok();
        }
        if let Some(context) = context {
            drop(context.resume());
        }
    });
}

/// Gives sounds to the audio clock, each so long from now, after those it already has.
pub fn add(cues: &[Cue]) {
    CONTEXT.with_borrow(|context| {
        let Some(context) = context else { return };
        let now = context.current_time();
        SCHEDULED.with_borrow_mut(|scheduled| {
            scheduled.retain(|(at, _)| now - 2.0 < *at);
            for cue in cues {
                let at = now + seconds(cue.at);
                // A device that cannot make a sound stays silent; the screen shows the same.
                if let Ok(gain) = start(context, cue.tone, at) {
                    scheduled.push((at, gain));
                }
            }
        });
    });
}

/// Whether sounds are heard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Health {
    Sounding,
    /// The device took the sound away, or its clock stands still.
    Lost,
}

/// Compares the audio clock with the page's timeline since this was last asked; call it about once a second.
pub fn health() -> Health {
    CONTEXT.with_borrow(|context| {
        let Some(context) = context else { return Health::Sounding };
        let steady = page_timeline().unwrap_or_default();
        let audio = context.current_time() * 1000.0;
        let before = CHECKED.replace(Some((steady, audio)));
        // Read as text: the standard has a state, "interrupted", that the bindings do not know.
        let state = reach::get(context, "state").and_then(|state| state.as_string());
        let stalled = before.is_some_and(|(steady_before, audio_before)| {
            STALL < (steady - steady_before) - (audio - audio_before)
        });
        if stalled || state.as_deref() != Some("running") { Health::Lost } else { Health::Sounding }
    })
}

/// The time of the page's own timeline, in milliseconds; it stands still while the page is hidden, where
/// a missing sound could not be shown anyway.
fn page_timeline() -> Option<f64> {
    let document = web_sys::window()?.document()?;
    reach::get(&reach::get(&document, "timeline")?, "currentTime")?.as_f64()
}

/// Makes sound anew, from a tap: a context whose clock stands still never comes back by itself.
pub fn rebuild() {
    if let Some(old) = CONTEXT.take() {
        drop(old.close());
    }
    CHECKED.set(None);
    unlock();
}

/// Cancels every sound that has not begun.
pub fn silence() {
    CONTEXT.with_borrow(|context| {
        let Some(context) = context else { return };
        let now = context.current_time();
        for (at, gain) in SCHEDULED.take() {
            if now < at {
                drop(gain.disconnect());
            }
        }
    });
}

fn start(context: &AudioContext, tone: Tone, at: f64) -> Result<GainNode, JsValue> {
    let gain = context.create_gain()?;
    gain.gain().set_value(LOUDNESS);
    gain.connect_with_audio_node(&context.destination())?;
    for note in notes_of(tone) {
        play(context, &gain, at + note.after, note)?;
    }
    Ok(gain)
}

fn seconds(time: Duration) -> f64 {
    time.as_secs_f64()
}

fn play(context: &AudioContext, into: &GainNode, at: f64, note: &Note) -> Result<(), JsValue> {
    let tone = context.create_oscillator()?;
    tone.set_type(OscillatorType::Triangle);
    tone.frequency().set_value_at_time(note.from, at)?;
    tone.frequency().linear_ramp_to_value_at_time(note.to, at + note.lasts)?;
    let shape = context.create_gain()?;
    let loudness = shape.gain();
    loudness.set_value_at_time(0.0, at)?;
    loudness.linear_ramp_to_value_at_time(1.0, at + EDGE)?;
    loudness.set_value_at_time(1.0, at + note.lasts - EDGE)?;
    loudness.linear_ramp_to_value_at_time(0.0, at + note.lasts)?;
    tone.connect_with_audio_node(&shape)?;
    shape.connect_with_audio_node(into)?;
    tone.start_with_when(at)?;
    tone.stop_with_when(at + note.lasts + EDGE)?;
    Ok(())
}
