/** A link from the practitioner's screen: the routine is looked at, taken on, and there is Today. */
import { expect, test } from "./fixtures.ts";
import { fragment, serveLibrary } from "./links.ts";
import { Client, EVENING, kinds, oneExercise, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const demo = shipped("demo").routine;

test("a link opens the routine, it is taken on, and Today has it", async ({ page }) => {
  await serveLibrary(page);
  const client = await Client.at(page, EVENING, `/take#${fragment("good")}`);
  await expect(client.title(demo.title)).toBeVisible();
  await expect(page.getByRole("heading", { name: "4. Heel lowering on the stairs" })).toBeVisible();
  await client.expectAccessible();
  await client.accept();
  await expect(client.line("Still heel raise")).toBeVisible();
  const events = await client.stored();
  expect(kinds(events)).toEqual(["routine_accepted", "rule_explained"]);
  // Not one value is lost or changed on the way.
  expect(events[0]?.fact.routine).toEqual(demo);
});

test("the routine stays neither in the address nor in the history", async ({ page }) => {
  await serveLibrary(page);
  const client = await Client.at(page, EVENING, `/take#${fragment("good")}`);
  await expect(client.title(demo.title)).toBeVisible();
  const addresses = await page.evaluate(() => [location.href, ...performance.getEntriesByType("navigation").map(() => document.URL)]);
  for (const address of addresses) expect(address).toMatch(/\/take$/);
  await client.accept();
  await page.goBack();
  expect(page.url()).toMatch(/\/take$/);
  await expect(client.title("Open your routine")).toBeVisible();
});

test("a link without an entry of the library, or not compressed, opens as well", async ({ page }) => {
  await page.route("/library.json", (route) => route.fulfill({ body: "no library" }));
  const client = await Client.at(page, EVENING, `/take#${fragment("whole")}`);
  await expect(client.title(demo.title)).toBeVisible();
  await page.unroute("/library.json");
  await serveLibrary(page);
  await page.goto("/");
  await page.goto(`/take#${fragment("plain")}`);
  await expect(client.title(demo.title)).toBeVisible();
  await client.button("Not now").click();
  await expect(client.title("Open your routine")).toBeVisible();
  await client.link("Back to Today").click();
  await expect(client.title("Carryover")).toBeVisible();
  expect(await client.stored()).toEqual([]);
});

test("a link that is opened while the app is open shows its routine, too", async ({ page }) => {
  await serveLibrary(page);
  const client = await Client.at(page, EVENING, `/take#${fragment("good")}`);
  await expect(page.getByRole("heading", { name: /^4\. / })).toBeVisible();
  const open = (name: string) => page.evaluate((fragment) => void (location.hash = fragment), fragment(name));
  await open("second");
  await expect(page.getByRole("heading", { name: /^4\. / })).toHaveCount(0);
  await expect(page.getByRole("heading", { name: /^2\. / })).toBeVisible();
  await expect(page).toHaveURL(/\/take$/);
  await open("foreign");
  await expect(client.alert().filter({ hasText: "it holds no Carryover routine" })).toBeVisible();
  await open("good");
  await expect(page.getByRole("heading", { name: /^4\. / })).toBeVisible();
  await expect(client.button("Use this routine")).toBeVisible();
});

/** What is said about each link that brings no routine. */
const said: Record<string, RegExp> = {
  foreign: /it holds no Carryover routine\. Scan the code again, or ask .* as a file\.$/,
  cut: /a part of it is missing or was changed on the way\. .* as a file\.$/,
  bomb: /it unpacks to more than 256 kB\. .* as a file\.$/,
  newer: /made by a newer version of this app \(format 3; this one reads up to 2\)\. Open the app with a connection/,
  "unknown entry": /names an exercise that this app does not have \(chair-heel-lift@9\)\. Open the app with a connection/,
  "another library": /what it unpacks to is not the routine that was put in\. .* as a file\.$/,
};

test("a link that is damaged, foreign or too much is refused in plain words, and changes nothing", async ({ page }) => {
  await serveLibrary(page);
  const client = await Client.with(page, oneExercise(), EVENING);
  const before = await client.stored();
  const links = Object.keys(said).map((name) => [name, fragment(name), said[name] ?? /$/] as const);
  const typed = [
    ["no fragment of ours", "section-2", /it holds no Carryover routine/],
    ["no base 32", "Rabc", /a part of it is missing or was changed/],
    ["too long", `R${"A".repeat(60_000)}`, /longer than any link this app makes/],
  ] as const;
  for (const [name, fragment, sentence] of [...links, ...typed]) {
    await test.step(name, async () => {
      await page.goto(`/take#${fragment}`);
      await expect(client.title("No routine was opened")).toBeVisible();
      await expect(client.alert().filter({ hasText: sentence })).toBeVisible();
      await expect(page).toHaveURL(/\/take$/);
      expect(await client.stored()).toEqual(before);
      await client.link("Back to Today").click();
      await expect(client.line("Stair heel lowering")).toBeVisible();
    });
  }
});

test("from a refused link a file is one tap away", async ({ page }) => {
  const client = await Client.at(page, EVENING, `/take#${fragment("cut")}`);
  await expect(client.title("No routine was opened")).toBeVisible();
  await client.expectAccessible();
  await client.openFile("routine.json", oneExercise());
  await expect(client.title("One exercise")).toBeVisible();
});

test("without the library it says that a connection is needed", async ({ browser, baseURL }) => {
  // Not one of the watched devices: the browser itself complains of what it could not load.
  const context = await browser.newContext({ baseURL, serviceWorkers: "block" });
  const page = await context.newPage();
  await page.route("/library.json", (route) => route.abort());
  const client = await Client.at(page, EVENING, `/take#${fragment("good")}`);
  await expect(client.alert().filter({ hasText: /^The list of exercises could not be loaded\. .* as a file\.$/ })).toBeVisible();
  await context.close();
});

test("a device without a camera says so, and what to do", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  await client.button("Scan the codes").click();
  await expect(client.title("Scan the codes")).toBeVisible();
  await expect(client.alert().filter({ hasText: /No camera was found on this device\. .* as a file\.$/ })).toBeVisible();
  await client.button("Close the camera").click();
  await expect(client.title("Carryover")).toBeVisible();
});
