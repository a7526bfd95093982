/** A newer version of the routine: what it changes is shown first, and nothing that was done is lost. */
import { expect, test } from "./fixtures.ts";
import type { Routine } from "./pages.ts";
import { Client, EVENING, NEXT_MORNING, kinds, oneExercise, only, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

/** The same routine as its next version. */
function next(change: (routine: Routine) => void, version = 2) {
  return oneExercise((routine) => {
    routine.version = version;
    change(routine);
  });
}

const first = oneExercise();
const [exercise] = first.routine.exercises as [Routine["exercises"][0]];

test("a newer version shows what changes, keeps the rung and the history, and logs name their version", async ({
  page,
}) => {
  const client = await Client.with(page, first, EVENING);
  await client.trainDay(exercise, Array(exercise.dose.sets).fill(4));
  await client.until(NEXT_MORNING);
  await client.answerMorning(3);
  await expect(client.verdict(exercise.name)).toContainText("Ease");
  await client.done();
  const rung = exercise.ladder.start - 1;
  const before = await client.stored();

  await client.link("My routine").click();
  await client.openFile("version-2.json", next((routine) => {
    const [revised] = routine.exercises as [Routine["exercises"][0]];
    revised.dose.sets = exercise.dose.sets + 1;
    revised.dose.rest_secs = 45;
    revised.ladder.rungs.push({ help: "a loop band round both knees" });
    routine.limits.table.low_max = 1;
  }));

  await test.step("what changes is told in plain words, and where one goes on", async () => {
    const changes = page.locator("section").filter({ has: page.getByRole("heading", { name: "What changes" }) });
    for (const line of [
      `${exercise.dose.sets + 1} sets instead of ${exercise.dose.sets}`,
      `Rest 45 s instead of ${exercise.dose.rest_secs} s`,
      `Rung ${exercise.ladder.rungs.length + 1} is new: a loop band round both knees`,
      `Low pain goes up to 1 instead of ${first.routine.limits.table.low_max}`,
      "Version 2 instead of 1",
    ]) {
      await expect(changes.getByRole("listitem").filter({ hasText: line })).toHaveCount(1);
    }
    await expect(changes.getByRole("listitem")).toHaveCount(5);
    const going = page.locator("section").filter({ has: page.getByRole("heading", { name: "Where you go on" }) });
    await expect(going).toContainText(`You stay on rung ${rung}: ${exercise.ladder.rungs[rung - 1]?.help}`);
    await expect(going).toContainText("stays in your log");
    await client.expectAccessible();
    expect(await client.stored()).toEqual(before);
  });

  await client.accept();
  await expect(client.line(exercise.name)).toContainText(`rung ${rung}`);
  await expect(client.line(exercise.name)).toContainText("No light yet");
  const revised = { ...exercise, dose: { ...exercise.dose, sets: exercise.dose.sets + 1 } };
  await client.trainDay(revised, Array(revised.dose.sets).fill(1), rung);
  const { events } = await client.handBack();
  expect(events.slice(0, before.length)).toEqual(before);
  expect(only(events, "routine_accepted").map(({ fact }) => fact.routine.version)).toEqual([1, 2]);
  expect(only(events, "session_started").map(({ fact }) => fact.version)).toEqual([1, 2]);
  expect(kinds(events).filter((kind) => kind === "session_ended")).toHaveLength(2);
});

test("a start that the practitioner moved, and a lower ceiling, are followed", async ({ page }) => {
  const high = oneExercise((routine) => {
    const [only] = routine.exercises as [Routine["exercises"][0]];
    only.ladder.start = only.ladder.ceiling;
  });
  const ladder = high.routine.exercises[0]?.ladder;
  const client = await Client.with(page, high, EVENING);
  await client.link("My routine").click();
  await client.openFile("lower.json", next((routine) => {
    const [lowered] = routine.exercises as [Routine["exercises"][0]];
    lowered.ladder.start = 1;
    lowered.ladder.ceiling = 1;
  }));
  await expect(page.getByText(`You begin on rung 1: ${ladder?.rungs[0]?.help}`)).toBeVisible();
  await expect(page.getByText(`The highest rung before the next visit is 1 instead of ${ladder?.ceiling}`)).toBeVisible();
  await client.accept();
  await expect(client.line(exercise.name)).toContainText("rung 1");
});

test("an exercise that is new, and one that is left out", async ({ page }) => {
  const demo = shipped("demo");
  const client = await Client.with(page, demo, EVENING);
  const [left, moved, ...others] = demo.routine.exercises as [Routine["exercises"][0], Routine["exercises"][0]];
  const added = { ...left, id: "sit-to-stand", name: "Sit to stand" };
  const revised = structuredClone(demo);
  revised.routine.version = 2;
  revised.routine.exercises = [...others, moved, added];
  await client.link("My routine").click();
  await client.openFile("demo-2.json", revised);
  const changes = page.locator("section").filter({ has: page.getByRole("heading", { name: "What changes" }) });
  await expect(changes).toContainText("Not in the routine any more");
  await expect(changes).toContainText(/Comes after .+ now/);
  await expect(page.getByText("New for you. You begin on rung")).toBeVisible();
  await client.accept();
  await expect(client.line("Sit to stand")).toBeVisible();
  await expect(client.line(left.name)).toHaveCount(0);
});

test("a routine for another label asks first", async ({ page }) => {
  const own = oneExercise((routine) => Object.assign(routine, { client: "round 7" }));
  const theirs = oneExercise((routine) => Object.assign(routine, { client: "round 12", id: "other-round" }));
  const client = await Client.with(page, own, EVENING);
  const before = await client.stored();
  await client.link("My routine").click();
  const ask = async () => {
    await client.openFile("round-12.json", theirs);
    await expect(client.title("Is it meant for you?")).toBeVisible();
    await expect(
      page.getByText('This routine is made for "round 12", you follow one for "round 7". Is it meant for you?'),
    ).toBeVisible();
    await expect(client.button("Use this routine")).toHaveCount(0);
  };
  await ask();
  await client.expectAccessible();
  await client.button("No, it is not for me").click();
  await expect(client.title(own.routine.title)).toBeVisible();
  expect(await client.stored()).toEqual(before);
  await ask();
  await client.button("Yes, show it to me").click();
  await expect(page.getByText("Made for round 12 instead of round 7")).toBeVisible();
  await client.accept();
  expect(only(await client.stored(), "routine_accepted")).toHaveLength(2);
});

test("a newer version for the same label, or for none, does not ask", async ({ page }) => {
  const own = oneExercise((routine) => Object.assign(routine, { client: "round 7" }));
  const client = await Client.with(page, own, EVENING);
  await client.link("My routine").click();
  await client.openFile("version-2.json", next((routine) => Object.assign(routine, { client: "round 7" })));
  await expect(client.button("Use this routine")).toBeVisible();
  await client.button("Not now").click();
  await client.openFile("no-label.json", next(() => {}));
  await expect(client.button("Use this routine")).toBeVisible();
});

test("a photo of the set-up is shown where the exercise is done", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  const photo = await page.evaluate(() => {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [90, 60];
    const pen = canvas.getContext("2d");
    pen?.fillRect(0, 0, 90, 60);
    return canvas.toDataURL("image/jpeg");
  });
  const file = oneExercise((routine) => Object.assign(routine.exercises[0] ?? {}, { photo }));
  const picture = page.getByRole("img", { name: `Your set-up for ${exercise.name}` });
  const shown = async () => {
    await expect(picture).toBeVisible();
    expect(await picture.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBe(90);
  };
  await client.openFile("with-photo.json", file);
  await page.getByRole("heading", { name: /^1\. / }).click();
  await shown();
  await client.accept();
  await client.line(exercise.name).getByRole("link").click();
  await shown();
  await client.expectAccessible();
  await client.link("Back to Today").click();
  await client.begin();
  await shown();
  const accepted = only(await client.stored(), "routine_accepted")[0];
  expect(accepted?.fact.routine.exercises[0].photo).toBe(photo);
});

for (const [what, photo] of [
  ["an SVG", "data:image/svg+xml;base64,PHN2Zz48L3N2Zz4="],
  ["a script", "javascript:alert(1)"],
  ["a picture from elsewhere", "https://example.org/stairs.jpg"],
] as const) {
  test(`${what} in the place of a photo is refused`, async ({ page }) => {
    const client = await Client.at(page, EVENING);
    await client.openFile(
      "bad-photo.json",
      oneExercise((routine) => Object.assign(routine.exercises[0] ?? {}, { photo })),
    );
    await expect(client.alert()).toContainText("this is no photo that the app takes; it takes JPEG and WebP");
    expect(await client.stored()).toEqual([]);
  });
}
