/** Markup in every text of a routine: it is shown as the text that it is, and does nothing. */
import type { Page } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING, shipped } from "./pages.ts";
import type { RoutineFile } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const TEXTS = ["title", "client", "practitioner", "source", "name", "purpose", "how", "help", "described"];
const LISTS = ["cautions", "equipment", "steps", "watch_for"];
const ATTACKS = [
  '<img src=x onerror="window.harm=1"><script>window.harm=1</script><a href="javascript:harm=1">tap</a>',
  '"></title></textarea><svg onload=window.harm=1><iframe srcdoc="<script>parent.harm=1</script>"></iframe>',
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

async function expectHarmless(page: Page, shown: string): Promise<void> {
  await expect(page.getByText(shown).first()).toBeVisible();
  expect(
    await page
      .locator("img, script:not([src]):not([type=module]), iframe, a[href^=javascript]")
      .evaluateAll((all) => all.filter((one) => document.body.contains(one)).map((one) => one.outerHTML)),
  ).toEqual([]);
  expect(await page.locator("svg[onload]").count()).toBe(0);
  expect(await page.evaluate(() => "harm" in window)).toBe(false);
}

for (const attack of ATTACKS) {
  test(`every screen shows ${attack} as text`, async ({ page }) => {
    const file = hostile(attack);
    const [wall] = file.routine.exercises;
    if (!wall) throw new Error("the demo has no exercise");
    const client = await Client.at(page, EVENING);
    const harmless = () => expectHarmless(page, attack);
    await client.openFile(`${attack.replaceAll("/", "")}.json`, "not a routine");
    await expect(client.alert()).toContainText(attack.replaceAll("/", ""));
    await client.openFile("hostile.json", file);
    await expect(client.title(file.routine.title)).toBeVisible();
    await harmless();
    await client.accept();
    await harmless();
    await client.begin();
    await harmless();
    await client.startFirstSet();
    await client.runFor(10);
    await harmless();
    await client.workSet(wall, 2, -2);
    await client.rate(4, file.routine.limits.sites[0]?.name);
    await harmless();
    await client.button("Go on").or(client.button("Next set now")).click();
    await client.runFor(10);
    await client.button("Pause").click();
    await client.button("End all").click();
    await page.getByRole("textbox").fill(attack);
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
    await page.goto("/hand-back");
    await harmless();
    await page.goto("/");
    const { events, text } = await client.handBack();
    expect(events.find(({ kind }) => kind === "note")?.fact.text).toBe(attack);

    await page.goto("/practice");
    for (const content of [text, JSON.stringify(file)]) {
      const log = {
        name: `${attack.replaceAll("/", "")}.txt`,
        mimeType: "text/plain",
        buffer: Buffer.from(content),
      };
      await page.getByLabel("Open a file").setInputFiles(log);
      await expect(page.getByText(attack.replaceAll("/", "")).first()).toBeVisible();
    }
    await expect(page.getByRole("heading", { name: "To decide" })).toBeVisible();
    for (const exercise of await page.locator("details:has(> summary h3)").filter({ hasText: attack }).all()) {
      await exercise.getByRole("heading").first().click();
    }
    await harmless();
  });
}
