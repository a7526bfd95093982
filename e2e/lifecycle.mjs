// The session on a device that hides the page in the middle of a set, or puts it to sleep. A page
// under test by other means is always in front; here another page truly takes its place, and the
// browser freezes it. So time is real here: a scenario waits for what is heard or shown, and the one
// thing it gives time to is a sleep.
//
//   make page && node e2e/lifecycle.mjs [PART OF A NAME]
import assert from "node:assert/strict";
import { setTimeout as sleep } from "node:timers/promises";
import { launch, open, serve } from "./listen/app.mjs";
import { runAll, until } from "./scenarios.mjs";

// As in src/domain/session/timeline.rs and src/domain/session/runner.rs, in seconds.
const COUNT_IN = 8;
const COUNTED = 3;
const SLEPT = 2;

const PHASE = 3;
const lowerAndLift = (reps, rest) => ({
  sets: 2,
  reps,
  tempo: [
    { action: "lower", secs: PHASE },
    { action: "lift", secs: PHASE },
  ],
  rest_secs: rest,
});
/** Longer than what is left of a phase, and late enough then to be sleep. */
const LONG_SLEEP = PHASE + SLEPT + 1;

const scenarios = {
  async "sounds go on while the page is hidden, and so do the sets"(app) {
    await app.follow([lowerAndLift(2, 10)]);
    await app.tap("Start the first set");
    const set = [1, 1, 1, PHASE, PHASE, PHASE, PHASE];
    await app.hears(COUNTED + 1);
    const show = await app.hide();
    await app.hears(set.length + 1);
    assert.deepEqual(await app.gaps(), set);
    await show();
    await app.tap("3");
    await app.sees("Saved");
    const showAgain = await app.hide();
    await app.hears(2 * (set.length + 1));
    assert.deepEqual((await app.gaps()).slice(set.length + 1), set);
    await showAgain();
    await app.sees("How much did that set hurt?");
    const [first, second] = await app.log("set_ended");
    assert.deepEqual([first.reps, first.work_secs, first.ending], [2, 4 * PHASE, "complete"]);
    assert.deepEqual([second.reps, second.work_secs, second.ending], [2, 4 * PHASE, "complete"]);
    assert.deepEqual((await app.log("set_rated")).map(({ rating }) => rating), [3]);
  },

  async "a set in which the device sleeps is paused, and sleep is not counted"(app) {
    await app.follow([lowerAndLift(8, 60)]);
    await app.tap("Start the first set");
    await app.hears(COUNTED + 2);
    await app.sleep(LONG_SLEEP);
    await app.sees("The phone slept");
    const heard = await app.heard();
    // Had the schedule stood, the next phase would have sounded by now.
    await sleep((PHASE + 1) * 1000);
    assert.equal(await app.heard(), heard);
    await app.tap("Go on with set 1 of 2");
    // The rep is begun anew, after a short count: its first phase, and the next one.
    await app.hears(heard + COUNTED + 2);
    await app.tap("End set");
    await app.sees("How much did that set hurt?");
    await app.creditsOnlyAwakeTime();
  },

  async "sleep inside a long hold is not counted"(app) {
    await app.follow([{ sets: 2, reps: 1, tempo: [{ action: "hold", secs: 45 }], rest_secs: 60 }]);
    await app.tap("Start the first set");
    await app.hears(COUNTED + 1);
    await app.sleep(LONG_SLEEP);
    await app.sees("The phone slept");
    await app.tap("Something else");
    await app.tap("End set");
    await app.creditsOnlyAwakeTime();
  },

  async "sound that stood still for a moment is in time again with the next phase"(app) {
    await app.follow([lowerAndLift(3, 60)]);
    await app.tap("Start the first set");
    await app.hears(COUNTED + 1);
    await app.standStill(1.5);
    await app.hears(COUNTED + 6);
    const shown = await app.shownAtOnsets();
    assert.deepEqual(shown.slice(COUNTED, COUNTED + 5), ["Lower", "Lift", "Lower", "Lift", "Lower"]);
    const gaps = await app.gaps();
    assert.ok(gaps[COUNTED] < PHASE, `the phase in which it stood still was ${gaps[COUNTED]} s long for the sound too`);
    assert.deepEqual(gaps.slice(COUNTED + 1, COUNTED + 4), [PHASE, PHASE, PHASE]);
    await app.tap("End set");
  },

  async "a short sleep in a rest loses no rating, and afterwards the sounds still belong to what is shown"(app) {
    await app.follow([lowerAndLift(2, 12)]);
    await app.tap("Start the first set");
    await app.hears(COUNTED + 2);
    await app.tap("End set");
    await app.tap("3");
    await app.sees("Saved");
    await app.sleep(PHASE + 1);
    assert.equal(await app.rating(), "3");
    // The next set itself, not what the rest says of it.
    await app.sees("rep 1 of 2");
    const before = await app.heard();
    await app.sees("How much did that set hurt?");
    const shown = (await app.shownAtOnsets()).slice(before - 1);
    assert.deepEqual(shown.slice(0, 4), ["Lower", "Lift", "Lower", "Lift"]);
    assert.deepEqual((await app.log("set_rated")).map(({ rating }) => rating), [3]);
  },

  async "a rest that ends while the device sleeps waits for the client, in silence"(app) {
    await app.follow([lowerAndLift(3, 5)]);
    await app.tap("Start the first set");
    await app.hears(COUNTED + 2);
    await app.tap("End set");
    await app.tap("3");
    await app.sees("Saved");
    await app.sleep(5 + SLEPT + 1);
    await app.sees("The rest is over");
    assert.equal(await app.rating(), "3");
    const heard = await app.heard();
    await sleep((5 + PHASE) * 1000);
    assert.equal(await app.heard(), heard);
    await app.tap("Next set");
    await app.sees("set 2 of 2");
    await app.hears(heard + 1);
    assert.deepEqual((await app.log("set_rated")).map(({ rating }) => rating), [3]);
  },
};

/** A page of the app, with what these scenarios ask of it. */
async function device(browser, server) {
  const app = await open(browser, server);
  const { page } = app;
  const control = await page.createCDPSession();
  await page.evaluate(watch);
  let sleeps = 0;
  const log = async (kind) => (await app.facts()).flatMap(({ what }) => what[kind] ?? []);
  const heard = () => page.evaluate(() => window.listening[0]?.onsets.length ?? 0);
  /** Puts another page in front; gives the way back. */
  const hide = async () => {
    const other = await app.context.newPage();
    await other.bringToFront();
    await until(() => page.evaluate(() => document.visibilityState === "hidden"));
    return async () => {
      await page.bringToFront();
      await until(() => page.evaluate(() => document.visibilityState === "visible"));
      await other.close();
    };
  };
  return {
    ...app,
    log,
    heard,

    /** Waits until that many cues were heard in all. */
    hears: (count) => until(async () => count <= (await heard())),

    /** Whole seconds between the cues, by the audio clock. */
    gaps: () =>
      page.evaluate(() => {
        const [{ context, onsets }] = window.listening;
        return onsets.slice(1).map((frame, index) => Math.round((frame - onsets[index]) / context.sampleRate));
      }),

    /** Stops the audio clock for some seconds, as a device does that is busy elsewhere. */
    async standStill(seconds) {
      await page.evaluate(() => window.listening[0].context.suspend());
      await sleep(seconds * 1000);
      await page.evaluate(() => window.listening[0].context.resume());
    },

    /** The word on the screen in the middle of the phase that each cue began. */
    shownAtOnsets: () => page.evaluate(() => window.seen.shown),

    /** The rating that is marked as given. */
    rating: () => page.$eval("button[aria-pressed=true]", (button) => button.textContent.trim()),

    hide,

    /** Hides and freezes the page for some seconds, as a phone does in a pocket, and brings it back. */
    async sleep(seconds) {
      const show = await hide();
      await control.send("Page.setWebLifecycleState", { state: "frozen" });
      await sleep(seconds * 1000);
      await control.send("Page.setWebLifecycleState", { state: "active" });
      await show();
      const [frozen, resumed] = await page.evaluate(() => [window.seen.frozen.length, window.seen.resumed.length]);
      assert.deepEqual([frozen, resumed], [(sleeps += 1), sleeps]);
    },

    /** By the page's own clock, no more work was noted than there was time to do it awake. */
    async creditsOnlyAwakeTime() {
      const [set] = await log("set_ended");
      // A set in which nothing was worked leaves no fact.
      const noted = set?.work_secs ?? 0;
      const { started, ended, asleep } = await page.evaluate(() => {
        const { started, ended, frozen, resumed } = window.seen;
        return { started, ended, asleep: resumed.reduce((sum, at, index) => sum + at - frozen[index], 0) };
      });
      const awake = (ended - started - asleep) / 1000 - COUNT_IN;
      assert.ok(noted <= awake, `${noted} s of work were noted, but only ${awake.toFixed(1)} s were spent awake`);
    },
  };
}

/** In the page: notes when it was frozen, when a set was started and ended, and what cues went with. */
function watch() {
  window.seen = { frozen: [], resumed: [], shown: [] };
  document.addEventListener("freeze", () => window.seen.frozen.push(performance.now()));
  document.addEventListener("resume", () => window.seen.resumed.push(performance.now()));
  const tapped = ({ target }) => {
    if (target.textContent === "Start the first set") window.seen.started = performance.now();
    if (target.textContent === "End set") window.seen.ended = performance.now();
  };
  addEventListener("click", tapped, true);
  const words = ["Ready", "Lower", "Lift", "Stay"];
  addEventListener("onset", ({ detail: { onsets } }) => {
    const place = onsets.length - 1;
    setTimeout(() => {
      const labels = [...document.querySelectorAll("[aria-label]")].map((element) => element.ariaLabel);
      const lines = document.body.innerText.split("\n").map((line) => line.trim());
      window.seen.shown[place] = words.find((word) => labels.includes(word) || lines.includes(word)) ?? "";
    }, 1500);
  });
}

const server = await serve("lifecycle");
const browser = await launch();
await runAll(scenarios, async (scenario) => {
  const app = await device(browser, server);
  await scenario(app);
  assert.deepEqual(app.complaints, []);
});
await browser.close();
server.stop();
