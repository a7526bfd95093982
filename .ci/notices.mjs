// The notices of everything that is built into the shipped programs, from what cargo knows of each crate and
// from the licence that came with it. It fails where a crate, shipped or only used to build and test, has a
// licence or a source that deny.toml does not allow.
//
//   node .ci/notices.mjs                     checks
//   node .ci/notices.mjs dist/notices.txt    checks, and writes them
//
// Of the Node packages none is in what ships: they minify, optimise and test. The scripts that load the
// programs are written by wasm-bindgen, by wasm_split and by Trunk, whose licences are the first two's here.
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/** How the text of each licence is known. */
const KNOWN = {
  MIT: /Permission is hereby granted, free of charge/,
  "Apache-2.0": /Apache License\s+Version 2\.0/,
  "BSD-2-Clause": /Redistribution and use in source and binary forms/,
  "BSD-3-Clause": /Redistribution and use in source and binary forms/,
  "BSL-1.0": /Boost Software License/,
  "CC0-1.0": /CC0 1\.0 Universal/,
  ISC: /Permission to use, copy, modify, and\/or distribute/,
  "Unicode-3.0": /UNICODE LICENSE V3/,
  Zlib: /This software is provided ['‘]as-is['’]/,
};

/** The part of the MIT licence that is the same for all (SPDX licence list, MIT). */
const MIT = `Permission is hereby granted, free of charge, to any person obtaining a copy of
this software and associated documentation files (the "Software"), to deal in
the Software without restriction, including without limitation the rights to
use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies
of the Software, and to permit persons to whom the Software is furnished to do
so, subject to the following conditions:

The above copyright notice and this permission notice shall be included in all
copies or substantial portions of the Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR
IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY,
FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE
AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER
LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM,
OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE
SOFTWARE.`;

const checkout = fileURLToPath(new URL("..", import.meta.url));
const read = (path) => readFileSync(join(checkout, path), "utf8");
const [target] = process.argv.slice(2);

/** What cargo knows of the crates that one target takes. */
function crates(triple) {
  const options = ["metadata", "--locked", "--format-version", "1", "--filter-platform", triple];
  return JSON.parse(execFileSync("cargo", options, { cwd: checkout, maxBuffer: 1e9, encoding: "utf8" }));
}
const host = /^host: (.+)$/m.exec(execFileSync("rustc", ["-vV"], { encoding: "utf8" }))[1];
const [web, here] = ["wasm32-unknown-unknown", host].map(crates);
const packages = new Map([...web.packages, ...here.packages].map((one) => [one.id, one]));
const nodes = new Map(web.resolve.nodes.map((node) => [node.id, node]));
const root = web.resolve.root;

const deny = read("deny.toml");
const allowed = list("licenses", "allow");
const registries = list("sources", "allow-registry");
const others = [...new Set([...nodes.keys(), ...here.resolve.nodes.map(({ id }) => id)])]
  .filter((id) => id !== root)
  .map((id) => packages.get(id));
const wrong = others.flatMap((crate) => [
  ...(chosen(crate) ? [] : [`${nameOf(crate)} has the licence ${crate.license}, which deny.toml does not allow`]),
  ...(registries.some((registry) => crate.source === `registry+${registry}`) ? [] : [`${nameOf(crate)} comes from ${crate.source}`]),
]);
if (wrong.length > 0) {
  wrong.forEach((line) => console.error(line));
  process.exit(1);
}
if (target) writeFileSync(target, notices());

/** A list of texts in deny.toml. */
function list(section, key) {
  const body = new RegExp(`^\\[${section}\\]$([^]*?)(?=^\\[|$(?![^]))`, "m").exec(deny)?.[1] ?? "";
  const values = new RegExp(`^${key} = \\[([^\\]]*)\\]`, "m").exec(body)?.[1];
  if (values === undefined) throw new Error(`deny.toml has no ${section}.${key}`);
  return [...values.matchAll(/"([^"]+)"/g)].map(([, value]) => value);
}

function nameOf({ name, version }) {
  return `${name} ${version}`;
}

/**
 * The licences under which a crate is used, of those that it offers: an SPDX expression (SPDX 2.3, annex D)
 * read from the left, with a slash for "or" as older crates have it. Of several the one that stands first in
 * deny.toml is chosen. Nothing where none is allowed.
 */
function chosen({ license }) {
  const words = (license ?? "").replaceAll("/", " OR ").match(/[()]|[^\s()]+/g) ?? [];
  const rank = (licences) => Math.max(...licences.map((licence) => allowed.indexOf(licence)));
  const either = () => {
    let best = both();
    while (words[0] === "OR") {
      words.shift();
      const other = both();
      if (!best || (other && rank(other) < rank(best))) best = other;
    }
    return best;
  };
  const both = () => {
    let all = one();
    while (words[0] === "AND") {
      words.shift();
      const other = one();
      all = all && other ? [...all, ...other] : undefined;
    }
    return all;
  };
  const one = () => {
    const word = words.shift();
    if (word === "(") {
      const inner = either();
      return words.shift() === ")" ? inner : undefined;
    }
    return allowed.includes(word) ? [word] : undefined;
  };
  const found = either();
  return words.length === 0 ? found : undefined;
}

/** The crates that the programs are made of: what only builds them stays behind. */
function shipped() {
  const seen = new Set();
  const add = (id) => {
    if (seen.has(id)) return;
    seen.add(id);
    for (const { pkg, dep_kinds: kinds } of nodes.get(id).deps) {
      const isMacro = packages.get(pkg).targets.some(({ kind }) => kind.includes("proc-macro"));
      if (!isMacro && kinds.some(({ kind }) => kind === null)) add(pkg);
    }
  };
  add(root);
  seen.delete(root);
  return [...seen].map((id) => packages.get(id)).sort((one, other) => (nameOf(one) < nameOf(other) ? -1 : 1));
}

function notices() {
  const lines = [];
  const title = (text) => lines.push("", text, "=".repeat(text.length), "");
  lines.push(...read("docs/notices.md").trim().replace(/^#+ /gm, "").split("\n"));
  title("Libraries");
  lines.push("Carryover's programs are built from these, beside its own code (MIT OR Apache-2.0).");
  for (const { crates, holders, text } of grouped()) {
    lines.push("", "-".repeat(72), ...crates, "", ...holders, ...(holders.length > 0 ? [""] : []), text);
  }
  return `${lines.join("\n")}\n`;
}

/** Each text once, with the crates that it is the licence of, and who holds the rights. */
function grouped() {
  const groups = new Map();
  const put = (name, { holders, text }) => {
    const key = text.replace(/\s+/g, " ").trim();
    const group = groups.get(key) ?? { crates: [], holders: [], text: text.trim() };
    groups.set(key, group);
    group.crates.push(name);
    for (const holder of holders) if (!group.holders.includes(holder)) group.holders.push(holder);
  };
  for (const crate of shipped()) {
    for (const licence of chosen(crate)) put(`${nameOf(crate)} (${licence})`, licenceOf(crate, licence));
  }
  const rust = { holders: ["Copyright (c) The Rust Project contributors"], text: MIT };
  put("The standard library of Rust (MIT)", rust);
  return groups.values();
}

/** The text of a licence as it came with a crate; where none came, from what the crate says of itself. */
function licenceOf(crate, licence) {
  const folder = dirname(crate.manifest_path);
  const files = readdirSync(folder, { withFileTypes: true })
    .filter(({ name }) => /^(licen[cs]e|copying|unlicense)/i.test(name))
    .flatMap((one) => (one.isDirectory() ? readdirSync(join(folder, one.name)).map((name) => join(one.name, name)) : [one.name]))
    .sort();
  const isText = KNOWN[licence];
  if (!isText) throw new Error(`how is the text of ${licence} known?`);
  const text = files.map((name) => readText(join(folder, name))).find((text) => isText.test(text));
  if (text !== undefined) return licence === "MIT" ? parted(text) : { holders: [], text };
  if (licence !== "MIT") throw new Error(`${nameOf(crate)} brings no text of ${licence}`);
  const authors = crate.authors.length > 0 ? crate.authors.join(", ").replace(/ <[^>]*>/g, "") : `the authors of ${crate.name}`;
  return { holders: [`Copyright (c) ${authors} (${crate.repository ?? crate.name})`], text: MIT };
}

function readText(file) {
  return readFileSync(file, "utf8").replace(/\r\n/g, "\n");
}

/** The MIT licence in its two parts: who holds the rights, and what is the same for all. */
function parted(text) {
  const from = text.search(KNOWN.MIT);
  const holders = text.slice(0, from).split("\n").map((line) => line.trim()).filter((line) => /copyright/i.test(line));
  const isUsual = text.slice(from).replace(/\s+/g, " ").trim() === MIT.replace(/\s+/g, " ").trim();
  return { holders, text: isUsual ? MIT : text.slice(from).trim() };
}
