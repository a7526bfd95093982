/** Every screen, checked against WCAG 2.2 A and AA, in both colour schemes. */
import { expect, expectAccessible, test } from "./fixtures.ts";
import { Client, EVENING } from "./pages.ts";
import { throughASession, throughAVisit, throughTheDays } from "./tour.ts";

test.use({ timezoneId: "Europe/Berlin" });

for (const tour of [throughASession, throughTheDays, throughAVisit]) {
  test(`everyone can use every screen, ${tour.name}`, async ({ page }) => {
    const client = await Client.at(page, EVENING);
    await tour(client, async (screen) => {
      for (const colorScheme of ["dark", "light"] as const) {
        await page.emulateMedia({ colorScheme });
        await test.step(`${screen}, ${colorScheme}`, () => client.expectAccessible());
      }
    });
  });
}

test("when nothing can be stored", async ({ page }) => {
  await page.addInitScript("Object.defineProperty(window, 'indexedDB', { value: undefined })");
  await page.goto("/");
  await expect(page.getByRole("heading", { name: "Your log could not be opened" })).toBeVisible();
  for (const colorScheme of ["dark", "light"] as const) {
    await page.emulateMedia({ colorScheme });
    await expectAccessible(page);
  }
});
