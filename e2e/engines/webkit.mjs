// The app in WebKit, which gives no sound before a tap. Chromium without a window lets a page sound at
// once, so only here can it be seen that the tap that starts a set, or goes on with it, brings sound.
//
//   make engines
import assert from "node:assert/strict";
import { serve } from "../listen/app.mjs";
import { readLog } from "../listen/page.mjs";
import { runAll, until } from "../scenarios.mjs";
import { openWebKit } from "./webdriver.mjs";

const FIRST_CUES = 4;

const scenarios = {
  async "a set that is gone on with after the page was opened anew is heard from its first tap on"(browser, address) {
    await browser.go(address);
    await browser.tap("Try the demo");
    await browser.tap("Use this routine");
    await browser.tap("Start");
    await browser.tap("2");
    await browser.tap("Start the first set");
    await until(() => browser.run(hears, FIRST_CUES));

    await browser.go(`${address}session`);
    assert.equal(await browser.run(stateWithoutTap), "suspended");
    await browser.tapFirst("Go on with");
    await until(() => browser.run(hears, FIRST_CUES));

    await browser.tap("Stop, it hurts");
    await browser.tap("3");
    await browser.sees("Saved");
    const facts = await browser.run(readLog);
    assert.deepEqual(facts.flatMap(({ what }) => what.set_rated?.rating ?? []), [3]);
  },
};

/** In the page: the state of a context that no tap asked for. */
function stateWithoutTap() {
  const { state } = new AudioContext();
  window.listening.pop();
  return state;
}

/** In the page: whether the app's sound is on and that many cues were heard. */
function hears(count) {
  const [app] = window.listening;
  return app?.context.state === "running" && count <= app.onsets.length;
}

const server = await serve("webkit");
await runAll(scenarios, async (scenario) => {
  const browser = await openWebKit();
  try {
    await scenario(browser, server.address);
  } finally {
    await browser.close();
  }
});
server.stop();
