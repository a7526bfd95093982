/** What stands beside the lights: usual mornings, slips put right, high pain, breaks, and who opens what. */
import { withoutFacts } from "./device.ts";
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING, oneExercise, only } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();
const unknown = oneExercise((routine) => {
  delete routine.limits.usual_morning;
});
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];
const QUESTION = "On a usual morning lately, how much does it hurt?";

test("what a usual morning is like is asked once, answered in a tap, and what mornings are read against", async ({
  page,
}) => {
  const client = await Client.with(page, unknown, EVENING);
  await page.getByRole("group", { name: QUESTION }).getByRole("button", { name: "3", exact: true }).click();
  await expect(page.getByRole("heading", { name: QUESTION })).toHaveCount(0);
  await client.reload();
  await expect(client.title(/^Good /)).toBeVisible();
  await expect(page.getByRole("heading", { name: QUESTION })).toHaveCount(0);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until(NEXT_MORNING);
  await client.answerMorning(3);
  await expect(await client.reason(stairs.name, /^Next morning/)).toContainText(
    "usual, as said at the start, 3: as usual or better",
  );
  expect(only(await client.stored(), "usual_morning").map(({ fact }) => fact.rating)).toEqual([3]);
});

test("the question about usual mornings can be left out, and is not asked where the visit recorded it", async ({
  page,
}) => {
  const client = await Client.with(page, unknown, EVENING);
  await client.button("I do not know").click();
  await expect(page.getByRole("heading", { name: QUESTION })).toHaveCount(0);
  await client.reload();
  await expect(client.title(/^Good /)).toBeVisible();
  await expect(page.getByRole("heading", { name: QUESTION })).toHaveCount(0);
  expect(only(await client.stored(), "usual_morning")).toEqual([]);
});

test("a mistaken 10 is put right after the session, and both ratings stand in the log", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [10]);
  await expect(client.line(stairs.name)).toContainText("Hold");
  await client.link("Change a rating").click();
  await client.button(/^Change Set 1/).click();
  await page
    .getByRole("group", { name: "The worst pain in that set, as you meant it" })
    .getByRole("button", { name: "1", exact: true })
    .click();
  await expect(client.saved()).toBeVisible();
  await client.link("Back to Today").click();
  await expect(client.line(stairs.name)).toContainText("Keep");
  const events = await client.stored();
  expect(only(events, "set_rated").map(({ fact }) => fact.rating)).toEqual([10]);
  expect(only(events, "corrected").map(({ fact }) => fact.rating)).toEqual([1]);
});

test("a rating cannot be changed once the next session of the exercise has begun", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await expect(client.link("Change a rating")).toBeVisible();
  await client.until("2026-11-26T18:30:00+01:00");
  await client.begin();
  await page.goto("/ratings");
  await expect(page.getByText("There is no rating to change now.")).toBeVisible();
});

test("pain that is high at rest is said before a session, and forbids nothing", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.link("Start").click();
  const atRest = page.getByRole("group", { name: /at rest/ });
  await atRest.getByRole("button", { name: "7", exact: true }).click();
  await expect(client.title("It hurts a lot already")).toBeVisible();
  await expect(page.getByText(/^You tapped 7 at rest\. .*'s limits call that high\./)).toBeVisible();
  await client.expectAccessible();
  await client.button("Go on all the same").click();
  await expect(client.button("Start the first set")).toBeVisible();
});

test("a morning that is high is said beside the lights and on Today, before anything is begun", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-26T07:00:00+01:00");
  await client.answerMorning(7);
  const high = page.getByText(/^You tapped 7 this morning\. .*'s limits call that high\./);
  await expect(client.title("Your lights")).toBeVisible();
  await expect(high).toBeVisible();
  await client.done();
  await expect(client.link("Start")).toBeVisible();
  await expect(high).toBeVisible();
});

test("a high morning is said, too, where its check was left half answered, and where a Hold came of it", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-26T07:00:00+01:00");
  const high = page.getByText(/^You tapped 7 this morning\. .*'s limits call that high\./);
  await page.getByRole("group", { name: "How much does it hurt this morning?" }).getByRole("button", { name: "7", exact: true }).click();
  await client.link("Back to Today").click();
  await expect(high).toBeVisible();
  await client.link("Start").click();
  await page.getByRole("group", { name: /at rest/ }).getByRole("button", { name: "3", exact: true }).click();
  await expect(client.title("It hurts a lot already")).toBeVisible();
  await expect(high).toBeVisible();
  await client.link("Not today").click();
  await client.link("Answer the morning check").click();
  await client.button("Clearly more").click();
  await expect(client.title("Your lights")).toBeVisible();
  await expect(page.getByText(/call that high\. If it does not settle, or you are not sure, ring .+\.$/)).toBeVisible();
});

test("the morning check is asked the morning after, never on the evening of the Hold", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [8]);
  await expect(client.line(stairs.name)).toContainText("Hold");
  await expect(client.link("Answer the morning check")).toHaveCount(0);
  await client.until("2026-11-26T01:00:00+01:00");
  await expect(client.link("Answer the morning check")).toHaveCount(0);
  await client.until("2026-11-26T04:01:00+01:00");
  await expect(client.link("Answer the morning check")).toBeVisible();
});

test("a session after midnight belongs to the day before", async ({ page }) => {
  const client = await Client.with(page, small, "2026-11-26T00:30:00+01:00");
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-26T07:00:00+01:00");
  await client.answerMorning(2);
  const told = only(await client.stored(), "verdict_given").map(({ fact }) => fact.day);
  expect(new Set(told)).toEqual(new Set(["2026-11-25"]));
});

test("after a break the first day back starts lower, and says so", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until(NEXT_MORNING);
  await client.answerMorning(1);
  await client.done();
  await client.until("2026-12-16T18:30:00+01:00");
  await client.reload();
  await expect(
    page.getByText("It is 21 days since you last trained. The first day back starts one step easier."),
  ).toBeVisible();
  await client.begin();
  const plans = only(await client.stored(), "session_started").map(({ fact }) => fact.plan[0].from.rung);
  expect(plans).toEqual([2, 1]);
});

test("the practitioner rang: days off after a Hold are lifted for one exercise by name", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [8]);
  await client.until("2026-11-26T12:00:00+01:00");
  await client.line(stairs.name).getByRole("link").click();
  await client.button("Someone qualified said to go on with this one").click();
  await client.button("Yes, they said to go on").click();
  await client.link("Back to Today").click();
  await expect(client.link("Start")).toBeVisible();
  expect(only(await client.stored(), "go_ahead").map(({ fact }) => fact.lifts)).toEqual([
    { exercise: stairs.id },
  ]);
});

test("a log begun before the second edition says so once", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await withoutFacts(page, "rule_explained");
  await client.reload();
  const notice = page.getByText("The rule behind your lights was made safer.");
  await expect(notice).toBeVisible();
  await client.button("I have read it").click();
  await expect(notice).toHaveCount(0);
  await client.reload();
  await expect(client.title(/^Good /)).toBeVisible();
  await expect(notice).toHaveCount(0);
});
