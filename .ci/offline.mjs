// The last step of a build, once both pages are there: they are put into the folder that they have at their
// host, each entry of the library becomes a file of its own, the service worker gets this build's files with
// their digests, the headers that a host should send are written down, and every file gets compressed copies
// for hosts that serve them. docs/hosting.md says what a host does with them.
//
//   node .ci/offline.mjs dist [/some/path/]        the root of a site unless told
//
// It may be done again, for another place or after a file was changed.
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { extname, join, relative, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import { POLICY, settle } from "./pages.mjs";

const [folder, base = "/"] = process.argv.slice(2);
if (!folder) throw new Error("the built folder is missing: node .ci/offline.mjs dist");
if (!/^\/([\w.~-]+\/)*$/.test(base)) throw new Error(`"${base}" is no folder of a site: it begins and ends with a slash`);

const SOURCES = fileURLToPath(new URL("../public", import.meta.url));
const ENTRIES = join(folder, "library");
const HEADERS = join(folder, "_headers");
const WORKER = join(folder, "service-worker.js");

files(folder)
  .filter((file) => [".br", ".gz"].includes(extname(file)) || file === HEADERS || file === WORKER)
  .forEach((file) => rmSync(file));
settle(folder, base);
writeFileSync(join(folder, "floor.js"), small("floor.js", "es5"));
spread(join(folder, "library.json"));
writeFileSync(WORKER, worker());
files(folder).forEach(compress);
writeFileSync(HEADERS, headers());

/** A script made small, in no newer a language than it is written in. */
function small(script, target) {
  const { transformSync } = createRequire(new URL("../e2e/package.json", import.meta.url))("esbuild");
  return transformSync(readFileSync(join(SOURCES, script), "utf8"), { minify: true, target }).code;
}

/** Puts each entry of the library into a file of its own: a link names a few of them, and is often the first thing that a device opens. */
function spread(library) {
  const { entries } = JSON.parse(readFileSync(library, "utf8"));
  rmSync(ENTRIES, { recursive: true, force: true });
  mkdirSync(ENTRIES);
  for (const entry of entries) {
    writeFileSync(join(ENTRIES, `${entry.exercise.id}-${entry.revision}.json`), JSON.stringify(entry));
  }
}

/** The service worker: the files of each part with their digests, and a name made from the content of all. */
function worker() {
  const parts = { client: {}, practice: {}, camera: {}, sealer: {}, entries: {} };
  for (const file of files(folder)) {
    const path = relative(folder, file).split(sep).join("/");
    parts[partOf(path)][path] = createHash("sha256").update(readFileSync(file)).digest("base64");
  }
  const list = JSON.stringify(parts);
  const content = createHash("sha256").update(list).digest("hex").slice(0, 16);
  return small("service-worker.js", "es2021").replace("__PARTS__", list).replace("__CONTENT__", content);
}

function partOf(path) {
  if (path.startsWith("practice/sealer")) return "sealer";
  if (path.startsWith("practice/")) return "practice";
  if (path.startsWith("library/")) return "entries";
  return path.startsWith("scanner") ? "camera" : "client";
}

/**
 * What to send with which path, in the plain text that several static hosts read: a path, where `*`
 * stands for the rest, and its headers below it. The pages' own policy holds for every answer, with what a
 * page cannot say of itself.
 */
function headers() {
  const everywhere = {
    "Content-Security-Policy": [...POLICY, "frame-ancestors 'none'"].join("; "),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
    "Referrer-Policy": "no-referrer",
    "Strict-Transport-Security": "max-age=31536000",
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-cache",
  };
  const rule = (path, fields) =>
    `${path}\n${Object.entries(fields).map(([name, value]) => `  ${name}: ${value}\n`).join("")}`;
  const named = files(folder)
    .map((file) => base + relative(folder, file).split(sep).join("/"))
    .filter((path) => /-[0-9a-f]{12,16}(_bg)?\.(css|js|wasm)$/.test(path));
  const forGood = { "Cache-Control": "public, max-age=31536000, immutable" };
  return [rule(`${base}*`, everywhere), ...named.map((path) => rule(path, forGood))].join("\n");
}

function compress(file) {
  if (extname(file) === ".png") return;
  const bytes = readFileSync(file);
  writeFileSync(`${file}.gz`, gzipSync(bytes, { level: 9 }));
  const params = { [constants.BROTLI_PARAM_QUALITY]: 11, [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length };
  writeFileSync(`${file}.br`, brotliCompressSync(bytes, { params }));
}

function files(below) {
  return readdirSync(below, { withFileTypes: true })
    .flatMap((entry) => (entry.isDirectory() ? files(join(below, entry.name)) : [join(below, entry.name)]))
    .sort();
}
