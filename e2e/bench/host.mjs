// A static host as a page would have it: every file compressed as far as it goes, and named files kept for good.
import { existsSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join, resolve, sep } from "node:path";
import { brotliCompressSync, constants } from "node:zlib";

const TYPES = {
  ".css": "text/css; charset=utf-8",
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".json": "application/json",
  ".png": "image/png",
  ".svg": "image/svg+xml",
  ".wasm": "application/wasm",
  ".webmanifest": "application/manifest+json",
};

/** Serves a folder; the address, and how to stop. */
export async function host(folder) {
  const root = resolve(folder);
  const known = new Map();
  const find = (path) => {
    const file = resolve(join(root, extname(path) === "" ? "index.html" : path));
    if (!file.startsWith(root + sep)) return undefined;
    if (!known.has(file)) {
      try {
        known.set(file, extname(file) === ".png" ? { bytes: readFileSync(file) } : { packed: compressed(file) });
      } catch {
        return undefined;
      }
    }
    return { type: TYPES[extname(file)] ?? "application/octet-stream", ...known.get(file) };
  };
  const server = createServer((request, response) => {
    const found = find(decodeURIComponent(new URL(request.url, "http://localhost").pathname));
    if (!found) {
      response.writeHead(404).end();
      return;
    }
    response.writeHead(200, {
      "Content-Type": found.type,
      "Cache-Control": "no-cache",
      ...(found.packed ? { "Content-Encoding": "br" } : {}),
    });
    response.end(found.packed ?? found.bytes);
  });
  await new Promise((listening) => void server.listen(0, "127.0.0.1", () => listening(undefined)));
  return {
    address: `http://127.0.0.1:${server.address().port}/`,
    stop: () => {
      server.closeAllConnections();
      server.close();
    },
  };
}

/** A file compressed as far as it goes, by the build or now. */
function compressed(file) {
  if (existsSync(`${file}.br`)) return readFileSync(`${file}.br`);
  const params = { [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY };
  return brotliCompressSync(readFileSync(file), { params });
}
