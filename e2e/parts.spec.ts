/** What comes later comes when it is needed, and where it does not, the page says so. */
import { test as bare } from "@playwright/test";
import { expect, expectAccessible, test } from "./fixtures.ts";
import type { Page } from "@playwright/test";
import { fragment, serveLibrary } from "./links.ts";

/** The parts that the page asks for from now on, by name. */
async function asked(page: Page): Promise<string[]> {
  const parts: string[] = [];
  page.on("request", (request) => {
    const part = /\/part-(.+)-[0-9a-f]+\.wasm$/.exec(request.url())?.[1];
    if (part) parts.push(part);
  });
  return parts;
}

/** A page that is never without something to do, and so fetches nothing before it is needed. */
async function keepBusy(page: Page): Promise<void> {
  await page.addInitScript(() => Object.assign(window, { requestIdleCallback: () => 1 }));
}

async function openDemo(page: Page): Promise<void> {
  await page.goto("/");
  await page.getByRole("button", { name: "Try the demo" }).click();
  await page.getByRole("button", { name: "Use this routine" }).click();
  await expect(page.getByRole("heading", { name: /^Good / })).toBeVisible();
}

test("a first visit loads the welcome alone, and a link what its routine needs", async ({ page, openDevice }) => {
  await keepBusy(page);
  const welcome = await asked(page);
  await page.goto("/");
  await expect(page.getByRole("button", { name: "Try the demo" })).toBeVisible();
  expect(welcome).toEqual([]);

  const other = await (await openDevice()).newPage();
  await keepBusy(other);
  await serveLibrary(other);
  const byLink = await asked(other);
  await other.goto(`/take#${fragment("good")}`);
  await expect(other.getByRole("button", { name: "Use this routine" })).toBeVisible();
  expect(byLink).toContain("first");
  for (const part of ["log", "opening", "routes", "today", "training", "more", "camera", "revision"]) expect(byLink).not.toContain(part);
});

test("a set can be started only where everything for it is there", async ({ page }) => {
  await keepBusy(page);
  await openDemo(page);
  await page.getByRole("link", { name: "Start" }).click();
  await page.getByRole("button", { name: "1", exact: true }).click();
  await expect(page.getByRole("button", { name: "Start the first set" })).toBeVisible();
  const late = await asked(page);
  await page.getByRole("button", { name: "Start the first set" }).click();
  await page.getByRole("button", { name: "Stop, it hurts" }).click();
  await page.getByRole("button", { name: "4", exact: true }).click();
  await expect(page.getByText("Saved")).toBeVisible();
  expect(late).toEqual([]);
});

// What these journeys cause are errors in the console.
bare("what the welcome needs next is there before it is asked for", async ({ page, context }) => {
  await page.goto("/");
  await page.waitForLoadState("networkidle");
  await context.setOffline(true);
  await page.getByLabel("Open a routine file").setInputFiles("../public/routines/heel-drop.json");
  await expect(page.getByRole("button", { name: "Use this routine" })).toBeVisible();
});

bare("a screen that does not arrive is told of, and tried again", async ({ page }) => {
  const missing = /\/part-training-[0-9a-f]+\.wasm$/;
  await page.route(missing, (route) => route.fulfill({ status: 404, contentType: "text/html", body: "gone" }));
  await openDemo(page);
  await page.getByRole("link", { name: "Start" }).click();
  await expect(page.getByRole("heading", { name: "This page did not load" })).toBeVisible();
  await expectAccessible(page);
  await page.unroute(missing);
  await page.getByRole("button", { name: "Try again" }).click();
  await expect(page.getByRole("heading", { name: "Any of these today?" })).toBeVisible();
});

bare("a routine that was taken on before the rest of the app arrived is there at the next try", async ({ page }) => {
  await keepBusy(page);
  await serveLibrary(page);
  const missing = /\/part-log-[0-9a-f]+\.wasm$/;
  await page.route(missing, (route) => route.abort());
  await page.goto(`/take#${fragment("good")}`);
  await page.getByRole("button", { name: "Use this routine" }).click();
  await expect(page.getByRole("heading", { name: "This page did not load" })).toBeVisible();
  await page.unroute(missing);
  await page.getByRole("button", { name: "Try again" }).click();
  await page.getByRole("button", { name: "Use this routine" }).click();
  await expect(page.getByRole("heading", { name: /^Good / })).toBeVisible();
  await page.reload();
  await expect(page.getByRole("heading", { name: /^Good / })).toBeVisible();
  await page.goBack();
  expect(page.url()).toMatch(/\/take$/);
});

test("from a link that could not be opened, on a device that keeps nothing, every other way leads on", async ({ page }) => {
  await page.goto(`/take#${fragment("cut")}`);
  await expect(page.getByRole("heading", { name: "No routine was opened" })).toBeVisible();
  await expectAccessible(page);
  await page.getByRole("button", { name: "Scan the codes" }).click();
  await expect(page.getByRole("heading", { name: "Scan the codes" })).toBeVisible();
  await page.getByRole("button", { name: "Close the camera" }).click();
  await expect(page.getByRole("button", { name: "Try the demo" })).toBeVisible();
  expect(new URL(page.url()).pathname).toBe("/");
});

bare("so is the app itself, with a routine on the device", async ({ page }) => {
  await openDemo(page);
  const missing = /\/part-log-[0-9a-f]+\.wasm$/;
  await page.route(missing, (route) => route.abort());
  await page.reload();
  await expect(page.getByRole("heading", { name: "This page did not load" })).toBeVisible();
  await page.unroute(missing);
  await page.getByRole("button", { name: "Try again" }).click();
  await expect(page.getByRole("heading", { name: /^Good / })).toBeVisible();
});
