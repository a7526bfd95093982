// A built page in a browser, at a size and in a scheme of one's choice, whose pictures are numbered into
// target/walk/. For walk.mjs and walk-practice.mjs.
import { spawn } from "node:child_process";
import { mkdirSync } from "node:fs";
import { once } from "node:events";
import { fileURLToPath } from "node:url";
import { chromium } from "@playwright/test";
import { args, findChromium } from "./chromium.mjs";

/** Opens the app as the arguments of the command say: width, height, light or dark. */
export async function begin(walk, [width = "360", height = "740", colorScheme = "light"] = process.argv.slice(2)) {
  const folder = fileURLToPath(new URL("../target/walk/", import.meta.url));
  mkdirSync(folder, { recursive: true });
  const server = spawn(process.execPath, [fileURLToPath(new URL("serve.mjs", import.meta.url)), "--port", "0"], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const [announcement] = await once(server.stdout, "data");
  const address = /http:\S+/.exec(String(announcement))?.[0];
  const browser = await chromium.launch({ args, executablePath: findChromium() });
  const context = await browser.newContext({
    viewport: { width: Number(width), height: Number(height) },
    colorScheme,
    timezoneId: "Europe/Berlin",
    locale: "en-GB",
  });
  const page = await context.newPage();
  page.on("console", (message) => console.log(`  ${message.type()}: ${message.text()}`));
  page.on("pageerror", (error) => console.log(`  uncaught: ${error.message}`));
  page.setDefaultTimeout(10_000);
  await page.clock.install({ time: new Date("2026-11-25T17:30:00+01:00") });
  let number = 0;
  const picture = async (name, fullPage = false) => {
    number += 1;
    const file = `${walk}-${width}-${colorScheme}-${String(number).padStart(2, "0")}-${name}.png`;
    await page.screenshot({ path: folder + file, fullPage });
  };
  const tap = (name, options = {}) => page.getByRole("button", { name, exact: true, ...options }).first().click();
  const end = async () => {
    await browser.close();
    server.kill();
  };
  return { address, context, page, picture, tap, end };
}
