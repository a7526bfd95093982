/** Limits that are tried before they are trusted: on the days of a log, and on known kinds of client. */
import { readFileSync } from "node:fs";
import type { Locator, Page } from "@playwright/test";
import { held } from "./device.ts";
import { expect, expectAccessible, expectUsableEverywhere, test } from "./fixtures.ts";
import { Practitioner } from "./practitioner.ts";

/** Three weeks with two Holds within a week, under the Pain-monitoring table. */
const LOG = readFileSync(new URL("../tests/fixtures/formats/three-weeks.log.txt", import.meta.url), "utf8");
const STAIRS = "Heel lowering on the stairs";

async function openLog(practitioner: Practitioner): Promise<void> {
  const file = { name: "log.txt", mimeType: "text/plain", buffer: Buffer.from(LOG) };
  await practitioner.page.getByLabel("Open a file").setInputFiles(file);
}

function open(page: Page, title: string): Promise<void> {
  return page.locator("summary").filter({ hasText: title }).click();
}

function part(page: Page, exercise: string): Locator {
  return page.locator(".tried").filter({ has: page.getByRole("heading", { name: exercise }) });
}

test("other limits are tried on a log: what differs, from when on and why, and nothing is changed before they are taken", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await openLog(practitioner);
  await practitioner.tap("Keep it as a new client");
  await expect(page.getByText("Saved", { exact: true })).toBeVisible();
  const before = await held(page, "carryover-practice");

  await open(page, "Try other limits on this log");
  const stairs = part(page, STAIRS);
  await expect(stairs).toContainText(/The same on all of \d+ days\./);
  await expect(page.getByRole("button", { name: "Take these limits into the draft" })).toBeDisabled();
  await practitioner.tap("Nearly pain-free");
  await expect(stairs).toContainText(/Of \d+ days, \d+ differ\. The first is \w{3} \d+ \w{3}\./);
  await expect(stairs.getByRole("listitem").first()).toHaveText(
    /^\w{3} \d+ \w{3}: Keep, would be (Ease|Hold)\. The pain during is (middle|high) under these limits, and was (low|middle)\.$/,
  );
  await expect(stairs).toContainText(/Left out: .+, would be .+\./);
  await expectAccessible(page);
  await practitioner.tap("Put them aside");
  await expect(stairs).toContainText(/The same on all of \d+ days\./);
  expect(await held(page, "carryover-practice")).toEqual(before);

  await practitioner.tap("Nearly pain-free");
  await practitioner.tap("Take these limits into the draft");
  await expect(page.getByText("They are in the draft now.")).toBeVisible();
  await expect(page.getByText("Saved", { exact: true })).toBeVisible();
  await page.goto("/practice/");
  await practitioner.click(page.getByRole("link", { name: /^Stairs and chair/ }));
  await practitioner.follow("Change the routine");
  const { routine } = await practitioner.handOver();
  expect(routine.limits.table).toMatchObject({ low_max: 1, middle_max: 3 });
});

test("in the rule's editor the draft's limits are read against the client's own days", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await openLog(practitioner);
  await practitioner.tap("Keep it as a new client");
  await page.goto("/practice/");
  await practitioner.click(page.getByRole("link", { name: /^Stairs and chair/ }));
  await practitioner.follow("Change the routine");
  await practitioner.click(page.getByRole("link", { name: "Change" }).last());
  await practitioner.sees("The rule");
  await open(page, "On this client's own days");
  await expect(part(page, STAIRS)).toContainText(/The same on all of \d+ days\./);
  await practitioner.fill("Good days in a row before a step up", "1");
  await expect(part(page, STAIRS)).toContainText(/Steps up: .+, would be .+\./);
});

test("known kinds of client live under the limits, beside the three presets, and each time come to the same", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Clam", "Hip");
  await practitioner.click(page.getByRole("link", { name: "Change" }).last());
  await practitioner.sees("The rule");
  const table = page.getByRole("table").filter({ hasText: "Always stiff at dawn" });
  const results = async (): Promise<string[]> => {
    await open(page, "On known kinds of client");
    await expect(table).toBeVisible();
    await expect(page.getByText(/worked out$/)).toHaveCount(0, { timeout: 60_000 });
    await expect(table).not.toContainText("…");
    const all: string[] = [];
    for (const shown of ["Keep", "Ease", "Hold", "First alarm", "Alarms", "Step ups", "Days stopped"]) {
      await page.getByRole("group", { name: "Shown" }).getByRole("button", { name: shown, exact: true }).click();
      all.push((await table.textContent()) ?? "");
    }
    return all;
  };
  const first = await results();
  await expect(table.getByRole("row", { name: /Never hurts/ })).toContainText("0.0");
  await expectUsableEverywhere(page);
  await page.reload();
  await practitioner.sees("The rule");
  expect(await results()).toEqual(first);
  expect(new Set(first).size).toBe(first.length);
});

test("a table that holds a steady client, and one that misses a rise, says so beside the cell", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Clam", "Hip");
  await practitioner.click(page.getByRole("link", { name: "Change" }).last());
  await practitioner.sees("The rule");
  const said = (cell: string): Locator =>
    page.getByRole("cell").filter({ has: page.getByLabel(cell, { exact: true }) }).locator(".doubted");
  await expect(page.locator(".doubted")).toHaveCount(0);
  // From the worse places on: none may be milder than a better one.
  for (const morning of ["up by 2 or more", "up by less than 2"]) {
    for (const zone of ["high", "middle", "low"]) {
      await page.getByLabel(`${zone} pain, morning ${morning}`, { exact: true }).selectOption("Hold");
    }
  }
  await expect(said("low pain, morning up by less than 2")).toContainText(
    /^A steady client with pain 2 is on Hold \d+ days in 100 by wobble alone\./,
  );
  await expectAccessible(page);

  await practitioner.tap("Wider green");
  await expect(page.locator(".doubted").filter({ hasText: "is on Hold" })).toHaveCount(0);
  await practitioner.tap("Put my own cells back");
  await expect(said("low pain, morning up by less than 2")).toContainText("is on Hold");
  await expect(page.getByRole("button", { name: "Put my own cells back" })).toHaveCount(0);
});
