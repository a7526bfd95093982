// Where the browser is and how it is started, for every test that needs one.
//
// Run as a program, it prints the same as WebDriver capabilities, which is
// what wasm-bindgen's test runner reads, or fails when there is no browser.
import { accessSync, constants } from "node:fs";
import { delimiter, join } from "node:path";
import { pathToFileURL } from "node:url";

const NAMES = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"];
const PLACES = [
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
];

function isProgram(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/** The first program found of those names, or at those places; undefined without any. */
export function findProgram(names, places = []) {
  const folders = (process.env.PATH ?? "").split(delimiter);
  const found = names.flatMap((name) => folders.map((folder) => join(folder, name)));
  return [...found, ...places].find(isProgram);
}

/** The browser named by CHROMIUM, else the first one found; undefined without any. */
export function findChromium() {
  return process.env.CHROMIUM || findProgram(NAMES, PLACES);
}

/**
 * Headless, unable to reach any other machine, and without the sandbox only
 * where it cannot work.
 */
export const args = [
  "--headless=new",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
  ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
];

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  const binary = findChromium();
  if (!binary || !isProgram(binary)) {
    console.error(binary ? `${binary} is not a program` : "no Chromium or Chrome found");
    process.exit(1);
  }
  console.log(JSON.stringify({ "goog:chromeOptions": { binary, args } }, null, 2));
}
