// The practitioner's half: from an empty caseload to a routine in the client's hands, and its next version.
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";
import { validateFile } from "./schema.ts";

test.use({ timezoneId: "Europe/Berlin" });

/** One action every one and a half seconds. */
const SECONDS_EACH = 1.5;

test("from an empty caseload to a routine of four exercises in under two minutes", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Heel raise at the worktop", "Foot and ankle");
  await practitioner.addExercise("Heel drop, knee straight", "Foot and ankle");
  await practitioner.addExercise("One-leg balance", "Foot and ankle");
  await practitioner.addExercise("Bridge", "Hip");
  // The balance warms up, the drop is the crankiest.
  await practitioner.click(practitioner.card("One-leg balance").getByRole("button", { name: "Warm-up" }));
  await practitioner.click(practitioner.card("Heel drop, knee straight").getByRole("button", { name: "Crankiest" }));
  await practitioner.tap("Warm-up first, crankiest last");
  // The drop is done on the sore side, and starts a rung lower.
  await practitioner.openExercise("Heel drop, knee straight");
  await practitioner.click(page.getByLabel("Sides", { exact: true }));
  await page.getByLabel("Sides", { exact: true }).selectOption("Left only");
  await practitioner.tap("Starts on rung: less");
  await practitioner.follow("Done");
  const file = await practitioner.handOver();

  expect(validateFile(JSON.stringify(file))).toEqual([]);
  expect(file.routine.exercises.map(({ name }) => name)).toEqual([
    "One-leg balance",
    "Heel raise at the worktop",
    "Bridge",
    "Heel drop, knee straight",
  ]);
  for (const exercise of file.routine.exercises) expect(exercise.ladder.rungs.length).toBeGreaterThanOrEqual(3);
  expect(file.routine.exercises[3]?.dose.sides).toBe("left");
  const seconds = practitioner.actions * SECONDS_EACH;
  console.log(`timed walk: ${practitioner.actions} actions, ${seconds} s at ${SECONDS_EACH} s each`);
  expect(seconds).toBeLessThan(120);
});

test("what is planned follows what is typed", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Sit to stand", "Knee");
  const planned = page.getByText(/^1 exercise, about \d+ min a session/);
  const before = await planned.innerText();
  await practitioner.openExercise("Sit to stand");
  await practitioner.tap("Sets: more");
  await practitioner.tap("Times a day: more");
  await expect(page.getByText(/Twice a day/)).toBeVisible();
  await practitioner.fill("Reps in a set", "400");
  await expect(page.getByText("Not taken: 400 is not a number of reps")).toBeVisible();
  await practitioner.follow("Done");
  expect(await planned.innerText()).not.toBe(before);
  // What was refused changed nothing.
  await expect(page.getByText(/of 400/)).toHaveCount(0);
});

test("a start above the highest rung takes it along, says so, and brings it back", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Sit to stand", "Knee");
  await practitioner.openExercise("Sit to stand");
  const start = page.getByLabel("Starts on rung", { exact: true });
  const highest = page.getByLabel("Up to rung, until the next visit", { exact: true });
  await practitioner.fill("Starts on rung", "1");
  await practitioner.fill("Up to rung, until the next visit", "1");
  const words = page.getByText("Up to rung 2 with it: the highest is never below the start.");
  await expect(words).toHaveCount(0);
  await practitioner.tap("Starts on rung: more");
  await expect(words).toBeVisible();
  await expect(highest).toHaveValue("2");
  await practitioner.tap("Starts on rung: less");
  await expect(start).toHaveValue("1");
  await expect(highest).toHaveValue("1");
  await expect(words).toHaveCount(0);
});

test("the client takes on the link, trains, and gets the next version with the history intact", async ({ page, openDevice }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Heel raise at the worktop", "Foot and ankle");
  const first = await practitioner.handOver();
  const link = await practitioner.link();

  const phone = await (await openDevice({ timezoneId: "Europe/Berlin" })).newPage();
  const client = await Client.at(phone, EVENING, link);
  await client.button("Use this routine").click();
  const exercise = first.routine.exercises[0]!;
  await client.trainDay(exercise, Array.from({ length: exercise.dose.sets }, () => 1));
  await client.until(NEXT_MORNING);
  await client.answerMorning(1);
  await client.done();
  const log = await client.handBack();

  await page.goto("/practice/");
  await page.getByLabel("Open a file").setInputFiles({ name: "log.txt", mimeType: "text/plain", buffer: Buffer.from(log.text) });
  await practitioner.follow("Read the week");
  await expect(page.getByRole("article")).toContainText("Heel raise at the worktop");
  await practitioner.follow("Revise the routine");
  await practitioner.openExercise("Heel raise at the worktop");
  await practitioner.tap("Sets: more");
  await practitioner.follow("Done");
  const second = await practitioner.handOver();
  expect(second.routine.version).toBe(2);
  expect(second.routine.id).toBe(first.routine.id);

  await client.page.goto(await practitioner.link());
  await client.button("Use this routine").click();
  const events = await client.stored();
  const accepted = events.filter(({ kind }) => kind === "routine_accepted");
  expect(accepted.map(({ fact }) => fact.routine.version)).toEqual([1, 2]);
  expect(events.filter(({ kind }) => kind === "set_rated")).toHaveLength(exercise.dose.sets);
  const again = await client.handBack();
  await page.goto("/practice/");
  await page.getByLabel("Open a file").setInputFiles({ name: "log.txt", mimeType: "text/plain", buffer: Buffer.from(again.text) });
  await expect(page.getByText(/\d+ new entr(y|ies), .*kept for Round 7\./)).toBeVisible();
});

test("the routine runs as the client will see it, and leaves no trace on the client's side", async ({ page, context }) => {
  // A Wednesday: the exercise is not for every day.
  await context.clock.setFixedTime(Date.parse(EVENING));
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Bridge", "Hip");
  await practitioner.handOver();
  await practitioner.link();
  const opening = context.waitForEvent("page");
  await practitioner.follow("Try it as the client");
  const preview = await opening;
  await preview.getByRole("button", { name: "Use this routine" }).click();
  await expect(preview.getByText("This is a try-out.")).toBeVisible();
  await preview.getByRole("link", { name: "Start" }).click();
  const atRest = preview.getByRole("group", { name: /at rest/ });
  await atRest.getByRole("button", { name: "1", exact: true }).click();
  await preview.getByRole("button", { name: "Start the first set" }).click();
  await preview.goto("/");
  await expect(preview.getByText("This is a try-out.")).toBeVisible();

  const own = await context.newPage();
  await own.goto("/");
  await expect(own.getByRole("heading", { name: "Carryover" })).toBeVisible();
  await expect(own.getByText("This is a try-out.")).toHaveCount(0);
});

test("everything is kept, word by word, when the page is opened again", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Clam", "Hip");
  await practitioner.openExercise("Clam");
  await practitioner.fill("Name", "Clam with the loop band");
  await practitioner.fill("How it is done, one a line", "Lie on your side.\n\nLift the top knee.");
  await practitioner.click(page.getByRole("button", { name: "Add a rung above rung 1" }));
  await page.getByLabel("What helps").nth(0).fill("");
  await page.getByLabel("What helps").nth(0).blur();
  await expect(page.getByText("Not taken: a text is empty.")).toBeVisible();
  await expect(page.getByText("Saved")).toBeVisible();
  await page.reload();
  await practitioner.sees("Clam with the loop band");
  await expect(page.getByLabel("How it is done, one a line", { exact: true })).toHaveValue("Lie on your side.\nLift the top knee.");
  await expect(page.getByLabel("What helps")).toHaveCount(5);
});

test("the rule is changed cell by cell, and a table that is milder when it is worse names the two cells", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Clam", "Hip");
  await practitioner.click(page.getByRole("link", { name: "Change" }).last());
  await practitioner.sees("The rule");
  await practitioner.tap("Nearly pain-free");
  await expect(page.getByText("The rule: Nearly pain-free")).toBeVisible();
  const cell = page.getByLabel("high pain, morning up by 2 or more");
  await cell.selectOption("Ease");
  await expect(
    page.getByText("Not taken: high pain with a morning up clearly orders Ease, milder than Hold for middle pain with a morning up clearly"),
  ).toBeVisible();
  await practitioner.fill("Low pain goes up to", "3");
  await expect(page.getByText("Not taken: low pain ends at 3, which must be below the end of middle pain, 3.")).toBeVisible();
  await practitioner.fill("A place, in words the client knows", "at the heel bone");
  await practitioner.tap("Name it");
  await page.getByLabel("Pain at: at the heel bone").selectOption("counts one zone worse");
  await practitioner.follow("Done");
  const { routine } = await practitioner.handOver();
  expect(routine.limits.table).toMatchObject({ low_max: 1, middle_max: 3 });
  expect(routine.limits.sites).toEqual([{ name: "at the heel bone", counts: "one_zone_worse" }]);
});

test("exercises are moved by buttons and by dragging, doubled and taken out", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  for (const [name, region] of [["Clam", "Hip"], ["Bridge", "Hip"], ["Plank at the worktop", "Back and tummy"]] as const) {
    await practitioner.addExercise(name, region);
  }
  const names = () => page.getByRole("heading", { level: 2, name: /^\d+\. / }).allInnerTexts();
  await practitioner.tap("Plank at the worktop: earlier");
  await expect.poll(names).toEqual(["1. Clam", "2. Plank at the worktop", "3. Bridge"]);
  const grip = practitioner.card("Bridge").getByTitle("Drag to another place");
  await grip.scrollIntoViewIfNeeded();
  await grip.hover();
  await page.mouse.down();
  await practitioner.card("Plank at the worktop").scrollIntoViewIfNeeded();
  const over = await practitioner.card("Plank at the worktop").boundingBox();
  await page.mouse.move(over!.x + 40, over!.y + over!.height / 2, { steps: 5 });
  await page.mouse.up();
  await expect.poll(names).toEqual(["1. Clam", "2. Bridge", "3. Plank at the worktop"]);
  await practitioner.click(practitioner.card("Clam").getByRole("button", { name: "Duplicate" }));
  await practitioner.click(practitioner.card("Plank at the worktop").getByRole("button", { name: "Take out" }));
  await expect.poll(names).toEqual(["1. Clam", "2. Clam", "3. Bridge"]);
});

test("the home decides what the library offers", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.follow("Client");
  await practitioner.click(page.getByText("What is in this home?"));
  for (const thing of ["a sturdy chair", "a kitchen worktop"]) await practitioner.tap(thing);
  await practitioner.follow("Build the routine");
  await practitioner.follow("Add an exercise");
  await practitioner.tap(/^Foot and ankle \d+$/);
  await expect(page.getByRole("button", { name: "Add Short foot" })).toBeVisible();
  await expect(page.getByRole("button", { name: "Add Heel drop, knee straight" })).toHaveCount(0);
  await practitioner.tap("Only what can be done in this home");
  await expect(page.getByText(/Missing here: the bottom step of the stairs/).first()).toBeVisible();
});

test("each filter says how many it leaves, and what was handed over lately comes first", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Sit to stand", "Knee");
  await practitioner.handOver();
  await page.goto("/practice");
  await practitioner.addClient("Round 8");
  await practitioner.follow("Add an exercise");
  const found = page.getByRole("listitem").getByRole("heading", { level: 2 });
  await expect(found.first()).toHaveText("Sit to stand");
  const count = async (part: string) =>
    Number(/\d+/.exec(await page.getByRole("button", { name: new RegExp(`^${part} \\d+$`) }).innerText())?.[0]);
  const all = await count("All");
  await practitioner.fill("Find by a word", "heel");
  await expect.poll(() => count("All")).toBeLessThan(all);
  for (const part of ["All", "Knee", "Foot and ankle"]) {
    const left = await count(part);
    await practitioner.tap(new RegExp(`^${part} \\d+$`));
    await expect(found).toHaveCount(left);
  }
});

test("an exercise is found by the trade's words, a muscle or a slip, and what is not there is written at once", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.follow("Add an exercise");
  const first = page.getByRole("listitem").getByRole("heading", { level: 2 }).first();
  for (const [typed, name] of [
    ["quad set", "Thigh squeeze"],
    ["deadlift", "Hip hinge to the wall"],
    ["peroneals", "Foot turn-out with a band"],
    ["hamstring strech", "Back-of-thigh stretch"],
    ["wall pushup", "Push-up at the wall"],
  ] as const) {
    await practitioner.fill("Find by a word", typed);
    await expect(first).toHaveText(name);
  }
  await practitioner.fill("Find by a word", "piano stool squat");
  await expect(page.getByText(/^Nothing here has all of these words/)).toBeVisible();
  await expect(first).toHaveText(/squat/i);
  await practitioner.tap('Write "piano stool squat"');
  await practitioner.sees("piano stool squat");
});
