/** How much a new client reads on the way from the link to the first cue, and how often they tap. */
import type { Locator } from "@playwright/test";
import { record } from "./bench/results.mjs";
import { expect, test } from "./fixtures.ts";
import { fragment, serveLibrary } from "./links.ts";
import { Client, COUNT_IN, EVENING, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

/** On all screens together. */
const MOST_WORDS = 350;

test("from the link to the first cue there is little to read, and three taps from Today", async ({ page }) => {
  await serveLibrary(page);
  const demo = shipped("demo").routine;
  const client = await Client.at(page, EVENING, `/take#${fragment("good")}`);
  const read: Record<string, number> = {};
  /** The words that stand on a screen; what is behind a tap does not. */
  const look = async (screen: string) => {
    const text = await page.locator("main").innerText();
    // A scale of pain is read at a glance, not a word at a time.
    const words = text.split(/\s+/).filter((word) => /\p{L}/u.test(word));
    read[screen] = words.length;
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
  record({ "client.words_to_first_cue": words, "client.taps_to_first_cue": taps }, "walk");
  expect(taps).toBe(3);
  expect(words, JSON.stringify(read)).toBeLessThanOrEqual(MOST_WORDS);
});
