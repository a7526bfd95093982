/** Links and frames as the practitioner's page makes them, and the library that they name. */
import { readFileSync } from "node:fs";
import type { Page } from "@playwright/test";

type Entry = { revision: number; exercise: { id: string } };

const fixture: { library: { entries: Entry[] }; links: Record<string, string>; frames: string[] } = JSON.parse(
  readFileSync(new URL("../tests/fixtures/links.json", import.meta.url), "utf8"),
);

export const frames = fixture.frames;

/** The fragment of one of the links in the fixture. */
export function fragment(name: string): string {
  const fragment = fixture.links[name];
  if (!fragment) throw new Error(`there is no link "${name}" in the fixture`);
  return fragment;
}

/** Gives the app the library that the links in the fixture name, whole and entry by entry. */
export async function serveLibrary(page: Page): Promise<void> {
  await page.route("/library.json", (route) => route.fulfill({ json: fixture.library }));
  await page.route("/library/*.json", (route) => {
    const name = new URL(route.request().url()).pathname;
    const entry = fixture.library.entries.find(({ exercise, revision }) => name === `/library/${exercise.id}-${revision}.json`);
    // For an address that is no file a host answers with the page.
    return entry ? route.fulfill({ json: entry }) : route.fulfill({ contentType: "text/html", body: "<!doctype html>" });
  });
}
