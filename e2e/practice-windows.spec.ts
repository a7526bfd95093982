// The practitioner's page in two windows, and over a storage that does not do as it is told: nothing older is
// written over what came later.
import type { Page } from "@playwright/test";
import { SilentStorage, moveClock } from "./device.ts";
import { expect, expectAccessible, test } from "./fixtures.ts";
import { EVENING } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

const ELSEWHERE = "Open in another window";

/** Lets every write fail for as long as `window.full` is set. */
async function canFillUp(page: Page): Promise<(full: boolean) => Promise<void>> {
  await page.addInitScript(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (this: IDBObjectStore, value: unknown, key?: IDBValidKey) {
      if ((window as any).full) throw new DOMException("no room", "QuotaExceededError");
      return put.call(this, value, key);
    };
  });
  return (full) => page.evaluate((full) => void ((window as any).full = full), full);
}

class Window extends Practitioner {
  static override async at(page: Page): Promise<Window> {
    await page.goto("/practice/");
    return new Window(page);
  }

  async lend(what: string): Promise<void> {
    await this.fill("What is lent today", what);
    await this.tap("Lend");
  }

  loan(what: string) {
    return this.page.getByRole("listitem").filter({ hasText: what });
  }

  async saved(): Promise<void> {
    await this.follow("Caseload");
    await this.sees("Caseload");
    await expect(this.page.getByText("Saved", { exact: true })).toBeVisible();
  }

  async openClient(): Promise<void> {
    await this.click(this.page.getByRole("link", { name: "Round 7" }));
    await this.sees("Round 7");
  }

  /** Becomes the one window, instead of the other. */
  async takeOver(from: Window): Promise<void> {
    await this.sees(ELSEWHERE);
    await this.tap("Use it here");
    await from.sees(ELSEWHERE);
  }
}

/** A window with one client to whom a loop band was lent that could not be saved. */
async function oneThatIsFull(page: Page): Promise<{ first: Window; fill: (full: boolean) => Promise<void> }> {
  const fill = await canFillUp(page);
  const first = await Window.at(page);
  await first.addClient("Round 7");
  await page.goto("/practice/");
  await first.openClient();
  await fill(true);
  await first.lend("loop band");
  await expect(page.getByText("Not saved yet: the device's storage is full.")).toBeVisible();
  return { first, fill };
}

test("a second window says in plain words what is open, and what the first could not save is saved by it later", async ({
  page,
  context,
}) => {
  const { first, fill } = await oneThatIsFull(page);
  const second = await Window.at(await context.newPage());
  await second.sees(ELSEWHERE);
  await expect(second.page.getByText("Your clients are open in another window or tab.")).toBeVisible();
  await expectAccessible(second.page);
  await second.takeOver(first);
  await second.openClient();
  await expect(page.getByText("Something you entered here is not saved yet.")).toBeVisible();
  await expect(second.loan("Loop band")).toHaveCount(0);

  await first.takeOver(second);
  await first.sees("Round 7");
  await expect(first.loan("Loop band")).toBeVisible();
  await expect(page.getByText("Not saved yet: the device's storage is full.")).toBeVisible();
  await fill(false);
  await first.tap("Try again");
  await first.saved();
  await page.reload();
  await first.openClient();
  await expect(first.loan("Loop band")).toBeVisible();
});

test("what one window could not save is not written over what the other changed since", async ({ page, context }) => {
  const { first, fill } = await oneThatIsFull(page);
  const second = await Window.at(await context.newPage());
  await second.takeOver(first);
  await second.openClient();
  await fill(false);
  await second.lend("rucksack");
  await second.saved();

  await first.takeOver(second);
  await first.sees("Round 7");
  await expect(first.loan("Rucksack")).toBeVisible();
  await expect(first.loan("Loop band")).toHaveCount(0);
  await first.saved();
  await expect(page.getByText(/^1 stored text set aside/)).toBeVisible();
  const downloading = page.waitForEvent("download");
  await first.tap("Save a copy of everything");
  const stream = await (await downloading).createReadStream();
  const copy = await new Response(stream as unknown as BodyInit).text();
  expect(copy).toContain("loop band");
  expect(copy).toContain("rucksack");
});

test("a storage that never opens is told, with the way out, and the caseload opens once it answers", async ({ page }) => {
  const storage = await SilentStorage.of(page);
  await moveClock(page, Date.parse(EVENING));
  const practitioner = await Practitioner.at(page);
  await storage.fallSilent();
  await page.reload();
  await expect(async () => {
    await page.clock.runFor(11_000);
    const told = page.getByRole("heading", { name: "Your caseload could not be opened" });
    await expect(told).toBeVisible({ timeout: 500 });
  }).toPass();
  await expect(page.getByText("Close the app and open it again.")).toBeVisible();
  await storage.answer();
  await practitioner.sees("Caseload");
});
