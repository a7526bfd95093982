// Pictures of a visit's review, to look at while working on it: a log with much to talk about as a client's in the
// caseload, at a size and in a scheme of one's choice, and its page on paper, into target/walk/.
//
//   make page && node e2e/walk-review.mjs [width height light|dark] [month|three-weeks]
import { fileURLToPath } from "node:url";
import { begin } from "./pictures.mjs";

const which = process.argv[5] ?? "month";
const { address, page, picture, tap, end } = await begin(`review-${which}`);
const log = fileURLToPath(new URL(`../tests/fixtures/formats/${which}.log.txt`, import.meta.url));
await page.goto(`${address}practice/`);
await page.getByRole("heading", { level: 1 }).waitFor();
await page.locator("input[type=file]").first().setInputFiles(log);
await tap("Keep it as a new client");
await page.getByRole("heading", { name: "Close the visit" }).waitFor();
await page.evaluate(() => scrollTo(0, 0));
await picture("top");
await page.mouse.wheel(0, Number(process.argv[3] ?? 740));
await page.waitForTimeout(300);
await picture("second-screen");
if (which === "month") {
  await tap("The whole log");
  await page.evaluate(() => scrollTo(0, 0));
  await picture("whole-log");
  await page.mouse.wheel(0, Number(process.argv[3] ?? 740));
  await page.waitForTimeout(300);
  await picture("whole-log-second-screen");
}
const part = async (name, what) => {
  await what.first().scrollIntoViewIfNeeded();
  await picture(name);
};
await page.getByLabel("Your answer").first().fill("Try it with half the post in the rucksack.");
await page.getByLabel("Your answer").first().blur();
await part("answer", page.getByText("Travels with the next version"));
for (const name of ["Heel lowering on the stairs"]) {
  await page.locator("summary").filter({ hasText: name }).click();
}
await part("plot", page.locator("figure svg"));
await part("readings", page.locator("figcaption"));
await part("days", page.locator(".days"));
await page.getByText("Visit note, for any record").click();
await page.getByLabel("What was seen and agreed today").fill("Band work stays as it is until the round gets lighter.");
await page.getByLabel("What was seen and agreed today").blur();
await part("note", page.getByLabel("Visit note"));
await picture("all", true);
await page.evaluate(() => {
  print = () => {};
});
await tap("Print this review on one page");
await page.waitForTimeout(500);
await page.emulateMedia({ media: "print" });
await page.pdf({ path: fileURLToPath(new URL(`../target/walk/review-${which}-${process.argv[2] ?? 360}.pdf`, import.meta.url)), preferCSSPageSize: true });
await end();
