// How long it takes until the app can be seen and used, as a multiple of what the smallest page that the
// framework makes takes in the same run; whether that grows with the log; how late a tap on a rating is
// answered after five years, and when it is saved; what the second place of the log costs of either, beside an
// engine that has no files and so one place; and how much memory a session of half an hour leaves behind:
//
//   make page minimal-page && node e2e/bench/start.mjs
//
// The processor is slowed down four times. Cold is a first visit over a slow network (150 ms, 1.6 Mbit/s down,
// 750 kbit/s up, as Lighthouse has its phones); warm is a later visit with the network gone, from the service
// worker, which the smallest page is lent for this. Both pages come from the same host, compressed alike. A page
// is interactive once its first link or button, pressed again and again, has done what it is there for.
//
// Five years are those of examples/review_speed.rs: four exercises with three sets each on every day, about
// 60,000 entries. An empty log holds a routine and nothing else. The device's date follows the last entry.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { cpSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import puppeteer from "puppeteer-core";
import { args, findChromium } from "../chromium.mjs";
import { host } from "./host.mjs";
import { median, tell } from "./results.mjs";

const SLOWER = 4;
const NETWORK = { offline: false, latency: 150, downloadThroughput: 1.6e6 / 8, uploadThroughput: 0.75e6 / 8 };
const REPEATS = 7;
const TAPS = 5;
const PATIENCE_MS = 120_000;
/** How much faster than real the clock goes in the session of half an hour. */
const SPEED = 20;
const SESSION_MINUTES = 30;

/** As in src/domain/session/timeline.rs. */
const COUNT_IN_MS = 8000;

const root = fileURLToPath(new URL("../../", import.meta.url));
const lent = `${root}target/bench/minimal-offline`;
lendServiceWorker();
const log = readLog();
const browser = await puppeteer.launch({
  executablePath: findChromium(),
  args,
  defaultViewport: { width: 360, height: 740 },
  protocolTimeout: 600_000,
});
const numbers = {};
try {
  await firstVisits();
  const devices = {
    empty: await deviceWith(log.slice(0, 1)),
    years: await deviceWith(log),
    one_place: { ...(await deviceWith(log)), script: [withoutFiles] },
  };
  await laterVisits(devices);
  await taps(devices);
  await session(devices.years);
} finally {
  await browser.close();
}
console.log(`\nStart, ${SLOWER} times slower`);
tell(numbers);

/** The smallest page with the app's own service worker beside it. */
function lendServiceWorker() {
  rmSync(lent, { recursive: true, force: true });
  mkdirSync(lent, { recursive: true });
  cpSync(`${root}target/bench/minimal`, lent, { recursive: true });
  const digest = (file) => createHash("sha256").update(readFileSync(`${lent}/${file}`)).digest("base64");
  const client = Object.fromEntries(readdirSync(lent).map((file) => [file, digest(file)]));
  const worker = readFileSync(`${root}public/service-worker.js`, "utf8");
  const parts = JSON.stringify({ client, practice: {}, camera: {}, sealer: {} });
  writeFileSync(`${lent}/service-worker.js`, worker.replace("__PARTS__", parts).replace("__CONTENT__", "minimal"));
}

/** The log of five years, an entry each with its key. */
function readLog() {
  const command = ["run", "--quiet", "--locked", "--release", "--example", "review_speed", "--", "log", "5"];
  const text = execFileSync("cargo", command, { cwd: root, encoding: "utf8", maxBuffer: 2 ** 28 });
  const lines = text.split("\n").filter((line) => line.startsWith('{"id"'));
  return lines.map((line) => line.replace(/,$/, "").replace(/\]\}$/, "")).map((entry) => [JSON.parse(entry).id, entry]);
}

/**
 * In the page, before it runs: presses what is first to be pressed until that has done something, and notes when. To
 * leave the page is to do something, and is kept from happening.
 */
function pressFirst(what) {
  navigation.addEventListener("navigate", (event) => {
    if (event.destination.sameDocument) return;
    event.preventDefault();
    window.interactive ??= performance.now();
  });
  const press = () => {
    const target = [...document.querySelectorAll("a, button")].find((one) => new RegExp(what).test(one.textContent.trim()));
    const before = document.body?.innerText;
    target?.click();
    requestAnimationFrame(() => {
      if (target && document.body.innerText !== before) window.interactive ??= performance.now();
      else if (window.interactive === undefined) press();
    });
  };
  press();
}

/** In the page, before it runs: the device's date goes on from `now`. */
function setDate(now) {
  const [real, ahead] = [Date, now - Date.now()];
  globalThis.Date = class extends real {
    constructor(...given) {
      super(...(given.length > 0 ? given : [real.now() + ahead]));
    }
    static now() {
      return real.now() + ahead;
    }
  };
}

/** In the page, before it runs: an engine that cannot write files of its own. */
function withoutFiles() {
  delete globalThis.FileSystemFileHandle;
}

async function opened(context, address, what, { network, now, script } = {}) {
  const page = await context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  const devices = await page.createCDPSession();
  await devices.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  if (network) await devices.send("Network.enable");
  if (network) await devices.send("Network.emulateNetworkConditions", network);
  if (now) await page.evaluateOnNewDocument(setDate, now);
  if (script) await page.evaluateOnNewDocument(...script);
  await page.evaluateOnNewDocument(pressFirst, what);
  await page.goto(address);
  await page.waitForFunction(() => window.interactive && performance.getEntriesByName("first-contentful-paint").length > 0, {
    polling: 100,
  });
  const times = await page.evaluate(() => {
    const [{ startTime: paint }] = performance.getEntriesByName("first-contentful-paint");
    // What cannot be seen yet cannot be used.
    return { paint, interactive: Math.max(paint, window.interactive) };
  });
  await page.close();
  return times;
}

/** Several kinds of opening by turns, so that a busy machine slows all of them alike; the middle times of each. */
async function byTurns(kinds, repeats = REPEATS) {
  const times = Object.fromEntries(Object.keys(kinds).map((name) => [name, []]));
  for (let repeat = 0; repeat < repeats; repeat += 1) {
    for (const [name, open] of Object.entries(kinds)) times[name].push(await open());
  }
  const middle = (some, which) => median(some.map((one) => one[which]));
  return Object.fromEntries(
    Object.entries(times).map(([name, some]) => [name, { paint: middle(some, "paint"), interactive: middle(some, "interactive") }]),
  );
}

function compare(name, { app, minimal }) {
  numbers[`start.first_paint_ratio${name}`] = app.paint / minimal.paint;
  numbers[`start.interactive_ratio${name}`] = app.interactive / minimal.interactive;
  for (const [page, { paint, interactive }] of Object.entries({ app, minimal })) {
    numbers[`start.${page}_first_paint_ms${name}`] = paint;
    numbers[`start.${page}_interactive_ms${name}`] = interactive;
  }
}

async function firstVisits() {
  const [app, minimal] = [await host(`${root}dist`), await host(lent)];
  const first = (address, what) => async () => {
    const context = await browser.createBrowserContext();
    const times = await opened(context, address, what, { network: NETWORK });
    await context.close();
    return times;
  };
  // Once without counting, so that every file is compressed by then.
  for (const { address } of [app, minimal]) await (await browser.newPage()).goto(address);
  compare("", await byTurns({ app: first(app.address, "^Try the demo"), minimal: first(minimal.address, "^0$") }));
  app.stop();
  minimal.stop();

  const [kept, lentPage] = [await offline(`${root}dist`, "^Try the demo"), await offline(lent, "^0$")];
  compare("_offline", await byTurns({ app: kept, minimal: lentPage }));
}

/** A page whose host is gone, opened again from its service worker. */
async function offline(folder, what) {
  const { address, stop } = await host(folder);
  const context = await browser.createBrowserContext();
  const page = await context.newPage();
  await page.goto(address);
  await page.evaluate(async () => {
    await navigator.serviceWorker.register("/service-worker.js");
    await navigator.serviceWorker.ready;
  });
  await page.close();
  stop();
  return () => opened(context, address, what);
}

/** A device that keeps a log and the app, without a network from now on. */
async function deviceWith(entries) {
  const { address, stop } = await host(`${root}dist`);
  const context = await browser.createBrowserContext();
  const page = await context.newPage();
  await page.goto(address);
  await page.evaluate(() => navigator.serviceWorker.ready);
  // The app makes its storage when the first routine is taken on. What that left is cleared away.
  await (await page.waitForSelector("input[type=file]")).uploadFile(`${root}tests/fixtures/small-routine.json`);
  await tap(page, "Use this routine");
  await page.waitForSelector("::-p-text(Start)");
  await page.goto(`${address}manifest.webmanifest`);
  await page.evaluate(clear);
  for (let from = 0; from < entries.length; from += 5000) await page.evaluate(put, entries.slice(from, from + 5000));
  await page.close();
  stop();
  const now = Date.parse(JSON.parse(entries.at(-1)[1]).at) + 12 * 3600_000;
  return { context, address, now };
}

/** In the page: takes away all that the app has stored, but for the storage itself. */
async function clear() {
  localStorage.clear();
  const folder = await navigator.storage.getDirectory();
  for await (const name of folder.keys()) await folder.removeEntry(name);
  const database = await new Promise((resolve) => (indexedDB.open("carryover").onsuccess = ({ target }) => resolve(target.result)));
  const names = [...database.objectStoreNames];
  const transaction = database.transaction(names, "readwrite");
  for (const name of names) transaction.objectStore(name).clear();
  await new Promise((resolve) => void (transaction.oncomplete = resolve));
  database.close();
}

/** In the page: puts entries into the app's storage. */
async function put(entries) {
  const result = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  const database = await result(indexedDB.open("carryover"));
  const transaction = database.transaction("events", "readwrite");
  for (const [key, text] of entries) transaction.objectStore("events").put(text, key);
  await new Promise((resolve) => void (transaction.oncomplete = resolve));
  database.close();
}

async function laterVisits({ empty, years, one_place }) {
  const open = ({ context, address, now, script }) => opened(context, address, "^Start$", { now, script });
  // The first start reads all of the log, and keeps what it brings forward.
  numbers["start.first_with_5y_interactive_ms"] = (await open(years)).interactive;
  for (const device of [years, one_place]) {
    const page = await enter(device);
    await sleep(4000);
    await page.close();
  }
  const times = await byTurns({ empty: () => open(empty), years: () => open(years), one_place: () => open(one_place) }, 2 * REPEATS + 1);
  numbers["start.empty_interactive_ms"] = times.empty.interactive;
  numbers["start.5y_interactive_ms"] = times.years.interactive;
  numbers["start.ratio_5y_to_empty"] = times.years.interactive / times.empty.interactive;
  numbers["start.one_place_interactive_ms"] = times.one_place.interactive;
  numbers["start.ratio_two_places_to_one"] = times.years.interactive / times.one_place.interactive;
}

async function enter({ context, address, now, script }, ...scripts) {
  const page = await context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  await page.evaluateOnNewDocument(setDate, now);
  if (script) await page.evaluateOnNewDocument(...script);
  for (const [script, ...given] of scripts) await page.evaluateOnNewDocument(script, ...given);
  await page.goto(address);
  await page.waitForSelector("a.button");
  return page;
}

function tap(page, name) {
  return page.locator(`::-p-aria([name="${name}"])`).click();
}

/** How long a tap on a rating takes until the answer is painted, and until it is saved: in a new log, and after five years. */
async function taps(devices) {
  const watch = () => {
    window.taps = [];
    let tapped = 0;
    addEventListener("click", ({ timeStamp }) => {
      tapped = timeStamp;
      window.saved = undefined;
    }, true);
    new MutationObserver(() => {
      window.saved ??= document.querySelector(".saved") ? performance.now() - tapped : undefined;
    }).observe(document, { subtree: true, childList: true, attributes: true });
    new PerformanceObserver((list) => {
      for (const { name, target, duration } of list.getEntries()) {
        if (name === "click" && target?.closest(".scale-point")) window.taps.push(duration);
      }
    }).observe({ type: "event", durationThreshold: 16, buffered: true });
  };
  const delay = async (device) => {
    const page = await enter(device, [watch]);
    const devices = await page.createCDPSession();
    await devices.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
    await tap(page, "Start");
    await page.locator(".scale-point").click();
    await tap(page, "Start the first set");
    // The count-in comes first, and a set that ends before its first seconds was none.
    await page.waitForSelector("::-p-text(set 1 of)");
    await sleep(COUNT_IN_MS + 5000);
    await tap(page, "End set");
    await page.waitForSelector("::-p-text(How much did that set hurt?)");
    await page.evaluate(() => void (window.taps = []));
    await page.locator(".scale-point").click();
    await page.waitForSelector(".saved");
    await sleep(500);
    // An event that is answered within 16 ms is not reported at all.
    const [answered = 16] = await page.evaluate(() => window.taps);
    const saved = await page.evaluate(() => window.saved);
    await page.close();
    // By then the session is not gone on with any more.
    device.now += 2 * 24 * 3600_000;
    return { answered, saved };
  };
  const delays = Object.fromEntries(Object.keys(devices).map((name) => [name, []]));
  for (let repeat = 0; repeat < TAPS; repeat += 1) {
    for (const [name, device] of Object.entries(devices)) delays[name].push(await delay(device));
  }
  const middle = (name, which) => median(delays[name].map((one) => one[which]));
  numbers["input.rating_tap_empty_ms"] = middle("empty", "answered");
  numbers["input.rating_tap_5y_ms"] = middle("years", "answered");
  numbers["input.rating_tap_one_place_ms"] = middle("one_place", "answered");
  numbers["input.rating_tap_ratio_two_places_to_one"] = middle("years", "answered") / middle("one_place", "answered");
  numbers["input.rating_saved_5y_ms"] = middle("years", "saved");
  numbers["input.rating_saved_one_place_ms"] = middle("one_place", "saved");
  numbers["input.saved_ratio_two_places_to_one"] = middle("years", "saved") / middle("one_place", "saved");
}

/** What the page holds before and after a session of half an hour, on a clock that runs fast. */
async function session(device) {
  const page = await enter(device, [hastenAndTrain, SPEED]);
  const devices = await page.createCDPSession();
  const held = async () => {
    await devices.send("HeapProfiler.collectGarbage");
    const { usedSize } = await devices.send("Runtime.getHeapUsage");
    const wasm = await page.evaluate(() => window.wasm.buffer.byteLength);
    return { all: (usedSize + wasm) / 2 ** 20, wasm: wasm / 2 ** 20 };
  };
  const before = await held();
  await page.evaluate(() => void (window.trains = true));
  await sleep((SESSION_MINUTES * 60_000) / SPEED);
  await page.evaluate(() => void (window.trains = false));
  const after = await held();
  numbers["memory.before_session_mb"] = before.all;
  numbers["memory.after_30_min_mb"] = after.all;
  numbers["memory.after_30_min_wasm_mb"] = after.wasm;
  numbers["memory.after_30_min_ratio"] = after.all / before.all;
  numbers["memory.sets_in_session"] = await page.evaluate(() => window.rated);
  await page.close();
}

/** In the page: a clock that runs fast, a hold on the app's memory, and, once told, a client who trains without a pause. */
function hastenAndTrain(speed) {
  const [steady, every, dated] = [performance.now.bind(performance), setInterval.bind(window), Date.now];
  const began = dated();
  performance.now = () => steady() * speed;
  Date.now = () => began + (dated() - began) * speed;
  window.setInterval = (handler, ms, ...more) => every(handler, ms / speed, ...more);
  const streaming = WebAssembly.instantiateStreaming;
  WebAssembly.instantiateStreaming = async (...given) => {
    const made = await streaming.apply(WebAssembly, given);
    window.wasm = made.instance.exports.memory;
    return made;
  };
  window.rated = 0;
  const next = [/^Go on/, /^No more than the day before$/, /^Start$/, /^Train again$/, /^Start the first set$/, /^Done$/];
  every(() => {
    if (!window.trains) return;
    const scale = document.querySelector(".scale-box");
    if (scale && !scale.querySelector("[aria-pressed=true]")) {
      if (scale.closest(".rating")) window.rated += 1;
      return scale.querySelectorAll(".scale-point")[1].click();
    }
    const named = (name) => [...document.querySelectorAll("button, a")].find((one) => name.test(one.textContent.trim()));
    next.map(named).find(Boolean)?.click();
  }, 50);
}
