// The last step of a build, once both pages are there: the service worker gets the list of this build's
// files, and every file gets compressed copies for hosts that serve them.
//
//   node .ci/offline.mjs dist
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { extname, join, relative, sep } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const folder = process.argv[2];
if (!folder) throw new Error("the built folder is missing: node .ci/offline.mjs dist");

keepOffline(join(folder, "service-worker.js"));
files(folder).forEach(compress);

/** Fills in the service worker: the files of each page, and a name made from the content of all. */
function keepOffline(worker) {
  const content = createHash("sha256");
  const parts = { client: [], practice: [] };
  for (const file of files(folder).filter((file) => file !== worker)) {
    content.update(readFileSync(file));
    const path = `/${relative(folder, file).split(sep).join("/")}`;
    parts[path.startsWith("/practice/") ? "practice" : "client"].push(path);
  }
  const text = readFileSync(worker, "utf8");
  const filled = text
    .replace("__PARTS__", JSON.stringify(parts))
    .replace("__CONTENT__", content.digest("hex").slice(0, 16));
  if (filled === text) throw new Error(`${worker} has nothing to fill in`);
  writeFileSync(worker, filled);
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
