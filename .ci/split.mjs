// The first step after Trunk has built the client's page: cuts its program into the parts that
// `src/parts.rs` names, so that what only one screen needs is loaded when that screen opens.
//
// The splitter gives the page's own program, a module for each part, and one for each set of parts that
// share something. What belongs to the log is loaded before any other part is asked for, so everything
// shared with it goes with it; the rest becomes one file for each set.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, readdirSync, rmSync, unlinkSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const { CARGO_TARGET_DIR, TRUNK_PROFILE, TRUNK_PUBLIC_URL, TRUNK_SOURCE_DIR, TRUNK_STAGING_DIR } = process.env;
if (!TRUNK_PROFILE || !TRUNK_PUBLIC_URL || !TRUNK_SOURCE_DIR || !TRUNK_STAGING_DIR) {
  throw new Error("trunk runs this, as a post_build hook of Trunk.toml");
}

const BINARY = "carryover";
/** The part that comes before every other. */
const FIRST = "log";
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

  run("wasm-split-cli", [compiled, work, "--out-name", BINARY]);
  run("wasm-bindgen", [
    join(work, `${BINARY}.wasm`),
    ...["--out-dir", work, "--out-name", BINARY, "--target", "web", "--no-typescript", "--keep-lld-exports"],
  ]);
  unlinkSync(join(work, `${BINARY}.wasm`));
  const modules = readdirSync(work).filter((name) => name.endsWith(".wasm"));
  if (TRUNK_PROFILE === "release") modules.forEach((name) => optimise(join(work, name)));

  const list = readFileSync(join(work, "__wasm_split.js"), "utf8");
  const packs = packsOf(list, (name) => readFileSync(join(work, name)));
  const glue = readFileSync(join(work, `${BINARY}.js`), "utf8");
  const program = readFileSync(join(work, `${BINARY}_bg.wasm`));

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
  const module = binaryen.readBinary(readFileSync(file));
  module.setFeatures(FEATURES.reduce((all, name) => all | binaryen.Features[name], 0));
  module.optimize();
  module.runPasses(["strip-debug", "strip-producers", "strip-target-features"]);
  writeFileSync(file, module.emitBinary());
  module.dispose();
}

/** The files of parts: which parts need each, and its bytes. */
function packsOf(list, read) {
  const modules = [...list.matchAll(/\/\* (.+) \*\/\nconst __chunk_\d+ = [^]*?"\.\/(chunk_\d+\.wasm)"/g)]
    .map(([, parts, file]) => ({ parts: parts.split(", "), file }))
    .concat([...list.matchAll(/"\.\/(split_(\w+)\.wasm)"/g)].map(([, file, part]) => ({ parts: [part], file })));
  const packs = new Map();
  for (const { parts, file } of modules) {
    const bytes = read(file);
    const isFirst = parts.includes(FIRST) || (parts.length > 1 && bytes.length < SMALL);
    const name = isFirst ? FIRST : parts.join("-");
    const pack = packs.get(name) ?? { name, parts: isFirst ? [FIRST] : parts, modules: [] };
    packs.set(name, pack);
    pack.modules.push(bytes);
  }
  if (!packs.has(FIRST)) throw new Error(`the splitter gave no part ${FIRST}`);
  return [...packs.values()].map(({ name, parts, modules }) => ({ name, parts, bytes: packed(modules) }));
}

/** Several modules in one that holds nothing but them, each as a custom section. */
function packed(modules) {
  const header = Buffer.from([0x00, 0x61, 0x73, 0x6d, 0x01, 0x00, 0x00, 0x00]);
  const sections = modules.map((bytes) => {
    const content = Buffer.concat([Buffer.from([4]), Buffer.from("part"), bytes]);
    return Buffer.concat([Buffer.from([0, ...leb128(content.length)]), content]);
  });
  return Buffer.concat([header, ...sections]);
}

function leb128(number) {
  const bytes = [];
  for (; number > 0x7f; number >>>= 7) bytes.push((number & 0x7f) | 0x80);
  return [...bytes, number];
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
    const needed = packs.flatMap(({ parts }, at) => (parts.includes(part) || parts.includes(FIRST) ? [`file${at}`] : []));
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
