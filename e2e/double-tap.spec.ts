/** A finger that bounces: the second tap of two never does what the next screen has at the same place. */
import { expect, test } from "./fixtures.ts";
import { COUNT_IN, Client, EVENING, kinds, oneExercise, only, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin", hasTouch: true });

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

test("from the file to the first cue", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  await client.openFile("demo.json", shipped("demo"));
  await client.button("Use this routine").dblclick();
  await expect(client.title(/^Good /)).toBeVisible();
  await client.runFor(2);
  await client.link("Start").click();
  await page
    .getByRole("group", { name: /at rest/ })
    .getByRole("button", { name: "2", exact: true })
    .dblclick();
  await expect(page.getByText("Exercise 1 of 4")).toBeVisible();
  await client.runFor(2);
  await client.button("Start the first set").dblclick();
  await expect(client.timer()).toHaveText(String(COUNT_IN));
  expect(kinds(await client.stored())).toEqual(["routine_accepted", "rule_explained", "session_started"]);
});

test("Pause only pauses", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 6);
  await client.button("Pause").dblclick();
  await expect(page.getByText("Paused", { exact: true })).toBeVisible();
  await client.runFor(2);
  await client.button(/^Go on with/).dblclick();
  await client.runFor(2);
  await expect(client.button("Pause")).toBeVisible();
  expect(kinds(await client.stored())).toEqual(["routine_accepted", "rule_explained", "session_started"]);
});

test("the next set is not stopped before it began", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await client.rate(1);
  await client.runFor(2);
  await client.button("Next set").dblclick();
  await expect(page.getByText("set 2 of 3", { exact: true })).toBeVisible();
  await client.runFor(2);
  await client.button("Stop, it hurts").dblclick();
  await expect(page.getByRole("heading", { name: "How bad was it when you stopped?" })).toBeVisible();
  expect(only(await client.stored(), "set_ended").map(({ fact }) => fact.ending)).toEqual([
    "complete",
    "pain",
  ]);
});

test("a rating given twice is one rating, and the next exercise waits", async ({ page }) => {
  const client = await Client.with(page, shipped("heel-drop"), EVENING);
  const [straight, bent] = shipped("heel-drop").routine.exercises;
  if (!straight || !bent) throw new Error("the routine has too few exercises");
  await client.begin();
  await client.startFirstSet();
  await client.workSet(straight);
  await client.point(7).dblclick();
  await expect(client.meaning()).toContainText("This exercise ends here today.");
  await client.runFor(2);
  await client.button("Go on").dblclick();
  await expect(client.title(bent.name)).toBeVisible();
  const events = await client.stored();
  expect(new Set(only(events, "set_rated").map(({ fact }) => fact.rating))).toEqual(new Set([7]));
  expect(only(events, "exercise_left_out")).toEqual([]);
});

test("Done leads to Today and no further", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.train(stairs, [1, 1, 1]);
  await client.runFor(2);
  await client.button("Done").dblclick();
  await expect(page.getByText("Done for today. Well done.")).toBeVisible();
});
