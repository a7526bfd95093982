/** A file that is no routine: one plain sentence says what is wrong and where, and nothing changes. */
import { readFileSync, readdirSync } from "node:fs";
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, kinds, oneExercise, shipped } from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const FOLDER = new URL("../tests/fixtures/bad/", import.meta.url);
const read = (name: string) => readFileSync(new URL(name, FOLDER), "utf8");

const PROGRAMMERS = /`|\b(i64|u8|u16|variant|enum|struct|sequence|serde|undefined|null)\b/;

/** Each bad file, and what must be said about it. */
const said: Record<string, RegExp> = {
  "a-log.json": /is a log, not a routine/,
  "a-million-sets.json": /line 22: 1000000 is not a number of sets .* from 1 to 20/,
  "another-program.json": /neither a Carryover routine nor a Carryover log/,
  "ceiling-too-high.json": /line 32: the ceiling is rung 4, but the ladder has 3/,
  "changed.json": /it was damaged, or changed by hand, .* ask for it again\. .* takes out the line with "check"/,
  "cut.json": /ends too early, at line 23/,
  "empty.json": /it is empty/,
  "milder-when-worse.json":
    /line 15: high pain with a morning up a little orders Stay, milder than Ease for middle pain/,
  "negative-dose.json": /line 23: -5 is not a number of reps .* from 1 to 100/,
  "newer.json": /newer version of this app \(format 3; this one reads up to 2\)/,
  "no-steps.json": /line 69: .*steps/,
  "not-json.json": /not in this app's format \(line 1/,
  "rating-of-11.json": /line 17: 11 is not a pain rating; ratings go from 0 to 10/,
  "repeated-id.json": /line 113: two exercises have the id "stair-heel-lowering"/,
  "reps-in-words.json": /line 23: .*five/,
  "unknown-action.json": /line 24: .*bounce/,
};

test("every bad file is spoken of", () => {
  expect(
    readdirSync(FOLDER)
      .filter((name) => name.endsWith(".json"))
      .sort(),
  ).toEqual(Object.keys(said).sort());
});

test("each is refused in one plain sentence, and nothing changes", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  for (const [name, sentence] of Object.entries(said)) {
    await test.step(name, async () => {
      await client.openFile(name, read(name));
      await expect(client.alert()).toContainText(`"${name}"`);
      await expect(client.alert()).toContainText(sentence);
      const words = await client.alert().innerText();
      expect(words).toMatch(/^[^\n]+\.$/);
      expect(words, "no programmer's words").not.toMatch(PROGRAMMERS);
      await expect(client.title("Carryover")).toBeVisible();
      expect(await client.stored()).toEqual([]);
    });
  }
  await client.openFile("good.json", oneExercise());
  await expect(client.title("One exercise")).toBeVisible();
});

test("a bad file leaves the routine that one follows as it is", async ({ page }) => {
  const client = await Client.with(page, shipped("demo"), EVENING);
  const before = await client.stored();
  await client.link("My routine").click();
  for (const name of ["negative-dose.json", "cut.json", "a-log.json"]) {
    await client.openFile(name, read(name));
    await expect(client.alert()).toContainText(said[name] ?? name);
  }
  expect(await client.stored()).toEqual(before);
  await client.link("Back to Today").click();
  await expect(client.line("Still heel raise")).toBeVisible();
});

test("what is no text of ours at all is refused, too", async ({ page }) => {
  const client = await Client.at(page, EVENING);
  for (const [name, text, sentence] of [
    ["picture.png", "\u0089PNG\r\n\u001a\n\u0000\u0000\u0000\rIHDR", /not in this app's format/],
    ["41-megabytes.json", `{"a":"${"x".repeat(41_000_000)}"}`, /larger than 40 MB/],
    ["brackets.json", "[".repeat(100_000), /neither a Carryover routine nor a Carryover log/],
    ["null.json", "null", /neither a Carryover routine nor a Carryover log/],
  ] as const) {
    await client.openFile(name, text);
    await expect(client.alert()).toContainText(name);
    await expect(client.alert()).toContainText(sentence);
  }
  expect(await client.stored()).toEqual([]);
});

test("what this version does not know is kept, and comes back in the log", async ({ page }) => {
  const file = oneExercise((routine) => {
    Object.assign(routine, { "x-clinic": { room: 4 }, mood: "calm" });
    Object.assign(routine.exercises[0] ?? {}, { "x-photo": "stairs.jpg" });
  });
  const client = await Client.with(page, { ...file, ...{ "x-sender": "front desk" } }, EVENING);
  const { events } = await client.handBack();
  expect(events[0]?.fact.routine).toEqual(file.routine);
});

test("an older version of the routine does not take the place of a newer one", async ({ page }) => {
  const version = (number: number) =>
    oneExercise((routine) => {
      routine.version = number;
    });
  const client = await Client.with(page, version(2), EVENING);
  await client.link("My routine").click();
  await client.openFile("older.json", version(1));
  await expect(page.getByText("This is an older version than the one you follow")).toBeVisible();
  await expect(client.button("Use this routine")).toHaveCount(0);
  expect(kinds(await client.stored())).toEqual(["routine_accepted", "rule_explained"]);
});
