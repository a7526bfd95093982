/** Ways through the app that see every screen, for whoever wants to look at each. */
import { readFileSync } from "node:fs";
import type { Client } from "./pages.ts";
import { COUNT_IN, NEXT_MORNING, SHORT_COUNT_IN, shipped } from "./pages.ts";
import { expect } from "./fixtures.ts";

type Look = (screen: string) => Promise<void>;
type Exercise = ReturnType<typeof shipped>["routine"]["exercises"][0];

const demo = shipped("demo");
const [wall, chair, band] = demo.routine.exercises as [Exercise, Exercise, Exercise];

/** From the welcome to the end of a session. */
export async function throughASession(client: Client, look: Look): Promise<void> {
  const { page } = client;
  await look("welcome");
  await client.openFile("not-a-routine.txt", "hello");
  await expect(client.alert()).toContainText("could not be opened");
  await look("welcome, after a bad file");
  await client.openFile("demo.json", demo);
  await expect(client.title(demo.routine.title)).toBeVisible();
  await look("the routine before it is taken on");
  await client.accept();
  await look("Today");
  await client.link("Start").click();
  await expect(client.title("Any of these today?")).toBeVisible();
  await look("the check");
  await page
    .getByRole("group", { name: /at rest/ })
    .getByRole("button", { name: "2", exact: true })
    .click();
  await expect(client.title(wall.name)).toBeVisible();
  await look("set-up");
  await client.startFirstSet();
  await client.runFor(3);
  await look("count-in");
  await client.runFor(COUNT_IN);
  await expect(page.getByText("Stay", { exact: true })).toBeVisible();
  await look("hold");
  await client.button("Pause").click();
  await expect(page.getByText("Paused", { exact: true })).toBeVisible();
  await look("paused");
  await client.button(/^Go on with/).click();
  await client.sleepFor(300);
  await expect(page.getByText(/^The phone slept/)).toBeVisible();
  await look("slept");
  await client.button(/^Go on with/).click();
  await client.runFor(31);
  await expect(client.question()).toBeVisible();
  await look("rating, in the rest");
  await client.rate(4, demo.routine.limits.sites[0]?.name);
  await look("rated in the middle zone");
  await client.rate(1);
  await look("rated low");
  await client.button("Next set").click();
  await client.runFor(SHORT_COUNT_IN + 5);
  await client.button("Stop, it hurts").click();
  await client.rate(8);
  await look("rated high");
  await client.button("Go on").click();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 1);
  await expect(page.getByText("Lift", { exact: true })).toBeVisible();
  await look("lift");
  await client.runFor(2);
  await expect(page.getByText("Lower", { exact: true })).toBeVisible();
  await look("lower");
  await client.runFor(50);
  await client.rate(2);
  await client.button("Next set").click();
  await client.workSet(chair, chair.ladder.start, SHORT_COUNT_IN);
  await client.rate(2);
  await client.button("Go on").click();
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 42);
  await expect(page.getByText("Swap", { exact: true })).toBeVisible();
  await look("change of sides");
  await client.button("Pause").click();
  await client.otherwise("End all");
  await expect(client.title("Session done")).toBeVisible();
  await look("end");
}

/** From a session's end through the next day, and every page beside it. */
export async function throughTheDays(client: Client, look: Look): Promise<void> {
  const { page } = client;
  await client.openFile("demo.json", demo);
  await client.accept();
  await client.begin();
  await client.train(wall, [1, 1, 1]);
  await client.train(chair, [4, 1]);
  await client.startFirstSet();
  await client.runFor(COUNT_IN + 5);
  await client.button("Stop, it hurts").click();
  await client.rate(7);
  await client.button("Go on").click();
  await client.button("End session").click();
  await client.finish();
  await look("Today, done");
  await client.until(NEXT_MORNING);
  await expect(client.link("Answer the morning check")).toBeVisible();
  await look("Today, a morning owed");
  await client.openMorning();
  await look("morning");
  await client.button("Rate each by itself").click();
  await page.getByText("Something worse? Warning signs").click();
  await look("morning, each by itself, with the signs");
  for (const [{ name }, rating] of [
    [wall, 2],
    [chair, 3],
    [band, 4],
  ] as const) {
    const scale = page.getByRole("group", { name: `Pain this morning, ${name}` });
    await scale.getByRole("button", { name: String(rating), exact: true }).click();
  }
  await client.button("A little more").click();
  await expect(client.title("Your lights")).toBeVisible();
  for (const light of ["Keep", "Ease", "Hold"]) {
    await expect(page.getByText(light, { exact: true }).first()).toBeVisible();
  }
  await look("lights");
  await client.done();
  await look("Today, with a Hold");
  await client.line(band.name).getByRole("link").click();
  await expect(client.title(band.name)).toBeVisible();
  await look("exercise");
  await client.link("Back to Today").click();
  await client.link("My routine").click();
  await expect(client.title(demo.routine.title)).toBeVisible();
  await look("routine");
  await client.link("Back to Today").click();
  await client.link("Hand back the log").click();
  await client.button("Save the log as a file").click();
  await expect(page.getByText("Saved with your downloads.")).toBeVisible();
  await look("hand-back");
  await client.link("Back to Today").click();
  await client.link("Sound and voice").click();
  await expect(client.title("Sound, voice and pace")).toBeVisible();
  await look("sound, voice and pace");
  await client.link("Back to Today").click();
  await client.link("Help").click();
  await expect(client.title("Warning signs and how it works")).toBeVisible();
  await look("help");
  await client.link("Back").click();
  await client.link("Start").click();
  await page.getByRole("checkbox").first().check();
  await look("the check, with a sign");
  await client.button("What to do now").click();
  await expect(client.title("Stop here today")).toBeVisible();
  await look("care advice");
  await client.link("Back to Today").click();
  await client.button("Someone qualified has looked at this").click();
  await look("Today, stopped");
  await page.goto("/no-such-page");
  await expect(client.title("There is no such page")).toBeVisible();
  await look("no such page");
}

/** The practitioner's page: nothing open, a routine, and a log with every kind of fact. */
export async function throughAVisit(client: Client, look: Look): Promise<void> {
  const { page } = client;
  const format = readFileSync(new URL("../docs/file-format.md", import.meta.url), "utf8");
  const log = /```json\n(.*?)```/s.exec(format)?.[1] ?? "";
  const open = async (name: string, text: string) => {
    const file = { name, mimeType: "text/plain", buffer: Buffer.from(text) };
    await page.getByLabel("Open a file").setInputFiles(file);
  };
  await page.goto("/practice");
  await expect(client.title("Caseload")).toBeVisible();
  await look("visit, nothing open");
  await open("holiday.txt", "sun");
  await expect(page.getByText(/could not be opened/)).toBeVisible();
  await look("visit, a bad file");
  await open("log.txt", log);
  await expect(page.getByRole("heading", { name: "What next" })).toBeVisible();
  await look("visit, a log");
  for (const name of ["Wall calf hold", "Heel lowering on the stairs"]) {
    await page.getByRole("heading", { name, level: 3 }).click();
  }
  await client.button("The whole log").click();
  await look("visit, the whole log, every exercise open");
  await open("demo.json", JSON.stringify(demo));
  await expect(page.getByRole("heading", { name: demo.routine.title })).toBeVisible();
  await look("visit, a log and a routine");
}
