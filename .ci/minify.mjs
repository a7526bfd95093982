// Trunk's last step in a release build: minifies the scripts and style sheets
// that index.html names, and renews their integrity digests. (Trunk's own
// minifier cannot read the script that wasm-bindgen writes.)
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { extname, join } from "node:path";

const { TRUNK_PROFILE, TRUNK_PUBLIC_URL, TRUNK_STAGING_DIR } = process.env;
if (!TRUNK_PROFILE || !TRUNK_PUBLIC_URL || !TRUNK_STAGING_DIR) {
  throw new Error("trunk runs this, as the post_build hook of Trunk.toml");
}
if (TRUNK_PROFILE === "release") minify(TRUNK_STAGING_DIR, TRUNK_PUBLIC_URL);

function minify(folder, publicUrl) {
  const { transformSync } = createRequire(new URL("../e2e/package.json", import.meta.url))("esbuild");
  const page = join(folder, "index.html");
  let scripts = 0;

  const html = readFileSync(page, "utf8").replace(/<link\b[^>]*>/g, (tag) => {
    const href = /\bhref="([^"]+)"/.exec(tag)?.[1];
    const integrity = /\bintegrity="([^"]+)"/.exec(tag)?.[1];
    const kind = extname(href ?? "");
    // No browser checks this one, and Chromium warns about it.
    if (integrity && /\bas="fetch"/.test(tag)) return tag.replace(/\s*\bintegrity="[^"]+"/, "");
    if (!href?.startsWith(publicUrl) || !integrity || (kind !== ".js" && kind !== ".css")) return tag;

    const file = join(folder, href.slice(publicUrl.length));
    const { code } = transformSync(readFileSync(file, "utf8"), {
      loader: kind === ".js" ? "js" : "css",
      minify: true,
      legalComments: "none",
    });
    writeFileSync(file, code);
    if (kind === ".js") scripts += 1;
    return tag.replace(integrity, `sha384-${createHash("sha384").update(code).digest("base64")}`);
  });

  if (scripts === 0) throw new Error(`found no script to minify in ${page}`);
  writeFileSync(page, html);
}
