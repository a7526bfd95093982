// WebKitGTK, driven over WebDriver in a display of its own.
import { spawn } from "node:child_process";
import { existsSync, readdirSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
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

/** Opens a browser; gives what a person does in it, and `close`. */
export async function openWebKit() {
  const binary = findMiniBrowser();
  if (!binary) throw new Error("there is no MiniBrowser of WebKitGTK");
  const port = await freePort();
  const driver = spawn(
    "xvfb-run",
    ["--auto-servernum", "WebKitWebDriver", `--port=${port}`],
    {
      // A group of its own, so that the display and the browser end with it.
      detached: true,
      stdio: "ignore",
      env: { ...process.env, WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: process.getuid?.() === 0 ? "1" : "0" },
    },
  );
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
    const capabilities = { "webkitgtk:browserOptions": { binary, args: ["--automation"] } };
    const { sessionId } = await send("POST", "/session", { capabilities: { alwaysMatch: capabilities } });
    const session = (method, path, body) => send(method, `/session/${sessionId}${path}`, body);
    const find = async (path) => {
      const found = await session("POST", "/element", { using: "xpath", value: path });
      return found[ELEMENT];
    };
    const run = (ask, ...args) =>
      session("POST", "/execute/sync", { script: `return (${ask})(...arguments)`, args });
    const tap = async (which) => {
      const element = await until(() => find(`//button[${which}] | //a[${which}]`));
      await session("POST", `/element/${element}/click`);
    };
    return {
      run,
      go: (url) => session("POST", "/url", { url }),
      sees: (words) => until(() => find(`//*[contains(normalize-space(text()), "${words}")]`)),
      tap: (name) => tap(`normalize-space()="${name}"`),
      tapFirst: (words) => tap(`starts-with(normalize-space(), "${words}")`),
      async close() {
        await session("DELETE", "");
        end();
      },
    };
  } catch (error) {
    end();
    throw error;
  }
}
