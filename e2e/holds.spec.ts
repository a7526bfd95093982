/** What a Hold does to the days after it: left out, asked each morning, and back one rung down. */
import { expect, test } from "./fixtures.ts";
import { Client, oneExercise, only } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise((routine) => {
  routine.practitioner = "Mira";
});
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];
const evening = (day: number) => `2026-11-${day}T18:30:00+01:00`;
const morning = (day: number) => `2026-11-${day}T06:40:00+01:00`;

test("after a Hold the exercise is left out, and comes back one rung down once a morning is as usual", async ({
  page,
}) => {
  const client = await Client.with(page, small, evening(23));
  await client.trainDay(stairs, [6]);

  await client.until(morning(24));
  await client.answerMorning(3);
  const card = client.verdict(stairs.name);
  await expect(card).toContainText("Hold");
  await expect(await client.reason(stairs.name, /^During/)).toContainText("high: 6 to 10 or stopped");
  await expect(await client.reason(stairs.name, /^Next morning/)).toContainText(
    "usual at the visit 2: up by less than 2",
  );
  await expect(card).toContainText(
    "Leave it out. Back on Thursday at the earliest, once a morning is as usual again. Then one rung down: both hands on the banister.",
  );
  await expect(card).toContainText("Mira set: pain up to 2 is low, up to 5 is middle, more is high.");
  await client.done();
  await expect(client.line(stairs.name)).toContainText("left out, back on Thursday at the earliest");
  await expect(page.getByText("Nothing to do today. Rest is part of the plan.")).toBeVisible();
  await expect(client.link(/Start|Train again/)).toHaveCount(0);

  await client.until(morning(25));
  await client.answerMorning(3);
  await client.done();
  await client.until(morning(26));
  await expect(client.line(stairs.name)).toContainText("left out until a morning is as usual");
  await client.answerMorning(2);
  await client.done();
  await expect(client.line(stairs.name)).toContainText("Back");
  await expect(client.line(stairs.name)).toContainText("both hands on the banister");
  await client.trainDay(stairs, [1, 1, 1], 1);
  const plan = only(await client.stored(), "session_started").map(({ fact }) => fact.plan[0].from.rung);
  expect(plan).toEqual([2, 1]);
});

test("a settled morning after a high day means Ease: one rung down, at once", async ({ page }) => {
  const client = await Client.with(page, small, evening(23));
  await client.trainDay(stairs, [6]);
  await expect(client.line(stairs.name)).toContainText("Hold");
  await client.until(morning(24));
  await client.answerMorning(2);
  await expect(client.verdict(stairs.name)).toContainText("Ease");
  await expect(client.verdict(stairs.name)).toContainText(
    "Next time: one rung down, both hands on the banister.",
  );
  await client.done();
  await client.begin();
  await expect(page.getByText("both hands on the banister").first()).toBeVisible();
});

test("two Holds within seven days stop the exercise until someone qualified has answered", async ({
  page,
}) => {
  const client = await Client.with(page, small, evening(23));
  await client.trainDay(stairs, [6]);
  await client.until(morning(24));
  await client.answerMorning(3);
  await client.done();
  await client.until(morning(26));
  await client.answerMorning(2);
  await client.done();
  await client.trainDay(stairs, [7], 1);
  await expect(client.line(stairs.name)).toContainText("left out until someone qualified has answered");
  await expect(
    page.getByText(
      "Leave it out until Mira has answered, unless the next morning is as usual: two Holds came within seven days.",
    ),
  ).toBeVisible();
  await expect(client.link(/Start|Train again/)).toHaveCount(0);
  await client.line(stairs.name).getByRole("link").click();
  await expect(await client.reason(stairs.name, /^Second Hold/)).toContainText(
    "within 7 days",
  );
  await client.link("Back to Today").click();

  await client.until(evening(29));
  await expect(client.link("Start")).toHaveCount(0);
  await expect(
    page.getByText("Leave it out until Mira has answered: two Holds came within seven days."),
  ).toBeVisible();
  await client.button("Someone qualified said to go on").click();
  await client.button("Yes, they said to go on").click();
  await expect(client.link("Start")).toBeVisible();
  await expect(client.line(stairs.name)).toContainText("rung 1, 1 set fewer: both hands on the banister");
});

test("seven days without a settled morning, and the practitioner is asked for", async ({ page }) => {
  const client = await Client.with(page, small, "2026-11-10T18:30:00+01:00");
  await client.trainDay(stairs, [6]);
  for (const day of [11, 12, 14, 17]) {
    await client.until(morning(day));
    await client.answerMorning(4);
    await client.done();
    await expect(client.line(stairs.name)).toContainText("left out");
  }
  await client.until(morning(18));
  // The practitioner wants to see it settle, so mornings are asked while it is stopped, too.
  await expect(client.link("Answer the morning check")).toBeVisible();
  await expect(
    page.getByText("Leave it out until Mira has answered: seven days went by without a settled morning."),
  ).toBeVisible();
  await expect(client.button("Someone qualified said to go on")).toBeVisible();
});

test("three good days in a row climb one rung where the practitioner allowed it, and no more within the week", async ({
  page,
}) => {
  const climbing = oneExercise((routine) => {
    routine.limits.may_step_up = "to_the_ceiling";
  });
  const client = await Client.with(page, climbing, evening(16));
  for (const day of [16, 17, 18]) {
    await client.trainDay(stairs, [1, 1, 1]);
    await client.until(morning(day + 1));
    await client.answerMorning(2);
    await expect(client.verdict(stairs.name)).toContainText(
      day === 18 ? "Next time: one rung up, no hands." : "Next time: the same, one hand.",
    );
    await client.done();
  }
  await client.begin();
  await expect(page.getByText("no hands").first()).toBeVisible();
});

test("where the practitioner decides the next step, the app only says that it is time to talk", async ({
  page,
}) => {
  const client = await Client.with(page, small, evening(16));
  for (const day of [16, 17, 18]) {
    await client.trainDay(stairs, [1, 1, 1]);
    await client.until(morning(day + 1));
    await client.answerMorning(2);
    await client.done();
  }
  await expect(client.line(stairs.name)).toContainText("Ready to talk about the next step");
  await expect(client.line(stairs.name)).toContainText("one hand");
});
