/** Handing the log back: by download or by the phone's own share sheet, and only where the client sends it. */
import type { Page } from "@playwright/test";
import { readFileSync } from "node:fs";
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, oneExercise, only } from "./pages.ts";
import { validateFile } from "./schema.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

interface Handed {
  name: string;
  type: string;
  text: string;
}

declare global {
  interface Window {
    handed?: Handed[];
  }
}

/** Gives the browser a share sheet on which the person does one thing. */
async function shareSheet(page: Page, person: "sends it" | "closes it" | "cannot"): Promise<void> {
  await page.addInitScript((person) => {
    window.handed = [];
    Object.assign(navigator, {
      canShare: ({ files }: ShareData) => files?.length === 1 && files[0]?.name.endsWith(".txt"),
      share: async ({ files }: ShareData) => {
        if (person === "closes it") throw new DOMException("closed", "AbortError");
        if (person === "cannot") throw new DOMException("no", "NotAllowedError");
        for (const file of files ?? []) {
          window.handed?.push({ name: file.name, type: file.type, text: await file.text() });
        }
      },
    });
  }, person);
}

test("the share sheet gets the whole log as a text file", async ({ page }) => {
  await shareSheet(page, "sends it");
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  const before = (await client.stored()).map(({ id }) => id);
  await client.link("Hand back the log").click();
  await expect(page.getByText("1 session and 0 morning answers, since Wednesday 25 November.")).toBeVisible();
  await client.button("Share the log").click();
  await expect(page.getByText("Handed on.")).toBeVisible();
  const handed = await page.evaluate(() => window.handed ?? []);
  expect(handed.map(({ name, type }) => [name, type])).toEqual([
    ["carryover-log-2026-11-25.txt", "text/plain"],
  ]);
  const text = handed[0]?.text ?? "";
  expect(validateFile(text)).toEqual([]);
  const { events } = JSON.parse(text) as { events: { id: string; what: unknown }[] };
  expect(events.map(({ id }) => id)).toEqual(expect.arrayContaining(before));
  expect(events.at(-1)?.what).toEqual("handed_back");
  expect(only(await client.stored(), "handed_back")).toHaveLength(1);
});

test("closing the share sheet is no fault, and nothing was handed back", async ({ page }) => {
  await shareSheet(page, "closes it");
  const client = await Client.with(page, small, EVENING);
  await client.link("Hand back the log").click();
  await client.button("Share the log").click();
  await expect(client.button("Share the log")).toBeVisible();
  await expect(page.getByText("Handed on.")).toHaveCount(0);
  await expect(page.getByText(/would not share/)).toHaveCount(0);
  expect(only(await client.stored(), "handed_back")).toEqual([]);
});

test("a share sheet that fails leaves the way by file", async ({ page }) => {
  await shareSheet(page, "cannot");
  const client = await Client.with(page, small, EVENING);
  await client.link("Hand back the log").click();
  await client.button("Share the log").click();
  await expect(page.getByText("Save it, and send it from your downloads.")).toBeVisible();
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    client.button("Save the log as a file").click(),
  ]);
  expect(download.suggestedFilename()).toBe("carryover-log-2026-11-25.txt");
  expect(only(await client.stored(), "handed_back")).toHaveLength(1);
});

test("the log goes out in other formats without counting as handed back", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  await client.link("Hand back the log").click();
  await page.getByText("Other formats").click();
  const saved = async (button: string): Promise<string> => {
    const [download] = await Promise.all([page.waitForEvent("download"), client.button(button).click()]);
    return readFileSync(await download.path(), "utf8");
  };
  expect((await saved("Save for a spreadsheet")).trimEnd().split("\r\n")).toHaveLength(1 + 3);
  expect(JSON.parse(await saved("Save for a clinic"))).toMatchObject({ resourceType: "Bundle", type: "collection" });
  expect(await saved("Save for a calendar")).toContain("DTSTART:20261125T180000\r\n");
  await client.expectAccessible();
  expect(only(await client.stored(), "handed_back")).toEqual([]);
});

test("on the day a routine is taken on a reminder is offered, until one was saved", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.link("Calendar reminder?").click();
  await client.link("Back to Today").click();
  await client.link("Calendar reminder?").click();
  await page.getByLabel("Exercises at").fill("19:30");
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    client.button("Save for a calendar").click(),
  ]);
  expect(readFileSync(await download.path(), "utf8")).toContain("DTSTART:20261125T193000\r\n");
  await client.link("Back to Today").click();
  await expect(client.title(/^Good /)).toBeVisible();
  await expect(client.link("Calendar reminder?")).toHaveCount(0);
});

test("who wants no reminder is not asked again, and not on another day", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  const offer = client.link("Calendar reminder?");
  await expect(offer).toBeVisible();
  await client.until("2026-11-26T18:00:00+01:00");
  await expect(offer).toHaveCount(0);
  await client.link("My routine").click();
  await client.openFile("routine.json", oneExercise((routine) => Object.assign(routine, { version: 2 })));
  await client.accept();
  await client.button("No").click();
  await expect(offer).toHaveCount(0);
  await client.reload();
  await expect(client.title(/^Good /)).toBeVisible();
  await expect(offer).toHaveCount(0);
});
