// A content security policy for a built page: the page's own inline script by its digest, and nothing
// else inline.
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const { TRUNK_STAGING_DIR } = process.env;
if (!TRUNK_STAGING_DIR) throw new Error("trunk runs this, as a post_build hook of Trunk.toml");

const page = join(TRUNK_STAGING_DIR, "index.html");
const html = readFileSync(page, "utf8");
const inline = /<script\b(?![^>]*\bsrc=)[^>]*>([\s\S]*?)<\/script>/g;
const scripts = [...html.matchAll(inline)].map((match) => match[1]);
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
