// Browsers driven by the W3C's own protocols: Chromium and WebKitGTK over WebDriver, Firefox, which needs no
// driver beside it, over WebDriver BiDi. Each gives the same few ways of a person in it.
import { spawn } from "node:child_process";
import { existsSync, readdirSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import puppeteer from "puppeteer-core";
import { args, findChromium, findProgram } from "../chromium.mjs";
import { until } from "../scenarios.mjs";

const ELEMENT = "element-6066-11e4-a52e-4f735466cecf";

function findMiniBrowser() {
  const folders = ["/usr/lib", "/usr/libexec"].filter(existsSync);
  const inside = folders.flatMap((folder) => readdirSync(folder).map((name) => join(folder, name)));
  const versions = ["webkitgtk-6.0", "webkit2gtk-4.1", "webkit2gtk-4.0"];
  return [...folders, ...inside]
    .flatMap((folder) => versions.map((version) => join(folder, version, "MiniBrowser")))
    .find(existsSync);
}

async function freePort() {
  const server = createServer().listen(0, "127.0.0.1");
  await new Promise((resolve) => server.once("listening", resolve));
  const { port } = server.address();
  await new Promise((resolve) => server.close(resolve));
  return port;
}

/** What a person does, in terms of finding an element by its XPath, with `click` and `pick` of it, and of a script. */
function ways({ find, click, pick, run, go, reload, close }) {
  const tap = async (which) => click(await until(() => find(`//button[${which}] | //a[${which}]`)));
  return {
    run,
    go,
    reload,
    close,
    sees: (words) => until(() => find(`//*[contains(normalize-space(text()), "${words}")]`)),
    tap: (name) => tap(`normalize-space()="${name}"`),
    tapFirst: (words) => tap(`starts-with(normalize-space(), "${words}")`),
    open: async (file) => pick(await until(() => find('//input[@type="file"]')), file),
  };
}

/** A browser behind a driver's program, which is told its port. */
async function openDriven([program, ...options], capabilities, env = {}) {
  const port = await freePort();
  const driver = spawn(program, [...options, `--port=${port}`], {
    // A group of its own, so that the display and the browser end with it.
    detached: true,
    stdio: "ignore",
    env: { ...process.env, ...env },
  });
  const end = () => process.kill(-driver.pid);
  const send = async (method, path, body) => {
    const response = await fetch(`http://127.0.0.1:${port}${path}`, {
      method,
      body: method === "POST" ? JSON.stringify(body ?? {}) : undefined,
    });
    const { value } = await response.json();
    if (value?.error) throw new Error(`${value.error}: ${value.message}`);
    return value;
  };
  try {
    await until(() => send("GET", "/status"));
    const { sessionId } = await send("POST", "/session", { capabilities: { alwaysMatch: capabilities } });
    const session = (method, path, body) => send(method, `/session/${sessionId}${path}`, body);
    const run = (ask, ...args) =>
      session("POST", "/execute/sync", { script: `return (${ask})(...arguments)`, args });
    return ways({
      find: async (path) => (await session("POST", "/element", { using: "xpath", value: path }))[ELEMENT],
      async click(element) {
        // What a person would scroll to: the end of the page stands under the foot of a screen.
        await run((element) => element.scrollIntoView({ block: "center" }), { [ELEMENT]: element });
        await session("POST", `/element/${element}/click`);
      },
      pick: (element, file) => session("POST", `/element/${element}/value`, { text: file }),
      run,
      go: (url) => session("POST", "/url", { url }),
      reload: () => session("POST", "/refresh"),
      async close() {
        await session("DELETE", "");
        end();
      },
    });
  } catch (error) {
    end();
    throw error;
  }
}

export function openWebKit() {
  const binary = findMiniBrowser();
  if (!binary) throw new Error("there is no MiniBrowser of WebKitGTK");
  return openDriven(
    ["xvfb-run", "--auto-servernum", "WebKitWebDriver"],
    { "webkitgtk:browserOptions": { binary, args: ["--automation"] } },
    { WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: process.getuid?.() === 0 ? "1" : "0" },
  );
}

export function openChromium() {
  const capabilities = { "goog:chromeOptions": { binary: findChromium(), args } };
  return openDriven([process.env.CHROMEDRIVER ?? "chromedriver"], capabilities);
}

export async function openFirefox() {
  const executablePath = process.env.FIREFOX ?? findProgram(["firefox", "firefox-esr"]);
  if (!executablePath) throw new Error("there is no Firefox");
  const browser = await puppeteer.launch({ browser: "firefox", executablePath });
  const [page] = await browser.pages();
  return ways({
    find: (path) => page.$(`::-p-xpath(${path})`),
    click: (element) => element.click(),
    pick: (element, file) => element.uploadFile(file),
    run: (ask, ...args) => page.evaluate(ask, ...args),
    go: (url) => page.goto(url),
    reload: () => page.reload(),
    close: () => browser.close(),
  });
}
