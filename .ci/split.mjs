// The first step after Trunk has built the client's page: cuts its program into the parts that
// `src/parts.rs` names, so that what only one screen needs is loaded when that screen opens.
//
// The splitter gives the page's own program, a module for each part, and one for each set of parts that
// share something. What belongs to the log is loaded before any other part is asked for, so everything
// shared with it goes with it; one part alone is shown without the log, so what it shares with the log is a
// file by itself. The rest becomes one file for each set.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, readdirSync, rmSync, unlinkSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { CUSTOM, EXPORTS, IMPORTS, Reader, number, programOf, sectionsOf, text } from "./wasm.mjs";

const { CARGO_TARGET_DIR, TRUNK_PROFILE, TRUNK_PUBLIC_URL, TRUNK_SOURCE_DIR, TRUNK_STAGING_DIR } = process.env;
if (!TRUNK_PROFILE || !TRUNK_PUBLIC_URL || !TRUNK_SOURCE_DIR || !TRUNK_STAGING_DIR) {
  throw new Error("trunk runs this, as a post_build hook of Trunk.toml");
}

const BINARY = "carryover";
/** The part that comes before every other but one. */
const FIRST = "log";
/** The one that comes without it. */
const ALONE = "first";
/** A module shared by few parts that is smaller than this, in bytes, is not worth a request of its own. */
const SMALL = 4_000;
/** What the compiler makes use of here, and no more: a browser at the floor must read it. */
const FEATURES = ["BulkMemory", "BulkMemoryOpt", "Multivalue", "MutableGlobals", "NontrappingFPToInt", "ReferenceTypes", "SignExt"];

const packages = createRequire(new URL("../e2e/package.json", import.meta.url));
const { default: binaryen } = await import(pathToFileURL(packages.resolve("binaryen")).href);
binaryen.setOptimizeLevel(2);
binaryen.setShrinkLevel(2);

const page = join(TRUNK_STAGING_DIR, "index.html");
const html = readFileSync(page, "utf8");
const built = new RegExp(`/(${BINARY}-[0-9a-f]+)\\.js`).exec(html)?.[1];
if (built) split(built);

function split(built) {
  const target = CARGO_TARGET_DIR ?? join(TRUNK_SOURCE_DIR, "target");
  const compiled = join(target, "wasm32-unknown-unknown", TRUNK_PROFILE, `${BINARY}.wasm`);
  const work = join(target, "split");
  rmSync(work, { recursive: true, force: true });
  mkdirSync(work, { recursive: true });

  const whole = join(work, "whole.wasm");
  writeFileSync(whole, lean(readFileSync(compiled)));
  run("wasm-split-cli", [whole, work, "--out-name", BINARY]);
  unlinkSync(whole);
  run("wasm-bindgen", [
    join(work, `${BINARY}.wasm`),
    ...["--out-dir", work, "--out-name", BINARY, "--target", "web", "--no-typescript", "--keep-lld-exports"],
  ]);
  unlinkSync(join(work, `${BINARY}.wasm`));
  const modules = readdirSync(work).filter((name) => name.endsWith(".wasm"));
  if (TRUNK_PROFILE === "release") modules.forEach((name) => optimise(join(work, name)));

  const list = readFileSync(join(work, "__wasm_split.js"), "utf8");
  const packs = packsOf(list, (name) => readFileSync(join(work, name)));
  const { program, glue } = shortened(
    readFileSync(join(work, `${BINARY}_bg.wasm`)),
    readFileSync(join(work, `${BINARY}.js`), "utf8"),
  );

  // One name for all of them: they fit together only as they are.
  const content = createHash("sha256").update(glue).update(program).update(list);
  packs.forEach(({ bytes }) => content.update(bytes));
  const hash = content.digest("hex").slice(0, 16);
  const names = { glue: `${BINARY}-${hash}.js`, program: `${BINARY}-${hash}_bg.wasm`, list: `parts-${hash}.js` };
  const place = (name, what) => writeFileSync(join(TRUNK_STAGING_DIR, name), what);
  for (const name of [`${built}.js`, `${built}_bg.wasm`]) unlinkSync(join(TRUNK_STAGING_DIR, name));
  place(names.program, program);
  place(names.glue, glue.replace(/from (["'])\.\/__wasm_split\.js\1/g, `from "./${names.list}"`));
  place(names.list, listOf(list, names.glue, packs, hash));
  for (const { name, bytes } of packs) place(fileOf(name, hash), bytes);

  const digest = (name) => {
    const sum = createHash("sha384").update(readFileSync(join(TRUNK_STAGING_DIR, name))).digest("base64");
    return `sha384-${sum}`;
  };
  const preload = (name) =>
    `<link rel="modulepreload" href="${TRUNK_PUBLIC_URL}${name}" crossorigin="anonymous" integrity="${digest(name)}">`;
  writeFileSync(
    page,
    html
      .replace(new RegExp(`<link rel="modulepreload" href="[^"]*${built}\\.js"[^>]*>`), preload(names.glue) + preload(names.list))
      .replaceAll(`${built}.js`, names.glue)
      .replaceAll(`${built}_bg.wasm`, names.program),
  );
}

function run(program, options) {
  execFileSync(program, options, { stdio: ["ignore", "ignore", "ignore"] });
}

/** What `wasm-opt -Oz` does, in this process: there are many modules, most of them small. */
function optimise(file) {
  const module = binaryen.readBinary(lean(readFileSync(file)));
  module.setFeatures(FEATURES.reduce((all, name) => all | binaryen.Features[name], 0));
  module.optimize();
  module.runPasses(["strip-debug", "strip-producers", "strip-target-features"]);
  writeFileSync(file, module.emitBinary());
  module.dispose();
}

/**
 * A program without names, and without the classes that the framework brings for a server's streams, which
 * no page of ours has.
 */
function lean(program) {
  const isOfStreams = (name) => /intounderlying/i.test(name);
  const exports = (content) => {
    const reader = new Reader(content);
    const kept = Array.from({ length: reader.number() }, () => {
      const start = reader.at;
      const name = reader.text();
      reader.byte();
      reader.number();
      return isOfStreams(name) ? [] : [content.subarray(start, reader.at)];
    }).flat();
    return Buffer.concat([number(kept.length), ...kept]);
  };
  // What wasm-bindgen reads: pairs of a version and a description, each after its length.
  const descriptions = (content) => {
    const reader = new Reader(content);
    const section = reader.text();
    // Nobody reads the names of functions, and the optimiser complains of some.
    if (section === "name") return content.subarray(0, reader.at);
    if (section !== "__wasm_bindgen_unstable") return content;
    const kept = [content.subarray(0, reader.at)];
    const next = () => reader.take(reader.take(4).readUInt32LE()).toString("latin1");
    while (!reader.isDone) {
      const start = reader.at;
      next();
      if (!isOfStreams(next())) kept.push(content.subarray(start, reader.at));
    }
    return Buffer.concat(kept);
  };
  const change = { [EXPORTS]: exports, [CUSTOM]: descriptions };
  return programOf(sectionsOf(program).map(({ kind, content }) => ({ kind, content: change[kind]?.(content) ?? content })));
}

/** Program and script, with short names in place of the long ones by which the one asks for functions of the other. */
function shortened(program, script) {
  const names = new Map();
  const imports = (content) => {
    const reader = new Reader(content);
    const written = [number(reader.number())];
    while (!reader.isDone) {
      const [from, name] = [reader.text(), reader.text()];
      if (reader.byte() !== 0) throw new Error(`${name} is no function`);
      const type = reader.number();
      if (from === `./${BINARY}_bg.js`) names.set(name, `_${names.size.toString(36)}`);
      written.push(text(from), text(names.get(name) ?? name), number(0), number(type));
    }
    return Buffer.concat(written);
  };
  const sections = sectionsOf(program).map(({ kind, content }) => ({
    kind,
    content: kind === IMPORTS ? imports(content) : content,
  }));
  let found = 0;
  const glue = script.replace(/^( +)(\w+)(?=: function\()/gm, (whole, space, name) => {
    if (!names.has(name)) return whole;
    found += 1;
    return space + names.get(name);
  });
  if (found === 0 || found !== names.size) throw new Error(`the script has ${found} of ${names.size} functions`);
  return { program: programOf(sections), glue };
}

/** The files of parts: which parts need each, and its bytes. */
function packsOf(list, read) {
  const modules = [...list.matchAll(/\/\* (.+) \*\/\nconst __chunk_\d+ = [^]*?"\.\/(chunk_\d+\.wasm)"/g)]
    .map(([, parts, file]) => ({ parts: parts.split(", "), file }))
    .concat([...list.matchAll(/"\.\/(split_(\w+)\.wasm)"/g)].map(([, file, part]) => ({ parts: [part], file })));
  const packs = new Map();
  const packOf = (parts) => (parts.includes(FIRST) ? parts.filter((part) => [ALONE, FIRST].includes(part)) : parts);
  const put = (parts, bytes) => {
    const name = parts.join("-");
    const pack = packs.get(name) ?? { name, parts, modules: [] };
    packs.set(name, pack);
    pack.modules.push(bytes);
  };
  const isSmall = ({ parts, bytes }) => !parts.includes(FIRST) && parts.length > 1 && bytes.length < SMALL;
  const all = modules.map(({ parts, file }) => ({ parts, bytes: read(file) }));
  for (const { parts, bytes } of all.filter((module) => !isSmall(module))) put(packOf(parts), bytes);
  if (!packs.has(FIRST)) throw new Error(`the splitter gave no part ${FIRST}`);
  // A small one goes with the file that comes with all that need it, and with the fewest others.
  const files = [...packs.values()].sort((one, other) => one.parts.length - other.parts.length);
  for (const { parts, bytes } of all.filter(isSmall)) {
    const file = files.find((file) => parts.every((part) => file.parts.includes(part)));
    put(file ? file.parts : packOf([...parts, FIRST]), bytes);
  }
  return [...packs.values()].map(({ name, parts, modules }) => ({ name, parts, bytes: packed(modules) }));
}

/** Several modules in one that holds nothing but them, each as a custom section. */
function packed(modules) {
  return programOf(modules.map((bytes) => ({ kind: CUSTOM, content: Buffer.concat([text("part"), bytes]) })));
}

function fileOf(name, hash) {
  return `part-${name}-${hash}.wasm`;
}

/** The splitter's list of parts, with its helpers as they are and our files in place of its own. */
function listOf(list, glue, packs, hash) {
  const helpers = list.slice(0, list.search(/\/\* .+ \*\/\nconst __chunk_|export const /)).replace(`./${BINARY}.js`, `./${glue}`);
  const parts = new Set([...list.matchAll(/export const __wasm_split_load_(\w+)/g)].map(([, part]) => part));
  const files = packs.map(({ name }, at) => `const file${at} = file("./${fileOf(name, hash)}");`);
  const loads = [...parts].map((part) => {
    const needed = packs.flatMap(({ parts }, at) => (parts.includes(part) || (part !== ALONE && parts.includes(FIRST)) ? [`file${at}`] : []));
    return `export const __wasm_split_load_${part} = wrapAsyncCb(makeLoad(() => async () => {}, [${needed.join(", ")}]));`;
  });
  return `${helpers}
function file(name) {
  return makeLoad(() => {
    const answer = fetch(new URL(name, import.meta.url));
    answer.catch(() => {});
    return async (imports) => {
      const held = await WebAssembly.compileStreaming(answer);
      const parts = WebAssembly.Module.customSections(held, "part");
      await Promise.all(parts.map((part) => WebAssembly.instantiate(part, imports)));
    };
  }, []);
}
${files.join("\n")}
${loads.join("\n")}
`;
}
