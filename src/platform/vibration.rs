//! Vibration, where the phone has it; a pattern for each sound that marks a phase.

use js_sys::Array;
use wasm_bindgen::JsValue;

use super::reach;
use crate::domain::session::timeline::Tone;

/// Whether the browser offers vibration; some phones have it and stay still all the same.
pub fn is_there() -> bool {
    reach::navigator().is_some_and(|navigator| reach::get(&navigator, "vibrate").is_some())
}

/// On and off times in milliseconds: lifting is short, lowering long, holding double.
const fn pattern(tone: Tone) -> &'static [i32] {
    match tone {
        Tone::Count => &[30],
        Tone::Lift => &[90],
        Tone::Lower => &[260],
        Tone::Hold => &[90, 70, 90],
        Tone::Relax => &[40],
        Tone::ChangeSides => &[90, 70, 260],
        Tone::SetDone => &[300, 120, 300],
    }
}

/// Shakes the phone once for a sound.
pub fn shake(tone: Tone) {
    if let Some(navigator) = reach::navigator() {
        let pattern: Array = pattern(tone).iter().map(|&millis| JsValue::from(millis)).collect();
        // Refused without a tap before it; then there is no shake, and the sound and screen remain.
        reach::call(&navigator, "vibrate", &[&pattern]);
    }
}
