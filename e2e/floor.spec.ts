// Below the floor, or when a part of the app does not arrive: said in plain words, with the way out.
// Errors in the console are what these journeys cause, so they are not held to having none.
import { readFileSync } from "node:fs";
import { expect, test } from "@playwright/test";
import type { Page } from "@playwright/test";
import { held } from "./device.ts";
import { expectAccessible } from "./fixtures.ts";
import { Client, EVENING, oneExercise } from "./pages.ts";
import { validateCopy, validateFile } from "./schema.ts";

const RELEASED = readFileSync(new URL("../tests/fixtures/released/caseload-1.json", import.meta.url), "utf8");
/** What a host answers that has a page for whatever is missing. */
const A_PAGE = { status: 200, contentType: "text/html", body: "<!doctype html><title>Welcome</title>" };

for (const address of ["/", "/practice/"]) {
  test(`a browser that is too old is told so, ${address}`, async ({ page }) => {
    await page.addInitScript(() => Reflect.deleteProperty(window, "DecompressionStream"));
    await page.route("**/*.wasm", (route) => route.abort());
    await page.goto(address);
    await expect(page.getByRole("heading", { name: "This browser is too old" })).toBeVisible();
    await expect(page.getByText("iOS 16.4, Chrome 103 or Firefox 126")).toBeVisible();
    await expectAccessible(page);
  });

  for (const part of [".js", ".wasm"]) {
    test(`a part that does not arrive is told of, and tried again, ${address} ${part}`, async ({ page }) => {
      const missing = new RegExp(`/(carryover|practice)-[^/]*\\${part}$`);
      await page.route(missing, (route) => route.abort());
      await page.goto(address);
      await expect(page.getByRole("heading", { name: "Carryover did not load" })).toBeVisible();
      await expectAccessible(page);
      await page.unroute(missing);
      await page.getByRole("button", { name: "Try again" }).click();
      await expect(page.getByRole("heading", { name: "Carryover did not load" })).toBeHidden();
      await expect(page.locator("#shell")).toHaveCount(0);
    });
  }
}

/** Saves what the page offers as a file; its name and its text. */
async function savedBy(page: Page, button: string): Promise<{ name: string; text: string }> {
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: button }).click()]);
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), "utf8") };
}

for (const part of [/\/carryover-[^/]*\.js$/, /\/carryover-[^/]*\.wasm$/, /\/part-log-[^/]*\.wasm$/]) {
  test(`a page for a missing program (${part.source}): the log leaves as a file that another device reads`, async ({ page, browser }) => {
    const client = await Client.with(page, oneExercise(), EVENING);
    await client.begin();
    const log = await client.texts();
    expect(log.length).toBeGreaterThan(1);
    // Noted, and not yet safe in its place; and what an erased log of before had, which is not to come back.
    const unsaved = JSON.parse(log.at(-1) ?? "") as { id: string };
    // Of another run of the app: what comes after the moment is not this one's.
    unsaved.id = unsaved.id.replace(/^(.{10})(.)/, (_, moment: string, next: string) => moment + (next === "Z" ? "Y" : "Z"));
    await page.evaluate((spare) => localStorage.setItem("carryover.spare", JSON.stringify(spare)), [[unsaved.id, JSON.stringify(unsaved)]]);
    await page.route(part, (route) => route.fulfill(A_PAGE));
    await page.reload();
    await expect(page.getByRole("heading", { name: "did not load" })).toBeVisible();
    await expect(page.getByRole("button", { name: "Save the log as a file" })).toBeVisible();
    await client.expectAccessible();
    const { name, text } = await savedBy(page, "Save the log as a file");
    expect(name).toMatch(/^carryover-log-\d{4}-\d\d-\d\d\.txt$/);
    expect(validateFile(text)).toEqual([]);

    const other = await Client.at(await (await browser.newContext()).newPage(), EVENING, "/keep");
    await other.page.getByLabel("Restore a copy").setInputFiles({ name, mimeType: "text/plain", buffer: Buffer.from(text) });
    await expect.poll(() => other.texts()).toEqual([...log, JSON.stringify(unsaved)].sort());
    await other.page.context().close();
  });
}

test("what an erased log left in the spare place is in no file", async ({ page }) => {
  const client = await Client.with(page, oneExercise(), EVENING);
  const log = await client.texts();
  await page.evaluate((spare) => localStorage.setItem("carryover.spare", JSON.stringify(spare)), [
    ["01ARYZ6S410000000000000000", "{}"],
    ["erased", "01ARYZ6S410000000000000001"],
  ]);
  await page.route(/\/carryover-[^/]*\.js$/, (route) => route.abort());
  await page.reload();
  const { text } = await savedBy(page, "Save the log as a file");
  expect(text).toBe(`{"format":"carryover-log","version":1,"events":[\n${log.join(",\n")}\n]}\n`);
});

test("a page for a missing program: the caseload leaves as a copy that another device reads", async ({ page, browser }) => {
  const open = async (page: Page, text: string) => {
    await page.getByLabel("Open a file").setInputFiles({ name: "caseload.txt", mimeType: "text/plain", buffer: Buffer.from(text) });
    await page.getByRole("button", { name: "Bring it back", exact: true }).click();
    await expect(page.getByText("Saved", { exact: true })).toBeVisible();
  };
  await page.goto("/practice/");
  await open(page, RELEASED);
  const before = await held(page, "carryover-practice");
  expect(before.length).toBeGreaterThan(20);
  await page.route(/\/practice-[^/]*\.js$/, (route) => route.fulfill(A_PAGE));
  await page.reload();
  const { name, text } = await savedBy(page, "Save the caseload as a file");
  expect(name).toMatch(/^caseload-\d{4}-\d\d-\d\d\.txt$/);
  expect(validateCopy(text)).toEqual([]);

  const other = await (await browser.newContext()).newPage();
  await other.goto("/practice/");
  await open(other, text);
  expect(await held(other, "carryover-practice")).toEqual(before);
  await other.context().close();
});

test("on a device that keeps nothing no file is offered, and nothing is made", async ({ page }) => {
  await page.route(/\/carryover-[^/]*\.js$/, (route) => route.abort());
  await page.goto("/");
  await expect(page.getByRole("button", { name: "Try again" })).toBeVisible();
  expect(await page.evaluate(() => indexedDB.databases())).toEqual([]);
  await expect(page.getByRole("button", { name: /^Save/ })).toHaveCount(0);
});

test.describe("with a worker", () => {
  test.use({ serviceWorkers: "allow" });

  /** Puts a page into the place of the program in what the worker keeps. */
  async function spoil(page: Page): Promise<void> {
    await page.goto("/");
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.evaluate(async (text) => {
      const [name = ""] = await caches.keys();
      const cache = await caches.open(name);
      const program = (await cache.keys()).find(({ url }) => /\/carryover-[^/]*\.js$/.test(url));
      await cache.put(program ?? "", new Response(text, { headers: { "Content-Type": "text/html" } }));
    }, A_PAGE.body);
    await page.reload();
    await expect(page.getByRole("heading", { name: "Carryover did not load" })).toBeVisible();
  }

  test("what the worker keeps is dropped by Try again, and fetched anew", async ({ page }) => {
    await spoil(page);
    await page.getByRole("button", { name: "Try again" }).click();
    await expect(page.getByRole("button", { name: "Try the demo" })).toBeVisible();
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.reload();
    await expect(page.getByRole("button", { name: "Try the demo" })).toBeVisible();
  });

  test("it is kept where the host cannot be reached", async ({ page, context }) => {
    await spoil(page);
    const kept = await page.evaluate(() => caches.keys());
    await context.setOffline(true);
    const anew = page.waitForEvent("domcontentloaded");
    await page.getByRole("button", { name: "Try again" }).click();
    await anew;
    await expect(page.getByRole("heading", { name: "Carryover did not load" })).toBeVisible();
    expect(await page.evaluate(() => caches.keys())).toEqual(kept);
  });
});
