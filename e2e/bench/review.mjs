// How long it takes to take in the log that a client handed back and to work out the first review, on this
// machine, as a multiple of reading the same JSON alone in the same run; and how long the plot of a year keeps
// a slow phone from painting its next frame:
//
//   make page && node e2e/bench/review.mjs
//
// examples/review_speed.rs tells what a client-year is, and what is counted. The plot is opened in the built
// app, in a window of 360 x 740, with the processor slowed down four times. What counts is all the work of the
// page's main thread from the tap to the commit of the frame that shows the plot: script, style, layout, paint.
// The plot is opened by itself, beside the same points drawn the plain way, an element for each mark, and beside
// a card with one line of text, which tells what any change of that page costs; with all else on its card:
// readings, table of days, ladder and rule; and on a page that holds nothing else.
import { execFileSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { launch, serve } from "../listen/app.mjs";
import { median, tell } from "./results.mjs";

const SLOWER = 4;
const FRAME_MS = 1000 / 60;
const REPEATS = 3;

const root = fileURLToPath(new URL("../../", import.meta.url));
const command = ["run", "--quiet", "--locked", "--release", "--example", "review_speed"];
const run = (...more) =>
  execFileSync("cargo", [...command, ...more], { cwd: root, encoding: "utf8", maxBuffer: 2 ** 28 });

console.log("\nThe first review");
const native = JSON.parse(run());
for (const [name, number] of Object.entries(native)) console.log(`  ${name.padEnd(34)} ${JSON.stringify(number)}`);
const numbers = {
  "review.ratio_to_parse_1y": native.ratio_to_parse_1y,
  "review.ratio_to_parse_100y": native.ratio_to_parse_100y,
  "review.growth_100y": native.growth_100y,
  ...Object.fromEntries(Object.entries(native.growth_of_one_log).map(([years, grown]) => [`review.growth_one_log_${years}`, grown])),
  "caseload.glance_100_ms": native.glance_100_ms,
  "caseload.glance_100_ratio_to_parse": native.glance_100_ratio_to_parse,
};

const log = `${root}target/bench/year.log.txt`;
mkdirSync(`${root}target/bench`, { recursive: true });
writeFileSync(log, run("--", "log"));
const server = await serve("review");
const browser = await launch();
try {
  const [card, own, plain, text, only] = [[], [], [], [], []];
  for (let repeat = 0; repeat < REPEATS; repeat += 1) {
    const page = await review(log);
    for (const whole of await page.$$("details.card:has(figure.plot)")) card.push(await opening(page, whole));
    const alone = await page.evaluateHandle(drawAlone);
    for (const plot of await alone.$$(".own")) own.push(await opening(page, plot));
    for (const plot of await alone.$$(".plain")) plain.push(await opening(page, plot));
    for (const line of await alone.$$(".text")) text.push(await opening(page, line));
    await page.evaluate((cards) => document.body.replaceChildren(cards), alone);
    for (const plot of await alone.$$(".own")) only.push(await opening(page, plot));
    await page.close();
  }
  numbers["review.plot_year_ms"] = median(own);
  numbers["review.plot_year_worst_ms"] = Math.max(...own);
  numbers["review.plot_year_element_a_mark_ms"] = median(plain);
  numbers["review.line_of_text_ms"] = median(text);
  numbers["review.plot_year_alone_ms"] = median(only);
  numbers["review.plot_year_alone_frames"] = median(only) / FRAME_MS;
  numbers["review.plot_year_frames"] = median(own) / FRAME_MS;
  numbers["review.card_year_ms"] = median(card);
} finally {
  await browser.close();
  server.stop();
}
console.log(`\nThe plot of a year, ${SLOWER} times slower; a frame is ${FRAME_MS.toFixed(1)} ms`);
tell(numbers);

/** The visit page of a client whose log was just opened, all of it in the review. */
async function review(log) {
  const context = await browser.createBrowserContext();
  const page = await context.newPage();
  page.setDefaultTimeout(120_000);
  await page.goto(new URL("practice/", server.address).href);
  await page.waitForSelector("input[type=file]").then((picker) => picker.uploadFile(log));
  await page.locator('::-p-aria([role="button"][name="Keep it as a new client"])').click();
  await page.waitForSelector("::-p-text(Close the visit)");
  return page;
}

/** Opens a part of the page: the milliseconds in which its main thread was busy until it was painted. */
async function opening(page, card) {
  await card.evaluate((card) => card.scrollIntoView());
  const devices = await page.createCDPSession();
  await devices.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  const categories = ["devtools.timeline", "disabled-by-default-devtools.timeline", "blink.user_timing", "toplevel"];
  await page.tracing.start({ categories });
  await card.evaluate(async (card) => {
    /** Waits until the next frame is painted. */
    const painted = () =>
      new Promise((resolve) => {
        requestAnimationFrame(() => {
          const { port1, port2 } = new MessageChannel();
          port1.onmessage = () => resolve(undefined);
          port2.postMessage(undefined);
        });
      });
    await painted();
    performance.mark("tapped");
    card.querySelector("summary").click();
    await painted();
    performance.mark("shown");
  });
  const { traceEvents } = JSON.parse(Buffer.from(await page.tracing.stop()).toString());
  await card.evaluate((card) => card.querySelector("summary").click());
  await devices.send("Emulation.setCPUThrottlingRate", { rate: 1 });
  await devices.detach();
  return busy(traceEvents);
}

/** How long the main thread was busy between the two marks, in milliseconds. */
function busy(events) {
  const mark = (name) => events.find((event) => event.name === name && event.cat?.includes("user_timing"));
  const [tapped, shown] = [mark("tapped"), mark("shown")];
  if (!tapped || !shown) throw new Error("the trace has no marks");
  const tasks = events.filter(
    ({ name, ph, tid, pid, ts, dur }) =>
      name === "RunTask" && ph === "X" && tid === tapped.tid && pid === tapped.pid && tapped.ts < ts + dur && ts < shown.ts,
  );
  if (tasks.length === 0) throw new Error("the trace has no tasks");
  const within = ({ ts, dur }) => Math.min(ts + dur, shown.ts) - Math.max(ts, tapped.ts);
  return tasks.reduce((sum, task) => sum + within(task), 0) / 1000;
}

/** In the page: each plot by itself, as it is and with an element for each mark, and a line of text; the
 *  element that holds them. */
function drawAlone() {
  const cards = document.createElement("div");
  const add = (name, shown) => {
    const figure = `<figure class="plot"><div class="plot-window">${shown.outerHTML}</div></figure>`;
    cards.insertAdjacentHTML("beforeend", `<details class="card ${name}"><summary>${name}</summary>${figure}</details>`);
  };
  for (const svg of document.querySelectorAll("figure.plot .plot-window svg")) {
    const plain = svg.cloneNode(true);
    for (const path of plain.querySelectorAll("path:not(.steps)")) {
      const marks = path.getAttribute("d").split(/(?=M)/);
      path.outerHTML = marks.map((mark) => `<path class="${path.getAttribute("class")}" d="${mark}"/>`).join("");
    }
    add("own", svg);
    add("plain", plain);
    const line = document.createElement("p");
    line.textContent = svg.querySelector("title").textContent;
    add("text", line);
  }
  document.querySelector("article.review").append(cards);
  return cards;
}
