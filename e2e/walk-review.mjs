// Pictures of a visit's review, to look at while working on it: three weeks of a log that has much to talk
// about, at a size and in a scheme of one's choice, into target/walk/.
//
//   make page && node e2e/walk-review.mjs [width height light|dark]
import { fileURLToPath } from "node:url";
import { begin } from "./pictures.mjs";

const { address, page, picture, end } = await begin("review");
const log = fileURLToPath(new URL("../tests/fixtures/formats/three-weeks.log.txt", import.meta.url));
await page.goto(`${address}practice/`);
await page.getByRole("heading", { level: 1 }).waitFor();
await page.locator("input[type=file]").first().setInputFiles(log);
await page.getByRole("heading", { name: "Day by day" }).waitFor();
await picture("top");
await page.getByText("Why this is here").first().click();
for (const name of ["Heel lowering on the stairs", "Chair rise"]) {
  await page.locator("summary").filter({ hasText: name }).click();
}
await page.getByText("Other formats").click();
await picture("all", true);
const part = async (name, what) => {
  await what.first().scrollIntoViewIfNeeded();
  await picture(name);
};
await part("decide", page.getByRole("heading", { name: "To decide" }));
await part("figures", page.locator(".summary"));
await part("plot", page.locator("figure svg"));
await part("days", page.locator(".days"));
await part("formats", page.getByRole("button", { name: "Save for a calendar" }));
await page.getByRole("button", { name: /^Put aside/ }).first().click();
await picture("put-aside");
await end();
