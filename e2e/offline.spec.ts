// The app opens and does its job with the network gone, from the second visit on, deep links included.
import { expect, test } from "./fixtures.ts";

test.use({ serviceWorkers: "allow" });

test("without a network the app opens, deep links included, and a session runs", async ({ page, context }) => {
  await page.goto("/");
  await page.evaluate(() => navigator.serviceWorker.ready);
  await context.setOffline(true);

  await page.goto("/help");
  await expect(page.getByRole("heading", { name: "Warning signs and how it works" })).toBeVisible();
  await page.getByRole("link", { name: "Back", exact: true }).click();
  await page.getByRole("button", { name: "Try the demo" }).click();
  await page.getByRole("button", { name: "Use this routine" }).click();
  await page.getByRole("link", { name: "Start" }).click();
  await page.getByRole("button", { name: "1", exact: true }).click();
  await page.getByRole("button", { name: "Start the first set" }).click();
  await page.getByRole("button", { name: "Stop, it hurts" }).click();
  await page.getByRole("button", { name: "4", exact: true }).click();
  await expect(page.getByText("Saved")).toBeVisible();

  await page.reload();
  await expect(page.getByRole("button", { name: "4", exact: true })).toHaveAttribute("aria-pressed", "true");
});

for (const address of ["/", "/practice/"]) test(`the page allows no script but its own, and its host says the same, ${address}`, async ({ page }) => {
  const answer = await page.goto(address);
  const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content");
  expect(policy).toContain("default-src 'none'");
  expect(policy).not.toContain("unsafe-inline");
  expect(policy).not.toContain("'unsafe-eval'");
  expect(await page.locator("script:not([src])").count()).toBe(0);
  const said = answer?.headers() ?? {};
  expect(said["content-security-policy"]).toBe(`${policy}; frame-ancestors 'none'`);
  expect(said["permissions-policy"]).toContain("camera=(self)");
  expect(said["cross-origin-opener-policy"]).toBe("same-origin");
  expect(said["cross-origin-resource-policy"]).toBe("same-origin");
});

test("it can be installed: name, icons and a start address", async ({ page, request }) => {
  await page.goto("/");
  const address = await page.locator('link[rel="manifest"]').getAttribute("href");
  const manifest = await (await request.get(address ?? "")).json();
  expect(manifest).toMatchObject({ name: "Carryover", display: "standalone", start_url: "./" });
  expect(manifest.icons.map((icon: { sizes: string }) => icon.sizes)).toEqual(expect.arrayContaining(["192x192", "512x512"]));
  for (const icon of manifest.icons) expect((await request.get(icon.src)).status()).toBe(200);
});
