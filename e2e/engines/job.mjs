// The main job in three engines: the demo taken on, a set worked to its rating, the session ended, the next
// morning's answer and light, the log kept and handed back, and read by the practitioner. Nothing may go wrong
// in a page meanwhile.
//
//   make engines
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { serve } from "../listen/app.mjs";
import { readLog } from "../listen/page.mjs";
import { runAll, until } from "../scenarios.mjs";
import { openChromium, openFirefox, openWebKit } from "./webdriver.mjs";

process.env.TZ = "Europe/Berlin";
const EVENING = "2026-11-25T18:00:00+01:00";
const MORNING = "2026-11-26T07:00:00+01:00";

/**
 * In the page, before the app: a clock that begins at the moment that the address asks for, a note of all that goes
 * wrong, and of each text that is given out as a file.
 */
function first() {
  const asked = new URLSearchParams(location.search).get("moment");
  const from = asked ? Date.parse(asked) : Number(sessionStorage.getItem("moment")) || Date.now();
  const now = () => from + performance.now();
  addEventListener("pagehide", () => sessionStorage.setItem("moment", now()));
  window.Date = class extends Date {
    constructor(...given) {
      if (given.length === 0) super(now());
      else super(...given);
    }
    static now() {
      return now();
    }
  };
  window.complaints = JSON.parse(sessionStorage.getItem("complaints") ?? "[]");
  const complain = (what) => {
    window.complaints.push(what);
    sessionStorage.setItem("complaints", JSON.stringify(window.complaints));
  };
  addEventListener("error", ({ message, target }) => complain(message ?? `not loaded: ${target.src ?? target.href}`), true);
  addEventListener("unhandledrejection", ({ reason }) => complain(`not handled: ${reason}`));
  addEventListener("securitypolicyviolation", ({ violatedDirective, blockedURI }) => complain(`${violatedDirective}: ${blockedURI}`));
  const { error } = console;
  console.error = (...words) => {
    complain(words.join(" "));
    error.apply(console, words);
  };

  const { createObjectURL } = URL;
  URL.createObjectURL = (blob) => {
    window.given = blob.text();
    return createObjectURL.call(URL, blob);
  };
}

const DEMO = fileURLToPath(new URL("../../public/routines/demo.json", import.meta.url));

async function mainJob(browser, { address, folder }, engine) {
  await browser.go(`${address}?moment=${encodeURIComponent(EVENING)}`);
  await browser.open(DEMO);
  await browser.tap("Use this routine");
  await browser.tap("Start");
  await browser.tap("2");
  await browser.tap("Start the first set");
  await browser.sees("How much did that set hurt?");
  await browser.tap("1");
  await browser.sees("Saved");
  await browser.tap("End session");
  await browser.sees("Session done");
  await browser.tap("Done");
  await browser.sees("Good evening");

  await browser.go(`${address}?moment=${encodeURIComponent(MORNING)}`);
  await browser.tap("Answer the morning check");
  await browser.tap("2");
  await browser.tap("No more than the day before");
  await browser.sees("Your lights");
  await browser.sees("Keep");
  await browser.sees("Saved");
  const kinds = (facts) => facts.map(({ what }) => (typeof what === "string" ? what : Object.keys(what)[0]));
  const before = await browser.run(readLog);
  assert.deepEqual(new Set(kinds(before)), new Set([
    "routine_accepted", "rule_explained", "session_started", "set_ended", "set_rated", "exercise_left_out", "session_ended",
    "verdict_given", "morning_answered",
  ]));
  const only = (kind) => before.flatMap(({ what }) => what[kind] ?? []);
  assert.deepEqual(only("set_rated").map(({ rating }) => rating), [1]);
  assert.deepEqual(only("set_ended").map(({ ending, work_secs }) => [ending, work_secs]), [["complete", 30]]);
  assert.deepEqual(only("morning_answered").map(({ after }) => after), ["2026-11-25"]);

  await browser.reload();
  await browser.sees("Still heel raise");
  assert.deepEqual(await browser.run(readLog), before);

  await browser.go(address);
  await browser.tap("Hand back");
  await browser.tap("Save the log as a file");
  const text = await until(() => browser.run(() => window.given));
  const { events } = JSON.parse(text);
  assert.deepEqual(kinds(events), [...kinds(before), "handed_back"]);
  const file = join(folder, `${engine}.txt`);
  writeFileSync(file, text);

  await browser.go(`${address}practice/`);
  await browser.open(file);
  await browser.tap("Keep it as a new client");
  await browser.sees("Close the visit");
  await browser.sees("Saved");
  await browser.reload();
  await browser.sees("Close the visit");
  assert.deepEqual(await browser.run(() => window.complaints), []);
}

const server = await serve("engines", first, ["index.html", "practice/index.html"]);
const engines = { Chromium: openChromium, Firefox: openFirefox, WebKit: openWebKit };
const scenario = ([engine, open]) => [
  `the main job in ${engine}`,
  async () => {
    const browser = await open();
    try {
      await mainJob(browser, server, engine);
    } catch (error) {
      const page = await browser.run(() => `${location.href}\n${document.body.innerText}\n${window.complaints?.join("\n")}`).catch(() => "");
      throw new Error(`${error.stack}\n\nthe page:\n${page}`);
    } finally {
      await browser.close();
    }
  },
];
// One after the other: three engines at once are more than a small machine can do in good time.
let turn = Promise.resolve();
await runAll(Object.fromEntries(Object.entries(engines).map(scenario)), (run) => (turn = turn.then(run, run)));
server.stop();
