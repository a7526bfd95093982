// How long the link is that hands a routine over, and how many codes it takes on the practitioner's screen.
import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { record } from "./results.mjs";

const root = fileURLToPath(new URL("../../", import.meta.url));
const command = ["run", "--quiet", "--locked", "--example", "hand_over_sizes"];
const rows = JSON.parse(execFileSync("cargo", command, { cwd: root, encoding: "utf8" }));

console.log("\nHand-over by code");
for (const { exercises, link_bytes, codes_needed, version } of rows) {
  console.log(`  ${exercises} exercises: ${link_bytes} bytes, ${codes_needed} code${codes_needed === 1 ? "" : "s"} of version ${version}`);
}

const of = (number) => rows.find(({ exercises }) => exercises === number);
record({
  "handover.link_bytes_4_exercises": of(4).link_bytes,
  "handover.codes_needed_8_exercises": of(8).codes_needed,
});
