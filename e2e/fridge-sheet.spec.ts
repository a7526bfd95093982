/** The sheet for the fridge: one page of A4 with all that matters, and nothing else of the screen. */
import { mkdirSync, readFileSync } from "node:fs";
import type { Locator, Page } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import type { Exercise, RoutineFile } from "./pages.ts";
import { Client, EVENING, shipped } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

const PICTURES = new URL("../target/sheets/", import.meta.url);

for (const [name, exercises] of [
  ["demo", 4],
  ["heel-drop", 2],
  ["knee-days-5-12", 4],
] as const) {
  test(`${name}: ${exercises} exercises fit one page`, async ({ page }) => {
    const file = shipped(name);
    file.routine.exercises = file.routine.exercises.slice(0, exercises);
    const { routine } = file;
    const client = await Client.at(page, EVENING);
    await page.evaluate(() => {
      window.print = () => document.body.setAttribute("data-printed", "");
    });
    await client.openFile(`${name}.json`, file);
    await client.accept();
    await client.link("My routine").click();
    await client.button("Print a sheet for the fridge").click();
    await client.runFor(0.1);
    await expect(page.locator("body")).toHaveAttribute("data-printed", "");
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    expect(width, "the sheet takes no room on the screen").toBeLessThanOrEqual(360);

    mkdirSync(PICTURES, { recursive: true });
    const path = new URL(`${name}.pdf`, PICTURES).pathname;
    expect(pages(await page.pdf({ path, preferCSSPageSize: true, printBackground: false }))).toBe(1);

    await page.emulateMedia({ media: "print", colorScheme: "dark" });
    const sheet = page.getByRole("article");
    for (const exercise of routine.exercises) {
      const part = sheet.getByRole("region").or(sheet.locator("section")).filter({ hasText: exercise.name }).first();
      await expect(part).toBeVisible();
      for (const { help } of exercise.ladder.rungs) await expect(part).toContainText(help);
      await expect(part).toContainText("start here");
    }
    await expect(sheet.getByRole("table").first()).toBeVisible();
    for (const words of ["Stop and get help", "Call your local emergency number now", "Who to call", "Next visit"]) {
      await expect(sheet.getByText(words).first()).toBeVisible();
    }
    await expect(page.getByRole("button")).toHaveCount(0);
    await isSetLarge(sheet);
    await saysHowOrWhere(sheet, routine.exercises);
    await page.setViewportSize({ width: 726, height: 1060 });
    await sheet.screenshot({ path: new URL(`${name}.png`, PICTURES).pathname });
  });
}

test("more exercises than a page holds go on on a second one", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  await page.evaluate(() => {
    window.print = () => {};
  });
  const library = JSON.parse(readFileSync(new URL("../public/library.json", import.meta.url), "utf8"));
  const file = shipped("demo");
  // Of each the newest revision, which stands last.
  const entries: { exercise: Exercise }[] = library.entries;
  const newest = new Map(entries.map(({ exercise }) => [exercise.id, exercise]));
  file.routine.exercises = [...newest.values()].slice(0, 12);
  await client.openFile("long.json", file);
  await client.accept();
  await client.link("My routine").click();
  await client.button("Print a sheet for the fridge").click();
  await client.runFor(0.1);
  const pdf = await page.pdf({ preferCSSPageSize: true });
  expect(pages(pdf)).toBeGreaterThan(1);
});

/** From the library, each with its ladder; a routine of one, four or six takes the first. */
const LIBRARY = [
  ["Heel drop, knee straight", "Foot and ankle"],
  ["Sit to stand", "Knee"],
  ["Clam", "Hip"],
  ["Step down with a heel tap", "Knee"],
  ["One-leg balance", "Foot and ankle"],
  ["Heel raise on a chair", "Foot and ankle"],
] as const;

/** What is done, and how far up, is read from a step away: no smaller than a newspaper's text (from memory, 9 points). */
async function isSetLarge(sheet: Locator): Promise<void> {
  const points = (selector: string) =>
    sheet.locator(selector).first().evaluate((part) => parseFloat(getComputedStyle(part).fontSize) * 0.75);
  expect(await points("section > h2"), "points of a name").toBeGreaterThanOrEqual(10.5);
  expect(await points(".rung"), "points of a rung").toBeGreaterThanOrEqual(9);
  expect(await points(".sheet-dose"), "points of a dose").toBeGreaterThanOrEqual(9);
  expect(await points(".sheet-lines > li"), "points of the smallest print").toBeGreaterThanOrEqual(6.5);
}

/** The steps of every exercise, or where they stand; never some of them. */
async function saysHowOrWhere(sheet: Locator, exercises: Exercise[]): Promise<boolean> {
  const isBrief = await sheet.getByText("stands in the app").isVisible();
  for (const step of exercises.flatMap(({ steps }) => steps)) {
    const written = sheet.getByText(step, { exact: true }).first();
    await (isBrief ? expect(written).toBeHidden() : expect(written).toBeVisible());
  }
  return isBrief;
}

/** Prints the sheet of the hand-over page that is open, and holds it against the routine's file. */
async function printsOnOnePage(page: Page, name: string, file: RoutineFile, lent: string): Promise<boolean> {
  await page.evaluate(() => {
    window.print = () => document.body.setAttribute("data-printed", "");
  });
  await page.getByRole("button", { name: "Print a sheet for the fridge" }).click();
  await expect(page.locator("body")).toHaveAttribute("data-printed", "");
  mkdirSync(PICTURES, { recursive: true });
  const path = new URL(`${name}.pdf`, PICTURES).pathname;
  expect(pages(await page.pdf({ path, preferCSSPageSize: true, printBackground: false })), "pages").toBe(1);

  await page.emulateMedia({ media: "print" });
  const sheet = page.getByRole("article");
  for (const { name, ladder, cautions } of file.routine.exercises) {
    const part = sheet.locator("section").filter({ has: page.getByRole("heading", { name: new RegExp(`^\\d+\\. ${name}$`) }) });
    for (const words of [...(cautions ?? []), ...ladder.rungs.map(({ help }) => help), "start here"]) {
      await expect(part).toContainText(words);
    }
  }
  for (const caution of file.routine.cautions ?? []) await expect(sheet).toContainText(caution);
  const rule = sheet.getByRole("table").first();
  for (const words of ["low: 0 to 2", "middle: 3 to 5", "Keep", "Ease", "Hold"]) await expect(rule).toContainText(words);
  for (const words of [`On loan to you: ${lent}`, "Stop and get help", "Who to call"]) await expect(sheet).toContainText(words);
  await expect(page.getByRole("button")).toHaveCount(0);
  await isSetLarge(sheet);
  const isBrief = await saysHowOrWhere(sheet, file.routine.exercises);
  const screen = page.viewportSize() ?? { width: 1280, height: 800 };
  await page.setViewportSize({ width: 726, height: 1060 });
  await sheet.screenshot({ path: new URL(`${name}.png`, PICTURES).pathname });
  await page.setViewportSize(screen);
  await page.emulateMedia({ media: null });
  return isBrief;
}

for (const [count, isBrief] of [
  [1, false],
  [4, true],
  [6, true],
] as const) {
  test(`handed over on paper: ${count} of the library on one page, with what is on loan`, async ({ page }) => {
    const practitioner = await Practitioner.at(page);
    await practitioner.addClient("Round 7");
    for (const [name, region] of LIBRARY.slice(0, count)) await practitioner.addExercise(name, region);
    await practitioner.fill("Cautions for the whole routine, one a line", "Hold the banister on the stairs.");
    await practitioner.follow("Client");
    await practitioner.fill("What is lent today", "a light loop band");
    await practitioner.tap("Lend");
    const file = await practitioner.handOver();
    expect(await printsOnOnePage(page, `library-${count}`, file, "a light loop band")).toBe(isBrief);
  });
}

test("the demo routine, handed over on paper", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.tap("The demo routine");
  await practitioner.tap("Use it for a new client");
  await practitioner.follow("Client");
  await practitioner.fill("What is lent today", "a loop band");
  await practitioner.tap("Lend");
  const file = await practitioner.handOver();
  await printsOnOnePage(page, "handed-over-demo", file, "a loop band");
});

/** The pages of a PDF: Chromium writes their dictionaries uncompressed. */
function pages(pdf: Buffer): number {
  return pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}
