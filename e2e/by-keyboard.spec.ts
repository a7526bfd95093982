/** The practitioner's half without a mouse or a finger: an empty caseload, two versions, a client who trains. */
import { readFileSync } from "node:fs";
import { expect, test } from "./fixtures.ts";
import { Keyboard, tabTo } from "./keyboard.ts";
import type { RoutineFile } from "./pages.ts";
import { COUNT_IN, Client, EVENING, only, setSeconds } from "./pages.ts";
import { validateFile } from "./schema.ts";

test.use({ timezoneId: "Europe/Berlin", permissions: ["clipboard-read", "clipboard-write"] });

test("from an empty caseload to a second version in the client's hands", async ({ page, openDevice }) => {
  // Some hundreds of stops, and each is looked at.
  test.slow();
  await page.goto("/practice/");
  await expect(page.getByRole("heading", { level: 1, name: "Caseload" })).toBeVisible();
  const keys = new Keyboard(page);
  const names = () => page.getByRole("heading", { level: 2, name: /^\d+\. / }).allInnerTexts();
  const copyLink = async () => {
    await keys.press(/^Copy the link$/);
    await expect(page.getByText("The link is copied.")).toBeVisible();
    return await page.evaluate(() => navigator.clipboard.readText());
  };

  await test.step("a client and three exercises", async () => {
    await keys.write(/^A new client's label$/, "Round 7");
    await page.keyboard.press("Enter");
    await keys.lands("Routine: Round 7");
    for (const name of ["Clam", "Heel raise at the worktop", "Bridge"]) {
      await keys.press(/^Add an exercise$/);
      await keys.lands("Add an exercise");
      await keys.write(/^Find by a word$/, name);
      await keys.press(new RegExp(`^Add ${name}$`));
      await keys.lands("Routine: Round 7");
    }
  });

  await test.step("the order", async () => {
    await keys.press(/^Bridge: earlier$/);
    await keys.isOn(/^Bridge: earlier$/);
    await page.keyboard.press("Enter");
    await expect.poll(names).toEqual(["1. Bridge", "2. Clam", "3. Heel raise at the worktop"]);
    await keys.isOn(/^Bridge: later$/);
    await page.keyboard.press("Enter");
    await keys.isOn(/^Bridge: later$/);
    await page.keyboard.press("Enter");
    await expect.poll(names).toEqual(["1. Clam", "2. Heel raise at the worktop", "3. Bridge"]);
    await keys.isOn(/^Bridge: earlier$/);
    await page.keyboard.press("Enter");
    await expect.poll(names).toEqual(["1. Clam", "2. Bridge", "3. Heel raise at the worktop"]);
    await keys.press(/^Crankiest$/);
    await keys.press(/^Warm-up first, crankiest last$/);
    await keys.isOn(/^1\. /);
    await keys.press(/^Duplicate$/);
    await expect.poll(async () => (await names()).length).toBe(4);
    await keys.isOn(/^Duplicate$/);
    await keys.press(/^Take out$/);
    await expect.poll(async () => (await names()).length).toBe(3);
    await keys.isOn(/^1\. /);
    await expect.poll(names).toEqual(["1. Clam", "2. Heel raise at the worktop", "3. Bridge"]);
  });

  await test.step("a dose and a rung", async () => {
    await keys.press(/^1\. /);
    await keys.lands("Clam");
    await keys.write(/^Reps in a set$/, "7");
    await keys.press(/^Sets: more$/);
    await keys.press(/^Add a phase$/);
    await keys.press(/^Take out phase 3$/);
    await keys.isOn(/Phases of one rep/);
    await keys.press(/^Add a rung above rung 4$/);
    await keys.isOn(/^Rung 5/);
    await keys.write(/^What helps$/, "a cushion between the ankles");
    await tabTo(page, /^The dose on rung 5$/);
    await keys.press(/^Take out rung 5$/);
    await keys.isOn(/^Rung 4/);
    await keys.write(/^What helps$/, "a cushion between the knees");
    await keys.press(/^Done$/);
    await keys.lands("Routine: Round 7");
  });

  await test.step("the rule", async () => {
    await keys.press(/^Change$/, "/rule");
    await keys.lands("The rule");
    await keys.press(/^Nearly pain-free$/);
    await keys.write(/^A place, in words the client knows$/, "at the heel bone");
    await page.keyboard.press("Enter");
    await expect(page.getByLabel("Pain at: at the heel bone")).toBeVisible();
    await keys.isOn(/^A place, in words the client knows$/);
    await keys.press(/^Take out at the heel bone$/);
    await keys.isOn(/^Where it may hurt$/);
    await keys.press(/^Pain-monitoring$/);
    await keys.press(/^Done$/);
    await keys.lands("Routine: Round 7");
  });

  let file: RoutineFile | undefined;
  const first = await test.step("the hand-over", async () => {
    await keys.press(/^Hand over$/);
    await keys.lands("Hand over");
    await keys.press(/^Make version 1$/);
    await keys.isOn(/^Version 1, /);
    const link = await copyLink();
    const downloading = page.waitForEvent("download");
    await keys.press(/^Save the file$/);
    const text = readFileSync(await (await downloading).path(), "utf8");
    expect(validateFile(text)).toEqual([]);
    file = JSON.parse(text) as RoutineFile;
    return link;
  });
  const [clam, raise, bridge] = file?.routine.exercises ?? [];
  expect([clam?.name, raise?.name, bridge?.name]).toEqual(["Clam", "Heel raise at the worktop", "Bridge"]);
  expect(clam?.dose.reps).toBe(7);
  expect(clam?.ladder.rungs.map(({ help }) => help)).toContain("a cushion between the knees");
  expect(clam?.ladder.rungs).toHaveLength(4);

  const phone = await (await openDevice({ timezoneId: "Europe/Berlin" })).newPage();
  const client = await Client.at(phone, EVENING, first);
  const hands = new Keyboard(phone);
  await test.step("the client takes it on, trains and rates", async () => {
    await expect(phone.getByRole("heading", { name: "Clam" })).toBeVisible();
    await expect(phone.getByRole("main")).toBeFocused();
    await hands.press(/^Use this routine$/);
    await hands.lands(/^Good /);
    await hands.press(/^Start$/);
    await hands.lands("Any of these today?");
    await hands.press(/^2$/);
    await hands.lands("Clam");
    await hands.press(/^Start the first set$/);
    await hands.lands("Clam");
    await client.runFor(COUNT_IN + setSeconds(clam!) + 0.5);
    await hands.lands("How much did that set hurt?");
    await hands.press(/^2$/);
    await expect(client.saved()).toBeVisible();
    await hands.press(/^Next set$/);
    await hands.lands("Clam");
    await hands.press(/^Pause$/);
    await hands.lands("Clam");
    await hands.press(/^Something else$/);
    await hands.press(/^End all$/);
    await hands.lands("Session done");
    await hands.press(/^Done$/);
    await hands.lands(/^Good /);
  });

  const second = await test.step("the practitioner revises", async () => {
    await keys.press(/^Routine$/);
    await keys.lands("Routine: Round 7");
    await keys.press(/^Change$/, clam!.id);
    await keys.lands("Clam");
    await keys.press(/^Sets: less$/);
    await keys.press(/^Done$/);
    await keys.press(/^Hand over$/);
    await keys.press(/^Make version 2$/);
    await keys.isOn(/^Version 2, /);
    return await copyLink();
  });
  await phone.goto(second);
  await expect(phone.getByText(/Version 2 instead of 1/)).toBeVisible();
  await expect(phone.getByRole("main")).toBeFocused();
  await hands.press(/^Use this routine$/);
  await hands.lands(/^Good /);
  const events = await client.stored();
  expect(only(events, "routine_accepted").map(({ fact }) => fact.routine.version)).toEqual([1, 2]);
  expect(only(events, "set_rated").map(({ fact }) => fact.rating)).toEqual([2]);
});

test("what asks before it goes, and what is put away, leaves the focus where it was asked", async ({ page }) => {
  await page.goto("/practice/");
  const keys = new Keyboard(page);
  await keys.write(/^A new client's label$/, "Round 7");
  await page.keyboard.press("Enter");
  await keys.lands("Routine: Round 7");
  await keys.press(/^Client$/);
  await keys.lands("Round 7");
  await keys.write(/^What is lent today$/, "a loop band");
  await page.keyboard.press("Enter");
  await expect(page.getByRole("button", { name: "Came back" })).toBeVisible();
  await keys.press(/^Came back$/);
  await expect(page.getByRole("button", { name: "Came back", pressed: true })).toBeVisible();
  await keys.isOn(/^Came back$/);
  await keys.press(/^Label, archive, erase$/);
  await expect(page.getByRole("button", { name: "Erase for good…" })).toBeVisible();
  await keys.press(/^Erase for good…$/);
  await keys.isOn(/^This takes away Round 7/);
  await keys.press(/^Keep$/);
  await keys.isOn(/^Erase for good…$/);
  await page.keyboard.press("Enter");
  await keys.press(/^Erase for good$/);
  await keys.lands("Caseload");
  await expect(page.getByText("Nobody here yet")).toBeVisible();
});

test("talking points and the note of a visit, by keyboard", async ({ page }) => {
  const log = readFileSync(new URL("../tests/fixtures/formats/three-weeks.log.txt", import.meta.url), "utf8");
  await page.goto("/practice/");
  await page.getByLabel("Open a file").setInputFiles({ name: "log.txt", mimeType: "text/plain", buffer: Buffer.from(log) });
  const keys = new Keyboard(page);
  await keys.press(/^Keep it as a new client$/);
  await expect(page.getByRole("main")).toBeFocused();
  await keys.press(/^Put aside: /);
  await keys.isOn(/^To talk about$/);
  await keys.press(/^Visit note, for any record$/);
  await keys.write(/^Visit note$/, "Went well.");
  await keys.press(/^Write it anew$/);
  await expect(page.getByLabel("Visit note")).not.toHaveValue("Went well.");
  await keys.press(/^Close the visit$/);
  await keys.isOn(/^Close the visit$/);
  await keys.press(/^Hand over$/);
  await keys.lands("Hand over");
});
