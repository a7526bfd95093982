// Below the floor, or when a part of the app does not arrive: said in plain words, with the way out.
// Errors in the console are what these journeys cause, so they are not held to having none.
import { expect, test } from "@playwright/test";
import { expectAccessible } from "./fixtures.ts";

for (const address of ["/", "/practice/"]) {
  test(`a browser that is too old is told so, ${address}`, async ({ page }) => {
    await page.addInitScript(() => Reflect.deleteProperty(window, "DecompressionStream"));
    await page.route("**/*.wasm", (route) => route.abort());
    await page.goto(address);
    await expect(page.getByRole("heading", { name: "This browser is too old" })).toBeVisible();
    await expect(page.getByText("iOS 16.4, Chrome 103 or Firefox 126")).toBeVisible();
    await expectAccessible(page);
  });

  for (const part of [".js", ".wasm"]) {
    test(`a part that does not arrive is told of, and tried again, ${address} ${part}`, async ({ page }) => {
      const missing = new RegExp(`/(carryover|practice)-[^/]*\\${part}$`);
      await page.route(missing, (route) => route.abort());
      await page.goto(address);
      await expect(page.getByRole("heading", { name: "Carryover did not load" })).toBeVisible();
      await expectAccessible(page);
      await page.unroute(missing);
      await page.getByRole("button", { name: "Try again" }).click();
      await expect(page.getByRole("heading", { name: "Carryover did not load" })).toBeHidden();
      await expect(page.locator("#shell")).toHaveCount(0);
    });
  }
}
