/** The morning check: two taps, put right when it was a slip, and each exercise by itself when they differ. */
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING, kinds, oneExercise, only, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

test("a slip is put right, and both answers stay in the log", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until(NEXT_MORNING);
  await client.answerMorning(5);
  await expect(client.verdict(stairs.name)).toContainText("Ease");
  await client.button("Change an answer").click();
  const scale = page.getByRole("group", { name: /^Pain this morning/ });
  await expect(scale.getByRole("button", { name: "5", exact: true })).toHaveAttribute("aria-pressed", "true");
  await client.button("Leave it as it is").click();
  await expect(client.verdict(stairs.name)).toContainText("Ease");
  await client.button("Change an answer").click();
  await scale.getByRole("button", { name: "2", exact: true }).click();
  await client.button("Save the change").click();
  await expect(client.verdict(stairs.name)).toContainText("Keep");
  await expect(client.saved()).toBeVisible();
  // What was not changed is not noted again.
  const events = (await client.stored()).slice(-4);
  const [answered] = only(events, "morning_answered");
  expect(answered?.fact.ratings).toEqual({ [stairs.id]: 5 });
  expect(only(events, "corrected").map(({ fact }) => fact)).toEqual([
    { of: answered?.id, exercise: stairs.id, rating: 2 },
  ]);
  expect(only(events, "verdict_given").map(({ fact }) => fact.order)).toEqual(["ease", "keep_and_count"]);
  await client.done();
  await expect(client.line(stairs.name)).toContainText("Keep");
});

test("a number tapped before the swelling waits, whichever way the screen is left", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until(NEXT_MORNING);
  const scale = page.getByRole("group", { name: /^Pain this morning/ });
  const four = scale.getByRole("button", { name: "4", exact: true });
  await client.link("Answer the morning check").click();
  await four.click();
  await client.link("Back to Today").click();
  await client.link("Answer the morning check").click();
  await expect(four).toHaveAttribute("aria-pressed", "true");
  await client.reload();
  await expect(four).toHaveAttribute("aria-pressed", "true");
  expect(only(await client.stored(), "morning_answered")).toEqual([]);
  await client.button("No more than the day before").click();
  await expect(client.verdict(stairs.name)).toBeVisible();
  expect(only(await client.stored(), "morning_answered").map(({ fact }) => fact.ratings)).toEqual([
    { [stairs.id]: 4 },
  ]);
});

test("a number tapped on Today is not noted before the swelling is, and is still there", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until(NEXT_MORNING);
  const asked = page.getByRole("group", { name: "How much does it hurt this morning?" });
  await asked.getByRole("button", { name: "6", exact: true }).click();
  const scale = page.getByRole("group", { name: /^Pain this morning/ });
  await expect(scale.getByRole("button", { name: "6", exact: true })).toHaveAttribute("aria-pressed", "true");
  await client.link("Back to Today").click();
  // Begun, it is gone on with: Today asks no second time.
  await expect(asked).toHaveCount(0);
  await client.link("Answer the morning check").click();
  await expect(scale.getByRole("button", { name: "6", exact: true })).toHaveAttribute("aria-pressed", "true");
  expect(only(await client.stored(), "morning_answered")).toEqual([]);
  // It can be another number up to then.
  await scale.getByRole("button", { name: "4", exact: true }).click();
  await client.button("No more than the day before").click();
  await expect(client.title("Your lights")).toBeVisible();
});

test("a swelling tapped by mistake is put right", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until(NEXT_MORNING);
  await client.answerMorning(2, "Clearly more");
  const card = client.verdict(stairs.name);
  await expect(card).toContainText("Hold");
  await expect(await client.reason(stairs.name, /^Swelling/)).toContainText("always Hold");
  await client.button("Change an answer").click();
  await client.button("A little more").click();
  await client.button("Save the change").click();
  await expect(card).toContainText("Keep");
  await expect(await client.reason(stairs.name, /^Swelling/)).toContainText("no step up");
  await expect(client.saved()).toBeVisible();
  const events = await client.stored();
  expect(only(events, "swelling_corrected").map(({ fact }) => fact.swelling)).toEqual(["a_little_more"]);
  expect(only(events, "verdict_given").map(({ fact }) => fact.order)).toEqual([
    "keep_unanswered",
    "hold_until_rested",
    "keep_and_stay",
  ]);
});

test("each exercise can be rated by itself", async ({ page }) => {
  const file = shipped("heel-drop");
  const [straight, bent] = file.routine.exercises as [
    (typeof file.routine.exercises)[0],
    (typeof file.routine.exercises)[0],
  ];
  const client = await Client.with(page, file, EVENING);
  await client.begin(2);
  await client.train(straight, [1, 1, 1]);
  await client.train(bent, [4, 1, 1]);
  await client.finish();
  await client.until(NEXT_MORNING);
  await client.openMorning();
  await client.button("Rate each by itself").click();
  const scale = (name: string, rating: number) =>
    page
      .getByRole("group", { name: `Pain this morning, ${name}` })
      .getByRole("button", { name: String(rating), exact: true });
  await scale(straight.name, 2).click();
  await client.button("No more than the day before").click();
  await expect(client.title("How much does it hurt this morning?")).toBeVisible();
  await scale(bent.name, 3).click();
  await expect(client.title("Your lights")).toBeVisible();
  await expect(client.verdict(straight.name)).toContainText("Keep");
  await expect(client.verdict(bent.name)).toContainText("Ease");
  await expect(await client.reason(bent.name, /^Next morning/)).toContainText(
    "before the session 2: up by less than 2",
  );
  const order = () => page.locator(".verdict h2:not(.light *)").allInnerTexts();
  expect(await order()).toEqual([straight.name, bent.name]);
  await client.done();
  await client.link("Change this morning's answer").click();
  await expect(client.title("Your lights")).toBeVisible();
  expect(await order(), "the routine's order, whenever they are looked at").toEqual([straight.name, bent.name]);
  const [answer] = only(await client.stored(), "morning_answered");
  expect(answer?.fact).toEqual({
    after: "2026-11-25",
    ratings: { [straight.id]: 2, [bent.id]: 3 },
    swelling: "no_more",
  });
});

test("it is asked once, and no longer when the day has gone by", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-26T22:00:00+01:00");
  await expect(client.link("Answer the morning check")).toBeVisible();
  await client.until("2026-11-27T07:00:00+01:00");
  await expect(page.getByText(/^Friday 27 November/)).toBeVisible();
  await expect(client.link("Answer the morning check")).toHaveCount(0);
  await expect(client.line(stairs.name)).toContainText("Keep");
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-28T07:00:00+01:00");
  await client.answerMorning(2);
  await client.done();
  await expect(client.link("Answer the morning check")).toHaveCount(0);
  await client.link("Change this morning's answer").click();
  await expect(client.title("Your lights")).toBeVisible();
  await client.done();
  expect(kinds(await client.stored()).filter((kind) => kind === "morning_answered")).toHaveLength(1);
});

test("the app stays quiet about mornings when nothing was trained", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.until(NEXT_MORNING);
  await expect(client.title("Good morning")).toBeVisible();
  await expect(client.link("Answer the morning check")).toHaveCount(0);
  await expect(client.link("Start")).toBeVisible();
});
