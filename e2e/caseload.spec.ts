// The practitioner's clients: added, found, archived, erased for good; what is lent to them; and a copy of
// everything, plain or sealed, that brings them back on another device.
import { readFileSync } from "node:fs";
import * as age from "age-encryption";
import type { Page } from "@playwright/test";
import { held, heldInFile, loseDatabase, moveClock, throwAllAway, throwAway } from "./device.ts";
import { expect, expectAccessible, test } from "./fixtures.ts";
import { validateCopy } from "./schema.ts";

const RELEASED = readFileSync(new URL("../tests/fixtures/released/caseload-1.json", import.meta.url), "utf8");
const PASSPHRASE = "kitchen chair, third stair";
const SIZES = [
  { width: 360, height: 740 },
  { width: 1280, height: 800 },
];

class Practice {
  readonly page: Page;

  constructor(page: Page) {
    this.page = page;
  }

  static async at(page: Page): Promise<Practice> {
    const practice = new Practice(page);
    await practice.home();
    return practice;
  }

  async home(): Promise<void> {
    await this.page.goto("/practice");
    await expect(this.title("Caseload")).toBeVisible();
  }

  title(name: string | RegExp) {
    return this.page.getByRole("heading", { level: 1, name, exact: true });
  }

  button(name: string) {
    return this.page.getByRole("button", { name, exact: true });
  }

  client(label: string) {
    return this.page.getByRole("link", { name: label });
  }

  async saved(): Promise<void> {
    await expect(this.page.getByText("Saved", { exact: true })).toBeVisible();
  }

  async add(...labels: string[]): Promise<void> {
    for (const label of labels) {
      await this.page.getByLabel("A new client's label").fill(label);
      await this.button("Add client").click();
      await expect(this.title(`Routine: ${label}`)).toBeVisible();
      await this.saved();
      await this.home();
    }
  }

  async openClient(label: string): Promise<void> {
    await this.client(label).click();
    await expect(this.title(label)).toBeVisible();
  }

  async openLabelArchiveErase(label: string): Promise<void> {
    await this.openClient(label);
    await this.page.getByText("Label, archive, erase").click();
  }

  async openFile(name: string, text: string): Promise<void> {
    const file = { name, mimeType: "text/plain", buffer: Buffer.from(text) };
    await this.page.getByLabel("Open a file").setInputFiles(file);
  }

  /** Saves a copy by the button of that name; its text. */
  async copyBy(button: string): Promise<string> {
    const [download] = await Promise.all([this.page.waitForEvent("download"), this.button(button).click()]);
    return readFileSync(await download.path(), "utf8");
  }

  async copy(): Promise<string> {
    const text = await this.copyBy("Save a copy of everything");
    expect(validateCopy(text)).toEqual([]);
    return text;
  }

  async writePassphrase(first: string, again = first): Promise<void> {
    const field = this.page.getByLabel("Passphrase", { exact: true });
    if (!(await field.isVisible())) await this.page.getByText("Seal the copy with a passphrase").click();
    await field.fill(first);
    await this.page.getByLabel("The same passphrase again", { exact: true }).fill(again);
  }

  async open(passphrase: string): Promise<void> {
    await this.page.getByLabel("Its passphrase", { exact: true }).fill(passphrase);
    await this.button("Open it").click();
  }

  /** The keys of everything that the device holds. */
  async keys(): Promise<string[]> {
    return (await held(this.page, "carryover-practice")).map(([key]) => key);
  }

  async expectAccessible(): Promise<void> {
    for (const size of SIZES) {
      await this.page.setViewportSize(size);
      for (const colorScheme of ["light", "dark"] as const) {
        await this.page.emulateMedia({ colorScheme });
        await test.step(`${size.width} wide, ${colorScheme}`, () => expectAccessible(this.page));
      }
    }
    await this.page.setViewportSize(SIZES[0]!);
  }
}

test("clients are added by a label, found by a part of it, and archived", async ({ page }) => {
  const practice = await Practice.at(page);
  await expect(page.getByText("Nobody here yet")).toBeVisible();
  await practice.expectAccessible();
  await practice.button("Add client").click();
  await expect(page.getByText("Give the client a label first")).toBeVisible();

  await practice.add("Round 7", "Rucksack", "Staircase", "Kitchen chair", "Banister", "Loop band");
  const labels = await page.getByRole("listitem").locator("strong").allInnerTexts();
  expect(labels).toEqual(["Banister", "Kitchen chair", "Loop band", "Round 7", "Rucksack", "Staircase"]);

  await page.getByLabel("Find by label").fill("  CHAIR ");
  await expect(page.getByRole("listitem")).toHaveCount(1);
  await expect(practice.client("Kitchen chair")).toBeVisible();
  await page.getByLabel("Find by label").fill("nobody");
  await expect(page.getByText("None.")).toBeVisible();
  await page.getByLabel("Find by label").fill("");
  await practice.expectAccessible();

  await practice.openLabelArchiveErase("Kitchen chair");
  await practice.expectAccessible();
  await practice.button("Archive").click();
  await practice.saved();
  await practice.home();
  await expect(practice.client("Staircase")).toBeVisible();
  await expect(practice.client("Kitchen chair")).toHaveCount(0);
  await practice.button("Show the archived").click();
  await expect(page.getByRole("listitem")).toHaveCount(1);
  await practice.openLabelArchiveErase("Kitchen chair");
  await practice.button("Take out of the archive").click();
  await practice.saved();
  await practice.home();
  await expect(practice.client("Kitchen chair")).toBeVisible();
});

test("a client is erased for good, and no other", async ({ page }) => {
  const practice = await Practice.at(page);
  await practice.openFile("caseload.txt", RELEASED);
  await practice.button("Bring it back").click();
  await practice.saved();
  const before = await practice.keys();
  const erased = "01m89rzy0052nd3e8v9h6k4qxw";
  expect(before.filter((key) => key.includes(erased))).toHaveLength(24);

  await practice.openLabelArchiveErase("Postal round, left heel");
  await practice.button("Erase for good…").click();
  await expect(page.getByText("It cannot be undone.")).toBeVisible();
  await practice.expectAccessible();
  await practice.button("Keep").click();
  expect(await practice.keys()).toEqual(before);
  await practice.button("Erase for good…").click();
  await practice.button("Erase for good").click();
  await expect(practice.title("Caseload")).toBeVisible();
  await practice.saved();
  expect(await practice.keys()).toEqual(before.filter((key) => !key.includes(erased)));
  await page.reload();
  await expect(practice.title("Caseload")).toBeVisible();
  await expect(practice.client("Postal round, left heel")).toHaveCount(0);
});

test("a caseload that the browser threw away from both places is missed, and one whose last client was erased is not", async ({ page }) => {
  const practice = await Practice.at(page);
  const notice = page.getByRole("alert").filter({ hasText: "Your caseload is not here any more" });
  await practice.add("Round 7");
  await practice.saved();
  await throwAllAway(page, "carryover-practice");
  await page.goto("/practice/");
  await expect(notice).toBeVisible();
  await practice.expectAccessible();
  await practice.button("Begin anew").click();
  await expect(notice).toHaveCount(0);

  await practice.add("Round 8");
  await practice.saved();
  await page.goto("/practice/");
  await practice.openLabelArchiveErase("Round 8");
  await practice.button("Erase for good…").click();
  await practice.button("Erase for good").click();
  await expect(practice.title("Caseload")).toBeVisible();
  await practice.saved();
  await page.reload();
  await expect(practice.title("Caseload")).toBeVisible();
  await expect(notice).toHaveCount(0);
});

test("a caseload whose database is thrown away comes back from the second place, and under an open page from memory", async ({
  page,
}) => {
  const practice = await Practice.at(page);
  await practice.add("Round 5");
  await practice.add("Round 7");
  await practice.saved();
  await loseDatabase(page, "carryover-practice");
  await practice.openLabelArchiveErase("Round 7");
  await page.getByLabel("Label", { exact: true }).fill("Round 8");
  await page.getByLabel("Label", { exact: true }).blur();
  await practice.saved();
  await expect(page.getByText("Something was missing from this browser's storage")).toBeVisible();
  const keys = await practice.keys();
  await expect.poll(() => heldInFile(page, "carryover-practice")).toContain("Round 8");
  await throwAway(page, "carryover-practice");
  await page.goto("/practice/");
  await expect(practice.client("Round 8")).toBeVisible();
  expect(await practice.keys()).toEqual(keys);
});

test("what is lent is noted, and ticked off when it comes back", async ({ page }) => {
  const practice = await Practice.at(page);
  await practice.add("Round 7");
  await practice.openClient("Round 7");
  for (const thing of ["loop band", "hand weight"]) {
    await page.getByLabel("What is lent today").fill(thing);
    await practice.button("Lend").click();
  }
  await practice.saved();
  await practice.expectAccessible();
  await practice.home();
  await expect(practice.client("Round 7")).toContainText("2 things on loan");
  await practice.openClient("Round 7");
  const line = page.getByRole("listitem").filter({ hasText: "Hand weight" });
  await line.getByRole("button", { name: "Came back" }).click();
  await practice.saved();
  await page.reload();
  await expect(line.getByRole("button", { name: "Came back" })).toHaveAttribute("aria-pressed", "true");
  await practice.home();
  await expect(practice.client("Round 7")).toContainText("1 thing on loan");
});

test("a copy brings everything back on another device", async ({ page, openDevice }) => {
  const practice = await Practice.at(page);
  await practice.openFile("caseload.txt", RELEASED);
  await practice.button("Bring it back").click();
  await practice.saved();
  await expect(page.getByText("1 stored text set aside: not readable here")).toBeVisible();
  await practice.add("Round 7");
  const copy = await practice.copy();

  const other = await Practice.at(await (await openDevice()).newPage());
  await other.openFile("caseload.txt", copy);
  await expect(other.page.getByText("holds 28 records. 1 of them cannot be read here")).toBeVisible();
  await other.expectAccessible();
  await other.button("Not now").click();
  expect(await other.keys()).toEqual([]);
  await other.openFile("caseload.txt", copy);
  await other.button("Bring it back").click();
  await expect(other.page.getByText("28 records brought back")).toBeVisible();
  await other.saved();
  await other.page.reload();
  await expect(other.client("Postal round, left heel")).toBeVisible();
  expect(await other.copy()).toBe(copy);
});

test("on a device with clients, a copy adds what is missing or replaces all, as was said", async ({ page }) => {
  const practice = await Practice.at(page);
  await practice.add("Round 7");
  const here = await practice.copy();
  await practice.openFile("caseload.txt", RELEASED);
  await practice.button("Add what is missing here").click();
  await expect(page.getByText("27 records brought back")).toBeVisible();
  await expect(practice.client("Round 7")).toBeVisible();
  await expect(practice.client("Postal round, left heel")).toBeVisible();
  await practice.openFile("caseload.txt", here);
  const erase = practice.button("Erase what is here and use the copy");
  await expect(erase).toHaveCount(0);
  await practice.button("Use the copy instead of what is here…").click();
  await expect(page.getByText('The copy does not have "Postal round, left heel", "Kitchen chair, third floor".')).toBeVisible();
  await expect(page.getByText("takes away 27 records")).toBeVisible();
  await practice.expectAccessible();
  await practice.button("Keep what is here").click();
  await expect(practice.client("Postal round, left heel")).toBeVisible();
  await practice.button("Use the copy instead of what is here…").click();
  await erase.click();
  await practice.saved();
  await page.reload();
  await expect(practice.client("Round 7")).toBeVisible();
  await expect(practice.client("Postal round, left heel")).toHaveCount(0);
  expect(await practice.copy()).toBe(here);
});

test("a sealed copy opens with its passphrase alone, on another device and in other tools", async ({ page, openDevice }) => {
  const practice = await Practice.at(page);
  await practice.openFile("caseload.txt", RELEASED);
  await practice.button("Bring it back").click();
  await practice.saved();
  const plain = await practice.copy();

  await practice.writePassphrase(PASSPHRASE, "kitchen chair, third stairs");
  await expect(page.getByText("If you forget it, nobody can open the copy")).toBeVisible();
  await practice.expectAccessible();
  await practice.button("Save a sealed copy of everything").click();
  await expect(page.getByText("The two passphrases are not the same.")).toBeVisible();
  await practice.writePassphrase("chair");
  await practice.button("Save a sealed copy of everything").click();
  await expect(page.getByText("it takes at least 12 letters")).toBeVisible();
  await practice.writePassphrase(PASSPHRASE);
  const sealed = await practice.copyBy("Save a sealed copy of everything");
  expect(sealed).toMatch(/^-----BEGIN AGE ENCRYPTED FILE-----\n/);
  await expect(page.getByLabel("Passphrase", { exact: true })).toHaveValue("");
  await expect(practice.button("Save a copy of everything")).toBeEnabled();

  // Another implementation of the format, in another language, by other people.
  const reader = new age.Decrypter();
  reader.addPassphrase(PASSPHRASE);
  expect(await reader.decrypt(age.armor.decode(sealed), "text")).toBe(plain);

  const other = await Practice.at(await (await openDevice()).newPage());
  await other.openFile("sealed.txt", sealed);
  await expect(other.page.getByText('"sealed.txt" is sealed with a passphrase.')).toBeVisible();
  await other.expectAccessible();
  await other.open("kitchen chair, third stairs");
  await expect(other.page.getByText("It could not be opened: this passphrase does not fit it. Nothing was changed.")).toBeVisible();
  await other.open(PASSPHRASE);
  await other.button("Bring it back").click();
  await other.saved();
  await expect(other.client("Postal round, left heel")).toBeVisible();
  await expect(other.page.getByLabel("Its passphrase")).toHaveCount(0);
  expect(await other.copy()).toBe(plain);
});

test("what another tool sealed opens; what is damaged or hostile says why and changes nothing", async ({ page }) => {
  const practice = await Practice.at(page);
  const sealer = new age.Encrypter();
  sealer.setPassphrase(PASSPHRASE);
  sealer.setScryptWorkFactor(10);
  const bytes = await sealer.encrypt(RELEASED);
  const armoured = (changed: Uint8Array): string => age.armor.encode(changed);
  const flipped = bytes.slice();
  flipped[flipped.length - 30]! ^= 1;
  const head = Buffer.from(bytes).indexOf(" 10\n");
  const endless = bytes.slice();
  endless[head + 1] = "4".charCodeAt(0);

  const rows: [string, string][] = [
    [armoured(bytes.slice(0, -20)), "part of it is missing or was changed"],
    [armoured(bytes).slice(0, -60), "part of it is missing or was changed"],
    [armoured(flipped), "part of it is missing or was changed"],
    [armoured(endless), "it is sealed in a way that asks too much of a phone; seal it again with this app"],
    [new TextDecoder().decode(bytes), "it is sealed, but not as a text; seal it again with ASCII armour"],
  ];
  for (const [text, why] of rows) {
    await practice.openFile("sealed.txt", text);
    await practice.open(PASSPHRASE);
    await expect(page.getByText(`It could not be opened: ${why}. Nothing was changed.`)).toBeVisible();
    await practice.button("Not now").click();
  }
  expect(await practice.keys()).toEqual([]);

  await practice.openFile("sealed.txt", armoured(bytes));
  await practice.open(PASSPHRASE);
  await practice.button("Bring it back").click();
  await expect(practice.client("Postal round, left heel")).toBeVisible();
});

test.describe("without a network", () => {
  test.use({ serviceWorkers: "allow" });

  test("a copy is sealed, and opens", async ({ page, context }) => {
    const practice = await Practice.at(page);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await expect.poll(() => page.evaluate(async () => !!(await caches.match("/practice/index.html")))).toBe(true);
    await practice.home();
    await context.setOffline(true);
    await practice.add("Round 7");
    await practice.writePassphrase(PASSPHRASE);
    const sealed = await practice.copyBy("Save a sealed copy of everything");
    await practice.openFile("sealed.txt", sealed);
    await practice.open(PASSPHRASE);
    await expect(page.getByText('"sealed.txt" holds 1 record.')).toBeVisible();
  });
});

test("a second window says so and can take over, with everything that the first one kept", async ({ page, context }) => {
  const first = await Practice.at(page);
  await first.add("Round 7");
  await first.saved();
  const other = await context.newPage();
  await other.goto("/practice");
  await expect(other.getByRole("heading", { name: "Open in another window" })).toBeVisible();
  await other.getByRole("button", { name: "Use it here" }).click();
  await expect(page.getByRole("heading", { name: "Open in another window" })).toBeVisible();
  await expect(other.getByRole("link", { name: "Round 7" })).toBeVisible();
});

test("a row says whether the log asks for something, until the visit is closed", async ({ page }) => {
  await moveClock(page, Date.parse("2026-07-02T10:00:00+02:00"));
  const practice = await Practice.at(page);
  await practice.add("Banister", "Rucksack");
  const logs = ["three-weeks", "month"].map((name) => `../tests/fixtures/formats/${name}.log.txt`);
  for (const log of logs) {
    await practice.openFile("log.txt", readFileSync(new URL(log, import.meta.url), "utf8"));
    await practice.button("Keep it as a new client").click();
    await expect(practice.title(/^Visit: /)).toBeVisible();
    await practice.saved();
    await practice.home();
  }
  const rows = page.getByRole("listitem");
  await expect(rows).toHaveCount(4);
  await expect(rows.filter({ hasText: /waits? for your answer; \d+ more points?/ })).toHaveCount(2);
  await expect(rows.filter({ hasText: "Banister" })).not.toContainText("Nothing");
  await practice.expectAccessible();

  await practice.button("To act on: 2").click();
  await expect(rows).toHaveCount(2);
  await rows.first().getByRole("link").click();
  await page.getByRole("link", { name: "Open the log and read the week" }).click();
  await expect(page.getByRole("heading", { name: "What next" })).toBeVisible();
  await practice.button("Close the visit").click();
  await practice.saved();
  await practice.home();
  await expect(rows).toHaveCount(4);
  await expect(rows.filter({ hasText: /waits? for your answer/ })).toHaveCount(1);
});

test("the worst stands first, with the last log, the next visit and the version that is out", async ({ page }) => {
  await moveClock(page, Date.parse("2026-07-02T10:00:00+02:00"));
  const practice = await Practice.at(page);
  await practice.add("Banister", "Rucksack");
  for (const name of ["three-weeks", "month"]) {
    await practice.openFile("log.txt", readFileSync(new URL(`../tests/fixtures/formats/${name}.log.txt`, import.meta.url), "utf8"));
    await practice.button("Keep it as a new client").click();
    await practice.saved();
    await practice.home();
  }
  const rows = page.getByRole("listitem");
  await expect(rows).toHaveCount(4);
  for (const place of [0, 1]) {
    await expect(rows.nth(place)).toContainText(/waits? for your answer/);
    await expect(rows.nth(place)).toContainText(/Log to \w{3} \d+ \w{3}\. Version \d taken on\./);
  }
  await expect(rows.nth(2)).toContainText("Banister");
  await expect(rows.nth(2)).toContainText("No routine handed over yet");
  await expect(page.getByRole("button", { name: "To act on: 2" })).toBeVisible();

  await test.step("who is seen sooner comes first among those with the same to do", async () => {
    await practice.openClient("Rucksack");
    await page.getByLabel("Next visit").fill("2026-07-03");
    await practice.saved();
    await page.getByLabel("What is lent today").fill("light loop band");
    await practice.button("Lend").click();
    await practice.saved();
    await practice.expectAccessible();
    await page.reload();
    await expect(page.getByLabel("Next visit")).toHaveValue("2026-07-03");
    await practice.home();
    await expect(rows.nth(2)).toContainText("Rucksack");
    await expect(rows.nth(2)).toContainText("Next visit tomorrow.");
    expect(await practice.copy()).toContain('"next_visit":"2026-07-03"');
  });

  await test.step("kit on loan is found by what it is and by whom it is with", async () => {
    await page.getByText("Kit on loan: 1 thing").click();
    const lent = page.locator("details").filter({ hasText: "Kit on loan" });
    await expect(lent.getByRole("link")).toHaveText(/Light loop band\s*With Rucksack since Thursday 2 July/);
    await page.getByLabel("Find by thing or label").fill("mat");
    await expect(lent.getByRole("link")).toHaveCount(0);
    await page.getByLabel("Find by thing or label").fill("RUCK");
    await practice.expectAccessible();
    await lent.getByRole("link").click();
    await expect(practice.title("Rucksack")).toBeVisible();
  });

  await test.step("the visit that was made is not the next one any more", async () => {
    await moveClock(page, Date.parse("2026-07-03T10:00:00+02:00"));
    await practice.home();
    await expect(rows.nth(2)).toContainText("Next visit today.");
    await practice.openClient("Rucksack");
    await page.getByRole("link", { name: "Open the log and read the week" }).click();
    await practice.button("Close the visit").click();
    await practice.saved();
    await expect(page.getByLabel("Next visit")).toHaveValue("");
  });
});
