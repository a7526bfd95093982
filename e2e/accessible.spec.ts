/** Every screen, checked against WCAG 2.2 A and AA, in both colour schemes. */
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";
import { expect, expectAccessible, test } from "./fixtures.ts";
import { Client, EVENING } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";
import { throughASession, throughAVisit, throughTheDays } from "./tour.ts";

test.use({ timezoneId: "Europe/Berlin" });

for (const tour of [throughASession, throughTheDays, throughAVisit]) {
  test(`everyone can use every screen, ${tour.name}`, async ({ page }) => {
    const client = await Client.at(page, EVENING);
    await tour(client, async (screen) => {
      for (const colorScheme of ["dark", "light"] as const) {
        await page.emulateMedia({ colorScheme });
        await test.step(`${screen}, ${colorScheme}`, () => client.expectAccessible());
      }
    });
  });
}

test("when nothing can be stored", async ({ page }) => {
  await page.addInitScript("Object.defineProperty(window, 'indexedDB', { value: undefined })");
  await page.goto("/");
  await expect(page.getByRole("heading", { name: "Your log could not be opened" })).toBeVisible();
  for (const colorScheme of ["dark", "light"] as const) {
    await page.emulateMedia({ colorScheme });
    await expectAccessible(page);
  }
});

const SIZES = [
  { width: 360, height: 740 },
  { width: 1280, height: 800 },
];

/** Looks at a practitioner's screen on a phone and on a laptop, light and dark, with everything on it open. */
async function look(page: Page, screen: string, only?: "as it is"): Promise<void> {
  if (!only) {
    for (const summary of await page.locator("details:not([open]) > summary").all()) {
      if (await summary.isVisible()) await summary.click();
    }
  }
  for (const size of SIZES) {
    await page.setViewportSize(size);
    // Where the foot of a screen stands in its own place, and on top of nothing.
    await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
    for (const colorScheme of ["light", "dark"] as const) {
      await page.emulateMedia({ colorScheme });
      await test.step(`${screen}, ${size.width} wide, ${colorScheme}`, () => expectAccessible(page));
      expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth), `${screen}: sideways`).toBeLessThanOrEqual(0);
    }
  }
  await page.setViewportSize(SIZES[0]!);
}

const filed = (name: string) => readFileSync(new URL(`../tests/fixtures/${name}`, import.meta.url), "utf8");

const openText = async (page: Page, name: string, text: string) =>
  await page.locator("input[type=file]").first().setInputFiles({ name, mimeType: "text/plain", buffer: Buffer.from(text) });

test("everyone can use the caseload, its copies and a client's page", async ({ page, context }) => {
  const practitioner = await Practitioner.at(page);
  await look(page, "the caseload, empty");
  await practitioner.tap("Add client");
  await look(page, "the caseload, no label given");
  for (const label of ["Round 7", "Rucksack", "Staircase", "Kitchen chair", "Banister", "Loop band"]) {
    await practitioner.addClient(label);
    await practitioner.follow("Client");
    await practitioner.sees(label);
    await practitioner.follow("Caseload");
    await practitioner.sees("Caseload");
  }
  await practitioner.click(page.getByRole("link", { name: /^Loop band/ }));
  await practitioner.sees("Loop band");
  for (const lent of ["a loop band", "a rucksack"]) {
    await practitioner.fill("What is lent today", lent);
    await practitioner.tap("Lend");
  }
  await practitioner.tap("Came back");
  await practitioner.click(page.getByText("What is in this home?"));
  for (const thing of ["a sturdy chair", "a kitchen worktop"]) await practitioner.tap(thing);
  await practitioner.click(page.getByText("Label, archive, erase"));
  await practitioner.tap("Archive");
  await practitioner.tap("Erase for good…");
  await look(page, "a client, with loans, asked whether to erase");
  await practitioner.follow("Caseload");
  await practitioner.tap("Show the archived");
  await practitioner.fill("Find by label", "loop");
  await practitioner.click(page.getByText("Seal the copy with a passphrase"));
  await practitioner.fill("Passphrase", "kitchen chair");
  await practitioner.tap("Save a sealed copy of everything");
  await look(page, "the caseload, full, with two passphrases that differ");
  await openText(page, "caseload.txt", filed("released/caseload-1.json"));
  await practitioner.tap("Use the copy instead of what is here…");
  await look(page, "a copy, asked whether to replace everything");
  await practitioner.tap("Not now");
  await openText(page, "holiday.txt", "sun");
  await look(page, "the caseload, a bad file");
  await page.goto("/practice/client/nobody");
  await practitioner.sees("Not in your caseload");
  await look(page, "nobody's page");
  await page.goto("/practice/nowhere");
  await practitioner.sees("There is no such page");
  await look(page, "no such page");
  const second = await context.newPage();
  await second.goto("/practice/");
  await expect(second.getByRole("heading", { name: "Open in another window" })).toBeVisible();
  await look(second, "open elsewhere");
});

test("everyone can use the builder, the library and an exercise's page", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await look(page, "the builder, empty");
  await practitioner.follow("Add an exercise");
  await practitioner.tap(/^Hip \d+$/);
  await practitioner.fill("Find by a word", "clam");
  await look(page, "the library, an exercise looked at");
  await practitioner.fill("Find by a word", "piano");
  await practitioner.tap("Write it");
  await look(page, "the library, nothing found, no name given");
  await practitioner.follow("Routine");
  for (const [name, region] of [
    ["Clam", "Hip"],
    ["Bridge", "Hip"],
    ["Sit to stand", "Knee"],
    ["Wall slide and stay", "Knee"],
    ["Heel raise at the worktop", "Foot and ankle"],
  ] as const) {
    await practitioner.addExercise(name, region);
  }
  await practitioner.click(practitioner.card("Clam").getByRole("button", { name: "Crankiest" }));
  await look(page, "the builder, five exercises, the template's rows open");
  await practitioner.openExercise("Clam");
  await practitioner.fill("Reps in a set", "400");
  await page.getByLabel("Body, nothing helping").evaluate((field) => field.closest("details")?.setAttribute("open", ""));
  await practitioner.fill("Body, nothing helping", "80");
  await practitioner.fill("With the help", "60");
  await page.getByLabel("Length at rest").evaluate((field) => field.closest("details")?.setAttribute("open", ""));
  await practitioner.fill("Length at rest", "30");
  await practitioner.fill("Length when stretched", "120");
  await expect(page.getByRole("status").filter({ hasText: /%/ }).first()).toBeVisible();
  await page.getByLabel("Add a photo of the set-up").setInputFiles({ name: "wall.png", mimeType: "image/png", buffer: await page.screenshot() });
  await expect(page.getByRole("img", { name: "Your set-up for Clam" })).toBeVisible();
  await look(page, "an exercise, its ladder, both sheets filled in, a photo, a number refused");
});

test("everyone can use the rule and the hand-over", async ({ page, context }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.follow("Hand over");
  await practitioner.sees("Hand over");
  await look(page, "the hand-over, nothing to hand over");
  await practitioner.follow("Build the routine");
  await practitioner.addExercise("Clam", "Hip");
  await page.locator("a[href$='/rule']").click();
  await practitioner.sees("The rule");
  await practitioner.fill("A place, in words the client knows", "at the heel bone");
  await practitioner.tap("Name it");
  await practitioner.fill("Low pain goes up to", "9");
  await look(page, "the rule, a number refused, a place named");
  await practitioner.follow("Done");
  await practitioner.handOver();
  await practitioner.link();
  await look(page, "the hand-over, with what is in it");
  const opening = context.waitForEvent("page");
  await practitioner.follow("Try it as the client");
  const preview = await opening;
  await preview.getByRole("button", { name: "Use this routine" }).waitFor();
  await look(preview, "the preview, before it is taken on");
  await preview.getByRole("button", { name: "Use this routine" }).click();
  await expect(preview.getByText("This is a try-out.")).toBeVisible();
  await look(preview, "the preview's Today");
  await practitioner.follow("Routine");
  await practitioner.openExercise("Clam");
  await practitioner.tap("Sets: more");
  await practitioner.follow("Done");
  await practitioner.follow("Hand over");
  await expect(page.getByRole("button", { name: "Make version 2" })).toBeVisible();
  await look(page, "the hand-over, what a second version changes");
});

test("everyone can use a visit, from the open log to its note", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await openText(page, "log.txt", filed("formats/month.log.txt"));
  await expect(page.getByRole("heading", { name: "What next" })).toBeVisible();
  await look(page, "a log that is in nobody's care, every plot open");
  await practitioner.tap("Keep it as a new client");
  await practitioner.sees("Close the visit");
  await practitioner.tap("The whole log");
  await practitioner.click(page.getByRole("button", { name: /^Put aside: / }));
  await practitioner.fill("What was seen and agreed today", "Stairs again, one hand on the banister.");
  await page.getByText("Visit note, for any record").click();
  await practitioner.fill("Visit note", "Stairs again.");
  await look(page, "the visit, every plot open, its note changed");
  await practitioner.tap("Close the visit");
  await expect(page.getByText(/is closed and stands under Visits\.$/)).toBeVisible();
  await look(page, "the visit, closed");
});
