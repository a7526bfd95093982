/** The log goes from the client's screen into the practitioner's camera, without a file and without a network. */
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Page } from "@playwright/test";
import { pictureOf, writeVideo } from "./camera.ts";
import { args, findChromium } from "./chromium.mjs";
import { expect, expectAccessible, test } from "./fixtures.ts";
import { Client, EVENING, oneExercise, only } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

const root = fileURLToPath(new URL("..", import.meta.url));
const video = `${root}target/tmp/log-codes-${process.pid}.y4m`;
const month = readFileSync(`${root}tests/fixtures/formats/month.log.txt`, "utf8");

test.use({
  timezoneId: "Europe/Berlin",
  launchOptions: {
    executablePath: findChromium(),
    args: [...args, "--use-fake-device-for-media-stream", `--use-file-for-fake-video-capture=${video}`],
  },
});

test.beforeAll(() => {
  mkdirSync(`${root}target/tmp`, { recursive: true });
});

test.afterAll(() => rmSync(video, { force: true }));

/** A client with the log of a month, about to hand it back. */
async function handingBackTheMonth(page: Page): Promise<Client> {
  const client = await Client.at(page, "2026-06-29T18:30:00+02:00", "/keep");
  const copy = { name: "copy.txt", mimeType: "text/plain", buffer: Buffer.from(month) };
  await page.getByLabel("Restore a copy").setInputFiles(copy);
  await expect(page.getByText(/\d+ entries brought back/)).toBeVisible();
  await client.link("Back to Today").click();
  await client.link("Hand back the log").click();
  return client;
}

/** Every code of the sequence that stands still on the page. */
async function pictures(page: Page): Promise<Uint8Array[]> {
  const code = page.getByRole("img", { name: /^Code \d+ of \d+$/ });
  const all: Uint8Array[] = [];
  const count = Number(/of (\d+)/.exec((await code.getAttribute("aria-label")) ?? "")?.[1]);
  for (let number = 0; number < count; number += 1) {
    all.push(await pictureOf(page));
    const before = await code.getAttribute("aria-label");
    await page.getByRole("button", { name: "Next code" }).click();
    await expect(code).not.toHaveAttribute("aria-label", before ?? "");
  }
  return all;
}

test("the latest part of a month is shown as codes, read with the camera, and kept for its client", async ({ page, openDevice }) => {
  test.slow();
  const client = await handingBackTheMonth(page);
  await client.button("Show it as codes").click();
  const part = page.getByText(/^(Your whole log|The last \d+ days, with your routine): \d+ codes\. Do not move it/);
  await expect(part).toBeVisible();
  const code = page.getByRole("img", { name: /^Code / });

  await test.step("they turn, stop, and are stepped through", async () => {
    await expect(code).toHaveAccessibleName(/^Code 1 of /);
    await client.runFor(0.8);
    await expect(code).toHaveAccessibleName(/^Code 2 of /);
    await client.button("Stop turning").click();
    await client.runFor(5);
    await expect(code).toHaveAccessibleName(/^Code 2 of /);
    await client.button("Next code").click();
    await expect(code).toHaveAccessibleName(/^Code 3 of /);
    await client.button("Start turning").click();
    await client.runFor(0.8);
    await expect(code).toHaveAccessibleName(/^Code 4 of /);
    await client.button("Stop turning").click();
    for (const colorScheme of ["light", "dark"] as const) {
      await page.emulateMedia({ colorScheme });
      await client.expectAccessible();
    }
  });
  writeVideo(video, await pictures(page));

  const device = await openDevice({ permissions: ["camera"], timezoneId: "Europe/Berlin" });
  const desk = await Practitioner.at(await device.newPage());
  // What the practitioner has already: the first week.
  const [head, ...lines] = month.split("\n");
  const week = `${[head, ...lines.slice(0, 120)].join("\n").replace(/,$/, "")}\n]}\n`;
  const known = { name: "log.txt", mimeType: "text/plain", buffer: Buffer.from(week) };
  await desk.page.getByLabel("Open a file").setInputFiles(known);
  await desk.tap("Keep it as a new client");
  await desk.sees("Close the visit");

  const scanner: string[] = [];
  desk.page.on("request", (request) => request.url().includes("/scanner") && scanner.push(request.url()));
  await desk.page.getByText("Other ways").click();
  expect(scanner, "nothing of the reader is loaded before a camera opens").toEqual([]);
  await desk.tap("Scan the client's codes");
  await expect(desk.page.getByRole("status").filter({ hasText: /^\d+ of \d+$/ })).toBeVisible();
  for (const colorScheme of ["light", "dark"] as const) {
    await desk.page.emulateMedia({ colorScheme });
    await expectAccessible(desk.page);
  }
  const read = desk.page.getByText(/^"The codes": \d+ entries, .* to Mon 29 Jun, not kept yet; see the question\./);
  await expect(read).toBeVisible({ timeout: 200_000 });
  // A second version was taken on since, of which this device knows nothing.
  await expect(desk.page.getByText(/^This log of Postal round, left heel follows version 2 of the routine; the newest one here is version 1\./)).toBeVisible();
  await desk.tap("Keep it with Postal round, left heel");
  await expect(desk.page.getByText(/^"The codes": \d+ new entries, .* to Mon 29 Jun, kept for Postal round, left heel\./)).toBeVisible();
  expect(scanner.length).toBeGreaterThan(0);
  await expect(desk.page.getByRole("button", { name: "Close the camera" })).toHaveCount(0);

  await client.button("It was read").click();
  await expect(page.getByText("Handed on.")).toBeVisible();
  expect(only(await client.stored(), "handed_back")).toHaveLength(1);
});

test("a young log is one code or a few, and closing them hands nothing back", async ({ page }) => {
  const client = await Client.with(page, oneExercise(), EVENING);
  await client.link("Hand back the log").click();
  await client.button("Show it as codes").click();
  await expect(page.getByText(/^Your whole log: \d codes?\./)).toBeVisible();
  await expect(page.getByRole("img", { name: /^(Code 1 of \d|Your log as a code to scan)$/ })).toBeVisible();
  await client.button("Close the codes").click();
  await expect(client.button("Show it as codes")).toBeVisible();
  await expect(page.getByText("Handed on.")).toHaveCount(0);
  expect(only(await client.stored(), "handed_back")).toEqual([]);
});

test("once handed back, codes carry what came since, and more by a tap", async ({ page }) => {
  const client = await handingBackTheMonth(page);
  const show = client.button("Show it as codes");
  await show.click();
  await expect(page.getByText(/: \d+ codes\. Do not move it/)).toBeVisible();
  await expect(client.button("Show more of the log")).toHaveCount(0);
  await client.button("It was read").click();
  await expect(page.getByText("Handed on.")).toBeVisible();

  await show.click();
  await expect(page.getByText(/^All since you last handed back: \d codes?\. Do not move it/)).toBeVisible();
  await client.expectAccessible();
  await client.button("Show more of the log").click();
  await expect(page.getByText(/^The last 28 days, with your routine: \d+ codes\./)).toBeVisible();
  await client.button("Close the codes").click();
  expect(only(await client.stored(), "handed_back")).toHaveLength(1);
});
