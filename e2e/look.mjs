// Pictures of the built page, to look at while working on it:
//
//   make page && node e2e/look.mjs / /some/path
//
// Each path (the start page when there is none) is taken at 360x740 and
// 1280x800, light and dark, from top to bottom, into target/look/.
import { spawn } from "node:child_process";
import { mkdirSync } from "node:fs";
import { once } from "node:events";
import { fileURLToPath } from "node:url";
import { chromium } from "@playwright/test";
import { args, findChromium } from "./chromium.mjs";

const SIZES = [
  { width: 360, height: 740 },
  { width: 1280, height: 800 },
];
const SCHEMES = ["light", "dark"];

const paths = process.argv.slice(2);
if (paths.length === 0) paths.push("/");

const folder = fileURLToPath(new URL("../target/look/", import.meta.url));
mkdirSync(folder, { recursive: true });

const server = spawn(process.execPath, [fileURLToPath(new URL("serve.mjs", import.meta.url)), "--port", "0"], {
  stdio: ["ignore", "pipe", "inherit"],
});
server.on("exit", (code) => process.exit(code ?? 0));
const [announcement] = await once(server.stdout, "data");
const address = /http:\S+/.exec(String(announcement))?.[0];

const browser = await chromium.launch({ args, executablePath: findChromium() });
for (const viewport of SIZES) {
  for (const colorScheme of SCHEMES) {
    const page = await browser.newPage({ viewport, colorScheme });
    page.on("console", (message) => console.log(`  ${message.type()}: ${message.text()}`));
    page.on("pageerror", (error) => console.log(`  uncaught: ${error.message}`));
    for (const path of paths) {
      const name = path.replace(/[^a-z0-9]+/gi, "-").replace(/^-|-$/g, "") || "start";
      const file = `${folder}${name}-${viewport.width}-${colorScheme}.png`;
      await page.goto(new URL(path, address).href, { waitUntil: "networkidle" });
      await page.screenshot({ path: file, fullPage: true });
      console.log(file);
    }
    await page.close();
  }
}
await browser.close();
server.kill();
