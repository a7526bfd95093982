// Five kinds of host, as they answer: three web servers with the configurations of docs/hosting.md, and two
// kinds of static host that nobody configures.
import { existsSync, readFileSync, statSync } from "node:fs";
import { extname, join } from "node:path";
import { gzipSync } from "node:zlib";

const TYPES = {
  ".css": "text/css",
  ".html": "text/html",
  ".js": "text/javascript",
  ".json": "application/json",
  ".png": "image/png",
  ".wasm": "application/wasm",
  ".webmanifest": "application/manifest+json",
};
/** A date long ago: a browser that is told nothing else keeps such a file for weeks (RFC 9111, 4.2.2). */
const LONG_AGO = "Sat, 29 Nov 2025 10:00:00 GMT";

const isFile = (path) => existsSync(path) && statSync(path).isFile();
const pageAt = (path) => (/^\/practice(\/|$)/.test(path) ? "/practice/index.html" : "/index.html");
const whole = (path) => (path.endsWith("/") ? `${path}index.html` : path);

function give(folder, path, more = {}) {
  const body = readFileSync(join(folder, path));
  return { status: 200, headers: { "Content-Type": TYPES[extname(path)] ?? "application/octet-stream", ...more }, body };
}

const lead = (status, to) => ({ status, headers: { Location: to }, body: "" });
const missing = (headers) => ({
  status: 404,
  headers: { "Content-Type": "text/html", ...headers },
  body: "<html><head><title>404 Not Found</title></head></html>",
});

/** The headers of a path, as the build's own list says; a later rule wins. */
export function rules(folder) {
  const rules = [];
  for (const line of readFileSync(join(folder, "_headers"), "utf8").split("\n")) {
    if (line.startsWith("/")) rules.push({ path: line.trim(), fields: [] });
    const field = /^\s+([^:]+):\s*(.+)$/.exec(line);
    if (field) rules.at(-1).fields.push([field[1], field[2]]);
  }
  const applies = (rule, path) => (rule.endsWith("*") ? path.startsWith(rule.slice(0, -1)) : path === rule);
  return (path) => Object.fromEntries(rules.filter((rule) => applies(rule.path, path)).flatMap((rule) => rule.fields));
}

/** A server that is told what to do: a file, else a page where the address has no ending, else nothing. */
function configured(folder, path) {
  const headers = rules(folder)(path);
  if (isFile(join(folder, whole(path)))) return give(folder, whole(path), headers);
  if (isFile(join(folder, path, "index.html"))) return lead(301, `${path}/`);
  return extname(path) ? missing(headers) : give(folder, pageAt(path), headers);
}

/** The same with a body that is packed on its way. */
function packing(folder, path) {
  const answer = configured(folder, path);
  if (answer.body.length === 0) return answer;
  return {
    ...answer,
    headers: { ...answer.headers, "Content-Encoding": "gzip", Vary: "Accept-Encoding" },
    body: gzipSync(answer.body, { level: 1 }),
  };
}

/** The same with the copy that the build packed. */
function packed(folder, path) {
  const answer = configured(folder, path);
  const copy = join(folder, `${whole(path)}.gz`);
  if (answer.status !== 200 || !isFile(copy)) return answer;
  return { ...answer, headers: { ...answer.headers, "Content-Encoding": "gzip" }, body: readFileSync(copy) };
}

/** Leads away from `index.html`, has a page for what is missing, and keeps everything for ten minutes. */
function withPageForMissing(folder, path) {
  const headers = { "Cache-Control": "max-age=600" };
  if (path.endsWith("/index.html")) return lead(308, path.slice(0, -"index.html".length));
  if (isFile(join(folder, whole(path)))) return give(folder, whole(path), headers);
  if (isFile(join(folder, path, "index.html"))) return lead(301, `${path}/`);
  // A copy of the client's page under the name 404.html, as docs/hosting.md advises.
  return { ...give(folder, "/index.html", headers), status: 404 };
}

/** Has addresses without endings, answers anything that is missing with the first page, and says nothing of caching. */
function withOnePage(folder, path) {
  const headers = { "Last-Modified": LONG_AGO };
  if (path.endsWith("/index.html")) return lead(301, path.slice(0, -"/index.html".length) || "/");
  if (path !== "/" && path.endsWith("/")) return lead(301, path.slice(0, -1));
  const candidates = [path, `${path}.html`, join(path, "index.html")];
  const found = candidates.find((path) => isFile(join(folder, path)));
  return give(folder, found ?? "/index.html", headers);
}

export const KINDS = {
  nginx: packed,
  Apache: packing,
  Caddy: configured,
  "404.html": withPageForMissing,
  "one page": withOnePage,
};
