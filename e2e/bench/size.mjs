// How much a first visit downloads, compressed the way a good static host
// compresses (brotli, level 11): the app, and the smallest page the framework
// makes, built with the same profile and tools in the same run.
//
// What a page loads is found by following names, from index.html through the
// style sheets and scripts to the rest, so files that nothing names at the
// start (examples to download) do not count.
import { existsSync, readFileSync, statSync } from "node:fs";
import { dirname, extname, join, posix } from "node:path";
import { fileURLToPath } from "node:url";
import { brotliCompressSync, constants } from "node:zlib";
import { record } from "./results.mjs";

const repository = fileURLToPath(new URL("../../", import.meta.url));

// Where each kind of file names others; `name` is what is looked up.
const NAMES = {
  ".html": [/\b(?:href|src)=["']?(?<name>[^"'\s>]+)/g, /\b(?:from|module_or_path:)\s*["'](?<name>[^"']+)/g],
  ".css": [/\burl\(\s*["']?(?<name>[^"')]+)/g, /@import\s+["'](?<name>[^"']+)/g],
  ".js": [/\b(?:from|import)\s*["'](?<name>\.{0,2}\/[^"']+)/g],
  ".webmanifest": [/"src":\s*"(?<name>[^"]+)"/g],
};

/** The files of `folder` that a first visit loads, by path. */
function firstVisit(folder) {
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
  // The app starts its service worker on the first visit, from the wasm.
  if (existsSync(join(folder, "sw.js"))) loaded.add("/sw.js");
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

/** Measures a built page and prints its files. */
function measure(title, folder) {
  const files = firstVisit(folder).map((path) => ({
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

const app = measure("The app, first visit", join(repository, "dist"));
const minimal = measure("The smallest page", join(repository, "target/bench/minimal"));

record({
  "size.total_brotli_bytes": app.total,
  "size.wasm_brotli_bytes": app.wasm,
  "size.minimal_total_brotli_bytes": minimal.total,
  "size.minimal_wasm_brotli_bytes": minimal.wasm,
});
