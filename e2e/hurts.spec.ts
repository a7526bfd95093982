/** When a set hurts: the app eases or ends the exercise as the practitioner set it, and never scolds. */
import { expect, test } from "./fixtures.ts";
import {
  Client,
  EVENING,
  SHORT_COUNT_IN,
  helpOn,
  only,
  ratingsOf,
  setSeconds,
  shipped,
} from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const demo = shipped("demo");
const [wall, chair] = demo.routine.exercises as [
  (typeof demo.routine.exercises)[0],
  (typeof demo.routine.exercises)[0],
];
const [tendon, calf] = demo.routine.limits.sites.map(({ name }) => name) as [string, string];

test("a high rating ends the exercise for the day, kindly", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(wall);
  await client.rate(6);
  await expect(client.meaning()).toContainText("This exercise ends here today");
  await expect(client.meaning()).toContainText(
    "This exercise ends here today. That is the plan, not a failure.",
  );
  await expect(client.meaning()).toContainText("Your physio set above 5 as high");
  await expect(client.button("Next set")).toHaveCount(0);
  await client.button("Go on").click();
  await expect(client.title(chair.name)).toBeVisible();
  await client.button("End session").click();
  await expect(client.line(wall.name)).toContainText("1 of 3 sets, worst 6");
  await expect(client.line(wall.name)).toContainText("Hold");
  await client.finish();
  await expect(client.line(wall.name)).toContainText("left out, back on Saturday at the earliest");
  const events = await client.stored();
  expect(only(events, "set_ended")).toHaveLength(1);
  expect(only(events, "verdict_given").map(({ fact }) => [fact.exercise, fact.order])).toEqual([
    [wall.id, "hold_until_rested"],
  ]);
});

test('"Stop, it hurts" stops at once, asks how bad it was, and ends the exercise whatever the answer', async ({
  page,
}) => {
  const client = await Client.with(page, demo, EVENING);
  await client.stopFirstSetAt(11.5);
  await expect(page.getByRole("heading", { name: "How bad was it when you stopped?" })).toBeVisible();
  await client.rate(1);
  await expect(client.meaning()).toContainText("This exercise ends here today");
  await expect(client.meaning()).toContainText("A set stopped by pain ends the exercise for the day.");
  await client.button("Go on").click();
  await expect(client.title(chair.name)).toBeVisible();
  const [set] = only(await client.stored(), "set_ended");
  expect(set?.fact).toMatchObject({ reps: 0, work_secs: 11, ending: "pain", rung: 2 });
});

test("after a stop a pop can be told of: that ends the session, and only someone qualified lifts it", async ({
  page,
}) => {
  const client = await Client.with(page, demo, EVENING);
  await client.stopFirstSetAt(5);
  await client.rate(8);
  await page.getByText("Did it pop, twist or give way? Warning signs").click();
  await client.expectAccessible();
  await page.getByRole("checkbox", { name: /^A fall, pop or twist/ }).check();
  await client.button("What to do now").click();
  await expect(page.getByText(/^See a doctor or urgent care today\./)).toBeVisible();
  await client.link("Back to Today").click();
  await expect(client.line(chair.name)).toContainText("left out until someone qualified has answered");
  await expect(client.link("Go on with your session")).toHaveCount(0);
  await client.reload();
  await expect(client.link("Go on with your session")).toHaveCount(0);
  await expect(client.button("Someone qualified has looked at this")).toBeVisible();
});

test("a stop tapped by mistake is taken back within ten seconds, and the set goes on where it was", async ({
  page,
}) => {
  const client = await Client.with(page, demo, EVENING);
  await client.stopFirstSetAt(11);
  const takeBack = client.button("Tapped by mistake: back to the set (for 10 seconds)");
  await client.runFor(9.5);
  await takeBack.click();
  await expect(client.button("Go on with set 1 of 3")).toBeVisible();
  await expect(client.timer()).toHaveText("19");
  // What is on the device says the same, should the page die now.
  await client.reload();
  await client.button("Go on with set 1 of 3").click();
  await client.runFor(SHORT_COUNT_IN + 5);
  await client.button("Stop, it hurts").click();
  await client.runFor(10.5);
  await expect(takeBack).toHaveCount(0);
  await client.rate(7);
  const events = await client.stored();
  expect(only(events, "stop_taken_back")).toHaveLength(1);
  expect(only(events, "set_ended").map(({ fact }) => fact.ending)).toEqual(["pain", "pain"]);
  await client.button("Go on").click();
  await client.button("End session").click();
  await expect(client.line(wall.name)).toContainText("0 of 3 sets and 1 in part, worst 7");
});

test("a set stopped by pain ends the exercise without a rating, too", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.stopFirstSetAt(5);
  await client.button("Go on without a rating").click();
  await expect(client.title(chair.name)).toBeVisible();
  await client.button("End session").click();
  await client.finish();
  await expect(client.line(wall.name)).toContainText("Hold");
});

test("a middle rating eases the next set where the practitioner asked for that", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(wall);
  await client.rate(4);
  await expect(client.meaning()).toContainText(`Next set one rung down: ${helpOn(wall, 1)}`);
  await expect(client.meaning()).toContainText("Your physio set 3 to 5 as middle. This was 4.");
  await client.button("Next set").click();
  await expect(page.getByText(helpOn(wall, 1))).toBeVisible();
  expect(setSeconds(wall, 1)).toBe(20);
  await client.workSet(wall, 1, SHORT_COUNT_IN);
  await client.rate(1);
  await client.button("Next set").click();
  await client.workSet(wall, 1, SHORT_COUNT_IN);
  await client.rate(0);
  await client.button("Go on").click();
  expect(only(await client.stored(), "set_ended").map(({ fact }) => [fact.rung, fact.work_secs])).toEqual([
    [2, 30],
    [1, 20],
    [1, 20],
  ]);
});

test("a middle rating changes nothing within the session where the practitioner did not ask", async ({
  page,
}) => {
  const file = shipped("heel-drop");
  const [straight] = file.routine.exercises;
  if (!straight) throw new Error("the routine has no exercise");
  const client = await Client.with(page, file, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(straight);
  await client.rate(4);
  await expect(client.meaning()).toContainText("Next set: the same again");
});

test("where it hurts counts as the practitioner said, and is asked only where something hurts", async ({
  page,
}) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(wall);
  await client.rate(0);
  await expect(page.getByRole("group", { name: "Where did it hurt?" })).toHaveCount(0);
  await client.rate(4);
  await expect(client.meaning()).toContainText("Next set one rung down");
  // It can change what the rating means, so it is seen without scrolling.
  for (const place of [calf, tendon]) await expect(client.button(place)).toBeInViewport({ ratio: 1 });
  await client.button(calf).click();
  await expect(client.meaning()).toContainText("Next set: the same again");
  await client.button(tendon).click();
  await expect(client.meaning()).toContainText("Next set one rung down");
  await client.button(calf).click();
  await client.rate(6);
  await expect(client.meaning()).toContainText("This exercise ends here today");
  await client.rate(4);
  await expect(client.meaning()).toContainText("Next set: the same again");
  expect(ratingsOf(await client.stored())).toEqual([[wall.id, 1, 4, calf]]);
});

test("a slip of the finger is put right by tapping again", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(wall);
  await client.rate(8);
  await expect(client.button("Next set")).toHaveCount(0);
  await client.rate(1);
  await client.button("Next set").click();
  await expect(page.getByText("set 2 of 3", { exact: true })).toBeVisible();
  const events = await client.stored();
  expect(only(events, "set_rated").map(({ fact }) => fact.rating)).toEqual([8, 1]);
  expect(ratingsOf(events)).toEqual([[wall.id, 1, 1, undefined]]);
});

test("a site that counts one zone worse is said to, beside the limit and the rating", async ({ page }) => {
  const file = structuredClone(demo);
  Object.assign(file.routine.limits.sites[0]!, { counts: "one_zone_worse" });
  const client = await Client.with(page, file, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(wall);
  await client.rate(4, tendon);
  await expect(client.meaning()).toContainText(
    `Your physio set 3 to 5 as middle, and pain at the ${tendon} to count one zone worse. This was 4 there, so it counts as high, which ends the exercise for the day.`,
  );
  await expect(client.meaning()).not.toContainText("above 5");
});
