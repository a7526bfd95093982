/** Doing less, or more, than planned: always one tap, never a reproach, and noted as it was. */
import { expect, test } from "./fixtures.ts";
import {
  COUNT_IN,
  Client,
  EVENING,
  SHORT_COUNT_IN,
  expectNothingDoubled,
  kinds,
  oneExercise,
  only,
  shipped,
} from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const demo = shipped("demo");
const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

test("an exercise is left out, and stays on the list of the day", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.button("Leave out today").click();
  await expect(client.title("Heel lift on a chair")).toBeVisible();
  await client.button("Leave out today").click();
  await client.button("Leave out today").click();
  await client.button("Leave out and finish").click();
  await expect(client.title("Session done")).toBeVisible();
  await expect(client.line("Still heel raise")).toContainText("not done");
  await client.finish();
  await expect(client.link("Start")).toBeVisible();
  await expect(client.line("Still heel raise")).toContainText("New");
  const events = await client.stored();
  expect(kinds(events)).toEqual([
    "routine_accepted",
    "rule_explained",
    "session_started",
    ...Array(4).fill("exercise_left_out"),
    "session_ended",
  ]);
});

test("the session is ended early, and what is left can be done later", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  const [wall] = demo.routine.exercises;
  if (!wall) throw new Error("the demo has no exercise");
  await client.begin();
  await client.train(wall, [1, 0, 1]);
  await client.button("End session").click();
  await expect(client.line("Still heel raise")).toContainText("3 of 3 sets, worst 1");
  await expect(client.line("Heel lift on a chair")).toContainText("not done");
  await client.finish();
  await expect(client.line("Still heel raise")).toContainText("done");
  await client.begin();
  await expect(page.getByText("Exercise 1 of 3")).toBeVisible();
  await expect(client.title("Heel lift on a chair")).toBeVisible();
});

test("the whole session is ended in the middle of a set", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 12);
  await client.button("Pause").click();
  await client.runFor(600);
  await client.otherwise("End all");
  await expect(client.title("Session done")).toBeVisible();
  const events = await client.stored();
  expect(only(events, "set_ended").map(({ fact }) => [fact.ending, fact.reps, fact.work_secs])).toEqual([
    ["short", 0, 12],
  ]);
  expect(only(events, "exercise_left_out")).toHaveLength(3);
  expect(only(events, "session_ended")).toHaveLength(1);
});

test("a set is ended short, rated all the same, and noted with what was done", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 13);
  await expect(page.getByText(/^rep 3 of 5/)).toBeVisible();
  await client.button("End set").click();
  await client.rate(2);
  await expect(client.button("Next set")).toBeVisible();
  const [set] = only(await client.stored(), "set_ended");
  expect(set?.fact).toMatchObject({ reps: 2, work_secs: 13, ending: "short" });
});

test("a pause does not use up the set", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 1);
  await expect(client.timer()).toHaveText("2");
  await client.button("Pause").click();
  await expect(page.getByText("Paused", { exact: true })).toBeVisible();
  await client.runFor(1800);
  await expect(client.timer()).toHaveText("2");
  await client.button(/^Go on with set 1 of 3/).click();
  // The first rep is begun anew.
  await client.runFor(SHORT_COUNT_IN + 25 - 0.5);
  await expect(client.button("Stop, it hurts")).toBeVisible();
  await client.runFor(0.5);
  await client.rate(1);
  expect(only(await client.stored(), "set_ended")[0]?.fact).toMatchObject({
    reps: 5,
    work_secs: 25,
    ending: "complete",
  });
});

test("a set can go unrated, and nothing is made up for it", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await client.runFor(stairs.dose.rest_secs + 1);
  await expect(page.getByText("The rest is over").last()).toBeVisible();
  await expect(client.question()).toBeVisible();
  await client.button("Next set, without a rating").click();
  await client.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
  await client.button("Next set, without a rating").click();
  await client.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
  await client.button("Go on without a rating").click();
  await expect(client.line(stairs.name)).toContainText("3 of 3 sets, not rated");
  await client.finish();
  const events = await client.stored();
  expect(only(events, "set_rated")).toEqual([]);
  expect(only(events, "verdict_given")).toEqual([]);
});

test("a rest can be made longer", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await client.rate(1);
  await client.runFor(9.5);
  await expect(client.timer()).toHaveText("0:20");
  await client.button("Add 15 s").click();
  await expect(client.timer()).toHaveText("0:35");
  await client.runFor(34);
  await expect(client.question()).toBeVisible();
  await client.runFor(2);
  await expect(page.getByText("set 2 of 3", { exact: true })).toBeVisible();
});

test("once all is done, one can train again, and both sessions count", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await expect(page.getByText("Done for today. Well done.")).toBeVisible();
  await expect(client.link("Train again")).toBeVisible();
  await client.runFor(1800);
  await client.trainDay(stairs, [2, 3, 2]);
  await client.until("2026-11-26T07:00:00+01:00");
  await client.answerMorning(2);
  await expect(await client.reason(stairs.name, /^During/)).toContainText("3");
  const events = await client.stored();
  expectNothingDoubled(events);
  expect(only(events, "session_started")).toHaveLength(2);
  expect(only(events, "set_ended")).toHaveLength(6);
});

test("a set that never began is no set", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(3);
  await client.button("Pause").click();
  await client.otherwise("End all");
  await client.finish();
  await expect(client.link("Start")).toBeVisible();
  await expect(client.line(stairs.name)).not.toContainText("done");
  expect(only(await client.stored(), "set_ended")).toEqual([]);
  await client.until("2026-11-26T07:00:00+01:00");
  await expect(client.title("Good morning")).toBeVisible();
  await expect(client.link("Answer the morning check")).toHaveCount(0);
});

test("going back from a session leads to Today, and from there to the same session", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await client.rate(1);
  await page.goBack();
  await client.link("Go on with your session").click();
  await expect(client.point(1)).toHaveAttribute("aria-pressed", "true");
  await page.goto("/check");
  await expect(client.question()).toBeVisible();
  expect(only(await client.stored(), "session_started")).toHaveLength(1);
});

test("looking at another page in the middle of a set pauses it, and nothing is counted meanwhile", async ({
  page,
}) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 7);
  await page.goBack();
  await client.runFor(600);
  await client.link("Go on with your session").click();
  await expect(page.getByText("Paused", { exact: true })).toBeVisible();
  await expect(page.getByText("rep 2 of 5")).toBeVisible();
  await client.runFor(60);
  expect(only(await client.stored(), "set_ended")).toEqual([]);
});

test("a routine for twice a day asks for the second session, and both make one training day", async ({
  page,
}) => {
  const file = oneExercise((routine) => {
    Object.assign(routine.exercises[0]?.dose ?? {}, { times_a_day: 2 });
  });
  const client = await Client.with(page, file, "2026-11-25T08:00:00+01:00");
  await client.trainDay(stairs, [4, 1, 1]);
  await expect(client.line(stairs.name)).toContainText("1 of 2 done");
  await expect(client.link("Start")).toBeVisible();
  await client.until("2026-11-25T19:00:00+01:00");
  await client.trainDay(stairs, [1, 1, 1]);
  await expect(client.line(stairs.name)).toContainText("2 of 2 done");
  await expect(client.link("Train again")).toBeVisible();
  await client.until("2026-11-26T07:00:00+01:00");
  await client.answerMorning(3);
  await expect(client.verdict(stairs.name)).toContainText("Ease");
  await expect(await client.reason(stairs.name, /^During/)).toContainText("4");
  const told = only(await client.stored(), "verdict_given").map(({ fact }) => [fact.day, fact.order]);
  expect(told.at(-1)).toEqual(["2026-11-25", "ease"]);
});
