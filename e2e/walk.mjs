// Pictures of the whole job, to look at while working on it: the demo from the welcome to the next
// morning's lights, at a size and in a scheme of one's choice, into target/walk/.
//
//   make page && node e2e/walk.mjs [width height light|dark]
import { fileURLToPath } from "node:url";
import { begin } from "./pictures.mjs";

const { address, page, picture, tap, end } = await begin("client");
/** Waits for a screen, which may have to be fetched and drawn first. */
const stands = async () => {
  await page.locator("#shell").waitFor({ state: "detached" });
  await page.getByRole("heading", { level: 1 }).waitFor();
  await page.getByText("One moment…").waitFor({ state: "hidden" });
  await page.getByText("Opening your log…").waitFor({ state: "hidden" });
};

await page.goto(address);
await stands();
await picture("welcome", true);
await page.locator("input[type=file]").setInputFiles(fileURLToPath(new URL("../public/routines/demo.json", import.meta.url)));
await page.getByRole("button", { name: "Use this routine" }).waitFor();
await picture("routine", true);
await tap("Use this routine");
await page.getByRole("link", { name: "Start" }).waitFor();
await picture("today");
await page.getByRole("link", { name: "Start" }).click();
await picture("check");
await tap("2");
await page.getByRole("button", { name: "Start the first set" }).waitFor();
await picture("briefing", true);
await tap("Start the first set");
await page.clock.runFor(3000);
await picture("count-in");
await page.clock.runFor(7000);
await picture("set");
await tap("Pause");
await picture("paused");
await page.getByRole("button", { name: /^Go on with/ }).click();
await page.clock.runFor(120_000);
await picture("rate");
for (let exercise = 0; exercise < 8; exercise += 1) {
  for (let set = 0; set < 12; set += 1) {
    if (await page.getByRole("heading", { name: "Session done" }).isVisible()) break;
    const start = page.getByRole("button", { name: "Start the first set" });
    if (await start.isVisible()) {
      await start.click();
      await page.clock.runFor(14_000);
      await picture(`exercise-${exercise}`);
    }
    for (let waited = 0; waited < 40 && !(await page.getByText("10 worst you can imagine").isVisible()); waited += 1) {
      await page.clock.runFor(15_000);
    }
    await tap(set === 1 ? "3" : "1");
    if (set === 1) await picture(`rated-${exercise}`);
    const next = page.getByRole("button", { name: "Next set", exact: true });
    if (await next.isVisible()) await next.click();
    else {
      await tap("Go on");
      break;
    }
  }
}
await page.getByRole("heading", { name: "Session done" }).waitFor();
await picture("end", true);
await tap("Done");
await picture("today-done");
await page.clock.setSystemTime(new Date("2026-11-26T06:40:00+01:00"));
await page.reload();
await page.getByRole("link", { name: "Answer the morning check" }).waitFor();
await picture("morning-owed");
await page.getByRole("link", { name: "Answer the morning check" }).click();
await picture("morning");
await tap("3");
await tap("No more than the day before");
await page.getByRole("heading", { name: "Your lights" }).waitFor();
await picture("lights");
await page.getByRole("link", { name: "Done" }).click();
await picture("today-after");
await page.locator(".exercise-row").last().click();
await picture("exercise", true);

// Nine more days, each set cut short, with pain that comes and goes; then the practitioner reads them.
const ratings = [1, 2, 1, 4, 6, 1, 2, 1, 1];
const mornings = [2, 2, 3, 2, 4, 3, 2, 1, 2];
for (let day = 0; day < ratings.length; day += 1) {
  await page.clock.setSystemTime(new Date(Date.UTC(2026, 10, 26 + day, 17)));
  await page.goto(address);
  await stands();
  if (await page.getByRole("link", { name: "Start" }).isVisible()) {
    await page.getByRole("link", { name: "Start" }).click();
    if (day % 3 === 2) await tap("Heavy");
    await tap("2");
    for (let step = 0; step < 40; step += 1) {
      if (await page.getByRole("heading", { name: "Session done" }).isVisible()) break;
      for (const name of ["Start the first set", "End set", String(ratings[day]), "Next set", "Go on"]) {
        const button = page.getByRole("button", { name, exact: true });
        if (!(await button.isVisible())) continue;
        await button.click();
        if (name === "Start the first set" || name === "Next set") await page.clock.runFor(12_000);
      }
    }
    if (day === 3) await page.getByRole("textbox").fill("The stairs were harder after a long round. Is the rucksack too heavy?");
    await tap("Done");
  }
  await page.clock.setSystemTime(new Date(Date.UTC(2026, 10, 27 + day, 6)));
  if (day !== 2) {
    await page.goto(`${address}morning`);
    await stands();
    const rate = page.getByRole("button", { name: String(mornings[day]), exact: true });
    if (await rate.isVisible()) {
      await rate.click();
      await tap(day === 4 ? "A little more" : "No more than the day before");
      await page.getByRole("heading", { name: "Your lights" }).waitFor();
      if (day === 4) await picture("lights-hold", true);
    }
  }
}
await page.goto(address);
await stands();
await picture("today-day-11", true);
await page.goto(`${address}hand-back`);
await stands();
await picture("hand-back");
const downloading = page.waitForEvent("download");
await tap("Save the log as a file");
const log = fileURLToPath(new URL("../target/walk/log.txt", import.meta.url));
await (await downloading).saveAs(log);
await page.goto(`${address}practice`);
await stands();
await picture("practice");
await page.getByLabel("Open a file").setInputFiles(log);
await tap("Keep it as a new client");
await page.getByText("Day by day").first().waitFor();
await picture("review", true);
await end();
