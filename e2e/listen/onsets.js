// Runs on the audio thread: tells the frame of each onset, which is the first sample that is not
// silence after a quarter of a second of silence. The notes of one cue follow each other sooner than
// that, and no two cues do, so one cue is one onset.
/* global AudioWorkletProcessor, currentFrame, registerProcessor, sampleRate */

class Onsets extends AudioWorkletProcessor {
  silence = Infinity;

  process([[samples]]) {
    for (let index = 0; index < (samples?.length ?? 0); index += 1) {
      if (samples[index] === 0) {
        this.silence += 1;
        continue;
      }
      if (sampleRate / 4 <= this.silence) this.port.postMessage(currentFrame + index);
      this.silence = 0;
    }
    if (!samples) this.silence += 128;
    return true;
  }
}

registerProcessor("onsets", Onsets);
