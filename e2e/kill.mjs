// Kills the browser, or the process of the tab alone, at random instants of a scripted session, of restoring
// a copy and of erasing everything. Nothing that the page called saved may be lost, nothing may be doubled,
// a session is gone on with or begun only as the log says, and a restore or an erasing is whole or not at all.
//
//   make page && node e2e/kill.mjs [KILLS]        20 unless told; the seed of a run: SEED=…
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import puppeteer from "puppeteer-core";
import { record } from "./bench/results.mjs";
import { args, findChromium } from "./chromium.mjs";

const KILLS = Number(process.argv[2] ?? 20);
const SEED = Number(process.env.SEED ?? Date.now() % 1_000_000);
/** How much faster than real the page's clock goes. */
const SPEED = 8;
/** How many entries the restored copy has. */
const ENTRIES = 4000;
const ROUTINE = readFileSync(new URL("../tests/fixtures/small-routine.json", import.meta.url), "utf8");

// Mulberry32, in the public domain: the same seed gives the same instants.
let state = SEED;
function random() {
  state = (state + 0x6d2b79f5) | 0;
  let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
  mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
  return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
}

/** A browser whose data outlives its death. */
class Device {
  static async first(address) {
    const device = new Device();
    device.address = address;
    device.profile = mkdtempSync(join(tmpdir(), "carryover-kill-"));
    await device.launch();
    return device;
  }

  async launch() {
    for (const lock of ["Lock", "Cookie", "Socket"]) rmSync(join(this.profile, `Singleton${lock}`), { force: true });
    this.browser = await puppeteer.launch({
      executablePath: findChromium(),
      args,
      userDataDir: this.profile,
      defaultViewport: { width: 360, height: 740 },
      protocolTimeout: 60_000,
    });
  }

  /** A new page, in which a script may run before the app does. */
  async open(path, script, ...given) {
    const page = await this.browser.newPage();
    if (script) await page.evaluateOnNewDocument(script, ...given);
    await page.goto(`${this.address}${path}`);
    return page;
  }

  /** Kills without a word, and leaves a browser that runs. */
  async kill(what) {
    if (what === "browser") {
      const { pid } = this.browser.process();
      const dead = once(this.browser.process(), "exit");
      process.kill(-pid, "SIGKILL");
      await dead;
      await this.launch();
      return;
    }
    const control = await this.browser.target().createCDPSession();
    const { processInfo } = await control.send("SystemInfo.getProcessInfo");
    for (const { id, type } of processInfo) if (type === "renderer") process.kill(id, "SIGKILL");
    // A page made before the browser has noticed would wait for a process that is gone.
    await sleep(300);
    for (const target of this.browser.targets().filter((target) => target.type() === "page")) {
      await control.send("Target.closeTarget", { targetId: target._targetId }).catch(() => {});
    }
  }

  /** What the disk has, read without the app; each text with its key. */
  async stored() {
    const page = await this.open("/manifest.webmanifest");
    const stored = await page.evaluate(readStored);
    await page.close();
    return stored;
  }

  async end() {
    await this.browser.close();
    rmSync(this.profile, { recursive: true, force: true });
  }
}

async function readStored() {
  const result = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  if (!(await indexedDB.databases()).some(({ name }) => name === "carryover")) return {};
  const database = await result(indexedDB.open("carryover"));
  const store = database.transaction("events").objectStore("events");
  const [keys, texts] = await Promise.all([result(store.getAllKeys()), result(store.getAll())]);
  database.close();
  return Object.fromEntries(keys.map((key, place) => [key, texts[place]]));
}

/**
 * In the page: a client who trains without a pause, on a clock that runs fast. Each rating is told before it is
 * tapped, and once the page calls it saved.
 */
function train(speed) {
  const [steady, wall, every] = [performance.now.bind(performance), Date.now, setInterval.bind(window)];
  const began = wall();
  performance.now = () => steady() * speed;
  Date.now = () => began + (wall() - began) * speed;
  window.setInterval = (handler, ms, ...more) => every(handler, ms / speed, ...more);
  const next = [/^Go on/, /^Start$/, /^Train again$/, /^Start the first set$/, /^Next set now$/, /^Done$/];
  let tapped;
  every(() => {
    const named = (name) => [...document.querySelectorAll("button, a")].find((one) => name.test(one.textContent.trim()));
    const scale = document.querySelector(".scale-box");
    const question = scale?.ariaLabel ?? "";
    if (question.includes("at rest")) return scale.querySelectorAll(".scale-point")[1].click();
    if (question && !scale.querySelector("[aria-pressed=true]")) {
      tapped = Math.floor(Math.random() * 3);
      window.tell("tapped", tapped);
      return scale.querySelectorAll(".scale-point")[tapped].click();
    }
    if (tapped !== undefined) {
      if (!document.querySelector(".saved")) return;
      window.tell("saved", tapped);
      tapped = undefined;
    }
    next.map(named).find(Boolean)?.click();
  }, 15);
}

const facts = (stored) =>
  Object.entries(stored)
    .sort(([one], [other]) => (one < other ? -1 : 1))
    .flatMap(([id, text]) => {
      const { what } = text.startsWith("{") ? JSON.parse(text) : {};
      return what === undefined ? [] : [[id, ...(typeof what === "string" ? [what, {}] : Object.entries(what)[0])]];
    });

/** The session that is open at the end of a log in which every session was gone on with to its end, and no set stands twice. */
function openSession(log) {
  let open;
  const [ended, known] = [new Set(), new Set()];
  for (const [id, kind, fact] of log) {
    const session = fact.set?.session ?? fact.session;
    if (kind === "session_started") {
      assert.equal(open, undefined, "a session was begun while another was open");
      open = id;
    } else if (["set_ended", "set_rated", "session_ended"].includes(kind)) {
      assert.ok(session === open || kind === "set_rated", `${kind} belongs to another session`);
      const set = `${session} ${fact.set?.exercise} ${fact.set?.number}`;
      if (kind === "set_ended") {
        assert.ok(!ended.has(set), "a set stands twice");
        ended.add(set);
      } else if (kind === "set_rated") {
        assert.ok(ended.has(set), "a set was rated that was not done");
        assert.ok(!known.has(set), "a set was rated twice");
        known.add(set);
      } else {
        open = undefined;
      }
    }
  }
  return open;
}

const results = { kills: 0, browser: 0, tab: 0, acknowledged: 0, acknowledged_lost: 0, doubled: 0, resumed: 0, resumed_wrong: 0, restore: 0, erase: 0, in_part: 0 };
let turn = 0;

/** Kills now one way, now the other. */
async function strike(device) {
  const what = (turn += 1) % 2 ? "browser" : "tab";
  await device.kill(what);
  results.kills += 1;
  results[what] += 1;
}

const ratings = (log) => log.filter(([, kind]) => kind === "set_rated").map(([, , { rating }]) => rating);

/** Trains until the kill; then everything that was called saved is there, once and in order. */
async function killASession(device) {
  const before = facts(await device.stored());
  const open = openSession(before);
  const [tapped, saved] = [[], []];
  const page = await device.browser.newPage();
  await page.exposeFunction("tell", (what, rating) => void (what === "saved" ? saved : tapped).push(rating));
  await page.evaluateOnNewDocument(train, SPEED);
  await page.goto(`${device.address}/`).catch(() => {});
  await sleep(200 + random() * 5000);
  await strike(device);
  const after = facts(await device.stored());
  assert.deepEqual(after.slice(0, before.length), before, "what was there stays as it was");
  const noted = ratings(after.slice(before.length));
  results.acknowledged += saved.length;
  results.acknowledged_lost += saved.filter((rating, place) => noted[place] !== rating).length;
  // The last word before a death may not have come through.
  results.doubled += Math.max(0, noted.length - tapped.length - 1);
  openSession(after);
  const next = after.slice(before.length).find(([, kind]) => ["set_ended", "set_rated", "session_ended"].includes(kind));
  if (open && next) {
    results.resumed += 1;
    const [, , { set, session }] = next;
    if ((set?.session ?? session) !== open) results.resumed_wrong += 1;
  }
}

/** A log of the routine and many notes, as a copy has it. */
function bigCopy() {
  const digits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
  const id = (number) => `01KA${[...Array(22)].map((_, place) => digits[Math.floor(number / 32 ** (21 - place)) % 32]).join("")}`;
  const event = (number, what) => JSON.stringify({ id: id(number), at: "2026-01-05T18:00:00+01:00", what });
  const { routine } = JSON.parse(ROUTINE);
  const notes = [...Array(ENTRIES - 1)].map((_, number) => event(number + 1, { note: { text: `note ${number}` } }));
  const events = [event(0, { routine_accepted: { routine } }), ...notes];
  return `{"format":"carryover-log","version":1,"events":[\n${events.join(",\n")}\n]}\n`;
}

/** Restores a copy where there is nothing, erases everything where there is something; whole or not at all. */
async function killAMove(device, copy) {
  const isFull = Object.keys(await device.stored()).length > 1;
  const page = await device.open("/keep");
  const tap = (name) => page.locator(`::-p-aria([role="button"][name="${name}"])`).click();
  let done = false;
  const watch = (words) => page.waitForFunction(`document.body.innerText.includes(${JSON.stringify(words)})`, { polling: 5 });
  if (isFull) {
    await tap("Erase everything…");
    watch("Try the demo").then(() => (done = true)).catch(() => {});
    // Not waited for: the page may be gone before the tap is over.
    tap("Erase everything").catch(() => {});
  } else {
    const picker = await page.waitForSelector("input[type=file]");
    watch("Saved").then(() => (done = true)).catch(() => {});
    picker.uploadFile(copy).catch(() => {});
  }
  await sleep(random() * (isFull ? 400 : 600));
  await strike(device);
  results[isFull ? "erase" : "restore"] += 1;
  const count = async () => Object.keys(await device.stored()).filter((key) => key !== "erased").length;
  const atOnce = await count();
  if (done) assert.equal(atOnce, isFull ? 0 : ENTRIES, "what the page called done is done");
  const again = await device.open("/");
  const seen = await again.locator("::-p-text(Try the demo), ::-p-text(Today's routine)").waitHandle();
  const shown = (await seen.evaluate((one) => one.textContent)).includes("demo") ? 0 : ENTRIES;
  await again.close();
  // A restore that was cut short may have left the whole of it in the spare place: then all of it is there now.
  if (![0, ENTRIES].includes(atOnce) || (await count()) !== shown) results.in_part += 1;
}

async function takeRoutine(device, file) {
  const page = await device.open("/");
  const picker = await page.waitForSelector("input[type=file]");
  await picker.uploadFile(file);
  await page.locator('::-p-aria([role="button"][name="Use this routine"])').click();
  await page.locator('::-p-aria([role="link"][name="Start"])').wait();
  await page.close();
}

const server = spawn(process.execPath, [fileURLToPath(new URL("serve.mjs", import.meta.url)), "--port", "0"], {
  stdio: ["ignore", "pipe", "inherit"],
});
const [announcement] = await once(server.stdout, "data");
const address = /http:[^/]*\/\/[^/\s]+/.exec(String(announcement))[0];
const files = mkdtempSync(join(tmpdir(), "carryover-kill-files-"));
const devices = [];
try {
  const { routine, ...head } = JSON.parse(ROUTINE);
  Object.assign(routine.exercises[0].dose, { reps: 1, rest_secs: 10 });
  for (const phase of routine.exercises[0].dose.tempo) phase.secs = 1;
  writeFileSync(join(files, "routine.json"), JSON.stringify({ ...head, routine }));
  writeFileSync(join(files, "copy.txt"), bigCopy());
  console.log(`${KILLS} kills, SEED=${SEED}`);
  devices.push(await Device.first(address), await Device.first(address));
  const [training, moving] = devices;
  await takeRoutine(training, join(files, "routine.json"));
  for (let kill = 0; kill < KILLS; kill += 1) {
    if (kill % 3 === 2) await killAMove(moving, join(files, "copy.txt"));
    else await killASession(training);
  }
  assert.equal(results.acknowledged_lost + results.doubled + results.resumed_wrong + results.in_part, 0);
  assert.ok(results.acknowledged > 0 && results.resumed > 0, "the session was never under way");
} catch (error) {
  console.error(error);
  process.exitCode = 1;
} finally {
  const named = Object.entries(results).map(([name, number]) => [`kill.${name}`, number]);
  console.log(results);
  record(Object.fromEntries(named), "soak");
  for (const device of devices) await device.end().catch(() => {});
  server.kill();
  rmSync(files, { recursive: true, force: true });
}
