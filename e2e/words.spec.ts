/** How much a client reads and how often they tap: from the link to the first cue, and on the next morning. */
import type { Locator } from "@playwright/test";
import { record } from "./bench/results.mjs";
import { expect, test } from "./fixtures.ts";
import { fragment, serveLibrary } from "./links.ts";
import { Client, COUNT_IN, EVENING, NEXT_MORNING, oneExercise, shipped } from "./pages.ts";
import { readingGrade } from "./reading.ts";

test.use({ timezoneId: "Europe/Berlin" });

/** On all screens together. */
const MOST_WORDS = 350;
/** Years of school: a plain text for anyone. Common practice, no source. */
const MOST_YEARS = 6;

test("from the link to the first cue there is little to read, and three taps from Today", async ({ page }) => {
  await serveLibrary(page);
  const demo = shipped("demo").routine;
  const client = await Client.at(page, EVENING, `/take#${fragment("good")}`);
  const read: Record<string, number> = {};
  const lines: string[] = [];
  /** The words that stand on a screen; what is behind a tap does not. */
  const look = async (screen: string) => {
    const text = await page.locator("main").innerText();
    // A scale of pain is read at a glance, not a word at a time.
    const words = text.split(/\s+/).filter((word) => /\p{L}/u.test(word));
    read[screen] = words.length;
    lines.push(...text.split("\n").filter((line) => /\p{L}/u.test(line)));
  };
  await expect(client.title(demo.title)).toBeVisible();
  await look("routine");
  await client.accept();
  await look("Today");
  let taps = 0;
  const tap = async (what: Locator) => {
    await what.click();
    taps += 1;
  };
  await tap(client.link("Start"));
  await expect(client.title("Any of these today?")).toBeVisible();
  await look("check");
  await tap(page.getByRole("group", { name: /at rest/ }).getByRole("button", { name: "2", exact: true }));
  await expect(client.button("Start the first set")).toBeVisible();
  await look("set-up");
  await tap(client.button("Start the first set"));
  await client.runFor(COUNT_IN + 1);
  await look("set");
  const words = Object.values(read).reduce((sum, count) => sum + count);
  const grade = readingGrade(lines);
  record({
    "client.words_to_first_cue": words,
    "client.taps_to_first_cue": taps,
    "client.reading_grade": Math.round(grade * 10) / 10,
  });
  expect(taps).toBe(3);
  expect(grade).toBeLessThanOrEqual(MOST_YEARS);
  expect(words, JSON.stringify(read)).toBeLessThanOrEqual(MOST_WORDS);
});

test("on the next morning two taps lead from the opened app to the lights", async ({ page }) => {
  const small = oneExercise();
  const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until(NEXT_MORNING);
  await client.reload();
  let taps = 0;
  for (const name of ["2", "No more than the day before"]) {
    await page.getByRole("button", { name, exact: true }).click();
    taps += 1;
  }
  await expect(client.title("Your lights")).toBeVisible();
  await expect(client.saved()).toBeVisible();
  await expect(client.verdict(stairs.name)).toContainText("Keep");
  record({ "client.taps_morning": taps });
  expect(taps).toBe(2);
});
