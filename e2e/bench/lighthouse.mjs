// What Lighthouse says of a first visit, as it has its phones (150 ms, 1.6 Mbit/s, a processor four times slower):
//
//   make page && e2e/bench/lighthouse/setup && node e2e/bench/lighthouse.mjs
//
// Of several runs the one in the middle counts for performance; what the other scores lack is named.
import { spawn } from "node:child_process";
import { homedir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { args, findChromium } from "../chromium.mjs";
import { host } from "./host.mjs";
import { record } from "./results.mjs";

const RUNS = 3;
const CATEGORIES = { performance: "performance", accessibility: "accessibility", best_practices: "best-practices" };

const cache = process.env.XDG_CACHE_HOME ?? join(homedir(), ".cache");
const program = join(cache, "carryover/lighthouse/node_modules/lighthouse/cli/index.js");
const { address, stop } = await host(fileURLToPath(new URL("../../dist", import.meta.url)));

/** One run, as Lighthouse reports it. */
function visit() {
  const given = [
    program,
    address,
    "--quiet",
    "--output=json",
    `--only-categories=${Object.values(CATEGORIES).join(",")}`,
    "--no-enable-error-reporting",
    `--chrome-flags=${args.map((flag) => flag.replace(/=(.* .*)/, '="$1"')).join(" ")}`,
  ];
  const running = spawn(process.execPath, given, {
    env: { ...process.env, CHROME_PATH: findChromium() },
    stdio: ["ignore", "pipe", "inherit"],
  });
  return new Promise((resolve, reject) => {
    let report = "";
    running.stdout.on("data", (part) => void (report += part));
    running.on("exit", (code) => (code === 0 ? resolve(JSON.parse(report)) : reject(new Error(`Lighthouse ended with ${code}`))));
  });
}

const reports = [];
try {
  for (let run = 0; run < RUNS; run += 1) reports.push(await visit());
} finally {
  stop();
}
const score = (report, name) => report.categories[CATEGORIES[name]].score;
const sorted = [...reports].sort((one, other) => score(one, "performance") - score(other, "performance"));
const report = sorted[Math.floor(RUNS / 2)];

console.log(`\nLighthouse ${report.lighthouseVersion}`);
const numbers = {};
for (const [name, category] of Object.entries(CATEGORIES)) {
  numbers[`lighthouse.${name}`] = score(report, name);
  console.log(`  ${name.padEnd(24)} ${score(report, name)}`);
  const lacking = report.categories[category].auditRefs.filter(({ id, weight }) => 0 < weight && report.audits[id].score !== null && report.audits[id].score < 1);
  for (const { id } of lacking) console.log(`    ${id}: ${report.audits[id].displayValue ?? report.audits[id].title}`);
}
for (const id of ["first-contentful-paint", "largest-contentful-paint", "total-blocking-time"]) {
  numbers[`lighthouse.${id.replaceAll("-", "_")}_ms`] = Math.round(report.audits[id].numericValue);
}
record(numbers);
