// Trunk's last step in every build: a content security policy for the one page, the service worker with
// the list of this build's files, and, in a release, compressed copies for hosts that serve them.
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { extname, join, relative, sep } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const { TRUNK_PROFILE, TRUNK_STAGING_DIR } = process.env;
if (!TRUNK_PROFILE || !TRUNK_STAGING_DIR) throw new Error("trunk runs this, as a post_build hook of Trunk.toml");
const folder = TRUNK_STAGING_DIR;

protect(join(folder, "index.html"));
keepOffline(join(folder, "service-worker.js"));
if (TRUNK_PROFILE === "release") files(folder).forEach(compress);

/** Allows the page's own inline script by its digest, and nothing else inline. */
function protect(page) {
  const html = readFileSync(page, "utf8");
  const scripts = [...html.matchAll(/<script\b[^>]*>([\s\S]*?)<\/script>/g)].map((match) => match[1]);
  const digests = scripts.map((script) => `'sha256-${createHash("sha256").update(script).digest("base64")}'`);
  const policy = [
    "default-src 'none'",
    `script-src 'self' 'wasm-unsafe-eval' ${digests.join(" ")}`,
    "style-src 'self'",
    "img-src 'self' data: blob:",
    "connect-src 'self'",
    "manifest-src 'self'",
    "worker-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const meta = `<meta http-equiv="Content-Security-Policy" content="${policy}">`;
  const protectedHtml = html.replace(/<meta charset="utf-8">/, `$&\n    ${meta}`);
  if (protectedHtml === html || digests.length === 0) throw new Error(`found no place for the policy in ${page}`);
  writeFileSync(page, protectedHtml);
}

/** Fills in the service worker: every file of the build, and a name made from their content. */
function keepOffline(worker) {
  const content = createHash("sha256");
  const paths = files(folder).filter((file) => file !== worker).map((file) => {
    content.update(readFileSync(file));
    return `/${relative(folder, file).split(sep).join("/")}`;
  });
  const text = readFileSync(worker, "utf8");
  const filled = text
    .replace("__FILES__", JSON.stringify(paths))
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
