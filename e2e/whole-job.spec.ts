/**
 * The whole job, with each routine that ships: from the file to the next morning's lights and back
 * to the practitioner.
 */
import { expect, test } from "./fixtures.ts";
import {
  COUNT_IN,
  Client,
  EVENING,
  NEXT_MORNING,
  SHORT_COUNT_IN,
  doseOn,
  expectNothingDoubled,
  helpOn,
  kinds,
  only,
  ratingsOf,
  shipped,
  workSeconds,
} from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const SETTING_UP = 45;

for (const name of ["demo", "heel-drop", "knee-days-5-12"]) {
  test(`${name}: from the file to the next morning's lights, and back to the practitioner`, async ({
    page,
  }) => {
    const file = shipped(name);
    const { routine } = file;
    const sites = routine.limits.sites.map((site) => site.name);
    const client = await Client.at(page, EVENING);

    await test.step("the routine is shown before it is taken on", async () => {
      await client.openFile(`${name}.json`, file);
      await expect(client.title(routine.title)).toBeVisible();
      for (const exercise of routine.exercises) {
        await expect(page.getByRole("heading", { name: exercise.name })).toBeVisible();
      }
      expect(await client.stored()).toEqual([]);
      await client.accept();
    });

    await test.step("Today says what, how long, and what to fetch", async () => {
      const lines = page.getByRole("list").first().getByRole("listitem");
      const fetch = page.locator("details").filter({ hasText: /^Fetch / });
      await fetch.locator("summary").click();
      await expect(lines).toHaveCount(routine.exercises.length);
      for (const [index, exercise] of routine.exercises.entries()) {
        await expect(lines.nth(index)).toContainText(exercise.name);
        await expect(lines.nth(index)).toContainText("New");
        for (const thing of exercise.equipment ?? [])
          await expect(fetch.locator("p")).toContainText(thing, { ignoreCase: true });
      }
      await expect(page.getByText(/^\d+ min$/)).toHaveText(`${minutes(routine.exercises)} min`);
    });

    await test.step("three taps from Today to the first cue", async () => {
      let taps = 0;
      const tap = async (what: ReturnType<Client["button"]>) => {
        await what.click();
        taps += 1;
      };
      await tap(client.link("Start"));
      await tap(page.getByRole("group", { name: /at rest/ }).getByRole("button", { name: "2", exact: true }));
      await tap(client.button("Start the first set"));
      await expect(client.timer()).toHaveText(String(COUNT_IN));
      expect(taps).toBe(3);
    });

    const tapped: [string, number, number, string | undefined][] = [];
    for (const [index, exercise] of routine.exercises.entries()) {
      await test.step(exercise.name, async () => {
        if (0 < index) {
          await expect(client.title(exercise.name)).toBeVisible();
          await expect(page.getByText(`Exercise ${index + 1} of ${routine.exercises.length}`)).toBeVisible();
          await client.startFirstSet();
        }
        const { sets, rest_secs } = doseOn(exercise);
        let countIn = COUNT_IN;
        for (let set = 1; set <= sets; set += 1) {
          await expect(page.getByText(`set ${set} of ${sets}`, { exact: true }).first()).toBeVisible();
          await client.workSet(exercise, exercise.ladder.start, countIn);
          const rating = (index + set) % 2;
          const site = rating === 0 ? undefined : sites[set % sites.length];
          await client.rate(rating, site);
          tapped.push([exercise.id, set, rating, site]);
          const card = client.meaning();
          await expect(card).toContainText(
            `Your physio set 0 to ${routine.limits.table.low_max} as low. This was ${rating}.`,
          );
          if (set === sets) {
            await expect(card).toContainText("This exercise is done for today");
            await client.button("Go on").click();
          } else if (set === 1) {
            // The rest runs out, and the next set begins by itself.
            await expect(client.timer()).toHaveText(clock(rest_secs - 0.5));
            await client.runFor(rest_secs - 1);
            await expect(client.question()).toBeVisible();
            await client.runFor(0.5);
            countIn = 0;
          } else {
            await client.button("Next set").click();
            countIn = SHORT_COUNT_IN;
          }
        }
      });
    }

    await test.step("the end says what was done, and when the morning check comes", async () => {
      await expect(client.title("Session done")).toBeVisible();
      for (const exercise of routine.exercises) {
        const { sets } = doseOn(exercise);
        await expect(client.line(exercise.name)).toContainText(`${sets} of ${sets} sets, worst 1`);
        await expect(client.line(exercise.name)).toContainText("Keep");
      }
      await expect(page.getByText("Morning check: tomorrow, from 4 in the morning on.")).toBeVisible();
      await page.getByRole("textbox").fill("The stairs are cold.");
      await client.finish();
    });

    await test.step("the next morning takes two taps", async () => {
      await client.until(NEXT_MORNING);
      await client.openMorning();
      let taps = 0;
      for (const answer of [
        page
          .getByRole("group", { name: /^Pain this morning/ })
          .getByRole("button", { name: "2", exact: true }),
        client.button("No more than the day before"),
      ]) {
        await answer.click();
        taps += 1;
      }
      await expect(client.title("Your lights")).toBeVisible();
      expect(taps).toBe(2);
    });

    await test.step("each light has its reasons, the practitioner's limit, and what happens next", async () => {
      const { low_max, middle_max } = routine.limits.table;
      for (const exercise of routine.exercises) {
        const card = client.verdict(exercise.name);
        await expect(card).toContainText("Keep");
        await expect(await client.reason(exercise.name, /^During/)).toContainText(`1`);
        await expect(await client.reason(exercise.name, /^During/)).toContainText(`low: 0 to ${low_max}`);
        await expect(await client.reason(exercise.name, /^Next morning/)).toContainText("as usual or better");
        await expect(card).toContainText(
          `Your physio set: pain up to ${low_max} is low, up to ${middle_max} is middle, more is high.`,
        );
        // The load stands after the words of the rung, where they do not name it.
        const next = exercise.id === "band-leg-out" ? `${helpOn(exercise)}, light loop band` : helpOn(exercise);
        await expect(card).toContainText(`Next time: the same, ${next}.`);
      }
      await client.done();
    });

    await test.step("Today has the lights, and the next session to start", async () => {
      await expect(client.link("Answer the morning check")).toHaveCount(0);
      for (const exercise of routine.exercises)
        await expect(client.line(exercise.name)).toContainText("Keep");
      await expect(client.link("Start")).toBeVisible();
    });

    await test.step("the log that is handed back tells all of it, in order", async () => {
      const { download, events } = await client.handBack();
      expect(download.suggestedFilename()).toBe("carryover-log-2026-11-26.txt");
      const sets = routine.exercises.map((exercise) => doseOn(exercise).sets);
      const work = routine.exercises.flatMap((exercise, index) => Array(sets[index]).fill(exercise));
      const order = kinds(events).filter(
        (kind, index, all) => kind !== "set_rated" || all[index - 1] !== "set_rated",
      );
      expect(order).toEqual([
        "routine_accepted",
        "rule_explained",
        "session_started",
        ...work.flatMap(() => ["set_ended", "set_rated"]),
        "session_ended",
        ...routine.exercises.map(() => "verdict_given"),
        "note",
        "morning_answered",
        ...routine.exercises.map(() => "verdict_given"),
        "handed_back",
      ]);
      expectNothingDoubled(events);
      expect(ratingsOf(events)).toEqual(tapped);
      expect(
        only(events, "set_ended").map(({ fact }) => [
          fact.set.exercise,
          fact.rung,
          fact.reps,
          fact.work_secs,
          fact.ending,
        ]),
      ).toEqual(
        work.map((exercise) => [
          exercise.id,
          exercise.ladder.start,
          exercise.dose.reps * (exercise.dose.sides === "in_turn" ? 2 : 1),
          workSeconds(exercise),
          "complete",
        ]),
      );
      expect(only(events, "session_started")[0]?.fact).toMatchObject({ routine: routine.id, at_rest: 2 });
      expect(only(events, "note")[0]?.fact.text).toBe("The stairs are cold.");
      expect(only(events, "morning_answered")[0]?.fact).toEqual({
        after: "2026-11-25",
        ratings: Object.fromEntries(routine.exercises.map(({ id }) => [id, 2])),
        swelling: "no_more",
      });
      const orders = only(events, "verdict_given").map(({ fact }) => fact.order);
      expect(new Set(orders.slice(0, routine.exercises.length))).toEqual(new Set(["keep_unanswered"]));
      // Where only pain at rest tells what is usual, the first day does not count.
      const told = routine.limits.usual_morning === undefined ? "keep_unanswered" : "keep_and_count";
      expect(new Set(orders.slice(routine.exercises.length))).toEqual(new Set([told]));
      expect(events[0]?.fact.routine).toEqual(routine);
      expect(await client.stored()).toEqual(events);
    });
  });
}

test("the demo is one tap away, and shown before it is taken on", async ({ page }) => {
  const { routine } = shipped("demo");
  const client = await Client.at(page, EVENING);
  await client.button("Try the demo").click();
  await expect(client.title(routine.title)).toBeVisible();
  await client.button("Not now").click();
  await expect(client.title("Carryover")).toBeVisible();
  await client.button("Try the demo").click();
  await client.accept();
  await expect(client.line("Still heel raise")).toBeVisible();
});

test("the demo is called one on every screen, stays out of the client's log, and is left in one tap", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  await client.button("Try the demo").click();
  const isCalledOne = () => expect(page.getByText(/^(This is the demo|Demo)\./)).toBeVisible();
  await isCalledOne();
  await client.accept();
  await isCalledOne();
  await client.link("Start").click();
  await isCalledOne();
  await page.getByRole("group", { name: /at rest/ }).getByRole("button", { name: "2", exact: true }).click();
  await isCalledOne();
  await client.startFirstSet();
  await isCalledOne();
  await client.button("Stop, it hurts").click();
  await isCalledOne();
  await client.rate(4);
  await client.reload();
  await isCalledOne();
  await client.link("Leave the demo").click();
  await expect(client.title("Carryover")).toBeVisible();
  await expect(page.getByText("This is the demo.")).toHaveCount(0);
  expect(await client.stored()).toEqual([]);
});

/** What Today says a session takes: 45 seconds to set up each exercise, its work, and the rests between its sets. */
function minutes(exercises: Parameters<typeof doseOn>[0][]): number {
  const secs = exercises.map((exercise) => {
    const { sets, rest_secs } = doseOn(exercise);
    return SETTING_UP + sets * workSeconds(exercise) + (sets - 1) * rest_secs;
  });
  return Math.ceil(secs.reduce((sum, one) => sum + one, 0) / 60);
}

function clock(secs: number): string {
  const whole = Math.ceil(secs);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
