// At the visit: the practitioner opens the very file that the client handed back, and sees the same numbers.
import { expect, expectAccessible, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING, oneExercise, shipped } from "./pages.ts";
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
  await client.begin();
  await client.startFirstSet();
  await client.runFor(14);
  await client.button("Stop, it hurts").click();
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
  const decide = practice.locator("section").filter({ has: practice.getByRole("heading", { name: "To decide" }) });
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
  await expect(second).toContainText("1 of 3, 1 stopped");
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
  await expect(practice.getByText("already open, nothing new in it")).toBeVisible();
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
  const log = (await twoDays(page)).replace(
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
  await expect(page.getByText("Lower 3 s, then hold 1 s, then lift 2 s. One rep takes 6 s.")).toBeVisible();
  await page.getByRole("button", { name: "Lifting first" }).click();
  await expect(page.getByText("Lift 3 s, then hold 1 s, then lower 2 s. One rep takes 6 s.")).toBeVisible();
});
