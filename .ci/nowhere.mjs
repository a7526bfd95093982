// Fails where a built file says where on a machine it was built: in somebody's home, in this checkout, or in
// cargo's folder.
//
//   node .ci/nowhere.mjs dist
import { readFileSync, readdirSync } from "node:fs";
import { homedir } from "node:os";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";

const [folder] = process.argv.slice(2);
if (!folder) throw new Error("the built folder is missing: node .ci/nowhere.mjs dist");

const folders = ["home", "root", "Users", ".cargo"].map((name) => `/${name}/`);
const places = [...folders, ["", "Users", ""].join("\\"), fileURLToPath(new URL("..", import.meta.url))];
if (homedir().length > 1) places.push(`${homedir()}/`);
if (process.env.CARGO_HOME) places.push(`${process.env.CARGO_HOME}/`);

const files = readdirSync(folder, { recursive: true, withFileTypes: true })
  .filter((one) => one.isFile() && ![".br", ".gz", ".png"].includes(extname(one.name)))
  .map((one) => join(one.parentPath ?? one.path, one.name));
const told = files.flatMap((file) => {
  const text = readFileSync(file, "latin1");
  return places.filter((place) => text.includes(place)).map((place) => {
    const at = text.indexOf(place);
    return `${file}: ${text.slice(Math.max(0, at - 20), at + 80).replace(/[^ -~]/g, " ")}`;
  });
});
if (files.length === 0) throw new Error(`${folder} is empty`);
if (told.length > 0) {
  told.forEach((line) => console.error(line));
  throw new Error("built files say where they were built");
}
