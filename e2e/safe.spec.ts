/** The log kept safe: copies, a new phone, the browser's promise, and erasing everything. */
import { readFileSync } from "node:fs";
import type { Download, Page } from "@playwright/test";
import { heldInFile, throwAllAway, throwAway } from "./device.ts";
import { expect, test } from "./fixtures.ts";
import { Client, EVENING, SHORT_COUNT_IN, expectNothingDoubled, kinds, oneExercise, only, unchecked } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];
const PASSPHRASE = "loop band on the banister";

async function open(client: Client): Promise<void> {
  await client.link("Keep a copy").click();
  await expect(client.title("Keep your log safe")).toBeVisible();
}

async function saved(client: Client, button: string): Promise<{ name: string; text: string }> {
  const [download]: [Download, void] = await Promise.all([
    client.page.waitForEvent("download"),
    client.button(button).click(),
  ]);
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), "utf8") };
}

async function restore(client: Client, name: string, text: string): Promise<void> {
  const file = { name, mimeType: "text/plain", buffer: Buffer.from(text) };
  await client.page.getByLabel("Restore a copy").setInputFiles(file);
}

async function giveNewPassphrase(page: Page, what: string): Promise<void> {
  await page.getByText(`Seal the ${what} with a passphrase`).click();
  await page.getByLabel("Passphrase", { exact: true }).fill(PASSPHRASE);
  await page.getByLabel("The same passphrase again", { exact: true }).fill(PASSPHRASE);
}

async function openSealed(page: Page, passphrase: string): Promise<void> {
  await page.getByLabel("Its passphrase", { exact: true }).fill(passphrase);
  await page.getByRole("button", { name: "Open it", exact: true }).click();
}

test("a copy brings the whole log to a new phone, and restoring it twice changes nothing", async ({
  page,
  openDevice,
}) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  await open(client);
  await expect(page.getByText("No copy of your log yet.")).toBeVisible();
  await client.expectAccessible();
  const copy = await saved(client, "Save a copy");
  expect(copy.name).toBe("carryover-copy-2026-11-25.txt");
  await expect(page.getByText("Last copy: Wednesday 25 November, today.")).toBeVisible();
  const events = await client.stored();
  // A copy for oneself is no hand-over.
  expect(only(events, "handed_back")).toEqual([]);

  const device = await openDevice({ timezoneId: "Europe/Berlin", locale: "en-GB" });
  const other = await Client.at(await device.newPage(), EVENING);
  await other.link("Restore a copy of your log").click();
  await restore(other, "copy.txt", copy.text);
  await expect(other.page.getByText(`"copy.txt": ${events.length} entries brought back.`)).toBeVisible();
  await expect(other.saved()).toBeVisible();
  await restore(other, "copy.txt", copy.text);
  await expect(other.page.getByText("nothing new in it; everything was here already")).toBeVisible();
  await other.link("Back to Today").click();
  await expect(other.line(stairs.name)).toContainText("done");
  expect(await other.stored()).toEqual(events);
  await other.reload();
  await other.until("2026-11-26T07:00:00+01:00");
  await other.answerMorning(2);
});

test("a copy of another log, a routine or no copy at all changes nothing, and says why", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  const before = await client.stored();
  await open(client);
  const foreign = JSON.stringify(before.map(({ id }) => id));
  await restore(client, "foreign.txt", foreign);
  await expect(page.getByText('"foreign.txt" could not be used')).toBeVisible();
  await restore(client, "routine.json", JSON.stringify(small));
  await expect(page.getByText("it is a routine, not a copy of a log")).toBeVisible();
  const { text } = await saved(client, "Save a copy");
  await restore(client, "other.txt", unchecked(text).replaceAll(`"${small.routine.id}"`, '"another"'));
  await expect(page.getByText("it follows another routine than the log on this phone")).toBeVisible();
  await restore(client, "changed.txt", text.replace('"rating":1', '"rating":0'));
  await expect(page.getByText(/it was damaged, or changed by hand, after it was written\); another copy brings the rest/)).toBeVisible();
  await restore(client, "cut.txt", text.slice(0, 200));
  await expect(page.getByText('"cut.txt" could not be used')).toBeVisible();
  expect(await client.stored()).toEqual(before);
});

test("a copy is offered once the last one is two weeks old, and no sooner", async ({ page }) => {
  // Weeks off cost no rung here.
  const routine = oneExercise(({ limits }) => Object.assign(limits, { after_break: "same" }));
  const client = await Client.with(page, routine, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-12-08T18:00:00+01:00");
  await client.reload();
  await expect(client.link("Save a copy")).toHaveCount(0);
  await client.until("2026-12-09T18:00:00+01:00");
  await client.reload();
  await expect(page.getByText("There is no copy of your log yet.")).toBeVisible();
  await client.link("Save a copy").click();
  await saved(client, "Save a copy");
  await client.link("Back to Today").click();
  await expect(client.link("Save a copy")).toHaveCount(0);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-12-24T18:00:00+01:00");
  await client.reload();
  // Nothing was noted since the day of the copy.
  await expect(client.link("Save a copy")).toHaveCount(0);
  await client.trainDay(stairs, [1, 1, 1]);
  await expect(page.getByText("The last copy of your log is 15 days old.")).toBeVisible();
});

test("the browser is asked to keep the log after the first session, and can be asked again", async ({ page }) => {
  await page.addInitScript(() => {
    Object.assign(window, { asked: 0 });
    const storage = { persisted: async () => false, persist: async () => void (window as any).asked++ };
    Object.defineProperty(navigator, "storage", { value: storage });
  });
  const asked = () => page.evaluate(() => (window as any).asked as number);
  const client = await Client.with(page, small, EVENING);
  expect(await asked()).toBe(0);
  await client.trainDay(stairs, [1, 1, 1]);
  expect(await asked()).toBe(1);
  await client.trainDay(stairs, [1, 1, 1]);
  expect(await asked()).toBe(1);
  await open(client);
  await client.button("Ask the browser to keep it").click();
  await expect(page.getByText("It did not promise.")).toBeVisible();
  expect(await asked()).toBe(2);
});

test("erasing takes two taps, says what goes, and leaves nothing but what a copy brings back", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  const events = await client.stored();
  await open(client);
  const { text } = await saved(client, "Save a copy");
  await client.button("Erase everything…").click();
  await expect(page.getByText("takes away from this phone: 1 session and 0 morning answers")).toBeVisible();
  await client.expectAccessible();
  await client.button("Keep it").click();
  expect(await client.stored()).toEqual(events);
  await client.button("Erase everything…").click();
  await client.button("Erase everything").click();
  await expect(client.title("Carryover")).toBeVisible();
  await expect(client.button("Try the demo")).toBeVisible();
  const left = await page.evaluate(() => Object.keys(localStorage));
  expect(left).toEqual([]);
  expect(await heldInFile(page, "carryover")).not.toContain("rating");
  const texts = await client.texts();
  expect(texts).toHaveLength(1);
  expect(texts[0]).toMatch(/^[0-9A-Z]{26}$/);
  await client.link("Restore a copy of your log").click();
  await restore(client, "copy.txt", text);
  await expect(client.saved()).toBeVisible();
  expect(await client.stored()).toEqual(events);
});

test.describe("with the network gone", () => {
  test.use({ serviceWorkers: "allow" });

  test("copies, restoring and erasing work", async ({ page, context }) => {
    const client = await Client.with(page, small, EVENING);
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await client.reload();
    await context.setOffline(true);
    await client.trainDay(stairs, [1, 1, 1]);
    await open(client);
    const { text } = await saved(client, "Save a copy");
    await client.button("Erase everything…").click();
    await client.button("Erase everything").click();
    await client.link("Restore a copy of your log").click();
    await restore(client, "copy.txt", text);
    await expect(client.saved()).toBeVisible();
    await client.link("Back to Today").click();
    await expect(client.line(stairs.name)).toContainText("done");
  });
});

test("a log sealed at the hand-back opens on the practitioner's page, on the visit's page too", async ({
  page,
  openDevice,
}) => {
  const client = await Client.with(page, small, EVENING);
  const sealer: string[] = [];
  page.context().on("request", (request) => {
    if (request.url().includes("sealer")) sealer.push(request.url());
  });
  await client.trainDay(stairs, [1, 2, 1]);
  await client.link("Hand back the log").click();
  await page.getByText("Seal the log with a passphrase").click();
  await page.getByLabel("Passphrase", { exact: true }).fill("short");
  await client.button("Save the log as a file").click();
  await expect(page.getByText("The two passphrases are not the same. Nothing was saved.")).toBeVisible();
  expect(sealer).toEqual([]);
  await page.getByText("Seal the log with a passphrase").click();
  await giveNewPassphrase(page, "log");
  const sealed = await saved(client, "Save the log as a file");
  expect(sealed.name).toBe("carryover-log-2026-11-25-sealed.txt");
  expect(sealed.text).toMatch(/^-----BEGIN AGE ENCRYPTED FILE-----/);
  expect(sealed.text).not.toContain("carryover");
  await expect(page.getByText("Saved with your downloads.")).toBeVisible();
  expect(only(await client.stored(), "handed_back")).toHaveLength(1);

  const device = await openDevice({ timezoneId: "Europe/Berlin", locale: "en-GB" });
  const desk = await Practitioner.at(await device.newPage());
  const file = { name: sealed.name, mimeType: "text/plain", buffer: Buffer.from(sealed.text) };
  await desk.addClient("Postal round, left heel");
  await desk.page.goto(new URL("review", desk.page.url()).href);
  await desk.page.getByLabel("Open the log").setInputFiles(file);
  await openSealed(desk.page, "not this one");
  await expect(desk.page.getByText("this passphrase does not fit it")).toBeVisible();
  await openSealed(desk.page, PASSPHRASE);
  await expect(desk.page.getByText(/entries|new client|opened/).first()).toBeVisible();
});

test("a sealed copy is restored with its passphrase, and with no other", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  const events = await client.stored();
  await open(client);
  await giveNewPassphrase(page, "copy");
  const sealed = await saved(client, "Save a copy");
  await client.button("Erase everything…").click();
  await client.button("Erase everything").click();
  await client.link("Restore a copy of your log").click();
  await restore(client, sealed.name, sealed.text);
  await openSealed(page, "another passphrase");
  await expect(page.getByText("this passphrase does not fit it")).toBeVisible();
  await openSealed(page, PASSPHRASE);
  await expect(client.saved()).toBeVisible();
  const restored = await client.stored();
  expectNothingDoubled(restored);
  expect(kinds(restored)).toEqual(kinds(events));
});

test("a log that the browser threw away from both places is missed, and a copy brings it back", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await open(client);
  const copy = await saved(client, "Save a copy");
  const before = await client.stored();
  await throwAllAway(page, "carryover");
  await page.goto("/");
  const notice = client.alert().filter({ hasText: "Your log is not here any more" });
  await expect(notice).toContainText("This browser kept it since Wednesday 25 November");
  await expect(notice).toContainText("Last copy: Wednesday 25 November, today.");
  await client.expectAccessible();
  await notice.getByRole("link", { name: "Restore a copy" }).click();
  await restore(client, copy.name, copy.text);
  await expect(page.getByText(/brought back/)).toBeVisible();
  expect(await client.stored()).toEqual(before);
  await page.goto("/");
  await expect(client.line("Stair heel lowering")).toBeVisible();

  await throwAllAway(page, "carryover");
  await page.goto("/");
  await client.button("Begin anew").click();
  await expect(notice).toHaveCount(0);
  await page.reload();
  await expect(client.title("Carryover")).toBeVisible();
  await expect(notice).toHaveCount(0);
});

const PUT_BACK = "Something was missing from this browser's storage, and was put back";

test("a log whose database the browser threw away comes back from the second place, and says so once", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  const before = await client.stored();
  await throwAway(page, "carryover");
  await page.goto("/");
  await expect(client.line(stairs.name)).toContainText("done");
  expect(await client.stored()).toEqual(before);
  await client.runFor(3);
  await expect(page.getByText(PUT_BACK)).toBeVisible();
  await client.expectAccessible();
  await client.startAnew();
  await client.runFor(3);
  await expect(client.line(stairs.name)).toContainText("done");
  await expect(page.getByText(PUT_BACK)).toHaveCount(0);
});

test("an erased log does not come back from the second place, even without the database's mark", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  expect(await heldInFile(page, "carryover")).toContain("set_rated");
  await open(client);
  await client.button("Erase everything…").click();
  await client.button("Erase everything").click();
  await expect(client.title("Carryover")).toBeVisible();
  await throwAway(page, "carryover");
  await page.goto("/");
  await expect(client.title("Carryover")).toBeVisible();
  await client.runFor(3);
  await expect(client.title("Carryover")).toBeVisible();
  expect(await client.stored()).toEqual([]);
});

test("a second place that is damaged is made good from the database, without a word", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  const before = await client.stored();
  // All of it is there, and the page that writes to it is gone.
  await expect.poll(() => heldInFile(page, "carryover")).toContain("session_ended");
  await page.goto("/practice/");
  await expect(async () => {
    await page.evaluate(async () => {
      const folder = await navigator.storage.getDirectory();
      const writing = await (await folder.getFileHandle("carryover.lines")).createWritable({ keepExistingData: true });
      await writing.truncate(700);
      await writing.close();
    });
  }).toPass();
  expect(await heldInFile(page, "carryover")).not.toContain("session_ended");
  await page.goto("/");
  await expect(client.line(stairs.name)).toContainText("done");
  await client.runFor(3);
  await expect.poll(() => heldInFile(page, "carryover")).toContain("session_ended");
  expect(await client.stored()).toEqual(before);
  await expect(page.getByText(PUT_BACK)).toHaveCount(0);
  await throwAway(page, "carryover");
  await page.goto("/");
  await expect(client.line(stairs.name)).toContainText("done");
  expect(await client.stored()).toEqual(before);
});

test("a rating is called saved once both places have it, and a second later where the file does not answer", async ({ page }) => {
  await page.addInitScript(() => {
    const post = Worker.prototype.postMessage;
    let kept: (() => void)[] | undefined;
    Worker.prototype.postMessage = function (...given: unknown[]) {
      const go = () => Reflect.apply(post, this, given);
      if (kept) kept.push(go);
      else go();
    };
    Object.assign(window, {
      fallSilent: () => (kept = []),
      answer: () => {
        const all = kept ?? [];
        kept = undefined;
        for (const go of all) go();
      },
    });
  });
  const call = (name: "fallSilent" | "answer") => page.evaluate((name) => (window as any)[name](), name);
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await call("fallSilent");
  await client.point(3).click();
  await expect.poll(async () => kinds(await client.stored()).at(-1)).toBe("set_rated");
  await expect(client.saved()).toHaveCount(0);
  await expect(page.getByText("Saving…", { exact: true })).toBeVisible();
  expect(await heldInFile(page, "carryover")).not.toContain("set_rated");
  await call("answer");
  await expect(client.saved()).toBeVisible();
  expect(await heldInFile(page, "carryover")).toContain("set_rated");

  await client.button("Next set").click();
  await client.workSet(stairs, undefined, SHORT_COUNT_IN);
  await call("fallSilent");
  await client.point(1).click();
  await expect.poll(async () => only(await client.stored(), "set_rated").length).toBe(2);
  await client.runFor(0.9);
  await expect(client.saved()).toHaveCount(0);
  await client.runFor(0.2);
  await expect(client.saved()).toBeVisible();
});

test("a second place that another window holds is followed once it is free", async ({ page, context }) => {
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  await expect.poll(() => heldInFile(page, "carryover")).toContain("session_ended");
  await page.goto("/practice/");
  const holder = await context.newPage();
  await holder.goto("/practice/");
  await expect(async () => {
    await holder.evaluate(async () => {
      const file = await (await navigator.storage.getDirectory()).getFileHandle("carryover.lines");
      const cut = await file.createWritable({ keepExistingData: true });
      await cut.truncate(700);
      await cut.close();
      // Held until it is closed: nobody else may write to the file.
      Object.assign(window, { held: await file.createWritable({ keepExistingData: true }) });
    });
  }).toPass();
  await page.goto("/");
  await expect(client.line(stairs.name)).toContainText("done");
  await client.runFor(3);
  expect(await heldInFile(page, "carryover")).not.toContain("session_ended");
  await holder.evaluate(() => (window as any).held.abort());
  await expect
    .poll(async () => {
      await client.runFor(2);
      return await heldInFile(page, "carryover");
    })
    .toContain("session_ended");
});

test("a copy writes itself into the file that was chosen, after each session, and is read back before it is called one", async ({
  page,
}) => {
  // The picker is the person's: here it gives a file of this origin, which a browser keeps in the same way.
  await page.addInitScript(() => {
    const choose = async () => (await navigator.storage.getDirectory()).getFileHandle("chosen.txt", { create: true });
    Object.assign(window, { showSaveFilePicker: choose });
  });
  const chosen = () =>
    page.evaluate(async () => {
      const folder = await navigator.storage.getDirectory();
      return await (await (await folder.getFileHandle("chosen.txt")).getFile()).text();
    });
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 2, 1]);
  await open(client);
  await client.expectAccessible();
  await client.button("Choose a file for it").click();
  await expect(page.getByText("A copy of your log is in the file you chose.")).toBeVisible();
  await expect(page.getByText("Last copy: Wednesday 25 November, today.")).toBeVisible();
  expect(unchecked(await chosen())).toContain('"session_ended"');
  await client.link("Back to Today").click();
  await client.reload();
  await client.begin();
  await client.train(stairs, [1, 1, 3]);
  await expect(client.title("Session done")).toBeVisible();
  await client.runFor(1);
  await expect(page.getByText("A copy of your log is in the file you chose.")).toBeVisible();
  expect(await chosen()).toContain('"rating":3');

  // What does not read as it was written is no copy.
  await page.evaluate(() => {
    Object.assign(FileSystemWritableFileStream.prototype, { write: async () => undefined });
  });
  await client.finish();
  await open(client);
  await client.button("Choose a file for it").click();
  await expect(page.getByText("did not let the app write into that file")).toBeVisible();
});
