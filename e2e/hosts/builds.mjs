// Two builds of the app to deploy one after the other, without compiling it twice: dist/, and a copy of it in
// which every program and every name made from content is another.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { cpSync, readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { extname, join, relative, sep } from "node:path";
import { fileURLToPath } from "node:url";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const NAMED = /-([0-9a-f]{12,16})(?:_bg)?\.(?:css|js|wasm)$/;
/** A section that says nothing to any program: its length, and its name after the name's length. */
const SECTION = Buffer.from([0, 8, 7, ...Buffer.from("another")]);

/** A copy of a build for a folder of a site, under target/hosts/. */
export function copy(name, base = "/", from = here("../../dist")) {
  const folder = here(`../../target/hosts/${name}`);
  rmSync(folder, { recursive: true, force: true });
  cpSync(from, folder, { recursive: true });
  finish(folder, base);
  return new Build(name, folder);
}

/** Another build of the same app. */
export function another(name, of, base = "/") {
  const { folder } = copy(name, base, of.folder);
  const paths = below(folder);
  const hashes = [...new Set(paths.flatMap((path) => NAMED.exec(path)?.[1] ?? []))];
  const renamed = (text) =>
    hashes.reduce((text, hash) => text.replaceAll(hash, digest("sha256", "hex", hash).slice(0, hash.length)), text);
  for (const path of paths) {
    const file = join(folder, path);
    if (extname(path) === ".wasm") writeFileSync(file, Buffer.concat([readFileSync(file), SECTION]));
    if ([".css", ".html", ".js"].includes(extname(path))) writeFileSync(file, renamed(readFileSync(file, "utf8")));
    renameSync(file, join(folder, renamed(path)));
  }
  for (const page of ["index.html", "practice/index.html"]) {
    const file = join(folder, page);
    const html = readFileSync(file, "utf8").replace(/<link\b[^>]*>/g, (tag) => {
      const href = /\bhref="([^"]+)"/.exec(tag)?.[1];
      return tag.replace(/\bintegrity="[^"]+"/, () => `integrity="sha384-${digest("sha384", "base64", readFileSync(join(folder, href)))}"`);
    });
    writeFileSync(file, html);
  }
  finish(folder, base);
  return new Build(name, folder);
}

/** A built folder, and what is known of its files. */
class Build {
  constructor(name, folder) {
    this.name = name;
    this.folder = folder;
    const paths = below(folder).filter((path) => ![".br", ".gz"].includes(extname(path)));
    this.digests = new Map(paths.map((path) => [path, digest("sha256", "base64", readFileSync(join(folder, path)))]));
    /** The names that no other build has. */
    this.named = paths.filter((path) => NAMED.test(path));
  }
}

function finish(folder, base) {
  execFileSync(process.execPath, [here("../../.ci/offline.mjs"), folder, base], { stdio: "inherit" });
}

function digest(algorithm, as, of) {
  return createHash(algorithm).update(of).digest(as);
}

/** The files of a folder, by their paths in it. */
export function below(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath ?? entry.path, entry.name)).split(sep).join("/"));
}
