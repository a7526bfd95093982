// A new build is put in the place of the old one while devices use the app: before every single request in
// turn, on every kind of host, at a first visit and at later ones, with two windows, and back again. After it
// the app must open, at once or after "Try again", also without a network, and never from two builds at a time.
//
//   node e2e/hosts/deploys.mjs [some]        some requests of each case, not all; into target/hosts/deploys.json
//   node e2e/hosts/deploys.mjs real          the web servers themselves (`make hosts` sets them up)
//
// Puppeteer drives it: Playwright stops each worker that a page comes by, to look at it, and lets go of it without
// letting it run. On a busy machine a few visits in a hundred so waited for their worker for good.
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { fileURLToPath } from "node:url";
import puppeteer from "puppeteer-core";
import { args, findChromium } from "../chromium.mjs";
import { another, copy } from "./builds.mjs";
import { Host } from "./host.mjs";
import { KINDS } from "./kinds.mjs";
import { startServers } from "./servers.mjs";

const isSome = process.argv.includes("some");
const isReal = process.argv.includes("real");
/** A request before which the new build comes is passed over, unless it is a multiple of this. */
const EVERY = Number(process.env.EVERY ?? 1);
const RESULTS = fileURLToPath(new URL(`../../target/hosts/${isReal ? "servers" : "deploys"}.json`, import.meta.url));
/** How often a person tries again before they give up. */
const PATIENCE = 2;
/** A window behind another one draws nothing, so what is waited for is not looked at with each drawing. */
const UNSEEN = { polling: 50 };

const first = copy("A");
const second = another("B", first);
const browser = await puppeteer.launch({
  executablePath: findChromium(),
  args,
  defaultViewport: { width: 360, height: 740 },
  protocolTimeout: 120_000,
});

/** In the page, before the app: says when the worker that the page registers has come to rest. */
function watchWorker() {
  const { register } = ServiceWorkerContainer.prototype;
  ServiceWorkerContainer.prototype.register = function (...given) {
    const registering = register.apply(this, given);
    window.registering = registering.catch(() => {});
    return registering;
  };
}

/** In the page: asks the host for a newer worker, and waits until nothing is on its way. */
async function settle() {
  await window.registering;
  const registration = await navigator.serviceWorker.getRegistration();
  if (!registration) return "none";
  await registration.update().catch(() => {});
  const atRest = (worker) =>
    new Promise((done) => {
      const look = () => ["installed", "activated", "redundant"].includes(worker.state) && done();
      worker.addEventListener("statechange", look);
      look();
    });
  if (registration.installing) await atRest(registration.installing);
  if (registration.waiting) return "waiting";
  if (!registration.active) return "none";
  if (registration.active.state === "activating") await atRest(registration.active);
  return "active";
}

/** In the page: what it is made from, and what every cache of the app holds. */
async function look() {
  const elements = [...document.querySelectorAll("script[src], link[href]")].map((one) => one.src ?? one.href);
  const asked = performance.getEntriesByType("resource").map(({ name }) => name);
  const caches_ = [];
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    const files = {};
    for (const request of await cache.keys()) {
      const bytes = await (await cache.match(request)).arrayBuffer();
      const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
      files[new URL(request.url).pathname.slice(1)] = btoa(String.fromCharCode(...digest));
    }
    caches_.push(files);
  }
  return { names: [...elements, ...asked].map((name) => new URL(name).pathname.slice(1)), caches: caches_ };
}

const button = (page, name) => page.locator(`::-p-aria([name="${name}"][role="button"])`);

/** Presses what the page is loaded anew for; nothing can be pressed in a window that is behind another one. */
async function leave(page, name) {
  await page.bringToFront();
  await Promise.all([page.waitForNavigation({ waitUntil: "domcontentloaded" }), button(page, name).click()]);
}

/** A device on which the app is used, and what came of it. */
class Device {
  static async new(host) {
    const device = new Device();
    device.host = host;
    device.context = await browser.createBrowserContext();
    device.told = 0;
    device.faults = [];
    return device;
  }

  /** Opens an address in a window, and goes on until the app stands. */
  async visit(path = "/", window = undefined) {
    const page = window ?? (await this.newWindow());
    await page.goto(this.host.address + path).catch((error) => this.faults.push(`no page: ${error.message.split("\n")[0]}`));
    await this.expectAlive(page, path);
    return page;
  }

  async newWindow() {
    const page = await this.context.newPage();
    await page.evaluateOnNewDocument(watchWorker);
    return page;
  }

  async expectAlive(page, where) {
    for (let tries = 0; ; tries += 1) {
      const shown = await page
        .waitForFunction(() => {
          if (/did not load/.test(document.querySelector("h1")?.textContent)) return "told";
          return document.getElementById("shell") === null && document.querySelector("h1[id]") ? "alive" : false;
        }, UNSEEN)
        .then((handle) => handle.jsonValue())
        .catch(() => "nothing");
      if (shown === "alive") break;
      if (shown === "nothing" || tries === PATIENCE) {
        this.faults.push(`dead at ${where}: ${(await page.evaluate(() => document.body.innerText).catch(() => "")).slice(0, 80)}`);
        return;
      }
      this.told += 1;
      await leave(page, "Try again");
    }
    await this.expectOneBuild(page, where);
  }

  async expectOneBuild(page, where) {
    const { names, caches } = await page.evaluate(look);
    const from = [first, second].filter((build) => build.named.some((path) => names.includes(path)));
    if (from.length > 1) this.faults.push(`mixed at ${where}: ${names.filter((name) => second.named.includes(name)).join(" ")}`);
    for (const files of caches) {
      const isOf = (build) => Object.entries(files).every(([path, digest]) => build.digests.get(path) === digest);
      if (![first, second].some(isOf)) this.faults.push(`a cache of mixed content at ${where}`);
    }
  }

  /** Waits until no worker is on its way; what became of it. */
  async settle(page) {
    await page.waitForFunction(() => window.registering, UNSEEN);
    return await page.evaluate(settle);
  }

  /** Takes a routine on, as a client has one. */
  async takeOnDemo(page) {
    await button(page, "Try the demo").click();
    await button(page, "Use this routine").click();
    await page.waitForFunction(() => /^Good /.test(document.querySelector("h1")?.textContent), UNSEEN);
  }

  /** Uses a newer build that is offered. */
  async takeOver(page) {
    await leave(page, "Use the newer version");
    await this.expectAlive(page, "the newer version");
  }

  async end() {
    await this.context.close();
    return { told: this.told, faults: this.faults };
  }
}

const CASES = {
  /** A device that never had the app: the build changes while it comes for the first time. */
  "first visit": async (device, host, at) => {
    host.serve(first);
    host.deploy(second, at);
    const page = await device.visit();
    await device.settle(page);
    await device.visit("/", page);
    await device.visit("/help", page);
    const state = await device.settle(page);
    host.isOutOfReach = state !== "none";
    await device.visit("/", page);
    await device.visit("/help", page);
  },
  /** The app is there, with a routine: the build changes while the next visit looks for a newer one. */
  "later visit": (device, host, at) => later(device, host, at, first, second),
  /** The same, and what comes is the build before. */
  downgrade: (device, host, at) => later(device, host, at, second, first),
  /** The client's window and the practitioner's, and the newer build is taken in the one. */
  "two windows": async (device, host, at) => {
    host.serve(first);
    const page = await device.visit();
    await device.settle(page);
    await device.takeOnDemo(page);
    const other = await device.visit("/practice/");
    await device.settle(other);
    host.deploy(second, at);
    await device.visit("/", page);
    if ((await device.settle(page)) === "waiting") await device.takeOver(page);
    await device.expectOneBuild(other, "the other window");
    await device.visit("/practice/", other);
    await device.settle(other);
    host.isOutOfReach = true;
    await device.visit("/", page);
  },
};

async function later(device, host, at, before, after) {
  host.serve(before);
  const page = await device.visit();
  await device.settle(page);
  await device.takeOnDemo(page);
  host.deploy(after, at);
  await device.visit("/", page);
  if ((await device.settle(page)) === "waiting") await device.takeOver(page);
  await device.visit("/keep", page);
  host.isOutOfReach = true;
  await device.visit("/", page);
  await device.visit("/routine", page);
}

/** Before which requests the new build comes, where not before all of them in turn; another few on every kind of host. */
const SOME = {
  "first visit": (kind) => [1 + kind, 9 + 7 * kind],
  "later visit": (kind) => [1 + 3 * kind],
  downgrade: (kind) => (kind % 2 === 0 ? [2 + kind] : []),
  "two windows": (kind) => (kind % 2 === 1 ? [2 + kind] : []),
};

/** Runs a case for one request after the other, until there are no more of them. */
async function* sweep(host, run, ats) {
  for (let turn = 0; ; turn += 1) {
    const at = ats ? ats[turn] : turn * EVERY;
    if (at === undefined) return;
    const device = await Device.new(host);
    await run(device, host, at).catch((error) => device.faults.push(error.message.split("\n")[0]));
    const isOver = !host.isDeployed;
    yield { at, ...(await device.end()) };
    if (isOver && !ats) return;
  }
}

const { kinds, stop } = isReal ? await startServers() : { kinds: KINDS, stop: () => {} };
const results = [];
try {
  for (const [number, [kind, answer]] of Object.entries(kinds).entries()) {
    const host = await Host.start(answer, first);
    for (const [name, run] of Object.entries(CASES)) {
      for await (const outcome of sweep(host, run, isSome ? SOME[name](number) : undefined)) {
        results.push({ kind, case: name, ...outcome });
        for (const fault of outcome.faults) console.log(`${kind}, ${name}, before request ${outcome.at}: ${fault}`);
      }
    }
    host.stop();
  }
} finally {
  await browser.close();
  stop();
}

mkdirSync(dirname(RESULTS), { recursive: true });
writeFileSync(RESULTS, `${JSON.stringify(results, null, 2)}\n`);
print(results);
if (results.some(({ faults }) => faults.length > 0)) process.exit(1);

function print(results) {
  const row = (kind, name, ...counts) => console.log(`  ${kind.padEnd(10)} ${name.padEnd(13)}${counts.map((count) => String(count).padStart(11)).join("")}`);
  row("host", "case", "deploys", "opened", "try again", "dead, mixed");
  for (const kind of Object.keys(kinds)) {
    for (const name of Object.keys(CASES)) {
      const all = results.filter((one) => one.kind === kind && one.case === name);
      if (all.length === 0) continue;
      const bad = all.filter(({ faults }) => faults.length > 0).length;
      const told = all.filter(({ told, faults }) => told > 0 && faults.length === 0).length;
      row(kind, name, all.length, all.length - bad - told, told, bad);
    }
  }
}
