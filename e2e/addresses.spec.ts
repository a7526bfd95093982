/** Every address opens by itself, with a routine and without one, and none is a dead end. */
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, oneExercise } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();

test("on a device without a routine", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  for (const [path, title, way] of [
    ["/routine", "No routine yet", /^(Open a routine file|Back to Today|Back)$/],
    ["/morning", "Nothing to answer now", /^Back/],
    ["/exercise/heel", "No such exercise", /^Back/],
    ["/hand-back", "Hand back the log", /^Back/],
    ["/keep", "Keep your log safe", /^Back/],
    ["/help", "Warning signs and how it works", /^Back/],
    ["/reminder", "A reminder in your calendar", /^Back/],
    ["/cues", "Sound, voice and pace", /^Back/],
    ["/no/such/page", "There is no such page", /^Back/],
  ] as const) {
    await page.goto(path);
    await expect(client.title(title), path).toBeVisible();
    await client.link(way).first().click();
    await expect(client.title("Carryover"), path).toBeVisible();
  }
  await page.goto("/session");
  await expect(client.title("Carryover")).toBeVisible();
  expect(await client.stored()).toEqual([]);
});

test("on a device with a routine", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  for (const [path, title] of [
    ["/session", /^Good /],
    ["/morning", "Nothing to answer now"],
    ["/check", "Any of these today?"],
    ["/exercise/stair-heel-lowering", "Stair heel lowering"],
    ["/exercise/%3Cb%3E", "No such exercise"],
    ["/keep", "Keep your log safe"],
    ["/routine", "One exercise"],
    ["/practice", "Caseload"],
  ] as const) {
    await page.goto(path);
    await expect(client.title(title), path).toBeVisible();
    await client.expectAccessible();
  }
});

test("without a script the page says what it needs", async ({ browser, baseURL }) => {
  const context = await browser.newContext({ javaScriptEnabled: false, baseURL });
  const page = await context.newPage();
  await page.goto("/");
  await expect(page.getByText(/JavaScript|script/i)).toBeVisible();
  await context.close();
});
