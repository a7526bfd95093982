// How long it takes to take in the log that a client handed back and to work out the first review, on this
// machine, as a multiple of reading the same JSON alone in the same run; and how long the plot of a year keeps
// a slow phone from painting its next frame:
//
//   make page && node e2e/bench/review.mjs
//
// examples/review_speed.rs tells what a client-year is, and what is counted. The card of each exercise is opened
// in the built app, in a window of 360 x 740, with the processor slowed down four times. What counts is all the
// work of the page's main thread from the tap to the commit of the frame that shows the plot: script, style,
// layout, paint, and of these the drawing by itself, without script and without what the browser does at any tap;
// and then to that of the frame that shows all of the card: readings, table of days, ladder and rule. Beside it
// on the same page stand the same points drawn the plain way, an element for each mark, and a card with one line
// of text, which tells what any change of that page costs.
import { execFileSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { launch, serve } from "../listen/app.mjs";
import { median, tell } from "./results.mjs";

const SLOWER = 4;
const FRAME_MS = 1000 / 60;
const REPEATS = 3;
/** What a page does to draw a frame, as traces name it: style, layout, paint, and the handing over to the screen. */
const DRAWING = ["UpdateLayoutTree", "Layout", "PrePaint", "Paint", "Layerize", "Commit"];
const CARDS = "article.review > details.card:has(figure.plot)";

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
  const [plot, whole] = [[], []];
  const others = { plain: [], text: [] };
  for (let repeat = 0; repeat < REPEATS; repeat += 1) {
    const page = await review(log);
    for (const card of await page.$$(CARDS)) {
      const [first, all] = await opening(page, card, ["figure.plot svg", "table.days"]);
      plot.push(first);
      whole.push(all);
      for (const way of ["plain", "text"]) {
        const beside = await page.evaluateHandle(drawBeside, card, way);
        const [shown] = await opening(page, beside, [".shown"]);
        others[way].push(shown);
        await beside.evaluate((beside) => beside.remove());
      }
      await card.evaluate((card) => card.querySelector(".stack").remove());
    }
    await page.close();
  }
  const [busy, drawing] = [({ busy }) => busy, ({ drawing }) => drawing];
  numbers["review.plot_year_ms"] = median(plot.map(busy));
  numbers["review.plot_year_worst_ms"] = Math.max(...plot.map(busy));
  numbers["review.plot_year_drawing_ms"] = median(plot.map(drawing));
  numbers["review.plot_year_drawing_frames"] = median(plot.map(drawing)) / FRAME_MS;
  numbers["review.plot_year_element_a_mark_drawing_ms"] = median(others.plain.map(drawing));
  numbers["review.line_of_text_ms"] = median(others.text.map(busy));
  numbers["review.line_of_text_drawing_ms"] = median(others.text.map(drawing));
  numbers["review.card_year_ms"] = median(whole.map(busy));
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

/** Opens a card and closes it again: what the page's main thread did until each part of the card was painted. */
async function opening(page, card, parts) {
  await card.evaluate((card) => card.scrollIntoView());
  const devices = await page.createCDPSession();
  await devices.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  await page.tracing.start({ categories: ["devtools.timeline", "disabled-by-default-devtools.timeline", "blink.user_timing"] });
  await card.evaluate(async (card, parts) => {
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
    for (const part of parts) {
      do await painted();
      while (!card.querySelector(part));
      performance.mark(part);
    }
  }, parts);
  const { traceEvents } = JSON.parse(Buffer.from(await page.tracing.stop()).toString());
  await card.evaluate((card) => card.querySelector("summary").click());
  await devices.send("Emulation.setCPUThrottlingRate", { rate: 1 });
  await devices.detach();
  return parts.map((part) => worked(traceEvents, part));
}

/** How long the main thread was busy from the tap to a mark, and how much of that it was drawing, in milliseconds. */
function worked(events, part) {
  const mark = (name) => events.find((event) => event.name === name && event.cat?.includes("user_timing"));
  const [tapped, shown] = [mark("tapped"), mark(part)];
  if (!tapped || !shown) throw new Error("the trace has no marks");
  const spent = (isOne) => {
    const ones = events.filter(
      ({ name, ph, tid, pid, ts, dur }) =>
        isOne(name) && ph === "X" && tid === tapped.tid && pid === tapped.pid && tapped.ts < ts + dur && ts < shown.ts,
    );
    if (ones.length === 0) throw new Error("the trace has no work");
    const within = ({ ts, dur }) => Math.min(ts + dur, shown.ts) - Math.max(ts, tapped.ts);
    return ones.reduce((sum, one) => sum + within(one), 0) / 1000;
  };
  return { busy: spent((name) => name === "RunTask"), drawing: spent((name) => DRAWING.includes(name)) };
}

/** In the page: a closed card below another, with its plot drawn with an element for each mark, or with a line
 *  of text. */
function drawBeside(card, way) {
  const svg = card.querySelector("figure.plot svg");
  const beside = document.createElement("details");
  beside.className = "card";
  beside.innerHTML = `<summary>${way}</summary><figure class="plot shown"><div class="plot-window"></div></figure>`;
  const shown = way === "text" ? document.createElement("p") : svg.cloneNode(true);
  if (way === "text") shown.textContent = svg.querySelector("title").textContent;
  for (const path of shown.querySelectorAll("path:not(.steps, .grid, .week)")) {
    const marks = path.getAttribute("d").split(/(?=M)/);
    path.outerHTML = marks.map((mark) => `<path class="${path.getAttribute("class")}" d="${mark}"/>`).join("");
  }
  beside.querySelector(".plot-window").append(shown);
  card.after(beside);
  return beside;
}
