/** What others made of the app stands in the app, with and without a network. */
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";
import { expect, test } from "./fixtures.ts";
import { Practitioner } from "./practitioner.ts";

test.use({ serviceWorkers: "allow" });

/** The crates that the programs name in their manifest, but for those that only tests use. */
function needed(): string[] {
  const manifest = readFileSync(new URL("../Cargo.toml", import.meta.url), "utf8");
  const sections = manifest.split(/^(?=\[)/m).filter((section) => /^\[(?:target\..*\.)?dependencies[.\]]/.test(section));
  return sections.flatMap((section) => {
    const one = /^\[.*dependencies\.([\w-]+)\]/.exec(section);
    return one ? [one[1]!] : [...section.matchAll(/^([\w-]+) = /gm)].map(([, name]) => name!);
  });
}

async function expectNotices(page: Page): Promise<void> {
  const [notices] = await Promise.all([
    page.waitForEvent("popup"),
    page.getByRole("link", { name: "Licences and notices" }).click(),
  ]);
  const text = await notices.locator("body").innerText();
  expect(needed().length).toBeGreaterThan(10);
  for (const name of needed()) expect(text, name).toMatch(new RegExp(`^${name} \\d+\\.\\d+\\.\\d+\\S* \\(`, "m"));
  for (const words of ["LOINC", "Permission is hereby granted, free of charge", "The standard library of Rust"]) {
    expect(text).toContain(words);
  }
  await notices.close();
}

test("the client's help leads to them, without a network as well", async ({ page, context }) => {
  await page.goto("/help");
  await expect(page.getByRole("heading", { name: "Warning signs and how it works" })).toBeVisible();
  await expectNotices(page);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.reload();
  await context.setOffline(true);
  await expectNotices(page);
  await context.setOffline(false);
});

test("every file that is kept says what it is", async ({ page }) => {
  await page.goto("/help");
  await page.evaluate(() => navigator.serviceWorker.ready);
  const unnamed = await page.evaluate(async () => {
    const kept = await Promise.all((await caches.keys()).map(async (name) => (await caches.open(name)).matchAll()));
    const types = kept.flat().map(({ url, headers }) => [url, headers.get("content-type")] as const);
    return { of: types.length, without: types.filter(([, type]) => !type?.includes("/")) };
  });
  expect(unnamed.of).toBeGreaterThan(20);
  expect(unnamed.without).toEqual([]);
});

test("the practitioner's page leads to them", async ({ page }) => {
  await Practitioner.at(page);
  await expectNotices(page);
});
