/** A warning sign: care first, everything on Hold, and only someone qualified lifts it. */
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, kinds, oneExercise, only, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const demo = shipped("demo");
const names = demo.routine.exercises.map(({ name }) => name);
const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

test("a sign before the session: care advice, everything on Hold, and back when someone qualified said so", async ({
  page,
}) => {
  const client = await Client.with(page, demo, EVENING);
  await client.link("Start").click();
  await page.getByRole("checkbox", { name: /calf or thigh newly swollen/ }).check();
  await expect(page.getByRole("group", { name: /at rest/ })).toHaveCount(0);
  await client.button("What to do now").click();
  await expect(client.title("Stop here today")).toBeVisible();
  await expect(page.getByText("See a doctor or urgent care today.")).toBeVisible();
  await client.link("Back to Today").click();

  for (const name of names) {
    await expect(client.line(name)).toContainText("Hold");
    await expect(client.line(name)).toContainText("left out until someone qualified has answered");
  }
  await expect(client.link("Start")).toHaveCount(0);
  await expect(
    page.getByText(
      "Leave everything out until your physio or a doctor has said to go on, because a warning sign was ticked.",
    ),
  ).toHaveCount(1);

  await client.button("Someone qualified has looked at this").click();
  await client.button("Not yet").click();
  await expect(client.link("Start")).toHaveCount(0);
  await client.button("Someone qualified has looked at this").click();
  await client.button("Yes, they said to go on").click();
  await expect(client.link("Start")).toBeVisible();
  await expect(client.line("Heel lowering on the stairs")).toContainText("rung 2");
  expect(kinds(await client.stored())).toEqual([
    "routine_accepted",
    "rule_explained",
    "warning_ticked",
    ...Array(4).fill("verdict_given"),
    "go_ahead",
  ]);
});

test("a sign ticked by mistake is taken back within ten seconds of what it led to", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  const tick = page.getByRole("checkbox", { name: /joint stuck/ });
  const takeBack = client.button("Ticked by mistake: take it back (for 10 seconds)");
  await client.link("Start").click();
  await tick.check();
  await client.button("What to do now").click();
  await client.runFor(9.5);
  await takeBack.click();
  await expect(tick).not.toBeChecked();
  await client.link("Back to Today").click();
  await expect(client.link("Start")).toBeVisible();
  for (const name of names) await expect(client.line(name)).toContainText("New");

  await client.link("Start").click();
  await tick.check();
  await client.button("What to do now").click();
  await client.runFor(10.5);
  await expect(takeBack).toHaveCount(0);
  await client.link("Back to Today").click();
  await expect(client.link("Start")).toHaveCount(0);
  const noted = kinds(await client.stored()).filter((kind) => kind.startsWith("warning"));
  expect(noted).toEqual(["warning_ticked", "warning_unticked", "warning_ticked"]);
});

/** One of the numbers that Ofcom sets aside for drama. */
const PHONE = "(01632) 960 123";

test("where something waits for a word, the practitioner's number is one tap away", async ({ page }) => {
  const file = oneExercise((routine) => Object.assign(routine, { phone: PHONE, practitioner: "Robin" }));
  const client = await Client.with(page, file, EVENING);
  await client.link("Start").click();
  await page.getByRole("checkbox", { name: /joint stuck/ }).check();
  await client.button("What to do now").click();
  const ring = client.link(`Ring Robin: ${PHONE}`);
  await expect(ring).toHaveAttribute("href", "tel:01632960123");
  await client.link("Back to Today").click();
  await expect(ring).toHaveAttribute("href", "tel:01632960123");
});

test("a Hold for a warning sign outlasts the night, a reload, and the same routine opened again", async ({
  page,
}) => {
  const client = await Client.with(page, demo, EVENING);
  await client.link("Start").click();
  await page.getByRole("checkbox", { name: /joint stuck/ }).check();
  await client.button("What to do now").click();
  await client.link("Back to Today").click();
  await client.until("2026-11-30T18:30:00+01:00");
  await client.reload();
  for (const name of names) await expect(client.line(name)).toContainText("Hold");
  await client.link("My routine").click();
  await client.openFile("the-same-again.json", demo);
  await expect(
    page.getByText("You already follow this version. Opening it again changes nothing."),
  ).toBeVisible();
  await expect(client.button("Use this routine")).toHaveCount(0);
  await client.button("Back").click();
  await client.link("Back to Today").click();
  for (const name of names) await expect(client.line(name)).toContainText("Hold");
  await expect(client.link("Start")).toHaveCount(0);
});

test("a new version asks whether someone qualified has looked at the sign, and lifts it by no other way", async ({
  page,
}) => {
  const client = await Client.with(page, demo, EVENING);
  await client.link("Start").click();
  await page.getByRole("checkbox", { name: /^Dizzy/ }).check();
  await client.button("What to do now").click();
  await expect(
    page.getByText("Do not train today. Talk to your practitioner or a doctor before you train again."),
  ).toBeVisible();
  await client.link("Back to Today").click();
  await client.until("2026-11-27T18:30:00+01:00");
  const version = (number: number) => ({ ...demo, routine: { ...demo.routine, version: number } });

  await client.link("My routine").click();
  await client.openFile("version-2.json", version(2));
  await expect(page.getByText("Version 2 instead of 1")).toBeVisible();
  await expect(page.getByRole("heading", { name: "Has someone qualified looked at this?" })).toBeVisible();
  await client.button("Not yet. Use it, and stay on Hold").click();
  await expect(client.title(/^Good /)).toBeVisible();
  for (const name of names) await expect(client.line(name)).toContainText("Hold");
  await expect(client.link("Start")).toHaveCount(0);

  await client.link("My routine").click();
  await client.openFile("version-3.json", version(3));
  await client.button("Yes. Use this routine, and go on").click();
  await expect(client.link("Start")).toBeVisible();
  for (const name of names) await expect(client.line(name)).not.toContainText("Hold");
});

test("a sign that was ticked stands, whichever way the screen is left", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.link("Start").click();
  await page.getByRole("checkbox", { name: /joint stuck/ }).check();
  await client.link("Back to Today").click();
  await expect(client.line(stairs.name)).toContainText("Hold");
  await expect(client.link("Start")).toHaveCount(0);
  await expect(page.getByText("See a doctor or urgent care today.")).toBeVisible();
  await client.button("Someone qualified has looked at this").click();
  await client.button("Yes, they said to go on").click();
  await client.link("Start").click();
  await page.getByRole("checkbox", { name: /^Dizzy/ }).check();
  await client.reload();
  await page.goto("/");
  await expect(client.link("Start")).toHaveCount(0);
  await expect(client.line(stairs.name)).toContainText("Hold");
});

test("of several signs, the one that needs the fastest help comes first", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.link("Start").click();
  await page.getByRole("checkbox", { name: /^Dizzy/ }).check();
  await page.getByRole("checkbox", { name: /swollen/ }).check();
  await page.getByRole("checkbox", { name: /Chest pain/ }).check();
  await page.getByRole("checkbox", { name: /swollen/ }).uncheck();
  await client.button("What to do now").click();
  const advice = await page.getByRole("main").innerText();
  expect(advice.indexOf("Call your local emergency number now")).toBeGreaterThan(0);
  expect(advice.indexOf("Do not train today")).toBeGreaterThan(
    advice.indexOf("Call your local emergency number now"),
  );
  const events = await client.stored();
  expect(only(events, "warning_ticked").map(({ fact }) => fact.signs)).toEqual([
    ["unwell"],
    ["swollen_calf"],
    ["chest_or_breath"],
  ]);
  expect(only(events, "warning_unticked").map(({ fact }) => fact.sign)).toEqual(["swollen_calf"]);
});

test("a sign ticked and unticked again is no sign, and both stand in the log", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.link("Start").click();
  const sign = page.getByRole("checkbox", { name: /joint stuck/ });
  await sign.check();
  await sign.uncheck();
  await page
    .getByRole("group", { name: /at rest/ })
    .getByRole("button", { name: "1", exact: true })
    .click();
  await expect(client.button("Start the first set")).toBeVisible();
  const events = await client.stored();
  expect(kinds(events)).toEqual([
    "routine_accepted",
    "rule_explained",
    "warning_ticked",
    "warning_unticked",
    "session_started",
  ]);
  expect(only(events, "warning_unticked")[0]?.fact.of).toBe(only(events, "warning_ticked")[0]?.id);
});

test("a sign in the morning is a Hold of its own day, and leaves the light of the day before", async ({
  page,
}) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-26T07:00:00+01:00");
  await client.openMorning();
  await page.getByText("Something worse? Warning signs").click();
  await page.getByRole("checkbox", { name: /hot, red, very sore joint/ }).check();
  await client.button("What to do now").click();
  await expect(client.title("Stop here today")).toBeVisible();
  await client.link("Back to Today").click();
  await expect(client.line(stairs.name)).toContainText("Hold");
  await expect(client.link("Start")).toHaveCount(0);
  const told = only(await client.stored(), "verdict_given").map(({ fact }) => [
    fact.day,
    fact.order,
    fact.next.rung,
  ]);
  expect(told).toEqual([
    ["2026-11-25", "keep_unanswered", 2],
    ["2026-11-26", "hold_until_answered", 1],
  ]);
});

test("help names every sign that is asked about, with its care", async ({ page }) => {
  const client = await Client.with(page, demo, EVENING);
  await client.link("Start").click();
  await expect(page.getByRole("checkbox")).toHaveCount(8);
  const asked = await page.getByRole("group", { name: "Warning signs" }).locator("label").allInnerTexts();
  await page.goto("/help");
  for (const sign of asked) {
    await expect(page.getByRole("listitem").filter({ hasText: sign.trim() })).toContainText(
      /emergency number|doctor/,
    );
  }
});
