/** Links and frames as the practitioner's page makes them, and the library that they name. */
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";

const fixture: { library: object; links: Record<string, string>; frames: string[] } = JSON.parse(
  readFileSync(new URL("../tests/fixtures/links.json", import.meta.url), "utf8"),
);

export const frames = fixture.frames;

/** The fragment of one of the links in the fixture. */
export function fragment(name: string): string {
  const fragment = fixture.links[name];
  if (!fragment) throw new Error(`there is no link "${name}" in the fixture`);
  return fragment;
}

/** Gives the app the library that the links in the fixture name. */
export async function serveLibrary(page: Page): Promise<void> {
  await page.route("/library.json", (route) => route.fulfill({ json: fixture.library }));
}
