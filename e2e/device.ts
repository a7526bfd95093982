/** What a device holds, its clock, and a storage that keeps silent, as the browser itself has them. */
import type { Page } from "@playwright/test";

/** Every key and text that the app keeps under a name. */
export async function held(page: Page, name: "carryover" | "carryover-practice"): Promise<[key: string, text: string][]> {
  return await page.evaluate(async (name) => {
    const result = <T>(request: IDBRequest<T>) =>
      new Promise<T>((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    // Opening it would make it.
    if (!(await indexedDB.databases()).some((kept) => kept.name === name)) return [];
    const database = await result(indexedDB.open(name));
    const store = database.transaction("events").objectStore("events");
    const [keys, texts] = await Promise.all([result(store.getAllKeys()), result(store.getAll())]);
    database.close();
    return texts.map((text, index): [string, string] => [String(keys[index]), String(text)]);
  }, name);
}

/** What the file beside a database holds, as text. */
export async function heldInFile(page: Page, name: "carryover" | "carryover-practice"): Promise<string> {
  return await page.evaluate(async (name) => {
    const folder = await navigator.storage.getDirectory();
    const file = await folder.getFileHandle(`${name}.lines`).catch(() => undefined);
    return file ? await (await file.getFile()).text() : "";
  }, name);
}

/** Takes the database away under the page that has it open, as a browser does whose storage is cleared. */
export async function loseDatabase(page: Page, name: "carryover" | "carryover-practice"): Promise<void> {
  await page.evaluate(
    (name) =>
      new Promise((resolve, reject) => {
        const deleting = indexedDB.deleteDatabase(name);
        deleting.onsuccess = resolve;
        deleting.onerror = reject;
      }),
    name,
  );
}

/** Throws both places away behind the app's back. */
export async function throwAllAway(page: Page, name: "carryover" | "carryover-practice"): Promise<void> {
  await throwAway(page, name);
  await removeFiles(page, name);
}

async function removeFiles(page: Page, name: "carryover" | "carryover-practice"): Promise<void> {
  await page.evaluate(async (name) => {
    const folder = await navigator.storage.getDirectory();
    for (const file of [`${name}.lines`, `${name}.anew`]) await folder.removeEntry(file).catch(() => {});
  }, name);
}

/** Takes every fact of a kind out of the client's log, as a version of the app has it that did not write it yet. */
export async function withoutFacts(page: Page, kind: string): Promise<void> {
  await page.evaluate(async (kind) => {
    const result = <T>(request: IDBRequest<T>) =>
      new Promise<T>((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const database = await result(indexedDB.open("carryover"));
    const store = database.transaction("events", "readwrite").objectStore("events");
    const [keys, texts] = await Promise.all([result(store.getAllKeys()), result(store.getAll())]);
    for (const [index, key] of keys.entries()) {
      if (String(texts[index]).includes(`"${kind}"`)) await result(store.delete(key));
    }
    database.close();
    // Nor did it know a second place, or note how much there was.
    localStorage.removeItem("carryover.since.extent");
  }, kind);
  await removeFiles(page, "carryover");
}

/** Throws a database away behind the app's back, as a browser does that finds it damaged. */
export async function throwAway(page: Page, name: "carryover" | "carryover-practice"): Promise<void> {
  // A page that does not hold it.
  await page.goto(name === "carryover" ? "/practice/" : "/");
  await page.evaluate(
    (name) =>
      new Promise((resolve, reject) => {
        const deleting = indexedDB.deleteDatabase(name);
        deleting.onsuccess = resolve;
        deleting.onerror = reject;
      }),
    name,
  );
}

/** Takes the device's clock in hand, before the page is opened: it begins at `time`, in milliseconds after 1970. */
export async function moveClock(page: Page, time: number): Promise<void> {
  await page.clock.install({ time });
  await page.addInitScript(timersFitInThirtyTwoBits);
}

/**
 * The moved clock gives out timers with ids larger than any browser's, and the app, which keeps them in
 * 32 bits, could not clear one of them.
 */
function timersFitInThirtyTwoBits(): void {
  const ids = new Map<number, number>();
  for (const kind of ["Timeout", "Interval"] as const) {
    const set: (handler: TimerHandler, timeout?: number) => number = window[`set${kind}`].bind(window);
    const clear = window[`clear${kind}`].bind(window);
    Object.assign(window, {
      [`set${kind}`](handler: TimerHandler, timeout?: number) {
        const id = set(handler, timeout);
        ids.set(id | 0, id);
        return id | 0;
      },
      [`clear${kind}`]: (id = 0) => clear(ids.get(id) ?? id),
    });
  }
}

/** A storage that can fall silent: what it is asked then is answered only later. */
export class SilentStorage {
  readonly page: Page;

  private constructor(page: Page) {
    this.page = page;
  }

  /** Before the page is opened. */
  static async of(page: Page): Promise<SilentStorage> {
    await page.addInitScript(() => {
      const success = Object.getOwnPropertyDescriptor(IDBRequest.prototype, "onsuccess");
      Object.defineProperty(IDBRequest.prototype, "onsuccess", {
        set(this: IDBRequest, listener: () => void) {
          success?.set?.call(this, () => {
            if (sessionStorage.getItem("silent")) addEventListener("answer", listener, { once: true });
            else listener();
          });
        },
      });
    });
    return new SilentStorage(page);
  }

  async fallSilent(): Promise<void> {
    await this.page.evaluate(() => sessionStorage.setItem("silent", "yes"));
  }

  async answer(): Promise<void> {
    await this.page.evaluate(() => {
      sessionStorage.removeItem("silent");
      dispatchEvent(new Event("answer"));
    });
  }
}
