// Pictures of the practitioner's half, to look at while working on it: from an empty caseload to a routine
// that is handed over, at a size and in a scheme of one's choice, into target/walk/.
//
//   make page && node e2e/walk-practice.mjs [width height light|dark]
import { begin } from "./pictures.mjs";

const { address, page, picture, tap, end } = await begin("practice");
const open = (name) => page.getByRole("link", { name, exact: true }).first().click();

await page.goto(`${address}practice/`);
await page.getByRole("heading", { name: "Caseload" }).waitFor();
await picture("empty", true);
await page.getByLabel("A new client's label").fill("Round 7");
await tap("Add client");
await page.getByRole("heading", { name: "Routine: Round 7" }).waitFor();
await picture("no-exercise", true);
for (const exercise of ["Heel raises at the worktop", "Foot press with a band"]) {
  await open("Add an exercise");
  await page.getByRole("heading", { name: "Add an exercise" }).waitFor();
  const add = page.getByRole("button", { name: /^Add / }).nth(exercise.startsWith("Foot") ? 1 : 4);
  await add.waitFor();
  if (exercise.startsWith("Heel")) await picture("library");
  await add.click();
  await page.getByRole("heading", { name: "Routine: Round 7" }).waitFor();
}
await picture("routine", true);
await page.getByRole("link", { name: "Change" }).first().click();
await page.getByRole("heading", { name: "Dose" }).waitFor();
await picture("exercise", true);
await open("Done");
await page.locator("section").filter({ has: page.getByRole("heading", { name: "The rule" }) }).getByRole("link").click();
await page.getByRole("heading", { name: "What follows" }).waitFor();
await picture("rule", true);
await open("Done");
await open("Hand over");
await picture("new-version", true);
await tap("Make version 1");
await page.getByRole("button", { name: "Save the file" }).waitFor();
await picture("hand-over", true);
await page.goto(`${address}practice/`);
await page.getByText("Round 7").waitFor();
await picture("caseload", true);
await page.getByText("Round 7").click();
await page.getByText("What is in this home?").click();
await picture("client", true);
await end();
