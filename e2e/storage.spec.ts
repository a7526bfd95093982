/** When the device will not store, or gives back less than it was given: said plainly, and nothing is lost. */
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";
import { SilentStorage, loseDatabase } from "./device.ts";
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

/** A client who has worked the first set, and is asked how much it hurt. */
async function atTheFirstRating(page: Page): Promise<Client> {
  const client = await Client.with(page, small, EVENING);
  await client.begin();
  await client.startFirstSet();
  await client.workSet(stairs);
  return client;
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
  const client = await atTheFirstRating(page);
  await fill(true);
  await client.point(2).click();
  await expect(page.getByText("Not saved yet: the device's storage is full.").first()).toBeVisible();
  await expect(client.saved()).toHaveCount(0);
  await expect(client.button("Try again")).toHaveCount(1);
  await expect(page.getByText("Free some space on the device, then try again.").first()).toBeVisible();
  const [download] = await Promise.all([page.waitForEvent("download"), client.button("Save it all as a file").click()]);
  const copy = readFileSync(await download.path(), "utf8");
  expect(copy).toContain('"rating":2');
  expect(copy).toContain("routine_accepted");

  // The session goes on all the same.
  await client.button("Next set").click();
  await expect(page.getByText("Not saved yet").first()).toBeVisible();
  await client.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
  await client.point(1).click();
  await client.button("Try again").click();
  await expect(page.getByText("Not saved yet").first()).toBeVisible();
  await expect(client.saved()).toHaveCount(0);
  expect(kinds(await client.stored())).toEqual(["routine_accepted", "rule_explained", "session_started", "set_ended"]);

  await fill(false);
  await client.button("Try again").click();
  await expect(client.saved()).toBeVisible();
  await expect(page.getByText("Not saved yet")).toHaveCount(0);
  const events = await client.stored();
  expectNothingDoubled(events);
  expect(kinds(events)).toEqual([
    "routine_accepted",
    "rule_explained",
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

test("a disk that takes nothing more, and does not say that it is full, is called what it most likely is", async ({
  page,
}) => {
  // As a browser answers that does not name the reason.
  await page.addInitScript(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (this: IDBObjectStore, value: unknown, key?: IDBValidKey) {
      if (window.full) throw new DOMException("Internal error.", "UnknownError");
      return put.call(this, value, key);
    };
  });
  const fill = (full: boolean) => page.evaluate((full) => void (window.full = full), full);
  const client = await atTheFirstRating(page);
  await fill(true);
  await client.point(2).click();
  await expect(page.getByText("the device's storage takes nothing more; it is most likely full").first()).toBeVisible();
  await expect(client.saved()).toHaveCount(0);
  await fill(false);
  await client.button("Try again").click();
  await expect(client.saved()).toBeVisible();
  expect(only(await client.stored(), "set_rated")).toHaveLength(1);
});

test("a disk without room is said as what it is, even where the browser can open nothing any more", async ({ page }) => {
  // In Chromium's order, as it was tried on a small disk: the transaction fails, the connection is closed, and
  // opening it anew fails without a reason, until there is room.
  await page.addInitScript(() => {
    const transaction = IDBDatabase.prototype.transaction;
    const open = IDBFactory.prototype.open;
    IDBDatabase.prototype.transaction = function (this: IDBDatabase, ...given) {
      const begun = transaction.apply(this, given);
      if (!window.full || given[1] !== "readwrite") return begun;
      Object.defineProperty(begun, "error", {
        get: () => new DOMException("IO error: …: FILE_ERROR_NO_SPACE (…)", "UnknownError"),
      });
      Object.defineProperty(begun, "commit", { value: () => begun.abort() });
      this.close();
      return begun;
    };
    IDBFactory.prototype.open = function (this: IDBFactory, ...given) {
      const opening = open.apply(this, given);
      if (!window.full) return opening;
      const told = opening as { onerror: (() => void) | null };
      Object.defineProperty(opening, "error", {
        get: () => new DOMException("Internal error opening backing store for indexedDB.open.", "UnknownError"),
      });
      Object.defineProperty(opening, "onsuccess", { set: () => queueMicrotask(() => queueMicrotask(() => told.onerror?.())) });
      return opening;
    };
  });
  const fill = (full: boolean) => page.evaluate((full) => void (window.full = full), full);
  const client = await atTheFirstRating(page);
  await fill(true);
  await client.point(2).click();
  await expect(page.getByText("Not saved yet: the device's storage is full.").first()).toBeVisible();
  await client.button("Try again").click();
  await expect(page.getByText("Not saved yet: the device's storage is full.").first()).toBeVisible();
  await expect(client.saved()).toHaveCount(0);
  await fill(false);
  await client.button("Try again").click();
  await expect(client.saved()).toBeVisible();
  expect(only(await client.stored(), "set_rated")).toHaveLength(1);
});

test("the next write makes good what failed before it", async ({ page }) => {
  const fill = await canFillUp(page);
  const client = await atTheFirstRating(page);
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
  const client = await atTheFirstRating(page);
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
  await client.link("Sound and voice").click();
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
  const client = await atTheFirstRating(page);
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

/** Between which taps of the job the storage is lost under the open page. */
const MOMENTS = ["a session", "the first set", "the first rating", "a change of mind", "the second set", "the end", "Today", "the morning"];

for (const lost of MOMENTS) {
  test(`storage that is lost under the open page before ${lost} is written whole by what is tapped next`, async ({ page }) => {
    const client = await Client.with(page, small, EVENING);
    const before = async (moment: string) => {
      expect(MOMENTS).toContain(moment);
      if (moment === lost) await loseDatabase(page, "carryover");
    };
    await before("a session");
    await client.begin();
    await before("the first set");
    await client.startFirstSet();
    await client.workSet(stairs);
    await before("the first rating");
    await client.rate(2);
    await before("a change of mind");
    await client.rate(3);
    await client.button("Next set").click();
    await client.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
    await before("the second set");
    await client.rate(1);
    await client.button("Next set").click();
    await client.workSet(stairs, stairs.ladder.start, SHORT_COUNT_IN);
    await client.rate(1);
    await before("the end");
    await client.button("Go on").click();
    await before("Today");
    await client.finish();
    await client.until("2026-11-26T07:00:00+01:00");
    await before("the morning");
    await client.answerMorning(2);
    await client.done();
    const events = await client.stored();
    expectNothingDoubled(events);
    for (const kind of ["routine_accepted", "session_started", "session_ended", "morning_answered"]) {
      expect(only(events, kind), kind).toHaveLength(1);
    }
    expect(only(events, "set_ended")).toHaveLength(3);
    expect(only(events, "set_rated").map(({ fact }) => fact.rating)).toEqual([2, 3, 1, 1]);
    await expect(page.getByText("Something was missing from this browser's storage")).toBeVisible();
    // And once more while nothing is left to tap: then the next start makes it good.
    await loseDatabase(page, "carryover");
    await client.reload();
    await expect(client.line(stairs.name)).toBeVisible();
    expect(await client.stored()).toEqual(events);
  });
}

test("without a second place, what is at hand is written, and nothing untrue is said", async ({ page }) => {
  await page.addInitScript(() => Object.defineProperty(window, "Worker", { value: undefined }));
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  const before = await client.stored();
  await loseDatabase(page, "carryover");
  await client.until("2026-11-26T07:00:00+01:00");
  await client.answerMorning(2);
  await client.done();
  const events = await client.stored();
  expect(events.slice(0, before.length)).toEqual(before);
  await expect(page.getByText("not here any more")).toHaveCount(0);
  await client.reload();
  await client.runFor(3);
  await expect(page.getByText("not here any more")).toHaveCount(0);
  await expect(page.getByText("was put back")).toHaveCount(0);
});

test("a log that has less than it had is told of, until a copy brings the rest", async ({ page }) => {
  await page.addInitScript(() => Object.defineProperty(window, "Worker", { value: undefined }));
  const client = await Client.with(page, small, EVENING);
  await client.trainDay(stairs, [1, 1, 1]);
  await client.runFor(3);
  const [, ...rest] = await client.stored();
  await page.evaluate(
    (id) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open("carryover");
        opening.onsuccess = () => {
          const writing = opening.result.transaction("events", "readwrite");
          writing.objectStore("events").delete(id);
          writing.oncomplete = () => resolve(opening.result.close());
          writing.onabort = () => reject(writing.error);
        };
      }),
    rest.at(-1)?.id ?? "",
  );
  await client.reload();
  const notice = client.alert().filter({ hasText: "A part of your log is not here any more" });
  await expect(async () => {
    await client.runFor(3);
    await expect(notice).toBeVisible({ timeout: 500 });
  }).toPass();
  await expect(notice).toContainText("has less of it now than it had");
  await client.expectAccessible();
  await client.button("Go on without it").click();
  await expect(notice).toHaveCount(0);
  await client.reload();
  await client.runFor(3);
  await expect(notice).toHaveCount(0);
});

test("as much as was saved is what is expected to be there, neither more nor less", async ({ page }) => {
  const client = await Client.with(page, small, EVENING);
  const counted = () => page.evaluate(() => JSON.parse(localStorage.getItem("carryover.since.extent") ?? "null")?.number);
  const stored = async () => (await client.stored()).length;
  await expect.poll(counted).toBe(await stored());
  await client.runFor(3);
  await client.trainDay(stairs, [1, 2, 1]);
  await expect.poll(counted).toBe(await stored());
  await client.reload();
  await client.runFor(3);
  await client.until("2026-11-26T07:00:00+01:00");
  await client.answerMorning(2);
  await client.done();
  await expect.poll(counted).toBe(await stored());
});
