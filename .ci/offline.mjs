// The last step of a build, once both pages are there: each entry of the library becomes a file of its own,
// the service worker gets the list of this build's files, the headers that a host should send are written
// down, and every file gets compressed copies for hosts that serve them. docs/hosting.md says what a host does
// with them.
//
//   node .ci/offline.mjs dist
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { extname, join, relative, sep } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const folder = process.argv[2];
if (!folder) throw new Error("the built folder is missing: node .ci/offline.mjs dist");

const ENTRIES = join(folder, "library");

spread(join(folder, "library.json"));
keepOffline(join(folder, "service-worker.js"));
files(folder).forEach(compress);
writeFileSync(join(folder, "_headers"), headers());

/** Puts each entry of the library into a file of its own: a link names a few of them, and is often the first thing that a device opens. */
function spread(library) {
  const { entries } = JSON.parse(readFileSync(library, "utf8"));
  rmSync(ENTRIES, { recursive: true, force: true });
  mkdirSync(ENTRIES);
  for (const entry of entries) {
    writeFileSync(join(ENTRIES, `${entry.exercise.id}-${entry.revision}.json`), JSON.stringify(entry));
  }
}

/** Fills in the service worker: the files of each page, of the camera and of the sealer, and a name made from the content of all. */
function keepOffline(worker) {
  const content = createHash("sha256");
  const parts = { client: [], practice: [], camera: [], sealer: [] };
  for (const file of files(folder).filter((file) => file !== worker && !file.startsWith(ENTRIES + sep))) {
    content.update(readFileSync(file));
    const path = `/${relative(folder, file).split(sep).join("/")}`;
    parts[partOf(path)].push(path);
  }
  const text = readFileSync(worker, "utf8");
  const filled = text
    .replace("__PARTS__", JSON.stringify(parts))
    .replace("__CONTENT__", content.digest("hex").slice(0, 16));
  if (filled === text) throw new Error(`${worker} has nothing to fill in`);
  writeFileSync(worker, filled);
}

function partOf(path) {
  if (path.startsWith("/practice/sealer")) return "sealer";
  if (path.startsWith("/practice/")) return "practice";
  return path.startsWith("/scanner") ? "camera" : "client";
}

/**
 * What to send with which path, in the plain text that several static hosts read: a path, where `*`
 * stands for the rest, and its headers below it. Each page carries its own policy for scripts; what is
 * here holds for every answer, and what a page cannot say of itself.
 */
function headers() {
  const everywhere = {
    "Content-Security-Policy": "frame-ancestors 'none'; object-src 'none'; base-uri 'none'; form-action 'none'",
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
    .map((file) => `/${relative(folder, file).split(sep).join("/")}`)
    .filter((path) => /-[0-9a-f]{12,16}(_bg)?\.(css|js|wasm)$/.test(path));
  const forGood = { "Cache-Control": "public, max-age=31536000, immutable" };
  return [rule("/*", everywhere), ...named.map((path) => rule(path, forGood))].join("\n");
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
