/** The phone falls asleep in the middle of a session: that time is never credited as work. */
import { expect, test } from "./fixtures.ts";
import { COUNT_IN, Client, EVENING, only, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const demo = shipped("demo");
const [wall, chair] = demo.routine.exercises as [
  (typeof demo.routine.exercises)[0],
  (typeof demo.routine.exercises)[0],
];

test("asleep in a hold: paused, told for how long, and only the rest of the hold is left to do", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 10);
  await client.sleepFor(300);
  await expect(
    page.getByText(/^The phone slept for about (4|5) minutes\. That time was not counted\.$/),
  ).toBeVisible();
  await client.runFor(120);
  await expect(client.timer()).toHaveText("20");
  await client.button(/^Go on with set 1 of 3/).click();
  await expect(page.getByText(/The phone slept/)).toHaveCount(0);
  await client.runFor(20);
  await client.rate(1);
  expect(
    only(await client.stored(), "set_ended").map(({ fact }) => [fact.reps, fact.work_secs, fact.ending]),
  ).toEqual([[1, 30, "complete"]]);
});

test("asleep in the third rep: the reps before it count, the sleep does not", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.button("Leave out today").click();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 2 * 5 + 1);
  await client.sleepFor(300);
  await expect(page.getByText(/^rep 3 of 10/)).toBeVisible();
  await client.otherwise("End set");
  await client.rate(0);
  const [set] = only(await client.stored(), "set_ended");
  expect(set?.fact).toMatchObject({ set: { exercise: chair.id }, reps: 2, ending: "short" });
  expect(set?.fact.work_secs).toBeGreaterThanOrEqual(10);
  expect(set?.fact.work_secs).toBeLessThanOrEqual(12);
});

test("asleep in a count-in: it counts in again", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(2);
  await client.sleepFor(300);
  await expect(page.getByText(/^The phone slept/)).toBeVisible();
  await client.button(/^Go on with set 1 of 3/).click();
  await client.workSet(wall);
});

test("asleep in a rest: no set begins behind one's back", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(wall);
  await client.rate(1);
  await client.sleepFor(300);
  await client.runFor(60);
  await expect(page.getByText("The rest is over").last()).toBeVisible();
  await expect(client.point(1)).toHaveAttribute("aria-pressed", "true");
  await client.button("Next set").click();
  await expect(page.getByText("set 2 of 3", { exact: true })).toBeVisible();
  expect(only(await client.stored(), "set_ended")).toHaveLength(1);
});

test("asleep while paused: still paused, and nothing is lost", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 12);
  await client.button("Pause").click();
  await client.sleepFor(3600);
  await client.button(/^Go on with set 1 of 3/).click();
  await client.runFor(18);
  await client.rate(1);
  expect(only(await client.stored(), "set_ended")[0]?.fact).toMatchObject({
    reps: 1,
    work_secs: 30,
    ending: "complete",
  });
});
