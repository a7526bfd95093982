// A disk that is really full: the browser's folder stands on a small file system, which is filled in mid session.
// What is tapped then is called unsaved, is kept on the screen and can be saved as a file; once there is room
// again, one tap saves all of it. To make a file system takes the rights of root.
//
//   make page && node e2e/full-disk.mjs
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { once } from "node:events";
import { closeSync, mkdirSync, mkdtempSync, openSync, readFileSync, readdirSync, rmSync, writeFileSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import puppeteer from "puppeteer-core";
import { record } from "./bench/results.mjs";
import { args, findChromium } from "./chromium.mjs";

const SIZE = "192m";
/** So often a rating is changed at most until the disk takes no more: the last page of a file may have room. */
const MOST_TAPS = 400;

/** Writes until nothing more goes in. */
function fill(path) {
  const file = openSync(path, "w");
  for (const size of [1 << 20, 1 << 12, 1]) {
    try {
      for (;;) writeSync(file, Buffer.alloc(size));
    } catch (error) {
      if (error.code !== "ENOSPC") throw error;
    }
  }
  closeSync(file);
}

/** In the page: the ratings that are stored, in order. */
async function storedRatings() {
  const result = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  const database = await result(indexedDB.open("carryover"));
  const texts = await result(database.transaction("events").objectStore("events").getAll());
  database.close();
  return texts.map((text) => JSON.parse(text).what?.set_rated?.rating).filter((rating) => rating !== undefined);
}

const says = (page, words) => page.evaluate((words) => document.body.innerText.includes(words), words);

const work = mkdtempSync(join(tmpdir(), "carryover-full-"));
const [disk, saved] = [join(work, "disk"), join(work, "saved")];
for (const folder of [disk, saved]) mkdirSync(folder);
const server = spawn(process.execPath, [fileURLToPath(new URL("serve.mjs", import.meta.url)), "--port", "0"], {
  stdio: ["ignore", "pipe", "inherit"],
});
let browser;
let isMounted = false;
try {
  execFileSync("mount", ["-t", "tmpfs", "-o", `size=${SIZE}`, "tmpfs", disk]);
  isMounted = true;
  const [announcement] = await once(server.stdout, "data");
  const address = /http:[^/]*\/\/[^/\s]+/.exec(String(announcement))[0];
  browser = await puppeteer.launch({
    executablePath: findChromium(),
    args: [...args, "--disk-cache-size=1"],
    userDataDir: join(disk, "profile"),
    defaultViewport: { width: 360, height: 740 },
  });
  const page = await browser.newPage();
  await page.goto(`${address}/`);
  const file = join(work, "routine.json");
  const { routine, ...head } = JSON.parse(readFileSync(new URL("../tests/fixtures/small-routine.json", import.meta.url), "utf8"));
  Object.assign(routine.exercises[0].dose, { reps: 1 });
  for (const phase of routine.exercises[0].dose.tempo) phase.secs = 1;
  writeFileSync(file, JSON.stringify({ ...head, routine }));
  await (await page.waitForSelector("input[type=file]")).uploadFile(file);
  const click = (role, name) => page.locator(`::-p-aria([role="${role}"][name="${name}"])`).click();
  const rate = (rating) => page.locator(`.scale-point:nth-of-type(${rating + 1})`).click();
  await click("button", "Use this routine");
  await click("link", "Start");
  await page.waitForSelector(".scale-point");
  await rate(1);
  await click("button", "Start the first set");
  await page.locator("::-p-text(How much did that set hurt?)").wait();
  const filler = join(disk, "filler");
  fill(filler);
  const tapped = [];
  while (!(await says(page, "Not saved yet"))) {
    assert.ok(tapped.length < MOST_TAPS, `the disk is full, and ${MOST_TAPS} ratings were called saved`);
    const rating = tapped.at(-1) === 2 ? 1 : 2;
    await rate(rating);
    tapped.push(rating);
    await page.waitForFunction(() => document.querySelector(".saved") || document.body.innerText.includes("Not saved yet"));
  }
  assert.ok(await says(page, "the device's storage is full"), await page.evaluate(() => document.body.innerText));
  assert.equal(await page.$(".saved"), null, "it is not called saved");
  const control = await browser.target().createCDPSession();
  await control.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: saved });
  await click("button", "Save it all as a file");
  for (let tries = 0; tries < 100 && !readdirSync(saved).some((name) => name.endsWith(".txt")); tries += 1) await sleep(100);
  const copy = readFileSync(join(saved, readdirSync(saved)[0]), "utf8");
  const inCopy = [...copy.matchAll(/"set_rated":\{.*?"rating":(\d+)/g)].map(([, rating]) => Number(rating));
  assert.deepEqual(inCopy, tapped, "the file has all that was tapped");
  rmSync(filler);
  await click("button", "Try again");
  await page.waitForSelector(".saved");
  assert.ok(!(await says(page, "Not saved yet")));
  assert.deepEqual(await page.evaluate(storedRatings), tapped, "all that was tapped is stored, once and in order");
  console.log(`A full disk was told after ${tapped.length} taps; all of them are stored.`);
  record({ "full_disk.tapped": tapped.length, "full_disk.lost": 0 }, "soak");
} catch (error) {
  console.error(error);
  process.exitCode = 1;
} finally {
  await browser?.close().catch(() => {});
  server.kill();
  if (isMounted) execFileSync("umount", ["-l", disk]);
  rmSync(work, { recursive: true, force: true });
}
