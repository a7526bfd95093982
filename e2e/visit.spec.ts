// The visit itself: the week at a glance, answers that travel back, and the way to close it.
import { readFileSync } from "node:fs";
import type { Locator, Page } from "@playwright/test";
import { moveClock } from "./device.ts";
import { expect, expectAccessible, expectUsableEverywhere, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING, oneExercise, only } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

test.use({ timezoneId: "Europe/Berlin" });

const LAPTOP = { width: 1280, height: 800 };
const PHONE = { width: 360, height: 740 };

const filed = (name: string) => readFileSync(new URL(`../tests/fixtures/formats/${name}.log.txt`, import.meta.url), "utf8");

/** Opens a log and keeps it as a new client's: the visit's page is shown. */
async function keep(page: Page, log: string): Promise<Practitioner> {
  const practitioner = await Practitioner.at(page);
  await open(page, log);
  await practitioner.tap("Keep it as a new client");
  await practitioner.sees("Close the visit");
  return practitioner;
}

async function open(page: Page, log: string): Promise<void> {
  const file = { name: "log.txt", mimeType: "text/plain", buffer: Buffer.from(log) };
  await page.locator("input[type=file]").first().setInputFiles(file);
}

const decide = (page: Page) => page.locator("section").filter({ has: page.getByRole("heading", { name: "What next" }) });

const points = (page: Page) =>
  page.getByRole("listitem").filter({ has: page.getByRole("button", { name: /^(Put aside|Bring back)/ }) });

for (const name of ["month", "three-weeks"]) {
  for (const [device, size, screens] of [["a laptop", LAPTOP, 1], ["a phone", PHONE, 1]] as const) {
    test(`what matters of ${name} stands on the first screen of ${device}`, async ({ page }) => {
      await page.setViewportSize(size);
      const practitioner = await keep(page, filed(name));
      const first: Locator[] = [
        practitioner.heading("What next"),
        decide(page).getByRole("listitem").first(),
        // On a laptop the week stands beside it.
        ...(size === LAPTOP
          ? [
              page.getByText("Sessions", { exact: true }).first(),
              ...(await page.getByRole("row").all()),
              page.getByText(/to a sensor's 176 in one study \(Nicolson 2018\)/),
            ]
          : []),
      ];
      for (const part of first) {
        const box = await part.boundingBox();
        expect(box && box.y + box.height + (await page.evaluate(() => scrollY)), await part.innerText()).toBeLessThanOrEqual(
          screens * size.height,
        );
      }
      expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    });
  }
}

test("sites have marks of their own, and the numbers show what a heavy day does", async ({ page }) => {
  await keep(page, filed("month"));
  await page.getByRole("button", { name: "The whole log" }).click();
  await page.locator("summary").filter({ hasText: "Heel lowering on the stairs" }).click();
  const figure = page.getByRole("figure").filter({ has: page.getByRole("img", { name: /^Heel lowering on the stairs/ }) });
  for (const sign of ["worst during, heel tendon", "worst during, calf muscle", "next morning", "stopped by pain", "missed"]) {
    await expect(figure.getByText(sign, { exact: true })).toBeVisible();
  }
  const shapes = await figure.locator("svg[role=img] path.during").evaluateAll((marks) => marks.map((mark) => mark.getAttribute("d")));
  expect(new Set(shapes.map((line) => line?.replace(/M[-.\d]+ [-.\d]+/g, "M").split("M")[1])).size).toBe(2);
  const days = page.locator("table.days tbody tr").filter({ visible: true });
  expect(shapes.flatMap((line) => line?.match(/M/g))).toHaveLength(2 * (await days.count()));
  await expect(days.first()).toContainText("heel tendon 3, calf muscle 1");
  await expect(days.first()).toContainText(/Followed on Tue 2 Jun\./);
  await expect(figure.getByText(/^By site: heel tendon typically \d.* on \d+ days and calf muscle typically 1 on \d+ days\.$/)).toBeVisible();

  await page.locator("summary").filter({ hasText: "Still heel raise" }).click();
  await expect(
    page.getByText(/^The next morning was worse after sessions on heavy days: typically 4 \(\d mornings\), against 1.* on days as usual\. The numbers do not say why\.$/).first(),
  ).toBeVisible();
  await page.getByText("How this is decided").first().click();
  await expect(page.getByText(/5 or more on each side \(common practice, no source\).*Farrar 2001.*Mann and Whitney 1947/).first()).toBeVisible();

  await expectUsableEverywhere(page);
});

test("points that were put aside stay so until the visit is closed, and come back one by one", async ({ page }) => {
  const practitioner = await keep(page, filed("three-weeks"));
  await expect(page.getByText(/^A new version is your answer.* stops are lifted\. Days off go on .* a warning sign stays /)).toBeVisible();
  await page.getByText("1 more").click();
  await expect(points(page)).toHaveCount(7);
  for (const name of ["Chair rise", "The routine"]) {
    await page.getByRole("button", { name: `Put aside: ${name}` }).first().click();
  }
  await expect(page.getByText("2 points put aside for this visit")).toBeVisible();
  await page.reload();
  await practitioner.sees("Close the visit");
  await expect(points(page)).toHaveCount(5);
  await page.getByText("2 points put aside for this visit").click();
  await practitioner.tap("Bring back: Chair rise");
  await expect(page.getByText("1 point put aside for this visit")).toBeVisible();
  await page.getByText("Visit note, for any record").click();
  await expect(page.getByLabel("Visit note")).toHaveValue(/\n- Put aside: 1\.\n/);

  await practitioner.tap("Close the visit");
  await expect(page.getByText(/put aside for this visit/)).toHaveCount(0);
  await expect(page.getByText("1 more")).toBeVisible();
  await practitioner.follow("Client");
  await expect(page.getByText(/The last visit was closed on \w+day \d+ \w+\./)).toBeVisible();
});

const next = (page: Page, name: string) =>
  decide(page).getByRole("listitem").filter({ has: page.getByRole("group", { name: `Choices for ${name}` }) });

test("each exercise is decided beside where the client stands, and the choices collect into the next version", async ({ page }) => {
  const practitioner = await keep(page, filed("three-weeks"));
  const heel = next(page, "Heel lowering on the stairs");
  const chair = next(page, "Chair rise");
  const choose = async (row: Locator, choice: string) => row.getByRole("button", { name: choice }).click();
  await expect(decide(page).getByText("Nothing is changed yet.")).toBeVisible();
  await expect(heel).toContainText(/Now on rung \d of \d: /);
  await expect(heel.getByRole("button", { name: "Keep: Heel lowering on the stairs" })).toHaveAttribute("aria-pressed", "true");

  await test.step("another dose opens in place, with the log beside it, and says what the client will read", async () => {
    await choose(chair, "Other dose");
    const change = chair.getByRole("group", { name: "Change of Chair rise" });
    await expect(change.getByRole("img", { name: /^Chair rise: pain and rung on each day/ })).toBeVisible();
    await change.getByLabel("Sets", { exact: true }).fill("2");
    await change.getByLabel("Sets", { exact: true }).blur();
    await expect(chair.getByRole("status").filter({ hasText: "The client will read" })).toContainText(/ 2 sets instead of \d\./);
    await expect(chair.getByRole("button", { name: "Other dose" })).toHaveAttribute("aria-pressed", "true");
    await expectUsableEverywhere(page);
    await change.getByRole("button", { name: "Done" }).click();
    await expect(change).toHaveCount(0);
  });

  await test.step("a Hold is answered with the version", async () => {
    await expect(heel.getByRole("group", { name: "With this version" })).toBeVisible();
    await choose(heel, "Open it at once");
    await expect(heel.getByRole("status")).toContainText("is open again");
  });

  await test.step("out, and back by Keep", async () => {
    await choose(chair, "Out");
    await expect(chair.getByRole("status")).toContainText("Not in the routine any more");
    await choose(chair, "Keep");
    await expect(chair.getByRole("status")).toHaveText("");
    await choose(chair, "Out");
  });

  await expect(decide(page).getByText(/^Changed for version 2: Heel lowering on the stairs and Chair rise\.$/)).toBeVisible();
  await page.reload();
  await expect(chair.getByRole("button", { name: "Out: Chair rise" })).toHaveAttribute("aria-pressed", "true");
  await decide(page).getByRole("link", { name: "Hand over" }).click();
  const made = page.getByRole("button", { name: "Make version 2" });
  await expect(made).toBeVisible();
  await made.click();
  await practitioner.follow("Routine");
  await expect(practitioner.card("Chair rise")).toHaveCount(0);
});

test("help is given back one rung, and no further up than that", async ({ page, openDevice }) => {
  const { log } = await aDayWithAQuestion(page);
  const desk = await (await openDevice()).newPage();
  await keep(desk, log);
  const easier = next(desk, exercise.name);
  const stood = Number(/Now on rung (\d+) of/.exec(await easier.innerText())?.[1]);
  await easier.getByRole("button", { name: /^Help back/ }).click();
  await expect(easier.getByLabel("Up to rung, until the next visit", { exact: true })).toHaveValue(String(stood - 1));
  await expect(easier.getByRole("status").filter({ hasText: "The client will read" })).toContainText(`rung ${stood - 1}: `);
});

test("reminders are of the version that was handed over, and files are named after their client", async ({ page }) => {
  const practitioner = await keep(page, filed("three-weeks"));
  const saved = async (button: string): Promise<string> => {
    const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: button }).click()]);
    return download.suggestedFilename();
  };
  await page.getByText("Other formats").click();
  await expect(page.getByText("Stairs and chair, version 1.", { exact: true })).toBeVisible();
  const name = /^carryover-stairs-and-chair-[0-9a-f]{8}-\d{4}-\d\d-\d\d\.(csv|fhir\.json|ics)$/;
  for (const button of ["Save for a spreadsheet", "Save for a clinic", "Save for a calendar"]) {
    expect(await saved(button)).toMatch(name);
  }

  await practitioner.follow("Revise the routine");
  await practitioner.openExercise("Chair rise");
  await practitioner.fill("Sets", "2");
  await practitioner.follow("Routine");
  await practitioner.handOver();
  await practitioner.follow("Routine");
  await practitioner.follow("Client");
  await practitioner.follow("Open the log and read the week");
  await page.getByText("Other formats").click();
  await expect(page.getByText("Stairs and chair, version 2.", { exact: true })).toBeVisible();
  expect(await saved("Save for a calendar")).toMatch(name);
});

const file = oneExercise((routine) => {
  routine.limits.after_middle_set = "same";
});
const exercise = file.routine.exercises[0]!;
const QUESTION = "It pulls on the third step.\nShould I go <b>slower</b>?";

/** One training day with a question, handed back. */
async function aDayWithAQuestion(page: Page): Promise<{ client: Client; log: string }> {
  const client = await Client.with(page, file, EVENING);
  await client.begin();
  await client.train(exercise, [1, 2, 2]);
  await page.getByRole("textbox").fill(QUESTION);
  await client.finish();
  await client.until(NEXT_MORNING);
  await client.answerMorning(2);
  await client.done();
  const { text } = await client.handBack();
  return { client, log: text };
}

test("an answer travels back with the next version, and stays beside the exact question", async ({ page, openDevice }) => {
  const { client, log } = await aDayWithAQuestion(page);
  const desk = await (await openDevice()).newPage();
  const practitioner = await keep(desk, log);
  await expect(desk.getByText(QUESTION)).toBeVisible();
  await practitioner.fill("Your answer", "Yes: count to four on the way down.");
  await expect(desk.getByText("Travels with the next version that you hand over.")).toBeVisible();
  await desk.reload();
  await expect(desk.getByLabel("Your answer")).toHaveValue("Yes: count to four on the way down.");

  const next = await practitioner.handOver();
  expect(next.routine.version).toBe(2);
  expect(next.routine).toMatchObject({
    answers: [{ asked: "2026-11-25", question: QUESTION, answer: "Yes: count to four on the way down." }],
  });
  const link = await practitioner.link();

  for (const way of ["file", "link"] as const) {
    await test.step(`the client gets it by ${way}`, async () => {
      if (way === "file") {
        await client.link("My routine").click();
        await client.openFile("version-2.json", next);
      } else {
        await page.goto(link);
      }
      const answers = page.locator("section").filter({ has: page.getByRole("heading", { name: "Answers to what you wrote" }) });
      await expect(answers).toContainText("Written on Wednesday 25 November");
      await expect(answers.getByText(QUESTION)).toBeVisible();
      await expect(answers.getByText("Yes: count to four on the way down.")).toBeVisible();
      await client.expectAccessible();
      if (way === "file") await client.button("Not now").click();
    });
  }
  await client.accept();
  await client.link("Answers to what you wrote").click();
  await expect(page.getByText("Yes: count to four on the way down.")).toBeVisible();
  await client.link("Back to Today").click();

  const { text, events } = await client.handBack();
  expect(only(events, "routine_accepted")[1]?.fact.routine).toEqual(next.routine);
  await practitioner.follow("Routine");
  await practitioner.follow("Client");
  await practitioner.follow("Open the log and read the week");
  await open(desk, text);
  await desk.getByRole("button", { name: "The whole log" }).click();
  await expect(desk.getByText("Reached the client with version 2.")).toBeVisible();
});

test("a visit is closed with a note of what was reported, reviewed, changed and agreed", async ({ page, openDevice }) => {
  const { log } = await aDayWithAQuestion(page);
  const device = await openDevice({ permissions: ["clipboard-read", "clipboard-write"], timezoneId: "Europe/Berlin" });
  const desk = await device.newPage();
  await moveClock(desk, Date.parse("2026-11-27T10:00:00+01:00"));
  const practitioner = await keep(desk, log);
  await practitioner.follow("Revise the routine");
  await practitioner.openExercise(exercise.name);
  await practitioner.fill("Sets", "2");
  await practitioner.follow("Routine");
  await practitioner.follow("Client");
  await practitioner.follow("Open the log and read the week");
  await expect(desk.getByText("There are changes or answers that were not handed over yet.")).toBeVisible();
  await practitioner.fill("What was seen and agreed today", "Steady on the third step. Next visit on Friday.");
  await desk.getByText("Visit note, for any record").click();
  const note = desk.getByLabel("Visit note");
  const text = await note.inputValue();
  expect(text).toContain(`Visit on Friday 27 November 2026: `);
  expect(text).toContain("REPORTED\n- Sessions: 1 of 1. Morning checks answered: 1 of 1.\n");
  expect(text).toContain('- Wrote on Wed 25 Nov: "It pulls on the third step.\n  Should I go <b>slower</b>?"');
  expect(text).toContain("CHANGED\n- " + exercise.name + ": 2 sets instead of 3.\n");
  expect(text).toContain("AGREED\n- Steady on the third step. Next visit on Friday.\n");

  await test.step("it can be changed, and is kept as it was changed", async () => {
    await note.fill(`${text}Ring before noon.\n`);
    await note.blur();
    await expect(desk.getByText(/^You changed this note/)).toBeVisible();
    await desk.reload();
    await desk.getByText("Visit note, for any record").click();
    await expect(note).toHaveValue(`${text}Ring before noon.\n`);
    await practitioner.tap("Copy the note");
    await expect(desk.getByText("The note is on the clipboard.")).toBeVisible();
    expect(await desk.evaluate(() => navigator.clipboard.readText())).toBe(`${text}Ring before noon.\n`);
    const [download] = await Promise.all([
      desk.waitForEvent("download"),
      desk.getByRole("button", { name: "Save it as a file" }).click(),
    ]);
    expect(download.suggestedFilename()).toMatch(/^visit-[a-z0-9-]+-[0-9a-f]{8}-2026-11-27\.txt$/);
    expect(readFileSync(await download.path(), "utf8")).toBe(`${text}Ring before noon.\n`);
    await practitioner.tap("Write it anew");
    await expect(note).toHaveValue(text);
    for (const colorScheme of ["light", "dark"] as const) {
      await desk.emulateMedia({ colorScheme });
      await expectAccessible(desk);
    }
  });

  await practitioner.tap("Close the visit");
  await expect(desk.getByText("The visit of Friday 27 November is closed and stands under Visits.")).toBeVisible();
  await desk.reload();
  const visits = desk.locator("section").filter({ has: desk.getByRole("heading", { name: "Visits" }) });
  await expect(visits).toContainText("Friday 27 November");
  await expect(visits).toContainText("Steady on the third step. Next visit on Friday.");
  await visits.getByText("The whole note").click();
  await expect(visits.getByText("2 sets instead of 3.")).toBeVisible();
  await expect(desk.getByLabel("What was seen and agreed today")).toHaveValue("");
  // Closing hides nothing of what the visit was about.
  await expect(desk.getByText("1 of 1").first()).toBeVisible();
});

for (const name of ["month", "three-weeks"]) {
  for (const size of [PHONE, LAPTOP]) {
    test(`the review of ${name} prints on one page from a screen ${size.width} wide`, async ({ page }) => {
      await page.addInitScript("window.print = () => { window.printed = true; }");
      await page.setViewportSize(size);
      await keep(page, filed(name));
      await page.getByRole("button", { name: "The whole log" }).click();
      await page.getByRole("button", { name: "Print this review on one page" }).click();
      await expect.poll(() => page.evaluate("window.printed")).toBe(true);
      const pdf = await page.pdf({ preferCSSPageSize: true });
      expect(pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1);
      await page.emulateMedia({ media: "print" });
      const sheet = page.locator("#review-sheet");
      await expect(sheet.getByRole("img")).toHaveCount(name === "month" ? 4 : 2);
      await expect(sheet).toContainText("Nicolson 2018");
      await expect(page.getByRole("heading", { name: "Close the visit" })).toBeHidden();
    });
  }
}
