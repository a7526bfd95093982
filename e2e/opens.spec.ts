import { expect, expectAccessible, test } from "./fixtures.ts";

for (const colorScheme of ["light", "dark"] as const) {
  test(`the app opens and anyone can read it, ${colorScheme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme });
    await page.goto("/");
    await expect(page.getByRole("heading", { name: "Carryover" })).toBeVisible();
    await expectAccessible(page);
  });
}
