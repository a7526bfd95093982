/** Travelling across time zones: the days are those of the clock on the wall where the client is. */
import type { BrowserContext, Page } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import { Client, oneExercise, only } from "./pages.ts";

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

/** A page on a device whose zone can change under way, and what changes it. */
async function travelling(
  openDevice: (options: { timezoneId: undefined }) => Promise<BrowserContext>,
): Promise<[Page, (zone: string) => Promise<void>]> {
  const context = await openDevice({ timezoneId: undefined });
  const page = await context.newPage();
  const device = await context.newCDPSession(page);
  return [
    page,
    async (timezoneId) => void (await device.send("Emulation.setTimezoneOverride", { timezoneId })),
  ];
}

test("a flight west: the next morning is that of the new place", async ({ openDevice }) => {
  const [page, to] = await travelling(openDevice);
  await to("Europe/Berlin");
  const client = await Client.with(page, small, "2026-11-25T20:00:00+01:00");
  await client.trainDay(stairs, [1, 1, 1]);
  await to("America/New_York");
  // Six in the morning in Berlin, still night in New York.
  await client.until("2026-11-26T06:00:00+01:00");
  await expect(page.getByText(/^Thursday 26 November/)).toBeVisible();
  await expect(client.link("Answer the morning check")).toHaveCount(0);
  await client.until("2026-11-26T07:00:00-05:00");
  await client.answerMorning(2);
  const events = await client.stored();
  expect(only(events, "session_started")[0]).toMatchObject({
    zone: "Europe/Berlin",
    at: expect.stringMatching(/\+01:00$/),
  });
  expect(only(events, "morning_answered")[0]).toMatchObject({
    zone: "America/New_York",
    at: expect.stringMatching(/^2026-11-26T07:00:.*-05:00$/),
  });
  expect(only(events, "verdict_given").at(-1)?.fact).toMatchObject({
    day: "2026-11-25",
    order: "keep_and_count",
  });
});

test("a flight east across the date line: no day is asked for twice, and none is lost", async ({
  openDevice,
}) => {
  const [page, to] = await travelling(openDevice);
  await to("America/Los_Angeles");
  const client = await Client.with(page, small, "2026-11-25T20:00:00-08:00");
  await client.trainDay(stairs, [1, 1, 1]);
  await to("Asia/Tokyo");
  await client.until("2026-11-26T18:00:00+09:00");
  await client.answerMorning(2);
  await client.done();
  await client.trainDay(stairs, [2, 2, 2]);
  await client.until("2026-11-27T07:00:00+09:00");
  await client.answerMorning(2);
  const events = await client.stored();
  expect(only(events, "morning_answered").map(({ fact }) => fact.after)).toEqual([
    "2026-11-25",
    "2026-11-26",
  ]);
  expect(only(events, "verdict_given").map(({ fact }) => [fact.day, fact.order])).toEqual([
    ["2026-11-25", "keep_unanswered"],
    ["2026-11-25", "keep_and_count"],
    ["2026-11-26", "keep_unanswered"],
    ["2026-11-26", "keep_and_count"],
  ]);
});

test("the zone changes in the middle of a session: every set belongs to the day it started", async ({
  openDevice,
}) => {
  const [page, to] = await travelling(openDevice);
  await to("Europe/Berlin");
  const client = await Client.with(page, small, "2026-11-25T23:30:00+01:00");
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await client.rate(1);
  // One hour further east it is past midnight.
  await to("Europe/Helsinki");
  await client.button("Next set").click();
  await client.workSet(stairs, 2, 4);
  await client.rate(4);
  await client.button("Next set").click();
  await client.workSet(stairs, 2, 4);
  await client.rate(1);
  await client.button("Go on").click();
  await client.finish();
  const events = await client.stored();
  expect(only(events, "set_ended").map(({ at }) => at.slice(0, 10))).toEqual([
    "2026-11-25",
    "2026-11-26",
    "2026-11-26",
  ]);
  await client.until("2026-11-26T06:40:00+02:00");
  await client.answerMorning(2);
  expect(only(await client.stored(), "verdict_given").at(-1)?.fact).toMatchObject({
    day: "2026-11-25",
    order: "keep_and_stay",
  });
});
