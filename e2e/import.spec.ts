// A log comes in: by picking, dropping or pasting, one file or many; joined by the ids of its entries; asked about
// where it is not plain whose it is.
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";
import { held } from "./device.ts";
import { expect, expectAccessible, test } from "./fixtures.ts";
import { shipped } from "./pages.ts";
import { Practitioner } from "./practitioner.ts";

const SIZES = [
  { width: 360, height: 740 },
  { width: 1280, height: 800 },
];
const QUESTION = "Whose log is this?";

/** Three weeks of a routine "Stairs and chair" that was made for nobody by name. */
const whole = readFileSync(new URL("../tests/fixtures/formats/three-weeks.log.txt", import.meta.url), "utf8");
const lines = whole.split("\n").slice(1, -2).map((line) => line.replace(/,$/, ""));

/** A log of some of its entries, each changed. */
function log(from: number, to = lines.length, change: (line: string) => string = (line) => line): string {
  return `{"format":"carryover-log","version":1,"events":[\n${lines.slice(from, to).map(change).join(",\n")}\n]}\n`;
}

/** The same entries, as another phone would have written them. */
const onSecondPhone = (line: string) => line.replaceAll("W3GE1R70", "W3GE1R7Z");
const accepted = (change: string) => (line: string) =>
  onSecondPhone(line).replace('"title":"Stairs and chair"', `"title":"Stairs and chair"${change}`);

const OF_ANOTHER = log(0, 40, (line) =>
  accepted(',"client":"Kitchen chair"')(line).replaceAll('"id":"stairs"', '"id":"third-floor"').replaceAll('"routine":"stairs"', '"routine":"third-floor"'),
);
const OTHER_LABEL = log(0, 40, accepted(',"client":"Banister"'));
const NEWER = log(0, 40, (line) => onSecondPhone(line).replace('"id":"stairs","version":1', '"id":"stairs","version":2'));
/** A routine that ships, taken on. */
const SHIPPED = log(0, 1, (line) =>
  onSecondPhone(line).replace(/"routine":\{.*$/, `"routine":${JSON.stringify(shipped("heel-drop").routine)}}}}`),
);

type File = [name: string, text: string];

class Intake extends Practitioner {
  static override async at(page: Page): Promise<Intake> {
    const intake = new Intake(page);
    await page.goto("/practice/");
    await intake.sees("Caseload");
    return intake;
  }

  /** With one client whose log holds the first so many entries; the visit's page is open. */
  static async with(page: Page, entries: number): Promise<Intake> {
    const intake = await Intake.at(page);
    await intake.open(["log.txt", log(0, entries)]);
    await intake.tap("Keep it as a new client");
    await intake.sees("Close the visit");
    await expect.poll(() => intake.kept()).toBe(entries);
    return intake;
  }

  async open(...files: File[]): Promise<void> {
    const picked = files.map(([name, text]) => ({ name, mimeType: "application/octet-stream", buffer: Buffer.from(text) }));
    await this.page.locator(".open-log input[type=file]").setInputFiles(picked);
  }

  async says(what: string | RegExp): Promise<void> {
    await expect(this.page.getByText(what)).toBeVisible();
  }

  /** How many entries of logs are kept on this device. */
  async kept(): Promise<number> {
    return (await this.texts()).length;
  }

  /** The entries that are kept, without whose they are. */
  async texts(): Promise<string[]> {
    const all = await held(this.page, "carryover-practice");
    return all.filter(([key]) => key.startsWith("log/")).map(([, text]) => text);
  }

  async asked(why: RegExp): Promise<void> {
    await this.sees(QUESTION);
    await expect(this.heading(QUESTION)).toHaveCount(1);
    await this.says(why);
    await this.says(/^Nothing of it is kept before you answer\./);
  }

  async notAsked(): Promise<void> {
    await expect(this.heading(QUESTION)).toHaveCount(0);
  }

  async look(): Promise<void> {
    for (const colorScheme of ["light", "dark"] as const) {
      await this.page.emulateMedia({ colorScheme });
      await expectAccessible(this.page);
    }
    expect(await this.page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
  }
}

/** Lets files fall on the page, or drags them over it. */
async function drag(page: Page, kind: "dragover" | "dragleave" | "drop", ...files: File[]): Promise<void> {
  const carried = await page.evaluateHandle((files) => {
    const carried = new DataTransfer();
    for (const [name, text] of files) carried.items.add(new File([text], name));
    return carried;
  }, files);
  await page.locator(".open-log").dispatchEvent(kind, { dataTransfer: carried });
}

for (const size of SIZES) {
  test.describe(`on a screen ${size.width} wide`, () => {
    test.use({ viewport: size });

    test("many files at once: each says what came of it, and one with a question waits for the answer", async ({ page }) => {
      const intake = await Intake.with(page, 40);
      const cut = log(40, 140).slice(0, -60);
      const files: File[] = [
        ["photo.jpg", log(0, 60)],
        ["cut.txt", cut],
        ["holiday.txt", "sun and sand"],
        ["neighbour.txt", OF_ANOTHER],
      ];
      await intake.open(...files);
      await intake.says(/^"photo\.jpg": 20 new entries, \w+ \d+ \w+ to \w+ \d+ \w+, kept for Stairs and chair\./);
      await intake.says(/^"cut\.txt": 79 new entries, .* kept for Stairs and chair\. The file is damaged: it ends too early, at line 101\. All that is whole in it was read\./);
      await intake.says('"holiday.txt" could not be opened: it is not in this app\'s format (line 1 is not JSON).');
      await intake.says(/^"neighbour\.txt": 40 entries, .*, not kept yet; see the question\./);
      await intake.asked(/^This log follows a routine that is not in your caseload: "Stairs and chair", made for "Kitchen chair"\. It holds \d+ sessions/);
      await expect.poll(() => intake.kept()).toBe(40 + 20 + 79);
      await intake.look();

      await test.step("it is not lost by looking elsewhere, and nothing of it is kept", async () => {
        await intake.follow("Client");
        await intake.follow("Caseload");
        await intake.asked(/made for "Kitchen chair"/);
        await expect(page.getByRole("article")).toBeVisible();
        await intake.look();
        await intake.tap("Leave it");
        await intake.notAsked();
        await intake.says(/^"neighbour\.txt": not kept\./);
        expect(await intake.kept()).toBe(139);
      });

      await test.step("the same files once more change nothing", async () => {
        const before = await intake.texts();
        await intake.open(...files);
        await intake.says(/^"photo\.jpg": nothing new; all of it is kept for Stairs and chair already\./);
        await intake.says(/^"cut\.txt": nothing new; .* The file is damaged/);
        await intake.tap("Leave it");
        await page.reload();
        await intake.sees("Caseload");
        await intake.notAsked();
        expect(await intake.texts()).toEqual(before);
      });
    });

    test("files are dropped anywhere on the page", async ({ page }) => {
      const intake = await Intake.with(page, 40);
      await drag(page, "dragover", ["log.txt", log(0, 60)]);
      await intake.says("Let go, and they are opened");
      await intake.look();
      await drag(page, "dragleave");
      await expect(page.getByText("Let go, and they are opened")).toHaveCount(0);
      await drag(page, "drop", ["one.txt", log(0, 60)], ["two.bin", log(50, 80)]);
      await intake.says(/^"one\.txt": 20 new entries/);
      await intake.says(/^"two\.bin": 20 new entries/);
      await expect(page.getByText("Let go, and they are opened")).toHaveCount(0);
      await expect.poll(() => intake.kept()).toBe(80);
    });

    test("a text is pasted into the field, from the clipboard, or anywhere on the page", async ({ page, context }) => {
      await context.grantPermissions(["clipboard-read", "clipboard-write"]);
      const intake = await Intake.with(page, 40);
      await page.getByText("Other ways").click();
      await intake.look();
      await intake.fill("Or paste the text of a file here", log(30, 60));
      await intake.tap("Read the text");
      await intake.says(/^"What you pasted": 20 new entries/);
      await expect(page.getByLabel("Or paste the text of a file here")).toHaveValue("");

      await page.evaluate((text) => navigator.clipboard.writeText(text), log(50, 70));
      await intake.tap("Paste from the clipboard");
      await intake.says(/^"What you pasted": 10 new entries/);

      await page.evaluate((text) => navigator.clipboard.writeText(text), log(60, 75));
      await intake.heading("Close the visit").click();
      await page.keyboard.press("ControlOrMeta+V");
      await intake.says(/^"What you pasted": 5 new entries/);
      await expect.poll(() => intake.kept()).toBe(75);

      await context.clearPermissions();
      await intake.fill("Or paste the text of a file here", "a shopping list");
      await intake.tap("Read the text");
      await intake.says('"What you pasted" could not be opened: it is not in this app\'s format (line 1 is not JSON).');
      expect(await intake.kept()).toBe(75);
    });
  });
}

test("two phones join in any order, and give one review", async ({ page, openDevice }) => {
  const [first, second] = [log(0, 150), log(0, 1) /* the routine */];
  const rest = log(150, lines.length, onSecondPhone);
  const parts: File[] = [["a.txt", first], ["b.txt", second], ["c.txt", rest]];
  const seen: [string[], string][] = [];
  for (const order of [[0, 1, 2], [2, 0, 1]]) {
    const intake = await Intake.at(await (await openDevice()).newPage());
    // The routine's own entry tells whose a part is that names none.
    await intake.open(["routine.txt", log(0, 1)]);
    await intake.tap("Keep it as a new client");
    await intake.sees("Close the visit");
    for (const index of order) {
      await intake.open(parts[index]!);
      if (index === 2) {
        await intake.asked(/^This log does not say which routine it followed\./);
        await intake.tap("Keep it with Stairs and chair");
      }
      await intake.notAsked();
    }
    await intake.open(...parts);
    await expect(intake.page.getByText(/: nothing new;/)).toHaveCount(3);
    await expect.poll(() => intake.kept()).toBe(lines.length);
    seen.push([(await intake.texts()).sort(), await intake.page.getByRole("article").innerText()]);
  }
  expect(seen[1]).toEqual(seen[0]);
  await page.close();
});

test("a second phone that follows the client's routine joins in without a question", async ({ page }) => {
  const intake = await Intake.with(page, 100);
  await intake.open(["second-phone.txt", log(0, 40, onSecondPhone)]);
  await intake.says(/^"second-phone\.txt": 40 new entries/);
  await intake.notAsked();
  await expect.poll(() => intake.kept()).toBe(140);
});

for (const [what, text, why] of [
  ["of another label", OTHER_LABEL, /^This log follows the routine of Stairs and chair, but was made for "Banister"\./],
  ["of a newer version", NEWER, /^This log of Stairs and chair follows version 2 of the routine; the newest one here is version 1\./],
  ["of a routine that comes with the app", SHIPPED, /^This log follows "Heel drops, twice a day", which comes with the app, so it can be anyone's\./],
  ["of an unknown routine", OF_ANOTHER, /^This log follows a routine that is not in your caseload/],
] as const) {
  test(`a log ${what} is asked about, kept only on the word, and not asked about again`, async ({ page }) => {
    const intake = await Intake.with(page, 60);
    await intake.open(["log.txt", text]);
    await intake.asked(why);
    expect(await intake.kept()).toBe(60);
    await intake.look();
    await page.reload();
    await intake.sees("Close the visit");
    await intake.notAsked();
    expect(await intake.kept()).toBe(60);

    await intake.open(["log.txt", text]);
    await intake.tap("Keep it with Stairs and chair");
    await intake.says(/^"log\.txt": \d+ new entr(y|ies), .*kept for Stairs and chair\./);
    await intake.notAsked();
    await expect.poll(() => intake.kept()).toBe(60 + (text === SHIPPED ? 1 : 40));
    await intake.open(["log.txt", text]);
    await intake.says(/^"log\.txt": nothing new/);
    await intake.notAsked();
  });
}

test("at a visit the log of another client is told from this one's, and goes where it belongs", async ({ page }) => {
  const intake = await Intake.with(page, 60);
  await intake.follow("Client");
  await intake.follow("Caseload");
  await intake.addClient("Round 7");
  await page.goto(new URL("review", page.url()).href);
  await intake.sees("Close the visit");
  await intake.open(["log.txt", log(0, 80)]);
  await intake.asked(/^This is the log of Stairs and chair, not of Round 7\./);
  await intake.look();
  await intake.tap("Keep it with Stairs and chair");
  await intake.says(/^"log\.txt": 20 new entries, .*kept for Stairs and chair\./);
  await intake.follow("Read the week");
  await intake.sees("Visit: Stairs and chair");
  await expect.poll(() => intake.kept()).toBe(80);
});

test("two strangers' logs of a routine that comes with the app are two questions, one at a time", async ({ page }) => {
  const intake = await Intake.at(page);
  await intake.open(["one.txt", SHIPPED], ["two.txt", SHIPPED.replaceAll("W3GE1R7Z", "W3GE1R7Y")]);
  await intake.asked(/which comes with the app/);
  await expect(page.getByRole("group", { name: "Open logs" }).getByRole("button")).toHaveCount(2);
  await intake.tap("Keep it as a new client");
  await intake.asked(/which comes with the app/);
  await intake.tap("Keep it as a new client");
  await intake.sees("Visit: Heel drops, twice a day");
  await intake.follow("Client");
  await intake.follow("Caseload");
  await expect(page.getByRole("link", { name: "Heel drops, twice a day" })).toHaveCount(2);
  await expect.poll(() => intake.kept()).toBe(2);
});
