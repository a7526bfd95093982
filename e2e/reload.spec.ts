/** The page is loaded anew in the middle of a session: it goes on where it was, and nothing is lost or doubled. */
import { expect, test } from "./fixtures.ts";
import {
  COUNT_IN,
  Client,
  EVENING,
  SHORT_COUNT_IN,
  expectNothingDoubled,
  helpOn,
  kinds,
  only,
  ratingsOf,
  shipped,
} from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const demo = shipped("demo");
const [wall, chair, band] = demo.routine.exercises as [Exercise, Exercise, Exercise];
const tendon = demo.routine.limits.sites[0]?.name ?? "";
type Exercise = (typeof demo.routine.exercises)[0];

/** Loads the page anew, from Today as after the browser was closed. */
async function reopen(client: Client): Promise<void> {
  await client.page.goto("/");
  await client.link("Go on with your session").click();
}

for (const [how, again] of [
  ["a reload", (client: Client) => client.reload()],
  ["the browser closed", reopen],
] as const) {
  test.describe(how, () => {
    test("in a count-in: the set is there, paused before its first rep", async ({ page }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.begin();
      await client.startFirstSet();
      await client.runFor(5);
      await again(client);
      await expect(page.getByText("Paused", { exact: true })).toBeVisible();
      await expect(client.timer()).toHaveText(String(SHORT_COUNT_IN));
      await client.runFor(60);
      await client.button(/^Go on with set 1 of 3/).click();
      await client.workSet(wall, wall.ladder.start, SHORT_COUNT_IN);
      await client.rate(1);
      const events = await client.stored();
      expect(kinds(events)).toEqual(["routine_accepted", "rule_explained", "session_started", "set_ended", "set_rated"]);
      expect(only(events, "set_ended")[0]?.fact).toMatchObject({
        reps: 1,
        work_secs: 30,
        ending: "complete",
      });
    });

    test("in the third rep of a set: it goes on before that rep, and every rep counts once", async ({
      page,
    }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.begin();
      await client.button("Leave out today").click();
      await client.startFirstSet();
      await client.runFor(COUNT_IN + 12);
      await expect(page.getByText(/^rep 3 of 10/)).toBeVisible();
      await again(client);
      await expect(page.getByText(/^rep 3 of 10/)).toBeVisible();
      await client.button(/^Go on with set 1 of 2/).click();
      await client.runFor(SHORT_COUNT_IN + 8 * 5 - 0.5);
      await expect(client.button("Stop, it hurts")).toBeVisible();
      await client.runFor(0.5);
      await client.rate(1);
      const events = await client.stored();
      expectNothingDoubled(events);
      expect(only(events, "set_ended").map(({ fact }) => [fact.reps, fact.work_secs])).toEqual([[10, 50]]);
    });

    test("on the second side of a set: it goes on on that side", async ({ page }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.begin();
      await client.button("Leave out today").click();
      await client.button("Leave out today").click();
      await client.startFirstSet();
      // Eight reps of 5 s on the left, 10 s to change, one rep and a bit on the right.
      await client.runFor(COUNT_IN + 40 + 10 + 7);
      await expect(page.getByText("rep 2 of 8")).toBeVisible();
      await expect(page.getByText(/^right: /)).toBeVisible();
      await again(client);
      await expect(page.getByText("rep 2 of 8")).toBeVisible();
      await expect(page.getByText(/^right: /)).toBeVisible();
      await client.button(/^Go on with set 1 of 2/).click();
      await client.runFor(SHORT_COUNT_IN + 7 * 5);
      await client.rate(1);
      const [set] = only(await client.stored(), "set_ended");
      expect(set?.fact).toMatchObject({ set: { exercise: band.id, number: 1 }, reps: 16, work_secs: 80 });
    });

    test("in a hold: the hold is done again in full, and only that is counted", async ({ page }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.begin();
      await client.startFirstSet();
      await client.runFor(COUNT_IN + 20);
      await again(client);
      await client.button(/^Go on with set 1 of 3/).click();
      await client.runFor(SHORT_COUNT_IN + 29.5);
      await expect(client.timer()).toHaveText("1");
      await client.runFor(1);
      await client.rate(1);
      expect(only(await client.stored(), "set_ended").map(({ fact }) => [fact.reps, fact.work_secs])).toEqual(
        [[1, 30]],
      );
    });

    test("in a rest, rated: the rest goes on, and the rating stands", async ({ page }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.begin();
      await client.startFirstSet();
      await client.workSet(wall);
      await client.rate(2, tendon);
      await client.runFor(9.5);
      await expect(client.timer()).toHaveText("0:20");
      await again(client);
      await expect(client.timer()).toHaveText("0:20");
      await expect(client.point(2)).toHaveAttribute("aria-pressed", "true");
      await expect(client.button(tendon)).toHaveAttribute("aria-pressed", "true");
      await client.runFor(19);
      await expect(client.question()).toBeVisible();
      await client.runFor(1.5);
      await expect(page.getByText("set 2 of 3", { exact: true })).toBeVisible();
      const events = await client.stored();
      expectNothingDoubled(events);
      expect(ratingsOf(events)).toEqual([[wall.id, 1, 2, tendon]]);
    });

    test("before a rating: it is asked again, and nothing is chosen", async ({ page }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.begin();
      await client.startFirstSet();
      await client.workSet(wall);
      await client.runFor(40);
      await again(client);
      await expect(client.question()).toBeVisible();
      await expect(page.getByRole("button", { pressed: true })).toHaveCount(0);
      await client.rate(3);
      await client.button("Next set").click();
      await expect(page.getByText(helpOn(wall, 1))).toBeVisible();
      const events = await client.stored();
      expect(kinds(events)).toEqual(["routine_accepted", "rule_explained", "session_started", "set_ended", "set_rated"]);
    });

    test('after "Stop, it hurts": how bad it was is asked again, and the exercise stays ended', async ({
      page,
    }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.stopFirstSetAt(5);
      await again(client);
      await expect(page.getByRole("heading", { name: "How bad was it when you stopped?" })).toBeVisible();
      await client.rate(7);
      await expect(client.meaning()).toContainText("This exercise ends here today.");
      await again(client);
      await expect(client.title(/Heel lift on a chair|How bad was it/)).toBeVisible();
      const events = await client.stored();
      expectNothingDoubled(events);
      expect(ratingsOf(events)).toEqual([[wall.id, 1, 7, undefined]]);
    });

    test("between two exercises: the next one is waiting", async ({ page }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.begin();
      await client.train(wall, [1, 0, 1]);
      await expect(client.title(chair.name)).toBeVisible();
      await again(client);
      await expect(client.title(chair.name)).toBeVisible();
      await expect(page.getByText("Exercise 2 of 4")).toBeVisible();
      await client.button("Leave out today").click();
      await again(client);
      await expect(page.getByText("Exercise 3 of 4")).toBeVisible();
      expectNothingDoubled(await client.stored());
    });

    test("in an eased set: it stays eased", async ({ page }) => {
      const client = await Client.with(page, demo, EVENING);
      await client.begin();
      await client.startFirstSet();
      await client.workSet(wall);
      await client.rate(4);
      await client.button("Next set").click();
      await client.runFor(SHORT_COUNT_IN + 5);
      await again(client);
      await client.button(/^Go on with set 2 of 3/).click();
      await expect(page.getByText(helpOn(wall, 1))).toBeVisible();
      await client.workSet(wall, 1, SHORT_COUNT_IN);
      await client.rate(1);
      expect(
        only(await client.stored(), "set_ended").map(({ fact }) => [
          fact.set.number,
          fact.rung,
          fact.work_secs,
        ]),
      ).toEqual([
        [1, 2, 30],
        [2, 1, 20],
      ]);
    });
  });
}

test("on the end page: it is still there, and nothing ends twice", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.train(wall, [1, 0, 1]);
  await client.button("End session").click();
  await expect(client.title("Session done")).toBeVisible();
  await expect(client.saved()).toBeVisible();
  const before = await client.stored();
  await client.reload();
  await expect(client.title("Session done")).toBeVisible();
  await expect(client.line(wall.name)).toContainText("3 of 3 sets, worst 1");
  await page.getByRole("textbox").fill("Went well.");
  await client.finish();
  const events = await client.stored();
  expect(events.slice(0, before.length)).toEqual(before);
  expect(kinds(events.slice(before.length))).toEqual(["note"]);
});

test("a session left open yesterday is not taken up today, and what was done counts", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.begin();
  await client.train(wall, [1, 0, 1]);
  await page.goto("/");
  await client.until("2026-11-26T19:00:00+01:00");
  await client.reload();
  await expect(client.link("Go on with your session")).toHaveCount(0);
  await client.answerMorning(2);
  await expect(client.verdict(wall.name)).toContainText("Keep");
  await client.done();
  await expect(client.link("Start")).toBeVisible();
});
