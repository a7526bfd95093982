// How exactly the cues of a set come, on a device that is slow and busy:
//
//   make page && BENCH_MINUTES=1 node e2e/bench/cues.mjs
//
// The built app leads through a real session of BENCH_MINUTES (10 unless given), in real time, while
// the processor is slowed down four times and the main thread is blocked again and again, for 30 to
// 250 ms at random, beside a figure that moves. BENCH_LOOPS=8: beside eight processes that never rest, too.
// Sets begin by themselves after the rest; each is rated while the rest runs.
//
// What is measured is what goes to the loudspeaker: a worklet on the audio thread, connected beside
// it, notes the frame at which silence ends. What it is measured against is worked out here from the
// dose alone, not read from what the app scheduled. All that one tap schedules (a count-in or the end
// of a rest, the set after it, and its end) makes one stretch; the error of a cue is its distance
// from where the dose puts it after the first cue of its stretch.
//
// The same stretches are played at the same time by what the app does not do: a chain of timers, each
// of which sounds an oscillator at once and sets the next timer. They are heard and measured alike.
//
// The screen follows the page's clock, not the audio clock, so four more numbers say how far a cue's
// sound is from its moment on the page's clock, which is the moment of the first tap and what the plan
// adds to it: in the middle, at worst, and how much the last cue of the session is off against the
// first (the drift). The fourth is how much the audio clock itself fell behind; a machine that is too
// busy to render sound in time stops that clock for a moment, and a cue scheduled before is late by it.
import { spawn } from "node:child_process";
import { drawn, launch, open, serve } from "../listen/app.mjs";
import { until } from "../scenarios.mjs";
import { median, tell } from "./results.mjs";

const MINUTES = Number(process.env.BENCH_MINUTES ?? 10);
const LOOPS = Number(process.env.BENCH_LOOPS ?? 0);
const SLOWER = 4;
/** Frames that an audio engine renders at once. */
const QUANTUM = 128;
// As in src/domain/session/timeline.rs, in seconds.
const COUNT_IN = 8;
const COUNTED = [3, 2, 1];

const PHASE = 3;
const REST = 10;
const sets = Math.max(2, Math.round(MINUTES * 0.6));
const reps = Math.round((MINUTES * 60 - COUNT_IN - REST * (sets - 1)) / (sets * 2 * PHASE));

/** When each cue is due, in seconds after the first tap, one list for each stretch. */
const stretches = [];
let begins = COUNT_IN;
for (let set = 0; set < sets; set += 1) {
  const phases = Array.from({ length: 2 * reps + 1 }, (_, index) => begins + index * PHASE);
  stretches.push([...COUNTED.map((before) => begins - before), ...phases]);
  begins = phases.at(-1) + REST;
}

const server = await serve("cues");
const browser = await launch();
try {
  let heard;
  for (let tries = 3; !heard; tries -= 1) {
    if (tries === 0) throw new Error("this machine stands still too often to measure cues on");
    heard = await listenToSession();
  }
  report(heard);
} finally {
  await browser.close();
  server.stop();
}

/** What was heard; nothing when the machine stood still for so long that the app took it for sleep. */
async function listenToSession() {
  const app = await open(browser, server);
  const loops = Array.from({ length: LOOPS }, () => spawn("sh", ["-c", "while :; do :; done"]));
  try {
    return await listenTo(app);
  } finally {
    for (const loop of loops) loop.kill();
  }
}

async function listenTo(app) {
  const phase = (action) => ({ action, secs: PHASE });
  const dose = { sets, reps, tempo: [phase("lift"), phase("lower")], rest_secs: REST };
  await app.follow([drawn("chair-heel-lift", dose)]);
  const devices = await app.page.createCDPSession();
  await devices.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  await app.page.waitForSelector("main canvas");
  await app.page.evaluate(disturb);
  await app.page.evaluate(playByTimers, stretches);
  app.page.setDefaultTimeout((2 * reps * PHASE + REST + COUNT_IN) * 2000);
  console.log(`\nCues: ${sets} sets of ${reps} reps, ${Math.round(stretches.at(-1).at(-1) / 6) / 10} minutes`);
  await app.tap("Start the first set");
  for (let set = 1; set <= sets; set += 1) {
    if (await stoodStill(app, "How much did that set hurt?", "The phone slept")) return undefined;
    await app.tap("1");
    if (set === sets) break;
    if (await stoodStill(app, `set ${set + 1} of ${sets}`, "The rest is over.")) return undefined;
  }
  // The chain of timers comes to its end some time after the app.
  const planned = stretches.flat().length;
  await until(() => app.page.evaluate((due) => window.busy.byTimers.length === due, planned));
  if (app.complaints.length > 0) throw new Error(app.complaints.join("\n"));
  return app.page.evaluate(() => {
    const [cues] = window.listening;
    return { ...window.busy, cues: cues.onsets };
  });
}

/** Waits for `awaited`; true when the app waits for the client instead, since it was not woken in time. */
async function stoodStill(app, awaited, instead) {
  if ((await app.seesOneOf([awaited, instead])) === 0) return false;
  console.log(`  The machine stood still for more than two seconds ("${instead}"): once more from the start`);
  await app.context.close();
  return true;
}

/** In the page: blocks the main thread at random, and compares its clock with the audio clock. */
function disturb() {
  let state = 1;
  const random = (least, most) => {
    // Mulberry32: the same disturbance in every run.
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return least + (((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32) * (most - least);
  };
  window.busy = { leads: [] };
  addEventListener("click", () => (window.busy.started ??= performance.now() / 1000), true);
  const block = () => {
    const cues = window.listening[0];
    if (cues) {
      const now = performance.now() / 1000;
      window.busy.rate = cues.context.sampleRate;
      window.busy.leads.push([now, cues.context.currentTime - now]);
    }
    const end = performance.now() + random(30, 250);
    while (performance.now() < end);
    setTimeout(block, random(30, 500));
  };
  block();
}

/** In the page: plays each stretch again by chained timers, from when the app's first cue was heard. */
function playByTimers(stretches) {
  const context = new AudioContext();
  const own = window.listening.pop();
  window.busy.byTimers = own.onsets;
  const beep = () => {
    const tone = new OscillatorNode(context, { type: "triangle", frequency: 660 });
    tone.connect(context.destination);
    tone.start();
    tone.stop(context.currentTime + 0.07);
  };
  let cues = 0;
  let stretch = 0;
  let firstOfStretch = 0;
  addEventListener("onset", ({ detail }) => {
    if (detail === own) return;
    cues += 1;
    if (cues - 1 !== firstOfStretch) return;
    const dues = stretches[stretch];
    stretch += 1;
    firstOfStretch += dues.length;
    let next = 0;
    const play = () => {
      beep();
      next += 1;
      if (next < dues.length) setTimeout(play, (dues[next] - dues[next - 1]) * 1000);
    };
    play();
  });
}

function report({ rate, leads, started, cues, byTimers }) {
  const planned = stretches.flat().length;
  if (cues.length !== planned) throw new Error(`${planned} cues were due and ${cues.length} were heard`);
  const split = (onsets) => {
    let from = 0;
    return stretches.map((dues) => onsets.slice(from, (from += dues.length)).map((frame) => frame / rate));
  };
  const onsets = split(cues);
  const errors = (heard) =>
    stretches.flatMap((dues, stretch) =>
      dues.map((due, index) => Math.abs(heard[stretch][index] - heard[stretch][0] - (due - dues[0])) * 1000),
    );
  const app = errors(onsets);
  const timers = errors(split(byTimers));

  // The audio clock is read in steps, so it is never read ahead of its time: the largest of several
  // readings is the nearest.
  const leadAt = (time) => Math.max(...leads.filter(([at]) => Math.abs(at - time) < 5).map(([, lead]) => lead));
  const fromScreen = stretches.flatMap((dues, stretch) =>
    dues.map((due, index) => {
      const shown = started + due;
      return (onsets[stretch][index] - leadAt(shown) - shown) * 1000;
    }),
  );

  const quantum = (QUANTUM / rate) * 1000;
  const numbers = {
    "cues.count": planned,
    "cues.max_error_ms": Math.max(...app),
    "cues.median_error_ms": median(app),
    "cues.drift_ms": fromScreen.at(-1) - fromScreen[0],
    "cues.later_than_a_quantum": app.filter((error) => quantum < error).length,
    "cues.from_screen_median_ms": median(fromScreen),
    "cues.from_screen_max_ms": fromScreen.reduce((worst, one) => (Math.abs(worst) < Math.abs(one) ? one : worst)),
    "cues.audio_clock_behind_ms": (leadAt(started) - leadAt(leads.at(-1)[0])) * 1000,
    "cues.timer_max_error_ms": Math.max(...timers),
    "cues.timer_median_error_ms": median(timers),
    // No error is counted as smaller than what one quantum lasts.
    "cues.median_ratio": median(timers) / Math.max(median(app), quantum),
  };
  tell(numbers);
}
