// Puts the two built pages into the folder that they have at their host, and gives them their policy.
//
// Trunk writes addresses that begin at the root of a site, and starts a program by a script in the page. Here
// the addresses come to count from the page's base, which alone says where the app is; and the script becomes
// a file, so that the policy is the same for every build and a host can repeat it.
import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** The page's own files and nothing else; nothing inline. */
export const POLICY = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "manifest-src 'self'",
  "worker-src 'self'",
  "base-uri 'self'",
  "form-action 'none'",
];

const START = /<script type="module"[^>]*>\s*import init[^]*?from '\/([^']+)';[^]*?module_or_path: '\/([^']+)'[^]*?<\/script>/;

/** Does so for a built folder. It may be done again, for another place. */
export function settle(folder, base) {
  for (const below of ["", "practice/"]) {
    const page = join(folder, below, "index.html");
    let html = readFileSync(page, "utf8");
    html = startedByFile(folder, below, html);
    html = html.replace(/\b(href|src)="\/(?=\w)/g, '$1="').replace(/<base href="[^"]*">/, `<base href="${base}">`);
    const policy = `<meta http-equiv="Content-Security-Policy" content="${POLICY.join("; ")}">`;
    if (!html.includes(policy)) html = html.replace(/<meta charset="utf-8">/, `$&\n    ${policy}`);
    const isWhole = html.includes(policy) && html.includes(`<base href="${base}">`) && !/<script(?![^>]*\bsrc=)/.test(html);
    if (!isWhole) throw new Error(`${page} is not a page that is understood here`);
    writeFileSync(page, html);
  }
  for (const loader of ["scanner_loader.js", "practice/sealer_loader.js"]) {
    const file = join(folder, loader);
    writeFileSync(file, readFileSync(file, "utf8").replace(/(["'])\/(?:practice\/)?(?=\w)/g, "$1"));
  }
}

/** Moves what starts a page's program into a file beside it. */
function startedByFile(folder, below, html) {
  const [inline, script, program] = START.exec(html) ?? [];
  if (!inline) return html;
  // By now every style sheet has come, or has failed to: a page without one is not shown.
  const text = `import init from "./${script.slice(below.length)}";
for (const { href, sheet } of document.querySelectorAll("link[rel=stylesheet]")) if (!sheet) throw new Error(\`not loaded: \${href}\`);
await init({ module_or_path: "${program}" });
`;
  const hash = createHash("sha256").update(text).digest("hex").slice(0, 16);
  const name = `${below}start-${hash}.js`;
  if (![script, program].every((path) => existsSync(join(folder, path)))) throw new Error(`${script} is missing`);
  writeFileSync(join(folder, name), text);
  return html.replace(inline, `<script type="module" src="${name}"></script>`);
}
