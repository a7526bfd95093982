// What a moving figure costs each frame, on a device that is slow:
//
//   make page && node e2e/bench/figure.mjs
//
// Two sets run in real time, one after the other, each in a page whose processor is slowed down four times:
// one of an exercise whose figure moves, one of the same exercise under another name, which has none. What is
// measured is how long everything takes that the page does in a frame before it is painted.
import { drawn, launch, open, serve } from "../listen/app.mjs";
import { median, tell } from "./results.mjs";

const SLOWER = 4;
/** From the first tap until the figure moves with the set, in seconds, and how long it is watched. */
const COUNT_IN = 9;
const WATCHED = 20;

const server = await serve("figure", watch);
const browser = await launch();
try {
  const dose = { reps: 10, tempo: [{ action: "lift", secs: 3 }, { action: "lower", secs: 3 }] };
  const exercise = drawn("chair-heel-lift", dose);
  const withFigure = await frames(exercise, 1);
  const without = await frames({ ...exercise, id: "of-our-own" }, 0);
  tell({
    "figure.frames": withFigure.length,
    "figure.ms_median_4x": median(withFigure),
    "figure.ms_p95_4x": late(withFigure),
    "figure.ms_p95_4x_without": late(without),
  });
} finally {
  await browser.close();
  server.stop();
}

/** What 95 of a hundred stay below. */
function late(times) {
  return [...times].sort((one, other) => one - other)[Math.floor(0.95 * times.length)];
}

/** What each frame of a set took, in milliseconds. */
async function frames(exercise, figures) {
  const app = await open(browser, server);
  await app.follow([exercise]);
  const devices = await app.page.createCDPSession();
  await devices.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  await app.tap("Start the first set");
  await new Promise((resolve) => setTimeout(resolve, COUNT_IN * 1000));
  const canvases = await app.page.$$eval(".runner-middle canvas", (all) => all.length);
  if (canvases !== figures) throw new Error(`${canvases} figures move, not ${figures}`);
  await app.page.evaluate(() => void (window.frames_ms.length = 0));
  await new Promise((resolve) => setTimeout(resolve, WATCHED * 1000));
  const times = await app.page.evaluate(() => window.frames_ms);
  if (app.complaints.length > 0) throw new Error(app.complaints.join("\n"));
  await app.context.close();
  return times;
}

/** In the page, before the app: notes how long all that was asked for in a frame takes. */
function watch() {
  window.frames_ms = [];
  const ask = window.requestAnimationFrame.bind(window);
  let frame = -1;
  window.requestAnimationFrame = (task) =>
    ask((time) => {
      const begun = performance.now();
      task(time);
      const took = performance.now() - begun;
      if (time === frame) window.frames_ms[window.frames_ms.length - 1] += took;
      else window.frames_ms.push(took);
      frame = time;
    });
}
