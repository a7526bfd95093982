// The built app with an ear: a copy of dist/ that also has the worklet of onsets.js, served from its
// own address, and a browser in which a page can truly be hidden or frozen.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import puppeteer from "puppeteer-core";
import { args, findChromium } from "../chromium.mjs";
import { listen, readLog } from "./page.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

/** Serves a copy of the app from `target/listen/<name>`, whose pages call a function before the app. */
export async function serve(name, first = listen, pages = ["index.html"]) {
  const folder = here(`../../target/listen/${name}`);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  cpSync(here("../../dist"), join(folder, "app"), { recursive: true });
  cpSync(here("onsets.js"), join(folder, "app/onsets.js"));
  writeFileSync(join(folder, "app/first.js"), `(${first})();\n`);
  for (const name of pages) {
    const page = join(folder, "app", name);
    const [before, after, ...more] = readFileSync(page, "utf8").split("<head>");
    if (after === undefined || more.length > 0) throw new Error(`${name} has no place for a first script`);
    writeFileSync(page, `${before}<head><script src="/first.js"></script>${after}`);
  }
  const server = spawn(process.execPath, [here("../serve.mjs"), "--port", "0", join(folder, "app")], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const [announcement] = await once(server.stdout, "data");
  return { address: /http:\S+/.exec(String(announcement))[0], folder, stop: () => server.kill() };
}

/** Starts a browser that slows a hidden page down, as one in a hand does. */
export function launch() {
  return puppeteer.launch({
    executablePath: findChromium(),
    args,
    defaultViewport: { width: 360, height: 740 },
    ignoreDefaultArgs: [
      "--disable-background-timer-throttling",
      "--disable-backgrounding-occluded-windows",
      "--disable-renderer-backgrounding",
    ],
  });
}

/** An exercise of the demo, whose figure the app has, with another dose. */
export function drawn(id, dose) {
  const { routine } = JSON.parse(readFileSync(here("../../public/routines/demo.json"), "utf8"));
  const exercise = routine.exercises.find((one) => one.id === id);
  return { ...exercise, dose: { ...exercise.dose, ...dose } };
}

let files = 0;

/** A page that listens, and the ways of a person in it. */
export async function open(browser, { address, folder }) {
  const context = await browser.createBrowserContext();
  const page = await context.newPage();
  const complaints = [];
  page.on("pageerror", (error) => complaints.push(`uncaught: ${error.message}`));
  page.on("console", (message) => {
    if (message.type() === "error") complaints.push(`console: ${message.text()}`);
  });
  await page.goto(address);

  /** What could not be done, beside what the page shows instead. */
  const tell = (failure) => async () => {
    const shown = await page.evaluate(() => document.body.innerText);
    throw new Error(`${failure}; the page shows\n${shown.replace(/\s*\n\s*/g, "\n")}`);
  };
  const press = (role, name) =>
    page.locator(`::-p-aria([role="${role}"][name="${name}"])`).click().catch(tell(`no ${role} "${name}" to press`));
  const tap = (name) => press("button", name);
  const seesOneOf = async (choices) => {
    const choice = choices.map((words) => `::-p-text(${words})`).join(", ");
    const seen = await page.locator(choice).waitHandle().catch(tell(`nothing is seen of ${choices.join(" / ")}`));
    const text = await seen.evaluate((element) => element.textContent);
    return choices.findIndex((words) => text.includes(words));
  };
  const sees = (words) => seesOneOf([words]);
  return {
    context,
    page,
    complaints,
    tap,
    sees,
    /** Waits until one of several texts is seen; which. */
    seesOneOf,

    /** Opens a routine made of these exercises, or of their doses alone, and goes as far as the first set's Start button. */
    async follow(exercises) {
      const file = join(folder, `${(files += 1)}.json`);
      writeFileSync(file, JSON.stringify(routineOf(exercises)));
      const picker = await page.waitForSelector("input[type=file]");
      await picker.uploadFile(file);
      await tap("Use this routine");
      await press("link", "Start");
      await tap("0");
      await sees("Start the first set");
    },

    /** The facts in the app's log, oldest first. */
    facts: () => page.evaluate(readLog),
  };
}

function routineOf(exercises) {
  return {
    format: "carryover-routine",
    version: 1,
    routine: {
      id: "listening",
      version: 1,
      title: "Sets to listen to",
      issued: "2026-01-01",
      limits: {
        table: {
          low_max: 2,
          middle_max: 5,
          low: ["counts", "stay", "ease", "stay"],
          middle: ["stay", "ease", "hold", "stay"],
          high: ["ease", "hold", "hold", "hold"],
        },
        rest_days: 2,
        may_step_up: "win_back",
        step_up_after: 3,
        on_lowest_rung: "one_set_fewer",
        after_middle_set: "same",
      },
      exercises: exercises.map((one, index) =>
        "ladder" in one
          ? one
          : {
              id: `exercise-${index + 1}`,
              name: `Exercise ${index + 1}`,
              steps: ["Move."],
              dose: one,
              ladder: { rungs: [{ help: "no help" }], start: 1, ceiling: 1 },
            },
      ),
    },
  };
}
