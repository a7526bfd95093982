// The one file of results: a flat object of named numbers.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { fileURLToPath } from "node:url";

const FILE = fileURLToPath(new URL("../../target/bench/results.json", import.meta.url));

/** Adds numbers to the results, replacing those of the same name. */
export function record(numbers) {
  const before = existsSync(FILE) ? JSON.parse(readFileSync(FILE, "utf8")) : {};
  mkdirSync(dirname(FILE), { recursive: true });
  writeFileSync(FILE, `${JSON.stringify({ ...before, ...numbers }, null, 2)}\n`);
}
