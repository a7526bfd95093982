/** The sheet for the fridge: one page of A4 with all that matters, and nothing else of the screen. */
import { mkdirSync } from "node:fs";
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, shipped } from "./pages.ts";

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
    await client.link("My routine and the rule").click();
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
      for (const step of exercise.steps) await expect(part).toContainText(step);
      for (const { help } of exercise.ladder.rungs) await expect(part).toContainText(help);
      await expect(part).toContainText("start here");
    }
    await expect(sheet.getByRole("table").first()).toBeVisible();
    for (const words of ["Stop and get help", "Call your local emergency number now", "Who to call", "Next visit"]) {
      await expect(sheet.getByText(words).first()).toBeVisible();
    }
    await expect(page.getByRole("button")).toHaveCount(0);
    const size = await sheet.evaluate((article) => parseFloat(getComputedStyle(article).fontSize) * 0.75);
    expect(size, "points").toBeGreaterThanOrEqual(7);
    await page.setViewportSize({ width: 726, height: 1060 });
    await sheet.screenshot({ path: new URL(`${name}.png`, PICTURES).pathname });
  });
}

test("more exercises than four go on on a second page", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  await page.evaluate(() => {
    window.print = () => {};
  });
  const file = shipped("knee-days-5-12");
  file.routine.exercises.push(...shipped("demo").routine.exercises);
  await client.openFile("long.json", file);
  await client.accept();
  await client.link("My routine and the rule").click();
  await client.button("Print a sheet for the fridge").click();
  await client.runFor(0.1);
  const pdf = await page.pdf({ preferCSSPageSize: true });
  expect(pages(pdf)).toBeGreaterThan(1);
});

/** The pages of a PDF: Chromium writes their dictionaries uncompressed. */
function pages(pdf: Buffer): number {
  return pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}
