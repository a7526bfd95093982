/** What a rating says, what the end says, what Today says and what the light says agree, in every state of a day. */
import { expect, test } from "./fixtures.ts";
import { Client, COUNT_IN, EVENING, NEXT_MORNING, SHORT_COUNT_IN, helpOn, oneExercise } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const eases = oneExercise();
eases.routine.limits.after_middle_set = "one_rung_down";
const [stairs] = eases.routine.exercises as [(typeof eases.routine.exercises)[0]];
const START = stairs.ladder.start;

/** Each first set's rating, with what the card says then; the sets that follow hurt at 1. */
const SETS: [rating: number | "stop", card: RegExp, rung: number][] = [
  [1, /Next set: the same again/, START],
  [4, new RegExp(`Next set one rung down: ${helpOn(stairs, START - 1)}`), START - 1],
  [8, /This exercise ends here today/, START],
  ["stop", /This exercise ends here today/, START],
];
const MORNINGS = [undefined, 2, 3, 6];

for (const [rating, card, rung] of SETS) {
  for (const morning of MORNINGS) {
    test(`a first set of ${rating}, and a morning of ${morning ?? "silence"}, are one story`, async ({ page }) => {
      const client = await Client.with(page, eases, EVENING);
      await client.begin();
      await client.startFirstSet();
      if (rating === "stop") {
        await client.runFor(COUNT_IN + 2);
        await client.button("Stop, it hurts").click();
        await client.rate(7);
      } else {
        await client.workSet(stairs);
        await client.rate(rating);
      }
      await expect(client.meaning()).toContainText(card);
      // A light is of a day, and this is a set.
      await expect(client.meaning()).not.toContainText(/Keep|Ease|Hold/);
      if (await client.button("Next set").isVisible()) {
        for (const _ of [2, 3]) {
          await client.button("Next set").click();
          await client.workSet(stairs, rung, SHORT_COUNT_IN);
          await client.rate(1);
        }
      }
      await client.button("Go on").click();
      await expect(client.title("Session done")).toBeVisible();
      await expectOneStory(await client.line(stairs.name).innerText(), async () => {
        await client.finish();
        return await client.line(stairs.name).innerText();
      });
      if (morning === undefined) return;
      await client.until(NEXT_MORNING);
      await client.answerMorning(morning);
      await expectOneStory(await client.verdict(stairs.name).innerText(), async () => {
        await client.done();
        return await client.line(stairs.name).innerText();
      });
    });
  }
}

/** Whether a light with what comes next, and the line on Today, name the same light, and the same help or none. */
async function expectOneStory(told: string, today: () => Promise<string>): Promise<void> {
  const line = await today();
  const light = /Keep|Ease|Hold/.exec(told)?.[0];
  expect(light, told).toBeDefined();
  expect(line).toContain(light);
  const helps = stairs.ladder.rungs.map(({ help }) => help);
  const next = /Next time: (?:[^.]*, )?([^.]*)\./.exec(told);
  if (next) {
    const help = helps.find((help) => next[0].includes(help));
    expect(help, told).toBeDefined();
    expect(line).toContain(help);
    expect(/one rung down/.test(told), told).toBe(help !== helpOn(stairs, START));
    for (const other of helps.filter((other) => other !== help)) expect(line).not.toContain(other);
  } else {
    expect(told).toContain("Leave it out.");
    expect(line).toContain("left out");
  }
}
