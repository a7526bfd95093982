// How long it takes to try limits: on the log of a year, as a multiple of folding that log once; and on the eight
// known kinds of client beside the three presets, in the built app with the processor slowed down four times, from
// the tap that opens the table to its last number, and the longest that the page does not answer meanwhile. The limits
// have a cell of their own then; what a preset comes to is known beforehand:
//
//   make page && node e2e/bench/tried.mjs
import { execFileSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { launch, serve } from "../listen/app.mjs";
import { median, tell } from "./results.mjs";

const SLOWER = 4;
const REPEATS = 3;

const root = fileURLToPath(new URL("../../", import.meta.url));
const run = (example, ...more) =>
  execFileSync("cargo", ["run", "--quiet", "--locked", "--release", "--example", example, "--", ...more], {
    cwd: root,
    encoding: "utf8",
    maxBuffer: 2 ** 28,
  });

const log = `${root}target/bench/year.log.txt`;
mkdirSync(`${root}target/bench`, { recursive: true });
writeFileSync(log, run("review_speed", "log"));
const native = JSON.parse(run("tried_speed", log));
console.log(`\nLimits that are tried: ${native.events} events, ${native.lives} lives of each kind`);
const numbers = {
  "tried.year_ms_ratio": native.year_ms_ratio,
  "tried.year_ms": native.replay_ms,
  "tried.doubts_ms": native.doubts_ms,
};

const server = await serve("tried");
const browser = await launch();
try {
  const [times, gaps] = [[], []];
  for (let repeat = 0; repeat < REPEATS; repeat += 1) {
    const { took, longest } = await kinds();
    times.push(took);
    gaps.push(longest);
  }
  numbers["tried.kinds_ms"] = median(times);
  numbers["tried.kinds_unanswered_ms"] = median(gaps);
} finally {
  await browser.close();
  server.stop();
}
tell(numbers);

/** From the tap to the last number, in milliseconds, and the longest in which nothing else had its turn. */
async function kinds() {
  const context = await browser.createBrowserContext();
  const page = await context.newPage();
  page.setDefaultTimeout(120_000);
  await page.goto(new URL("practice/", server.address).href);
  await page.locator("::-p-aria([name=\"A new client's label\"])").fill("Round 7");
  await page.locator("::-p-aria([name='Add client'][role='button'])").click();
  await page.locator("::-p-text(Words around it)").wait();
  await page.evaluate(() => {
    history.pushState(null, "", `${location.pathname.replace(/\/routine$/, "")}/rule`);
    location.reload();
  });
  const summary = await page.waitForSelector("summary ::-p-text(On known kinds of client)");
  const cell = await page.waitForSelector("::-p-aria([name='low pain, morning up by less than 2'])");
  await cell.evaluate((select) => {
    const ease = [...select.options].find((option) => option.text === "Ease");
    select.value = ease.value;
    select.dispatchEvent(new Event("change", { bubbles: true }));
  });
  await page.waitForFunction(() => !document.querySelector("[role=group][aria-label='Start from'] [aria-pressed=true]"));
  const session = await page.createCDPSession();
  await session.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  const result = await summary.evaluate(
    (summary) =>
      new Promise((done) => {
        const began = performance.now();
        let [before, longest] = [began, 0];
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () => {
          const now = performance.now();
          longest = Math.max(longest, now - before);
          before = now;
          const table = document.querySelector("table.kinds");
          if (table && !table.textContent.includes("…")) done({ took: now - began, longest });
          else setTimeout(() => port2.postMessage(0), 0);
        };
        summary.closest("summary").click();
        port2.postMessage(0);
      }),
  );
  await context.close();
  return result;
}
