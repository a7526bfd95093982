/** Type twice as large on a small phone: nothing runs out of the page, and no word of the ladder or the rule is torn. */
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, shipped } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

test.use({ timezoneId: "Europe/Berlin", viewport: { width: 360, height: 740 } });

/** The words of ladders and tables in sight that go on in a second line; hyphens may end a line. */
async function torn(page: Page): Promise<string[]> {
  return await page.evaluate(() => {
    const found: string[] = [];
    for (const part of document.querySelectorAll(".ladder, .rule table, .cells th, .cells td, .rungs h3")) {
      const walker = document.createTreeWalker(part, NodeFilter.SHOW_TEXT);
      for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        if (!node.parentElement?.checkVisibility() || node.parentElement.closest("select")) continue;
        for (const { index, 0: word } of (node.textContent ?? "").matchAll(/[\p{L}\p{N}’']+/gu)) {
          const range = document.createRange();
          range.setStart(node, index);
          range.setEnd(node, index + word.length);
          const lines = new Set([...range.getClientRects()].map(({ top }) => Math.round(top)));
          if (1 < lines.size) found.push(word);
        }
      }
    }
    return found;
  });
}

async function expectRoom(page: Page, screen: string): Promise<void> {
  await page.evaluate(() => void (document.documentElement.style.fontSize = "200%"));
  for (const summary of await page.locator("details:not([open]) > summary").all()) {
    if (await summary.isVisible()) await summary.click();
  }
  expect(await page.locator(".ladder, .rule table, .cells, .rungs").count(), screen).toBeGreaterThan(0);
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth), `${screen}: sideways`).toBeLessThanOrEqual(0);
  expect(await torn(page), `${screen}: torn words`).toEqual([]);
}

test("on the client's pages", async ({ page }) => {
  const client = await Client.with(page, shipped("demo"), EVENING);
  await client.link("My routine").click();
  await expect(page.getByRole("table").first()).toBeVisible();
  await expectRoom(page, "the routine");
  await client.link("Back to Today").click();
  await client.line("Heel lowering on the stairs").getByRole("link").click();
  await expect(client.title("Heel lowering on the stairs")).toBeVisible();
  await expectRoom(page, "an exercise");
  await client.link("Back to Today").click();
  await client.begin();
  await expectRoom(page, "the set-up");
});

test("on the practitioner's pages", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Heel drop, knee straight", "Foot and ankle");
  await practitioner.addExercise("Sit to stand", "Knee");
  await practitioner.openExercise("Sit to stand");
  await expectRoom(page, "an exercise");
  await practitioner.follow("Done");
  await page.locator("a[href$='/rule']").click();
  await practitioner.sees("The rule");
  await expectRoom(page, "the rule");
  await practitioner.follow("Done");
  await practitioner.handOver();
  await expectRoom(page, "what is handed over");
});

for (const name of ["demo", "heel-drop", "knee-days-5-12"]) {
  test(`${name}, before it is taken on`, async ({ page }) => {
    const client = await Client.at(page, EVENING);
    await client.openFile(`${name}.json`, shipped(name));
    await expect(client.button("Use this routine")).toBeVisible();
    await expectRoom(page, name);
  });
}

test("on the review of three weeks", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  const log = readFileSync(new URL("../tests/fixtures/formats/three-weeks.log.txt", import.meta.url));
  await page.locator("input[type=file]").first().setInputFiles({ name: "log.txt", mimeType: "text/plain", buffer: log });
  await practitioner.tap("Keep it as a new client");
  await practitioner.sees("Close the visit");
  await expectRoom(page, "the review");
});
