// The file of results of the bench, or of the soak: a flat object of named numbers.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const TARGET = fileURLToPath(new URL("../../target", import.meta.url));

/** Adds numbers to the results, replacing those of the same name. */
export function record(numbers, of = "bench") {
  const file = join(TARGET, of, "results.json");
  const before = existsSync(file) ? JSON.parse(readFileSync(file, "utf8")) : {};
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, `${JSON.stringify({ ...before, ...numbers }, null, 2)}\n`);
}

/** Prints numbers to three places, a line each, and adds them to the results. */
export function tell(numbers) {
  const rounded = Object.fromEntries(Object.entries(numbers).map(([name, number]) => [name, Math.round(number * 1000) / 1000]));
  for (const [name, number] of Object.entries(rounded)) console.log(`  ${name.padEnd(38)} ${number}`);
  record(rounded);
}

export function median(numbers) {
  const sorted = [...numbers].sort((one, other) => one - other);
  const middle = sorted.length / 2;
  return (sorted[Math.floor(middle - 0.5)] + sorted[Math.floor(middle)]) / 2;
}
