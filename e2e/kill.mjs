// Kills the browser, or the process of the tab alone, at random instants of a scripted session, and of what is
// whole or not at all: a log restored or erased, a log that comes in at the practitioner's, a caseload restored
// or replaced, the storage of an older version opened. Nothing that the page called saved may be lost, nothing
// may be doubled, and a session is gone on with or begun only as the log says.
//
// What is kept stands in two places, the database and a file. After every third kill the database is thrown away
// before the app starts again, by a page or by damaging it on the disk, and after every fifth the file; never both,
// and the database only where the file had followed it. What is stored is read by a page of this origin that is not
// the app, past the service worker.
//
//   make page && node e2e/kill.mjs [KILLS]        20 unless told; the seed of a run: SEED=…
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
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
/** How many entries a log has that is moved, and how many of them the practitioner has before. */
const ENTRIES = 4000;
const KNOWN = 100;
/** No kill waits longer than so many milliseconds for its moment. */
const LONGEST = 5000;
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

  /** Ends the browser, does something to what it left on the disk, and starts it again. */
  async relaunch(meanwhile) {
    const { pid } = this.browser.process();
    const dead = once(this.browser.process(), "exit");
    process.kill(-pid, "SIGKILL");
    await dead;
    meanwhile?.();
    await this.launch();
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
      await this.relaunch();
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

  /** Calls in a page of the same origin, without the app. */
  async aside(call, ...given) {
    const page = await this.browser.newPage();
    await page.setBypassServiceWorker(true);
    await page.goto(`${this.address}/manifest.webmanifest`);
    assert.notEqual(await page.evaluate(() => document.contentType), "text/html", "that is the app");
    const result = await page.evaluate(call, ...given);
    await page.close();
    return result;
  }

  /** What the disk has, read without the app; each text with its key. */
  async stored(database = "carryover") {
    return await this.aside(readStored, database).catch((error) => {
      // What the browser answers while it throws a damaged storage away; then it makes it anew.
      if (!error.message.includes("backing store")) throw error;
      return this.aside(readStored, database);
    });
  }

  /** What the file beside a database has: each text with its key. */
  async second(database = "carryover") {
    const read = (name) =>
      this.aside(readFile, name).catch((error) => {
        // The app wrote to it between the looking and the reading.
        if (!error.message.includes("could not be read")) throw error;
        return this.aside(readFile, name);
      });
    return standing(await read(`${database}.lines`), await read(`${database}.anew`));
  }

  /** The folder in which the browser keeps what pages store, where there is one. */
  storage() {
    const folder = join(this.profile, "Default/IndexedDB");
    const place = existsSync(folder) && readdirSync(folder).find((name) => name.endsWith(".leveldb"));
    return place ? join(folder, place) : undefined;
  }

  /** When the browser made that folder. */
  storageMade() {
    const place = this.storage();
    return place ? statSync(place).birthtimeMs : undefined;
  }

  /** Remembers the place that what is stored now is in. */
  trust() {
    this.made = this.storageMade();
  }

  /**
   * Whether the browser has made that place anew since: it found it damaged and threw it away, all that any page
   * had in it. Chromium does so, by itself and with no app but a script of ten lines, some time after it was killed
   * in the middle of a write: it goes on writing behind the half record (docs/threat-model.md has the numbers).
   */
  async isThrownAway() {
    await this.stored();
    const isThrownAway = this.made !== undefined && this.storageMade() !== this.made;
    this.trust();
    return isThrownAway;
  }

  /** Throws the database away, as a page can, or as the browser does that finds it damaged. */
  async throwDatabaseAway(database, how) {
    if (how === "damage") {
      await this.relaunch(() => writeFileSync(join(this.storage(), "CURRENT"), "damaged"));
    } else {
      await this.aside(deleteDatabase, database);
    }
    assert.deepEqual(await this.stored(database), {}, "the database is gone");
    this.trust();
  }

  /** Takes the file beside a database away, or cuts it in the middle of a line. */
  async throwSecondAway(database, how) {
    await this.aside(spoilFile, `${database}.lines`, how);
  }

  async end() {
    await this.browser.close();
    rmSync(this.profile, { recursive: true, force: true });
  }
}

async function readStored(name) {
  const result = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  if (!(await indexedDB.databases()).some((one) => one.name === name)) return {};
  const database = await result(indexedDB.open(name));
  const store = database.transaction("events").objectStore("events");
  const [keys, texts] = await Promise.all([result(store.getAllKeys()), result(store.getAll())]);
  database.close();
  return Object.fromEntries(keys.map((key, place) => [key, texts[place]]));
}

/** In a page: the bytes of a file of this origin, as text; empty, where there is none. */
async function readFile(name) {
  const folder = await navigator.storage.getDirectory();
  const file = await folder.getFileHandle(name).catch(() => undefined);
  return file ? await (await file.getFile()).text() : "";
}

async function spoilFile(name, how) {
  const folder = await navigator.storage.getDirectory();
  if (how === "delete") return await folder.removeEntry(name).catch(() => {});
  const file = await folder.getFileHandle(name).catch(() => undefined);
  if (!file) return;
  const { size } = await file.getFile();
  const writing = await file.createWritable({ keepExistingData: true });
  await writing.write({ type: "write", position: Math.floor(size / 2), data: "?" });
  await writing.close();
}

async function deleteDatabase(name) {
  await new Promise((resolve, reject) => {
    const deleting = indexedDB.deleteDatabase(name);
    deleting.onsuccess = resolve;
    deleting.onerror = deleting.onblocked = reject;
  });
}

/** The texts that stand after all lines of a file, by key; what is no whole line counts for nothing. */
function standing(lines, anew) {
  const read = (text) =>
    text.split("\n").flatMap((line) => {
      const [, length, sum, body] = /^([0-9a-f]{8}) ([0-9a-f]{8}) (.*)$/s.exec(line) ?? [];
      const bytes = Buffer.from(body ?? "");
      const isWhole = body && parseInt(length, 16) === bytes.length && parseInt(sum, 16) === crc32(bytes);
      return isWhole ? [JSON.parse(body)] : [];
    });
  const [head, ...rest] = read(anew);
  const texts = new Map();
  for (const line of head?.lines === rest.length ? rest : read(lines)) {
    if (!Array.isArray(line)) continue;
    const [, key, text] = line;
    if (text === null) texts.delete(key);
    else texts.set(key, text);
  }
  return Object.fromEntries(texts);
}

/** CRC-32 as RFC 1952 has it, bit by bit. */
function crc32(bytes) {
  let sum = 0xffffffff;
  for (const byte of bytes) {
    sum ^= byte;
    for (let bit = 0; bit < 8; bit += 1) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
  }
  return (sum ^ 0xffffffff) >>> 0;
}

/** In the page: the storage as the first version of the app left it, made anew. */
async function storeAsVersionOne(texts) {
  const done = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = request.oncomplete = () => resolve(request.result);
      request.onerror = request.onabort = () => reject(request.error);
    });
  localStorage.clear();
  const folder = await navigator.storage.getDirectory();
  for (const name of ["carryover.lines", "carryover.anew"]) await folder.removeEntry(name).catch(() => {});
  // A page that is just going away may have had its own opened between the two.
  const asVersionOne = async (tries) => {
    await done(indexedDB.deleteDatabase("carryover"));
    const opening = indexedDB.open("carryover", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("events");
    return done(opening).catch((error) => {
      if (error.name !== "VersionError" || tries <= 1) throw error;
      return asVersionOne(tries - 1);
    });
  };
  const database = await asVersionOne(5);
  const transaction = database.transaction("events", "readwrite", { durability: "strict" });
  for (const [key, text] of Object.entries(texts)) transaction.objectStore("events").put(text, key);
  await done(transaction);
  database.close();
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
  const next = [/^Go on/, /^Start$/, /^Train again$/, /^Start the first set$/, /^Next set$/, /^Done$/];
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
      window.tell("saved");
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

const results = { kills: 0, browser: 0, tab: 0, acknowledged: 0, acknowledged_lost: 0, doubled: 0, resumed: 0, resumed_wrong: 0, restore: 0, erase: 0, import: 0, bring: 0, add: 0, replace: 0, opening: 0, moved: 0, in_part: 0, thrown_away: 0, thrown_away_not_restored: 0, database_taken: 0, second_taken: 0, second_behind: 0 };
/** The moves that came to their end at least once. */
const made = new Set();
let turn = 0;

/** Whether two places hold the same texts. */
const same = (one, other) => whole(one) === whole(other);

/**
 * Kills now one way, now the other, and takes one of the two places away where its turn has come. Whether the
 * database is gone now.
 */
async function strike(device, database) {
  const what = (turn += 1) % 2 ? "browser" : "tab";
  await device.kill(what);
  results.kills += 1;
  results[what] += 1;
  if (await device.isThrownAway()) {
    results.thrown_away += 1;
    return true;
  }
  const how = turn % 4 < 2 ? "delete" : "damage";
  if (turn % 3 === 0) {
    const [stored, second] = [await device.stored(database), await device.second(database)];
    if (Object.keys(stored).length > 0 && same(stored, second)) {
      await device.throwDatabaseAway(database, how);
      results.database_taken += 1;
      return true;
    }
    // Killed before the file had followed: what is only in the database must stay there.
    results.second_behind += 1;
  } else if (turn % 5 === 0) {
    await device.throwSecondAway(database, how);
    results.second_taken += 1;
  }
  return false;
}

/** Opens the app where the two places do not hold the same, and waits until they do. */
async function heal(device, { home, database, seen }) {
  if (same(await device.stored(database), await device.second(database))) return;
  const page = await device.open(home);
  const words = seen ? [seen] : [NEW, KEPT];
  await page.locator(words.map((words) => `::-p-text(${words})`).join(", ")).waitHandle();
  const until = performance.now() + 60_000;
  while (performance.now() < until && !same(await device.stored(database), await device.second(database))) await sleep(200);
  await page.close();
  device.trust();
  assert.deepEqual(await device.second(database), await stripped(device, database), "the second place has followed");
}

/** What is stored, but for the mark that only the database has. */
async function stripped(device, database) {
  const { changes, ...texts } = await device.stored(database);
  return texts;
}

const ratings = (log) => log.filter(([, kind]) => kind === "set_rated").map(([, , { rating }]) => rating);

/** Trains until the kill; then everything that was called saved is there, once and in order. */
async function killASession(device) {
  const before = facts(await device.stored());
  const open = openSession(before);
  // A rating by its place among the taps: on a busy machine the next set can be over before one is called saved.
  const [tapped, saved] = [[], []];
  const page = await device.browser.newPage();
  await page.exposeFunction("tell", (what, rating) => void (what === "saved" ? saved.push(tapped.length - 1) : tapped.push(rating)));
  await page.evaluateOnNewDocument(train, SPEED);
  await page.goto(`${device.address}/`).catch(() => {});
  await sleep(200 + random() * 5000);
  const isGone = await strike(device, CLIENT.database);
  await heal(device, CLIENT);
  const after = facts(await device.stored());
  if (isGone && JSON.stringify(after.slice(0, before.length)) !== JSON.stringify(before)) {
    results.thrown_away_not_restored += 1;
    console.error(`kill ${results.kills}: of ${before.length} facts, ${after.length} are there`);
    return;
  }
  assert.deepEqual(after.slice(0, before.length), before, "what was there stays as it was");
  const noted = ratings(after.slice(before.length));
  results.acknowledged += saved.length;
  const lost = saved.filter((place) => noted[place] !== tapped[place]).length;
  results.acknowledged_lost += lost;
  if (lost > 0) console.error(`kill ${results.kills}, database ${isGone ? "gone" : "there"}: tapped ${tapped}, saved the taps ${saved}, noted ${noted}`);
  // The last word before a death may not have come through.
  results.doubled += Math.max(0, noted.length - tapped.length - 1);
  openSession(after);
  const next = after.slice(before.length).find(([, kind]) => ["set_ended", "set_rated", "session_ended"].includes(kind));
  if (open && next) {
    results.resumed += 1;
    const [, , { set, session }] = next;
    if ((set?.session ?? session) !== open) {
      results.resumed_wrong += 1;
      console.error(`kill ${results.kills}: ${open} was open, and this came next:`, after.slice(before.length - 6));
    }
  }
}

/** A log of the routine and many notes: each text under its id. */
function bigLog() {
  const digits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
  const id = (number) => `01KA${[...Array(22)].map((_, place) => digits[Math.floor(number / 32 ** (21 - place)) % 32]).join("")}`;
  const { routine } = JSON.parse(ROUTINE);
  const fact = (number) => (number === 0 ? { routine_accepted: { routine } } : { note: { text: `note ${number}` } });
  const event = (number) => [id(number), JSON.stringify({ id: id(number), at: "2026-01-05T18:00:00+01:00", what: fact(number) })];
  return Object.fromEntries([...Array(ENTRIES)].map((_, number) => event(number)));
}

const LOG = bigLog();

/** A caseload of one client, whose log has the first so many entries. */
function caseload(entries) {
  const log = Object.entries(LOG).slice(0, entries).map(([id, text]) => [`log/round-7/${id}`, text]);
  return {
    "client/round-7": '{"label":"Round 7","since":"2026-01-05"}',
    ...Object.fromEntries(log),
    "routine/round-7/1": JSON.stringify(JSON.parse(ROUTINE).routine),
  };
}

const [EMPTY, FEW, MANY] = [{}, caseload(KNOWN), caseload(ENTRIES)];

const logFile = () => `{"format":"carryover-log","version":1,"events":[\n${Object.values(LOG).join(",\n")}\n]}\n`;

function copyFile(caseload) {
  const documents = Object.entries(caseload).map(([key, text]) => `${JSON.stringify(key)}:${text}`);
  return `{"format":"carryover-caseload","version":1,"documents":{${documents.join(",")}}}`;
}

/** Taps a button wherever it stands: on a small screen the foot can lie over it. */
async function tap(page, name) {
  const button = await page
    .locator(`::-p-aria([role="button"][name="${name}"])`)
    .waitHandle()
    .catch(async (cause) => {
      const says = await page.evaluate(() => document.body.innerText);
      throw new Error(`no button "${name}" on a page that says "${says}"`, { cause });
    });
  await button.evaluate((button) => button.click());
}

async function pick(page, file) {
  const picker = await page.waitForSelector("input[type=file]");
  // Not waited for, as no tap is that begins a move: the page may be gone before it is over.
  picker.uploadFile(join(files, file)).catch(() => {});
}

const CLIENT = { database: "carryover", path: "/keep", home: "/" };
const PRACTICE = { database: "carryover-practice", path: "/practice/", home: "/practice/", seen: "A new client" };
const [NEW, KEPT] = ["Try the demo", "Today's routine"];

/**
 * What is whole or not at all: what is stored `before` and `after`, how it is begun, what the page says once it is
 * done, and `within` how many milliseconds it is killed at first.
 */
const MOVES = {
  restore: { ...CLIENT, before: EMPTY, after: LOG, done: "brought back", within: 600, begin: (page) => pick(page, "log.txt") },
  erase: {
    ...CLIENT,
    before: LOG,
    after: EMPTY,
    done: NEW,
    within: 400,
    async begin(page) {
      await tap(page, "Erase everything…");
      tap(page, "Erase everything").catch(() => {});
    },
  },
  bring: {
    ...PRACTICE,
    before: EMPTY,
    after: FEW,
    done: "brought back",
    within: 300,
    async begin(page) {
      await pick(page, "few.json");
      tap(page, "Bring it back").catch(() => {});
    },
  },
  import: { ...PRACTICE, before: FEW, after: MANY, done: "new entries", within: 1000, begin: (page) => pick(page, "log.txt") },
  add: {
    ...PRACTICE,
    before: FEW,
    after: MANY,
    done: "brought back",
    within: 800,
    async begin(page) {
      await pick(page, "many.json");
      tap(page, "Add what is missing here").catch(() => {});
    },
  },
  replace: {
    ...PRACTICE,
    before: MANY,
    after: FEW,
    done: "brought back",
    within: 800,
    async begin(page) {
      await pick(page, "few.json");
      await tap(page, "Use the copy instead of what is here…");
      tap(page, "Erase what is here and use the copy").catch(() => {});
    },
  },
};

/** The text of everything that is stored but for the marks. */
function whole(stored) {
  const { erased, changes, ...texts } = stored;
  return JSON.stringify(Object.entries(texts).sort());
}

/** Kills while something is moved that is whole or not at all. */
async function killAMove(device, name) {
  const move = MOVES[name];
  const stands = async () => {
    const now = whole(await device.stored(move.database));
    return now === whole(move.before) ? "before" : now === whole(move.after) ? "after" : "in part";
  };
  const page = await device.open(move.path);
  let done = false;
  await move.begin(page);
  const says = `document.body.innerText.includes(${JSON.stringify(move.done)})`;
  const isSaved = move.done === NEW ? says : `${says} && document.querySelector(".saved") !== null`;
  page.waitForFunction(isSaved, { polling: 5 }).then(() => (done = true)).catch(() => {});
  await sleep(random() * move.within);
  const isGone = await strike(device, move.database);
  results[name] += 1;
  if (isGone) await heal(device, move);
  const atOnce = await stands();
  if (done) assert.equal(atOnce, "after", `${name}: what the page called done is done`);
  const again = await device.open(move.home);
  const seen = move.seen ? [move.seen] : [NEW, KEPT];
  const shown = await again.locator(seen.map((words) => `::-p-text(${words})`).join(", ")).waitHandle();
  const words = await shown.evaluate((one) => one.textContent);
  await again.close();
  // A restore that was cut short may have left the whole of it in the spare place: then all of it is there now.
  await heal(device, move);
  const opened = await stands();
  const isShown = move.seen !== undefined || (opened === "after") === (name === "restore" ? words.includes(KEPT) : words.includes(NEW));
  if (atOnce === "in part" || opened === "in part" || (atOnce === "after" && opened === "before") || !isShown) {
    results.in_part += 1;
    console.error(`kill ${results.kills}: ${name} stood ${atOnce}, then ${opened}, and the page showed "${words}"`);
  }
  // The next time a little later, or sooner, so that most kills fall near the moment that counts.
  move.within = Math.min(move.within * (opened === "after" ? 0.7 : 1.4), LONGEST);
  if (opened === "after") {
    results.moved += 1;
    made.add(name);
  }
  return opened === "after" ? move.after : move.before;
}

/** Kills while the app opens what an older version of it stored: every text is there then, and stays there. */
async function killAnOpening(device) {
  await device.aside(storeAsVersionOne, LOG);
  device.trust();
  const page = await device.browser.newPage();
  page.goto(`${device.address}/`).catch(() => {});
  await sleep(random() * 1500);
  await strike(device, CLIENT.database);
  await heal(device, CLIENT);
  results.opening += 1;
  const atOnce = whole(await device.stored());
  const again = await device.open("/");
  await again.locator(`::-p-text(${KEPT})`).wait();
  await again.close();
  if (atOnce !== whole(LOG) || whole(await device.stored()) !== whole(LOG)) {
    results.in_part += 1;
    console.error(`kill ${results.kills}: the older storage was not whole`);
  }
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
  writeFileSync(join(files, "log.txt"), logFile());
  writeFileSync(join(files, "few.json"), copyFile(FEW));
  writeFileSync(join(files, "many.json"), copyFile(MANY));
  console.log(`${KILLS} kills, SEED=${SEED}`);
  devices.push(await Device.first(address), await Device.first(address), await Device.first(address));
  const [training, moving, older] = devices;
  await takeRoutine(training, join(files, "routine.json"));
  let [log, cases] = [EMPTY, EMPTY];
  const others = [
    async () => (log = await killAMove(moving, log === EMPTY ? "restore" : "erase")),
    async () => {
      const next = cases === EMPTY ? "bring" : cases === MANY ? "replace" : random() < 0.5 ? "import" : "add";
      cases = await killAMove(moving, next);
    },
    () => killAnOpening(older),
  ];
  for (let kill = 0, other = 0; kill < KILLS; kill += 1) {
    if (kill % 5 < 3) await killASession(training);
    else await others[(other += 1) % others.length]();
    if (results.kills % 20 === 0) console.log(JSON.stringify(results));
  }
  assert.equal(results.acknowledged_lost + results.doubled + results.resumed_wrong + results.in_part, 0);
  assert.equal(results.thrown_away_not_restored, 0);
  assert.ok(KILLS < 40 || (results.database_taken > 0 && results.second_taken > 0), "no place was taken away");
  const never = Object.keys(MOVES).filter((name) => !made.has(name));
  assert.ok(KILLS < 100 || never.length === 0, `never came to its end: ${never}`);
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
