/**
 * Hostile words in every text of a routine. Markup is shown as the text that it is, and does nothing; what turns
 * letters around, or piles marks on one, is left out; a word without end goes on in the next line.
 */
import type { Page } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING, shipped } from "./pages.ts";
import type { RoutineFile } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const TEXTS = ["title", "client", "practitioner", "source", "name", "purpose", "how", "help", "described"];
const LISTS = ["cautions", "equipment", "steps", "watch_for"];
/** What is written, and what is to be seen of it. */
interface Attack {
  what: string;
  written: string;
  shown: string;
}

const asIs = (what: string, written: string): Attack => ({ what, written, shown: written });
const ATTACKS: Attack[] = [
  asIs(
    "markup that runs",
    '<img src=x onerror="window.harm=1"><script>window.harm=1</script><a href="javascript:harm=1">tap</a>',
  ),
  asIs(
    "markup that ends what it stands in",
    '"></title></textarea><svg onload=window.harm=1><iframe srcdoc="<script>parent.harm=1</script>"></iframe>',
  ),
  asIs("a word without end", "W".repeat(150)),
  // UAX 9, Unicode Bidirectional Algorithm, table 4: an override, an embedding and an isolate, none of them closed.
  { what: "letters turned around", written: "3\u202E exe.\u202Bpots\u2067 pot", shown: "3 exe.pots pot" },
  // UTS 39, Unicode Security Mechanisms, 5.4: no more than four nonspacing marks in a row (from memory).
  { what: "marks piled up", written: `H${"\u030d".repeat(60)}eel`, shown: `H${"\u030d".repeat(4)}eel` },
  asIs("a name from right to left", "\u05ea\u05e8\u05d2\u05d9\u05dc \u05e2\u05e7\u05d1"),
];

/** The demo with one attack in front of every text. */
function hostile(attack: string): RoutineFile {
  const spoil = (value: unknown, key: string, inList: boolean): unknown => {
    if (Array.isArray(value)) return value.map((one) => spoil(one, key, LISTS.includes(key)));
    if (typeof value === "object" && value !== null) {
      return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, spoil(one, name, false)]));
    }
    return typeof value === "string" && (inList || TEXTS.includes(key)) ? `${attack} ${value}` : value;
  };
  return spoil(shipped("demo"), "", false) as RoutineFile;
}

/** The texts in sight that run out of the page, and those that hold what turns letters around. */
async function unruly(page: Page): Promise<string[]> {
  return await page.evaluate(() => {
    const found: string[] = [];
    const scrolls = (part: Element | null): boolean =>
      part !== null && (/auto|scroll/.test(getComputedStyle(part).overflowX) || scrolls(part.parentElement));
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const text = node.textContent ?? "";
      const parent = node.parentElement;
      if (!parent || parent.closest("script") || text.trim() === "") continue;
      if (/[\u202a-\u202e\u2066-\u2069]/.test(text)) found.push(`turned around: ${text}`);
      if (!parent.checkVisibility({ visibilityProperty: true }) || parent.closest(".unseen, .fridge-sheet") || scrolls(parent)) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      const out = [...range.getClientRects()].some(({ left, right, width }) => 0 < width && (innerWidth + 1 < right || left < -1));
      if (out) found.push(`out of the page: ${text} (${parent.outerHTML.slice(0, 80)})`);
    }
    return found;
  });
}

async function expectHarmless(page: Page, shown: string): Promise<void> {
  await expect(page.getByText(shown).first()).toBeVisible();
  expect(
    await page
      .locator("img, script:not([src]):not([type=module]), iframe, a[href^=javascript]")
      .evaluateAll((all) => all.filter((one) => document.body.contains(one)).map((one) => one.outerHTML)),
  ).toEqual([]);
  expect(await page.locator("svg[onload]").count()).toBe(0);
  expect(await page.evaluate(() => "harm" in window)).toBe(false);
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth), page.url()).toBeLessThanOrEqual(0);
  expect(await unruly(page), page.url()).toEqual([]);
}

/** The sheet as it is printed: nothing of it runs out of the paper. */
async function expectPrintable(client: Client): Promise<void> {
  const { page } = client;
  const size = page.viewportSize();
  await page.evaluate(() => {
    window.print = () => document.body.setAttribute("data-printed", "");
  });
  await client.button("Print a sheet for the fridge").click();
  await client.runFor(0.1);
  await expect(page.locator("body")).toHaveAttribute("data-printed", "");
  await page.emulateMedia({ media: "print" });
  // A4 within its margins, at 96 pixels an inch (CSS Values, 6.2).
  await page.setViewportSize({ width: 726, height: 1060 });
  const out = await page.evaluate(() => {
    const sheet = document.querySelector(".fridge-sheet > article")!;
    const walker = document.createTreeWalker(sheet, NodeFilter.SHOW_TEXT);
    const found: string[] = [];
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const range = document.createRange();
      range.selectNodeContents(node);
      if ([...range.getClientRects()].some(({ right }) => innerWidth + 1 < right)) found.push(node.textContent ?? "");
    }
    return found;
  });
  expect(out).toEqual([]);
  await page.emulateMedia({ media: null });
  if (size) await page.setViewportSize(size);
}

for (const { what, written, shown } of ATTACKS) {
  test(`${what}, on every screen`, async ({ page }) => {
    const file = hostile(written);
    const seen = hostile(shown);
    const name = written.replaceAll("/", "");
    const shownName = shown.replaceAll("/", "");
    const [wall] = seen.routine.exercises;
    if (!wall) throw new Error("the demo has no exercise");
    const client = await Client.at(page, EVENING);
    const harmless = () => expectHarmless(page, shown);
    await client.openFile(`${name}.json`, "not a routine");
    await expect(client.alert()).toContainText(shownName);
    expect(await unruly(page)).toEqual([]);
    await client.openFile("hostile.json", file);
    await expect(client.title(seen.routine.title)).toBeVisible();
    await harmless();
    await client.accept();
    await harmless();
    await client.begin();
    await harmless();
    await client.startFirstSet();
    await client.runFor(10);
    await harmless();
    await client.workSet(wall, 2, -2);
    await client.rate(4, seen.routine.limits.sites[0]?.name);
    await harmless();
    await client.button("Go on").or(client.button("Next set")).click();
    await client.runFor(10);
    await client.button("Pause").click();
    await client.otherwise("End all");
    await page.getByRole("textbox").fill(written);
    await harmless();
    await client.finish();
    await client.until(NEXT_MORNING);
    await client.openMorning();
    await harmless();
    await page
      .getByRole("group", { name: /^Pain this morning/ })
      .getByRole("button", { name: "9", exact: true })
      .click();
    await client.button("Clearly more").click();
    await harmless();
    await client.done();
    await client.line(wall.name).getByRole("link").click();
    await expect(client.title(wall.name)).toBeVisible();
    await harmless();
    await page.goto("/routine");
    await harmless();
    await expectPrintable(client);
    await page.goto("/hand-back");
    await harmless();
    await page.goto("/");
    const { events, text } = await client.handBack();
    expect(events.find(({ kind }) => kind === "note")?.fact.text).toBe(shown);

    await page.goto("/practice");
    for (const content of [text, JSON.stringify(file)]) {
      const log = {
        name: `${name}.txt`,
        mimeType: "text/plain",
        buffer: Buffer.from(content),
      };
      await page.getByLabel("Open a file").setInputFiles(log);
      await expect(page.getByText(shownName).first()).toBeVisible();
    }
    await expect(page.getByRole("heading", { name: "What next" })).toBeVisible();
    for (const exercise of await page.locator("details:has(> summary h3)").filter({ hasText: shown }).all()) {
      await exercise.getByRole("heading").first().click();
    }
    await harmless();
  });
}
