/** What goes wrong where there is little time: a page that goes while something is typed, a tap too many, two of one name. */
import { expect, expectAccessible, test } from "./fixtures.ts";
import { Client, EVENING, NEXT_MORNING, oneExercise } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

const routine = oneExercise((routine) => {
  routine.limits.after_middle_set = "same";
});
const exercise = routine.routine.exercises[0]!;

test("what is typed is called unsaved, and is kept where the page goes in the middle of it", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Clam", "Hip");
  await expect(page.getByText("Saved", { exact: true })).toBeVisible();
  const cautions = page.getByLabel("Cautions for the whole routine, one a line", { exact: true });
  await cautions.click();
  await cautions.pressSequentially("Not on the wet stairs.");
  await expect(page.getByText("Not saved yet", { exact: true })).toBeVisible();
  await page.reload();
  await expect(cautions).toHaveValue("Not on the wet stairs.");

  // Another app is looked at meanwhile: the field stays as it is, and has handed on what is in it.
  const words = page.getByLabel("How the client knows you", { exact: true });
  await words.click();
  await words.pressSequentially("Jo");
  await page.evaluate(() => {
    Object.defineProperty(document, "visibilityState", { value: "hidden", configurable: true });
    document.dispatchEvent(new Event("visibilitychange", { bubbles: true }));
  });
  await expect(page.getByText("Saved", { exact: true })).toBeVisible();
  await expect(words).toBeFocused();
});

test("an exercise that was taken out by a slip is put back to its place, with all that was written for it", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await practitioner.addExercise("Clam", "Hip");
  await practitioner.addExercise("Bridge", "Hip");
  await practitioner.openExercise("Clam");
  await practitioner.fill("Name", "Clam with the loop band");
  await practitioner.follow("Done");
  const names = () => page.getByRole("heading", { level: 2, name: /^\d+\. / }).allInnerTexts();
  await practitioner.tap(/^Take out/);
  await expect.poll(names).toEqual(["1. Bridge"]);
  await expect(page.getByText("Clam with the loop band is taken out.")).toBeVisible();
  await expectAccessible(page);
  await practitioner.tap("Put it back");
  await expect.poll(names).toEqual(["1. Clam with the loop band", "2. Bridge"]);
  await expect(page.getByRole("button", { name: "Put it back" })).toHaveCount(0);
});

test("no two clients have one label, and the question before erasing names the client", async ({ page }) => {
  const practitioner = await Practitioner.at(page);
  await practitioner.addClient("Round 7");
  await page.goto("/practice/");
  await practitioner.fill("A new client's label", "Round 7");
  await practitioner.tap("Add client");
  await expect(page.getByText("A client here has that label.")).toBeVisible();
  await practitioner.click(page.getByRole("link", { name: /^Round 7/ }));
  await page.getByText("Label, archive, erase").click();
  await practitioner.tap("Erase for good…");
  await expect(page.getByText("This takes away Round 7 with every routine, log and note on this device.")).toBeVisible();
});

test("the sheet shows the rung that an Ease led to, and paper asks for the same decisions as the screen", async ({ page, openDevice }) => {
  const client = await Client.with(page, routine, EVENING);
  await client.trainDay(exercise, [4, 4, 5]);
  await client.until(NEXT_MORNING);
  await client.answerMorning(3);
  await client.done();
  await page.evaluate(() => {
    window.print = () => {};
  });
  await client.link("My routine").click();
  await client.button("Print a sheet for the fridge").click();
  await client.runFor(0.1);
  const rungs = page.locator(".fridge-sheet .rung");
  const here = exercise.ladder.start - 1;
  await expect(page.locator(".fridge-sheet .rung.here")).toContainText(`${exercise.ladder.rungs[here - 1]!.help} · here`);
  await expect(rungs.filter({ hasText: "start here" })).toHaveCount(0);
  await client.link("Back to Today").click();

  await client.until("2026-11-26T18:30:00+01:00");
  await client.stopFirstSetAt(6);
  await client.rate(3);
  await client.button("Go on").click();
  await page.getByRole("textbox").fill("Should I go on?");
  await client.finish();
  const { text } = await client.handBack();

  const practice = await (await openDevice()).newPage();
  const practitioner = await Practitioner.at(practice);
  await practice.evaluate(() => {
    window.print = () => {};
  });
  await practice.getByLabel("Open a file").setInputFiles({ name: "log.txt", mimeType: "text/plain", buffer: Buffer.from(text) });
  await practitioner.tap("Keep it as a new client");
  const asks = "1 note below has no answer yet.";
  await expect(practice.getByText(asks)).toBeVisible();
  await expect(practice.getByRole("row").filter({ hasText: exercise.name })).toContainText("1 in part");
  await practitioner.tap("Print this review on one page");
  const paper = practice.locator(".review-sheet");
  await expect(paper).toContainText(asks);
  await expect(paper).not.toContainText("Nothing asks for a decision.");
  await practitioner.fill("Your answer", "Yes, on the lower step.");
  await expect(practice.locator(".decide").getByText(asks)).toHaveCount(0);
});
