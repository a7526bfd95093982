// At the visit: the practitioner opens the very file that the client handed back, and sees the same numbers.
import { expect, expectAccessible, expectUsableEverywhere, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING, oneExercise, shipped, unchecked } from "./pages.ts";
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";

const file = oneExercise((routine) => {
  routine.limits.after_middle_set = "same";
});
const exercise = file.routine.exercises[0]!;

/** Two training days: one that settles, one stopped by pain, with a note; handed back as text. */
async function twoDays(page: Page): Promise<string> {
  const client = await Client.with(page, file, EVENING);
  await client.trainDay(exercise, [1, 2, 2]);
  await client.until(NEXT_MORNING);
  await client.answerMorning(2);
  await client.done();
  await client.until("2026-11-26T18:30:00+01:00");
  await client.stopFirstSetAt(6);
  await client.rate(7);
  await client.button("Go on").click();
  await page.getByRole("textbox").fill("It pulled on the third step. Should I go on?");
  await client.finish();
  await client.until("2026-11-27T06:40:00+01:00");
  await client.answerMorning(5);
  await client.done();
  const { text } = await client.handBack();
  return text;
}

async function openLog(page: Page, ...texts: string[]): Promise<void> {
  const files = texts.map((text, index) => ({
    name: `log-${index + 1}.txt`,
    mimeType: "text/plain",
    buffer: Buffer.from(text),
  }));
  await page.getByLabel("Open a file").setInputFiles(files);
}

test("the review shows what was done, what it cost, what was told and why", async ({ page, openDevice }) => {
  const log = await twoDays(page);
  const practice = await (await openDevice()).newPage();
  await practice.goto("/practice");
  await openLog(practice, log);

  await expect(practice.getByText("2 of 2").first()).toBeVisible();
  const decide = practice.locator("section").filter({ has: practice.getByRole("heading", { name: "What next" }) });
  await expect(decide).toContainText("1 set stopped because of pain");
  await expect(decide).toContainText("Hold after Thu 26 Nov");
  await expect(practice.getByText("It pulled on the third step. Should I go on?")).toBeVisible();

  const summary = practice.getByRole("row").filter({ hasText: exercise.name });
  await expect(summary).toContainText("2 of 2");
  await expect(summary.getByRole("cell").nth(2)).toHaveText(/7/);
  await expect(summary).toContainText("Wed 25 Nov: Keep");
  await expect(summary).toContainText("Thu 26 Nov: Hold");

  await practice.locator("summary").filter({ hasText: exercise.name }).click();
  const days = practice.getByRole("row");
  const first = days.filter({ has: practice.getByRole("rowheader", { name: "Wed 25 Nov" }) });
  await expect(first).toContainText("3 of 3");
  await expect(first).toContainText("during 2 (low: 0 to 2)");
  const second = days.filter({ has: practice.getByRole("rowheader", { name: "Thu 26 Nov" }) });
  await expect(second).toContainText("0 of 3 and 1 in part, 1 stopped");
  await expect(second).toContainText("Hold");
  await expect(second).toContainText("next morning 5 (usual at the visit 2: up by 2 or more)");

  for (const colorScheme of ["light", "dark"] as const) {
    await practice.emulateMedia({ colorScheme });
    await expectAccessible(practice);
  }
  await practice.setViewportSize({ width: 1280, height: 800 });
  await expectAccessible(practice);
});

test("a log opened twice, or in two overlapping parts, changes nothing", async ({ page, openDevice }) => {
  const log = await twoDays(page);
  const practice = await (await openDevice()).newPage();
  await practice.goto("/practice");
  await openLog(practice, log);
  const review = practice.getByRole("article");
  const once = await review.innerText();
  await openLog(practice, log);
  await expect(practice.getByText(/not kept yet; see the question/)).toBeVisible();
  expect(await review.innerText()).toBe(once);

  const part = (from: number, to: number): string => {
    const { events, ...head } = JSON.parse(log) as { events: unknown[] };
    return JSON.stringify({ ...head, events: events.slice(from, to) });
  };
  const other = await (await openDevice()).newPage();
  await other.goto("/practice");
  await openLog(other, part(0, 9), part(0, 9999));
  expect(await other.getByRole("article").innerText()).toBe(once);
});

test("a file that cannot be read says why in one sentence, and changes nothing", async ({ page }) => {
  await page.goto("/practice");
  const entry = { id: "01ARYZ6S410000000000000000", at: "2026-11-25T18:04:05+01:00", what: "told_to_go_on" };
  const rated = (rating: number): string =>
    JSON.stringify({
      format: "carryover-log",
      version: 1,
      events: [
        {
          ...entry,
          what: { set_rated: { set: { session: entry.id, exercise: "heel", number: 1 }, rating } },
        },
      ],
    });
  const rows: [string, RegExp][] = [
    ["", /it is empty/],
    ["not a file of ours", /not in this app's format/],
    [rated(3).slice(0, -20), /ends too early/],
    [rated(11), /entry 1 of the log: 11 is not a pain rating; ratings go from 0 to 10/],
    [JSON.stringify({ format: "carryover-log", version: 7, events: [] }), /newer version of this app/],
    [JSON.stringify({ format: "carryover-log", version: 1, events: [entry, entry] }), /entry 2 .* same id/],
    [JSON.stringify({ format: "carryover-log", version: 1, events: [] }), /nothing has been noted yet/],
    [JSON.stringify({ format: "carryover-log", version: 1, events: 7 }), /no list of entries/],
    [JSON.stringify({ format: "something", version: 1 }), /neither a Carryover routine nor a Carryover log/],
  ];
  for (const [text, why] of rows) {
    await openLog(page, text);
    await expect(page.getByText(why)).toBeVisible();
    await expect(page.getByRole("article")).toHaveCount(0);
  }
});

test("hostile text in a note stays text", async ({ page, openDevice }) => {
  const log = unchecked(await twoDays(page)).replace(
    "It pulled on the third step.",
    "<img src=x onerror=document.title='owned'><script>document.title='owned'</script>",
  );
  const practice = await (await openDevice()).newPage();
  await practice.goto("/practice");
  await openLog(practice, log);
  await expect(practice.getByText("<img src=x onerror=")).toBeVisible();
  await expect(practice).toHaveTitle("Carryover for practitioners");
  await expect(practice.locator("img")).toHaveCount(0);
});

test("a routine is read as a page, and a written tempo in a stated order", async ({ page }) => {
  await page.goto("/practice");
  await page.getByRole("button", { name: "Heel drops, as published" }).click();
  const { title } = shipped("heel-drop").routine;
  await expect(page.getByRole("heading", { name: title })).toBeVisible();
  await expect(page.getByText(/^Source: /).first()).toBeVisible();
  await expectAccessible(page);

  await page.getByText("Read a written tempo").click();
  await page.getByLabel("Tempo, such as 3-1-2-0").fill("3-1-2-0");
  await expect(page.getByText("Choose which number comes first")).toBeVisible();
  await page.getByRole("button", { name: "Lowering first" }).click();
  await expect(page.getByText("Lower 3 s, then stay 1 s, then lift 2 s. One rep takes 6 s.")).toBeVisible();
  await page.getByRole("button", { name: "Lifting first" }).click();
  await expect(page.getByText("Lift 3 s, then stay 1 s, then lower 2 s. One rep takes 6 s.")).toBeVisible();
});

/** Three weeks with two Holds within a week, mornings that rise, and no Thursday. */
const threeWeeks = readFileSync(new URL("../tests/fixtures/formats/three-weeks.log.txt", import.meta.url), "utf8");

test("three weeks give points to talk about, each with its rule, to put aside and take up again", async ({ page }) => {
  await page.goto("/practice");
  await openLog(page, threeWeeks);
  const points = page.getByRole("listitem").filter({ has: page.getByRole("button", { name: /^Put aside/ }) });
  await expect(points).toHaveCount(6);
  await page.getByText("1 more").click();
  await expect(points).toHaveText([
    /^Heel lowering on the stairs: 2 Holds within a week, after Sun 14 Jun and Fri 19 Jun\./,
    /^Heel lowering on the stairs: mornings are at 2 this week, and were at 1 when the routine began\./,
    /^Chair rise: mornings are at 2 this week/,
    /^Heel lowering on the stairs: mornings are rising, from 1 last week to 2 this week\./,
    /^Chair rise: mornings are rising/,
    /^Heel lowering on the stairs: worst pain during went up from 3 last week to 5½ this week: worth noticing\./,
    /^The routine: never done on Thursdays \(3 came round\)\./,
  ]);
  await points.nth(3).getByText("Why this is here").click();
  await expect(points.nth(3)).toContainText("a point or more above that of the seven before. Source: Silbernagel 2007, from memory.");
  await points.first().getByRole("button", { name: "Put aside: Heel lowering on the stairs" }).click();
  await expect(page.getByText("1 more")).toBeVisible();
  await expect(points).toHaveCount(6);
  await page.getByRole("button", { name: "The whole log" }).click();
  await page.getByText("1 point put aside for this visit").click();
  await page.getByRole("button", { name: "Bring back: Heel lowering on the stairs" }).click();
  await expect(points).toHaveCount(6);
  await expect(page.getByText("1 more")).toBeVisible();
  await expect(page.getByText(/^with so few, likely \d+ to \d+ %$/).first()).toBeVisible();
  await expect(page.getByText(/to a sensor's 176 in one study \(Nicolson 2018\)/)).toBeVisible();
});

test("an exercise is drawn day by day, and the table has the same numbers", async ({ page }) => {
  await page.goto("/practice");
  await openLog(page, threeWeeks);
  await page.locator("summary").filter({ hasText: "Heel lowering on the stairs" }).click();
  const plot = page.getByRole("img", { name: /^Heel lowering on the stairs: pain and rung on each day/ });
  await expect(plot).toBeVisible();
  await expect(plot).toHaveAccessibleName(/done on 14 days, missed on 3 days, left out by the rule on 4 days\. Worst pain during: 7\./);
  for (const [kind, number] of [["during", 14], ["missed", 3], ["held", 4]] as const) {
    // All marks of a kind are one line, which begins anew at each.
    const line = await plot.locator(`path.${kind}`).getAttribute("d");
    expect(line?.match(/M/g), kind).toHaveLength(number);
  }
  await expect(page.locator("table.days").first().locator("tbody tr")).toHaveCount(14);
  await expect(page.getByText("Missed: Thu 4 Jun, Thu 11 Jun and Thu 18 Jun.").first()).toBeVisible();
  await expect(page.getByText(/^During: .* No clear direction: the numbers leave it open \(\+1\.4 points a week, likely 0 to \+2\.3; 14 days\)\.$/)).toBeVisible();

  await expectUsableEverywhere(page);
});

test("the log goes out for a spreadsheet, a clinic and a calendar", async ({ page }) => {
  await page.goto("/practice");
  await openLog(page, threeWeeks);
  await page.getByText("Other formats").click();
  const saved = async (button: string): Promise<{ name: string; text: string }> => {
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: button }).click(),
    ]);
    await expect(page.getByText(`Saved as ${download.suggestedFilename()}, with your downloads.`)).toBeVisible();
    return { name: download.suggestedFilename(), text: readFileSync(await download.path(), "utf8") };
  };

  const table = await saved("Save for a spreadsheet");
  expect(table.name).toMatch(/\.csv$/);
  const sets = (JSON.parse(threeWeeks) as { events: { what: object }[] }).events.filter(({ what }) => "set_ended" in what);
  expect(table.text.split("\r\n").filter((row) => /,set,\d*,\d*,\d+$/.test(row))).toHaveLength(sets.length);
  for (const day of ["2026-06-04", "2026-06-11", "2026-06-18"]) expect(table.text).toMatch(new RegExp(`\n${day},[^\n]*,missed,,,1\r`));

  const record = await saved("Save for a clinic");
  const bundle = JSON.parse(record.text) as { resourceType: string; entry: { resource: { resourceType: string } }[] };
  expect(bundle.resourceType).toBe("Bundle");
  expect(bundle.entry.filter(({ resource }) => resource.resourceType === "Procedure")).toHaveLength(sets.length);
  await expect(page.getByText(/LOINC® is a registered United States trademark/)).toBeVisible();

  await page.getByLabel("Exercises at").fill("17:45");
  await page.getByLabel("Exercises at").blur();
  const calendar = await saved("Save for a calendar");
  expect(calendar.name).toMatch(/\.ics$/);
  expect(calendar.text).toMatch(/^BEGIN:VCALENDAR\r\n/);
  expect(calendar.text).toMatch(/DTSTART:\d{8}T174500\r\n/);
});

test("a damaged log is opened as far as it is whole, and says where something is missing", async ({ page }) => {
  await page.goto("/practice");
  const lines = threeWeeks.split("\n");
  const cut = lines.slice(0, 100).join("\n");
  await openLog(page, cut.slice(0, -40));
  await expect(page.getByText(/98 entries, .*not kept yet; see the question\. The file is damaged: it ends too early, at line 100\. All that is whole in it was read\./)).toBeVisible();
  await expect(page.getByRole("article")).toBeVisible();
  // The whole file brings the rest.
  await openLog(page, threeWeeks);
  await expect(page.getByText(`${lines.length - 3} entries, `)).toBeVisible();
  await expect(page.getByRole("heading", { name: "Whose log is this?" })).toHaveCount(1);
});
