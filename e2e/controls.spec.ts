// In a set: pause, one rep back, the set again, a set left out, a slower count, rests that wait.
import type { Page } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import { Client, COUNT_IN, EVENING, SHORT_COUNT_IN, oneExercise, only } from "./pages.ts";

const file = oneExercise((routine) => {
  routine.limits.after_middle_set = "same";
});
/** Five reps of three seconds down and two up. */
const REP = 5;

async function inTheFirstSet(client: Client, secs: number): Promise<void> {
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + secs);
}

test("a pause does not use up the set", async ({ page }) => {
  const client = await Client.with(page, file, EVENING);
  await inTheFirstSet(client, 2 * REP + 1);
  await expect(page.getByText("rep 3 of 5")).toBeVisible();
  await client.button("Pause").click();
  await client.runFor(600);
  await expect(page.getByText("rep 3 of 5")).toBeVisible();
  await client.button(/^Go on with set 1/).click();
  // The third rep is begun anew.
  await client.runFor(SHORT_COUNT_IN + 3 * REP);
  await expect(client.question()).toBeVisible();
  const [ended] = only(await client.stored(), "set_ended");
  expect(ended?.fact).toMatchObject({ reps: 5, work_secs: 25, ending: "complete" });
});

test("one rep back, then the set again, each from a short count-in", async ({ page }) => {
  const client = await Client.with(page, file, EVENING);
  await inTheFirstSet(client, 2 * REP + 1);
  await client.button("Pause").click();
  await client.otherwise("One rep back");
  await expect(page.getByText("rep 2 of 5")).toBeVisible();
  await client.otherwise("Set again");
  await expect(page.getByText("rep 1 of 5")).toBeVisible();
  await client.runFor(SHORT_COUNT_IN + 5 * REP);
  await expect(client.question()).toBeVisible();
  const [ended] = only(await client.stored(), "set_ended");
  expect(ended?.fact).toMatchObject({ reps: 5, work_secs: 25 });
});

test("a set left out is noted, and the next one begins", async ({ page }) => {
  const client = await Client.with(page, file, EVENING);
  await inTheFirstSet(client, 5 * REP);
  await client.rate(1);
  await client.button("Leave out the next set").click();
  await expect(page.getByText("set 3 of 3", { exact: true })).toBeVisible();
  const left = only(await client.stored(), "set_ended").map(({ fact }) => fact);
  expect(left[1]).toMatchObject({ ending: "left_out", reps: 0, work_secs: 0 });
  await client.reload();
  await expect(client.button("Go on with set 3 of 3")).toBeVisible();
});

test("a slower count and rests that wait are kept for the next session", async ({ page }) => {
  const client = await Client.with(page, file, EVENING);
  await client.link("Sound and voice").click();
  await page.getByRole("button", { name: "1.5", exact: true }).click();
  await page.getByLabel(/Wait until I am ready/).check();
  await client.expectAccessible();
  await client.link("Back to Today").click();
  await client.reload();
  await inTheFirstSet(client, 5 * REP + 1);
  await expect(client.question()).toBeHidden();
  await client.runFor(2.5 * REP);
  await client.rate(1);
  await client.runFor(120);
  await expect(page.getByText("The rest is over").first()).toBeVisible();
  await client.button("Next set").click();
  await expect(page.getByText("set 2 of 3", { exact: true })).toBeVisible();
});

test("Stop stays where it is in every phase of a set", async ({ page }) => {
  const client = await Client.with(page, file, EVENING);
  await client.begin();
  await client.startFirstSet();
  const place = () => client.button("Stop, it hurts").boundingBox();
  const first = await place();
  for (let phase = 0; phase < 6; phase += 1) {
    await client.runFor(2);
    expect(await place()).toEqual(first);
  }
  await client.button("Pause").click();
  expect(await place()).toEqual(first);
});

/** So large that it is read across a room: a part of the screen's height, or all the width there is. */
async function expectWordsAcrossTheRoom(page: Page, word: string, share: number): Promise<void> {
  for (const [width, height] of [[360, 740], [740, 360], [390, 844], [1280, 800]] as const) {
    await page.setViewportSize({ width, height });
    const [set] = await page.getByText(word, { exact: true }).all();
    const size = await set!.evaluate((element) => parseFloat(getComputedStyle(element).fontSize));
    const box = await set!.boundingBox();
    expect(size, `${width} x ${height}`).toBeGreaterThanOrEqual(height * share);
    expect((box?.x ?? 0) + (box?.width ?? 0)).toBeLessThanOrEqual(width);
  }
}

test("the phase word stands an eighth of the screen's height and more, upright and on its side", async ({ page }) => {
  const client = await Client.with(page, file, EVENING);
  await inTheFirstSet(client, 1);
  await expectWordsAcrossTheRoom(page, "Lower", 1 / 8);
  await client.button("Pause").click();
  await expectWordsAcrossTheRoom(page, "Lower", 1 / 8);
  await client.button(/^Go on with/).click();
  await client.runFor(SHORT_COUNT_IN + 1);
  await client.button("End set").click();
  await expectWordsAcrossTheRoom(page, "Rest", 1 / 20);
  await client.rate(1);
  await expectWordsAcrossTheRoom(page, "Rest", 1 / 20);
});

test("sound that the device took away is said, and a tap brings it back", async ({ page }) => {
  await page.addInitScript(() => {
    const contexts: AudioContext[] = [];
    const Real = AudioContext;
    Object.assign(window, {
      contexts,
      AudioContext: class extends Real {
        constructor() {
          super();
          contexts.push(this);
        }
      },
    });
  });
  const client = await Client.with(page, file, EVENING);
  await inTheFirstSet(client, 1);
  await expect(page.getByText("Sound is off")).toBeHidden();
  await page.evaluate(() => (window as unknown as { contexts: AudioContext[] }).contexts[0]?.suspend());
  await client.runFor(2);
  await page.getByRole("button", { name: "Sound is off. Tap to bring it back" }).click();
  await client.runFor(2);
  await expect(page.getByText("Sound is off")).toBeHidden();
  const states = await page.evaluate(() =>
    (window as unknown as { contexts: AudioContext[] }).contexts.map(({ state }) => state),
  );
  expect(states).toEqual(["closed", "running"]);
});

test("the numbers stay where they are when the rest is over, under a thumb on its way to one", async ({ page }) => {
  const [exercise] = file.routine.exercises as [(typeof file.routine.exercises)[0]];
  const client = await Client.with(page, file, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(exercise);
  const before = await client.point(6).boundingBox();
  await client.runFor(exercise.dose.rest_secs + 1);
  await expect(page.getByText("The rest is over", { exact: true })).toBeVisible();
  expect(await client.point(6).boundingBox()).toEqual(before);
});
