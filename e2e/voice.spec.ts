/** The voice: asked for once, then it leads through a session; and a screen reader hears the same without it. */
import type { Page } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import { Client, COUNT_IN, EVENING, SHORT_COUNT_IN, oneExercise, shipped } from "./pages.ts";

declare global {
  interface Window {
    spoken: string[];
  }
}

/** Gives the device a voice of its own, and keeps what it was given to say. */
async function giveVoice(page: Page): Promise<void> {
  await page.addInitScript(() => {
    window.spoken = [];
    const voice = Object.create(SpeechSynthesisVoice.prototype, {
      localService: { value: true },
      lang: { value: "en-GB" },
      name: { value: "the device's own" },
    });
    Object.defineProperty(SpeechSynthesisUtterance.prototype, "voice", { get: () => voice, set: () => {} });
    SpeechSynthesis.prototype.getVoices = () => [voice];
    SpeechSynthesis.prototype.speak = ({ text }) => void window.spoken.push(text);
  });
}

const spoken = (page: Page) => page.evaluate(() => window.spoken);

test("the device asks once whether it shall speak, and then leads from what to fetch to the end", async ({ page }) => {
  await giveVoice(page);
  const client = await Client.with(page, shipped("demo"), EVENING);
  await client.begin();
  expect(await spoken(page)).toEqual([]);
  await client.expectAccessible();
  await client.button("Yes, speak").click();
  await client.runFor(1);
  expect((await spoken(page))[0]).toMatch(/^Exercise 1 of 4: Still heel raise\. You need a clear wall\. Stand one step away/);
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 31);
  await expect(client.question()).toBeVisible();
  const said = await spoken(page);
  for (const line of ["Set 1 of 3. Get ready.", "Stay, heels up. 30 seconds.", "Half-way.", "Three.", "Two.", "One."]) {
    expect(said).toContain(line);
  }
  expect(said.at(-1)).toBe("Set 1 of 3 is done. How much did it hurt? Tap a number from 0 to 10. Rest, 30 seconds.");
  await expect(page.locator(".unseen[role=status]")).toBeEmpty();
  await client.rate(4);
  await client.runFor(0.2);
  expect((await spoken(page)).at(-1)).toBe("4. The next set is one rung down: both hands flat on the wall, a shorter time.");
  await client.reload();
  await expect(page.getByText("Shall this phone speak?")).toBeHidden();
});

test("without an answer it speaks from the first set on", async ({ page }) => {
  await giveVoice(page);
  const client = await Client.with(page, oneExercise(), EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(1);
  expect(await spoken(page)).toEqual(["Set 1 of 3. Get ready."]);
});

test("where it shall not speak, it does not, and a screen reader hears each phase once and no counting", async ({ page }) => {
  await giveVoice(page);
  const client = await Client.with(page, oneExercise(), EVENING);
  await client.begin();
  await client.button("No, sounds only").click();
  await client.startFirstSet();
  const region = page.locator(".unseen[role=status]");
  await expect(region).toHaveCount(1);
  await client.runFor(COUNT_IN + 0.5);
  await expect(region).toHaveText(/^Lower/);
  await client.runFor(1);
  await expect(region).toHaveText(/^Lower/);
  await client.runFor(2);
  await expect(region).toHaveText(/^Lift/);
  expect(await spoken(page)).toEqual([]);
});

test("Space pauses and goes on, and digits rate, where no button has the focus", async ({ page }) => {
  const client = await Client.with(page, oneExercise(), EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 1);
  await page.keyboard.press("Space");
  await expect(client.button(/^Go on with set 1/)).toBeVisible();
  await page.keyboard.press("Space");
  await expect(client.button("Pause")).toBeVisible();
  await client.runFor(SHORT_COUNT_IN + 1);
  await client.button("End set").click();
  await expect(page.getByRole("main")).toBeFocused();
  await page.keyboard.press("3");
  await expect(client.point(3)).toHaveAttribute("aria-pressed", "true");
  await page.keyboard.press("1");
  await page.keyboard.press("0");
  await expect(client.point(10)).toHaveAttribute("aria-pressed", "true");
  await client.runFor(2);
  await page.keyboard.press("0");
  await expect(client.point(0)).toHaveAttribute("aria-pressed", "true");
  await expect(client.saved()).toBeVisible();
});
