// How much a visit downloads before its screen stands, compressed the way a good static host compresses
// (brotli, level 11): a first visit, a first visit by a link that carries a routine, and the app with a
// routine; each with nothing kept by the browser. Beside them the smallest pages that the framework and
// React make, built with the same tools in the same run.
//
// What a page names is found by following names, from index.html through the style sheets and scripts to
// the rest, so that icons count and examples to download do not. What it asks for is seen in a browser in
// which the page never has nothing else to do: then it fetches the parts that it does not need yet.
import { copyFileSync, cpSync, existsSync, mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { dirname, extname, join, posix } from "node:path";
import { fileURLToPath } from "node:url";
import { brotliCompressSync, constants } from "node:zlib";
import { chromium } from "@playwright/test";
import { buildSync } from "esbuild";
import { args, findChromium } from "../chromium.mjs";
import { record } from "./results.mjs";

const repository = fileURLToPath(new URL("../../", import.meta.url));

// Where each kind of file names others; `name` is what is looked up.
const NAMES = {
  ".html": [/\b(?:href|src)=["']?(?<name>[^"'\s>]+)/g, /\b(?:from|module_or_path:)\s*["'](?<name>[^"']+)/g],
  ".css": [/\burl\(\s*["']?(?<name>[^"')]+)/g, /@import\s+["'](?<name>[^"']+)/g],
  ".js": [/\b(?:from|import)\s*["'](?<name>\.{0,2}\/[^"']+)/g],
  ".webmanifest": [/"src":\s*"(?<name>[^"]+)"/g],
};

/** The files of `folder` that its page names, by path. */
function named(folder) {
  const loaded = new Set(["/index.html"]);
  for (const path of loaded) {
    const patterns = NAMES[extname(path)] ?? [];
    const text = patterns.length > 0 ? readFileSync(join(folder, path), "utf8") : "";
    for (const pattern of patterns) {
      for (const { groups } of text.matchAll(pattern)) {
        const name = groups?.name?.replace(/[?#].*/, "") ?? "";
        if (name === "" || /^[a-z]+:/i.test(name) || name.startsWith("//")) continue;
        const target = posix.resolve(dirname(path), name);
        if (existsSync(join(folder, target)) && statSync(join(folder, target)).isFile()) loaded.add(target);
      }
    }
  }
  return [...loaded];
}

function brotliBytes(file) {
  const bytes = readFileSync(file);
  return brotliCompressSync(bytes, {
    params: {
      [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY,
      [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length,
    },
  }).length;
}

/** Measures what is loaded of a built page, and prints its files. */
function measure(title, folder, asked = []) {
  const files = [...new Set([...named(folder), ...asked])].sort().map((path) => ({
    path,
    raw: statSync(join(folder, path)).size,
    brotli: brotliBytes(join(folder, path)),
  }));
  const sum = (some) => some.reduce((total, { brotli }) => total + brotli, 0);
  const total = sum(files);
  const wasm = sum(files.filter(({ path }) => path.endsWith(".wasm")));

  const width = Math.max(...files.map(({ path }) => path.length));
  const row = (name, raw, brotli) =>
    console.log(`  ${String(name).padEnd(width)} ${String(raw).padStart(9)} ${String(brotli).padStart(9)}`);
  console.log(`\n${title}`);
  row("", "bytes", "brotli");
  for (const { path, raw, brotli } of files) row(path, raw, brotli);
  row("in all", files.reduce((all, { raw }) => all + raw, 0), total);
  return { total, wasm };
}

/** What the app asks for in each of the visits until its screen stands, by path. */
async function visits(folder) {
  const server = spawn(process.execPath, [join(repository, "e2e/serve.mjs"), "--port", "0", folder], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const [announcement] = await once(server.stdout, "data");
  const address = /http:\S+\d/.exec(String(announcement))[0];
  const browser = await chromium.launch({ executablePath: findChromium(), args });
  try {
    const open = async () => {
      const context = await browser.newContext({ serviceWorkers: "block" });
      const page = await context.newPage();
      await page.addInitScript(() => Object.assign(window, { requestIdleCallback: () => 1 }));
      const asked = new Set();
      page.on("request", (request) => {
        const { pathname } = new URL(request.url());
        asked.add(request.isNavigationRequest() ? "/index.html" : pathname);
      });
      return { page, asked };
    };
    const first = await open();
    await first.page.goto(`${address}/`);
    await first.page.getByRole("button", { name: "Try the demo" }).waitFor();

    const byLink = await open();
    await byLink.page.goto(`${address}/take#${links.good}`);
    const use = byLink.page.getByRole("button", { name: "Use this routine" });
    await use.waitFor();
    const link = [...byLink.asked];
    await use.click();
    await byLink.page.getByRole("heading", { name: /^Good / }).waitFor();

    byLink.asked.clear();
    await byLink.page.goto(`${address}/`);
    await byLink.page.getByRole("heading", { name: /^Good / }).waitFor();
    return { first: [...first.asked], link, routine: [...byLink.asked] };
  } finally {
    await browser.close();
    server.kill();
  }
}

/** A copy of the built app with the library that the links of the fixture name. */
function withLibrary({ entries }) {
  const to = join(repository, "target/bench/app");
  rmSync(to, { recursive: true, force: true });
  cpSync(join(repository, "dist"), to, { recursive: true });
  for (const entry of entries) {
    writeFileSync(join(to, "library", `${entry.exercise.id}-${entry.revision}.json`), JSON.stringify(entry));
  }
  return to;
}

/** Builds the smallest page that React makes. */
function reactPage() {
  const from = join(repository, "e2e/bench/react");
  const to = join(repository, "target/bench/react");
  mkdirSync(to, { recursive: true });
  copyFileSync(join(from, "index.html"), join(to, "index.html"));
  buildSync({
    entryPoints: [join(from, "main.jsx")],
    outfile: join(to, "main.js"),
    bundle: true,
    format: "esm",
    jsx: "automatic",
    legalComments: "none",
    minify: true,
    define: { "process.env.NODE_ENV": '"production"' },
  });
  return to;
}

const { library, links } = JSON.parse(readFileSync(join(repository, "tests/fixtures/links.json"), "utf8"));
const app = withLibrary(library);
const asked = await visits(app);
const first = measure("A first visit", app, asked.first);
const link = measure("A first visit by a link with a routine in it", app, asked.link);
const routine = measure("The app with a routine", app, asked.routine);
const minimal = measure("The smallest page of the framework", join(repository, "target/bench/minimal"));
const react = measure("The smallest page of React", reactPage());

record({
  "size.total_brotli_bytes": first.total,
  "size.wasm_brotli_bytes": first.wasm,
  "size.first_visit_by_link_brotli_bytes": link.total,
  "size.with_routine_brotli_bytes": routine.total,
  "size.minimal_total_brotli_bytes": minimal.total,
  "size.minimal_wasm_brotli_bytes": minimal.wasm,
  "size.react_total_brotli_bytes": react.total,
});
