/** Clocks that are set under way, and a phone that sleeps for a week: the log stays in order, each day on its own. */
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, SHORT_COUNT_IN, expectNothingDoubled, oneExercise, only } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

test("the clock is set back in mid-session: the sets stay in order, and the next morning is the right one", async ({
  page,
}) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await client.rate(1);
  await page.clock.setSystemTime(Date.parse("2026-11-23T10:00:00+01:00"));
  await client.button("Next set").click();
  await client.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
  await client.rate(2);
  await client.startAnew();
  await client.runFor(1);
  await expect(client.point(2)).toHaveAttribute("aria-pressed", "true");
  await client.button("Next set").click();
  await client.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
  await client.rate(1);
  await client.button("Go on").click();
  await client.finish();
  await page.clock.setSystemTime(Date.parse("2026-11-26T07:00:00+01:00"));
  await client.reload();
  await client.answerMorning(2);
  const events = await client.stored();
  expectNothingDoubled(events);
  expect(events.map(({ id }) => id)).toEqual(events.map(({ id }) => id).sort());
  expect(only(events, "set_ended").map(({ fact }) => fact.set.number)).toEqual([1, 2, 3]);
  expect(only(events, "session_started")).toHaveLength(1);
  expect(only(events, "morning_answered")[0]?.fact.after).toBe("2026-11-25");
  expect(only(events, "verdict_given").map(({ fact }) => [fact.day, fact.order])).toEqual([
    ["2026-11-25", "keep_unanswered"],
    ["2026-11-25", "keep_and_count"],
  ]);
});

test("a phone asleep for a week in mid-session: what was done is kept on its day, and today begins anew", async ({
  page,
}) => {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await client.sleepFor(7 * 24 * 3600);
  // The rating was owed for a week; it is still taken, for the day of the set.
  await client.rate(2);
  await client.button("Next set").click();
  await expect(client.title(/^Good /)).toBeVisible();
  await expect(client.link("Go on with your session")).toHaveCount(0);
  await expect(client.link("Answer the morning check")).toHaveCount(0);
  await client.trainDay(stairs, [1, 1, 1]);
  const events = await client.stored();
  expectNothingDoubled(events);
  expect(only(events, "session_started").map(({ at }) => at.slice(0, 10))).toEqual(["2026-11-25", "2026-12-02"]);
  const [old, today] = only(events, "session_started").map(({ id }) => id);
  expect(only(events, "set_rated").map(({ fact }) => fact.set.session)).toEqual([old, today, today, today]);
});
