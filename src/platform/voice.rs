//! A spoken cue, from voices that live on the device only: nothing said leaves it.

use web_sys::{SpeechSynthesis, SpeechSynthesisUtterance, SpeechSynthesisVoice};

use wasm_bindgen::JsCast;

use super::reach;

fn synthesis() -> Option<SpeechSynthesis> {
    reach::get(web_sys::window()?.as_ref(), "speechSynthesis")?.dyn_into().ok()
}

/// The voice to use: one of the device's own, English before others since the words are English.
fn voice(of: &SpeechSynthesis) -> Option<SpeechSynthesisVoice> {
    let local = |voice: &SpeechSynthesisVoice| voice.local_service();
    let voices: Vec<SpeechSynthesisVoice> =
        of.get_voices().iter().filter_map(|voice| voice.dyn_into().ok()).filter(local).collect();
    let english = voices.iter().position(|voice| voice.lang().starts_with("en"))?;
    voices.into_iter().nth(english)
}

/// Whether this device has a voice of its own. Voices may load late, so ask again when it matters.
pub fn is_there() -> bool {
    synthesis().is_some_and(|synthesis| voice(&synthesis).is_some())
}

/// Says a few words now, instead of anything still being said.
pub fn say(words: &str) {
    let Some(synthesis) = synthesis() else { return };
    let (Some(voice), Ok(utterance)) =
        (voice(&synthesis), SpeechSynthesisUtterance::new_with_text(words))
    else {
        return;
    };
    // Some browsers drop words that follow a cancel at once, so only cut short what is in the way.
    if synthesis.speaking() {
        synthesis.cancel();
    }
    utterance.set_voice(Some(&voice));
    utterance.set_lang(&voice.lang());
    synthesis.speak(&utterance);
}

/// Stops speaking.
pub fn hush() {
    if let Some(synthesis) = synthesis() {
        synthesis.cancel();
    }
}
