// Serves a built page on the loopback address, the way a static host would:
//
//   node e2e/serve.mjs [--port 8080] [FOLDER]
//
// FOLDER is dist/ unless given. What was built for a folder of a site is served
// as that folder, and nothing else is there. A navigation to a path without a file extension
// gets the page it belongs to, so that a deep link opens the app: the
// practitioner's below /practice, the client's elsewhere. Anything else that
// does not exist is a plain 404.
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { existsSync, readFileSync } from "node:fs";
import { extname, join, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";

const TYPES = {
  ".css": "text/css; charset=utf-8",
  ".csv": "text/csv; charset=utf-8",
  ".html": "text/html; charset=utf-8",
  ".ico": "image/x-icon",
  ".js": "text/javascript; charset=utf-8",
  ".json": "application/json",
  ".mjs": "text/javascript; charset=utf-8",
  ".png": "image/png",
  ".svg": "image/svg+xml",
  ".txt": "text/plain; charset=utf-8",
  ".wasm": "application/wasm",
  ".webmanifest": "application/manifest+json",
  ".woff2": "font/woff2",
};

const { values, positionals } = parseArgs({
  options: { port: { type: "string", default: "8080" } },
  allowPositionals: true,
});
const root = resolve(positionals[0] ?? fileURLToPath(new URL("../dist", import.meta.url)));

if (!existsSync(join(root, "index.html"))) {
  console.error(`there is no index.html in ${root}: build the page first`);
  process.exit(1);
}

/** The folder of the site for which the page was built. */
const base = /<base href="([^"]+)">/.exec(readFileSync(join(root, "index.html"), "utf8"))?.[1] ?? "/";

/** The headers that go with a path, as the folder's own `_headers` says; a later rule wins. */
const rules = readRules(join(root, "_headers"));

function readRules(file) {
  const rules = [];
  for (const line of existsSync(file) ? readFileSync(file, "utf8").split("\n") : []) {
    if (line.startsWith("/")) rules.push({ path: line.trim(), fields: [] });
    const field = /^\s+([^:]+):\s*(.+)$/.exec(line);
    if (field) rules.at(-1).fields.push([field[1], field[2]]);
  }
  return rules;
}

function headersOf(path) {
  const applies = (rule) => (rule.endsWith("*") ? path.startsWith(rule.slice(0, -1)) : path === rule);
  return Object.fromEntries(rules.filter((rule) => applies(rule.path)).flatMap((rule) => rule.fields));
}

function isNavigation(request, path) {
  const accepts = request.headers.accept ?? "";
  return extname(path) === "" && accepts.includes("text/html");
}

async function find(request, path) {
  const file = resolve(join(root, path.endsWith("/") ? `${path}index.html` : path));
  if (file !== root && !file.startsWith(root + sep)) return undefined;
  try {
    return { type: TYPES[extname(file)] ?? "application/octet-stream", body: await readFile(file) };
  } catch {
    if (!isNavigation(request, path)) return undefined;
    const page = /^\/practice(\/|$)/.test(path) ? "practice/index.html" : "index.html";
    return { type: TYPES[".html"], body: await readFile(join(root, page)) };
  }
}

const server = createServer(async (request, response) => {
  if (request.method !== "GET" && request.method !== "HEAD") {
    response.writeHead(405, { Allow: "GET, HEAD" }).end();
    return;
  }
  let path;
  try {
    path = decodeURIComponent(new URL(request.url, "http://localhost").pathname);
  } catch {
    response.writeHead(400).end();
    return;
  }
  const below = path.startsWith(base) ? path.slice(base.length - 1) : undefined;
  const found = below && (await find(request, below).catch(() => undefined));
  if (!found) {
    response.writeHead(404, { "Content-Type": "text/plain; charset=utf-8" }).end("not found\n");
    return;
  }
  response.writeHead(200, {
    "Content-Type": found.type,
    "Content-Length": found.body.length,
    ...headersOf(path),
  });
  response.end(request.method === "HEAD" ? undefined : found.body);
});

const port = Number(values.port);
server.on("error", (error) => {
  const reason = error.code === "EADDRINUSE" ? "something else uses the port" : error.message;
  console.error(`could not serve on port ${port} because ${reason}`);
  process.exit(1);
});
server.listen(port, "127.0.0.1", () => {
  console.log(`Carryover is at http://127.0.0.1:${server.address().port}${base} (Ctrl-C stops it)`);
});
for (const signal of ["SIGINT", "SIGTERM"]) {
  process.on(signal, () => process.exit(0));
}
