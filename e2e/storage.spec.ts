/** When the device will not store, or gives back less than it was given: said plainly, and nothing is lost. */
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";
import { SilentStorage } from "./device.ts";
import { expect, test } from "./fixtures.ts";
import {
  Client,
  EVENING,
  SHORT_COUNT_IN,
  expectNothingDoubled,
  kinds,
  oneExercise,
  only,
  ratingsOf,
} from "./pages.ts";

test.use({ timezoneId: "Europe/Berlin" });

const small = oneExercise();
const [stairs] = small.routine.exercises as [(typeof small.routine.exercises)[0]];

declare global {
  interface Window {
    /** Whether the device's storage is full just now. */
    full?: boolean;
  }
}

/** Lets every write fail for as long as `window.full` is set. */
async function canFillUp(page: Page): Promise<(full: boolean) => Promise<void>> {
  await page.addInitScript(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (this: IDBObjectStore, value: unknown, key?: IDBValidKey) {
      if (window.full) throw new DOMException("no room", "QuotaExceededError");
      return put.call(this, value, key);
    };
  });
  return (full) => page.evaluate((full) => void (window.full = full), full);
}

for (const [how, denied] of [
  ["reading it throws", "get indexedDB() { throw new DOMException('denied', 'SecurityError'); }"],
  ["there is none", "indexedDB: undefined"],
] as const) {
  test(`a browser that lets nothing be stored (${how}) is told plainly, with the way out`, async ({
    page,
  }) => {
    await page.addInitScript(
      `Object.defineProperties(window, Object.getOwnPropertyDescriptors({ ${denied} }))`,
    );
    await page.goto("/");
    await expect(page.getByRole("heading", { name: "Your log could not be opened" })).toBeVisible();
    await expect(
      page.getByText("this browser does not let the app store anything", { exact: false }),
    ).toBeVisible();
    await expect(page.getByText("Leave private browsing, or allow this site to store data")).toBeVisible();
    await expect(page.getByText("Nothing was changed or thrown away")).toBeVisible();
  });
}

test("what a newer version stored is left alone", async ({ page }) => {
  await Client.with(page, small, EVENING);
  // The newer version takes over while this one is open.
  await page.evaluate(
    () =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open("carryover", 99);
        opening.onsuccess = () => resolve(opening.result.close());
        opening.onerror = () => reject(opening.error);
      }),
  );
  await page.reload();
  await expect(page.getByText("the stored data was written by a newer version of this app")).toBeVisible();
  await expect(page.getByText("Close every window of this app and open it again")).toBeVisible();
});

test("a write that fails is told, never called saved, and made good when there is room again", async ({
  page,
}) => {
  const fill = await canFillUp(page);
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await fill(true);
  await client.point(2).click();
  await expect(page.getByText("Not saved yet: the device's storage is full.").first()).toBeVisible();
  await expect(client.saved()).toHaveCount(0);
  await expect(client.button("Try again")).toHaveCount(1);

  // The session goes on all the same.
  await client.button("Next set now").click();
  await expect(page.getByText("Not saved yet").first()).toBeVisible();
  await client.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
  await client.point(1).click();
  await client.button("Try again").click();
  await expect(page.getByText("Not saved yet").first()).toBeVisible();
  await expect(client.saved()).toHaveCount(0);
  expect(kinds(await client.stored())).toEqual(["routine_accepted", "session_started", "set_ended"]);

  await fill(false);
  await client.button("Try again").click();
  await expect(client.saved()).toBeVisible();
  await expect(page.getByText("Not saved yet")).toHaveCount(0);
  const events = await client.stored();
  expectNothingDoubled(events);
  expect(kinds(events)).toEqual([
    "routine_accepted",
    "session_started",
    "set_ended",
    "set_rated",
    "set_ended",
    "set_rated",
  ]);
  expect(ratingsOf(events).map(([, set, rating]) => [set, rating])).toEqual([
    [1, 2],
    [2, 1],
  ]);
});

test("the next write makes good what failed before it", async ({ page }) => {
  const fill = await canFillUp(page);
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await fill(true);
  await client.point(2).click();
  await expect(page.getByText("Not saved yet").first()).toBeVisible();
  await fill(false);
  await client.rate(3);
  await expect(page.getByText("Not saved yet")).toHaveCount(0);
  expect(only(await client.stored(), "set_rated").map(({ fact }) => fact.rating)).toEqual([2, 3]);
});

test("what could not be saved outlives a reload, and is saved then", async ({ page }) => {
  const fill = await canFillUp(page);
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await fill(true);
  await client.point(2).click();
  await expect(page.getByText("Not saved yet").first()).toBeVisible();
  await client.reload();
  await expect(client.point(2)).toHaveAttribute("aria-pressed", "true");
  await expect(client.saved()).toBeVisible();
  const events = await client.stored();
  expectNothingDoubled(events);
  expect(ratingsOf(events).map(([, set, rating]) => [set, rating])).toEqual([[1, 2]]);
});

test("while something is not saved, every screen says so", async ({ page }) => {
  const fill = await canFillUp(page);
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.until("2026-11-26T07:00:00+01:00");
  await client.openMorning();
  await fill(true);
  await page
    .getByRole("group", { name: /^Pain this morning/ })
    .getByRole("button", { name: "2", exact: true })
    .click();
  await client.button("No more than the day before").click();
  await expect(client.title("Your lights")).toBeVisible();
  await expect(page.getByText("Not saved yet")).toHaveCount(1);
  await client.button("Change an answer").click();
  await expect(page.getByText("Not saved yet")).toHaveCount(1);
  await page.goBack();
  await expect(client.title("Good morning")).toBeVisible();
  await expect(page.getByText("Not saved yet")).toHaveCount(1);
  await client.line(stairs.name).getByRole("link").click();
  await expect(client.title(stairs.name)).toBeVisible();
  await expect(page.getByText("Not saved yet")).toHaveCount(1);
  await fill(false);
  await client.button("Try again").click();
  await expect(page.getByText("Not saved yet")).toHaveCount(0);
  expect(only(await client.stored(), "morning_answered")).toHaveLength(1);
});

/** Puts a text into the store as it is, and loads the page anew. */
async function damage(page: Page, key: string, text: string): Promise<void> {
  await page.evaluate(
    ([key, text]) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open("carryover");
        opening.onsuccess = () => {
          const writing = opening.result.transaction("events", "readwrite");
          writing.objectStore("events").put(text, key);
          writing.oncomplete = () => resolve(opening.result.close());
          writing.onabort = () => reject(writing.error);
        };
      }),
    [key, text] as const,
  );
  await page.reload();
}

async function textAt(page: Page, key: string): Promise<unknown> {
  return page.evaluate(
    (key) =>
      new Promise((resolve) => {
        const opening = indexedDB.open("carryover");
        opening.onsuccess = () => {
          const reading = opening.result.transaction("events").objectStore("events").get(key);
          reading.onsuccess = () => {
            opening.result.close();
            resolve(reading.result);
          };
        };
      }),
    key,
  );
}

const DAMAGED = '{"id":"01ARYZ6S410000000000000000","at":"2026-11-2';

test("an entry that cannot be read is set aside, told, offered as a file, and never overwritten", async ({
  page,
}) => {
  const client = await Client.with(page, small, EVENING);
  await damage(page, "01ARYZ6S410000000000000000", DAMAGED);
  await expect(client.alert()).toContainText("could not be read");
  await expect(client.alert()).toContainText("Nothing was changed or thrown away");
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    client.button("Save what could not be read").click(),
  ]);
  expect(download.suggestedFilename()).toMatch(/\.txt$/);
  expect(readFileSync(await download.path(), "utf8")).toBe(DAMAGED);
  await client.trainDay(stairs, [1, 1, 1]);
  await expect(client.alert()).toContainText("could not be read");
  expect(await textAt(page, "01ARYZ6S410000000000000000")).toBe(DAMAGED);
});

test("when it is the routine itself that cannot be read, that is told, too", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  const [accepted] = await client.stored();
  await damage(page, accepted?.id ?? "", DAMAGED);
  await expect(client.title("Carryover")).toBeVisible();
  await expect(page.getByText(/could not be read/).first()).toBeVisible();
  await expect(client.button("Save what could not be read")).toBeVisible();
  await client.openFile("routine.json", small);
  await client.accept();
  expect(await textAt(page, accepted?.id ?? "")).toBe(DAMAGED);
});

test("without the small storage for preferences everything works as before", async ({ page }) => {
  await page.addInitScript(() => {
    Object.defineProperty(window, "localStorage", {
      get() {
        throw new DOMException("denied", "SecurityError");
      },
    });
  });
  const client = await Client.with(page, small, EVENING);
  await client.link("Sound, voice and pace").click();
  await page.getByRole("checkbox", { name: /^Sound/ }).uncheck();
  await client.link("Back to Today").click();
  await client.begin();
  await client.train(stairs, [1, 1, 1]);
  await client.finish();
  await client.until("2026-11-26T07:00:00+01:00");
  await client.reload();
  await client.answerMorning(2);
  await client.done();
  const { events } = await client.handBack();
  expect(only(events, "set_rated")).toHaveLength(3);
});

test("a storage that does not answer is told as lost, and saved once it answers after all", async ({ page }) => {
  // The transaction is made as ever; only that it is complete is not told for as long as `window.silent` is set.
  await page.addInitScript(() => {
    const complete = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "oncomplete");
    Object.defineProperty(IDBTransaction.prototype, "oncomplete", {
      set(this: IDBTransaction, listener: () => void) {
        complete?.set?.call(this, () => {
          if ((window as any).silent) addEventListener("answer", listener, { once: true });
          else listener();
        });
      },
    });
  });
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  await page.evaluate(() => void Object.assign(window, { silent: true }));
  await client.point(2).click();
  await client.runFor(9);
  await expect(page.getByText("Saving…")).toBeVisible();
  await client.runFor(2);
  await expect(
    page.getByText("Not saved yet: the browser has lost touch with the device's storage.").first(),
  ).toBeVisible();
  await expect(client.saved()).toHaveCount(0);
  await page.evaluate(() => {
    Object.assign(window, { silent: false });
    dispatchEvent(new Event("answer"));
  });
  await expect(client.saved()).toBeVisible();
  await expect(page.getByText("Not saved yet")).toHaveCount(0);
  const events = await client.stored();
  expectNothingDoubled(events);
  expect(ratingsOf(events).map(([, set, rating]) => [set, rating])).toEqual([[1, 2]]);
});

test("a storage that never opens is told, with the way out, and the log opens once it answers", async ({ page }) => {
  const storage = await SilentStorage.of(page);
  const client = await Client.with(page, small, EVENING);
  await storage.fallSilent();
  await page.reload();
  await expect(page.getByText("Opening your routine…")).toBeVisible();
  await expect(async () => {
    await client.runFor(11);
    await expect(page.getByRole("heading", { name: "Your log could not be opened" })).toBeVisible({ timeout: 500 });
  }).toPass();
  await expect(page.getByText("the browser has lost touch with the device's storage")).toBeVisible();
  await expect(page.getByText("Close the app and open it again.")).toBeVisible();
  await storage.answer();
  await expect(client.title(/^Good /)).toBeVisible();
});
