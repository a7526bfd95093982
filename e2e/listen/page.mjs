// What runs in the page under test. The functions are sent to the browser as text, so each can use
// nothing outside itself.

/**
 * Wraps `AudioContext`, so that whatever is connected to a destination is also connected to a worklet
 * that notes onsets; it must run before the app does. `window.listening` holds the contexts that were made and what was heard in each.
 */
export function listen() {
  const Silent = window.AudioContext;
  const { connect, disconnect } = AudioNode.prototype;
  const ears = new WeakMap();

  const giveEar = (context) => {
    const heard = { context, onsets: [] };
    // The ear is there at once; the worklet behind it arrives when its script is loaded.
    const ear = new GainNode(context, { channelCount: 1, channelCountMode: "explicit" });
    ears.set(context.destination, ear);
    context.audioWorklet.addModule("/onsets.js").then(() => {
      const worklet = new AudioWorkletNode(context, "onsets");
      worklet.port.onmessage = ({ data }) => {
        heard.onsets.push(data);
        dispatchEvent(new CustomEvent("onset", { detail: heard }));
      };
      connect.call(ear, worklet);
      // It gives silence; only what leads to the destination is kept running.
      connect.call(worklet, context.destination);
    });
    window.listening.push(heard);
    return heard;
  };

  AudioNode.prototype.connect = function (target, ...more) {
    if (ears.has(target)) connect.call(this, ears.get(target));
    return connect.call(this, target, ...more);
  };
  AudioNode.prototype.disconnect = function (target, ...more) {
    if (ears.has(target)) disconnect.call(this, ears.get(target));
    return target === undefined ? disconnect.call(this) : disconnect.call(this, target, ...more);
  };
  window.listening = [];
  window.AudioContext = class AudioContext extends Silent {
    constructor(...options) {
      super(...options);
      giveEar(this);
    }
  };
}

/** The facts in the app's log, oldest first. */
export async function readLog() {
  const result = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  const [{ name }] = await indexedDB.databases();
  const database = await result(indexedDB.open(name));
  const texts = await result(database.transaction("events").objectStore("events").getAll());
  database.close();
  return texts.map((text) => JSON.parse(text));
}
