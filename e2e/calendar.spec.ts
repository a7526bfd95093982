/** Days and mornings: midnight, four o'clock, and the nights on which the clocks change. */
import { expect, test } from "./fixtures.ts";
import { COUNT_IN, Client, oneExercise, only } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

test("a session across midnight belongs to the day it started", async ({ page }) => {
  const client = await Client.with(page, small, "2026-11-25T23:59:20+01:00");
  await client.begin();
  await client.train(stairs, [1, 3, 1]);
  await expect(client.title("Session done")).toBeVisible();
  await expect(page.getByText("Morning check: today, from 4 in the morning on.")).toBeVisible();
  await client.finish();
  const events = await client.stored();
  const days = only(events, "set_ended").map(({ at }) => at.slice(0, 10));
  expect(days).toEqual(["2026-11-25", "2026-11-26", "2026-11-26"]);
  expect(only(events, "verdict_given").map(({ fact }) => fact.day)).toEqual(["2026-11-25"]);

  await client.until("2026-11-26T06:40:00+01:00");
  await expect(page.getByText("After Wed 25 Nov.")).toBeVisible();
  await client.answerMorning(2);
  await expect(await client.reason(stairs.name, /^During/)).toContainText("3");
  await client.done();
  expect(only(await client.stored(), "morning_answered")[0]?.fact.after).toBe("2026-11-25");
  await client.until("2026-11-27T06:40:00+01:00");
  await expect(client.title("Good morning")).toBeVisible();
  await expect(client.link("Answer the morning check")).toHaveCount(0);
});

test("the page turns into the next day by itself, and the morning begins at four", async ({ page }) => {
  const client = await Client.with(page, small, "2026-11-25T20:00:00+01:00");
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-26T03:59:50+01:00");
  await expect(page.getByText(/^Thursday 26 November/)).toBeVisible();
  await expect(client.title("Good evening")).toBeVisible();
  await expect(client.link("Answer the morning check")).toHaveCount(0);
  await page.goto("/morning");
  await expect(client.title("Nothing to answer now")).toBeVisible();
  await client.link("Back to Today").click();
  await client.runFor(15);
  await expect(client.title("Good morning")).toBeVisible();
  await client.answerMorning(2);
  expect(only(await client.stored(), "morning_answered")[0]?.at).toMatch(/^2026-11-26T04:00:0/);
});

test("the morning check can still be answered in the last minute of the day", async ({ page }) => {
  const client = await Client.with(page, small, "2026-11-25T20:00:00+01:00");
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-26T23:59:00+01:00");
  await client.answerMorning(2);
  expect(only(await client.stored(), "verdict_given").at(-1)?.fact.order).toBe("keep_and_count");
});

for (const [night, saturday, sunday, before, after] of [
  ["the clocks go forward", "2026-03-28", "2026-03-29", "+01:00", "+02:00"],
  ["the clocks go back", "2026-10-24", "2026-10-25", "+02:00", "+01:00"],
] as const) {
  test(`a session in the evening and a morning at four, on the night in which ${night}`, async ({ page }) => {
    const client = await Client.with(page, small, `${saturday}T21:00:00${before}`);
    await client.trainDay(stairs, [1, 1, 1]);
    await client.until(`${sunday}T03:59:30${after}`);
    await expect(page.getByText(/^Sunday /)).toBeVisible();
    await expect(client.link("Answer the morning check")).toHaveCount(0);
    await client.runFor(60);
    await client.answerMorning(2);
    const events = await client.stored();
    expect(only(events, "session_started")[0]?.at).toMatch(new RegExp(`^${saturday}T21:00:00.*\\${before}$`));
    expect(only(events, "morning_answered")[0]?.at).toMatch(new RegExp(`^${sunday}T04:00:30.*\\${after}$`));
    expect(only(events, "morning_answered")[0]?.fact.after).toBe(saturday);
    expect(only(events, "verdict_given").at(-1)?.fact).toMatchObject({
      day: saturday,
      order: "keep_and_count",
    });
  });

  test(`a session runs through the hour in which ${night}`, async ({ page }) => {
    // The change comes 30 seconds after the first cue.
    const change = Date.parse(`${sunday}T01:00:00Z`);
    const start = new Date(change - (COUNT_IN + 12) * 1000).toISOString();
    const client = await Client.with(page, small, start);
    await client.begin();
    await client.train(stairs, [1, 1, 1]);
    // After midnight it is still the training day before, and its morning is still to come.
    await expect(page.getByText("Morning check: today, from 4 in the morning on.")).toBeVisible();
    await client.finish();
    const events = await client.stored();
    expect(only(events, "session_started")[0]?.at).toMatch(new RegExp(`\\${before}$`));
    const sets = only(events, "set_ended");
    expect(sets[0]?.at).toMatch(new RegExp(`\\${after}$`));
    expect(sets.map(({ fact }) => [fact.reps, fact.work_secs])).toEqual([
      [5, 25],
      [5, 25],
      [5, 25],
    ]);
    const moments = events.map(({ at }) => Date.parse(at));
    expect([...moments].sort((a, b) => a - b)).toEqual(moments);
    expect(only(events, "verdict_given").map(({ fact }) => fact.day)).toEqual([saturday]);
  });
}

test("exercises are asked for on their days only", async ({ page }) => {
  const file = oneExercise((routine) => {
    Object.assign(routine.exercises[0]?.dose ?? {}, { days: ["wed", "fri"] });
  });
  const client = await Client.with(page, file, "2026-11-26T18:00:00+01:00");
  await expect(client.line(stairs.name)).toContainText("rest day for this one");
  await expect(client.link("Start")).toHaveCount(0);
  await client.until("2026-11-27T18:00:00+01:00");
  await expect(client.link("Start")).toBeVisible();
});
